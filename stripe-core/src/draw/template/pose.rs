//! How a template stands on its sheet: true size, as seen or mirrored, perhaps
//! turned a quarter to fit.

use crate::shape::{Point, point};

/// From the motif frame (y up) to the page (y down), at true size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pose {
    /// Whether x is turned to -x first.
    pub mirrored: bool,
    /// Whether it is turned a quarter, clockwise on the page.
    pub quarter: bool,
    /// Where the motif's centre comes to lie on the page.
    pub centre: Point,
}

impl Pose {
    /// Where a point of the motif is drawn.
    pub(super) fn apply(&self, p: Point) -> Point {
        let v = self.turn(p);
        point(self.centre.x + v.x, self.centre.y + v.y)
    }

    /// Where a direction of the motif points on the page.
    pub(super) fn turn(&self, v: Point) -> Point {
        let x = if self.mirrored { -v.x } else { v.x };
        if self.quarter {
            point(v.y, x)
        } else {
            point(x, -v.y)
        }
    }

    /// Rings of the motif on the page.
    pub(super) fn rings(&self, rings: &[Vec<Point>]) -> Vec<Vec<Point>> {
        rings
            .iter()
            .map(|ring| ring.iter().map(|&p| self.apply(p)).collect())
            .collect()
    }

    /// The same pose moved on the page.
    pub(super) fn moved(self, by: Point) -> Self {
        Self {
            centre: self.centre + by,
            ..self
        }
    }
}
