//! How one piece is turned onto another of the same shape: wedges of one wheel are one
//! shape, each turned by its place in the wheel.

use crate::draw::scene::rings_of;
use crate::plan::PlacedPiece;
use crate::shape::{Point, Rigid, cross, dot, point};

/// Points nearer than this are one (mm): corners are rounded to a thousandth, and no hand
/// cuts nearer than this.
const SAME_MM: f64 = 0.02;

/// The most turns that are told of one pair of pieces: a disc has as many as it has corners.
const MOST_TURNS: usize = 400;

/// Every turn (never a mirror) that carries the first piece's lines onto the second's: cut
/// line, finished line with what is done at each edge, clips. Motif frame to motif frame.
pub(super) fn turns(a: &PlacedPiece, b: &PlacedPiece) -> Vec<Rigid> {
    let alike = a.cut.len() == b.cut.len()
        && a.finished.len() == b.finished.len()
        && a.cut_holes.len() == b.cut_holes.len()
        && a.roles.len() == b.roles.len()
        && a.clips.len() == b.clips.len();
    if !alike {
        return Vec::new();
    }
    let (cut, other) = (rings_of(&a.cut_region()), rings_of(&b.cut_region()));
    let (Some(outer), Some(target)) = (cut.first(), other.first()) else {
        return Vec::new();
    };
    let length = |ring: &[Point], i: usize| {
        let side = ring[(i + 1) % ring.len()] - ring[i % ring.len()];
        side.x.hypot(side.y)
    };
    let (here, there) = (marks(a), marks(b));
    (0..target.len())
        .filter(|&shift| {
            (0..outer.len())
                .all(|i| (length(outer, i) - length(target, i + shift)).abs() < 2.0 * SAME_MM)
        })
        .filter_map(|shift| onto(outer, target, shift))
        .filter(|turn| {
            let near = |p: Point, q: Point| (p.x - q.x).hypot(p.y - q.y) < SAME_MM;
            let rings = cut.iter().flatten().all(|&p| {
                let p = turn.apply(p);
                other.iter().flatten().any(|&q| near(p, q))
            });
            rings
                && here.iter().all(|&(p, what)| {
                    let p = turn.apply(p);
                    there.iter().any(|&(q, other)| what == other && near(p, q))
                })
        })
        .take(MOST_TURNS)
        .collect()
}

/// The turn that carries a ring onto another whose corner `shift` is its first one.
fn onto(ring: &[Point], target: &[Point], shift: usize) -> Option<Rigid> {
    let far = |i: &usize| (ring[*i] - ring[0]).x.hypot((ring[*i] - ring[0]).y);
    let last = (0..ring.len()).max_by(|i, j| far(i).total_cmp(&far(j)))?;
    let at = |i: usize| target[(i + shift) % target.len()];
    let (from, to) = (ring[last] - ring[0], at(last) - at(0));
    let turn = Rigid {
        rotate_rad: cross(from, to).atan2(dot(from, to)),
        mirror: false,
        shift: point(0.0, 0.0),
    };
    let moved = turn.moved_to(at(0) - turn.apply(ring[0]));
    let fits = |i: usize| {
        let off = moved.apply(ring[i]) - at(i);
        off.x.hypot(off.y) < SAME_MM
    };
    (0..ring.len()).all(fits).then_some(moved)
}

/// Middles of finished edges and ends of clips, each with what it is.
fn marks(piece: &PlacedPiece) -> Vec<(Point, u8)> {
    let finished = rings_of(&piece.finished_region());
    let edges = finished
        .iter()
        .flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
    let role = |i: usize| piece.roles.get(i).map_or(0, |role| 1 + *role as u8);
    let mut marks: Vec<(Point, u8)> = edges
        .enumerate()
        .map(|(i, (&a, &b))| ((a + b) / 2.0, role(i)))
        .collect();
    let ends = piece.clips.iter().flatten();
    marks.extend(ends.map(|&[x, y]| (point(x, y), u8::MAX)));
    marks
}
