//! What can meet and what cannot: the example projects of every run of stripes and every lock, and
//! the rules of wedge fans as they are derived in the project's table of trade facts.

#![allow(
    clippy::unwrap_used,
    reason = "a failed test is meant to stop and say so"
)]

use stripe_core::check::check;
use stripe_core::fabric::{Fabric, Run, Stripe};
use stripe_core::internals::matching::{Exactness, Turned, exactness, part_frames};
use stripe_core::lay::{Control, Effort};
use stripe_core::motif::{Fan, Motif, Part, PartStripes, assemble};
use stripe_core::plan::{Error, Plan, make};
use stripe_core::project::Project;
use stripe_tests::sample::{MAKING, bands, fabric, part};

fn plan(text: &str) -> Plan {
    let project = Project::read(text).unwrap();
    let effort = Effort {
        work: 300_000,
        ..Effort::quick(1)
    };
    make(&project, &effort, &Control::default()).unwrap()
}

const CAPSTAN: &str = include_str!("../data/capstan/capstan.toml");

#[test]
fn rays_on_an_unbalanced_stripe_take_every_other_wedge_turned_about() {
    let eight = plan(CAPSTAN);
    assert_eq!(eight.joints.len(), 4 * 8);
    assert!(eight.joints[0].step_mm <= 0.01);
    assert!(eight.warnings.is_empty(), "{:?}", eight.warnings);
    // G-23: a full circle needs an even number of wedges; an odd one leaves one bad joint.
    let five = plan(&CAPSTAN.replace("wedges = 8", "wedges = 5"));
    let bad = five.joints.iter().filter(|j| j.step_mm > 0.01).count();
    assert_eq!(bad, 4, "one joint a copy");
    let said = five.warnings.iter().any(|w| w.contains("4 or 6 wedges"));
    assert!(said, "{:?}", five.warnings);
}

#[test]
fn plaids_and_printed_figures_are_locked_both_ways() {
    for text in [
        include_str!("../data/galley/galley.toml"),
        include_str!("../data/chartroom/chartroom.toml"),
    ] {
        let mut sound = plan(text);
        assert!(check(&sound).is_empty());
        // The repeat along the stripes is checked: 1 mm along is a fault now.
        let moved = &mut sound.fabrics[0].placements[0];
        moved.to_fabric.dy_mm += 1.0;
        let label = moved.label.clone();
        let found = check(&sound);
        assert!(
            found
                .iter()
                .any(|f| f.of.contains(&label) && f.words.contains("repeat along")),
            "{found:?}"
        );
    }
}

#[test]
fn rays_cannot_be_had_on_a_plaid() {
    let text = include_str!("../data/galley/galley.toml")
        .replace("offset_along", "stripes = \"rays\"\noffset_along");
    let project = Project::read(&text).unwrap();
    let fault = make(&project, &Effort::quick(1), &Control::default()).unwrap_err();
    let Error::StripesOnLattice { part, fabric, .. } = &fault else {
        panic!("{fault}");
    };
    assert_eq!((part.as_str(), fabric.as_str()), ("bowl", "plaid"));
}

/// An unbalanced stripe on the sample fabric.
fn unbalanced() -> (Fabric, Stripe) {
    let widths = [(11.0, 0), (7.0, 1), (16.0, 2)];
    let stripe = Stripe::try_new(Run::Lengthwise, 0.0, 0.0, bands(&widths)).unwrap();
    (fabric(stripe.clone()), stripe)
}

fn fan(wedges: usize, stripes: PartStripes) -> Part {
    Part {
        stripes,
        phase_mm: Some(3.0),
        ..part(Fan {
            from_deg: 0.0,
            sweep_deg: 360.0,
            wedges,
            hub_mm: 40.0,
            rim_mm: 8.0 * 25.4,
            spokes: None,
        })
    }
}

