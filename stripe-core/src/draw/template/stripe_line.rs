//! The line on a template for any stripe: along the stripe, so far right or left of the line
//! that its maker chose for the centre.

use super::clear::{Taken, about};
use super::pose::Pose;
use super::ticks::chords;
use crate::draw::lettering::{CAPITAL, width_mm};
use crate::draw::scene::{Anchor, Group, Item, PAPER, Path, Stroke, Text};
use crate::length::{INCH_MM, Length, Unit};
use crate::plan::PlacedPiece;
use crate::shape::room::inside;
use crate::shape::{Point, Rigid, point};

/// Size of its words (mm): 7 points.
const WORDS_MM: f64 = 2.47;
/// Room to both sides of the line (mm).
const BESIDE_MM: f64 = 1.8;
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
                let lines = roomy(&on_stripe, right_mm);
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
    pub(super) fn draw(
        self,
        unit: Unit,
        pose: &Pose,
        cut: &[Vec<Point>],
        taken: &mut Taken,
    ) -> Vec<Item> {
        let rings = pose.rings(cut);
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
            .find(|[a, b]| {
                let corners = about(*a, *b, WORDS_MM * 0.55);
                let middle = (corners[0] + corners[2]) / 2.0;
                taken.is_clear(&corners)
                    && corners.iter().chain([&middle]).all(|&p| inside(&rings, p))
            });
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

/// The parts of the line x = `right_mm` that lie in the rings with room to both sides: one close
/// along an edge would read as a part of it.
fn roomy(rings: &[Vec<Point>], right_mm: f64) -> Vec<[Point; 2]> {
    let at = |x: f64| -> Vec<[f64; 2]> {
        let lines = chords(rings, point(1.0, 0.0), x).into_iter();
        lines.map(|[a, b]| [a.y.min(b.y), a.y.max(b.y)]).collect()
    };
    let beside = [-BESIDE_MM, BESIDE_MM].map(|off| at(right_mm + off));
    let mut found = Vec::new();
    for [low, high] in at(right_mm) {
        for [left_low, left_high] in &beside[0] {
            for [right_low, right_high] in &beside[1] {
                let from = low.max(*left_low).max(*right_low);
                let to = high.min(*left_high).min(*right_high);
                if from < to {
                    found.push([point(right_mm, from), point(right_mm, to)]);
                }
            }
        }
    }
    found
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::{any_stripe, fixture};
    use crate::num::nearest_multiple_gap;
    use crate::shape::{dot, unit};

    /// At every point of the line the piece shows the phase that is so far right of its offset:
    /// asked of the plan's own frame, `m.q + phase`, at both ends.
    #[test]
    fn the_line_is_where_it_says() {
        let plan = fixture::plan(7, 0.0, Unit::Inch);
        let lain = any_stripe(&plan).unwrap();
        let mut seen = 0;
        for (fabric, own) in lain.fabrics.iter().zip(&plan.fabrics) {
            let Some(stripe) = &own.stripe else { continue };
            for piece in &fabric.placements {
                let finished = crate::draw::scene::rings_of(&piece.finished_region());
                let line = StripeLine::of(piece, &finished, Unit::Inch).unwrap();
                let m = unit(piece.normal_deg.unwrap().to_radians());
                for q in line.ends {
                    let right =
                        dot(m, q) + piece.phase_at_centre_mm.unwrap() - piece.offset_mm.unwrap();
                    let off = nearest_multiple_gap(right - line.right_mm, stripe.repeat_mm());
                    assert!(off.abs() < 1e-3, "{}: {off}", piece.id);
                    assert!(finished.iter().any(|ring| ring.len() > 2));
                }
                // An eighth of an inch at the finest, and its arrow points along the stripe.
                let eighths = line.right_mm / (INCH_MM / 8.0);
                assert!((eighths - eighths.round()).abs() < 1e-9);
                let along = line.ends[1] - line.ends[0];
                assert!(dot(along, point(-m.y, m.x)) > 0.0);
                seen += 1;
            }
        }
        assert!(seen > 2, "{seen}");
    }
}
