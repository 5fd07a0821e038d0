//! The sign of a measured point on a template: a cross in a ring, which is told from seams and
//! cut lines even where it lies on one, with an arrow where the way up matters.

use super::clear::{Taken, about, upright};
use super::face::{Face, haloed, holds};
use super::kind::Mark;
use super::pose::Pose;
use crate::draw::lettering::{CAPITAL, width_mm};
use crate::draw::scene::{Anchor, Fill, Group, Item, PAPER, Path, Stroke, Text};
use crate::shape::{Point, point, unit};

/// Size of the names at a mark (mm): 7 points.
const NAME_MM: f64 = 2.47;
/// Radius of the ring (mm).
const RING_MM: f64 = 1.7;
/// How far the arms reach (mm).
const ARM_MM: f64 = 2.8;
/// How far the arrow reaches (mm).
const LONG_MM: f64 = 7.0;
/// Where an arrow that stands behind its point begins and ends, towards the point (mm).
const BEHIND_MM: [f64; 2] = [-10.5, -ARM_MM];
/// How far all of it reaches, with some room (mm).
pub(super) const REACH_MM: f64 = LONG_MM + 0.5;
/// Half the room that cross and ring take (mm).
pub(super) const HALF_MM: f64 = ARM_MM + 0.3;

/// How the arrow of a measured point is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Arrow {
    /// Unit vector towards the motif's top.
    pub up: Point,
    /// Where it stands: ahead of its point, or elsewhere because there is no template there.
    pub stand: Stand,
}

/// Where an arrow stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Stand {
    /// It begins at its point.
    Ahead,
    /// It ends at its point.
    Behind,
    /// Its middle lies so far from its point.
    Beside(Point),
}

impl Arrow {
    /// One that begins at its point.
    pub(super) fn ahead(up: Point) -> Self {
        let stand = Stand::Ahead;
        Self { up, stand }
    }

    /// Its two ends, tail first.
    pub(super) fn ends(self, at: Point) -> [Point; 2] {
        let half = LONG_MM / 2.0;
        let (foot, [tail, tip]) = match self.stand {
            Stand::Ahead => (at, [-ARM_MM, LONG_MM]),
            Stand::Behind => (at, BEHIND_MM),
            Stand::Beside(off) => (at + off, [-half, half]),
        };
        [foot + self.up * tail, foot + self.up * tip]
    }

    /// The same turned, as a template is turned onto its sheet.
    pub(super) fn turned(self, turn: impl Fn(Point) -> Point) -> Self {
        Self {
            up: turn(self.up),
            stand: match self.stand {
                Stand::Beside(off) => Stand::Beside(turn(off)),
                other => other,
            },
        }
    }
}

/// The sign, so many times as large as on a template.
pub(super) fn sign(at: Point, arrow: Option<Arrow>, scale: f64) -> Item {
    let up = arrow.map_or(point(0.0, -1.0), |arrow| arrow.up);
    let side = point(-up.y, up.x);
    let arm = ARM_MM;
    let mut strokes = vec![[side * -arm, side * arm], [up * -arm, up * arm]];
    if let Some(arrow) = arrow {
        let [tail, tip] = arrow.ends(point(0.0, 0.0));
        strokes.push([tail, tip]);
        strokes.extend([-1.1, 1.1].map(|s| [tip - up * 1.7 + side * s, tip]));
    }
    let strokes = strokes.into_iter().map(|ends| ends.map(|p| at + p * scale));
    let strokes: Vec<[Point; 2]> = strokes.collect();
    let ring: Vec<Point> = (0..32)
        .map(|i| at + unit(f64::from(i) * std::f64::consts::TAU / 32.0) * (RING_MM * scale))
        .collect();
    let pen = 0.35 * scale.max(0.7);
    let pale = Stroke::ink(pen + 0.9 * scale).coloured(PAPER);
    let items = vec![
        Path::rings(vec![ring.clone()], None, Some(pale)).into(),
        Path::segments(strokes.iter().copied(), pale).into(),
        Path::rings(vec![ring], None, Some(Stroke::ink(pen))).into(),
        Path::segments(strokes, Stroke::ink(pen)).into(),
    ];
    Group {
        items,
        ..Group::default()
    }
    .into()
}

