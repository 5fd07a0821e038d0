//! The largest rectangle that is left over, where it lies beside pieces.

use super::labels::Room;
use super::pieces;
use crate::draw::lettering::width_mm;
use crate::draw::measure::length;
use crate::draw::scene::{Dash, Item, Path, Stroke};
use crate::draw::view::View;
use crate::plan::{FabricPlan, Plan};
use crate::shape::point;

/// Height of the words' letters.
const LETTERS_MM: f64 = 2.5;

/// Where a map ends (mm from the cut end): with what is used or left over, but no
/// further than the same length again. A long remnant stays open.
pub(super) fn end_mm(fabric: &FabricPlan) -> f64 {
    let left = fabric
        .leftover
        .map_or(0.0, |left| left.begin_mm + left.length_mm);
    fabric.length_mm.max(left.min(2.0 * fabric.length_mm))
}

/// Its outline, as far as a sheet shows it.
pub(super) fn leftover(
    plan: &Plan,
    fabric: &FabricPlan,
    [low, high]: [f64; 2],
    view: &View,
    room: &mut Room,
) -> Vec<Item> {
    let Some(left) = fabric.leftover else {
        return vec![];
    };
    let (bottom, top) = (
        left.begin_mm.max(low),
        (left.begin_mm + left.length_mm).min(high),
    );
    if bottom >= top {
        return vec![];
    }
    let at = |x: f64, y: f64| view.apply(point(x, y));
    let right = left.left_mm + left.width_mm;
    let corners = vec![
        at(left.left_mm, bottom),
        at(right, bottom),
        at(right, top),
        at(left.left_mm, top),
    ];
    let outline = Path::rings(
        vec![corners],
        None,
        Some(Stroke::ink(0.3).broken(Dash::Dashed)),
    );
    let middle = at(
        left.left_mm + left.width_mm / 2.0,
        f64::midpoint(bottom, top),
    );
    let size = format!(
        "{} by {}",
        length(left.width_mm, plan.unit),
        length(left.length_mm, plan.unit)
    );
    let mut items = vec![outline.into()];
    // The heading tells the size as well: words that would lie on pieces are left out.
    let room_mm = (view.scale * left.width_mm, view.scale * (top - bottom));
    let has_room = |words: &[&str]| {
        let wide = words.iter().map(|line| width_mm(line, LETTERS_MM, true));
        wide.fold(0.0, f64::max) + 2.0 < room_mm.0
            && (words.len() + 2) as f64 * LETTERS_MM < room_mm.1
    };
    let full: [&str; 2] = ["left over", &size];
    let fits = [&full[..], &full[..1]]
        .into_iter()
        .find(|words| has_room(words));
    if let Some(words) = fits {
        let [width, height] = pieces::plate_mm(words, LETTERS_MM);
        room.plate([
            point(middle.x - width / 2.0, middle.y - height / 2.0),
            point(middle.x + width / 2.0, middle.y + height / 2.0),
        ]);
        items.push(pieces::plate(middle, words, LETTERS_MM, false));
    }
    items
}

/// From where to where across the line runs to which the fabric is used: not through
/// what is left over.
pub(super) fn used_across(fabric: &FabricPlan) -> [f64; 2] {
    let whole = [0.0, fabric.width_mm];
    let through = fabric.leftover.filter(|left| {
        left.begin_mm < fabric.length_mm && fabric.length_mm < left.begin_mm + left.length_mm
    });
    let Some(left) = through else {
        return whole;
    };
    let (before, behind) = (left.left_mm, fabric.width_mm - left.left_mm - left.width_mm);
    if before >= behind {
        [0.0, left.left_mm]
    } else {
        [left.left_mm + left.width_mm, fabric.width_mm]
    }
}
