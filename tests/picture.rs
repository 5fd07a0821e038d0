//! The strongest check of all: render the fabric, cut every piece out of the picture by
//! its placement, put the motif together from these pixels, and compare it with the
//! stripes that the project promises. What is promised is worked out here anew.

#![allow(
    clippy::unwrap_used,
    reason = "a failed test is meant to stop and say so"
)]

use geo::{Contains, Distance, Euclidean};
use image::{Rgb, RgbImage};
use stripe_core::fabric::{Band, Fabric, Faces, Run, Stripe};
use stripe_core::internals::rng::Rng;
use stripe_core::lay::{Control, Effort};
use stripe_core::motif::{Copies, Ends, Fan, Form, Meet, Part, PartStripes};
use stripe_core::plan::{FabricPlan, PlacedPiece, Plan, make};
use stripe_core::shape::point;
use stripe_core::shape::ring::{edges, extent, rings};
use stripe_tests::sample::{any_fan, any_stripe, fabric, part, project};

const PIXELS_PER_MM: f64 = 2.0;
/// A pixel's colour is that of its middle: half a diagonal away at most.
const BORDER_MM: f64 = 0.4;

/// The band at a phase, by counting.
fn band_at(bands: &[Band], phase: f64) -> (usize, f64) {
    let repeat: f64 = bands.iter().map(|b| b.width_mm).sum();
    let mut left = phase.rem_euclid(repeat);
    for (i, band) in bands.iter().enumerate() {
        if left < band.width_mm {
            return (i, left.min(band.width_mm - left));
        }
        left -= band.width_mm;
    }
    (0, 0.0)
}

fn direction(deg: f64) -> (f64, f64) {
    (deg.to_radians().cos(), deg.to_radians().sin())
}

/// The fabric as a picture, y upward turned to rows downward.
fn render(plan: &FabricPlan, stripe: &Stripe) -> RgbImage {
    let square = if stripe.run() == Run::Lengthwise {
        0.0
    } else {
        90.0
    };
    let (nx, ny) = direction(square + stripe.lean_deg());
    let size = |mm: f64| (mm * PIXELS_PER_MM).ceil() as u32 + 1;
    RgbImage::from_fn(size(plan.width_mm), size(plan.length_mm), |col, row| {
        let x = (f64::from(col) + 0.5) / PIXELS_PER_MM;
        let y = (f64::from(row) + 0.5) / PIXELS_PER_MM;
        let (band, _) = band_at(stripe.bands(), nx * x + ny * y - stripe.origin_mm());
        let c = stripe.bands()[band].colour;
        Rgb([c.red, c.green, c.blue])
    })
}

/// The phase that the part's stripes promise at a motif point, for the wedge of a piece.
fn promised(part: &Part, wedge: usize, turned: bool, offset: f64, x: f64, y: f64) -> f64 {
    let Form::Fan(Fan {
        from_deg,
        sweep_deg,
        wedges,
        ..
    }) = &part.form
    else {
        panic!("fans only")
    };
    let axis = if *wedges == 1 {
        90.0 + part.rotate_deg
    } else {
        from_deg + part.rotate_deg + sweep_deg / *wedges as f64 * (wedge as f64 + 0.5)
    };
    match part.stripes {
        PartStripes::Through { normal_deg } => {
            let (mx, my) = direction(normal_deg);
            mx * x + my * y + offset
        }
        PartStripes::Rays => {
            let (mx, my) = direction(axis - 90.0);
            let beside = mx * x + my * y;
            offset + if turned { -beside } else { beside }
        }
        PartStripes::Rings { radius_mm } => {
            let (mx, my) = direction(axis);
            mx * x + my * y - radius_mm + offset
        }
    }
}

/// Which wedge a piece is: the pieces of a part stand in their order in the plan.
fn wedge_of(plan: &Plan, placement: &PlacedPiece) -> usize {
    let motif = plan.motifs.iter().find(|m| m.name == placement.motif);
    let pieces = &motif.unwrap().pieces;
    let mut wedges = pieces.iter().filter(|p| p.part == placement.part);
    wedges.position(|p| p.piece == placement.piece).unwrap()
}

/// Pixels compared, pixels wrong.
fn compare(
    plan: &Plan,
    fabric: &Fabric,
    part: &Part,
    turned: impl Fn(usize) -> bool,
) -> (usize, usize) {
    let laid = &plan.fabrics[0];
    let stripe = fabric.stripe().unwrap();
    let picture = render(laid, stripe);
    let (mut seen, mut wrong) = (0, 0);
    for placement in &laid.placements {
        let wedge = wedge_of(plan, placement);
        let finished = placement.finished_region();
        let (low, high) = extent(rings(&finished).flatten().copied());
        let to = placement.to_fabric;
        let (cos, sin) = direction(to.rotate_deg);
        let steps = |from: f64, to: f64| {
            (0..)
                .map(move |i| from + 1.7 * f64::from(i))
                .take_while(move |&x| x < to)
        };
        for x in steps(low.x, high.x) {
            for y in steps(low.y, high.y) {
                let phase = promised(
                    part,
                    wedge,
                    turned(wedge),
                    placement.offset_mm.unwrap(),
                    x,
                    y,
                );
                let (band, from_border) = band_at(stripe.bands(), phase);
                let at = geo_types::Point(point(x, y));
                if from_border < BORDER_MM || !finished.contains(&at) {
                    continue;
                }
                let near_edge = rings(&finished)
                    .flat_map(edges)
                    .any(|(a, b)| Euclidean.distance(&geo_types::Line::new(a, b), &at) < 0.6);
                if near_edge {
                    continue;
                }
                let mx = if to.mirror { -x } else { x };
                let col = (cos * mx - sin * y + to.dx_mm) * PIXELS_PER_MM;
                let row = (sin * mx + cos * y + to.dy_mm) * PIXELS_PER_MM;
                let c = stripe.bands()[band].colour;
                seen += 1;
                let pixel = picture.get_pixel(col as u32, row as u32);
                wrong += usize::from(*pixel != Rgb([c.red, c.green, c.blue]));
            }
        }
    }
    (seen, wrong)
}

