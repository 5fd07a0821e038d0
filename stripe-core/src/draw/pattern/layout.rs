//! The whole quilt top in lines: with the letters of fabrics and motifs, or to colour in.

use crate::draw::error::DrawError;
use crate::draw::lettering::{CAPITAL, width_mm};
use crate::draw::quilt::patch_corners;
use crate::draw::scene::{Anchor, Fill, Item, PAPER, Path, Scene, Stroke, Text};
use crate::draw::validate::validate;
use crate::draw::view::View;
use crate::plan::{Plan, QuiltNote, SpotNote};
use crate::shape::{Point, Rigid, corners_of, point};

/// Room above and below the drawing (mm).
const EDGE_MM: f64 = 2.0;
/// Width of the drawing (mm).
const WIDTH_MM: f64 = 176.0;
/// Size of letters (mm): 7 points.
const LETTER_MM: f64 = 2.6;

/// The plan's quilt in lines. `letters` are those of its fabrics, by the fabrics' names; without
/// any it is one to colour in. The top is fitted into the height `high_mm`.
///
/// # Errors
/// A plan without a quilt, or one that cannot be drawn.
pub fn quilt_lines(
    plan: &Plan,
    letters: &[(String, String)],
    high_mm: f64,
) -> Result<Scene, DrawError> {
    validate(plan)?;
    let note = plan.quilt.as_ref().ok_or(DrawError::NoQuilt)?;
    let [wide, tall] = note.size_mm.map(|side| side.max(1.0));
    let scale = ((WIDTH_MM - 2.0) / wide).min(high_mm / tall).min(1.0);
    let view = View {
        scale,
        at: point((WIDTH_MM - wide * scale) / 2.0, EDGE_MM),
        origin: point(note.edge_mm[0], note.edge_mm[3]),
    };
    let mut items: Vec<Item> = Vec::new();
    for patch in &note.patches {
        let rings = view.rings(&[patch_corners(note, patch)]);
        items.push(Path::rings(rings, None, Some(Stroke::ink(0.2))).into());
    }
    let mut taken: Vec<[Point; 2]> = Vec::new();
    for spot in &note.spots {
        let (lines, around) = motif(plan, spot, &view);
        items.extend(lines);
        taken.extend(around);
    }
    if !letters.is_empty() {
        items.extend(note.spots.iter().map(|spot| label(spot, &view)));
        items.extend(fabric_names(note, letters, &view, &taken));
    }
    let low = view.apply(point(note.edge_mm[0], note.edge_mm[1]));
    let what = if letters.is_empty() {
        "to colour in"
    } else {
        "layout"
    };
    Ok(Scene {
        width_mm: WIDTH_MM,
        height_mm: low.y + EDGE_MM,
        title: format!("{}: {what}", plan.title),
        about: format!(
            "Line drawing of the quilt top, {} motifs.",
            note.spots.len()
        ),
        items,
    })
}

/// The finished outlines of a motif where it goes, bottom layer first, and the box about them.
fn motif(plan: &Plan, spot: &SpotNote, view: &View) -> (Vec<Item>, Option<[Point; 2]>) {
    let on_quilt = Rigid {
        rotate_rad: spot.rotate_deg.to_radians(),
        mirror: false,
        shift: point(spot.centre_mm[0], spot.centre_mm[1]),
    };
    let Some(motif) = plan.motifs.iter().find(|motif| motif.name == spot.motif) else {
        return (Vec::new(), None);
    };
    let pieces = plan.fabrics.iter().flat_map(|fabric| &fabric.placements);
    let mut pieces: Vec<_> = pieces
        .filter(|piece| piece.motif == spot.motif && piece.copy == spot.copy)
        .collect();
    pieces.sort_by_key(|piece| {
        motif
            .pieces
            .iter()
            .position(|note| note.piece == piece.piece)
    });
    let paper = Some(Fill::solid(PAPER));
    let mut corners: Vec<Point> = Vec::new();
    let lines = pieces.into_iter().map(|piece| {
        let rings: Vec<Vec<Point>> = crate::draw::view::laid(&piece.finished_region(), &on_quilt);
        let rings = view.rings(&rings);
        corners.extend(rings.iter().flatten());
        Path::rings(rings, paper, Some(Stroke::ink(0.16))).into()
    });
    let lines: Vec<Item> = lines.collect();
    let around = (!corners.is_empty()).then(|| corners_of(&corners));
    (lines, around)
}

/// The motif's code on its centre.
fn label(spot: &SpotNote, view: &View) -> Item {
    let at = view.apply(point(spot.centre_mm[0], spot.centre_mm[1]));
    let wide = width_mm(&spot.label, LETTER_MM, true) + 0.8;
    let corner = point(at.x - wide / 2.0, at.y - LETTER_MM * 0.55);
    let plate = Path::rect(
        corner,
        wide,
        LETTER_MM * 1.1,
        Some(Fill::solid(PAPER)),
        None,
    );
    let base = point(at.x, at.y + LETTER_MM * CAPITAL / 2.0);
    let text = Text::new(base, LETTER_MM, spot.label.clone()).bold();
    crate::draw::scene::Group {
        items: vec![plate.into(), text.anchored(Anchor::Middle).into()],
        ..Default::default()
    }
    .into()
}

/// The letter of each patch's fabric, where it is clear of the motifs.
fn fabric_names(
    note: &QuiltNote,
    letters: &[(String, String)],
    view: &View,
    taken: &[[Point; 2]],
) -> Vec<Item> {
    let mut items = Vec::new();
    for patch in &note.patches {
        let Some((letter, _)) = letters.iter().find(|(_, name)| *name == patch.fabric) else {
            continue;
        };
        let [x0, y0, x1, y1] = patch.rect_mm;
        let half = point(
            width_mm(letter, LETTER_MM, false) / 2.0 + 0.4,
            LETTER_MM * 0.6,
        );
        let shares = [0.5, 0.35, 0.65, 0.2, 0.8, 0.12, 0.88];
        let places = shares
            .iter()
            .flat_map(|s| shares.iter().map(move |t| (s, t)));
        let free = places
            .map(|(s, t)| view.apply(point(x0 + s * (x1 - x0), y0 + t * (y1 - y0))))
            .find(|p| {
                let clear = |[low, high]: &[Point; 2]| {
                    p.x + half.x < low.x
                        || p.x - half.x > high.x
                        || p.y + half.y < low.y
                        || p.y - half.y > high.y
                };
                taken.iter().all(clear)
            });
        if let Some(at) = free {
            let base = point(at.x, at.y + LETTER_MM * CAPITAL / 2.0);
            items.push(
                Text::new(base, LETTER_MM, letter.clone())
                    .anchored(Anchor::Middle)
                    .into(),
            );
        }
    }
    items
}
