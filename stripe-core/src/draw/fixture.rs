//! A small plan for the tests of this module: half circles of two wedges, laid in a
//! grid by hand, stripes in phase.

use super::scene::{Item, Scene, Text};
use super::text_boxes::corners;
use crate::colour::Colour;
use crate::fabric::{Band, Run, Stripe};
use crate::length::Unit;
use crate::motif::{Making, Role};
use crate::plan::{
    BoundKind, Buy, FORMAT, FabricPlan, JointNote, LeastLength, MotifNote, PieceNote, PlacedPiece,
    Plan, StripesRun, ToFabric,
};
use crate::shape::{Point, Rigid, dot, point, unit};

const SEAM: f64 = 6.35;
const TURN: f64 = 4.7625;
const HUB: f64 = 30.0;
const RIM: f64 = 120.0;
pub(super) const WIDTH: f64 = 1066.8;

/// A stripe that has no mirror line: 40 mm of four bands.
pub(super) fn stripe(normal_deg: f64) -> Stripe {
    let band = |width_mm, rgb: [u8; 3], name: &str| Band {
        width_mm,
        colour: Colour::new(rgb[0], rgb[1], rgb[2]),
        name: name.to_owned(),
    };
    let bands = vec![
        band(18.0, [0x1d, 0x35, 0x57], "navy"),
        band(6.0, [0xf4, 0xef, 0xe2], "cream"),
        band(4.0, [0xc8, 0x3e, 0x2f], "rust"),
        band(12.0, [0xe9, 0xc4, 0x6a], "sand"),
    ];
    let (run, square_deg) = if normal_deg.abs() <= 45.0 {
        (Run::Lengthwise, 0.0)
    } else {
        (Run::Crosswise, 90.0)
    };
    Stripe::try_new(run, normal_deg - square_deg, 7.0, bands).unwrap()
}

/// A quarter ring from `from_deg` on, grown by `turn` at its arcs and by `seam` at
/// its straight edges, with the role of each edge.
fn quarter(from_deg: f64, turn: f64, seam: f64) -> (Vec<[f64; 2]>, Vec<Role>) {
    let (hub, rim) = (HUB - turn, RIM + turn);
    let arc = |radius: f64, n: usize| -> Vec<[f64; 2]> {
        let slip = (seam / radius).asin();
        let (from, to) = (
            from_deg.to_radians() - slip,
            (from_deg + 90.0).to_radians() + slip,
        );
        (0..=n)
            .map(|i| {
                let at = from + (to - from) * i as f64 / n as f64;
                [radius * at.cos(), radius * at.sin()]
            })
            .collect()
    };
    let mut ring = arc(rim, 24);
    let mut inner = arc(hub, 8);
    inner.reverse();
    ring.extend(inner);
    let mut roles = vec![Role::Turned; ring.len()];
    roles[24] = Role::Seamed;
    *roles.last_mut().unwrap() = Role::Seamed;
    (ring, roles)
}

