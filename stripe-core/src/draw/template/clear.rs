//! What of a template is taken already: ticks, marks, words and the grain's arrow keep off
//! each other, so that none hides another.

use crate::shape::{Point, dot, point};

/// Things that lie on a template, each as a box that may be turned (page frame, mm).
#[derive(Debug, Clone, Default)]
pub(super) struct Taken {
    boxes: Vec<[Point; 4]>,
}

impl Taken {
    /// Whether a box is clear of all that is there, touching excepted.
    pub(super) fn is_clear(&self, corners: &[Point; 4]) -> bool {
        self.boxes.iter().all(|other| are_apart(corners, other))
    }

    /// Lays a box down, whatever is there already.
    pub(super) fn add(&mut self, corners: [Point; 4]) {
        self.boxes.push(corners);
    }

    /// Points all over the boxes, no further apart than that.
    pub(super) fn points(&self, step_mm: f64) -> Vec<Point> {
        let mut points = Vec::new();
        for [a, b, _, d] in &self.boxes {
            let (along, across) = (*b - *a, *d - *a);
            let parts = |v: Point| (v.x.hypot(v.y) / step_mm).ceil().max(1.0) as usize;
            let (m, n) = (parts(along), parts(across));
            for i in 0..=m {
                for j in 0..=n {
                    let (s, t) = (i as f64 / m as f64, j as f64 / n as f64);
                    points.push(*a + along * s + across * t);
                }
            }
        }
        points
    }
}

/// The box about a line, so far to either side of it and beyond its ends.
pub(super) fn about(a: Point, b: Point, half_mm: f64) -> [Point; 4] {
    let length = (b.x - a.x).hypot(b.y - a.y);
    let along = if length > 1e-9 {
        (b - a) / length
    } else {
        point(1.0, 0.0)
    };
    let (u, v) = (along * half_mm, point(-along.y, along.x) * half_mm);
    [a - u - v, b + u - v, b + u + v, a - u + v]
}

/// The box from one corner to the other.
pub(super) fn upright([low, high]: [Point; 2]) -> [Point; 4] {
    [low, point(high.x, low.y), high, point(low.x, high.y)]
}

/// Whether some line parts two boxes: along one of their sides, if there is one at all.
fn are_apart(a: &[Point; 4], b: &[Point; 4]) -> bool {
    let sides = [a[1] - a[0], a[3] - a[0], b[1] - b[0], b[3] - b[0]];
    sides.into_iter().any(|side| {
        let normal = point(-side.y, side.x);
        let span = |corners: &[Point; 4]| {
            let at = corners.map(|p| dot(normal, p));
            [
                at.into_iter().fold(f64::INFINITY, f64::min),
                at.into_iter().fold(f64::NEG_INFINITY, f64::max),
            ]
        };
        let ([a0, a1], [b0, b1]) = (span(a), span(b));
        a1 <= b0 + 1e-9 || b1 <= a0 + 1e-9
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn boxes_at_a_slant_are_told_apart() {
        let mut taken = Taken::default();
        taken.add(about(point(0.0, 0.0), point(10.0, 10.0), 1.0));
        // In the corner of the upright box about it, but clear of the slanting one.
        let corner = upright([point(7.0, 0.0), point(9.0, 2.0)]);
        assert!(taken.is_clear(&corner));
        assert!(!taken.is_clear(&upright([point(4.0, 4.0), point(5.0, 5.0)])));
        assert!(!taken.is_clear(&about(point(0.0, 8.0), point(8.0, 0.0), 0.5)));
        let points = taken.points(0.5);
        assert!(points.iter().any(|p| (p.x - 5.0).hypot(p.y - 5.0) < 0.6));
    }
}