impl Face<'_> {
    /// How a mark's arrow is drawn, motif frame: before its point; where the template ends
    /// there, behind it or near it, unless another arrow begins at the same point.
    fn arrow(&self, mark: &Mark, all: &[Mark]) -> Option<Arrow> {
        let up = mark.up?;
        let ahead = Arrow::ahead(up);
        let alone = all.iter().filter(|one| near(one.at, mark.at)).count() == 1;
        if !alone || holds(&self.cut, ahead.ends(mark.at)[1]) {
            return Some(ahead);
        }
        let side = point(-up.y, up.x) * 1.5;
        let inside = |arrow: &Arrow| {
            let [tail, tip] = arrow.ends(mark.at);
            let along = [0.0, 0.25, 0.5, 0.75, 1.0].map(|share| tail + (tip - tail) * share);
            let mut all = along.into_iter().flat_map(|p| [p - side, p + side]);
            all.all(|p| holds(&self.cut, p))
        };
        let mut stands = vec![Stand::Behind];
        for reach in [6.0, 8.0, 10.0, 13.0, 16.0] {
            for i in 0..16 {
                let way = unit(f64::from(i) * std::f64::consts::TAU / 16.0);
                stands.push(Stand::Beside(way * reach));
            }
        }
        let mut arrows = stands.into_iter().map(|stand| Arrow { up, stand });
        Some(arrows.find(inside).unwrap_or(ahead))
    }

    /// The measured points, each with an arrow to the motif's top where the fabric is striped;
    /// where pieces have theirs in other places or another way up, with their names.
    pub(super) fn marks(&self, pose: &Pose, taken: &mut Taken) -> Vec<Item> {
        let mut items = Vec::new();
        let marks = self.kind.marks();
        let placed: Vec<(Point, Option<Arrow>, &str)> = marks
            .iter()
            .map(|one| {
                let arrow = self.arrow(one, &marks);
                let arrow = arrow.map(|arrow| arrow.turned(|v| pose.turn(v)));
                (pose.apply(one.at), arrow, one.names.as_str())
            })
            .collect();
        for (at, arrow, _) in &placed {
            taken.add(about(*at, *at, HALF_MM));
            if let Some(arrow) = arrow {
                // Up to the tip: names begin there.
                let [tail, tip] = arrow.ends(*at);
                taken.add(about(tail, tip - arrow.up * 1.2, 1.2));
            }
        }
        let cut = pose.rings(&self.cut);
        for (at, arrow, names) in placed {
            items.push(sign(at, arrow, 1.0));
            if names.is_empty() {
                continue;
            }
            let words = format!("for {names}");
            let half = point(width_mm(&words, NAME_MM, true) / 2.0 + 0.3, NAME_MM * 0.6);
            let (corners, beside) = label_corners(at, arrow, half, &cut, taken);
            taken.add(upright(corners));
            let size = half * 2.0;
            let middle = corners[0] + half;
            if !beside {
                let tip = arrow.map_or(at, |arrow| arrow.ends(at)[1]);
                items.push(haloed(&[[tip, middle]], Stroke::ink(0.15)));
            }
            let pale = Fill::solid(PAPER);
            items.push(Path::rect(corners[0], size.x, size.y, Some(pale), None).into());
            let base = point(middle.x, middle.y + NAME_MM * CAPITAL / 2.0);
            let text = Text::new(base, NAME_MM, words).bold();
            items.push(text.anchored(Anchor::Middle).into());
        }
        items
    }

    /// How far its measured points' crosses and arrows reach, motif frame.
    pub(super) fn arrow_tips(&self) -> Vec<Point> {
        let marks = self.kind.marks();
        let arrows = marks.iter().map(|one| (one.at, self.arrow(one, &marks)));
        arrows
            .flat_map(|(at, arrow)| {
                let half = HALF_MM;
                let arms = [(half, 0.0), (-half, 0.0), (0.0, half), (0.0, -half)];
                let arms = arms.map(|(x, y)| at + point(x, y));
                arms.into_iter()
                    .chain(arrow.into_iter().flat_map(move |arrow| arrow.ends(at)))
            })
            .collect()
    }
}

/// Where the names of a mark stand: beside the tip of its arrow or the arrow itself, inside
/// of the cut line and clear of what is there, wherever that can be; and whether that is close
/// enough to need no line between them.
fn label_corners(
    at: Point,
    arrow: Option<Arrow>,
    half: Point,
    cut: &[Vec<Point>],
    taken: &Taken,
) -> ([Point; 2], bool) {
    let off = |way: Point| way * (0.4 + half.x * way.x.abs() + half.y * way.y.abs());
    let mut spots = Vec::new();
    if let Some(arrow) = arrow {
        let up = arrow.up;
        let side = point(-up.y, up.x);
        let [tail, tip] = arrow.ends(at);
        // Further out where arrows of one point have their names beside each other.
        spots.extend([0.0, 1.2, 2.4, 3.6].map(|far| tip + off(up) + up * far));
        spots.extend([
            tip + off(side) + side * 1.3 - up * 0.6,
            tip - off(side) - side * 1.3 - up * 0.6,
        ]);
        if arrow.stand != Stand::Ahead {
            spots.extend([tail - off(up), tail + off(side), tail - off(side)]);
        }
    } else {
        let ways = [(0.0, -1.0), (1.0, 0.0), (-1.0, 0.0), (0.0, 1.0)];
        spots.extend(ways.map(|(x, y)| at + (point(x, y) * HALF_MM) + off(point(x, y))));
    }
    let close = spots.len();
    // Where there is no room at the tip: all around the foot, further and further.
    for reach in [3.5, 5.0, 7.0, 9.0, 12.0] {
        for i in 0..16 {
            let way = unit(f64::from(i) * std::f64::consts::TAU / 16.0);
            spots.push(at + way * reach + off(way));
        }
    }
    let corners = |middle: Point| [middle - half, middle + half];
    let clear = |(_, middle): &(usize, &Point)| taken.is_clear(&upright(corners(**middle)));
    let within =
        |(_, middle): &(usize, &Point)| upright(corners(**middle)).iter().all(|&p| holds(cut, p));
    let mut inside = spots.iter().enumerate().filter(clear);
    let best = inside.find(within);
    let best = best.or_else(|| spots.iter().enumerate().find(clear));
    let (i, middle) = best.map_or((0, spots[0]), |(i, middle)| (i, *middle));
    (corners(middle), i < close)
}

fn near(a: Point, b: Point) -> bool {
    (a.x - b.x).hypot(a.y - b.y) < 0.5
}
