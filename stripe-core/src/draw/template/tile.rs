//! How a template that is larger than a sheet runs over several.

/// A box (mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Size {
    pub width_mm: f64,
    pub height_mm: f64,
}

/// How a large template is cut into sheets: along each side, where each sheet's room
/// begins, and where neighbours are joined (the middle of what both show).
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Tiling {
    pub starts_x: Vec<f64>,
    pub starts_y: Vec<f64>,
    pub joins_x: Vec<f64>,
    pub joins_y: Vec<f64>,
}

/// What two neighbouring sheets both show (mm).
pub(super) const OVERLAP_MM: f64 = 16.0;

/// The tiling of a box by rooms. Where a point is named, such as the centre of a motif at which
/// all has to match, joins keep as far from it as the sheets allow.
pub(super) fn tile(size: Size, room: Size, whole: Option<[f64; 2]>) -> Tiling {
    let side = |length: f64, room: f64, whole: Option<f64>| {
        let step = room - OVERLAP_MM;
        let count = ((length - OVERLAP_MM) / step).ceil().max(1.0) as usize;
        let spare = count as f64 * step + OVERLAP_MM - length;
        let starts = |share: f64| -> Vec<f64> {
            let first = spare * share;
            (0..count).map(|i| i as f64 * step - first).collect()
        };
        let joins = |starts: &[f64]| -> Vec<f64> {
            starts[1..].iter().map(|s| s + OVERLAP_MM / 2.0).collect()
        };
        // The last sheet would show the most waste: what is over is shared out.
        let mut best = starts(0.5);
        if let Some(whole) = whole {
            let clear = |starts: &[f64]| {
                let gaps = joins(starts).into_iter().map(|join| (join - whole).abs());
                gaps.fold(f64::INFINITY, f64::min)
            };
            for share in [0.25, 0.75, 0.0, 1.0] {
                let other = starts(share);
                if clear(&other) > clear(&best) + 1e-6 {
                    best = other;
                }
            }
        }
        let joins = joins(&best);
        (best, joins)
    };
    let (starts_x, joins_x) = side(size.width_mm, room.width_mm, whole.map(|[x, _]| x));
    let (starts_y, joins_y) = side(size.height_mm, room.height_mm, whole.map(|[_, y]| y));
    Tiling {
        starts_x,
        starts_y,
        joins_x,
        joins_y,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tiles_cover_and_overlap() {
        let (size, room) = (
            Size {
                width_mm: 400.0,
                height_mm: 120.0,
            },
            Size {
                width_mm: 184.0,
                height_mm: 220.0,
            },
        );
        let tiling = tile(size, room, None);
        assert_eq!((tiling.starts_x.len(), tiling.starts_y.len()), (3, 1));
        assert!(tiling.starts_x[0] <= 0.0);
        assert!(tiling.starts_x[2] + room.width_mm >= 400.0);
        for (join, start) in tiling.joins_x.iter().zip(&tiling.starts_x) {
            // Seen on the sheet before it and on the one after.
            assert!(*join < start + room.width_mm);
        }
    }

    /// A motif's centre does not lie on a join where two sheets have room to spare.
    #[test]
    fn joins_keep_off_the_centre() {
        let size = Size {
            width_mm: 280.0,
            height_mm: 280.0,
        };
        let room = Size {
            width_mm: 184.0,
            height_mm: 220.0,
        };
        let plain = tile(size, room, None);
        assert!((plain.joins_x[0] - 140.0).abs() < 1e-9);
        let kept = tile(size, room, Some([140.0, 140.0]));
        assert!((kept.joins_x[0] - 140.0).abs() > 30.0, "{kept:?}");
        assert!((kept.joins_y[0] - 140.0).abs() > 60.0, "{kept:?}");
        for (starts, room, length) in [
            (&kept.starts_x, room.width_mm, 280.0),
            (&kept.starts_y, room.height_mm, 280.0),
        ] {
            assert!(starts[0] <= 0.0 && starts[1] + room >= length, "{kept:?}");
        }
    }
}
