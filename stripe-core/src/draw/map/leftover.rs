//! The largest rectangle that is left over, where it lies beside pieces.

use super::pieces;
use crate::draw::measure::length;
use crate::draw::scene::{Dash, Item, Path, Stroke};
use crate::draw::view::View;
use crate::plan::{ClothPlan, Plan};
use crate::shape::point;

/// Its outline, as far as a sheet shows it. What lies wholly behind the last piece
/// needs no outline: the line to which the cloth is used tells it.
pub(super) fn leftover(
    plan: &Plan,
    cloth: &ClothPlan,
    [low, high]: [f64; 2],
    view: &View,
) -> Vec<Item> {
    let Some(left) = cloth.leftover.filter(|left| left.begin < cloth.length) else {
        return vec![];
    };
    let (bottom, top) = (left.begin.max(low), (left.begin + left.length).min(high));
    if bottom >= top {
        return vec![];
    }
    let at = |x: f64, y: f64| view.apply(point(x, y));
    let right = left.left + left.width;
    let corners = vec![
        at(left.left, bottom),
        at(right, bottom),
        at(right, top),
        at(left.left, top),
    ];
    let outline = Path::rings(
        vec![corners],
        None,
        Some(Stroke::ink(0.3).broken(Dash::Dashed)),
    );
    let middle = at(left.left + left.width / 2.0, f64::midpoint(bottom, top));
    let size = format!(
        "{} by {}",
        length(left.width, plan.unit),
        length(left.length, plan.unit)
    );
    vec![
        outline.into(),
        pieces::plate(middle, &["left over", &size], 2.2, false),
    ]
}
