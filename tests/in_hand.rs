//! Plans on fabric in hand, verified by other code: from `plan.json` as text, with geo's polygon
//! Booleans and the definition of a stripe's phase.

#![allow(
    clippy::unwrap_used,
    reason = "a failed test is meant to stop and say so"
)]

use geo::{Area, BooleanOps};
use geo_types::{Coord, LineString, Polygon};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use stripe_core::fabric::{Along, Fabric, InHand, Look, Run, Stripe};
use stripe_core::internals::rng::Rng;
use stripe_core::lay::{Control, Effort};
use stripe_core::motif::{Fan, PartStripes};
use stripe_core::plan::{Happened, Measured, Plan, RecutError, as_many, make, recut};
use stripe_core::project::Project;

use stripe_tests::sample::{bands, fabric, part, project};

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn ring(value: &Value) -> Vec<(f64, f64)> {
    let points = value.as_array().unwrap().iter();
    points.map(|p| (number(&p[0]), number(&p[1]))).collect()
}

fn polygon(points: impl IntoIterator<Item = (f64, f64)>) -> Polygon<f64> {
    let line = points.into_iter().map(|(x, y)| Coord { x, y }).collect();
    Polygon::new(LineString(line), vec![])
}

/// A point of the motif on its fabric: mirrored first, then turned, then moved.
fn laid(piece: &Value, (x, y): (f64, f64)) -> (f64, f64) {
    let to = &piece["to_fabric"];
    let x = if to["mirror"].as_bool().unwrap() {
        -x
    } else {
        x
    };
    let (sin, cos) = number(&to["rotate_deg"]).to_radians().sin_cos();
    (
        cos * x - sin * y + number(&to["dx"]),
        sin * x + cos * y + number(&to["dy"]),
    )
}

/// Everything that a maker counts on, of every fabric of a plan; how many pieces were looked at.
fn assert_stands(plan: &Plan) -> usize {
    let plan = serde_json::to_value(plan).unwrap();
    let gap = number(&plan["making"]["gap"]);
    let mut seen = 0;
    for fabric in plan["fabrics"].as_array().unwrap() {
        let name = &fabric["name"];
        let outline = match fabric.get("in_hand") {
            Some(one) => polygon(ring(&one["outline"])),
            None => {
                let (w, l) = (number(&fabric["width"]), number(&fabric["length"]));
                polygon([(0.0, 0.0), (w, 0.0), (w, l), (0.0, l)])
            }
        };
        let avoid: Vec<Polygon<f64>> = fabric.get("avoid").map_or(vec![], |all| {
            all.as_array()
                .unwrap()
                .iter()
                .map(|hole| polygon(ring(hole)))
                .collect()
        });
        let mut cuts: Vec<(String, Polygon<f64>)> = vec![];
        for piece in fabric["placements"].as_array().unwrap() {
            let label = piece["label"].as_str().unwrap().to_owned();
            let points = ring(&piece["cut"]);
            let cut = polygon(points.iter().map(|&p| laid(piece, p)));
            // A hundredth of a millimetre along a hand's breadth is rounding.
            let over = cut.difference(&outline).unsigned_area();
            assert!(over < 2.0, "{label} is {over} mm² over the edge of {name}");
            let is_cut = piece.get("is_cut").is_some();
            for hole in avoid.iter().filter(|_| !is_cut) {
                let into = cut.intersection(hole).unsigned_area();
                assert!(into < 2.0, "{label} is {into} mm² in a hole of {name}");
            }
            if let Some(stripe) = fabric.get("stripe") {
                assert_phase(piece, stripe, &points, &label);
            }
            for (other, there) in &cuts {
                let both = cut.intersection(there).unsigned_area();
                assert!(both < 1.0, "{label} lies on {other} on {name}");
                let near = geo::Distance::distance(&geo::Euclidean, &cut, there);
                assert!(near > gap - 0.06, "{label} is {near} mm from {other}");
            }
            cuts.push((label, cut));
            seen += 1;
        }
    }
    seen
}

