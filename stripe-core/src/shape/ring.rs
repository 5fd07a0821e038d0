//! Closed rings: area, tidying, and whether a ring crosses itself.

use super::{Point, Region, cross, distance, point};
use crate::num::POINT_TOL_MM;

/// Signed area of a ring, positive counter-clockwise (mm2). The end may be repeated.
pub fn signed_area(ring: &[Point]) -> f64 {
    let Some(&first) = ring.first() else {
        return 0.0;
    };
    // Relative to the first point, so that far-off rings keep their digits.
    ring.windows(2)
        .map(|pair| cross(pair[0] - first, pair[1] - first) / 2.0)
        .sum()
}

/// The points of a closed line without the repeated end.
pub fn open(line: &geo_types::LineString<f64>) -> &[Point] {
    let points = &line.0;
    match points.len() {
        n if n > 1 && points[0] == points[n - 1] => &points[..n - 1],
        _ => points,
    }
}

/// All rings of a region, each open: the outer one first.
pub fn rings(region: &Region) -> impl Iterator<Item = &[Point]> {
    std::iter::once(region.exterior())
        .chain(region.interiors())
        .map(open)
}

/// The edges of an open ring, in order.
pub fn edges(ring: &[Point]) -> impl Iterator<Item = (Point, Point)> {
    let next = ring.iter().cycle().skip(1);
    ring.iter().copied().zip(next.copied())
}

/// The ring without points that say nothing: doubles, and points within
/// `POINT_TOL_MM` of the line between their neighbours.
pub fn tidy(ring: &[Point]) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::with_capacity(ring.len());
    for &p in ring {
        if kept.last().is_none_or(|&q| distance(p, q) > POINT_TOL_MM) {
            kept.push(p);
        }
    }
    while kept.len() > 1 && distance(kept[0], kept[kept.len() - 1]) <= POINT_TOL_MM {
        kept.pop();
    }
    let mut i = 0;
    while kept.len() > 3 && i < kept.len() {
        let n = kept.len();
        let (a, p, b) = (kept[(i + n - 1) % n], kept[i], kept[(i + 1) % n]);
        let off = cross(b - a, p - a).abs();
        if off <= POINT_TOL_MM * distance(a, b) {
            kept.remove(i);
            i = i.saturating_sub(1);
        } else {
            i += 1;
        }
    }
    kept
}

/// Where two edges of an open ring cross or overlap that should not, or `None` for
/// a simple ring. Looks at every pair: meant for rings of a few hundred points.
pub fn self_crossing(ring: &[Point]) -> Option<Point> {
    let edges: Vec<(Point, Point)> = edges(ring).collect();
    let n = edges.len();
    for i in 0..n {
        for j in i + 1..n {
            let neighbours = j == i + 1 || (i == 0 && j == n - 1);
            let line = |(a, b): (Point, Point)| geo_types::Line::new(a, b);
            use geo::line_intersection::{LineIntersection, line_intersection};
            match line_intersection(line(edges[i]), line(edges[j])) {
                None => {}
                Some(LineIntersection::SinglePoint { .. }) if neighbours => {}
                Some(LineIntersection::SinglePoint { intersection, .. }) => {
                    return Some(intersection);
                }
                Some(LineIntersection::Collinear { intersection }) => {
                    return Some(intersection.start);
                }
            }
        }
    }
    None
}

/// The smallest box around some points: least and greatest corner.
pub fn extent(points: impl IntoIterator<Item = Point>) -> (Point, Point) {
    let far = f64::INFINITY;
    points
        .into_iter()
        .fold((point(far, far), point(-far, -far)), |(low, high), p| {
            (
                point(low.x.min(p.x), low.y.min(p.y)),
                point(high.x.max(p.x), high.y.max(p.y)),
            )
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square() -> Vec<Point> {
        [(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)]
            .map(|(x, y)| point(x, y))
            .to_vec()
    }

    #[test]
    fn tidy_keeps_corners_only() {
        let mut ring = square();
        ring.insert(1, point(1.0, 0.0));
        ring.insert(1, point(0.0, 1e-6));
        ring.push(point(0.0, 0.0));
        assert_eq!(tidy(&ring).len(), 4);
    }

    #[test]
    fn crossings_are_found() {
        assert_eq!(self_crossing(&square()), None);
        let bow = [(0.0, 0.0), (2.0, 2.0), (2.0, 0.0), (0.0, 2.0)].map(|(x, y)| point(x, y));
        assert_eq!(self_crossing(&bow), Some(point(1.0, 1.0)));
        let spike = [(0.0, 0.0), (4.0, 0.0), (2.0, 0.0), (2.0, 2.0)].map(|(x, y)| point(x, y));
        assert!(self_crossing(&spike).is_some());
    }
}
