//! Plans on fabric in hand: with as few pieces as will do, and the plan of the strip that they are
//! laid on taken apart into one for each.

use super::fabric::length_mm;
use super::job::FabricJob;
use super::notes::buy;
use super::spread::{Spread, area_mm2};
use crate::fabric::{Along, Fabric, InHand, Pattern, Stripe};
use crate::lay::{self, Control, Effort, Layout, Outcome};
use crate::length::Unit;
use crate::record::{BoundKind, Buy, FabricPlan, InHandNote, LeastLength, PlacedPiece};
use crate::shape::ring::extent;
use crate::shape::{Point, point};
use std::collections::{BTreeMap, BTreeSet};

/// Lays a job in hand on fewer pieces, if it fits on them: of those that a layout uses, the
/// least valuable are left out one by one, as long as the rest suffice.
pub(super) fn use_fewer(
    fabric: &Fabric,
    made: &mut FabricJob,
    outcome: &mut Outcome,
    effort: &Effort,
    control: &Control<'_>,
) {
    let Some(spread) = &made.spread else {
        return;
    };
    if !spread.suffices(&outcome.layout) {
        return;
    }
    // Whatever does is enough here: nothing is gained by a shorter strip.
    let mut in_use = used(spread, fabric, made, &outcome.layout);
    let needed: f64 = made.areas_mm2().sum();
    let has = |used: &[usize]| {
        used.iter()
            .map(|&i| area_mm2(&fabric.in_hand[i]))
            .sum::<f64>()
    };
    let quick = effort.quick_at_most();
    for left_out in in_use.clone() {
        let rest: Vec<usize> = in_use.iter().copied().filter(|&i| i != left_out).collect();
        if control.is_stopped() || has(&rest) < needed {
            return;
        }
        let fewer = Spread::new(fabric, &rest, &made.job);
        let job = fewer.job(&made.job);
        let found = lay::lay(&job, &quick, control);
        if let Ok(found) = found
            && fewer.suffices(&found.layout)
        {
            in_use = used(&fewer, fabric, made, &found.layout);
            made.job = job;
            made.spread = Some(fewer);
            *outcome = found;
        }
    }
}

/// The pieces in hand that a layout uses, the least valuable first.
fn used(spread: &Spread, fabric: &Fabric, made: &FabricJob, layout: &Layout) -> Vec<usize> {
    let homes: BTreeSet<usize> = made
        .middles_mm(layout)
        .filter_map(|y| spread.home(fabric, y).0)
        .collect();
    spread.order().filter(|i| homes.contains(i)).collect()
}

/// Gives equal pieces of all copies their places. A copy that can be cut from one piece of fabric
/// is; the places that are left go to the other copies in their order along the strip, so that
/// what does not fit is of as few copies as may be.
pub(super) fn deal_out(fabric: &Fabric, made: &FabricJob, layout: &mut Layout) {
    let Some(spread) = &made.spread else {
        return;
    };
    let middles: Vec<f64> = made.middles_mm(layout).collect();
    let home = |i: usize| spread.home(fabric, middles[i]).0;
    let mut alike: BTreeMap<(usize, Option<usize>), Vec<usize>> = BTreeMap::new();
    for (i, item) in made.job.items.iter().enumerate() {
        alike.entry((item.kind, item.group)).or_default().push(i);
    }
    // Of each motif the items that are alike, each in the order of its copies.
    let mut motifs: BTreeMap<usize, Vec<Vec<usize>>> = BTreeMap::new();
    for mut items in alike.into_values() {
        items.sort_by_key(|&i| made.origins[i].copy);
        let motif = made.origins[items[0]].motif;
        motifs.entry(motif).or_default().push(items);
    }
    for classes in motifs.into_values() {
        let copies: BTreeSet<usize> = classes
            .concat()
            .iter()
            .map(|&i| made.origins[i].copy)
            .collect();
        // The places of each class in their order along the strip.
        let mut free = classes.clone();
        for places in &mut free {
            places.sort_by(|&a, &b| middles[a].total_cmp(&middles[b]));
        }
        let mut dealt: Vec<Vec<usize>> = vec![vec![]; classes.len()];
        let each = |class: &Vec<usize>| class.len() / copies.len();
        let is_even = |class: &Vec<usize>| {
            let of = |copy| class.iter().filter(move |&&i| made.origins[i].copy == copy);
            copies.iter().all(|&copy| of(copy).count() == each(class))
        };
        if classes.iter().all(is_even) {
            for piece in spread.order() {
                let here = |places: &Vec<usize>| {
                    let here = places.iter().filter(|&&i| home(i) == Some(piece));
                    here.count()
                };
                let sets = free.iter().zip(&classes);
                let whole = sets.map(|(places, class)| here(places) / each(class));
                let whole = whole.min().unwrap_or(0);
                for ((places, class), dealt) in free.iter_mut().zip(&classes).zip(&mut dealt) {
                    let mut wanted = whole * each(class);
                    places.retain(|&i| {
                        let is_taken = wanted > 0 && home(i) == Some(piece);
                        if is_taken {
                            wanted -= 1;
                            dealt.push(i);
                        }
                        !is_taken
                    });
                }
            }
        }
        let before = layout.placements.clone();
        for ((class, dealt), left) in classes.into_iter().zip(dealt).zip(free) {
            for (item, place) in class.into_iter().zip(dealt.into_iter().chain(left)) {
                layout.placements[item] = before[place];
            }
        }
    }
}

