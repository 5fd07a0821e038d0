//! Rulers along the edges of a map, in the maker's own unit.

use super::lettering::CAPITAL;
use super::scene::{Anchor, INK, Item, Path, Stroke, Text};
use crate::length::Unit;
use crate::shape::{Point, point};

/// Ticks nearer than this on paper (mm) run together.
const LEAST_GAP_MM: f64 = 0.9;
/// Size of the numbers (mm).
const NUMBER_MM: f64 = 2.5;

/// Where a ruler lies and which way its ticks point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    /// Below the edge: ticks point down, numbers stand under them.
    Below,
    /// Left of the edge: ticks point left, numbers stand beside them.
    Left,
}

/// Millimetres in one of the unit.
fn one_mm(unit: Unit) -> f64 {
    match unit {
        Unit::Inch => 25.4,
        Unit::Centimetre => 10.0,
        Unit::Millimetre => 1.0,
    }
}

/// The steps of a ruler, small to large, in its unit: each a whole part of the next.
fn ladder(unit: Unit) -> &'static [f64] {
    match unit {
        Unit::Inch => &[
            0.125, 0.25, 0.5, 1.0, 3.0, 6.0, 12.0, 36.0, 180.0, 360.0, 1800.0, 3600.0, 18000.0,
        ],
        Unit::Centimetre => &[
            0.1, 0.5, 1.0, 5.0, 10.0, 50.0, 100.0, 500.0, 1e3, 5e3, 1e4, 5e4,
        ],
        Unit::Millimetre => &[
            1.0, 5.0, 10.0, 50.0, 100.0, 500.0, 1e3, 5e3, 1e4, 5e4, 1e5, 5e5,
        ],
    }
}

/// A ruler from `from_mm` to `to_mm`; `place` gives the page point of a distance.
pub fn ruler(
    side: Side,
    [from_mm, to_mm]: [f64; 2],
    unit: Unit,
    scale: f64,
    place: impl Fn(f64) -> Point,
) -> Vec<Item> {
    let one = one_mm(unit);
    let steps = ladder(unit);
    let wide_enough = |gap: f64| {
        steps
            .iter()
            .position(|step| step * one * scale >= gap)
            .unwrap_or(steps.len() - 1)
    };
    let finest = wide_enough(LEAST_GAP_MM);
    let numbered = wide_enough(if side == Side::Below { 7.0 } else { 5.0 }).max(
        steps
            .iter()
            .position(|&step| step >= 1.0)
            .expect("every ladder has a whole step"),
    );
    let step_mm = steps[finest] * one;
    let (first, last) = (
        (from_mm / step_mm - 1e-9).ceil() as i64,
        (to_mm / step_mm + 1e-9).floor() as i64,
    );
    let mut ticks = Vec::new();
    let mut items = Vec::new();
    for k in first..=last {
        let at = k as f64 * steps[finest];
        // The rank: how many larger steps this tick is also a whole number of.
        let whole = |step: &&f64| (at / **step - (at / **step).round()).abs() < 1e-6;
        let rank = steps[finest + 1..].iter().take(4).filter(whole).count();
        let length = 0.9 + 0.55 * rank as f64;
        let foot = place(at * one);
        let (head, number) = match side {
            Side::Below => (
                point(foot.x, foot.y + length),
                point(foot.x, foot.y + 3.5 + NUMBER_MM * CAPITAL),
            ),
            Side::Left => (
                point(foot.x - length, foot.y),
                point(foot.x - 3.6, foot.y + NUMBER_MM * CAPITAL / 2.0),
            ),
        };
        ticks.push([foot, head]);
        if whole(&&steps[numbered]) {
            let anchor = match side {
                Side::Below => Anchor::Middle,
                Side::Left => Anchor::End,
            };
            let number = Text::new(number, NUMBER_MM, format!("{at:.0}")).anchored(anchor);
            items.push(number.into());
        }
    }
    let line = Stroke::ink(0.15).coloured(INK);
    items.push(Path::segments(ticks, line).into());
    items.push(Path::open(vec![place(from_mm), place(to_mm)], line).into());
    items
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ticks(items: &[Item]) -> usize {
        items
            .iter()
            .map(|item| match item {
                Item::Path(path) => path.lines.len(),
                _ => 0,
            })
            .max()
            .unwrap_or(0)
    }

    #[test]
    fn steps_follow_the_scale() {
        let along = |unit, scale| {
            ruler(Side::Below, [0.0, 254.0], unit, scale, |at| {
                point(at * scale, 0.0)
            })
        };
        // At true size 10 in have 80 eighths, at 1 to 6.5 only quarters stand apart.
        assert_eq!(ticks(&along(Unit::Inch, 1.0)), 81);
        assert_eq!(ticks(&along(Unit::Inch, 1.0 / 6.5)), 41);
        assert_eq!(ticks(&along(Unit::Centimetre, 1.0)), 255);
        // A kilometre on a hand's breadth is still a ruler of few ticks.
        let far = ruler(Side::Left, [0.0, 1e6], Unit::Inch, 1e-4, |at| {
            point(0.0, at)
        });
        assert!(ticks(&far) < 200);
    }
}
