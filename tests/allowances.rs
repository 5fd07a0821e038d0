//! Whether every cut line leaves the allowance that was asked for, measured between the two
//! lines by `geo`'s Euclidean distance: nothing here knows how cut lines are made.

use geo::{Distance, Euclidean};
use geo_types::{Line, Point as GeoPoint};
use stripe_core::internals::rng::Rng;
use stripe_core::motif::{Ends, Form, Making, Meet, Motif, Part, Piece, assemble};
use stripe_core::shape::ring::{edges, rings};
use stripe_core::shape::{Point, cross, distance, dot, point};
use stripe_tests::sample::{self, any_fan};

/// No allowance may be shorter than asked by more than this (mm).
const SHORT_MM: f64 = 0.05;
/// Along an arc, none may be longer by more than this (mm): the chords' own 0.05 mm, in the
/// finished line and again in the cut line.
const LONG_MM: f64 = 0.1;
/// Edges that meet at less than this are chords of one arc (degrees).
const SMOOTH_DEG: f64 = 45.0;
/// A sharp corner's allowance comes to a point, as seams are sewn: at most so many allowances
/// from the corner.
const MITRE_LIMIT: f64 = 2.5;

/// An edge of a finished line, and what is asked of it.
struct Asked {
    line: Line<f64>,
    from: Point,
    to: Point,
    /// The edges before and after it.
    beside: [usize; 2],
    allowance_mm: f64,
}

fn asked(piece: &Piece, making: &Making) -> Vec<Asked> {
    let mut roles = piece.roles.iter();
    let mut all = vec![];
    for ring in rings(&piece.finished) {
        let (first, n) = (all.len(), ring.len());
        for (i, ((from, to), role)) in edges(ring).zip(&mut roles).enumerate() {
            all.push(Asked {
                line: Line::new(from, to),
                from,
                to,
                beside: [first + (i + n - 1) % n, first + (i + 1) % n],
                allowance_mm: role.allowance_mm(making),
            });
        }
    }
    all
}

/// Whether an edge goes on smoothly on both sides: a chord of an arc.
fn is_smooth(asked: &[Asked], edge: &Asked) -> bool {
    let [before, after] = edge.beside;
    rotate_deg(&asked[before], edge).abs() < SMOOTH_DEG
        && rotate_deg(edge, &asked[after]).abs() < SMOOTH_DEG
}

/// By how much a second edge turns left of the first (degrees).
fn rotate_deg(a: &Asked, b: &Asked) -> f64 {
    let (d, e) = (a.to - a.from, b.to - b.from);
    cross(d, e).atan2(dot(d, e)).to_degrees()
}

/// Points of a ring, none further from the next than `step` (mm).
fn along(from: Point, to: Point, step: f64) -> Vec<Point> {
    let n = (distance(from, to) / step).ceil().max(1.0) as usize;
    (0..=n)
        .map(|i| from + (to - from) * (i as f64 / n as f64))
        .collect()
}

/// The point of a sharp corner's allowance, which may reach past an arc across a narrow gap.
struct Mitre<'a> {
    edges: [&'a Asked; 2],
}

impl Mitre<'_> {
    /// Whether a point lies within the allowances of both edges, run on beyond their corner.
    fn holds(&self, p: Point) -> bool {
        let [before, after] = self.edges;
        let widest = before.allowance_mm.max(after.allowance_mm);
        let within = |edge: &Asked| {
            let way = edge.to - edge.from;
            let out = cross(p - edge.from, way) / distance(edge.from, edge.to);
            out <= edge.allowance_mm + LONG_MM
        };
        let beyond = |from: Point, to: Point| dot(p - to, to - from) >= 0.0;
        distance(p, before.to) <= MITRE_LIMIT * widest + LONG_MM
            && within(before)
            && within(after)
            && beyond(before.from, before.to)
            && beyond(after.to, after.from)
    }
}

fn mitres(asked: &[Asked]) -> Vec<Mitre<'_>> {
    let corners = asked.iter().map(|edge| [edge, &asked[edge.beside[1]]]);
    let sharp = corners.filter(|[a, b]| rotate_deg(a, b) >= SMOOTH_DEG);
    sharp.map(|edges| Mitre { edges }).collect()
}

