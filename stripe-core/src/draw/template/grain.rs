//! The arrow of the lengthwise grain in a template.

use super::clear::{Taken, about};
use super::pose::Pose;
use super::ticks::{box_of, chords};
use crate::draw::lettering::{CAPITAL, width_mm};
use crate::draw::scene::{Anchor, Fill, Group, Item, PAPER, Path, Stroke, Text};
use crate::shape::{Point, dot, point};

/// Half the length of the longest arrow (mm).
const LONGEST_MM: f64 = 16.0;
/// Half the length of the shortest (mm).
const SHORTEST_MM: f64 = 3.0;
const WORD: &str = "grain";
/// Size of the word (mm): 7 points.
const WORD_MM: f64 = 2.47;
/// How far the arrow and its word reach to either side (mm).
const HALF_MM: f64 = 1.8;

/// A double arrow along the grain, inside of the finished line, clear of all that is taken;
/// none where its pieces do not share one grain, or where there is no room.
pub(super) fn grain(
    grain: Option<Point>,
    finished: &[Vec<Point>],
    pose: &Pose,
    taken: &mut Taken,
) -> Item {
    let Some(grain) = grain else {
        return Group::default().into();
    };
    let along = pose.turn(grain);
    let normal = point(-along.y, along.x);
    let rings = pose.rings(finished);
    let [low, high] = box_of(&rings);
    let corners = [low, high, point(low.x, high.y), point(high.x, low.y)];
    let [from, to] = corners
        .iter()
        .map(|&c| dot(normal, c))
        .fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], u| {
            [a.min(u), b.max(u)]
        });
    let mut best: Option<(Point, f64)> = None;
    for i in 1..40 {
        let u = from + f64::from(i) / 40.0 * (to - from);
        // Room to both sides: an arrow close along an edge reads as a part of it.
        let beside = [u - 1.8, u + 1.8].map(|u| chords(&rings, normal, u));
        for [a, b] in chords(&rings, normal, u) {
            let length = (b.x - a.x).hypot(b.y - a.y);
            for share in [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8] {
                let middle = a + (b - a) * share;
                let room = length * (0.5 - (share - 0.5_f64).abs()) - 2.0;
                let most = room.min(LONGEST_MM);
                for half in [most, most * 0.75, most * 0.5] {
                    if half < SHORTEST_MM || best.is_some_and(|(_, best)| half <= best + 0.2) {
                        break;
                    }
                    let ends = [-half, half].map(|t| at(middle, along, t));
                    let inside = beside.iter().all(|c| holds(c, along, ends));
                    if inside && taken.is_clear(&about(ends[0], ends[1], HALF_MM)) {
                        best = Some((middle, half));
                        break;
                    }
                }
            }
        }
    }
    let Some((middle, half)) = best else {
        return Group::default().into();
    };
    let ends = [-half, half].map(|t| at(middle, along, t));
    taken.add(about(ends[0], ends[1], HALF_MM));
    arrow(middle, along, half)
}

fn at(from: Point, along: Point, mm: f64) -> Point {
    point(from.x + mm * along.x, from.y + mm * along.y)
}

/// Whether one of the parallel chords reaches as far as the ends.
fn holds(chords: &[[Point; 2]], along: Point, ends: [Point; 2]) -> bool {
    let [from, to] = ends.map(|p| dot(along, p));
    chords.iter().any(|chord| {
        let [a, b] = chord.map(|p| dot(along, p));
        a.min(b) <= from && a.max(b) >= to
    })
}

fn arrow(middle: Point, along: Point, half: f64) -> Item {
    let normal = point(-along.y, along.x);
    let mut ends = Vec::new();
    for sign in [-1.0, 1.0] {
        let tip = at(middle, along, sign * half);
        ends.push([middle, tip]);
        for side in [-0.8, 0.8] {
            let barb = at(at(tip, along, -sign * 1.6), normal, side);
            ends.push([barb, tip]);
        }
    }
    let mut items: Vec<Item> = vec![
        Path::segments(ends.iter().copied(), Stroke::ink(0.9).coloured(PAPER)).into(),
        Path::segments(ends, Stroke::ink(0.3)).into(),
    ];
    if half > 8.0 {
        items.extend(word(middle, along));
    }
    Group {
        items,
        ..Group::default()
    }
    .into()
}

/// The word on the arrow, turned so that it can be read.
fn word(middle: Point, along: Point) -> [Item; 2] {
    let turn = along.y.atan2(along.x).to_degrees();
    let turn = if turn > 90.0 - 1e-6 {
        turn - 180.0
    } else if turn <= -90.0 - 1e-6 {
        turn + 180.0
    } else {
        turn
    };
    let rad = turn.to_radians();
    let (u, v) = (point(rad.cos(), rad.sin()), point(-rad.sin(), rad.cos()));
    let place = |a: f64, b: f64| at(at(middle, u, a), v, b);
    let wide = width_mm(WORD, WORD_MM, false) + 1.4;
    let plate = [(-0.5, -0.7), (0.5, -0.7), (0.5, 0.7), (-0.5, 0.7)]
        .map(|(a, b)| place(a * wide, b * WORD_MM));
    [
        Path::rings(vec![plate.to_vec()], Some(Fill::solid(PAPER)), None).into(),
        Text::new(place(0.0, WORD_MM * CAPITAL / 2.0), WORD_MM, WORD)
            .anchored(Anchor::Middle)
            .turned(turn)
            .into(),
    ]
}
