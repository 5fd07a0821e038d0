//! Frames, ways and exactness against closed forms.

use super::{Frame, Turned, exactness, part_frames, striped_ways};
use crate::fabric::sample::grey_stripe;
use crate::fabric::{Fabric, Faces, Stripe};
use crate::motif::{Assembly, Fan, Making, Motif, Part, PartStripes, assemble};

/// A fan of wedges all around, its stripes as asked, on a fabric.
fn fan(wedges: usize, stripes: PartStripes, phase_mm: Option<f64>) -> (Part, Assembly) {
    let part = Part {
        stripes,
        phase_mm,
        ..Part::new("rim", "deck", Fan::ring(20.0, 60.0).with_wedges(wedges))
    };
    let motif = Motif::new("mill", 1).with_part(part.clone());
    (part, assemble(&motif, &Making::default()).unwrap())
}

fn fabric(stripe: Stripe, faces: Faces, one_way: bool) -> Fabric {
    Fabric {
        faces,
        one_way,
        ..Fabric::striped("deck", 500.0, stripe)
    }
}

/// Its own mirror image at 5 and at 17 of 24 mm; the wider band is the first.
fn balanced() -> Stripe {
    grey_stripe(&[(10.0, 0), (4.0, 90), (6.0, 200), (4.0, 90)])
}

fn unbalanced() -> Stripe {
    grey_stripe(&[(10.0, 0), (4.0, 90), (6.0, 200)])
}

/// Of one tilted about the centre by `t` a point at radius `r` on the stripe's own line moves by
/// `r sin t` across the stripe, and one at right angles to it by `r (1 - cos t)`.
#[test]
fn a_tilt_moves_the_stripe_by_the_sine() {
    let (part, assembly) = fan(2, PartStripes::Through { normal_deg: 90.0 }, Some(0.0));
    let stripe = balanced();
    let cloth = fabric(stripe.clone(), Faces::Both, false);
    let frames = part_frames(&part, 0, &assembly, &cloth, &stripe, 0.0).frames;
    let tilt = 1.0_f64.to_radians();
    // Both joints lie on the x axis: the stripes run along them.
    let exact = exactness(|i| frames.get(i).copied(), 0, &assembly);
    assert!(
        (exact.tilted_mm - 60.0 * tilt.sin()).abs() < 1e-9,
        "{exact:?}"
    );
    // 1/32 in.
    assert!((exact.slid_mm - 0.793_75).abs() < 1e-12);
    // With one frame for all, fabric off square tilts them all alike.
    assert!(exact.skewed_mm.abs() < 1e-12, "{exact:?}");
    let upright = [Frame {
        normal_rad: 0.0,
        phase_mm: 0.0,
    }; 2];
    let exact = exactness(|i| upright.get(i).copied(), 0, &assembly);
    let least = 60.0 * (1.0 - tilt.cos());
    assert!((exact.tilted_mm - least).abs() < 1e-9, "{exact:?}");
}

/// Rays on a balanced stripe meet with its mirror line on each wedge's middle: on the widest
/// band, where nobody asks for another. Those on an unbalanced one meet turned about by turns.
#[test]
fn rays_take_the_mirror_line_or_turn_about() {
    let frames = |wedges, phase, stripe: Stripe, one_way| {
        let (part, assembly) = fan(wedges, PartStripes::Rays, phase);
        let cloth = fabric(stripe.clone(), Faces::RightSide, one_way);
        part_frames(&part, 0, &assembly, &cloth, &stripe, 0.0)
    };
    for (wedges, one_way) in [(6, true), (5, false)] {
        let free = frames(wedges, None, balanced(), one_way);
        assert_eq!((free.turned, free.is_free), (Turned::None, false));
        assert!(
            free.frames
                .iter()
                .all(|frame| (frame.phase_mm - 5.0).abs() < 1e-9)
        );
        assert!(
            free.worst.step_mm < 1e-9 && free.advice.is_none(),
            "{free:?}"
        );
    }
    // Where every other one may be turned about, the offset stays free.
    let turned = frames(6, None, unbalanced(), false);
    assert_eq!((turned.turned, turned.is_free), (Turned::Alternate, true));
    assert!(turned.worst.step_mm < 1e-9);
    // Nothing meets: said, with what would.
    for (wedges, one_way) in [(6, true), (5, false)] {
        let missed = frames(wedges, None, unbalanced(), one_way);
        assert!(
            missed.worst.step_mm > 0.5 && missed.advice.is_some(),
            "{missed:?}"
        );
    }
    let asked = frames(6, Some(17.0), balanced(), true);
    assert!(asked.frames.iter().all(|frame| frame.phase_mm == 17.0));
}

/// A way `q -> A q + d` with `n.d` on its lock shows at every point what the frame asks for, or
/// its mirror image on the stripe: asked of the fabric itself, point by point.
#[test]
fn every_way_shows_its_frame() {
    let frame = Frame {
        normal_rad: 0.4,
        phase_mm: 3.25,
    };
    for stripe in [balanced(), unbalanced()] {
        for (faces, one_way) in [
            (Faces::Both, false),
            (Faces::Both, true),
            (Faces::RightSide, false),
            (Faces::RightSide, true),
        ] {
            let cloth = fabric(stripe.clone(), faces, one_way);
            let ways = striped_ways(&frame, &cloth, &stripe);
            // Natural; turned about and flipped over where the stripe, the print and the
            // faces allow it. Two mirror lines half a repeat apart are one residue.
            let expected = match (stripe.is_balanced(), faces, one_way) {
                (_, Faces::RightSide, true) | (false, Faces::RightSide, false) => 1,
                (true, Faces::RightSide, false) | (true, Faces::Both, true) => 2,
                (false, Faces::Both, true) => 1,
                (false, Faces::Both, false) => 2,
                (true, Faces::Both, false) => 4,
            };
            assert_eq!(
                ways.len(),
                expected,
                "{} {faces:?} {one_way}",
                stripe.is_balanced()
            );
            for way in ways {
                assert!(!way.turn.mirror || faces == Faces::Both);
                let normal = crate::shape::unit(stripe.normal_rad());
                let shift = normal * way.residue_mm;
                let up = crate::shape::point(-normal.y, normal.x);
                let along = crate::shape::point(-frame.normal_rad.sin(), frame.normal_rad.cos());
                let keeps = crate::shape::dot(way.turn.turn(along), up) > 0.0;
                assert!(keeps || !one_way, "{way:?}");
                for (x, y) in [(0.0, 0.0), (7.3, -2.0), (-31.0, 15.0), (4.0, 40.5)] {
                    let q = crate::shape::point(x, y);
                    let shown = stripe.band_at(stripe.phase_at(way.turn.apply(q) + shift));
                    let asked = stripe.band_at(frame.phase_at(q));
                    let colour = |band: usize| stripe.bands()[band].colour;
                    assert_eq!(colour(shown), colour(asked), "{way:?} at {q:?}");
                }
            }
        }
    }
}