/// The most by which a piece's allowances are shorter than asked, and along arcs longer.
fn worst(piece: &Piece, making: &Making) -> (f64, f64) {
    let asked = asked(piece, making);
    let cut: Vec<Line<f64>> = rings(&piece.cut)
        .flat_map(edges)
        .map(|(a, b)| Line::new(a, b))
        .collect();
    let to_cut = |p: Point| {
        let gaps = cut
            .iter()
            .map(|line| Euclidean.distance(line, &GeoPoint(p)));
        gaps.fold(f64::INFINITY, f64::min)
    };
    let mitres = mitres(&asked);
    let (mut short, mut long) = (0.0f64, f64::NEG_INFINITY);
    for edge in &asked {
        let length = distance(edge.from, edge.to);
        let out = point(
            (edge.to.y - edge.from.y) / length,
            (edge.from.x - edge.to.x) / length,
        );
        for p in along(edge.from, edge.to, 0.7) {
            // A corner of which the other edge asks for less lets the cut line come nearer.
            let least = asked
                .iter()
                .filter(|e| Euclidean.distance(&e.line, &GeoPoint(p)) < edge.allowance_mm)
                .map(|e| e.allowance_mm)
                .fold(edge.allowance_mm, f64::min);
            short = short.max(least - to_cut(p));
        }
        // Square to the edge the allowance is whole, whatever its neighbours ask.
        let middle = (edge.from + edge.to) / 2.0;
        for share in [0.3, 0.7, 1.0] {
            let kept = GeoPoint(middle + out * (edge.allowance_mm * share));
            short = short.max(Euclidean.distance(&kept, &piece.cut));
        }
    }
    // From the other side: each point of the cut line that is nearest to an arc lies no further
    // from some edge than that edge asks.
    for line in &cut {
        for p in along(line.start, line.end, 0.4) {
            let gaps: Vec<f64> = asked
                .iter()
                .map(|e| Euclidean.distance(&e.line, &GeoPoint(p)))
                .collect();
            let near = gaps.iter().copied().fold(f64::INFINITY, f64::min);
            let mut nearest = (0..gaps.len()).filter(|&i| gaps[i] < near + 1e-6);
            let in_mitre = || mitres.iter().any(|mitre| mitre.holds(p));
            if nearest.all(|i| is_smooth(&asked, &asked[i])) && !in_mitre() {
                let over = gaps.iter().zip(&asked).map(|(gap, e)| gap - e.allowance_mm);
                let over = over.fold(f64::INFINITY, f64::min);
                long = long.max(over);
            }
        }
    }
    (short, long)
}

/// A motif of one to three layers, as they come: fans, discs, rings, drawn stars.
fn any_motif(rng: &mut Rng) -> (Motif, Making) {
    let making = Making {
        turn_under_mm: rng.pick(&[3.0, 4.7625, 6.35]),
        seam_mm: rng.pick(&[4.7625, 6.35, 7.5]),
        tuck_under_mm: rng.pick(&[0.0, 0.0, 3.0, 6.35]),
        ..sample::MAKING
    };
    let parts = (0..rng.whole(1, 3))
        .map(|layer| {
            let mut part = sample::part(any_fan(rng));
            part.name = format!("layer {layer}");
            part.rotate_deg = rng.pick(&[0.0, 22.5, 45.0]);
            part.meet = rng.pick(&[Meet::Seam, Meet::BothTurnedUnder, Meet::OneOverOther]);
            part.ends = rng.pick(&[Ends::Seam, Ends::TurnedUnder]);
            if let Form::Fan(fan) = &mut part.form {
                // Small enough to lie on what is below, sometimes by a hair.
                let share = [1.0, 0.6, 0.3][layer];
                for size in [&mut fan.hub_mm, &mut fan.rim_mm] {
                    *size *= share;
                }
                if let Some(spokes) = &mut fan.spokes {
                    spokes.root_mm *= share;
                    spokes.root_width_mm *= share;
                    spokes.tip_width_mm *= share;
                }
            }
            if rng.once_in(8) {
                part.form = star(rng);
            }
            part
        })
        .collect::<Vec<Part>>();
    let name = "any".to_owned();
    (
        Motif {
            name,
            code: None,
            ground: Default::default(),
            copies: 1,
            parts,
        },
        making,
    )
}

fn star(rng: &mut Rng) -> Form {
    let n = 2 * rng.whole(2, 7);
    let radii = [rng.real(10.0, 25.0), rng.real(25.0, 60.0)];
    Form::Outline(
        (0..n)
            .map(|i| {
                let rad = std::f64::consts::TAU * i as f64 / n as f64;
                point(radii[i % 2] * rad.cos(), radii[i % 2] * rad.sin())
            })
            .collect(),
    )
}

#[test]
fn no_allowance_is_shorter_than_asked_and_none_along_an_arc_longer() {
    let mut rng = Rng::new(9);
    let mut pieces = 0;
    let mut bad = vec![];
    for motif_no in 0..200 {
        let (motif, making) = any_motif(&mut rng);
        let Ok(assembly) = assemble(&motif, &making) else {
            continue;
        };
        for piece in &assembly.pieces {
            pieces += 1;
            let (short, long) = worst(piece, &making);
            if short > SHORT_MM || long > LONG_MM {
                bad.push((motif_no, piece.name.clone(), short, long));
            }
        }
    }
    for b in &bad {
        println!("{b:?}");
    }
    assert!(pieces > 500, "{pieces}");
    assert!(bad.is_empty(), "{} of {pieces}", bad.len());
}
