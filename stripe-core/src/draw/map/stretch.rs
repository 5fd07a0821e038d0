//! The stretch that straight pieces share: where it is slit, and what is not for motifs.

use super::labels::{NOBODY, Room, SMALL_MM};
use super::pieces;
use crate::draw::measure::length;
use crate::draw::scene::{Fill, Item, PAPER, Path, Stroke};
use crate::draw::view::View;
use crate::plan::{FabricPlan, Plan};
use crate::shape::point;

/// The part that straight pieces are cut from, as far as a sheet shows it.
pub(super) fn stretch(
    plan: &Plan,
    fabric: &FabricPlan,
    [low, high]: [f64; 2],
    view: &View,
    room: &mut Room,
) -> Vec<Item> {
    let Some(beside) = fabric.beside.filter(|beside| beside.length_mm > low) else {
        return vec![];
    };
    let top = beside.length_mm.min(high);
    let at = |x: f64, y: f64| view.apply(point(x, y));
    let corners = [
        at(0.0, low),
        at(beside.slit_mm, low),
        at(beside.slit_mm, top),
        at(0.0, top),
    ];
    let blank = Fill {
        colour: PAPER,
        opacity: 0.85,
    };
    // Blank and not crossed out, which would read as waste; hatching means another thing.
    let mut items: Vec<Item> = vec![Path::rings(vec![corners.to_vec()], Some(blank), None).into()];
    // The slit, and the cut that parts the stretch from the rest.
    let mut cuts = vec![[at(beside.slit_mm, low), at(beside.slit_mm, top)]];
    if beside.length_mm < high {
        cuts.push([
            at(0.0, beside.length_mm),
            at(fabric.width_mm, beside.length_mm),
        ]);
    }
    for &cut in &cuts {
        room.line(NOBODY, cut);
    }
    items.push(Path::segments(cuts, Stroke::ink(0.5)).into());
    let middle = at(beside.slit_mm / 2.0, f64::midpoint(low, top));
    let slit = length(beside.slit_mm, plan.unit);
    let slit = format!("cut in two {slit} from the left selvage");
    let words = ["straight pieces are cut from here", slit.as_str()];
    let short = ["straight pieces", slit.as_str()];
    // The fullest words that have room.
    let said = [&words[..], &short[..], &short[..1]]
        .into_iter()
        .find(|words| room.take(middle, pieces::plate_mm(words, SMALL_MM)));
    items.extend(said.map(|words| pieces::plate(middle, words, SMALL_MM, false)));
    items
}
