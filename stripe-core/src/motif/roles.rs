//! Edge roles, found by geometry: what is sewn, turned or covered.

use super::design::Making;
use crate::num::POINT_TOL_MM;
use crate::shape::ring::{edges, rings};
use crate::shape::{Point, Region, cross, distance, dot, unit};
use geo::{Contains, Distance, Euclidean};
use geo_types::MultiPolygon;
use serde::{Deserialize, Serialize};

/// What is done with an edge of a finished line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Role {
    /// Turned under.
    Turned,
    /// In a seam of the background or of the motif.
    Seamed,
    /// Flat under a piece of a higher layer.
    Covered,
    /// Flat under the next wedge of the same fan.
    Lapped,
}

impl Role {
    /// The allowance that the role asks for (mm).
    ///
    /// A lapped edge runs under its neighbour by at least a turn-under, or the two
    /// could come apart.
    pub fn allowance_mm(self, making: &Making) -> f64 {
        match self {
            Self::Turned => making.turn_under_mm,
            Self::Seamed => making.seam_mm,
            Self::Covered => making.tuck_under_mm,
            Self::Lapped => making.tuck_under_mm.max(making.turn_under_mm),
        }
    }
}

/// What surrounds a piece.
#[derive(Debug)]
pub(super) struct Surroundings<'a> {
    /// Directions of the background's seams from the centre.
    pub seams_rad: &'a [f64],
    /// Seam lines of the background that were drawn.
    pub seams: &'a [[Point; 2]],
    /// Everything in higher layers.
    pub above: &'a MultiPolygon<f64>,
    /// The side of the wedge that runs flat under its neighbour, if any.
    pub lapped_rad: Option<f64>,
}

/// The finished region with its edges split wherever their role changes, and the role
/// of every edge, ring by ring.
pub(super) fn find_roles(finished: &Region, around: &Surroundings<'_>) -> (Region, Vec<Role>) {
    let mut roles = vec![];
    let mut split_rings = rings(finished).map(|ring| {
        let mut points: Vec<Point> = vec![];
        for (p, q) in edges(ring) {
            let mut start = p;
            for next in stations(p, q, around) {
                points.push(start);
                roles.push(role_of(start, next, around));
                start = next;
            }
        }
        geo_types::LineString(points)
    });
    let outer = split_rings.next().expect("a region has an outer ring");
    let holes: Vec<_> = split_rings.collect();
    (Region::new(outer, holes), roles)
}

/// Where an edge's role may change, its end included.
fn stations(p: Point, q: Point, around: &Surroundings<'_>) -> Vec<Point> {
    use geo::line_intersection::{LineIntersection, line_intersection};
    let edge = geo_types::Line::new(p, q);
    let length = distance(p, q);
    let mut at: Vec<f64> = vec![];
    // A seam that ends along this edge: what lies beyond it is not sewn.
    for &end in around.seams.iter().flatten() {
        if Euclidean.distance(&edge, &geo_types::Point(end)) <= SEAM_TOL_MM {
            at.push(dot(end - p, q - p) / length);
        }
    }
    for line in around.above.0.iter().flat_map(rings).flat_map(edges) {
        match line_intersection(edge, geo_types::Line::new(line.0, line.1)) {
            Some(LineIntersection::SinglePoint { intersection, .. }) => {
                at.push(distance(p, intersection));
            }
            Some(LineIntersection::Collinear { intersection }) => {
                at.push(distance(p, intersection.start));
                at.push(distance(p, intersection.end));
            }
            None => {}
        }
    }
    at.sort_by(f64::total_cmp);
    // An edge shorter than ten point tolerances is a crumb, not an edge.
    let crumb = 10.0 * POINT_TOL_MM;
    let mut last = 0.0;
    at.retain(|&s| {
        let keep = s - last > crumb && length - s > crumb;
        if keep {
            last = s;
        }
        keep
    });
    at.into_iter()
        .map(|s| p + (q - p) * (s / length))
        .chain([q])
        .collect()
}

fn role_of(p: Point, q: Point, around: &Surroundings<'_>) -> Role {
    let on_ray = |&rad: &f64| lies_on_ray(p, rad) && lies_on_ray(q, rad);
    // A seam is sewn before anything is laid over it: it comes first.
    if around.seams_rad.iter().any(on_ray) || lies_on_seam(p, q, around.seams) {
        return Role::Seamed;
    }
    let middle = geo_types::Point((p + q) / 2.0);
    let inside = around.above.contains(&middle)
        && around
            .above
            .0
            .iter()
            .flat_map(rings)
            .flat_map(edges)
            .all(|(a, b)| Euclidean.distance(&geo_types::Line::new(a, b), &middle) > POINT_TOL_MM);
    if inside {
        return Role::Covered;
    }
    if around.lapped_rad.iter().any(on_ray) {
        return Role::Lapped;
    }
    Role::Turned
}

/// Edges that lie no further from a drawn seam line than this are sewn into it (mm): lines
/// are drawn by hand.
const SEAM_TOL_MM: f64 = 0.2;

/// Whether an edge runs along the seam lines that were drawn.
fn lies_on_seam(p: Point, q: Point, seams: &[[Point; 2]]) -> bool {
    let near = |at: Point| {
        let at = geo_types::Point(at);
        seams
            .iter()
            .any(|&[a, b]| Euclidean.distance(&geo_types::Line::new(a, b), &at) <= SEAM_TOL_MM)
    };
    near(p) && near(q) && near((p + q) / 2.0)
}

/// Whether a point lies on the ray from the centre in a direction.
pub(super) fn lies_on_ray(p: Point, rad: f64) -> bool {
    let way = unit(rad);
    cross(way, p).abs() <= POINT_TOL_MM && dot(way, p) >= -POINT_TOL_MM
}
