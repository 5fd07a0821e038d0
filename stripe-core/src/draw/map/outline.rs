//! Where a fabric ends that is no whole width, and where nothing is cut from it.

use super::edges::is_rectangle;
use super::hatch::cross_hatch;
use crate::draw::scene::{Fill, GREY, Group, Item, PAPER, Path, Stroke};
use crate::draw::view::View;
use crate::plan::FabricPlan;
use crate::shape::{Point, point};

/// Over the fabric, below its pieces: paper where it does not reach, holes, stains and what is
/// spoilt crossed out, within two corners (fabric frame).
pub(super) fn outline(fabric: &FabricPlan, [low, high]: [Point; 2], view: &View) -> Item {
    let corners = [low, point(high.x, low.y), high, point(low.x, high.y)];
    let frame: Vec<Point> = corners.iter().map(|&p| view.apply(p)).collect();
    let page = |ring: &[[f64; 2]]| -> Vec<Point> {
        ring.iter().map(|&[x, y]| view.apply(point(x, y))).collect()
    };
    let mut items: Vec<Item> = Vec::new();
    if let Some(one) = fabric.in_hand.as_ref().filter(|_| !is_rectangle(fabric)) {
        let ring = page(&one.outline);
        let paper = Fill::solid(PAPER);
        items.push(Path::rings(vec![frame.clone(), ring.clone()], Some(paper), None).into());
        items.push(Path::rings(vec![ring], None, Some(Stroke::ink(0.5))).into());
    }
    items.extend(fabric.avoid.iter().flat_map(|ring| crossed_out(page(ring))));
    Group::clipped(vec![frame], items).into()
}

/// An area from which nothing is cut, its corners on the page.
pub(super) fn crossed_out(ring: Vec<Point>) -> Vec<Item> {
    let pale = Fill {
        colour: PAPER,
        opacity: 0.8,
    };
    let mut items = vec![Path::rings(vec![ring.clone()], Some(pale), None).into()];
    items.extend(cross_hatch(&ring));
    items.push(Path::rings(vec![ring], None, Some(Stroke::ink(0.3).coloured(GREY))).into());
    items
}