fn plan_of(fabric: &Fabric, part: &Part, copies: usize, seed: u64) -> Plan {
    let effort = Effort {
        seed,
        streams: 1,
        rounds: 1,
        work: 60_000,
    };
    make(
        &project(fabric.clone(), part.clone(), copies),
        &effort,
        &Control::default(),
    )
    .unwrap_or_else(|fault| panic!("seed {seed}: {fault}\n{fabric:?}\n{part:?}"))
}

/// Spokes as narrow as the model asks, which refuses those that are wider than their share of
/// the wedge.
fn narrow_spokes(part: &mut Part, fabric: &Fabric) {
    for _ in 0..20 {
        if project(fabric.clone(), part.clone(), 2).validate().is_ok() {
            return;
        }
        let Form::Fan(Fan {
            spokes: Some(spokes),
            ..
        }) = &mut part.form
        else {
            return;
        };
        spokes.root_width_mm *= 0.85;
        spokes.tip_width_mm *= 0.85;
    }
}

/// Random projects (`STRIPELAY_PICTURES`; 240 hold): stripes through, rays and rings, both faces, leaning and crosswise fabric, half
/// turns, free, fixed and own offsets. No pixel away from an edge has the wrong band.
#[test]
fn finished_motifs_show_what_their_stripes_promise() {
    let mut rng = Rng::new(2026);
    let (mut mirrored, mut about, mut pixels) = (0, 0, 0);
    for case in 0..stripe_tests::asked("STRIPELAY_PICTURES", 80) {
        let stripe = any_stripe(&mut rng);
        let repeat = stripe.repeat_mm();
        let mirrors = stripe.mirror_lines();
        let mut fabric = fabric(stripe);
        fabric.faces = rng.pick(&[Faces::Both, Faces::RightSide]);
        fabric.one_way = rng.once_in(4);
        let mut part = part(any_fan(&mut rng));
        let Form::Fan(fan) = &part.form else {
            unreachable!()
        };
        part.rotate_deg = rng.pick(&[0.0, 11.25, 33.0]);
        part.meet = rng.pick(&[Meet::Seam, Meet::BothTurnedUnder, Meet::OneOverOther]);
        part.ends = rng.pick(&[Ends::Seam, Ends::TurnedUnder]);
        part.stripes = match case % 3 {
            0 => PartStripes::Through {
                normal_deg: rng.real(0.0, 360.0),
            },
            1 => PartStripes::Rays,
            _ => PartStripes::Rings {
                radius_mm: rng.real(0.0, fan.rim_mm),
            },
        };
        part.phase_mm = rng.once_in(2).then(|| rng.real(0.0, repeat));
        if part.phase_mm.is_none() && rng.once_in(2) {
            part.copies = Copies::Own;
        }
        // What the library chooses where it has a choice, by the rule alone: rays on
        // a mirror line need no turning about; else every other wedge is turned,
        // where the fabric and the count allow it.
        let odd_circle = fan.is_whole_circle() && fan.wedges % 2 == 1 && fan.wedges > 1;
        let alternate =
            part.stripes == PartStripes::Rays && fan.wedges > 1 && !odd_circle && !fabric.one_way;
        if part.stripes == PartStripes::Rays && fan.wedges > 1 && !alternate {
            continue;
        }
        narrow_spokes(&mut part, &fabric);
        let plan = plan_of(&fabric, &part, 2, case);
        let turned = |wedge: usize| alternate && wedge % 2 == 1;
        let (seen, wrong) = compare(&plan, &fabric, &part, turned);
        assert_eq!(
            wrong, 0,
            "case {case}: {wrong} of {seen} pixels\n{fabric:?}\n{part:?}"
        );
        assert!(
            plan.joints.iter().all(|j| j.step_mm <= 0.01),
            "case {case}: {:?}",
            plan.joints[0]
        );
        pixels += seen;
        let natural = |p: &&PlacedPiece| {
            let n = fabric.stripe().unwrap().normal_rad().to_degrees();
            let turn = n - p.normal_deg.unwrap() - p.to_fabric.rotate_deg;
            !p.to_fabric.mirror && (turn.rem_euclid(360.0) - 180.0).abs() < 1.0
        };
        let placements = &plan.fabrics[0].placements;
        mirrored += placements.iter().filter(|p| p.to_fabric.mirror).count();
        about += placements.iter().filter(natural).count();
        if mirrors.is_empty() {
            assert_eq!(placements.iter().filter(natural).count(), 0, "case {case}");
        }
    }
    assert!(pixels > 100_000, "only {pixels} pixels were compared");
    assert!(mirrored > 20, "only {mirrored} pieces lie wrong side up");
    assert!(about > 20, "only {about} pieces lie turned about");
}