/// A plan of so many half circles on fabric whose stripes run across `normal_deg`.
pub(crate) fn plan(copies: usize, normal_deg: f64, unit_note: Unit) -> Plan {
    let stripe = stripe(normal_deg);
    let (n, t) = (
        unit(normal_deg.to_radians()),
        unit((normal_deg + 90.0).to_radians()),
    );
    let phase = 9.0;
    let cell = 185.0;
    let columns = 5;
    let mut placements = Vec::new();
    let mut joints = Vec::new();
    for copy in 1..=copies {
        for (wedge, from_deg) in [("a", 90.0), ("b", 0.0)] {
            let (finished, roles) = quarter(from_deg, 0.0, 0.0);
            let (cut, _) = quarter(from_deg, TURN, SEAM);
            // Every fifth piece lies wrong side up, turned over along the stripe.
            let number = placements.len();
            let mirror = number % 5 == 4;
            let rotate_deg = if mirror {
                normal_deg + 180.0
            } else {
                normal_deg
            };
            let turned = Rigid {
                rotate_rad: rotate_deg.to_radians(),
                mirror,
                shift: point(0.0, 0.0),
            };
            let box_low = cut
                .iter()
                .map(|&[x, y]| turned.apply(point(x, y)))
                .fold(point(f64::INFINITY, f64::INFINITY), |low, p| {
                    point(low.x.min(p.x), low.y.min(p.y))
                });
            let wanted = point(
                (number % columns) as f64 * cell + 42.0 - box_low.x,
                (number / columns) as f64 * cell + 42.0 - box_low.y,
            );
            // Back to the line that the stripe allows, by less than a repeat.
            let residue = phase + stripe.origin_mm();
            let u = dot(n, wanted);
            let u = residue + ((u - residue) / stripe.repeat_mm()).floor() * stripe.repeat_mm();
            let v = dot(t, wanted);
            let middle = (HUB + RIM) / 2.0;
            let towards = unit((from_deg + 45.0_f64).to_radians());
            placements.push(PlacedPiece {
                id: format!("<half & \"half\"> {copy}: wheel {wedge}"),
                label: format!("H{copy}{wedge}"),
                motif: "<half & \"half\">".into(),
                copy,
                piece: format!("wheel {wedge}"),
                part: "wheel".into(),
                axis_deg: from_deg + 45.0,
                grain_deg: None,
                stripes: Some(StripesRun::Through),
                offset_mm: Some(phase),
                normal_deg: Some(0.0),
                phase_at_centre_mm: Some(phase),
                along_at_centre_mm: None,
                finished,
                finished_holes: Vec::new(),
                roles,
                clips: vec![[
                    [(HUB - TURN) * towards.x, (HUB - TURN) * towards.y],
                    [(HUB - 0.8) * towards.x, (HUB - 0.8) * towards.y],
                ]],
                cut,
                cut_holes: Vec::new(),
                mark: [middle * towards.x, middle * towards.y],
                to_fabric: ToFabric {
                    rotate_deg,
                    mirror,
                    dx_mm: n.x * u + t.x * v,
                    dy_mm: n.y * u + t.y * v,
                },
                is_cut: false,
                was: None,
            });
        }
        joints.push(JointNote {
            a: format!("<half & \"half\"> {copy}: wheel a"),
            b: format!("<half & \"half\"> {copy}: wheel b"),
            line: [[0.0, HUB], [0.0, RIM]],
            step_mm: 0.0,
            mismatch: 0.0,
        });
    }
    let length = placements
        .iter()
        .flat_map(|p| {
            let map = p.to_fabric.to_rigid();
            p.cut
                .iter()
                .map(move |&[x, y]| map.apply(point(x, y)).y)
                .collect::<Vec<_>>()
        })
        .fold(0.0, f64::max);
    let piece = |wedge: &str| PieceNote {
        piece: format!("wheel {wedge}"),
        part: "wheel".into(),
        fabric: "Deck <&> stripe".into(),
        layer: 0,
        mark: wedge.into(),
    };
    Plan {
        pictures: vec![],
        format: FORMAT.into(),
        made_by: "0.1.0".into(),
        title: "Fixture <&\"' harbour".into(),
        project_digest: "00".into(),
        unit: unit_note,
        money: "EUR".into(),
        seed: 1,
        effort: "quick".into(),
        making: Making {
            turn_under_mm: TURN,
            seam_mm: SEAM,
            tuck_under_mm: 0.0,
            gap_mm: 0.0,
            stripe_tolerance_mm: 0.5,
        },
        motifs: vec![MotifNote {
            name: "<half & \"half\">".into(),
            letter: "H".into(),
            copies,
            pieces: vec![piece("a"), piece("b")],
            seams_deg: vec![0.0, 90.0, 180.0],
            exactness: None,
        }],
        fabrics: vec![FabricPlan {
            name: "Deck <&> stripe".into(),
            width_mm: WIDTH,
            length_mm: length,
            by_hand_length_mm: length * 1.2,
            by_hand: crate::record::ByHand::Motifs,
            bound: LeastLength {
                length_mm: length * 0.7,
                kind: BoundKind::Area,
                band: None,
            },
            buy: Buy {
                length_mm: length + 50.0,
                shown: "1 1/4 yd".into(),
                price: Some(15.0),
                counted_in: String::new(),
                room_mm: None,
                less: None,
            },
            stripe: Some(stripe),
            colour: None,
            both_faces: true,
            one_way: false,
            beside: None,
            leftover: None,
            may_rotate_deg: Vec::new(),
            one_kit_mm: None,
            in_hand: None,
            avoid: vec![],
            nap: crate::fabric::Nap::None,
            placements,
        }],
        joints,
        likely: None,
        quilt: None,
        warnings: Vec::new(),
        recut: None,
        kits: 1,
        spares: vec![],
    }
}

/// The points of a piece well inside of its finished line, motif frame.
pub(super) fn inner_points(piece: &PlacedPiece) -> Vec<Point> {
    let from_deg = if piece.piece.ends_with('a') {
        90.0
    } else {
        0.0
    };
    let mut points = Vec::new();
    for radius in [40.0_f64, 60.0, 80.0, 100.0, 112.0] {
        for turn in [10.0_f64, 25.0, 40.0, 60.0, 80.0] {
            let towards = unit((from_deg + turn).to_radians());
            points.push(point(radius * towards.x, radius * towards.y));
        }
    }
    points
}

/// Counts the words of a scene, all of which must lie that far inside of its sheet.
pub(super) fn check_words(scene: &Scene, margin_mm: f64) -> usize {
    fn visit(items: &[Item], see: &mut dyn FnMut(&Text)) {
        for item in items {
            match item {
                // What runs over several sheets is cut off at each, and goes on on the next.
                Item::Group(group) if !group.clip.is_empty() => {}
                Item::Group(group) => visit(&group.items, see),
                Item::Text(text) => see(text),
                Item::Path(_) | Item::Shown(_) => {}
            }
        }
    }
    let mut found = 0;
    visit(&scene.items, &mut |text| {
        found += 1;
        for p in corners(text, text.size_mm * 0.76, text.size_mm * 0.24) {
            assert!(
                p.x >= margin_mm
                    && p.x <= scene.width_mm - margin_mm
                    && p.y >= margin_mm
                    && p.y <= scene.height_mm - margin_mm,
                "`{}` reaches ({:.1}, {:.1})",
                text.words,
                p.x,
                p.y
            );
        }
    });
    found
}
