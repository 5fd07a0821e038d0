//! A plan as any other stripe would take it: each striped piece laid by its own direction alone,
//! measured from the centre line.

use crate::colour::Colour;
use crate::draw::error::DrawError;
use crate::draw::validate::validate;
use crate::fabric::{Band, Stripe};
use crate::num::nearest_multiple_gap;
use crate::plan::{FabricPlan, PlacedPiece, Plan, StripesRun, ToFabric};
use crate::shape::{Point, Rigid, dot, point, unit};

/// The stripe that stands for any: its repeat is so many times what pieces reach from their
/// motif's centre, so that no two lines of one motif are told for one, and it has no mirror
/// line, so that no piece is told for another turned about.
const TIMES: f64 = 4.0;
/// The least that pieces are said to reach (mm).
const LEAST_REACH_MM: f64 = 10.0;

/// Fabrics by letter: those of the motifs first, then those of the quilt; `A` to `Z`, then `AA`.
///
/// The letter, the designer's name, and whether the fabric is striped.
pub fn fabric_letters(plan: &Plan) -> Vec<(String, String, bool)> {
    let mut names: Vec<(&str, bool)> = Vec::new();
    for fabric in &plan.fabrics {
        let name = fabric.fabric();
        match names.iter_mut().find(|(known, _)| *known == name) {
            Some((_, striped)) => *striped |= fabric.stripe.is_some(),
            None => names.push((name, fabric.stripe.is_some())),
        }
    }
    if let Some(quilt) = &plan.quilt {
        let looks = quilt.fabrics.iter();
        let looks = looks.map(|look| (look.name.as_str(), look.stripe.is_some()));
        let cuts = quilt.cuts.iter().map(|cuts| (cuts.fabric.as_str(), false));
        for (name, striped) in looks.chain(cuts) {
            if names.iter().all(|(known, _)| *known != name) {
                names.push((name, striped));
            }
        }
    }
    // Codes of motifs begin with letters too: none stands for both.
    let is_taken = |letter: &String| plan.motifs.iter().any(|motif| motif.letter == *letter);
    let letters = (0..).map(letter).filter(|letter| !is_taken(letter));
    let lettered = letters.zip(names);
    lettered
        .map(|(letter, (name, striped))| (letter, name.to_owned(), striped))
        .collect()
}

/// Capitals but for those that look like figures or each other, as in codes of pieces; then two of them.
const CAPITALS: &[u8] = b"ABCDEFGHKMNPQRSTUVWXYZ";

/// `A` to `Z`, then `AA` to `AZ` and on.
fn letter(i: usize) -> String {
    let of = |i: usize| char::from(CAPITALS[i % CAPITALS.len()]);
    match i / CAPITALS.len() {
        0 => of(i).to_string(),
        many => format!("{}{}", of(many - 1), of(i)),
    }
}

/// From the motif frame to the stripe's own: `x` is how far right of a centre line a point
/// lies, `y` runs along the stripe. Nothing for plain fabric.
///
/// The centre line is the place in the stripe that lies on the motif's centre, with `rays` on
/// the middle of each wedge. With `rings` every wedge has its own, across it: any one does, and
/// it is that near to the wedge's measured point.
///
/// # Source
/// The natural way of [`striped_ways`](crate::matching::striped_ways): a turn that carries the
/// direction across the stripes in the finished motif onto that of the fabric.
pub(super) fn natural(piece: &PlacedPiece, stripe: &Stripe) -> Option<Rigid> {
    let normal_rad = piece.normal_deg?.to_radians();
    let repeat = stripe.repeat_mm();
    let off = piece.phase_at_centre_mm? - piece.offset_mm?;
    let right_mm = match piece.stripes {
        Some(StripesRun::Rings) => {
            let at = dot(unit(normal_rad), mark(piece));
            nearest_multiple_gap(at + off, repeat) - at
        }
        _ => nearest_multiple_gap(off, repeat),
    };
    Some(Rigid {
        rotate_rad: -normal_rad,
        mirror: false,
        shift: point(right_mm, 0.0),
    })
}

fn mark(piece: &PlacedPiece) -> Point {
    point(piece.mark[0], piece.mark[1])
}

