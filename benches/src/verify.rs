//! Every lay is verified by polygon Booleans, which share nothing with the
//! tables that it was found with.

use crate::instance::{Instance, Placed, Sort};
use geo::{Area, BooleanOps, BoundingRect};

/// What a layout really is, measured on the instance's own outlines.
#[derive(Debug, Clone, Copy)]
pub struct Verdict {
    /// Extent along the strip, from the first piece to the last (file's unit).
    pub length: f64,
    /// Area of overlaps over the area of all pieces.
    pub overlap: f64,
    /// How far the worst piece sticks out over a selvage (file's unit).
    pub outside: f64,
    /// How far the worst piece is off its line, modulo the repeat (file's unit).
    pub off_line: f64,
    /// Whether every piece is there as often as it should be.
    pub complete: bool,
}

impl Verdict {
    /// Whether the layout stands: overlaps of less than a millionth of the area and
    /// departures of less than a millionth of the width are rounding.
    pub fn stands(&self, width: f64) -> bool {
        self.overlap < 1e-6
            && self.outside < 1e-6 * width
            && self.off_line < 1e-6 * width
            && self.complete
    }
}

/// Measures a layout.
pub fn verify(instance: &Instance, placed: &[Placed]) -> Verdict {
    let outlines: Vec<_> = placed.iter().map(|p| instance.outline(p)).collect();
    let boxes: Vec<_> = outlines.iter().filter_map(|o| o.bounding_rect()).collect();
    let mut overlap = 0.0;
    for i in 0..outlines.len() {
        for j in 0..i {
            let (a, b) = (&boxes[i], &boxes[j]);
            let apart = a.min().x >= b.max().x
                || b.min().x >= a.max().x
                || a.min().y >= b.max().y
                || b.min().y >= a.max().y;
            if !apart {
                overlap += outlines[i].intersection(&outlines[j]).unsigned_area();
            }
        }
    }
    let locked = instance.sort() == Sort::Locked;
    let along = |p: geo::Coord<f64>| if locked { p.y } else { p.x };
    let across = |p: geo::Coord<f64>| if locked { p.x } else { p.y };
    let fold = |f: &dyn Fn(&geo::Rect<f64>) -> f64| boxes.iter().map(f).fold(f64::MIN, f64::max);
    let length = fold(&|b| along(b.max())) + fold(&|b| -along(b.min()));
    let over = instance.overhang();
    let outside = fold(&|b| (-over - across(b.min())).max(across(b.max()) - instance.width - over));
    let mut off_line: f64 = 0.0;
    if let Some(repeat) = instance.repeat {
        // Free offsets are shared: all pieces stand as the first one does.
        let from = if instance.optimum.is_some() {
            0.0
        } else {
            placed.first().map_or(0.0, |p| p.shift[0])
        };
        for p in placed {
            let steps = (p.shift[0] - from) / repeat;
            off_line = off_line.max((steps - steps.round()).abs() * repeat);
        }
    }
    let complete = instance
        .pieces
        .iter()
        .enumerate()
        .all(|(i, piece)| placed.iter().filter(|p| p.piece == i).count() == piece.count);
    Verdict {
        length,
        overlap: overlap / instance.area(),
        outside: outside.max(0.0),
        off_line,
        complete,
    }
}
