//! From lays to the plan file's notes: placements, joints, what to buy.

use super::job::{FabricJob, Worked};
use super::names::motif_letters;
use crate::fabric::{Fabric, Sale, Stripe};
use crate::lay::Layout;
use crate::length::{Length, Unit};
use crate::matching::{Exactness, PhaseRun, exactness, grain_rad, meet};
use crate::motif::{Motif, Part, PartStripes, letters};
use crate::num::wrap;
use crate::project::Project;
use crate::record::{
    Buy, JointNote, LessNote, MotifNote, PieceNote, PlacedPiece, StripesRun, ToFabric,
};
use crate::shape::ring::open;
use crate::shape::{Point, Region, dot, point, unit};
use std::collections::BTreeMap;

/// Coordinates are kept to a hundredth of a micrometre: far below what `check`
/// asks, and short enough to read.
pub(super) fn kept(x: f64) -> f64 {
    // Adding zero turns -0 into 0.
    (x * 1e5).round() / 1e5 + 0.0
}

fn pair(p: Point) -> [f64; 2] {
    [kept(p.x), kept(p.y)]
}

fn ring(line: &geo_types::LineString<f64>) -> Vec<[f64; 2]> {
    open(line).iter().copied().map(pair).collect()
}

/// The holes of a region. One that its allowance closed up to a line is none.
fn holes(region: &Region) -> Vec<Vec<[f64; 2]>> {
    let rings = region.interiors().iter().map(ring);
    rings.filter(|ring| ring.len() >= 3).collect()
}

/// What was asked for, motif by motif.
pub(super) fn motif_notes(project: &Project, worked: &[Worked]) -> Vec<MotifNote> {
    let names: Vec<&str> = project.motifs.iter().map(|m| m.name.as_str()).collect();
    let given: Vec<Option<&str>> = project.motifs.iter().map(|m| m.code.as_deref()).collect();
    let letters_of = motif_letters(&names, &given);
    let motifs = project.motifs.iter().zip(worked).zip(letters_of);
    motifs
        .map(|((motif, worked), letter)| MotifNote {
            name: motif.name.clone(),
            letter,
            copies: motif.copies * project.kits,
            pieces: worked
                .assembly
                .pieces
                .iter()
                .enumerate()
                .map(|(i, piece)| PieceNote {
                    piece: piece.name.clone(),
                    part: motif.parts[piece.part].name.clone(),
                    fabric: motif.parts[piece.part].fabric.clone(),
                    layer: piece.part,
                    mark: letters(i),
                })
                .collect(),
            exactness: exactness_note(motif, worked),
            seams_deg: worked
                .assembly
                .seams_rad
                .iter()
                .map(|s| kept(s.to_degrees()))
                .collect(),
        })
        .collect()
}

/// How exact the striped parts of a motif must be cut, the worst of them.
fn exactness_note(motif: &Motif, worked: &Worked) -> Option<Exactness> {
    let pieces = &worked.assembly.pieces;
    (0..motif.parts.len())
        .filter_map(|part| {
            worked.frames[part].as_ref()?;
            let frame_of = |i: usize| {
                let piece = &pieces[i];
                Some(worked.frames[piece.part].as_ref()?.frames[piece.wedge])
            };
            let found = exactness(frame_of, part, &worked.assembly);
            (found != Exactness::default()).then_some(found)
        })
        .reduce(|a, b| Exactness {
            slid_mm: a.slid_mm.max(b.slid_mm),
            tilted_mm: a.tilted_mm.max(b.tilted_mm),
            skewed_mm: a.skewed_mm.max(b.skewed_mm),
        })
        .map(|worst| Exactness {
            slid_mm: kept(worst.slid_mm),
            tilted_mm: kept(worst.tilted_mm),
            skewed_mm: kept(worst.skewed_mm),
        })
}

