//! The new plan from the old one and what was laid anew.

use super::rest::{LaidRest, Rest, gone};
use crate::fabric::{InHand, Sale};
use crate::length::{Length, Unit};
use crate::matching::{PhaseRun, meet};
use crate::plan::fabric::length_mm;
use crate::plan::in_hand::{plan_of, unproven};
use crate::plan::notes::kept;
use crate::record::{Buy, FabricPlan, PlacedPiece, Plan, RecutNote, ToFabric};
use crate::shape::{dot, point, unit};
use crate::wording::listed;
use std::collections::{BTreeMap, BTreeSet};

/// Puts what was laid anew into the plan of one fabric, and notes what changed.
pub(super) fn compose(plan: &mut Plan, rest: &Rest, laid: &LaidRest, note: &mut RecutNote) {
    let relaid: BTreeSet<&str> = laid
        .items
        .iter()
        .map(|&i| rest.open[i].0.label.as_str())
        .collect();
    for (at, &i) in rest.plans.iter().enumerate() {
        let one = &mut plan.fabrics[i];
        let lost = rest
            .open
            .iter()
            .filter(|(_, home, is_spoilt)| *home == at && *is_spoilt);
        let lost = lost.map(|(piece, ..)| gone(piece, 0.0));
        one.avoid
            .extend(lost.map(|ring| ring.iter().map(|p| [kept(p.x), kept(p.y)]).collect()));
        if let Some(beside) = one.beside.take() {
            let cut = InHand::rectangle("", beside.slit_mm, beside.length_mm).outline;
            one.avoid.push(cut.iter().map(|p| [p.x, p.y]).collect());
        }
        one.leftover = None;
        one.bound = unproven();
        one.placements
            .retain(|piece| !relaid.contains(piece.label.as_str()));
    }
    let model = plan.fabrics[rest.plans[0]].clone();
    // By the number of the piece of fabric; what would have to be bought comes last.
    let mut coming: BTreeMap<usize, Vec<PlacedPiece>> = BTreeMap::new();
    let bought = rest.fabric.in_hand.len();
    let placed = laid.made.job.items.iter().zip(&laid.layout.placements);
    for (&i, (item, placement)) in laid.items.iter().zip(placed) {
        let (old, was_on, is_spoilt) = &rest.open[i];
        let way = laid.made.ways[item.kind][placement.pose];
        let shift = laid
            .made
            .job
            .window
            .to_fabric(point(placement.u_mm, placement.v_mm));
        let (low, high) = laid.made.extents[item.kind][placement.pose].cut;
        let (home, at) = laid.spread.home(&rest.fabric, shift.y + (low + high) / 2.0);
        let to_fabric = ToFabric {
            rotate_deg: kept(crate::num::wrap(way.turn.rotate_rad.to_degrees(), 360.0)),
            mirror: way.turn.mirror,
            dx_mm: kept(shift.x - at.x),
            dy_mm: kept(shift.y - at.y),
        };
        if home.is_none() {
            note.lacking.push(old.label.clone());
        }
        if !is_spoilt && (home != Some(*was_on) || !is_same(old, &to_fabric)) {
            note.moved.push(old.label.clone());
        }
        let new = PlacedPiece {
            was: (home == Some(*was_on)).then_some(old.to_fabric),
            to_fabric,
            ..old.clone()
        };
        coming.entry(home.unwrap_or(bought)).or_default().push(new);
    }
    let mut added: Vec<FabricPlan> = Vec::new();
    for (home, pieces) in coming {
        if let Some(&i) = rest.plans.get(home) {
            plan.fabrics[i].placements.extend(pieces);
        } else if let Some(one) = rest.fabric.in_hand.get(home) {
            added.push(plan_of(&rest.fabric, one, &model, pieces));
        } else {
            added.push(to_buy(&rest.fabric, &model, pieces, plan.unit));
        }
    }
    for &i in &rest.plans {
        let one = &mut plan.fabrics[i];
        if one.in_hand.is_none() {
            one.length_mm = length_mm(&one.placements, 0.0);
            one.by_hand_length_mm = one.by_hand_length_mm.max(one.length_mm);
        }
    }
    let lacking = lacking_words(plan, note, &added, &rest.fabric.name);
    plan.warnings.splice(0..0, lacking);
    tell_apart(plan, &mut added);
    let after = rest
        .plans
        .last()
        .map_or(plan.fabrics.len(), |&last| last + 1);
    plan.fabrics.splice(after..after, added);
}

