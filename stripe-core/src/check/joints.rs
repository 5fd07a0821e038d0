//! Whether joints meet as well as the plan says.

use super::{Finding, FindingKind, PLAN_TOL_MM, STEP_TOL_MM};
use crate::fabric::Stripe;
use crate::matching::{PhaseRun, meet};
use crate::record::{FabricPlan, JointNote, PlacedPiece, Plan, StripesRun};
use crate::shape::{dot, point, unit};
use std::collections::BTreeMap;

pub(super) fn check_joints(plan: &Plan) -> Vec<Finding> {
    let mut by_id: BTreeMap<&str, (&PlacedPiece, usize)> = BTreeMap::new();
    for (i, fabric) in plan.fabrics.iter().enumerate() {
        by_id.extend(fabric.placements.iter().map(|p| (p.id.as_str(), (p, i))));
    }
    plan.joints
        .iter()
        .filter_map(|joint| {
            let at = |id: &str| by_id.get(id).copied();
            match (at(&joint.a), at(&joint.b)) {
                (Some((a, i)), Some((b, j))) if i == j => check_joint(
                    plan,
                    joint,
                    a,
                    b,
                    &plan.fabrics[i],
                    plan.fabrics[i].stripe.as_ref()?,
                ),
                // Fabrics differ, or a piece is missing: said elsewhere.
                _ => None,
            }
        })
        .collect()
}

fn check_joint(
    plan: &Plan,
    joint: &JointNote,
    a: &PlacedPiece,
    b: &PlacedPiece,
    fabric: &FabricPlan,
    stripe: &Stripe,
) -> Option<Finding> {
    let stripe_tolerance_mm = plan.making.stripe_tolerance_mm;
    let n = unit(stripe.normal_rad());
    let shown = |p: &PlacedPiece| {
        let map = p.to_fabric.to_rigid();
        PhaseRun(
            joint
                .line
                .map(|[x, y]| dot(n, map.apply(point(x, y))) - stripe.origin_mm()),
        )
    };
    let met = meet(stripe, shown(a), shown(b), stripe_tolerance_mm);
    let before = [a, b]
        .iter()
        .any(|piece| plan.is_cut_before_measuring(fabric, piece));
    let promised = a.stripes == Some(StripesRun::Through) && !before;
    // Both pieces may use the whole tolerance, each its own way.
    let allowed = 2.0 * stripe_tolerance_mm + STEP_TOL_MM;
    let words = if promised && met.step_mm > allowed {
        format!(
            "{} and {} should match on `{}`, but their stripes are {:.2} mm out of line",
            a.label, b.label, fabric.name, met.step_mm
        )
    } else if (met.step_mm - joint.step_mm).abs() > STEP_TOL_MM {
        format!(
            "{} and {} miss each other by {:.3} mm, not by {:.3} mm as the plan says",
            a.label, b.label, met.step_mm, joint.step_mm
        )
    } else if (met.mismatch - joint.mismatch).abs() > 0.02 + PLAN_TOL_MM {
        format!(
            "{} and {} differ on {:.0} % of their joint, not on {:.0} % as the plan says",
            a.label,
            b.label,
            100.0 * met.mismatch,
            100.0 * joint.mismatch
        )
    } else {
        return None;
    };
    Some(Finding::new(
        FindingKind::Joint,
        &[&a.label, &b.label],
        words,
    ))
}