/// The placements of one fabric, in the order of its items.
pub(super) fn placements(
    project: &Project,
    worked: &[Worked],
    motifs: &[MotifNote],
    fabric: &Fabric,
    made: &FabricJob,
    lay: &Layout,
) -> Vec<PlacedPiece> {
    let items = made
        .job
        .items
        .iter()
        .zip(&made.origins)
        .zip(&lay.placements);
    items
        .map(|((item, origin), placement)| {
            let motif = &project.motifs[origin.motif];
            let note = &motifs[origin.motif];
            let piece = &worked[origin.motif].assembly.pieces[origin.piece];
            let part = &motif.parts[piece.part];
            let way = made.ways[item.kind][placement.pose];
            let shift = made
                .job
                .window
                .to_fabric(point(placement.u_mm, placement.v_mm));
            let frames = worked[origin.motif].frames[piece.part].as_ref();
            let striped = fabric.stripe().zip(frames).map(|(stripe, frames)| {
                let frame = frames.frames[piece.wedge];
                let free = item.group.map_or(0.0, |group| lay.offsets[group]);
                shown_stripe(part, stripe, frame.normal_rad, frame.phase_mm + free)
            });
            PlacedPiece {
                id: format!("{} {}: {}", motif.name, origin.copy, piece.name),
                label: format!(
                    "{}{}{}",
                    note.letter, origin.copy, note.pieces[origin.piece].mark
                ),
                motif: motif.name.clone(),
                copy: origin.copy,
                piece: piece.name.clone(),
                part: part.name.clone(),
                stripes: striped.as_ref().map(|s| s.stripes),
                offset_mm: striped.as_ref().map(|s| s.offset),
                normal_deg: striped.as_ref().map(|s| s.normal_deg),
                phase_at_centre_mm: striped.as_ref().map(|s| s.phase_at_centre),
                along_at_centre_mm: fabric
                    .stripe()
                    .and_then(Stripe::along)
                    .map(|along| kept(wrap(part.along_mm, along.repeat_mm))),
                axis_deg: kept(piece.axis_rad.to_degrees()),
                grain_deg: grain_rad(part, fabric).map(|rad| kept(wrap(rad.to_degrees(), 360.0))),
                finished: ring(piece.finished.exterior()),
                finished_holes: holes(&piece.finished),
                roles: piece.roles.clone(),
                cut: ring(piece.cut.exterior()),
                cut_holes: holes(&piece.cut),
                clips: piece.clips.iter().map(|clip| clip.map(pair)).collect(),
                mark: pair(piece.mark),
                to_fabric: ToFabric {
                    rotate_deg: kept(wrap(way.turn.rotate_rad.to_degrees(), 360.0)),
                    mirror: way.turn.mirror,
                    dx_mm: kept(shift.x),
                    dy_mm: kept(shift.y),
                },
                is_cut: false,
                was: None,
            }
        })
        .collect()
}

/// What a striped piece is to show.
struct Shown {
    stripes: StripesRun,
    offset: f64,
    normal_deg: f64,
    phase_at_centre: f64,
}

fn shown_stripe(part: &Part, stripe: &Stripe, normal_rad: f64, phase: f64) -> Shown {
    let repeat = stripe.repeat_mm();
    let (stripes, reference) = match part.stripes {
        PartStripes::Through { .. } => (StripesRun::Through, 0.0),
        PartStripes::Rays => (StripesRun::Rays, 0.0),
        PartStripes::Rings { radius_mm } => (StripesRun::Rings, radius_mm),
    };
    Shown {
        stripes,
        offset: kept(wrap(phase + reference, repeat)),
        normal_deg: kept(wrap(normal_rad.to_degrees(), 360.0)),
        phase_at_centre: kept(wrap(phase, repeat)),
    }
}