/// Takes the plan of the strip apart: a plan for each piece in hand that is used, and one
/// for what has to be bought, if anything has.
pub(super) fn take_apart(
    spread: &Spread,
    fabric: &Fabric,
    strip: FabricPlan,
    unit: Unit,
) -> Vec<FabricPlan> {
    let mut on: Vec<Vec<PlacedPiece>> = vec![Vec::new(); fabric.in_hand.len()];
    let mut beyond: Vec<PlacedPiece> = Vec::new();
    for mut placed in strip.placements.clone() {
        let map = placed.to_fabric.to_rigid();
        let cut = placed.cut.iter().map(|&[x, y]| map.apply(point(x, y)));
        let (low, high) = extent(cut);
        let (home, at) = spread.home(fabric, (low.y + high.y) / 2.0);
        placed.to_fabric.dx_mm -= at.x;
        placed.to_fabric.dy_mm -= at.y;
        match home {
            Some(home) => on[home].push(placed),
            None => beyond.push(placed),
        }
    }
    let mut in_hand = Vec::new();
    for (one, placements) in fabric.in_hand.iter().zip(on) {
        if !placements.is_empty() {
            in_hand.push(plan_of(fabric, one, &strip, placements));
        }
    }
    if !beyond.is_empty() {
        let length_mm = length_mm(&beyond, 0.0);
        in_hand.push(FabricPlan {
            width_mm: fabric.width_mm,
            length_mm,
            by_hand_length_mm: length_mm,
            bound: unproven(),
            buy: buy(fabric, length_mm, unit),
            placements: beyond,
            ..strip
        });
    }
    in_hand
}

/// Of fabric in hand nothing is proven.
pub(super) fn unproven() -> LeastLength {
    LeastLength {
        length_mm: 0.0,
        kind: BoundKind::Area,
        band: None,
    }
}

/// The plan of one piece in hand.
pub(super) fn plan_of(
    fabric: &Fabric,
    one: &InHand,
    strip: &FabricPlan,
    placements: Vec<PlacedPiece>,
) -> FabricPlan {
    let (width_mm, length_mm) = one.size_mm();
    let ring = |points: &[Point]| points.iter().map(|p| [p.x, p.y]).collect::<Vec<_>>();
    FabricPlan {
        name: format!("{}, {}", fabric.name, one.name),
        width_mm,
        length_mm,
        by_hand_length_mm: length_mm,
        bound: unproven(),
        buy: Buy::in_hand(),
        stripe: stripe_of(fabric, one),
        beside: None,
        leftover: None,
        in_hand: Some(InHandNote {
            fabric: fabric.name.clone(),
            outline: ring(&one.outline),
        }),
        avoid: one.avoid.iter().map(|hole| ring(hole)).collect(),
        placements,
        ..strip.clone()
    }
}

/// The fabric's stripe where it begins on a piece in hand.
fn stripe_of(fabric: &Fabric, one: &InHand) -> Option<Stripe> {
    let Pattern::Striped(stripe) = &fabric.pattern else {
        return None;
    };
    let moved = stripe.clone().with_origin(one.origin_mm);
    Some(match stripe.along() {
        Some(along) => {
            let along = Along {
                start_mm: one.origin_along_mm,
                ..along.clone()
            };
            moved.with_along(along).unwrap_or_else(|_| stripe.clone())
        }
        None => moved,
    })
}
