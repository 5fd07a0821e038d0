//! Joints of a sewn motif that miss: their marks, and what there is to say of them.

use super::look::Look;
use crate::draw::measure::length;
use crate::draw::scene::{Anchor, Fill, Item, PAPER, Path, Stroke, Text};
use crate::draw::view::View;
use crate::length::Unit;
use crate::matching::{Meeting, share_words};
use crate::plan::{JointNote, Plan};
use crate::shape::{Point, point};

/// Stripes out of line by less (mm) are not told of: nobody cuts so finely.
const SEEN_MM: f64 = 0.1;
/// A step this much above the maker's tolerance (mm) is no rounding.
const STEP_TOL_MM: f64 = 0.01;
/// So small a share of a joint with other colours is a corner, not a miss.
const SHARE_TOL: f64 = 0.01;
/// So many are listed in words.
const MOST_WORDS: usize = 8;

/// The joints of a look's first copy.
fn joints_of<'a>(plan: &'a Plan, look: &Look<'_>) -> Vec<&'a JointNote> {
    let mine = |id: &str| look.cuts.iter().any(|cut| cut.piece.id == id);
    plan.joints
        .iter()
        .filter(|joint| mine(&joint.a) && mine(&joint.b))
        .collect()
}

/// Those of them that miss by more than the maker's tolerance.
pub(super) fn misses<'a>(plan: &'a Plan, look: &Look<'_>) -> Vec<&'a JointNote> {
    let allowed = plan.making.stripe_tolerance_mm + STEP_TOL_MM;
    joints_of(plan, look)
        .into_iter()
        .filter(|joint| {
            let met = Meeting {
                step_mm: joint.step_mm,
                mismatch: joint.mismatch,
            };
            met.is_seen(allowed) || joint.mismatch > SHARE_TOL
        })
        .collect()
}

/// A numbered ring about the middle of each.
pub(super) fn marks(missing: &[&JointNote], view: &View) -> Vec<Item> {
    let mut items = Vec::new();
    for (i, joint) in missing.iter().enumerate() {
        let [[ax, ay], [bx, by]] = joint.line;
        let at = view.apply(point((ax + bx) / 2.0, (ay + by) / 2.0));
        let ring = |width: f64, colour| {
            let stroke = Stroke::ink(width).coloured(colour);
            Item::Path(Path::circle(at, 3.6, None, Some(stroke)))
        };
        items.push(ring(1.3, PAPER));
        items.push(ring(0.5, crate::draw::scene::INK));
        let plate = point(at.x + 3.6, at.y - 3.6);
        let fill = Some(Fill::solid(PAPER));
        items.push(Path::circle(plate, 1.9, fill, Some(Stroke::ink(0.3))).into());
        items.push(
            Text::new(point(plate.x, plate.y + 0.85), 2.5, (i + 1).to_string())
                .anchored(Anchor::Middle)
                .bold()
                .into(),
        );
    }
    items
}

/// What the marks cover: the middle and the radius of each.
pub(super) fn places(missing: &[&JointNote], view: &View) -> Vec<(Point, f64)> {
    let places = missing.iter().flat_map(|joint| {
        let [[ax, ay], [bx, by]] = joint.line;
        let at = view.apply(point((ax + bx) / 2.0, (ay + by) / 2.0));
        [(at, 4.3), (point(at.x + 3.6, at.y - 3.6), 2.2)]
    });
    places.collect()
}

/// What there is to say of the joints, line by line, and whether it is urgent.
pub(super) fn words(plan: &Plan, look: &Look<'_>, missing: &[&JointNote]) -> Vec<(String, bool)> {
    let joints = joints_of(plan, look);
    let all = joints.len();
    if all == 0 {
        return Vec::new();
    }
    if missing.is_empty() {
        let steps = joints.iter().map(|joint| joint.step_mm);
        let worst = steps.fold(0.0, f64::max);
        let within = if worst > SEEN_MM {
            format!(", to within {}", small(worst, plan.unit))
        } else {
            String::new()
        };
        return vec![(format!("The stripes meet at every joint{within}."), false)];
    }
    let name = |id: &str| {
        look.cuts
            .iter()
            .find(|cut| cut.piece.id == id)
            .map_or(id.to_owned(), |cut| cut.piece.piece.clone())
    };
    let mut lines = vec![(
        format!(
            "The stripes are out of line at {} of {all} joints:",
            missing.len()
        ),
        true,
    )];
    for (i, joint) in missing.iter().take(MOST_WORDS).enumerate() {
        let words = format!(
            "{}. {} and {}: out of line by {}; colours differ on {} of the joint.",
            i + 1,
            name(&joint.a),
            name(&joint.b),
            small(joint.step_mm, plan.unit),
            share_words(joint.mismatch)
        );
        lines.push((words, false));
    }
    if missing.len() > MOST_WORDS {
        lines.push((format!("and {} more.", missing.len() - MOST_WORDS), false));
    }
    lines
}

/// A small length: in inches with its millimetres, since a sixteenth is coarse.
fn small(mm: f64, unit: Unit) -> String {
    match unit {
        Unit::Inch if mm >= 1.0 => format!("about {} ({mm:.1} mm)", length(mm, unit)),
        _ => format!("{mm:.1} mm"),
    }
}
