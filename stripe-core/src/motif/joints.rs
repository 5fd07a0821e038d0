//! Where pieces meet in the finished work: the wedges of a fan, and drawn pieces that are
//! striped as one.

use super::design::{Form, Part, PartStripes};
use super::piece::{Joint, Piece};
use super::roles::Role;
use crate::num::POINT_TOL_MM;
use crate::shape::ring::{edges, rings};
use crate::shape::{Point, corners_of, distance, dot, point, unit};
use geo::Contains;
use geo::line_intersection::{LineIntersection, line_intersection};
use geo_types::MultiPolygon;

/// How far beside an edge one looks for what lies there (mm): as far as a curve that was made
/// of straight edges may lie from the drawn one.
const BESIDE_MM: f64 = 0.05;
/// Shorter joints are corners that touch (mm).
const LEAST_MM: f64 = 1.0;

/// The angles of a part's wedge sides, counter-clockwise; none for a drawn shape.
pub(super) fn sides_rad(part: &Part) -> Vec<f64> {
    let Form::Fan(fan) = &part.form else {
        return vec![];
    };
    let from = fan.from_deg.to_radians() + part.rotate_deg.to_radians();
    (0..=fan.wedges)
        .map(|i| from + fan.wedge_rad() * i as f64)
        .collect()
}

/// How many joints a part has between its wedges, the closing one included.
pub(super) fn joint_count(part: &Part) -> usize {
    match &part.form {
        Form::Fan(fan) if fan.wedges < 2 => 0,
        Form::Fan(fan) if fan.is_whole_circle() => fan.wedges,
        Form::Fan(fan) => fan.wedges - 1,
        Form::Outline(_) => 0,
    }
}

/// The visible joints of one fan whose first piece is `first`.
pub(super) fn fan_joints(part: &Part, first: usize, above: &MultiPolygon<f64>) -> Vec<Joint> {
    let Form::Fan(fan) = &part.form else {
        return vec![];
    };
    let sides = sides_rad(part);
    (1..=joint_count(part))
        .filter_map(|k| {
            let way = unit(sides[k]);
            let (inner, outer) = visible(way, fan.hub_mm, fan.body_mm(), above)?;
            Some(Joint {
                a: first + k - 1,
                b: first + k % fan.wedges,
                line: [way * inner, way * outer],
            })
        })
        .collect()
}

/// The longest stretch of a ray between two radii that nothing lies on.
fn visible(way: Point, inner: f64, outer: f64, above: &MultiPolygon<f64>) -> Option<(f64, f64)> {
    use geo::line_intersection::line_intersection;
    let ray = geo_types::Line::new(way * inner, way * outer);
    let mut at = vec![inner, outer];
    for (a, b) in above.0.iter().flat_map(rings).flat_map(edges) {
        if let Some(hit) = line_intersection(ray, geo_types::Line::new(a, b)) {
            use geo::line_intersection::LineIntersection as Hit;
            match hit {
                Hit::SinglePoint { intersection, .. } => at.push(dot(way, intersection)),
                Hit::Collinear { intersection } => {
                    at.extend([dot(way, intersection.start), dot(way, intersection.end)]);
                }
            }
        }
    }
    at.sort_by(f64::total_cmp);
    at.windows(2)
        .map(|pair| (pair[0], pair[1]))
        .filter(|(a, b)| b - a > POINT_TOL_MM)
        .filter(|(a, b)| !above.contains(&geo_types::Point(way * ((a + b) / 2.0))))
        .max_by(|x, y| (x.1 - x.0).total_cmp(&(y.1 - y.0)))
}

