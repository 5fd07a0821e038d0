//! The line on a template for any stripe: along the stripe, so far right or left of the line
//! that its maker chose for the centre.

use super::clear::{Taken, about};
use super::pose::Pose;
use super::ticks::chords;
use crate::draw::lettering::{CAPITAL, width_mm};
use crate::draw::scene::{Anchor, Group, Item, PAPER, Path, Stroke, Text};
use crate::length::{INCH_MM, Length, Unit};
use crate::plan::PlacedPiece;
use crate::shape::{Point, Rigid, point};

/// Size of its words (mm): 7 points.
const WORDS_MM: f64 = 2.47;
/// A line of this share of the longest is long enough, if it stands at a rounder distance.
const LONG_ENOUGH: f64 = 0.8;

/// Where the line lies on a template, motif frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct StripeLine {
    /// Its ends within the finished line, the one that points up last.
    ends: [Point; 2],
    /// How far right of a centre line it is (mm); left is below 0.
    right_mm: f64,
}

impl StripeLine {
    /// The line of a piece that lies on the fabric as [`any_stripe`] has it: there the centre
    /// line is x = 0.
    ///
    /// [`any_stripe`]: crate::draw::any_stripe
    pub(super) fn of(piece: &PlacedPiece, finished: &[Vec<Point>], unit: Unit) -> Option<Self> {
        let map: Rigid = piece.to_fabric.to_rigid();
        let on_stripe: Vec<Vec<Point>> = finished
            .iter()
            .map(|ring| ring.iter().map(|&p| map.apply(p)).collect())
            .collect();
        let across = on_stripe.iter().flatten().map(|p| p.x);
        let (low, high) = across.fold((f64::MAX, f64::MIN), |(l, h), x| (l.min(x), h.max(x)));
        // From the roundest distances to the finest: whole units, halves, quarters, eighths.
        let steps = match unit {
            Unit::Inch => [1.0, 0.5, 0.25, 0.125].map(|part| part * INCH_MM),
            Unit::Centimetre | Unit::Millimetre => [20.0, 10.0, 5.0, 1.0],
        };
        let longest = |step: f64| -> Option<(f64, [Point; 2])> {
            let (from, to) = ((low / step).ceil(), (high / step).floor());
            if !(to - from).is_finite() || to - from > 4000.0 {
                return None;
            }
            let numbers = (from as i64)..=(to as i64);
            let all = numbers.flat_map(|n| {
                let right_mm = n as f64 * step;
                let lines = chords(&on_stripe, point(1.0, 0.0), right_mm);
                lines.into_iter().map(move |ends| (right_mm, ends))
            });
            all.max_by(|a, b| length(a.1).total_cmp(&length(b.1)))
        };
        let finest = longest(steps[3])?;
        let best = steps
            .iter()
            .filter_map(|&step| longest(step))
            .find(|(_, ends)| length(*ends) >= LONG_ENOUGH * length(finest.1))?;
        let (right_mm, mut ends) = best;
        ends.sort_by(|a, b| a.y.total_cmp(&b.y));
        Some(Self {
            ends: ends.map(|p| map.unapply(p)),
            right_mm,
        })
    }

    /// What the caption says of it.
    pub(super) fn sentence(self, unit: Unit) -> String {
        let shown = Length::from_mm(self.right_mm.abs()).shown_both(unit);
        match self.side() {
            "" => "Its stripe line lies on a centre line.".to_owned(),
            "R" => format!("Its stripe line lies {shown} right of a centre line."),
            _ => format!("Its stripe line lies {shown} left of a centre line."),
        }
    }

    fn side(self) -> &'static str {
        if self.right_mm.abs() < 1e-6 {
            ""
        } else if self.right_mm > 0.0 {
            "R"
        } else {
            "L"
        }
    }

    /// The line with its arrow and, where there is room, its distance beside it.
    pub(super) fn draw(self, unit: Unit, pose: &Pose, taken: &mut Taken) -> Vec<Item> {
        let [foot, tip] = self.ends.map(|p| pose.apply(p));
        let long = length([foot, tip]).max(1e-6);
        let along = (tip - foot) / long;
        let side = point(-along.y, along.x);
        let mut strokes = vec![[foot, tip]];
        strokes.extend([-1.3, 1.3].map(|s| [tip - along * 2.8 + side * s, tip]));
        let words = match self.side() {
            "" => "centre line".to_owned(),
            at => format!(
                "{at} {}",
                Length::from_mm(self.right_mm.abs()).shown_both(unit)
            ),
        };
        let mut items: Vec<Item> = vec![
            Path::segments(strokes.iter().copied(), Stroke::ink(1.0).coloured(PAPER)).into(),
            Path::segments(strokes, Stroke::ink(0.45)).into(),
        ];
        let wide = width_mm(&words, WORDS_MM, true);
        let free = (0..)
            .map(|i| 1.5 + f64::from(i))
            .take_while(|start| start + wide + 3.5 < long)
            .flat_map(|start| [-1.0, 1.0].map(|way| (start, way)))
            .map(|(start, way)| {
                let off = side * (way * (WORDS_MM * 0.5 + 0.9));
                [
                    foot + along * start + off,
                    foot + along * (start + wide) + off,
                ]
            })
            .find(|[a, b]| taken.is_clear(&about(*a, *b, WORDS_MM * 0.55)));
        if let Some([a, b]) = free {
            taken.add(about(a, b, WORDS_MM * 0.55));
            items.extend(along_line(a, b, &words));
        }
        taken.add(about(foot, tip, 0.6));
        vec![
            Group {
                items,
                ..Group::default()
            }
            .into(),
        ]
    }
}

fn length([a, b]: [Point; 2]) -> f64 {
    (b.x - a.x).hypot(b.y - a.y)
}

/// Words from one point to another, turned so that they can be read.
fn along_line(from: Point, to: Point, words: &str) -> Vec<Item> {
    let backwards = to.x < from.x - 1e-9 || (to.x - from.x).abs() <= 1e-9 && to.y > from.y;
    let (start, end) = if backwards { (to, from) } else { (from, to) };
    let way = (end - start) / length([start, end]).max(1e-9);
    let down = point(-way.y, way.x);
    let middle = (start + end) / 2.0 + down * (WORDS_MM * CAPITAL / 2.0);
    let text = Text::new(middle, WORDS_MM, words).bold();
    let turned = text
        .anchored(Anchor::Middle)
        .turned(way.y.atan2(way.x).to_degrees());
    vec![turned.into()]
}
