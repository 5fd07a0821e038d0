//! Rigid maps of the plane: mirror first, then rotate, then move.

use super::{Point, Region, point};

/// A rigid map `p -> R(rotate) M p + d`, where `M` is `x -> -x` if `mirror`.
///
/// This order is the plan file's `to_fabric`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rigid {
    /// Rotation, radians counter-clockwise, done after the mirror.
    pub rotate_rad: f64,
    /// Whether x is turned to -x first: the piece then shows its other face.
    pub mirror: bool,
    /// The translation, done last (mm).
    pub shift: Point,
}

impl Rigid {
    /// The map that leaves everything where it is.
    pub const IDENTITY: Self = Self {
        rotate_rad: 0.0,
        mirror: false,
        shift: point(0.0, 0.0),
    };

    /// The same turn and mirror with another translation.
    pub fn moved_to(self, shift: Point) -> Self {
        Self { shift, ..self }
    }

    /// Where `p` goes.
    pub fn apply(&self, p: Point) -> Point {
        self.turn(p) + self.shift
    }

    /// Where the vector `v` goes: without the translation.
    pub fn turn(&self, v: Point) -> Point {
        let (sin, cos) = self.rotate_rad.sin_cos();
        let x = if self.mirror { -v.x } else { v.x };
        point(cos * x - sin * v.y, sin * x + cos * v.y)
    }

    /// The vector that `turn` sends to `v`.
    pub fn unturn(&self, v: Point) -> Point {
        let (sin, cos) = self.rotate_rad.sin_cos();
        let x = cos * v.x + sin * v.y;
        point(if self.mirror { -x } else { x }, cos * v.y - sin * v.x)
    }

    /// The point that `apply` sends to `p`.
    pub fn unapply(&self, p: Point) -> Point {
        self.unturn(p - self.shift)
    }

    /// Where a region goes; rings keep the orientation that [`Region`] promises.
    pub fn apply_to(&self, region: &Region) -> Region {
        let map = |ring: &geo_types::LineString<f64>| {
            let mut points: Vec<Point> = ring.0.iter().map(|&p| self.apply(p)).collect();
            if self.mirror {
                points.reverse();
            }
            geo_types::LineString(points)
        };
        Region::new(
            map(region.exterior()),
            region.interiors().iter().map(map).collect(),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::FRAC_PI_2;

    #[test]
    fn mirrors_then_turns_then_moves() {
        let map = Rigid {
            rotate_rad: FRAC_PI_2,
            mirror: true,
            shift: point(10.0, 0.0),
        };
        let p = map.apply(point(1.0, 2.0));
        assert!((p.x - 8.0).abs() < 1e-12 && (p.y + 1.0).abs() < 1e-12);
        let back = map.unturn(p - map.shift);
        assert!((back.x - 1.0).abs() < 1e-12 && (back.y - 2.0).abs() < 1e-12);
    }
}
