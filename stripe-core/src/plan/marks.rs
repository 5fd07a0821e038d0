//! Measured points that can be measured: none lies at the edge of its fabric.
//!
//! A piece's mark is a corner of its finished line, which is found again on the template. Where
//! a piece stands at the cut end or a selvage that corner may lie on the edge itself, where
//! nothing can be marked. All pieces of such a part then have their mark well inside, at one
//! place of the wedge, so that pieces that share a template share its cross.

use crate::record::{FabricPlan, PlacedPiece};
use crate::shape::ring::rings;
use crate::shape::room::{depth, find_room};
use crate::shape::{Point, point, unit};
use std::collections::{BTreeMap, BTreeSet};

/// Nearer to an edge than this (mm) nobody marks a point: a quarter of an inch.
const CLEAR_MM: f64 = 6.35;
/// A mark that was moved lies at least so deep in its piece (mm), or where the piece is deepest.
const DEEP_MM: f64 = 1.0;

/// Moves the marks of parts that have one at the edge of their fabric.
pub(super) fn keep_marks_off_edges(fabrics: &mut [FabricPlan]) {
    let part = |piece: &PlacedPiece| (piece.motif.clone(), piece.part.clone());
    let mut moved = BTreeSet::new();
    for fabric in fabrics.iter() {
        let near = fabric.placements.iter().filter(|piece| {
            let at = piece.mark_on_fabric();
            at.x.min(fabric.width_mm - at.x).min(at.y) < CLEAR_MM
        });
        moved.extend(near.map(part));
    }
    if moved.is_empty() {
        return;
    }
    // By part: how far from the motif's centre, and how far about it from the wedge's axis.
    let mut places: BTreeMap<(String, String), Point> = BTreeMap::new();
    let mut alone: BTreeMap<(String, String), Point> = BTreeMap::new();
    for piece in fabrics.iter_mut().flat_map(|fabric| &mut fabric.placements) {
        let key = part(piece);
        if !moved.contains(&key) {
            continue;
        }
        let axis = piece.axis_deg.to_radians();
        let place = *places
            .entry(key)
            .or_insert_with(|| turned(deepest(piece), -axis));
        let shared = turned(place, axis);
        let at = if depth(&rings_of(piece), shared, f64::NEG_INFINITY) >= DEEP_MM {
            shared
        } else {
            *alone
                .entry((piece.motif.clone(), piece.piece.clone()))
                .or_insert_with(|| deepest(piece))
        };
        piece.mark = [at.x, at.y].map(|mm| (mm * 1e6).round() / 1e6);
    }
}

fn turned(p: Point, by_rad: f64) -> Point {
    let way = unit(by_rad);
    point(p.x * way.x - p.y * way.y, p.x * way.y + p.y * way.x)
}

fn rings_of(piece: &PlacedPiece) -> Vec<Vec<Point>> {
    rings(&piece.finished_region())
        .map(<[Point]>::to_vec)
        .collect()
}

/// A point as deep inside of a piece as may be.
fn deepest(piece: &PlacedPiece) -> Point {
    find_room(&rings_of(piece), 1.0, 1.0, &[]).middle
}
