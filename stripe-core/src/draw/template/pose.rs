//! How a template stands on its sheet: true size, as seen or mirrored, turned by
//! quarters to fit.

use crate::shape::{Point, point};

/// From the motif frame (y up) to the page (y down), at true size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pose {
    /// Whether x is turned to -x first.
    pub mirrored: bool,
    /// By how many quarters it is turned, clockwise on the page.
    pub quarters: u8,
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
        match self.quarters % 4 {
            0 => point(x, -v.y),
            1 => point(v.y, x),
            2 => point(-x, v.y),
            _ => point(-v.y, -x),
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn four_quarters_are_none() {
        let pose = |quarters| Pose {
            mirrored: true,
            quarters,
            centre: point(3.0, 4.0),
        };
        let p = point(1.0, 2.0);
        assert_eq!(pose(0).apply(p), point(2.0, 2.0));
        for quarters in 0..4 {
            // On the page, where y points down, a quarter clockwise takes (x, y) to (-y, x).
            let (v, turned) = (pose(quarters).turn(p), pose(quarters + 1).turn(p));
            assert_eq!(turned, point(-v.y, v.x));
        }
    }
}
