//! Which template goes on which sheet: small ones share sheets, large ones run over
//! several.

/// A template's box with its caption (mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Size {
    pub width_mm: f64,
    pub height_mm: f64,
}

/// Where a template that fits on a sheet is put: the top left corner of its box,
/// measured within the sheet's room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Spot {
    pub index: usize,
    pub x_mm: f64,
    pub y_mm: f64,
}

/// Space between neighbours on a sheet (mm).
const BETWEEN_MM: f64 = 5.0;

/// Sheets of templates that each fit into the room, on shelves, tall ones first.
pub(super) fn shelve(sizes: &[(usize, Size)], room: Size) -> Vec<Vec<Spot>> {
    struct Shelf {
        sheet: usize,
        top: f64,
        height: f64,
        used: f64,
    }
    let mut order = sizes.to_vec();
    order.sort_by(|(i, a), (j, b)| b.height_mm.total_cmp(&a.height_mm).then(i.cmp(j)));
    let mut shelves: Vec<Shelf> = Vec::new();
    let mut filled: Vec<f64> = Vec::new();
    let mut sheets: Vec<Vec<Spot>> = Vec::new();
    for (index, size) in order {
        let known = shelves.iter().position(|shelf| {
            size.height_mm <= shelf.height && shelf.used + size.width_mm <= room.width_mm
        });
        let at = known.unwrap_or_else(|| {
            let sheet = filled
                .iter()
                .position(|&filled| filled + size.height_mm <= room.height_mm)
                .unwrap_or_else(|| {
                    filled.push(0.0);
                    sheets.push(Vec::new());
                    filled.len() - 1
                });
            shelves.push(Shelf {
                sheet,
                top: filled[sheet],
                height: size.height_mm,
                used: 0.0,
            });
            filled[sheet] += size.height_mm + BETWEEN_MM;
            shelves.len() - 1
        });
        let shelf = &mut shelves[at];
        sheets[shelf.sheet].push(Spot {
            index,
            x_mm: shelf.used,
            y_mm: shelf.top,
        });
        shelf.used += size.width_mm + BETWEEN_MM;
    }
    sheets
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
    fn shelves_hold_everything_apart() {
        let room = Size {
            width_mm: 184.0,
            height_mm: 220.0,
        };
        let sizes: Vec<(usize, Size)> = (0..30)
            .map(|i| {
                let size = Size {
                    width_mm: 30.0 + (i * 37 % 90) as f64,
                    height_mm: 20.0 + (i * 53 % 110) as f64,
                };
                (i, size)
            })
            .collect();
        let sheets = shelve(&sizes, room);
        let mut seen = 0;
        for sheet in &sheets {
            for (n, a) in sheet.iter().enumerate() {
                seen += 1;
                let size = |s: &Spot| sizes[s.index].1;
                assert!(a.x_mm + size(a).width_mm <= room.width_mm + 1e-9);
                assert!(a.y_mm + size(a).height_mm <= room.height_mm + 1e-9);
                for b in &sheet[..n] {
                    let apart = a.x_mm >= b.x_mm + size(b).width_mm
                        || b.x_mm >= a.x_mm + size(a).width_mm
                        || a.y_mm >= b.y_mm + size(b).height_mm
                        || b.y_mm >= a.y_mm + size(a).height_mm;
                    assert!(apart, "{a:?} {b:?}");
                }
            }
        }
        assert_eq!(seen, 30);
    }

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