/// G-21, G-23, G-25 (own derivation, confirmed there by random points): identical wedges
/// with `rings` meet at every seam; `rays` meet if every other wedge is turned about.
#[test]
fn stripes_meet_on_an_unbalanced_stripe_for_every_even_count() {
    let (fabric, stripe) = unbalanced();
    for wedges in 2..=24 {
        let motif = |part: &Part| Motif {
            name: "m".to_owned(),
            code: None,
            ground: Default::default(),
            copies: 1,
            parts: vec![part.clone()],
        };
        let rings = fan(wedges, PartStripes::Rings { radius_mm: 100.0 });
        let made = assemble(&motif(&rings), &MAKING).unwrap();
        let found = part_frames(&rings, 0, &made, &fabric, &stripe, 0.0);
        assert!(found.worst.step_mm < 1e-9, "rings, {wedges}");
        let rays = fan(wedges, PartStripes::Rays);
        let found = part_frames(&rays, 0, &made, &fabric, &stripe, 0.0);
        assert_eq!(found.turned, Turned::Alternate);
        let meets = found.worst.step_mm < 1e-9;
        assert_eq!(meets, wedges % 2 == 0, "rays, {wedges}");
        assert_eq!(found.advice.is_none(), meets);
    }
}

fn exact(wedges: usize, stripes: PartStripes) -> Exactness {
    let (fabric, stripe) = unbalanced();
    let part = fan(wedges, stripes);
    let motif = Motif {
        name: "m".to_owned(),
        code: None,
        ground: Default::default(),
        copies: 1,
        parts: vec![part.clone()],
    };
    let made = assemble(&motif, &MAKING).unwrap();
    let found = part_frames(&part, 0, &made, &fabric, &stripe, 0.0);
    exactness(|i| found.frames.get(i).copied(), 0, &made)
}

/// G-28 (computed): one wedge tilted by 1 degree, step at the rim r = 8 in: stripes across
/// 0.017, 0.026, 0.035, 0.052 in for 15, 22.5, 30, 45 degrees (to the kinder side; the
/// other side is 2 r (1 - cos 1) = 0.0024 in more); stripes up the wedge 0.13 to 0.14 in.
#[test]
fn steps_of_a_tilted_wedge() {
    for (wedges, step_in) in [(24, 0.017), (16, 0.026), (12, 0.035), (8, 0.052)] {
        let rings = exact(wedges, PartStripes::Rings { radius_mm: 100.0 }).tilted_mm / 25.4;
        assert!(
            rings > step_in - 5e-4 && rings < step_in + 0.003,
            "{wedges}: {rings}"
        );
        let rays = exact(wedges, PartStripes::Rays).tilted_mm / 25.4;
        assert!(rays > 0.125 && rays < 0.142, "{wedges}: {rays}");
    }
}

/// G-22 (own derivation): stripes turned by phi from square across the wedge disagree by
/// 2 r sin(alpha / 2) sin phi at radius r. G-26, G-29: slid by e across the stripe, the
/// step along the seam is e / cos(alpha / 2): 1/16 in is 0.0637 in at 22.5 degrees.
#[test]
fn steps_of_skew_and_of_a_slide() {
    for wedges in [8, 12, 16, 24] {
        let half = std::f64::consts::PI / wedges as f64;
        let found = exact(wedges, PartStripes::Rings { radius_mm: 100.0 });
        let phi = 0.01_f64.atan();
        let want = 2.0 * 8.0 * 25.4 * half.sin() * phi.sin();
        assert!((found.skewed_mm - want).abs() < 1e-6 * want, "{wedges}");
    }
    let slid = exact(16, PartStripes::Rings { radius_mm: 100.0 }).slid_mm;
    let along_seam = 2.0 * slid / 25.4 / (11.25_f64).to_radians().cos();
    assert!((along_seam - 0.0637).abs() < 5e-5, "{along_seam}");
    // One frame for all: skew tilts every piece alike, and they still meet.
    let through = exact(8, PartStripes::Through { normal_deg: 20.0 });
    assert!(through.skewed_mm < 1e-9);
}
