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

/// The tiling of a box by rooms.
pub(super) fn tile(size: Size, room: Size) -> Tiling {
    let side = |length: f64, room: f64| {
        let step = room - OVERLAP_MM;
        let count = ((length - OVERLAP_MM) / step).ceil().max(1.0) as usize;
        // The last sheet would show the most waste: what is over is shared out.
        let spare = count as f64 * step + OVERLAP_MM - length;
        let starts: Vec<f64> = (0..count).map(|i| i as f64 * step - spare / 2.0).collect();
        let joins = starts[1..].iter().map(|s| s + OVERLAP_MM / 2.0).collect();
        (starts, joins)
    };
    let (starts_x, joins_x) = side(size.width_mm, room.width_mm);
    let (starts_y, joins_y) = side(size.height_mm, room.height_mm);
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
        let tiling = tile(size, room);
        assert_eq!((tiling.starts_x.len(), tiling.starts_y.len()), (3, 1));
        assert!(tiling.starts_x[0] <= 0.0);
        assert!(tiling.starts_x[2] + room.width_mm >= 400.0);
        for (join, start) in tiling.joins_x.iter().zip(&tiling.starts_x) {
            // Seen on the sheet before it and on the one after.
            assert!(*join < start + room.width_mm);
        }
    }
}