/// Pieces of fabric that come in anew have names of their own, after an earlier rescue too.
fn tell_apart(plan: &Plan, added: &mut [FabricPlan]) {
    let mut known: BTreeSet<String> = plan.fabrics.iter().map(|one| one.name.clone()).collect();
    for one in added {
        let name = one.name.clone();
        let mut number = 2;
        while !known.insert(one.name.clone()) {
            one.name = format!("{name} {number}");
            number += 1;
        }
    }
}

fn is_same(old: &PlacedPiece, new: &ToFabric) -> bool {
    let map = (old.to_fabric.to_rigid(), new.to_rigid());
    old.cut.iter().all(|&[x, y]| {
        let (a, b) = (map.0.apply(point(x, y)), map.1.apply(point(x, y)));
        crate::shape::distance(a, b) < 0.1
    })
}

/// The plan of what has to be bought, a piece of fabric of its own.
fn to_buy(
    fabric: &crate::fabric::Fabric,
    model: &FabricPlan,
    pieces: Vec<PlacedPiece>,
    unit: Unit,
) -> FabricPlan {
    let used_mm = length_mm(&pieces, 0.0);
    let sale = Sale::default(unit == Unit::Inch);
    let length = sale.length_to_buy_mm(used_mm);
    let mut one = InHand::rectangle("to buy", fabric.width_mm, used_mm);
    one.origin_mm = fabric
        .stripe()
        .map_or(0.0, crate::fabric::Stripe::origin_mm);
    let along = fabric.stripe().and_then(crate::fabric::Stripe::along);
    one.origin_along_mm = along.map_or(0.0, |along| along.start_mm);
    FabricPlan {
        buy: Buy {
            length_mm: kept(length),
            shown: Length::from_mm(length).shown_to_buy(unit),
            ..Buy::in_hand()
        },
        ..plan_of(fabric, &one, model, pieces)
    }
}

/// What does not fit, and the two ways out.
fn lacking_words(
    plan: &Plan,
    note: &RecutNote,
    added: &[FabricPlan],
    fabric: &str,
) -> Option<String> {
    let bought = added.iter().find(|one| one.buy.length_mm > 0.0)?;
    let here = bought
        .placements
        .iter()
        .filter(|p| note.lacking.contains(&p.label));
    let mut codes: Vec<&str> = Vec::new();
    let mut motifs: BTreeSet<(&str, usize)> = BTreeSet::new();
    for piece in here {
        codes.push(&piece.label);
        motifs.insert((&piece.motif, piece.copy));
    }
    let given_up: Vec<String> = motifs
        .iter()
        .map(|(name, copy)| format!("{name} {copy}"))
        .collect();
    let up = |mm: f64| Length::from_mm(mm).shown_up(plan.unit);
    Some(format!(
        "{} {} on what is left of `{fabric}`. Buy {} more ({} by {} is needed), or give up {}: then everything else fits",
        codes.join(", "),
        if codes.len() == 1 {
            "has no place"
        } else {
            "have no place"
        },
        bought.buy.shown,
        up(bought.width_mm),
        up(bought.length_mm),
        listed(&given_up)
    ))
}

/// Reckons how every joint meets, now that pieces lie elsewhere; the worst first.
pub(super) fn rejoin(plan: &mut Plan) {
    let tolerance = plan.making.stripe_tolerance_mm;
    let mut joints = plan.joints.clone();
    {
        let by_id: BTreeMap<&str, (&FabricPlan, &PlacedPiece)> = plan
            .fabrics
            .iter()
            .flat_map(|fabric| {
                fabric
                    .placements
                    .iter()
                    .map(move |p| (p.id.as_str(), (fabric, p)))
            })
            .collect();
        for joint in &mut joints {
            let (Some(a), Some(b)) = (by_id.get(joint.a.as_str()), by_id.get(joint.b.as_str()))
            else {
                continue;
            };
            let run = |(fabric, piece): (&FabricPlan, &PlacedPiece)| {
                let stripe = fabric.stripe.as_ref()?;
                let (n, map) = (unit(stripe.normal_rad()), piece.to_fabric.to_rigid());
                let phase = |[x, y]: [f64; 2]| dot(n, map.apply(point(x, y))) - stripe.origin_mm();
                Some(PhaseRun(joint.line.map(phase)))
            };
            if let (Some(stripe), Some(one), Some(other)) = (&a.0.stripe, run(*a), run(*b)) {
                let met = meet(stripe, one, other, tolerance);
                joint.step_mm = kept(met.step_mm);
                joint.mismatch = kept(met.mismatch);
            }
        }
    }
    joints.sort_by(|x, y| {
        let worse = y.step_mm.total_cmp(&x.step_mm);
        worse.then(y.mismatch.total_cmp(&x.mismatch))
    });
    plan.joints = joints;
}