/// Mirror lines apart, the phase of the fabric under each corner is the one that the piece is to
/// show: `(n.p - origin) mod repeat` against `(m.q + c) mod repeat`, or its mirror image.
fn assert_phase(piece: &Value, stripe: &Value, points: &[(f64, f64)], label: &str) {
    let repeat = number(&stripe["repeat"]);
    let across = |deg: f64, (x, y): (f64, f64)| {
        let (sin, cos) = deg.to_radians().sin_cos();
        cos * x + sin * y
    };
    let wrap = |x: f64| x - (x / repeat).round() * repeat;
    let pairs: Vec<(f64, f64)> = points
        .iter()
        .map(|&q| {
            let there =
                across(number(&stripe["normal_deg"]), laid(piece, q)) - number(&stripe["origin"]);
            let wanted =
                across(number(&piece["normal_deg"]), q) + number(&piece["phase_at_centre"]);
            (there, wanted)
        })
        .collect();
    let same = pairs.iter().all(|(a, b)| wrap(a - b).abs() < 0.01);
    // About a mirror line the sum of the two stays the same.
    let sum = pairs[0].0 + pairs[0].1;
    let mirrored = pairs.iter().all(|(a, b)| wrap(a + b - sum).abs() < 0.01);
    assert!(
        same || mirrored,
        "{label} does not show its stripe: {pairs:?}"
    );
}

/// Enough for small jobs, and soon done.
const BRIEF: Effort = Effort {
    seed: 1,
    streams: 1,
    rounds: 1,
    work: 400_000,
};

fn quick(project: &Project) -> Plan {
    make(project, &BRIEF, &Control::default()).unwrap()
}

const LOCKER: &str = include_str!("../data/locker/locker.toml");

/// The example: it fits, one fat quarter stays whole, and all of it stands.
#[test]
fn the_locker_suffices() {
    let plan = quick(&Project::read(LOCKER).unwrap());
    assert_eq!(assert_stands(&plan), 12 * 5 + 9 * 2);
    let bought = plan
        .fabrics
        .iter()
        .filter(|f| f.fabric() == "ticking" && f.in_hand.is_none());
    assert_eq!(bought.count(), 0);
    assert!(plan.warnings[0].contains("stay"), "{:?}", plan.warnings);
}

/// Wherever a piece of fabric holds all that a copy takes of it, that much of some copy comes
/// from it alone: by count, piece by piece of the motif, not copy by copy.
#[test]
fn copies_are_cut_from_one_piece_of_fabric_where_that_can_be() {
    let plan = quick(&Project::read(LOCKER).unwrap());
    for motif in ["porthole", "pennant"] {
        let mut sets = 0;
        let mut homes: BTreeMap<usize, BTreeSet<&str>> = BTreeMap::new();
        let names: BTreeSet<&str> = plan
            .fabrics
            .iter()
            .filter(|f| f.fabric() == "ticking")
            .flat_map(|f| f.placements.iter().filter(|p| p.motif == motif))
            .map(|p| p.piece.as_str())
            .collect();
        for fabric in plan.fabrics.iter().filter(|f| f.fabric() == "ticking") {
            let here = || fabric.placements.iter().filter(|p| p.motif == motif);
            let count = |name: &&str| here().filter(|p| p.piece == **name).count();
            sets += names.iter().map(count).min().unwrap();
            for p in here() {
                homes.entry(p.copy).or_default().insert(&fabric.name);
            }
        }
        let together = homes.values().filter(|homes| homes.len() == 1).count();
        println!(
            "{motif}: {together} of {} copies from one piece, {sets} could be",
            homes.len()
        );
        assert!(
            sets > 0 && together >= sets,
            "{motif}: {together} of {sets}"
        );
    }
}

