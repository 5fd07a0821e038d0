//! Binding: straight strips joined on the bias, or bias strips from a square or a rectangle.

/// Straight binding worked out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StraightBinding {
    /// What is needed: the way round and the extra (mm).
    pub needed_mm: f64,
    /// Strips from selvage to selvage.
    pub strips: usize,
    /// What they give, joined on the bias (mm).
    pub joined_mm: f64,
}

/// What `n` strips give that are joined on the bias: each join uses up one strip width.
///
/// # Source
/// Row Y-08, derived: `n w - (n - 1) s`.
pub fn joined_on_bias_mm(n: usize, fabric_width_mm: f64, strip_mm: f64) -> f64 {
    n as f64 * fabric_width_mm - n.saturating_sub(1) as f64 * strip_mm
}

/// The least number of strips across the fabric that give `needed_mm`, or `None` where
/// the fabric is no wider than the strip.
pub fn straight_binding(
    needed_mm: f64,
    fabric_width_mm: f64,
    strip_mm: f64,
) -> Option<StraightBinding> {
    let gain = fabric_width_mm - strip_mm;
    if !(gain > 0.0 && strip_mm > 0.0 && needed_mm.is_finite()) {
        return None;
    }
    // n w - (n - 1) s >= needed, less a hair of arithmetic.
    let strips = ((needed_mm - strip_mm - 1e-6) / gain).ceil().max(1.0) as usize;
    Some(StraightBinding {
        needed_mm,
        strips,
        joined_mm: joined_on_bias_mm(strips, fabric_width_mm, strip_mm),
    })
}

/// Bias strips cut from a square or a rectangle, and joined.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BiasStrips {
    /// One side of what they are cut from (mm).
    pub width_mm: f64,
    /// The other side (mm).
    pub height_mm: f64,
    /// Width of a strip (mm).
    pub strip_mm: f64,
    /// Strips cut from it.
    pub strips: usize,
    /// What is asked for (mm).
    pub needed_mm: f64,
    /// What they give when joined (mm).
    pub joined_mm: f64,
}

/// Side of the square for a length of bias strip if nothing were lost (mm).
///
/// # Source
/// Row Y-18: the square root of length times width.
pub fn least_bias_side_mm(needed_mm: f64, strip_mm: f64) -> f64 {
    (needed_mm * strip_mm).max(0.0).sqrt()
}

/// The square that gives `needed_mm` of bias strip, its side rounded up to `step_mm`.
///
/// # Source
/// The bound is row Y-18; what strips give is derived, see [`bias_from`].
pub fn bias_square(needed_mm: f64, strip_mm: f64, seam_mm: f64, step_mm: f64) -> BiasStrips {
    let least = least_bias_side_mm(needed_mm, strip_mm);
    grow(least, needed_mm, step_mm, |side| {
        bias_from(side, side, needed_mm, strip_mm, seam_mm)
    })
}

/// The rectangle of full fabric width that gives `needed_mm` of bias strip, its length along
/// the selvages rounded up to `step_mm`.
pub fn bias_width(
    needed_mm: f64,
    fabric_width_mm: f64,
    strip_mm: f64,
    seam_mm: f64,
    step_mm: f64,
) -> BiasStrips {
    let least = needed_mm * strip_mm / fabric_width_mm;
    grow(least, needed_mm, step_mm, |height| {
        bias_from(fabric_width_mm, height, needed_mm, strip_mm, seam_mm)
    })
}

/// What is cut grows by steps until it gives enough.
fn grow(
    least_mm: f64,
    needed_mm: f64,
    step_mm: f64,
    made: impl Fn(f64) -> BiasStrips,
) -> BiasStrips {
    // Seams of no width leave no step of their own: a ruler shows a millimetre.
    let step = step_mm.max(1.0);
    let step = if step.is_finite() { step } else { 1.0 };
    // Joins take a share only: four times as much is always enough, and the stop keeps
    // strips narrower than their seams from going on for ever.
    let most = (4.0 * least_mm / step).clamp(0.0, 1e5) + 100.0;
    let mut steps = (least_mm / step).ceil().clamp(1.0, 1e5);
    loop {
        let strips = made(steps * step);
        if strips.joined_mm >= needed_mm || steps > most {
            return strips;
        }
        steps += 1.0;
    }
}

