//! The stretch that straight pieces share: where it is slit, and what is not for motifs.

use super::pieces;
use crate::draw::measure::length;
use crate::draw::scene::{Fill, Item, PAPER, Path, Stroke};
use crate::draw::view::View;
use crate::plan::{FabricPlan, Plan};
use crate::shape::point;

/// Between two lines of the hatching (mm of fabric, at a scale of 1).
const HATCH_MM: f64 = 3.0;

/// The part that straight pieces are cut from, as far as a sheet shows it.
pub(super) fn stretch(
    plan: &Plan,
    fabric: &FabricPlan,
    [low, high]: [f64; 2],
    view: &View,
) -> Vec<Item> {
    let Some(beside) = fabric.beside.filter(|beside| beside.length > low) else {
        return vec![];
    };
    let top = beside.length.min(high);
    let at = |x: f64, y: f64| view.apply(point(x, y));
    let corners = [
        at(0.0, low),
        at(beside.slit, low),
        at(beside.slit, top),
        at(0.0, top),
    ];
    let blank = Fill {
        colour: PAPER,
        opacity: 0.85,
    };
    // Lines at 45 degrees, from the left or upper side to the lower or right one.
    let (left, right) = (corners[0].x, corners[1].x);
    let (up, down) = (corners[2].y, corners[0].y);
    let lines = (1..)
        .map(|k| f64::from(k) * HATCH_MM)
        .take_while(|d| *d < right - left + down - up)
        .map(|d| {
            let from = point(left + (d - (down - up)).max(0.0), (up + d).min(down));
            let to = point((left + d).min(right), up + (d - (right - left)).max(0.0));
            [from, to]
        });
    let mut items: Vec<Item> = vec![
        Path::rings(vec![corners.to_vec()], Some(blank), None).into(),
        Path::segments(lines, Stroke::ink(0.12)).into(),
    ];
    // The slit, and the cut that parts the stretch from the rest.
    let mut cuts = vec![[at(beside.slit, low), at(beside.slit, top)]];
    if beside.length < high {
        cuts.push([at(0.0, beside.length), at(fabric.width, beside.length)]);
    }
    items.push(Path::segments(cuts, Stroke::ink(0.5)).into());
    let middle = at(beside.slit / 2.0, f64::midpoint(low, top));
    let slit = format!("slit {} from the left", length(beside.slit, plan.unit));
    let words = ["straight pieces", slit.as_str()];
    items.push(pieces::plate(middle, &words, 2.2, false));
    items
}
