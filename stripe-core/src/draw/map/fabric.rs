//! The fabric itself: its stripes, washed out where no piece lies.

use super::Laid;
use crate::colour::Colour;
use crate::draw::bands::Fall;
use crate::draw::crossing::crossing;
use crate::draw::scene::{Fill, Group, Item, PAPER, Path};
use crate::draw::view::View;
use crate::draw::woven::Woven;
use crate::plan::FabricPlan;
use crate::shape::{Point, point};

/// How far waste is washed out towards the paper, so that pieces stand out from it.
pub(in crate::draw) const WASH: f64 = 0.62;
/// What plain fabric is shown as where the plan tells no colour.
const UNDYED: Colour = Colour::new(0xee, 0xe8, 0xdc);

/// The fabric between two corners (fabric frame), pieces in full colour.
pub(super) fn fabric(
    fabric: &FabricPlan,
    [low, high]: [Point; 2],
    laid: &[Laid<'_>],
    full: &[usize],
    view: &View,
    woven: &Woven<'_>,
) -> Item {
    let corners = [low, point(high.x, low.y), high, point(low.x, high.y)];
    let outline: Vec<Point> = corners.iter().map(|&p| view.apply(p)).collect();
    let mut items = match &fabric.stripe {
        Some(stripe) => {
            let fall = Fall::on_fabric(stripe);
            let name = fabric.fabric();
            let corners = [low, high];
            let mut paint = woven.areas(name, &fall, corners, |p| view.apply(p), view.scale);
            paint.extend(crossing(stripe, [low, high], |p| view.apply(p)));
            paint
        }
        None => {
            let fill = Fill::solid(fabric.colour.unwrap_or(UNDYED));
            vec![Path::rings(vec![outline.clone()], Some(fill), None).into()]
        }
    };
    let mut veil = vec![outline.clone()];
    for &index in full {
        veil.extend(view.rings(&laid[index].cut));
    }
    let wash = Fill {
        colour: PAPER,
        opacity: WASH,
    };
    items.push(Path::rings(veil, Some(wash), None).into());
    // Bands of a square stripe end at the corners by themselves, and a clip is dear.
    let clip = match &fabric.stripe {
        Some(_) if matches!(items[0], Item::Shown(_)) => vec![outline],
        Some(stripe) if stripe.along().is_some() || stripe.lean_deg() != 0.0 => {
            vec![outline]
        }
        _ => Vec::new(),
    };
    Group::clipped(clip, items).into()
}
