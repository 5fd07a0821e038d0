//! A region moved out edge by edge: how a cut line follows from a finished line.

use super::arc::{ArcSide, flatten};
use super::ring::{edges, open, tidy};
use super::{Point, Region, cross, distance, dot, point};
use crate::num::CHORD_TOL_MM;
use geo::{Area, Contains, InteriorPoint, unary_union};
use geo_types::{LineString, Polygon};

/// A mitred corner reaches at most this many allowances from the finished corner;
/// longer tips are trimmed square. 2.5 keeps the whole point of corners down to
/// 47 degrees.
pub const MITRE_LIMIT: f64 = 2.5;

/// Edges that turn by less than this (radians) are chords of one arc, or as good as one.
const SMOOTH_RAD: f64 = 0.9;

/// The region grown by an allowance of its own at every edge.
///
/// **Shape** `allowance_mm` lists the edges ring by ring (outer first), each edge
/// named by its first point; the result is one region, its outer ring
/// counter-clockwise, with a hole for every hole of the input that is left open.
/// Where allowances across a narrow gap meet, the gap is closed.
/// **Method** the union of the region, one strip an edge, and one kite a convex
/// corner, mitred up to [`MITRE_LIMIT`] (own derivation: every point within the
/// allowance of an edge, measured square to it, belongs to that edge's strip).
/// Along an arc corners are round, as the arc's own offset is; and where an arc's allowance
/// drops from one chord to the next, the wider strip ends in a quarter circle, so that its
/// last points have their allowance all about them and not only square to the edge.
pub fn grow(region: &Region, allowance_mm: &[f64]) -> Region {
    let mut parts: Vec<Polygon<f64>> = vec![region.clone()];
    let mut allowances = allowance_mm.iter().copied();
    for ring in super::ring::rings(region) {
        let edges: Vec<(Point, Point)> = edges(ring).collect();
        let widths: Vec<f64> = allowances.by_ref().take(edges.len()).collect();
        for (i, (&(p, q), &a)) in edges.iter().zip(&widths).enumerate() {
            let next = (i + 1) % edges.len();
            if a > 0.0 {
                let out = outward(p, q) * a;
                parts.push(ring_of(vec![p, p + out, q + out, q]));
            }
            let (edge, after, b) = (edges[i], edges[next], widths[next]);
            let turn = turn_rad(edge, after);
            if turn.abs() >= SMOOTH_RAD {
                parts.extend(corner(edge, a, after, b));
            } else if a == b {
                parts.extend(rounded(edge, after, a, turn));
            } else {
                parts.extend(corner(edge, a, after, b));
                parts.push(rounded_end(edge, a, after, b));
            }
        }
    }
    let united = unary_union(&parts);
    // All parts touch the region, so the union is one polygon; a crumb that the
    // snapping grid broke off is no fabric.
    let whole = united
        .into_iter()
        .max_by(|a, b| a.unsigned_area().total_cmp(&b.unsigned_area()))
        .unwrap_or_else(|| region.clone());
    keep_true_holes(region, &whole)
}

/// The unit normal that points out of a region on the left of `p -> q`.
fn outward(p: Point, q: Point) -> Point {
    let length = distance(p, q);
    point((q.y - p.y) / length, (p.x - q.x) / length)
}

/// How far the second edge turns left of the first (radians).
fn turn_rad(before: (Point, Point), after: (Point, Point)) -> f64 {
    let (d1, d2) = (direction(before), direction(after));
    cross(d1, d2).atan2(dot(d1, d2))
}

/// What fills the corner between two equal strips along an arc: a piece of a circle.
fn rounded(
    before: (Point, Point),
    after: (Point, Point),
    a: f64,
    turn_rad: f64,
) -> Option<Polygon<f64>> {
    if a <= 0.0 || turn_rad <= 1e-9 {
        return None;
    }
    let out = outward(before.0, before.1);
    let from = out.y.atan2(out.x);
    Some(sector(after.0, a, from, from + turn_rad))
}

/// A quarter circle about the point where an arc's allowance changes, from the wider strip
/// over the beginning of the narrower one.
fn rounded_end(before: (Point, Point), a: f64, after: (Point, Point), b: f64) -> Polygon<f64> {
    let ((wide, width), way) = if a > b {
        ((before, a), 1.0)
    } else {
        ((after, b), -1.0)
    };
    let out = outward(wide.0, wide.1);
    let from = out.y.atan2(out.x);
    sector(
        after.0,
        width,
        from,
        from + way * std::f64::consts::FRAC_PI_2,
    )
}

/// A sector of a circle, nowhere smaller than the true one.
fn sector(at: Point, radius: f64, from_rad: f64, to_rad: f64) -> Polygon<f64> {
    let mut points = vec![at];
    let arc = flatten(radius, from_rad, to_rad, ArcSide::Outside, CHORD_TOL_MM);
    points.extend(arc.into_iter().map(|p| at + p));
    ring_of(points)
}

