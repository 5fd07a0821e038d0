//! Pieces with a slanted side: triangles from squares that are cut corner to corner,
//! diamonds from strips.
//!
//! A triangle's square is its finished size and a constant for the seams, each rounded
//! up to what the ruler shows, as the trade reckons: the piece may be a hair too large
//! and is then trimmed, never too small.

use super::slanted_shape::{SlantedShape, round_up};
use super::straight_piece::{Grain, Purpose, Slant, StraightPiece};
use std::f64::consts::SQRT_2;

/// Pieces of the top that are cut with a slant.
#[derive(Debug, Clone, PartialEq)]
pub struct Slanted {
    /// What they are called.
    pub name: String,
    /// Their shape.
    pub shape: SlantedShape,
    /// Their fabric.
    pub fabric: String,
    /// The finished size that their shape speaks of (mm).
    pub finished_mm: f64,
    /// How many.
    pub count: usize,
    /// The finest mark of the ruler that cut sizes are rounded up to (mm).
    pub mark_mm: f64,
}

/// Finished side of the star that eight diamonds of an edge make, with squares and
/// triangles that fill it up (mm).
///
/// # Source
/// Row W-27: edge times `2 + sqrt 2`.
pub fn star_mm(edge_mm: f64) -> f64 {
    edge_mm * (2.0 + SQRT_2)
}

impl Slanted {
    /// Their cut width: the square's side, or the strip's (mm).
    pub fn cut_mm(&self, seam_mm: f64) -> f64 {
        self.shape.cut_mm(self.finished_mm, seam_mm, self.mark_mm)
    }

    /// The least length or width that the fabric must have for one of them (mm).
    pub fn least_fabric_mm(&self, seam_mm: f64) -> f64 {
        let cut = self.cut_mm(seam_mm);
        match self.shape {
            SlantedShape::Diamond => strip_mm(cut, 1),
            _ => cut,
        }
    }

    /// The squares or strips that they are cut from, on fabric of a usable width. None
    /// where the fabric is too narrow for one.
    pub fn straight(&self, seam_mm: f64, fabric_mm: f64) -> Vec<StraightPiece> {
        let cut = self.cut_mm(seam_mm);
        let piece = |kind: &str, length_mm, count, grain, each, wanted| StraightPiece {
            name: format!("{} {kind}", self.name),
            purpose: Purpose::Top,
            fabric: self.fabric.clone(),
            length_mm,
            width_mm: cut,
            count,
            grain,
            bias: None,
            slant: Some(Slant {
                shape: self.shape,
                name: self.name.clone(),
                each,
                wanted,
                finished_mm: match self.shape {
                    SlantedShape::Diamond => (cut - self.shape.seams_mm(seam_mm)) * SQRT_2,
                    _ => self.finished_mm,
                },
            }),
        };
        if self.shape != SlantedShape::Diamond {
            let each = self.shape.per_square();
            let squares = self.count.div_ceil(each);
            return vec![piece("square", cut, squares, Grain::Any, each, self.count)];
        }
        // Never more than is wanted: a strip need not be as long as the fabric is wide.
        let most = ((fabric_mm - cut + 1e-6) / (cut * SQRT_2)).floor().max(0.0) as usize;
        let most = most.min(self.count);
        if most == 0 {
            return vec![];
        }
        let (full, rest) = (self.count / most, self.count % most);
        let strip = |n, count| {
            let wanted = n * count;
            // Up to the ruler's mark, as far as the fabric is wide: shown to the nearest
            // sixteenth, a strip could come out a hair short of its last diamond.
            let long =
                round_up(strip_mm(cut, n), self.mark_mm).min(fabric_mm.max(strip_mm(cut, n)));
            piece("strip", long, count, Grain::Across, n, wanted)
        };
        let mut strips = vec![strip(most, full)];
        if rest > 0 {
            strips.push(strip(rest, 1));
        }
        strips
    }
}