/// Whether two drawn parts show one stripe that runs on from one to the other.
fn are_striped_as_one(a: &Part, b: &Part) -> bool {
    let is_drawn = |part: &Part| matches!(part.form, Form::Outline(_));
    // The axis of a drawn piece is upright but for its turn.
    let same_axis =
        matches!(a.stripes, PartStripes::Through { .. }) || a.rotate_deg == b.rotate_deg;
    let same_offset = match (a.phase_mm, b.phase_mm) {
        (Some(x), Some(y)) => x == y,
        (None, None) => a.tie.is_some() && a.tie == b.tie && a.copies == b.copies,
        _ => false,
    };
    let same_run = a.stripes == b.stripes && a.along_mm == b.along_mm;
    is_drawn(a) && is_drawn(b) && a.fabric == b.fabric && same_run && same_axis && same_offset
}

/// The joints between drawn pieces that are striped as one: where neighbours share an edge, and
/// where one lies over the other. Of two pieces that meet several times the longest joint counts.
///
/// An edge is cut wherever an outline crosses it. A stretch of it is a joint if its piece is what
/// is seen on the inner side, and the other one on the outer.
pub(super) fn drawn_joints(parts: &[Part], pieces: &[Piece]) -> Vec<Joint> {
    let drawn = |piece: &Piece| matches!(parts[piece.part].form, Form::Outline(_));
    if pieces.iter().filter(|piece| drawn(piece)).count() < 2 {
        return vec![];
    }
    let extents: Vec<[Point; 2]> = pieces
        .iter()
        .map(|piece| corners_of(piece.finished.exterior()))
        .collect();
    let seen_at = |p: Point| {
        (0..pieces.len()).rev().find(|&i| {
            reaches(&extents[i], p, p) && pieces[i].finished.contains(&geo_types::Point(p))
        })
    };
    let mut joints = vec![];
    for (upper, piece) in pieces.iter().enumerate().filter(|(_, piece)| drawn(piece)) {
        let mut runs = Runs::default();
        let sides = rings(&piece.finished).flat_map(edges);
        for ((from, to), _) in sides
            .zip(&piece.roles)
            .filter(|(_, role)| **role != Role::Covered)
        {
            let others =
                (0..pieces.len()).filter(|&i| i != upper && reaches(&extents[i], from, to));
            for (p, q) in stretches(from, to, others.map(|i| &pieces[i])) {
                let along = q - p;
                let out = point(along.y, -along.x) * (BESIDE_MM / distance(p, q));
                let middle = (p + q) / 2.0;
                let below = seen_at(middle + out).filter(|&lower| {
                    lower < upper
                        && seen_at(middle - out) == Some(upper)
                        && are_striped_as_one(&parts[pieces[lower].part], &parts[piece.part])
                });
                runs.add(below, p, q);
            }
        }
        joints.extend(runs.longest().into_iter().map(|(lower, line)| Joint {
            a: lower,
            b: upper,
            line,
        }));
    }
    joints.sort_by_key(|joint| (joint.a, joint.b));
    joints
}

/// Whether an edge comes near a box.
fn reaches(extent: &[Point; 2], p: Point, q: Point) -> bool {
    let [low, high] = extent;
    p.x.max(q.x) >= low.x - BESIDE_MM
        && p.x.min(q.x) <= high.x + BESIDE_MM
        && p.y.max(q.y) >= low.y - BESIDE_MM
        && p.y.min(q.y) <= high.y + BESIDE_MM
}

/// An edge cut wherever outlines cross it or run along it.
fn stretches<'a>(
    from: Point,
    to: Point,
    others: impl Iterator<Item = &'a Piece>,
) -> Vec<(Point, Point)> {
    let edge = geo_types::Line::new(from, to);
    let way = to - from;
    let share = |p: Point| dot(p - from, way) / dot(way, way);
    let mut at = vec![0.0, 1.0];
    for (a, b) in others.flat_map(|piece| rings(&piece.finished).flat_map(edges)) {
        match line_intersection(edge, geo_types::Line::new(a, b)) {
            Some(LineIntersection::SinglePoint { intersection, .. }) => {
                at.push(share(intersection));
            }
            Some(LineIntersection::Collinear { intersection }) => {
                at.extend([share(intersection.start), share(intersection.end)]);
            }
            None => {}
        }
    }
    at.sort_by(f64::total_cmp);
    at.windows(2)
        .map(|pair| (from + way * pair[0], from + way * pair[1]))
        .filter(|(p, q)| distance(*p, *q) > POINT_TOL_MM)
        .collect()
}

