//! Edges of neighbours that all but touch are made one.

use super::limits::{GAP_MM, SNAP_TOL_MM};
use crate::num::POINT_TOL_MM;
use crate::shape::ring::{edges, extent};
use crate::shape::{Point, Region, distance, dot};
use geo::{Area, BooleanOps};

/// Two pieces whose edges were brought together.
#[derive(Debug, Clone, PartialEq)]
pub struct Snapped {
    /// The piece that stays as it was drawn.
    pub stays: String,
    /// The piece whose edge was moved.
    pub moved: String,
    /// The widest gap or overlap that was closed (mm).
    pub gap_mm: f64,
}

/// Two pieces between which a narrow gap was drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Apart {
    /// The piece that is drawn first.
    pub one: String,
    /// The piece that is drawn later.
    pub other: String,
    /// How far apart they are at most where they run along each other (mm).
    pub gap_mm: f64,
}

/// A narrow gap is told of from this length on (mm).
const LEAST_GAP_MM: f64 = 5.0;
/// Places that are looked at along an outline lie so far apart (mm), and there are no more than
/// so many.
const STEP_MM: f64 = 1.0;
const MOST_STEPS: f64 = 600.0;

/// How far two pieces are apart that run along each other, if that is more than is closed and
/// no more than [`GAP_MM`] (mm).
pub(super) fn gap(other: &[Point], ring: &[Point]) -> Option<f64> {
    let (low, high) = extent(other.iter().copied());
    let (l, h) = extent(ring.iter().copied());
    let far = low.x - GAP_MM > h.x || l.x - GAP_MM > high.x;
    if far || low.y - GAP_MM > h.y || l.y - GAP_MM > high.y || is_layered(other, ring) {
        return None;
    }
    let around: f64 = edges(ring).map(|(a, b)| distance(a, b)).sum();
    let step = STEP_MM.max(around / MOST_STEPS);
    let (mut length, mut widest) = (0.0, 0.0_f64);
    // How far along the next edge the next place lies.
    let mut next = step / 2.0;
    for (a, b) in edges(ring) {
        let long = distance(a, b);
        while next < long {
            let p = a + (b - a) * (next / long);
            next += step;
            let Some((off, _, _)) = nearest(p, other) else {
                continue;
            };
            if off > SNAP_TOL_MM && off <= GAP_MM {
                length += step;
                widest = widest.max(off);
            }
        }
        next -= long;
    }
    (length >= LEAST_GAP_MM).then_some(widest)
}

/// The point of a segment that is nearest to `p`.
fn foot(p: Point, a: Point, b: Point) -> Point {
    let way = b - a;
    let squared = dot(way, way);
    if squared == 0.0 {
        return a;
    }
    a + way * (dot(p - a, way) / squared).clamp(0.0, 1.0)
}

/// The nearest point of a ring, with the edge on which it lies; a corner comes first.
fn nearest(p: Point, ring: &[Point]) -> Option<(f64, Point, Option<usize>)> {
    let corner = ring.iter().map(|&q| (distance(p, q), q, None));
    let side = edges(ring).enumerate().map(|(i, (a, b))| {
        let q = foot(p, a, b);
        (distance(p, q), q, Some(i))
    });
    let least =
        |a: &(f64, Point, Option<usize>), b: &(f64, Point, Option<usize>)| a.0.total_cmp(&b.0);
    let corner = corner.min_by(least)?;
    if corner.0 <= SNAP_TOL_MM {
        return Some(corner);
    }
    side.min_by(least)
}

/// Whether one of two pieces lies on the other: what they have in common is thicker than edges
/// that miss each other by a little make it (twice its area over its outline). Such pieces are
/// layers, not neighbours, and where their edges cross nothing is brought together.
fn is_layered(a: &[Point], b: &[Point]) -> bool {
    let region = |ring: &[Point]| Region::new(ring.to_vec().into(), vec![]);
    let common = region(a).intersection(&region(b));
    common.0.iter().any(|part| {
        let around: f64 = crate::shape::ring::rings(part)
            .flat_map(edges)
            .map(|(a, b)| distance(a, b))
            .sum();
        2.0 * part.unsigned_area() > SNAP_TOL_MM * around
    })
}

/// Brings the edges of `ring` that run along `other` onto it: both then share their corners
/// there. Returns the widest gap that was closed, 0 where they do not touch.
pub(super) fn snap(other: &mut Vec<Point>, ring: &mut Vec<Point>) -> f64 {
    let near = |(low, high): (Point, Point), (l, h): (Point, Point)| {
        low.x - SNAP_TOL_MM <= h.x
            && l.x - SNAP_TOL_MM <= high.x
            && low.y - SNAP_TOL_MM <= h.y
            && l.y - SNAP_TOL_MM <= high.y
    };
    if !near(extent(other.iter().copied()), extent(ring.iter().copied())) {
        return 0.0;
    }
    if is_layered(other, ring) {
        return 0.0;
    }
    // An edge runs along the other piece if its ends and its middle are near it; the corners
    // of a crossing are not moved.
    let is_near = |p: Point, of: &[Point]| nearest(p, of).is_some_and(|n| n.0 <= SNAP_TOL_MM);
    let runs = |a: Point, b: Point, of: &[Point]| {
        distance(a, b) > 3.0 * SNAP_TOL_MM
            && is_near(a, of)
            && is_near(b, of)
            && is_near((a + b) / 2.0, of)
    };
    let n = ring.len();
    let along: Vec<bool> = edges(ring).map(|(a, b)| runs(a, b, other)).collect();
    let back: Vec<bool> = edges(other).map(|(a, b)| runs(a, b, ring)).collect();
    let touched: Vec<usize> = (0..n)
        .filter(|&i| along[i] || along[(i + n - 1) % n])
        .collect();
    let count = other.len();
    let answering: Vec<Point> = (0..count)
        .filter(|&i| back[i] || back[(i + count - 1) % count])
        .map(|i| other[i])
        .collect();
    let mut widest: f64 = 0.0;
    for i in touched {
        let Some((gap, to, edge)) = nearest(ring[i], other) else {
            continue;
        };
        if gap > SNAP_TOL_MM {
            continue;
        }
        widest = widest.max(gap);
        ring[i] = to;
        if let Some(edge) = edge {
            other.insert(edge + 1, to);
        }
    }
    for corner in answering {
        if let Some((gap, _, Some(edge))) = nearest(corner, ring)
            && gap <= SNAP_TOL_MM
        {
            widest = widest.max(gap);
            ring.insert(edge + 1, corner);
        }
    }
    ring.dedup_by(|a, b| distance(*a, *b) <= POINT_TOL_MM);
    widest
}
