//! Plain fabric that looks other ways by its direction: what the plan does with it, told from
//! the places in `plan.json` alone, and what the pictures show.

#![allow(
    clippy::unwrap_used,
    reason = "a failed test is meant to stop and say so"
)]

use serde_json::Value;
use std::collections::BTreeSet;
use stripe_core::check::check;
use stripe_core::colour::Colour;
use stripe_core::draw::{motif_pictures, svg};
use stripe_core::fabric::{Fabric, Nap};
use stripe_core::internals::rng::Rng;
use stripe_core::lay::{Control, Effort};
use stripe_core::motif::{Fan, Part};
use stripe_core::plan::{Plan, make};
use stripe_core::project::Project;
use stripe_tests::sample::{any_fan, part, project};

const GOLD: Colour = Colour::new(0xb9, 0x8b, 0x2f);

fn fabric(nap: Nap) -> Fabric {
    Fabric {
        nap,
        // Turns that the nap does not allow.
        may_rotate_deg: vec![0.0, 90.0, 180.0, 270.0],
        ..Fabric::plain("deck", 1067.0, GOLD)
    }
}

fn plan_of(project: &Project) -> Plan {
    let effort = Effort {
        work: 20_000,
        ..Effort::quick(1)
    };
    make(project, &effort, &Control::default()).unwrap()
}

/// By how much the fabric's length is turned from upright in each finished piece (degrees).
fn grains(plan: &Plan) -> Vec<f64> {
    let json = serde_json::to_value(plan).unwrap();
    let placed = json["fabrics"][0]["placements"].as_array().unwrap();
    let grain = |placement: &Value| {
        let to = &placement["to_fabric"];
        let turn = to["rotate_deg"].as_f64().unwrap();
        // The piece was mirrored, then turned: what lies upright on the fabric is turned back.
        let back = -turn;
        if to["mirror"].as_bool().unwrap() {
            -back
        } else {
            back
        }
    };
    placed.iter().map(grain).collect()
}

fn off(a: f64, b: f64, whole: f64) -> f64 {
    (a - b - ((a - b) / whole).round() * whole).abs()
}

#[test]
fn all_pieces_of_a_part_lie_one_way() {
    let mut rng = Rng::new(11);
    for case in 0..10 {
        let fan = std::iter::repeat_with(|| any_fan(&mut rng)).find(|fan| {
            let project = project(fabric(Nap::None), part(fan.clone()), 3);
            fan.wedges > 2 && project.validate().is_ok()
        });
        let fan = fan.unwrap();
        let wanted = rng.pick(&[None, Some(0.0), Some(90.0), Some(37.0)]);
        for (nap, whole) in [(Nap::Shot, 180.0), (Nap::OneWay, 360.0)] {
            let mut fabric = fabric(nap);
            if case % 2 == 1 {
                fabric.faces = stripe_core::fabric::Faces::Both;
            }
            let part = Part {
                grain_deg: wanted,
                ..part(fan.clone())
            };
            let plan = plan_of(&project(fabric, part, 3));
            let grains = grains(&plan);
            assert!(grains.len() >= 9);
            for grain in grains {
                let by = off(grain, wanted.unwrap_or(0.0), whole);
                assert!(by < 1e-4, "{nap:?}: {grain}, not {wanted:?}");
            }
        }
    }
}

#[test]
fn without_a_nap_the_grain_runs_along_each_wedge_unless_the_part_says_otherwise() {
    let fan = || Fan::ring(20.0, 90.0).with_wedges(4);
    let with = |grain_deg| {
        let mut fabric = fabric(Nap::None);
        fabric.may_rotate_deg = vec![0.0, 180.0];
        let part = Part {
            grain_deg,
            ..part(fan())
        };
        grains(&plan_of(&project(fabric, part, 2)))
    };
    // The middles of four wedges are 45 degrees off upright, to either side.
    assert!(
        with(None)
            .iter()
            .all(|grain| off(*grain, 45.0, 90.0) < 1e-4)
    );
    let ways: BTreeSet<i64> = with(None)
        .iter()
        .map(|g| g.rem_euclid(180.0).round() as i64)
        .collect();
    assert_eq!(ways.len(), 2);
    assert!(
        with(Some(30.0))
            .iter()
            .all(|grain| off(*grain, 30.0, 180.0) < 1e-4)
    );
}

