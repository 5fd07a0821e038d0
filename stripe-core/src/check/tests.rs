//! The verifier against plans that are spoilt by hand, one fault each: by how much something may
//! be off (the tolerances of this module), and what is found when it is off by a little more.

use super::FindingKind::{
    Allowance, Contradiction, Joint, Missing, OffFabric, OutOfPhase, Surplus, TooNear, WrongTurn,
};
use super::{FindingKind, check};
use crate::motif::{Making, Role};
use crate::record::{BesideNote, FabricPlan, InHandNote, Leftover, PlacedPiece, Plan};
use crate::shape::{corners_of, point};

/// Two motifs of two striped wedges and a velvet disc: made from `sound.toml`.
fn sound() -> Plan {
    serde_json::from_str(include_str!("sound.json")).unwrap()
}

/// What is found when the sound plan is spoilt.
#[track_caller]
fn found(spoil: impl FnOnce(&mut Plan)) -> Vec<FindingKind> {
    let mut plan = sound();
    spoil(&mut plan);
    let mut kinds: Vec<FindingKind> = check(&plan).into_iter().map(|f| f.kind).collect();
    kinds.dedup();
    kinds
}

fn deck(plan: &mut Plan) -> &mut FabricPlan {
    &mut plan.fabrics[0]
}

fn velvet(plan: &mut Plan) -> &mut FabricPlan {
    &mut plan.fabrics[1]
}

fn piece<'p>(plan: &'p mut Plan, label: &str) -> &'p mut PlacedPiece {
    let all = plan.fabrics.iter_mut().flat_map(|f| &mut f.placements);
    let mut all = all;
    all.find(|p| p.label == label).unwrap()
}

/// The box of a piece's cut line on its fabric: from the left selvage, then from the cut end.
fn reach(p: &PlacedPiece) -> [[f64; 2]; 2] {
    let map = p.to_fabric.to_rigid();
    let cut = || p.cut.iter().map(|&[x, y]| map.apply(point(x, y)));
    let [low, high] = corners_of(cut().collect::<Vec<_>>().iter());
    [[low.x, high.x], [low.y, high.y]]
}

/// How far the velvet's pieces reach across their fabric.
fn furthest_right(plan: &mut Plan) -> f64 {
    let pieces = velvet(plan).placements.iter();
    pieces.map(|p| reach(p)[0][1]).fold(0.0, f64::max)
}