/// Length of a strip of a width that gives `n` diamonds of 45 degrees: one slanted cut
/// squares it to the slant, each next one is a strip width further, square to the cut.
fn strip_mm(width_mm: f64, n: usize) -> f64 {
    width_mm * (1.0 + SQRT_2 * n as f64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use SlantedShape::*;

    const EIGHTH: f64 = 0.125;

    /// Inches all through: the arithmetic has no unit.
    fn cut(shape: SlantedShape, given: f64) -> f64 {
        shape.cut_mm(given, 0.25, EIGHTH)
    }

    // Three diamonds from a strip 10 wide: each slanted cut is 10 times the square root of 2 from
    // the one before it, and the first takes as much of the strip as it is wide.
    #[test]
    fn diamonds_from_a_strip() {
        assert!((strip_mm(10.0, 3) - 52.4264).abs() < 1e-4);
    }

    // Y-10 and Y-11, public formulas: finished leg + 7/8 (exact 0.8536), finished long
    // side + 1 1/4 (exact 1.2071).
    #[test]
    fn y10_y11_constants() {
        assert!((HalfSquare.seams_mm(0.25) - 0.8536).abs() < 5e-5);
        assert!((QuarterSquare.seams_mm(0.25) - 1.2071).abs() < 5e-5);
        assert_eq!(cut(HalfSquare, 4.0), 4.875);
        assert_eq!(cut(QuarterSquare, 4.0), 5.25);
        // A size that no ruler shows goes up, never down.
        assert_eq!(cut(HalfSquare, 4.01), 5.0);
    }

    // The constants are geometry: a right triangle with its seams is its finished self
    // about the same incentre. Inradius of legs a: a (1 - 1 / sqrt 2).
    #[test]
    fn constants_are_the_incircle_grown_by_a_seam() {
        let inradius = |leg: f64| leg * (1.0 - 0.5_f64.sqrt());
        for leg in [1.0, 4.0, 11.3] {
            let grown = leg + HalfSquare.seams_mm(0.25);
            assert!((inradius(grown) - inradius(leg) - 0.25).abs() < 1e-12);
            let grown = (leg * SQRT_2 + QuarterSquare.seams_mm(0.25)) / SQRT_2;
            assert!((inradius(grown) - inradius(leg) - 0.25).abs() < 1e-12);
        }
    }

    // Y-12 with W-25, a quilting page of 2002: 12 in blocks on point: exact 18.2206 and
    // 9.3603, printed and cut 18 1/4 and 9 3/8. W-26: 16 in blocks: printed 23 7/8 with
    // 1.414 for the root; with the root itself 23.8774, so 24.
    #[test]
    fn w25_w26_on_point() {
        let before =
            |shape: SlantedShape, block: f64, constant| shape.finished_mm(block) + constant;
        assert!((before(SideSetting, 12.0, 1.25) - 18.2206).abs() < 5e-5);
        assert!((before(CornerSetting, 12.0, 0.875) - 9.3603).abs() < 5e-5);
        assert_eq!(cut(SideSetting, 12.0), 18.25);
        assert_eq!(cut(CornerSetting, 12.0), 9.375);
        assert!((before(SideSetting, 16.0, 1.25) - 23.8774).abs() < 5e-5);
        assert_eq!(cut(SideSetting, 16.0), 24.0);
    }

    // W-27, "Formulas for Quilters", 2002: edge x 3.41 = block; exact 2 + sqrt 2. So an
    // edge of 3 makes a star of 10.243, and its strip is 3 / sqrt 2 + 1/2 = 2.621 wide.
    #[test]
    fn w27_star() {
        assert!((star_mm(1.0) - 3.41421).abs() < 5e-6);
        assert!((star_mm(3.0) - 10.243).abs() < 5e-4);
        assert_eq!(cut(Diamond, 3.0), 2.625);
    }

    fn slanted(shape: SlantedShape, finished: f64, count: usize) -> Slanted {
        Slanted {
            name: "gull".into(),
            shape,
            fabric: "fog".into(),
            finished_mm: finished,
            count,
            mark_mm: EIGHTH,
        }
    }

    #[test]
    fn squares_are_never_too_few() {
        for (shape, count, squares) in [
            (HalfSquare, 12, 6),
            (HalfSquare, 13, 7),
            (SideSetting, 12, 3),
            (SideSetting, 13, 4),
            (CornerSetting, 4, 2),
        ] {
            let made = slanted(shape, 6.0, count).straight(0.25, 42.0);
            assert_eq!((made.len(), made[0].count), (1, squares));
        }
    }

    // Strips by Y-02: ceil(pieces / pieces per strip). From 42 in a strip of 2 5/8 gives
    // (42 - 2 5/8) / (2 5/8 sqrt 2) = 10.6, so 10 diamonds; 32 take 4 strips.
    #[test]
    fn y02_diamonds_by_strips() {
        let made = slanted(Diamond, 3.0, 32).straight(0.25, 42.0);
        let counts: Vec<_> = made
            .iter()
            .map(|p| (p.count, p.slant.as_ref().unwrap().each))
            .collect();
        assert_eq!(counts, [(3, 10), (1, 2)]);
        assert_eq!(
            made.iter().map(|p| p.count).sum::<usize>(),
            32_usize.div_ceil(10)
        );
        for strip in &made {
            let each = strip.slant.as_ref().unwrap().each;
            assert!(strip.length_mm <= 42.0 && strip.length_mm >= strip_mm(2.625, each));
            assert_eq!(strip.length_mm % EIGHTH, 0.0);
        }
        assert!(slanted(Diamond, 30.0, 8).straight(0.25, 42.0).is_empty());
    }

    // Whole millimetres: 10 cm with 0.75 cm seams: 100 + 25.6 up = 126.
    #[test]
    fn metric_marks_are_millimetres() {
        assert_eq!(HalfSquare.cut_mm(100.0, 7.5, 1.0), 126.0);
    }
}