/// Rectangles, remnants with slanting edges and stains at random, under stripes along, across and
/// leaning, under a plaid, and plain: whatever is planned stands, and what is cut from it again
/// after two pieces are spoilt, too.
#[test]
fn odd_pieces_hold_what_is_planned() {
    let mut beyond = 0;
    for seed in 1..=10 {
        let mut rng = Rng::new(seed);
        let run = if seed % 3 == 0 {
            Run::Crosswise
        } else {
            Run::Lengthwise
        };
        let lean = if seed % 4 == 1 { 1.5 } else { 0.0 };
        let stripe =
            Stripe::try_new(run, lean, 7.0, bands(&[(20.0, 0), (9.0, 1), (14.0, 2)])).unwrap();
        let plaid = seed % 5 == 0;
        let stripe = if plaid {
            let along = Along {
                repeat_mm: 31.0,
                start_mm: 4.0,
                shear_mm: 0.0,
                look: Look::Bands(bands(&[(15.0, 0), (16.0, 3)])),
            };
            stripe.with_along(along).unwrap()
        } else {
            stripe
        };
        let mut deck = if seed == 7 {
            Fabric::plain("deck", 1067.0, stripe_tests::sample::COLOURS[1])
        } else {
            fabric(stripe)
        };
        for number in 0..4 {
            let (w, l) = (rng.real(220.0, 520.0), rng.real(180.0, 460.0));
            let mut one = InHand::rectangle(format!("piece {number}"), w, l);
            if number % 2 == 1 {
                // A corner torn off.
                one.outline[2].x -= rng.real(20.0, 90.0);
                let (x, y) = (rng.real(30.0, 120.0), rng.real(30.0, 100.0));
                let hole = InHand::rectangle("", 40.0, 25.0).outline;
                one.avoid.push(
                    hole.iter()
                        .map(|p| Coord {
                            x: p.x + x,
                            y: p.y + y,
                        })
                        .collect(),
                );
            }
            one.origin_mm = rng.real(0.0, 43.0);
            one.origin_along_mm = rng.real(0.0, 31.0);
            deck.in_hand.push(one);
        }
        let mut piece = part(Fan::ring(25.0, 80.0).with_wedges(3));
        if seed % 2 == 0 && !plaid {
            piece.stripes = PartStripes::Rays;
            piece.phase_mm = Some(10.0);
        }
        let plan = quick(&project(deck, piece, 3 + seed as usize % 5));
        assert_eq!(
            assert_stands(&plan),
            3 * (3 + seed as usize % 5),
            "seed {seed}"
        );
        beyond += usize::from(plan.fabrics.iter().any(|f| f.in_hand.is_none()));
        let codes: Vec<String> = plan.fabrics[0]
            .placements
            .iter()
            .map(|p| p.label.clone())
            .collect();
        let happened = Happened {
            spoilt: codes.iter().take(2).cloned().collect(),
            cut: codes.iter().skip(2).take(3).cloned().collect(),
            ..Happened::default()
        };
        let again = recut(&plan, &happened, "before", &BRIEF, &Control::default()).unwrap();
        assert_eq!(
            assert_stands(&again),
            3 * (3 + seed as usize % 5),
            "seed {seed}, recut"
        );
        // What is cut stays where it was.
        for code in &happened.cut {
            let find = |plan: &Plan| {
                let all = plan
                    .fabrics
                    .iter()
                    .flat_map(|f| f.placements.iter().map(|p| (f.name.clone(), p.clone())));
                all.into_iter().find(|(_, p)| p.label == *code).unwrap()
            };
            let (before, after) = (find(&plan), find(&again));
            assert_eq!((before.0, before.1.to_fabric), (after.0, after.1.to_fabric));
            assert!(after.1.is_cut);
        }
    }
    assert!((1..10).contains(&beyond), "{beyond} of 10 did not fit");
}