/// Stretches of one outline, put together where they follow each other beside one piece.
#[derive(Default)]
struct Runs {
    /// The piece beside them, and their corners in order.
    all: Vec<(usize, Vec<Point>)>,
}

impl Runs {
    fn add(&mut self, beside: Option<usize>, p: Point, q: Point) {
        let Some(piece) = beside else { return };
        let follows = |points: &[Point]| {
            points
                .last()
                .is_some_and(|&end| distance(end, p) <= LEAST_MM)
        };
        match self.all.last_mut() {
            Some((last, points)) if *last == piece && follows(points) => points.push(q),
            _ => self.all.push((piece, vec![p, q])),
        }
    }

    /// The longest run beside each piece, as a chord.
    fn longest(mut self) -> std::collections::BTreeMap<usize, [Point; 2]> {
        // The outline has no beginning: its last run may go on with the first.
        if let [first, .., last] = self.all.as_mut_slice() {
            let joins =
                first.0 == last.0 && distance(last.1[last.1.len() - 1], first.1[0]) <= LEAST_MM;
            if joins {
                last.1.append(&mut first.1);
            }
        }
        let length = |line: &[Point; 2]| distance(line[0], line[1]);
        let mut longest = std::collections::BTreeMap::new();
        for (piece, points) in self.all.iter().filter(|(_, points)| !points.is_empty()) {
            let line = chord(points);
            let best = longest.entry(*piece).or_insert(line);
            if length(&line) > length(best) {
                *best = line;
            }
        }
        longest.retain(|_, line| length(line) >= LEAST_MM);
        longest
    }
}