/// Bias strips from a rectangle (a square is one): the first cut goes from a corner at
/// 45 degrees, the others beside it on both sides.
///
/// **Derivation.** Let `t` be the distance from the first cut, towards the middle of the
/// longer side, and `u` run along the cut from the corner. The rectangle is what lies
/// between `u = |t|` and `u = (w + h) / sqrt 2 - |t - c|`, `c = (w - h) / sqrt 2`: its sides slant by
/// 45 degrees against the strips, so the ends of a strip are cut already, on the straight
/// grain, and where a corner lies in the end it is cut straight once more. A strip counts as long as
/// it is in its middle; a join loses two seam allowances on the slant. Strips whose
/// ends slant against each other are joined by turns head to tail, those whose ends are
/// parallel come before them. A strip whose shorter edge is shorter than the strip is wide
/// is scrap (common practice, no source).
///
/// # Source
/// Derived; row Y-18 is its upper bound.
pub fn bias_from(
    width_mm: f64,
    height_mm: f64,
    needed_mm: f64,
    strip_mm: f64,
    seam_mm: f64,
) -> BiasStrips {
    let root = std::f64::consts::SQRT_2;
    let (w, h) = (width_mm.max(height_mm), width_mm.min(height_mm));
    let join = 2.0 * seam_mm * root;
    let mut strips = 0_usize;
    let mut joined_mm = 0.0;
    // No more than anybody cuts: what is absurd ends as well.
    let count = |length: f64| ((length / root / strip_mm + 1e-9).floor()).clamp(0.0, 1e5) as i64;
    for k in -count(h)..count(w) {
        let near = k as f64 * strip_mm;
        let Some(long) = bias_length(w, h, near, near + strip_mm) else {
            continue;
        };
        strips += 1;
        joined_mm += long - if strips > 1 { join } else { 0.0 };
    }
    BiasStrips {
        width_mm,
        height_mm,
        strip_mm,
        strips,
        needed_mm,
        joined_mm: joined_mm.max(0.0),
    }
}