/// All joints between pieces of striped fabric that are placed, worst step first.
pub(super) fn joint_notes(
    project: &Project,
    worked: &[Worked],
    placements: &BTreeMap<&str, &PlacedPiece>,
) -> Vec<JointNote> {
    let mut notes = vec![];
    for (motif, worked) in project.motifs.iter().zip(worked) {
        for joint in &worked.assembly.joints {
            let (a, b) = (
                &worked.assembly.pieces[joint.a],
                &worked.assembly.pieces[joint.b],
            );
            let fabric = project.fabric(&motif.parts[a.part].fabric);
            let Some(stripe) = fabric.and_then(Fabric::stripe) else {
                continue;
            };
            let n = unit(stripe.normal_rad());
            let line = joint.line.map(pair);
            for copy in 1..=motif.copies * project.kits {
                let id = |piece: &str| format!("{} {copy}: {piece}", motif.name);
                let (a, b) = (id(&a.name), id(&b.name));
                let (Some(at_a), Some(at_b)) =
                    (placements.get(a.as_str()), placements.get(b.as_str()))
                else {
                    continue;
                };
                let run = |at: &PlacedPiece| {
                    let map = at.to_fabric.to_rigid();
                    PhaseRun(line.map(|[x, y]| dot(n, map.apply(point(x, y))) - stripe.origin_mm()))
                };
                let met = meet(
                    stripe,
                    run(at_a),
                    run(at_b),
                    project.making.stripe_tolerance_mm,
                );
                notes.push(JointNote {
                    a,
                    b,
                    line,
                    step_mm: kept(met.step_mm),
                    mismatch: kept(met.mismatch),
                });
            }
        }
    }
    notes.sort_by(|x, y| {
        y.step_mm
            .total_cmp(&x.step_mm)
            .then(y.mismatch.total_cmp(&x.mismatch))
    });
    notes
}

/// How a fabric is sold; as is usual, where the file does not say.
pub(super) fn sale_of(fabric: &Fabric, unit: Unit) -> Sale {
    let default = || Sale::default(unit == Unit::Inch);
    fabric.sale.clone().unwrap_or_else(default)
}

/// What there is of a fabric, squared up and washed, once it is bought (mm).
pub(super) fn room_mm(fabric: &Fabric, used_mm: f64, unit: Unit) -> f64 {
    let sale = sale_of(fabric, unit);
    sale.left_mm(sale.length_to_buy_mm(used_mm), 0.0)
}

/// What to ask for in the shop.
pub(super) fn buy(fabric: &Fabric, used_mm: f64, unit: Unit) -> Buy {
    let sale = sale_of(fabric, unit);
    let length = sale.length_to_buy_mm(used_mm);
    Buy {
        length_mm: kept(length),
        shown: Length::from_mm(length).shown_to_buy(unit),
        price: sale.price_of(length),
        counted_in: counted_in(&sale, unit),
        room_mm: Some(kept(sale.left_mm(length, 0.0))),
        less: less(&sale, used_mm, unit),
    }
}

/// How much less of a fabric would have to be cut for a step less to be bought.
fn less(sale: &Sale, used_mm: f64, unit: Unit) -> Option<LessNote> {
    let step_mm = sale.step.length_mm;
    let room_mm = sale.left_mm(sale.length_to_buy_mm(used_mm) - step_mm, 0.0);
    (room_mm > 0.0 && room_mm < used_mm).then(|| LessNote {
        by_mm: kept(used_mm - room_mm),
        saves: Length::from_mm(step_mm).shown_to_buy(unit),
    })
}

/// What is bought beside what is used: `2 in to square up the ends, 3 % for shrinkage`.
fn counted_in(sale: &Sale, unit: Unit) -> String {
    let mut words = Vec::new();
    if sale.squaring_mm > 0.0 {
        let squaring = Length::from_mm(sale.squaring_mm).shown(unit);
        words.push(format!("{squaring} to square up the ends"));
    }
    if sale.shrinkage > 0.0 {
        let share = (sale.shrinkage * 1000.0).round() / 10.0;
        words.push(format!("{share} % for shrinkage"));
    }
    words.join(", ")
}