/// A box about a point, for holes and outlines (mm).
fn square(x: f64, y: f64, half: f64) -> Vec<[f64; 2]> {
    [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
        .map(|(i, j)| [x + i * half, y + j * half])
        .to_vec()
}

#[test]
fn the_plan_is_sound() {
    assert_eq!(check(&sound()), vec![]);
}

#[test]
fn every_piece_is_there_once() {
    let lost = found(|plan| deck(plan).placements.retain(|p| p.label != "M1a"));
    assert_eq!(lost, [Missing]);
    let twice = found(|plan| {
        let mut again = piece(plan, "M1c").clone();
        again.id = "another".into();
        again.to_fabric.dx_mm += 120.0;
        velvet(plan).placements.push(again);
    });
    // Once for the piece, once for its code.
    assert_eq!(twice, [Surplus]);
    assert_eq!(found(|plan| plan.motifs[0].copies = 1), [Surplus]);
    assert_eq!(
        found(|plan| piece(plan, "M1a").label = "M2a".into()),
        [Surplus]
    );
}

#[test]
fn copies_are_cut_alike() {
    let bent = |by: f64| {
        move |plan: &mut Plan| {
            let corner = &mut piece(plan, "M2c").cut[3];
            *corner = [corner[0] * (1.0 + by / 20.0), corner[1] * (1.0 + by / 20.0)];
        }
    };
    assert_eq!(found(bent(0.004)), []);
    assert_eq!(found(bent(0.04)), [Contradiction]);
    // The finished line counts as well, and so does what is done with it.
    let role = found(|plan| {
        let turned = Role::Turned;
        for label in ["M2a", "M2b"] {
            let roles = &mut piece(plan, label).roles;
            let covered = roles.iter().position(|&role| role != turned).unwrap();
            roles[covered] = turned;
        }
    });
    assert!(role.contains(&Contradiction), "{role:?}");
    let finished = found(|plan| piece(plan, "M2c").finished[0][0] += 0.01);
    assert_eq!(finished, [Contradiction]);
}

#[test]
fn pieces_lie_on_the_fabric() {
    for (by, kinds) in [(0.004, &[][..]), (0.02, &[OffFabric])] {
        let narrow = found(|plan| {
            velvet(plan).width_mm = furthest_right(plan) - by;
        });
        assert_eq!(narrow, kinds, "right selvage, {by}");
        let left = found(|plan| {
            let first = &mut velvet(plan).placements[0];
            first.to_fabric.dx_mm -= reach(first)[0][0] + by;
        });
        assert_eq!(left, kinds, "left selvage, {by}");
        // Both ends: the cut end, and the used length with what the plan says of it.
        let down = found(|plan| {
            let fabric = velvet(plan);
            for p in &mut fabric.placements {
                p.to_fabric.dy_mm -= reach(p)[1][0] + by;
            }
            fabric.length_mm = reach(&fabric.placements[0])[1][1];
            fabric.bound.length_mm = 0.0;
        });
        assert_eq!(down, kinds, "cut end, {by}");
        let up = found(|plan| {
            velvet(plan).length_mm -= by;
            velvet(plan).bound.length_mm -= by;
        });
        assert_eq!(up, kinds, "used length, {by}");
    }
    assert_eq!(found(|plan| velvet(plan).length_mm += 0.004), []);
    assert_eq!(
        found(|plan| velvet(plan).length_mm += 0.02),
        [Contradiction]
    );
}

#[test]
fn a_bound_is_no_longer_than_its_layout() {
    let by =
        |by: f64| move |plan: &mut Plan| velvet(plan).bound.length_mm = velvet(plan).length_mm + by;
    assert_eq!(found(by(0.004)), []);
    assert_eq!(found(by(0.006)), [Contradiction]);
}

#[test]
fn pieces_in_hand_keep_to_their_outline_and_off_the_stains() {
    // The discs' cut line is round: in an outline as large as their box they have room.
    let in_hand = |short: f64| {
        move |plan: &mut Plan| {
            let fabric = velvet(plan);
            let (wide, long) = (fabric.width_mm - short, fabric.length_mm);
            fabric.in_hand = Some(InHandNote {
                fabric: fabric.name.clone(),
                outline: vec![[0.0, 0.0], [wide, 0.0], [wide, long], [0.0, long]],
            });
        }
    };
    assert_eq!(found(in_hand(0.0)), []);
    assert_eq!(found(in_hand(150.0)), [OffFabric]);
    let stain = |x: f64| {
        move |plan: &mut Plan| {
            let first = velvet(plan).placements[0].to_fabric;
            velvet(plan).avoid = vec![square(first.dx_mm + x, first.dy_mm, 1.0)];
        }
    };
    assert_eq!(found(stain(-22.0)), []);
    assert_eq!(found(stain(0.0)), [OffFabric]);
    // What is cut already was cut around it.
    let cut = found(|plan| {
        stain(0.0)(plan);
        velvet(plan).placements[0].is_cut = true;
    });
    assert_eq!(cut, []);
}

#[test]
fn a_gap_is_left_between_pieces() {
    // Two discs, from their nearest: 0.004 mm less than the gap is rounding, 0.02 is not.
    let apart = |gap_mm: f64| {
        move |plan: &mut Plan| {
            let [one, other] = &mut velvet(plan).placements[..] else {
                panic!("two discs");
            };
            other.to_fabric.dx_mm += reach(one)[0][1] + gap_mm - reach(other)[0][0];
        }
    };
    // The same with the later one in order on the other side.
    let about = |gap_mm: f64| {
        move |plan: &mut Plan| {
            apart(gap_mm)(plan);
            velvet(plan).placements[0].to_fabric.dy_mm += 0.01;
            velvet(plan).length_mm += 0.01;
        }
    };
    for (gap_mm, kinds) in [(2.1, &[][..]), (1.9, &[TooNear])] {
        assert_eq!(found(apart(gap_mm)), kinds);
        assert_eq!(found(about(gap_mm)), kinds);
    }
    assert_eq!(found(apart(-5.0)), [TooNear]);
    let touching = |overlap: f64| {
        move |plan: &mut Plan| {
            apart(-overlap)(plan);
            plan.making.gap_mm = 0.0;
        }
    };
    // Where pieces may touch, what is thinner than the tolerance is no overlap.
    assert_eq!(found(touching(0.0)), []);
    assert_eq!(found(touching(0.1)), [TooNear]);
}

/// Of a strip `w` by `h` twice the area over the circumference is `w h / (w + h)`.
#[test]
fn an_overlap_is_as_thick_as_its_thickest_part() {
    let ring = |points: &[[f64; 2]]| {
        let ring: Vec<_> = points.iter().map(|&[x, y]| point(x, y)).collect();
        crate::shape::Region::new(ring.into(), vec![])
    };
    let (a, b) = (
        ring(&square(0.0, 0.0, 10.0)),
        ring(&square(19.0, 0.0, 10.0)),
    );
    let thick = super::ground::overlap_mm(&a, &b);
    assert!((thick - 20.0 / 21.0).abs() < 1e-6, "{thick}");
    assert_eq!(
        super::ground::overlap_mm(&a, &ring(&square(30.0, 0.0, 10.0))),
        0.0
    );
}

#[test]
fn stripes_run_as_the_motif_asks() {
    // The tolerance of a step is 0.01 mm, of which the plan's own rounding may take some.
    let slid = |by: f64| {
        move |plan: &mut Plan| {
            for label in ["M1a", "M1b"] {
                piece(plan, label).to_fabric.dx_mm += by;
            }
        }
    };
    assert_eq!(found(slid(0.008)), []);
    assert_eq!(found(slid(0.02)), [OutOfPhase]);
    // A whole repeat is no fault.
    let far = found(|plan| {
        deck(plan).width_mm = 600.0;
        slid(39.0 * 10.0)(plan);
    });
    assert_eq!(far, []);
    let tolerant = found(|plan| {
        plan.making.stripe_tolerance_mm = 0.5;
        slid(0.4)(plan);
    });
    assert_eq!(tolerant, []);
    // One of two alone is out of phase, and so is the joint.
    let one = found(|plan| piece(plan, "M1a").to_fabric.dx_mm += 0.03);
    assert_eq!(one, [OutOfPhase, Joint]);
    // Said or not: stripes that run through a joint are promised to meet there.
    let said = found(|plan| {
        piece(plan, "M1a").to_fabric.dx_mm += 0.03;
        plan.joints[0].step_mm = 0.03;
    });
    assert_eq!(said, [OutOfPhase, Joint]);
    let unlike = found(|plan| {
        let one = piece(plan, "M1a");
        one.phase_at_centre_mm = one.phase_at_centre_mm.map(|phase| phase + 0.008);
    });
    assert_eq!(unlike, [Contradiction]);
    let unsaid = found(|plan| piece(plan, "M1a").normal_deg = None);
    assert_eq!(unsaid, [Contradiction]);
}

/// A stripe of two bands, 20 and 19 mm, is its own mirror image about 10 mm: a piece turned about
/// that shows 5 mm at its centre has its centre at `2 x 10 - 5 = 15` mm.
#[test]
fn a_balanced_stripe_may_be_turned_about() {
    let about = |off_mm: f64| {
        move |plan: &mut Plan| {
            let fabric = deck(plan);
            let mut stripe = serde_json::to_value(fabric.stripe.as_ref().unwrap()).unwrap();
            stripe["bands"] = serde_json::json!([
                { "width": 20.0, "colour": "#1f3a5f", "name": "navy" },
                { "width": 19.0, "colour": "#f2ead8", "name": "sail" },
            ]);
            fabric.stripe = Some(serde_json::from_value(stripe).unwrap());
            fabric.width_mm = 600.0;
            for (label, x) in [("M2a", 15.0 + 8.0 * 39.0), ("M2b", 15.0 + 11.0 * 39.0)] {
                let p = piece(plan, label);
                p.to_fabric.rotate_deg = 180.0;
                p.to_fabric.dx_mm = x + off_mm;
                p.to_fabric.dy_mm -= reach(p)[1][0];
            }
            deck(plan).length_mm = 51.0;
            deck(plan).bound.length_mm = 0.0;
        }
    };
    assert_eq!(found(about(0.0)), []);
    assert_eq!(found(about(0.02)), [OutOfPhase]);
}

/// What repeats along the stripes, every 25 mm and 10 mm further along from column to column,
/// by hand: a piece whose centre lies `k` columns from the first and `v` from the cut end shows
/// `v - 10 k` there.
#[test]
fn what_repeats_along_the_stripes_is_met() {
    let checked = |off_mm: f64| {
        move |plan: &mut Plan| {
            let fabric = deck(plan);
            let mut stripe = serde_json::to_value(fabric.stripe.as_ref().unwrap()).unwrap();
            stripe["along"] = serde_json::json!({
                "repeat": 25.0, "start": 2.0, "shear": 10.0,
                "bands": [{ "width": 25.0, "colour": "#ffffff", "name": "check" }],
            });
            stripe["origin"] = 39.0.into();
            fabric.stripe = Some(serde_json::from_value(stripe).unwrap());
            // Columns are 39 mm: the centres lie at 44, 200, 239 and 161 mm, and show 44 mm of
            // a stripe that begins at 39 mm.
            for (label, column, v) in [
                ("M1a", -1.0, 6.0),
                ("M1b", 3.0, 6.0),
                ("M2a", 4.0, 6.0),
                ("M2b", 2.0, 32.3838),
            ] {
                let p = piece(plan, label);
                p.phase_at_centre_mm = Some(44.0);
                p.along_at_centre_mm = Some(v - 2.0 - 10.0 * column + off_mm);
            }
        }
    };
    assert_eq!(found(checked(0.0)), []);
    assert_eq!(found(checked(25.0)), []);
    assert_eq!(found(checked(0.02)), [OutOfPhase]);
    let unsaid = found(|plan| {
        checked(0.0)(plan);
        piece(plan, "M1a").along_at_centre_mm = None;
    });
    assert_eq!(unsaid, [OutOfPhase]);
}

/// An axis at 30 degrees is turned by 60 to stand upright; flipped it is at 150, and turned back
/// by as much.
#[test]
fn the_grain_runs_along_the_axis() {
    let laid = |mirror: bool, rotate_deg: f64| {
        move |plan: &mut Plan| {
            let fabric = velvet(plan);
            fabric.nap = crate::fabric::Nap::None;
            fabric.both_faces = true;
            fabric.may_rotate_deg = vec![0.0];
            fabric.placements[1].to_fabric.dx_mm += 30.0;
            for p in &mut fabric.placements {
                (p.axis_deg, p.grain_deg) = (30.0, None);
                p.to_fabric.mirror = mirror;
                p.to_fabric.rotate_deg = rotate_deg;
                p.to_fabric.dy_mm -= reach(p)[1][0];
            }
            let ends = fabric.placements.iter().map(|p| reach(p)[1][1]);
            fabric.length_mm = ends.fold(0.0, f64::max);
            fabric.bound.length_mm = 0.0;
        }
    };
    assert_eq!(found(laid(false, 60.0)), []);
    assert_eq!(found(laid(true, -60.0)), []);
    assert_eq!(found(laid(true, 60.0)), [WrongTurn]);
    assert_eq!(found(laid(false, 60.1)), [WrongTurn]);
}

#[test]
fn joints_miss_by_what_the_plan_says() {
    let step = |step_mm: f64| move |plan: &mut Plan| plan.joints[0].step_mm = step_mm;
    assert_eq!(found(step(0.009)), []);
    assert_eq!(found(step(0.02)), [Joint]);
    let mismatch = |share: f64| move |plan: &mut Plan| plan.joints[1].mismatch = share;
    assert_eq!(found(mismatch(0.02)), []);
    assert_eq!(found(mismatch(0.03)), [Joint]);
}

#[test]
fn pieces_are_turned_as_their_fabric_allows() {
    let wrong_side = found(|plan| {
        for p in &mut velvet(plan).placements {
            p.to_fabric.mirror = true;
        }
    });
    assert_eq!(wrong_side, [WrongTurn]);
    // A disc of velvet turned about lies on the same fabric, its pile the other way.
    let about = |degrees: f64| {
        move |plan: &mut Plan| velvet(plan).placements[0].to_fabric.rotate_deg += degrees
    };
    assert_eq!(found(about(180.0)), [WrongTurn]);
    let shot = |degrees: f64| {
        move |plan: &mut Plan| {
            about(degrees)(plan);
            velvet(plan).placements[1].to_fabric.dx_mm += 30.0;
            velvet(plan).nap = crate::fabric::Nap::Shot;
            velvet(plan).may_rotate_deg = vec![0.0, 90.0, 180.0, 270.0];
        }
    };
    // A shot fabric looks the same turned about, and another turned by a right angle.
    assert_eq!(found(shot(180.0)), []);
    assert_eq!(found(shot(90.0)), [WrongTurn]);
    let without_nap = found(|plan| {
        shot(90.0)(plan);
        velvet(plan).nap = crate::fabric::Nap::None;
    });
    assert_eq!(without_nap, []);
    let against = found(|plan| {
        deck(plan).one_way = true;
        for label in ["M1a", "M1b"] {
            let p = piece(plan, label);
            p.normal_deg = p.normal_deg.map(|degrees| degrees + 180.0);
            p.phase_at_centre_mm = p.phase_at_centre_mm.map(|phase| -phase);
        }
    });
    // The stripe is not its own mirror image: it is out of phase before anything else.
    assert_eq!(against, [OutOfPhase]);
}

#[test]
fn cut_lines_leave_their_allowances() {
    type Field = fn(&mut Making) -> &mut f64;
    let allowances: [Field; 3] = [
        |making| &mut making.turn_under_mm,
        |making| &mut making.seam_mm,
        |making| &mut making.tuck_under_mm,
    ];
    for of in allowances {
        assert_eq!(found(|plan| *of(&mut plan.making) += 0.04), []);
        assert_eq!(found(|plan| *of(&mut plan.making) += 0.08), [Allowance]);
    }
    let crossed = found(|plan| {
        for label in ["M1c", "M2c"] {
            piece(plan, label).cut.swap(2, 5);
        }
    });
    assert_eq!(crossed, [Contradiction]);
}

#[test]
fn what_is_left_over_is_there() {
    let left = |width_mm: f64, shortest_mm: Option<f64>| {
        move |plan: &mut Plan| {
            let left_mm = furthest_right(plan);
            let fabric = velvet(plan);
            fabric.leftover = Some(Leftover {
                left_mm,
                begin_mm: 0.0,
                width_mm: fabric.width_mm - left_mm + width_mm,
                length_mm: fabric.length_mm,
                shortest_mm,
            });
        }
    };
    assert_eq!(found(left(0.0, None)), []);
    assert_eq!(found(left(0.02, None)), [Contradiction]);
    // However narrow it is.
    let narrow = found(|plan| {
        left(0.0, None)(plan);
        velvet(plan).leftover.as_mut().unwrap().width_mm = 0.5;
    });
    assert_eq!(narrow, []);
    assert_eq!(found(left(0.0, Some(38.134))), []);
    assert_eq!(found(left(0.0, Some(38.0))), [Contradiction]);
    assert_eq!(found(left(0.0, Some(38.2))), [Contradiction]);
    let reached = found(|plan| {
        left(0.0, None)(plan);
        velvet(plan).leftover.as_mut().unwrap().left_mm -= 30.0;
    });
    assert_eq!(reached, [Contradiction]);
}

#[test]
fn a_stretch_beside_straight_cuts_is_kept_clear() {
    let beside = |slit_mm: f64, pieces: usize| {
        move |plan: &mut Plan| {
            let fabric = velvet(plan);
            for p in &mut fabric.placements {
                p.to_fabric.dx_mm += 50.0;
            }
            let first = &mut fabric.placements[0];
            first.to_fabric.dx_mm -= reach(first)[0][0] - 50.0;
            fabric.width_mm += 50.0;
            fabric.length_mm = 100.0;
            fabric.beside = Some(BesideNote {
                slit_mm,
                length_mm: 100.0,
                pieces,
                saved_mm: 10.0,
            });
        }
    };
    assert_eq!(found(beside(50.0, 2)), []);
    assert_eq!(found(beside(50.02, 2)), [OffFabric]);
    assert_eq!(found(beside(50.0, 1)), [Contradiction]);
    assert!(found(beside(0.0, 2)).contains(&Contradiction));
}

#[test]
fn a_plan_of_another_form_is_refused() {
    assert_eq!(found(|plan| plan.format += "0"), [Contradiction]);
}