/// Length in its middle of the strip between two distances from the first cut (see
/// [`bias_from`]), ends cut at 45 degrees; `None` where it is scrap.
fn bias_length(w: f64, h: f64, near: f64, far: f64) -> Option<f64> {
    let root = std::f64::consts::SQRT_2;
    let (end, middle) = ((w + h) / root, (w - h) / root);
    let at = f64::midpoint(near, far);
    // Where the strip begins in its middle if its end leans as the rectangle's side does
    // at the first corner, or the other way; and where it ends.
    let begin = [at + (-2.0 * near).max(0.0), -at + (2.0 * far).max(0.0)];
    let (near, far, at) = (near - middle, far - middle, at - middle);
    let stop = [
        end + at - (2.0 * far).max(0.0),
        end - at - (-2.0 * near).max(0.0),
    ];
    // Ends that both lean the other way would find no neighbour.
    let lengths = [(0, 0), (0, 1), (1, 0)].map(|(a, b)| {
        let long = stop[b] - begin[a];
        // Parallel ends leave both edges as long as the middle.
        let short = if a == b { long } else { long - (far - near) };
        (short >= far - near - 1e-9).then_some(long)
    });
    lengths.into_iter().flatten().max_by(f64::total_cmp)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A step of nothing, or of a hair, ends like any other and gives enough.
    #[test]
    fn a_square_is_found_whatever_the_step() {
        for step in [0.0, 1e-300, 1e-9] {
            let square = bias_square(2_500.0, 63.5, 0.0, step);
            assert!(square.width_mm.is_finite() && square.joined_mm >= 2_500.0);
            assert!(square.width_mm < 1.2 * bias_square(2_500.0, 63.5, 0.0, 1.0).width_mm);
        }
        assert!(bias_square(0.0, 63.5, 0.0, 0.0).width_mm <= 1.0);
    }

    /// Inches all through: the arithmetic has no unit.
    fn strips(needed: f64, width: f64, strip: f64) -> (usize, f64) {
        let b = straight_binding(needed, width, strip).unwrap();
        (b.strips, b.joined_mm)
    }

    // W-14, a quilt-shop tutorial: 66 x 58 and 20 in more, 40 in strips of 2 1/2: printed
    // 7 strips; exact: 7 give 265 in with bias joins, short of 268 but over 258.
    #[test]
    fn w14_bias_joins_cost_a_strip() {
        assert_eq!(joined_on_bias_mm(7, 40.0, 2.5), 265.0);
        assert_eq!(strips(2.0 * (66.0 + 58.0) + 10.0, 40.0, 2.5), (7, 265.0));
        assert_eq!(strips(2.0 * (66.0 + 58.0) + 20.0, 40.0, 2.5).0, 8);
    }

    // W-15, a quilt-shop page: 46 x 46, five strips of 2 1/2 in are 12 1/2 in of fabric.
    #[test]
    fn w15_five_strips() {
        assert_eq!(strips(184.0, 40.0, 2.5), (5, 190.0));
    }

    // W-16, a quilter's post: 50 x 60, 6 strips of 2 1/4 in give 228.75: over 220, under 230.
    #[test]
    fn w16_six_strips_or_seven() {
        assert_eq!(strips(220.0, 40.0, 2.25), (6, 228.75));
        assert_eq!(strips(230.0, 40.0, 2.25).0, 7);
    }

    // W-17, a designer's tutorial: 54 x 60 and 10, 42 in strips (2 1/2 in taken): 6.
    #[test]
    fn w17_six_strips() {
        assert_eq!(strips(238.0, 42.0, 2.5), (6, 239.5));
    }

    // W-18, W-19, quilting pages: 100 x 3 1/2, 250 x 2, 55 x 2 1/2, 450 x 2 1/4.
    #[test]
    fn w18_w19_squares() {
        for (length, strip, side, up) in [
            (100.0, 3.5, 18.708, 19.0),
            (250.0, 2.0, 22.361, 23.0),
            (55.0, 2.5, 11.726, 12.0),
            (450.0, 2.25, 31.820, 32.0),
        ] {
            assert!((least_bias_side_mm(length, strip) - side).abs() < 5e-4);
            assert_eq!(least_bias_side_mm(length, strip).ceil(), up);
            // Ours counts the scraps at the corners and what is cut at the ends as well.
            let square = bias_square(length, strip, 0.0, 1.0);
            assert!(
                square.width_mm >= up && square.width_mm <= up + 3.0,
                "{square:?}"
            );
            assert!(square.joined_mm >= length);
        }
    }

    // W-20, two pages: 20 and 12 in squares at 2 in have 200 and 72 in at most, 36 in 648.
    // W-21, an upholstery forum: 950 in from 54 in fabric are 17.593, so 18 strips of 1 1/2
    // in (27 in of fabric) sewn end to end; joined on the bias it takes one more.
    #[test]
    fn w20_w21_bounds_and_joins() {
        for (side, bound) in [(20.0, 200.0), (12.0, 72.0), (36.0, 648.0)] {
            assert!((least_bias_side_mm(bound, 2.0) - side).abs() < 1e-9);
            assert!(bias_from(side, side, bound, 2.0, 0.25).joined_mm < bound);
        }
        assert_eq!((950.0_f64 / 54.0).ceil() * 1.5, 27.0);
        assert_eq!(strips(950.0, 54.0, 1.5).0, 19);
    }

    // Y-18, Y-19: the area is an upper bound; a public chart has 60, 72 and 100 in from
    // 12, 13 and 15 in squares at 2 in, 83 to 89 % of it. Ours counts 1/4 in seams only.
    #[test]
    fn y19_yield_is_below_the_bound() {
        for (side, printed) in [(12.0, 60.0), (13.0, 72.0), (15.0, 100.0)] {
            let joined = bias_from(side, side, printed, 2.0, 0.25).joined_mm;
            assert!(
                joined < side * side / 2.0 && joined > printed,
                "{side}: {joined}"
            );
        }
    }

    // N-02: "a quarter yard gives about 10 yd of 1 1/4 in bias": the area allows 8 only.
    #[test]
    fn n02_area_bounds_bias() {
        assert_eq!(9.0 * 40.0 / 1.25 / 36.0, 8.0);
        assert!(bias_square(360.0, 1.25, 0.25, 1.0).width_mm.powi(2) > 9.0 * 40.0);
    }

    #[test]
    fn no_strip_from_fabric_that_is_too_narrow() {
        assert_eq!(straight_binding(100.0, 2.5, 2.5), None);
        assert_eq!(straight_binding(f64::NAN, 40.0, 2.5), None);
    }

    // 250 in of 2 1/2 in bias: a square takes its side of the fabric's length, a rectangle of
    // full width (42 in) takes less, and neither yields more than its area.
    #[test]
    fn a_rectangle_of_full_width_takes_less_length_than_a_square() {
        let square = bias_square(250.0, 2.5, 0.25, 1.0);
        let wide = bias_width(250.0, 42.0, 2.5, 0.25, 1.0);
        assert!(
            wide.height_mm < square.height_mm - 6.0,
            "{wide:?} {square:?}"
        );
        for cut in [square, wide] {
            assert!(cut.joined_mm >= 250.0);
            assert!(
                cut.joined_mm * 2.5 < cut.width_mm * cut.height_mm,
                "{cut:?}"
            );
        }
    }

    // Every strip, its ends cut as they are reckoned, lies inside the rectangle: by
    // coordinates, corner by corner; and no two of them overlap (they stand side by side).
    #[test]
    fn bias_strips_lie_inside_their_rectangle() {
        let root = std::f64::consts::SQRT_2;
        for (w, h, strip) in [
            (42.0, 16.75, 2.5),
            (26.5, 26.5, 2.5),
            (12.0, 12.0, 2.0),
            (40.0, 9.0, 1.25),
        ] {
            let mut whole = 0;
            for k in -20_i32..30 {
                let (near, far) = (f64::from(k) * strip, f64::from(k + 1) * strip);
                let Some(long) = bias_length(w, h, near, far) else {
                    continue;
                };
                whole += 1;
                // Slide a strip of that middle length along: somewhere one of the three
                // pairs of ends fits with all four corners inside.
                let inside = |t: f64, u: f64| {
                    let (x, y) = ((u + t) / root, (u - t) / root);
                    (-1e-6..=w + 1e-6).contains(&x) && (-1e-6..=h + 1e-6).contains(&y)
                };
                let half = strip / 2.0;
                let fits = (0..=4000).any(|i| {
                    let begin = f64::from(i) * (w + h) / root / 4000.0;
                    [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0)]
                        .iter()
                        .any(|&(a, b)| {
                            let slack = 0.02;
                            let end = begin + long - slack;
                            inside(near, begin - a * half)
                                && inside(far, begin + a * half)
                                && inside(near, end - b * half)
                                && inside(far, end + b * half)
                        })
                });
                assert!(fits, "{w} x {h}: strip {k}, {long}");
            }
            assert_eq!(whole, bias_from(w, h, 1.0, strip, 0.25).strips);
        }
    }
}
