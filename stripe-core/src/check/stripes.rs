//! Whether every piece shows the stripe that its motif asks for, and lies as its
//! fabric allows.

use super::{Finding, FindingKind, PLAN_TOL_MM, STEP_TOL_MM};
use crate::fabric::{Along, Nap, Stripe};
use crate::num::nearest_multiple_gap;
use crate::record::{FabricPlan, PlacedPiece, Plan, StripesRun};
use crate::shape::ring::rings;
use crate::shape::{Point, cross, dot, point, unit};
use std::collections::BTreeMap;

pub(super) fn check_stripes(plan: &Plan, fabric: &FabricPlan) -> Vec<Finding> {
    let mut findings: Vec<Finding> = fabric
        .placements
        .iter()
        .filter(|p| p.to_fabric.mirror && !fabric.both_faces)
        .map(|p| {
            let words = format!(
                "{} ({}) lies wrong side up, but only the right side of `{}` may show",
                p.label, p.id, fabric.name
            );
            Finding::new(FindingKind::WrongTurn, &[&p.label], words)
        })
        .collect();
    let Some(stripe) = &fabric.stripe else {
        findings.extend(
            fabric
                .placements
                .iter()
                .filter_map(|p| check_grain(p, fabric)),
        );
        findings.extend(check_nap(fabric));
        return findings;
    };
    let slack = plan.making.stripe_tolerance_mm + STEP_TOL_MM;
    let still = |p: &&PlacedPiece| !plan.is_cut_before_measuring(fabric, p);
    for p in fabric.placements.iter().filter(still) {
        findings.extend(check_phase(p, fabric, stripe, slack));
    }
    findings.extend(check_part_stripes(fabric));
    findings
}

/// On fabric with a nap all pieces of one part have one direction, and none is turned out of it.
fn check_nap(fabric: &FabricPlan) -> Vec<Finding> {
    if !fabric.nap.matters() {
        return vec![];
    }
    let mut first: BTreeMap<(&str, &str), &PlacedPiece> = BTreeMap::new();
    let mut findings = vec![];
    for p in &fabric.placements {
        let one = *first.entry((&p.motif, &p.part)).or_insert(p);
        // What the sewn piece shows upright of the fabric's length.
        let shown = |p: &PlacedPiece| p.to_fabric.to_rigid().unturn(point(0.0, 1.0));
        let (a, b) = (shown(one), shown(p));
        let is_along = cross(a, b).abs() < 1e-4;
        if !is_along || (fabric.nap == Nap::OneWay && dot(a, b) < 0.0) {
            let words = format!(
                "{} and {} belong to one part, but the nap of `{}` runs another way in them",
                one.label, p.label, fabric.name
            );
            findings.push(Finding::new(
                FindingKind::WrongTurn,
                &[&one.label, &p.label],
                words,
            ));
        }
    }
    findings
}

/// On plain fabric the grain runs along the piece's axis, or as its part says, turned as allowed.
fn check_grain(p: &PlacedPiece, fabric: &FabricPlan) -> Option<Finding> {
    let vertical = 90.0 - p.grain_deg.unwrap_or(p.axis_deg);
    let nature = if p.to_fabric.mirror {
        -vertical
    } else {
        vertical
    };
    let turn = p.to_fabric.rotate_deg - nature;
    let off = fabric
        .may_rotate_deg
        .iter()
        .map(|allowed| nearest_multiple_gap(turn - allowed, 360.0).abs())
        .fold(f64::INFINITY, f64::min);
    (off > 0.01).then(|| {
        let words = format!(
            "{} ({}) is {off:.2} degrees off every turn that `{}` allows",
            p.label, p.id, fabric.name
        );
        Finding::new(FindingKind::WrongTurn, &[&p.label], words)
    })
}