#[test]
fn a_piece_turned_out_of_the_nap_is_found() {
    let mut plan = plan_of(&project(fabric(Nap::Shot), part(Fan::disc(40.0)), 3));
    assert!(check(&plan).is_empty());
    let turned = &mut plan.fabrics[0].placements[1];
    // The plan says so itself, and a disc keeps its place.
    turned.to_fabric.rotate_deg += 90.0;
    turned.grain_deg = turned.grain_deg.map(|deg| deg - 90.0);
    let found = check(&plan);
    assert!(
        found.iter().any(|f| f.words.contains("nap of `deck`")),
        "{found:?}"
    );
}

#[test]
fn directions_that_are_no_number_are_no_project() {
    for grain in [f64::NAN, f64::INFINITY, 1e6] {
        let part = Part {
            grain_deg: Some(grain),
            ..part(Fan::disc(40.0))
        };
        let project = project(fabric(Nap::Shot), part, 1);
        let fault = make(&project, &Effort::quick(1), &Control::default()).unwrap_err();
        assert!(fault.to_string().contains("grain_deg"), "{fault}");
    }
}

/// The project file, its fabric and second part completed.
fn text(fabric: &str, part: &str) -> String {
    format!(
        "unit = \"in\"\n[fabric.a]\nwidth = 42\n{fabric}\n[motif.m]\n[[motif.m.part]]\nfabric = \"a\"\nshape = \"ring\"\n\
         hub = 1\nrim = 4\nwedges = 4\n[[motif.m.part]]\nfabric = \"a\"\nshape = \"disc\"\nrim = 1.5\n{part}\n"
    )
}

const SHOT: &str = "colour = \"#b98b2f\"\nnap = \"shot\"";

/// The colours of areas in a picture.
fn colours(picture: &str) -> BTreeSet<&str> {
    let fills = picture.split("fill=\"#").skip(1);
    fills
        .map(|rest| &rest[..6])
        .filter(|colour| !["000000", "1a1a1a", "ffffff"].contains(colour))
        .collect()
}

#[test]
fn pictures_show_two_shades_where_directions_differ() {
    let shades = |fabric: &str, part: &str| {
        let plan = plan_of(&Project::read(&text(fabric, part)).unwrap());
        let pictures = motif_pictures(&plan).unwrap();
        assert_eq!(pictures.len(), 1);
        let said = pictures[0]
            .words
            .iter()
            .any(|(words, _)| words.contains("lighter and darker"));
        let picture = svg(&pictures[0].bare);
        let of: Vec<String> = colours(&picture).iter().map(|&c| c.to_owned()).collect();
        assert_eq!(said, of.len() > 1, "{of:?}");
        of
    };
    assert_eq!(shades(SHOT, ""), ["b98b2f"]);
    let two = shades(SHOT, "grain_angle = 90");
    assert!(
        two.len() == 2 && two.contains(&"b98b2f".to_owned()),
        "{two:?}"
    );
    // Shot fabric turned about looks the same, a pile does not.
    assert_eq!(shades(SHOT, "grain_angle = 180").len(), 1);
    let pile = SHOT.replace("shot", "one way");
    assert_eq!(shades(&pile, "grain_angle = 180").len(), 2);
    assert_eq!(shades("colour = \"#b98b2f\"", "grain_angle = 90").len(), 1);
}

#[test]
fn what_does_not_go_together_is_told_once() {
    let stripe = "[fabric.a.stripe]\nbands = [{ width = 2, colour = \"#112233\" }]";
    for (fabric, part, said) in [
        ("colour = \"#b98b2f\"\nnap = \"silk\"", "", "nap"),
        (&format!("nap = \"shot\"\n{stripe}"), "", "one_way = true"),
        (
            &format!("{SHOT}\nmay_rotate = [0, 90]"),
            "",
            "its nap fixes how pieces lie",
        ),
        (SHOT, "stripe_angle = 90", "`grain_angle` says"),
        (SHOT, "grain_angle = 900", "grain_angle"),
        (stripe, "grain_angle = 90", "`stripe_angle` says"),
        ("colour = \"#b98b2f\"", "stripe_angle = 0", "has no stripe"),
    ] {
        let faults = Project::read(&text(fabric, part)).unwrap_err();
        let told = format!("{} {}", faults[0].message, faults[0].help);
        assert!(faults.len() == 1 && told.contains(said), "{faults:?}");
    }
}