/// The plan for any stripe: every piece right side up and in its natural way, all copies
/// alike, the first band of each stripe beginning at its centre line, fabrics called by letter and
/// name. It is made to be drawn, not to be laid: its pieces overlap.
///
/// # Errors
/// A plan that cannot be drawn.
pub fn any_stripe(plan: &Plan) -> Result<Plan, DrawError> {
    validate(plan)?;
    let letters = fabric_letters(plan);
    let called = |name: &str| {
        let known = letters.iter().find(|(_, known, _)| known == name);
        known.map_or(name.to_owned(), |(letter, ..)| format!("{letter} ({name})"))
    };
    let mut made = Plan {
        fabrics: lain(plan, |_| true),
        joints: Vec::new(),
        likely: None,
        recut: None,
        // The maker's own fabric looks otherwise.
        pictures: Vec::new(),
        ..plan.clone()
    };
    for fabric in &mut made.fabrics {
        fabric.name = called(&fabric.name);
    }
    for piece in made.motifs.iter_mut().flat_map(|motif| &mut motif.pieces) {
        piece.fabric = called(&piece.fabric);
    }
    Ok(made)
}

/// The fabrics with those of their pieces that are wanted, each in its natural way; fabric in hand
/// is one with the fabric that it is a piece of.
pub(super) fn lain(plan: &Plan, wanted: impl Fn(&PlacedPiece) -> bool) -> Vec<FabricPlan> {
    let mut fabrics: Vec<FabricPlan> = Vec::new();
    for fabric in &plan.fabrics {
        let pieces = fabric.placements.iter().filter(|piece| wanted(piece));
        let laid = pieces.map(|piece| PlacedPiece {
            to_fabric: lie(fabric, piece),
            was: None,
            is_cut: false,
            ..piece.clone()
        });
        let laid: Vec<PlacedPiece> = laid.collect();
        match fabrics.iter_mut().find(|one| one.name == fabric.fabric()) {
            Some(one) => one.placements.extend(laid),
            None => fabrics.push(FabricPlan {
                stripe: fabric.stripe.as_ref().map(|_| wide(fabric)),
                placements: laid,
                ..bare(fabric)
            }),
        }
    }
    fabrics
}

/// The fabric without its pieces.
fn bare(fabric: &FabricPlan) -> FabricPlan {
    FabricPlan {
        name: fabric.fabric().to_owned(),
        width_mm: fabric.width_mm,
        length_mm: fabric.length_mm,
        by_hand_length_mm: fabric.by_hand_length_mm,
        by_hand: fabric.by_hand,
        bound: fabric.bound.clone(),
        buy: fabric.buy.clone(),
        stripe: None,
        colour: fabric.colour,
        both_faces: fabric.both_faces,
        one_way: fabric.one_way,
        may_rotate_deg: fabric.may_rotate_deg.clone(),
        nap: fabric.nap,
        one_kit_mm: None,
        beside: None,
        leftover: None,
        in_hand: None,
        avoid: Vec::new(),
        placements: Vec::new(),
    }
}

/// How a piece lies by its own direction alone.
fn lie(fabric: &FabricPlan, piece: &PlacedPiece) -> ToFabric {
    let striped = fabric.stripe.as_ref();
    let map = striped.and_then(|stripe| natural(piece, stripe));
    let map = map.unwrap_or_else(|| {
        let grain_deg = piece.grain_deg.unwrap_or(piece.axis_deg);
        Rigid {
            rotate_rad: (90.0 - grain_deg).to_radians(),
            ..Rigid::IDENTITY
        }
    });
    ToFabric {
        rotate_deg: map.rotate_rad.to_degrees().rem_euclid(360.0),
        mirror: map.mirror,
        dx_mm: map.shift.x,
        dy_mm: map.shift.y,
    }
}

/// The stripe that stands for any.
fn wide(fabric: &FabricPlan) -> Stripe {
    let cuts = fabric.placements.iter().flat_map(|piece| &piece.cut);
    let reach = cuts
        .map(|[x, y]| x.hypot(*y))
        .fold(LEAST_REACH_MM, f64::max);
    let band =
        |share: f64, grey: u8| Band::new("", TIMES * reach * share, Colour::new(grey, grey, grey));
    let bands = vec![band(0.2, 250), band(0.3, 240), band(0.5, 230)];
    Stripe::lengthwise(bands).expect("its bands have widths")
}
