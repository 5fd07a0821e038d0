//! Whether what is said to be left over is there.

use super::{Finding, FindingKind, PLAN_TOL_MM};
use crate::record::ClothPlan;
use crate::shape::{Region, point};
use geo::Intersects;

pub(super) fn check_leftover(cloth: &ClothPlan) -> Vec<Finding> {
    let Some(left) = cloth.leftover else {
        return vec![];
    };
    let contradiction =
        |words: String| Finding::new(FindingKind::Contradiction, &[&cloth.name], words);
    let mut findings = vec![];
    let (right, end) = (left.left + left.width, left.begin + left.length);
    let is_within = left.left >= 0.0
        && left.begin >= 0.0
        && left.width > 2.0 * PLAN_TOL_MM
        && left.length > 2.0 * PLAN_TOL_MM
        && right <= cloth.width + PLAN_TOL_MM
        && end <= cloth.buy.length.max(cloth.length) + PLAN_TOL_MM;
    if !is_within {
        findings.push(contradiction(format!(
            "cloth `{}`: what is left over, from {:.2} to {right:.2} mm across and from {:.2} to {end:.2} mm along, is no part of it",
            cloth.name, left.left, left.begin
        )));
        return findings;
    }
    // Pieces may touch it.
    let (l, r) = (left.left + PLAN_TOL_MM, right - PLAN_TOL_MM);
    let (b, t) = (left.begin + PLAN_TOL_MM, end - PLAN_TOL_MM);
    let ring = vec![point(l, b), point(r, b), point(r, t), point(l, t)];
    let rectangle = Region::new(ring.into(), vec![]);
    for piece in &cloth.placements {
        let cut = piece.to_cloth.to_rigid().apply_to(&piece.cut_region());
        if cut.intersects(&rectangle) {
            findings.push(contradiction(format!(
                "cloth `{}`: {} ({}) reaches into what is said to be left over",
                cloth.name, piece.label, piece.id
            )));
        }
    }
    if let Some(shortest) = left.shortest
        && !(cloth.bound.length - PLAN_TOL_MM..=cloth.length + PLAN_TOL_MM).contains(&shortest)
    {
        findings.push(contradiction(format!(
            "cloth `{}`: the shortest lay is said to take {shortest:.2} mm, which is not between the bound, {:.2} mm, and the plan's {:.2} mm",
            cloth.name, cloth.bound.length, cloth.length
        )));
    }
    findings
}
