//! Whether what is said to be left over is there.

use super::{Finding, FindingKind, PLAN_TOL_MM};
use crate::record::FabricPlan;
use crate::shape::{Region, point};
use geo::Intersects;

pub(super) fn check_leftover(fabric: &FabricPlan) -> Vec<Finding> {
    let Some(left) = fabric.leftover else {
        return vec![];
    };
    let contradiction =
        |words: String| Finding::new(FindingKind::Contradiction, &[&fabric.name], words);
    let mut findings = vec![];
    let (right, end) = (left.left_mm + left.width_mm, left.begin_mm + left.length_mm);
    let is_within = left.left_mm >= 0.0
        && left.begin_mm >= 0.0
        && left.width_mm > 2.0 * PLAN_TOL_MM
        && left.length_mm > 2.0 * PLAN_TOL_MM
        && right <= fabric.width_mm + PLAN_TOL_MM
        && end <= fabric.buy.length_mm.max(fabric.length_mm) + PLAN_TOL_MM;
    if !is_within {
        findings.push(contradiction(format!(
            "fabric `{}`: what is left over, from {:.2} to {right:.2} mm across and from {:.2} to {end:.2} mm along, is no part of it",
            fabric.name, left.left_mm, left.begin_mm
        )));
        return findings;
    }
    // Pieces may touch it.
    let (l, r) = (left.left_mm + PLAN_TOL_MM, right - PLAN_TOL_MM);
    let (b, t) = (left.begin_mm + PLAN_TOL_MM, end - PLAN_TOL_MM);
    let ring = vec![point(l, b), point(r, b), point(r, t), point(l, t)];
    let rectangle = Region::new(ring.into(), vec![]);
    for piece in &fabric.placements {
        let cut = piece.to_fabric.to_rigid().apply_to(&piece.cut_region());
        if cut.intersects(&rectangle) {
            findings.push(contradiction(format!(
                "fabric `{}`: {} ({}) reaches into what is said to be left over",
                fabric.name, piece.label, piece.id
            )));
        }
    }
    if let Some(shortest) = left.shortest_mm
        && !(fabric.bound.length_mm - PLAN_TOL_MM..=fabric.length_mm + PLAN_TOL_MM)
            .contains(&shortest)
    {
        findings.push(contradiction(format!(
            "fabric `{}`: the shortest layout is said to take {shortest:.2} mm, which is not between the bound, {:.2} mm, and the plan's {:.2} mm",
            fabric.name, fabric.bound.length_mm, fabric.length_mm
        )));
    }
    findings
}