/// What fills the corner between two strips: nothing at inside corners.
fn corner(before: (Point, Point), a: f64, after: (Point, Point), b: f64) -> Option<Polygon<f64>> {
    let widest = a.max(b);
    if widest <= 0.0 {
        return None;
    }
    let at = after.0;
    let (d1, d2) = (direction(before), direction(after));
    let turn = cross(d1, d2);
    if turn <= 1e-9 {
        return None;
    }
    let (p, q) = (
        at + outward(before.0, before.1) * a,
        at + outward(after.0, after.1) * b,
    );
    // p + s d1 = q + t d2
    let s = cross(q - p, d2) / turn;
    let t = cross(q - p, d1) / turn;
    // With unequal allowances the lines may meet beside the corner: a plain jog.
    if s < 0.0 || t > 0.0 {
        return Some(ring_of(vec![at, p, q]));
    }
    let tip = p + d1 * s;
    let reach = distance(tip, at);
    let limit = MITRE_LIMIT * widest;
    if reach <= limit {
        return Some(ring_of(vec![at, p, tip, q]));
    }
    // Trimmed square to the line from the corner to the tip.
    let along = (tip - at) / reach;
    let cut = |from: Point| {
        let (f, g) = (dot(from - at, along), reach);
        from + (tip - from) * ((limit - f) / (g - f))
    };
    Some(ring_of(vec![at, p, cut(p), cut(q), q]))
}

fn direction((p, q): (Point, Point)) -> Point {
    (q - p) / distance(p, q)
}

/// A counter-clockwise polygon of a small ring.
fn ring_of(mut points: Vec<Point>) -> Polygon<f64> {
    points.push(points[0]);
    if super::ring::signed_area(&points) < 0.0 {
        points.reverse();
    }
    Polygon::new(LineString(points), vec![])
}

/// The grown region with those holes only that stand for holes of the finished one.
///
/// Pockets that allowances closed off between them are no place for another piece.
fn keep_true_holes(finished: &Region, grown: &Region) -> Region {
    let tidied = |line: &LineString<f64>| LineString(tidy(open(line)));
    let holes = grown
        .interiors()
        .iter()
        .filter(|hole| {
            // Any point well inside: a hole's own corners may lie on the finished line.
            let inside = Polygon::new((*hole).clone(), vec![]).interior_point();
            inside.is_some_and(|inside| {
                finished
                    .interiors()
                    .iter()
                    .any(|hole| Polygon::new(hole.clone(), vec![]).contains(&inside))
            })
        })
        .map(tidied)
        .collect();
    Region::new(tidied(grown.exterior()), holes)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rectangle(w: f64, h: f64) -> Region {
        ring_of(vec![
            point(0.0, 0.0),
            point(w, 0.0),
            point(w, h),
            point(0.0, h),
        ])
    }

    #[test]
    fn every_edge_has_its_own_allowance() {
        let grown = grow(&rectangle(10.0, 6.0), &[1.0, 2.0, 0.0, 0.5]);
        assert!((grown.unsigned_area() - 12.5 * 7.0).abs() < 1e-6);
    }

    #[test]
    fn sharp_tips_are_trimmed() {
        let needle = ring_of(vec![point(0.0, -1.0), point(40.0, 0.0), point(0.0, 1.0)]);
        let grown = grow(&needle, &[1.0; 3]);
        let reach = grown.exterior().0.iter().map(|p| p.x).fold(0.0, f64::max);
        assert!((reach - (40.0 + MITRE_LIMIT)).abs() < 1e-6, "{reach}");
    }

    #[test]
    fn narrow_gaps_close_and_holes_shrink() {
        let comb = ring_of(
            [
                (0., 0.),
                (10., 0.),
                (10., 9.),
                (6., 9.),
                (6., 3.),
                (5., 3.),
                (5., 9.),
                (0., 9.),
            ]
            .map(|(x, y)| point(x, y))
            .to_vec(),
        );
        let grown = grow(&comb, &[1.0; 8]);
        assert!(grown.interiors().is_empty());
        assert!((grown.unsigned_area() - 12.0 * 11.0).abs() < 1e-6);

        let mut hole = vec![point(3., 3.), point(3., 7.), point(7., 7.), point(7., 3.)];
        hole.push(hole[0]);
        let frame = Region::new(
            rectangle(10.0, 10.0).exterior().clone(),
            vec![LineString(hole)],
        );
        let grown = grow(&frame, &[1.0; 8]);
        assert_eq!(grown.interiors().len(), 1);
        assert!((grown.unsigned_area() - (144.0 - 4.0)).abs() < 1e-6);
        assert!(grow(&frame, &[2.5; 8]).interiors().is_empty());
        assert!(grown.contains(&frame));
    }
}