/// A stripe that measures 2 % more than the plan has it, on fabric a little narrower that leans:
/// what is cut stays, everything else is laid anew and shows the same part of the stripe, whose
/// phases are 1.02 times as far from the stripe's beginning.
#[test]
fn what_was_measured_again_is_laid_anew() {
    let stripe = Stripe::lengthwise(bands(&[(20.0, 0), (9.0, 1), (14.0, 2)])).unwrap();
    let mut piece = part(Fan::ring(25.0, 80.0).with_wedges(3));
    piece.phase_mm = Some(10.0);
    let plan = quick(&project(fabric(stripe), piece, 4));
    let measured = |repeat_mm: f64, width_mm: f64| Happened {
        cut: vec!["*1a".into(), "*1b".into()],
        measured: vec![Measured {
            fabric: plan.fabrics[0].name.clone(),
            repeat_mm: Some(repeat_mm),
            width_mm: Some(width_mm),
            lean_deg: Some(0.4),
        }],
        ..Happened::default()
    };
    let happened = measured(43.0 * 1.02, 1050.0);
    let again = recut(&plan, &happened, "before", &BRIEF, &Control::default()).unwrap();
    let stripe = again.fabrics[0].stripe.as_ref().unwrap();
    assert!((stripe.repeat_mm() - 43.86).abs() < 1e-9 && stripe.lean_deg() == 0.4);
    let widths: Vec<f64> = stripe.bands().iter().map(|band| band.width_mm).collect();
    assert!((widths[0] - 20.4).abs() < 1e-9 && (widths[2] - 14.28).abs() < 1e-9);
    let before: Vec<_> = plan.fabrics.iter().flat_map(|f| &f.placements).collect();
    let mut anew = 0;
    for piece in again.fabrics.iter().flat_map(|f| &f.placements) {
        let old = before.iter().find(|p| p.label == piece.label).unwrap();
        let phases = [old, &piece].map(|p| p.phase_at_centre_mm.unwrap());
        assert!((phases[0] * 1.02 - phases[1]).abs() < 1e-9, "{phases:?}");
        if piece.is_cut {
            assert_eq!(piece.to_fabric, old.to_fabric);
            continue;
        }
        anew += 1;
        let written = serde_json::to_value(piece).unwrap();
        let stripe = serde_json::to_value(stripe).unwrap();
        let points: Vec<(f64, f64)> = piece.finished.iter().map(|&[x, y]| (x, y)).collect();
        assert_phase(&written, &stripe, &points, &piece.label);
        assert!(piece.cut.iter().all(|&[x, y]| {
            let (x, _) = laid(&written, (x, y));
            (-0.01..=1050.01).contains(&x)
        }));
    }
    assert_eq!(anew, 10);
    // Another stripe is not this one, and a piece of paper is none.
    for (repeat_mm, width_mm) in [(43.0 * 1.3, 1050.0), (f64::NAN, 1050.0), (43.86, 40.0)] {
        let fault = recut(
            &plan,
            &measured(repeat_mm, width_mm),
            "",
            &BRIEF,
            &Control::default(),
        );
        assert!(
            matches!(fault, Err(RecutError::NotMeasured { .. })),
            "{repeat_mm} {fault:?}"
        );
    }
}

/// Three wedges of 120 degrees from rectangles no wider than one of them: as many fit as there
/// are rectangles of that size, by the bound of one each.
#[test]
fn as_many_as_there_are_places() {
    let stripe = Stripe::lengthwise(bands(&[(20.0, 0), (9.0, 1)])).unwrap();
    let mut deck = fabric(stripe);
    // A disc of radius 50 mm with 4.7625 mm turned under: 109.5 mm, two never fit into 180 mm.
    for number in 0..4 {
        deck.in_hand
            .push(InHand::rectangle(format!("piece {number}"), 180.0, 150.0));
    }
    let disc = part(Fan::disc(50.0));
    let project = project(deck, disc, 1);
    let motif = project.motifs[0].name.clone();
    let found = as_many(&project, &motif, 100, &BRIEF, &Control::default());
    assert_eq!(found.unwrap(), 4);
    let mut bare = project.clone();
    bare.fabrics[0].in_hand.clear();
    assert!(as_many(&bare, &motif, 100, &BRIEF, &Control::default()).is_err());
}

#[test]
fn a_rescue_that_makes_no_sense_is_refused() {
    let plan = quick(&Project::read(LOCKER).unwrap());
    let try_it = |spoilt: &[&str], cut: &[&str]| {
        let own = |words: &[&str]| words.iter().map(|w| (*w).to_owned()).collect();
        let happened = Happened {
            spoilt: own(spoilt),
            cut: own(cut),
            ..Happened::default()
        };
        recut(&plan, &happened, "", &BRIEF, &Control::default())
    };
    assert!(
        matches!(try_it(&["P1x"], &[]), Err(RecutError::NoCode { near, .. }) if near.starts_with("P1"))
    );
    assert!(matches!(try_it(&["P1a"], &["P1*"]), Err(RecutError::Both { code }) if code == "P1a"));
    assert!(matches!(
        try_it(&[], &["P1*"]),
        Err(RecutError::NothingSpoilt)
    ));
    // All of a plan spoilt but nothing left of it: what is lacking is said.
    let all = try_it(&["P*", "E*"], &[]).unwrap();
    assert!(all.warnings[0].contains("more"), "{:?}", all.warnings);
    assert_stands(&all);
}