/// The stripe on the fabric under a piece against the stripe that it should show.
fn check_phase(
    p: &PlacedPiece,
    fabric: &FabricPlan,
    stripe: &Stripe,
    slack: f64,
) -> Option<Finding> {
    let (Some(normal_deg), Some(centre)) = (p.normal_deg, p.phase_at_centre_mm) else {
        let words = format!(
            "{} ({}) is cut from striped fabric, but the plan says no stripe for it",
            p.label, p.id
        );
        return Some(Finding::new(FindingKind::Contradiction, &[&p.label], words));
    };
    let map = p.to_fabric.to_rigid();
    let (m, n) = (unit(normal_deg.to_radians()), unit(stripe.normal_rad()));
    let finished = p.finished_region();
    // The worst gap over all corners, for one image of the stripe under its symmetry.
    let worst = |image: &dyn Fn(f64) -> f64| {
        rings(&finished)
            .flatten()
            .map(|&q| {
                let shown = dot(n, map.apply(q)) - stripe.origin_mm();
                nearest_multiple_gap(image(shown) - dot(m, q) - centre, stripe.repeat_mm()).abs()
            })
            .fold(0.0, f64::max)
    };
    let mut off = worst(&|phase| phase);
    for line in stripe.mirror_lines() {
        off = off.min(worst(&|phase| 2.0 * line - phase));
    }
    if off > slack {
        let words = format!(
            "{} ({}) misses its stripe by {off:.2} mm on `{}`",
            p.label, p.id, fabric.name
        );
        return Some(Finding::new(FindingKind::OutOfPhase, &[&p.label], words));
    }
    if let Some(along) = stripe.along() {
        let missed = off_lattice(p, stripe, along, centre, m, n);
        if missed.is_none_or(|by| by > slack) {
            let words = format!(
                "{} ({}) misses the repeat along the stripes of `{}`{}",
                p.label,
                p.id,
                fabric.name,
                missed.map_or_else(String::new, |by| format!(" by {by:.2} mm"))
            );
            return Some(Finding::new(FindingKind::OutOfPhase, &[&p.label], words));
        }
    }
    // Along the stripes, the fabric's own up must stay the piece's up.
    let up = |v: Point| point(-v.y, v.x);
    if fabric.one_way && dot(up(n), map.turn(up(m))) < 0.0 {
        let words = format!(
            "{} ({}) lies against the one-way print of `{}`",
            p.label, p.id, fabric.name
        );
        return Some(Finding::new(FindingKind::WrongTurn, &[&p.label], words));
    }
    None
}

/// By how much a piece misses the repeat along the stripes (mm); `None` if it lies
/// turned, or says nothing of that repeat.
fn off_lattice(
    p: &PlacedPiece,
    stripe: &Stripe,
    along: &Along,
    centre: f64,
    m: Point,
    n: Point,
) -> Option<f64> {
    let up = |v: Point| point(-v.y, v.x);
    let map = p.to_fabric.to_rigid();
    let wanted = p.along_at_centre_mm?;
    if map.mirror || dot(n, map.turn(m)) < 1.0 - 1e-6 {
        return None;
    }
    // The motif's centre on the fabric, in repeats across and along.
    let across = dot(n, map.shift) - stripe.origin_mm() - centre;
    let row = (across / stripe.repeat_mm()).round();
    let at = dot(up(n), map.shift) - along.start_mm - wanted - row * along.shear_mm;
    Some(nearest_multiple_gap(at, along.repeat_mm).abs())
}

/// `through`: all pieces of one motif copy that share a name stem share one frame.
fn check_part_stripes(fabric: &FabricPlan) -> Vec<Finding> {
    let mut frames: BTreeMap<(&str, usize, &str), &PlacedPiece> = BTreeMap::new();
    let mut findings = vec![];
    for p in &fabric.placements {
        if p.stripes != Some(StripesRun::Through) {
            continue;
        }
        let first = *frames.entry((&p.motif, p.copy, &p.part)).or_insert(p);
        let same = |a: Option<f64>, b: Option<f64>| match (a, b) {
            (Some(a), Some(b)) => (a - b).abs() <= PLAN_TOL_MM,
            _ => a == b,
        };
        if !same(first.normal_deg, p.normal_deg)
            || !same(first.phase_at_centre_mm, p.phase_at_centre_mm)
        {
            let words = format!(
                "{} and {} belong to one part, but are to show different stripes",
                first.label, p.label
            );
            findings.push(Finding::new(
                FindingKind::Contradiction,
                &[&first.label, &p.label],
                words,
            ));
        }
    }
    findings
}
