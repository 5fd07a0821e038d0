//! Backing in panels.

use super::SeamRun;

/// The narrowest panel that is cut (mm): 4 in. A ribbon at one edge is seam upon seam, and
/// the least error of squaring up runs off it. Common practice, no source.
const LEAST_PANEL_MM: f64 = 101.6;

/// Panels of a backing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Panels {
    /// Which way the seams run.
    pub seams: SeamRun,
    /// How many.
    pub count: usize,
    /// Length of each, along its selvages (mm).
    pub length_mm: f64,
    /// All of them one after the other (mm).
    pub total_mm: f64,
    /// Width of the last; the others are as wide as the fabric (mm).
    pub last_width_mm: f64,
}

/// Panels of fabric width, the last of them no wider than is needed (but never a ribbon: it
/// is at least 4 in, and the back then reaches further over that side), that back `width x height` (mm, overhang counted in),
/// joined with `seam_mm`; `run` says which way the seams run, or the shorter is taken.
/// `None` where the fabric has no width left between its seams.
pub fn panels(
    width_mm: f64,
    height_mm: f64,
    fabric_width_mm: f64,
    seam_mm: f64,
    run: Option<SeamRun>,
) -> Option<Panels> {
    let one = |seams: SeamRun| {
        let (across, length_mm) = match seams {
            SeamRun::Vertical => (width_mm, height_mm),
            SeamRun::Horizontal => (height_mm, width_mm),
        };
        let gain = fabric_width_mm - 2.0 * seam_mm;
        if !(gain > 0.0 && across.is_finite()) {
            return None;
        }
        // n w - (n - 1) 2 s >= across, less a hair of arithmetic.
        let count = ((across - 2.0 * seam_mm - 1e-6) / gain).ceil().max(1.0) as usize;
        Some(Panels {
            seams,
            count,
            length_mm,
            total_mm: count as f64 * length_mm,
            // n - 1 widths and the last, less 2 s a seam, are what is needed across.
            last_width_mm: last_width(across - (count - 1) as f64 * gain, count)
                .min(fabric_width_mm),
        })
    };
    match run {
        Some(seams) => one(seams),
        None => {
            let (vertical, level) = (one(SeamRun::Vertical)?, one(SeamRun::Horizontal)?);
            Some(if level.total_mm < vertical.total_mm {
                level
            } else {
                vertical
            })
        }
    }
}

/// What the last of so many panels is cut, where `needed_mm` would do: a single panel is
/// as wide as what it backs, however narrow that is.
fn last_width(needed_mm: f64, count: usize) -> f64 {
    if count > 1 {
        needed_mm.max(LEAST_PANEL_MM)
    } else {
        needed_mm
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Panels in inches, as the sources give them.
    fn inches(wide: f64, high: f64, fabric: f64, seam: f64, run: Option<SeamRun>) -> Panels {
        let mm = |inches: f64| inches * 25.4;
        let back = |mm: f64| (mm / 25.4 * 1e6).round() / 1e6;
        let found = panels(mm(wide), mm(high), mm(fabric), mm(seam), run).unwrap();
        Panels {
            length_mm: back(found.length_mm),
            total_mm: back(found.total_mm),
            last_width_mm: back(found.last_width_mm),
            ..found
        }
    }

    // W-30, a quilting article: 72 x 90, two 42 in panels; 94 long is 188 in = 5.222 yd,
    // with 4 in all round 196 in = 5.444 yd.
    #[test]
    fn w30_two_panels() {
        let vertical = Some(SeamRun::Vertical);
        let plain = inches(76.0, 94.0, 42.0, 0.25, vertical);
        assert_eq!((plain.count, plain.total_mm), (2, 188.0));
        // 42 and 34 1/2 in, joined with 1/2 in of seam, are the 76 in across.
        assert_eq!(plain.last_width_mm, 34.5);
        let all_round = inches(80.0, 98.0, 42.0, 0.25, vertical);
        assert_eq!((all_round.count, all_round.total_mm), (2, 196.0));
        assert!((all_round.total_mm / 36.0 - 5.444).abs() < 1e-3);
    }

    // N-03: "(50 + 4)(70 + 4) / 36 = 111 yd" divides square inches by 36. By panels: two
    // widths of 54 in are 3.00 yd, two lengths of 74 in are 4.11 yd.
    #[test]
    fn n03_panels_not_area() {
        let level = inches(54.0, 74.0, 42.0, 0.25, Some(SeamRun::Horizontal));
        let vertical = inches(54.0, 74.0, 42.0, 0.25, Some(SeamRun::Vertical));
        assert_eq!((level.count, level.total_mm / 36.0), (2, 3.0));
        assert!((vertical.total_mm / 36.0 - 4.11).abs() < 2e-3);
        assert_eq!(inches(54.0, 74.0, 42.0, 0.25, None), level);
        assert!(level.total_mm / 36.0 < 111.0);
    }

    // N-05: area / 1296 + 1/2 yd forgets the fabric's width: here it is a yard short.
    #[test]
    fn n05_width_counts() {
        let need = inches(80.5, 84.0, 40.0, 0.25, None).total_mm / 36.0;
        assert!(need > 80.5 * 84.0 / 1296.0 + 0.5 + 0.9);
    }

    // Own example, in mm: 1000 wide fabric, seams of 6. Two panels give 1988; 1 mm more asks
    // for a third, which would be cut 13 wide, of which 12 are seam.
    #[test]
    fn no_panel_is_a_ribbon() {
        let vertical = Some(SeamRun::Vertical);
        let at = |width_mm| panels(width_mm, 2500.0, 1000.0, 6.0, vertical).unwrap();
        assert_eq!((at(1988.0).count, at(1988.0).last_width_mm), (2, 1000.0));
        assert_eq!((at(1989.0).count, at(1989.0).last_width_mm), (3, 101.6));
        // 2 * 988 + 101.6 across is where as much is needed anyway.
        assert_eq!(at(2077.6).last_width_mm, 101.6);
        assert!((at(2078.6).last_width_mm - 102.6).abs() < 1e-9);
        // A single panel is as narrow as what it backs, a fabric never wider than it is.
        assert_eq!(at(60.0).last_width_mm, 60.0);
        let ribbon = panels(300.0, 500.0, 80.0, 6.0, vertical).unwrap();
        assert_eq!((ribbon.count, ribbon.last_width_mm), (5, 80.0));
    }

    // Own example: one panel is no wider than what it backs, however wide the fabric.
    #[test]
    fn one_panel_is_no_wider_than_needed() {
        let one = inches(62.0, 62.0, 106.0, 0.75, None);
        assert_eq!(
            (one.count, one.length_mm, one.last_width_mm),
            (1, 62.0, 62.0)
        );
        let full = inches(42.0, 60.0, 42.0, 0.25, Some(SeamRun::Vertical));
        assert_eq!((full.count, full.last_width_mm), (1, 42.0));
    }
}