/// From the first corner of a run to the one furthest from it, which is its last but where it
/// turns back; the end nearer to the centre first.
fn chord(points: &[Point]) -> [Point; 2] {
    let first = points[0];
    let far = points
        .iter()
        .copied()
        .max_by(|p, q| distance(first, *p).total_cmp(&distance(first, *q)))
        .unwrap_or(first);
    if far.x.hypot(far.y) < first.x.hypot(first.y) {
        [far, first]
    } else {
        [first, far]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motif::{Making, Motif, assemble};
    use crate::shape::Region;

    /// Of a joint from 10 to 50 mm what a square covers is not seen; of what is left the longest
    /// stretch is its line.
    #[test]
    fn a_joint_is_seen_where_nothing_lies_on_it() {
        let seen = |from: f64, to: f64| {
            let ring = [(from, -5.0), (to, -5.0), (to, 5.0), (from, 5.0)];
            let ring: Vec<Point> = ring.iter().map(|&(x, y)| point(x, y)).collect();
            let above = MultiPolygon(vec![Region::new(ring.into(), vec![])]);
            visible(point(1.0, 0.0), 10.0, 50.0, &above)
        };
        assert_eq!(seen(20.0, 45.0), Some((10.0, 20.0)));
        assert_eq!(seen(20.0, 25.0), Some((25.0, 50.0)));
        assert_eq!(seen(60.0, 70.0), Some((10.0, 50.0)));
        assert_eq!(seen(0.0, 60.0), None);
    }

    /// A drawn piece: its name, its tie, its corners.
    type Drawn<'a> = (&'a str, &'a str, &'a [(f64, f64)]);

    /// The joints of drawn pieces, by their names.
    fn joints_of(pieces: &[Drawn<'_>]) -> Vec<(String, String, [Point; 2])> {
        let mut motif = Motif::new("sail", 1);
        for (name, tie, corners) in pieces {
            let corners: Vec<Point> = corners.iter().map(|&(x, y)| point(x, y)).collect();
            let mut part = Part::new(*name, "deck", corners);
            part.tie = Some((*tie).to_owned());
            motif = motif.with_part(part);
        }
        let assembly = assemble(&motif, &Making::default()).unwrap();
        let name = |i: usize| assembly.pieces[i].name.clone();
        let told = |joint: &Joint| (name(joint.a), name(joint.b), joint.line);
        assembly.joints.iter().map(told).collect()
    }

    const LEFT: &[(f64, f64)] = &[(-40.0, 0.0), (0.0, 0.0), (0.0, 60.0), (-40.0, 60.0)];

    /// Two squares share the line from (0, 0) to (0, 40), where the smaller one ends.
    #[test]
    fn neighbours_meet_along_the_edge_that_they_share() {
        let right: &[(f64, f64)] = &[(0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0)];
        let shared = [point(0.0, 0.0), point(0.0, 40.0)];
        let expected = vec![("left".to_owned(), "right".to_owned(), shared)];
        assert_eq!(
            joints_of(&[("left", "sail", LEFT), ("right", "sail", right)]),
            expected
        );
        // Either may be drawn first.
        let turned = joints_of(&[("right", "sail", right), ("left", "sail", LEFT)]);
        assert_eq!(turned[0].2, shared);
        // Each with a stripe of its own: nothing is to meet.
        assert_eq!(
            joints_of(&[("left", "sail", LEFT), ("right", "jib", right)]),
            []
        );
        // A gap that can be seen.
        let apart: Vec<(f64, f64)> = right.iter().map(|&(x, y)| (x + 0.5, y)).collect();
        assert_eq!(
            joints_of(&[("left", "sail", LEFT), ("right", "sail", &apart)]),
            []
        );
        // A corner is no joint.
        let corner: &[(f64, f64)] = &[(0.0, 60.0), (40.0, 60.0), (40.0, 90.0)];
        assert_eq!(
            joints_of(&[("left", "sail", LEFT), ("right", "sail", corner)]),
            []
        );
    }

    /// A band across the square's top: its lower edge, y = 50 from -40 to 0, is seen on the
    /// square; a patch above both hides it from -30 to -20, and the longer stretch is the joint.
    #[test]
    fn what_lies_over_another_meets_it_where_its_edge_is_seen() {
        let band: &[(f64, f64)] = &[(-60.0, 50.0), (20.0, 50.0), (20.0, 70.0), (-60.0, 70.0)];
        let met = joints_of(&[("square", "sail", LEFT), ("band", "sail", band)]);
        assert_eq!(met[0].2, [point(0.0, 50.0), point(-40.0, 50.0)]);
        let patch: &[(f64, f64)] = &[(-30.0, 45.0), (-20.0, 45.0), (-20.0, 55.0), (-30.0, 55.0)];
        let met = joints_of(&[
            ("square", "sail", LEFT),
            ("band", "sail", band),
            ("patch", "jib", patch),
        ]);
        assert_eq!(met.len(), 1);
        assert_eq!(met[0].2, [point(0.0, 50.0), point(-20.0, 50.0)]);
    }

    /// A circle of radius 20 about (0, 30) covers the right half of the square's edge region: it
    /// crosses x = 0 nowhere, but the square's right edge cuts it from (0, 10) to (0, 50).
    #[test]
    fn a_curve_meets_along_its_chord() {
        let disc: Vec<(f64, f64)> = (0..180)
            .map(|i| (2.0 * f64::from(i)).to_radians())
            .map(|a| (20.0 * a.cos(), 30.0 + 20.0 * a.sin()))
            .collect();
        let met = joints_of(&[("square", "sail", LEFT), ("disc", "sail", &disc)]);
        // The half of the circle that lies over the square runs from (0, 50) by (-20, 30) to (0, 10).
        let [inner, outer] = met[0].2;
        assert!(distance(inner, point(0.0, 10.0)) < 1e-9, "{inner:?}");
        assert!(distance(outer, point(0.0, 50.0)) < 1e-9, "{outer:?}");
    }
}
