//! Arcs as chords, flattened to the safe side.

use super::{Point, point};

/// The side on which the flattened arc may depart from the true one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ArcSide {
    /// Never inside the circle: a rim, where fabric lies within the arc.
    Outside,
    /// Never outside the circle: a hub, where fabric lies beyond the arc.
    Inside,
}

/// The points of an arc about the origin, first and last exactly on it.
///
/// **Shape** from `from_rad` to `to_rad` (clockwise where that is smaller), both
/// ends included. **Tolerance** no point of the chords is further than `tol_mm` from
/// the arc. **Method** inside: points on the circle; outside: tangents at equal
/// steps, meeting at `r / cos(step / 2)`, so that cut lines are never too small.
pub fn flatten(
    radius_mm: f64,
    from_rad: f64,
    to_rad: f64,
    side: ArcSide,
    tol_mm: f64,
) -> Vec<Point> {
    let at = |r: f64, angle: f64| point(r * angle.cos(), r * angle.sin());
    if radius_mm <= 0.0 {
        return vec![point(0.0, 0.0)];
    }
    let sweep = to_rad - from_rad;
    // Sagitta r (1 - cos(step/2)) within, r (1/cos(step/2) - 1) without.
    let cos_half = match side {
        ArcSide::Inside => 1.0 - tol_mm / radius_mm,
        ArcSide::Outside => radius_mm / (radius_mm + tol_mm),
    };
    // A circle smaller than the tolerance still gets the corners of a hexagon.
    let widest = 2.0 * cos_half.max(0.5).acos();
    let steps = (sweep.abs() / widest).ceil().max(1.0) as usize;
    let step = sweep / steps as f64;
    let mut points = vec![at(radius_mm, from_rad)];
    match side {
        ArcSide::Inside => {
            points.extend((1..steps).map(|i| at(radius_mm, from_rad + step * i as f64)));
        }
        ArcSide::Outside => {
            let corner = radius_mm / (step / 2.0).cos();
            points.extend((0..steps).map(|i| at(corner, from_rad + step * (i as f64 + 0.5))));
        }
    }
    points.push(at(radius_mm, to_rad));
    points
}

/// Length of the chord under an arc: `2 r sin(sweep / 2)`.
pub fn chord(radius: f64, sweep_rad: f64) -> f64 {
    2.0 * radius * (sweep_rad / 2.0).sin()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::{PI, TAU};

    #[test]
    fn chords_stay_on_their_side() {
        for (side, low, high) in [
            (ArcSide::Outside, 100.0, 100.05),
            (ArcSide::Inside, 99.95, 100.0),
        ] {
            let points = flatten(100.0, 0.3, 0.3 + PI, side, 0.05);
            for pair in points.windows(2) {
                for t in 0..=20 {
                    let t = f64::from(t) / 20.0;
                    let p = pair[0] * (1.0 - t) + pair[1] * t;
                    let r = p.x.hypot(p.y);
                    assert!(r > low - 1e-9 && r < high + 1e-9, "{side:?} {r}");
                }
            }
        }
    }

    #[test]
    fn tiny_circles_are_no_trouble() {
        assert!(flatten(0.01, 0.0, TAU, ArcSide::Outside, 0.05).len() >= 4);
        assert_eq!(flatten(0.0, 0.0, TAU, ArcSide::Outside, 0.05).len(), 1);
    }
}
