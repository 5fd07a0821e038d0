//! The whole top as it will look when sewn, its stripes as this plan cuts them.

use super::bands::Fall;
use super::error::DrawError;
use super::lettering::{fit, wrap};
use super::measure::length;
use super::nap::{UNKNOWN, plain_colour};
use super::scene::{Fill, Group, Item, Path, Scene, Stroke, Text, rings_of};
use super::validate::validate;
use super::view::View;
use super::woven::Woven;
use crate::colour::Colour;
use crate::plan::{FabricPlan, PatchNote, PlacedPiece, Plan, QuiltNote, SpotNote};
use crate::shape::{Point, Rigid, corners_of, point};

/// Width that the top is fitted into, as its words are (mm of paper).
pub(super) const TOP_MM: f64 = 170.0;
/// Height that the top is fitted into (mm of paper).
const HIGH_MM: f64 = 225.0;
/// Room about a drawing (mm).
pub(super) const EDGE_MM: f64 = 8.0;
/// Width of the drawing (mm).
pub(super) const WIDTH_MM: f64 = TOP_MM + 2.0 * EDGE_MM;

/// The plan's quilt.
///
/// # Errors
/// A plan without a quilt, or one that cannot be drawn.
pub fn quilt(plan: &Plan) -> Result<Scene, DrawError> {
    validate(plan)?;
    let note = plan.quilt.as_ref().ok_or(DrawError::NoQuilt)?;
    let shown = |mm: f64| length(mm, plan.unit);
    let mut items = Vec::new();
    let words = format!(
        "{}: {} by {} finished, as it will look when sewn.",
        note.name,
        shown(note.size_mm[0]),
        shown(note.size_mm[1])
    );
    let down = heading(&plan.title, &words, &mut items);
    let view = view_of(note, down);
    let woven = Woven::of(plan, None);
    for patch in &note.patches {
        items.extend(ground(note, patch, &view, &woven));
    }
    let seams = note
        .seams
        .iter()
        .map(|ends| ends.map(|[x, y]| view.apply(point(x, y))));
    let thread = Stroke::ink(0.1).coloured(Colour::new(0x99, 0x99, 0x99));
    items.push(Path::segments(seams, thread).into());
    for spot in &note.spots {
        items.extend(motif(plan, spot, &view, &woven));
    }
    items.push(
        Path::rings(
            vec![view.rings(&[ring(note.edge_mm)]).concat()],
            None,
            Some(Stroke::ink(0.3)),
        )
        .into(),
    );
    let low = view.apply(point(note.edge_mm[0], note.edge_mm[1]));
    Ok(Scene {
        width_mm: WIDTH_MM,
        height_mm: low.y + EDGE_MM,
        title: format!("{} as it will look when sewn", plan.title),
        about: format!(
            "{words} {} motifs, drawn at 1 to {:.1}.",
            note.spots.len(),
            1.0 / view.scale
        ),
        items,
    })
}

/// Writes title and words; returns where the picture may begin.
pub(super) fn heading(title: &str, words: &str, items: &mut Vec<Item>) -> f64 {
    let title = fit(title, 5.0, true, TOP_MM);
    items.push(
        Text::new(point(EDGE_MM, EDGE_MM + 4.0), 5.0, title)
            .bold()
            .into(),
    );
    let mut down = EDGE_MM + 9.0;
    for line in wrap(words, 3.0, false, TOP_MM) {
        items.push(Text::new(point(EDGE_MM, down), 3.0, line).into());
        down += 4.2;
    }
    down
}

/// The quilt fitted under the words, in the middle.
pub(super) fn view_of(note: &QuiltNote, down: f64) -> View {
    let [width, height] = note.size_mm.map(|side| side.max(1.0));
    let scale = (TOP_MM / width).min(HIGH_MM / height).min(1.0);
    View {
        scale,
        at: point((WIDTH_MM - width * scale) / 2.0, down),
        origin: point(note.edge_mm[0], note.edge_mm[3]),
    }
}

pub(super) fn ring([x0, y0, x1, y1]: [f64; 4]) -> Vec<Point> {
    vec![point(x0, y0), point(x1, y0), point(x1, y1), point(x0, y1)]
}

/// The corners of a straight piece of the top; of a mitred one those of the four-sided shape
/// that it is.
pub(super) fn patch_corners(note: &QuiltNote, patch: &PatchNote) -> Vec<Point> {
    let [x0, y0, x1, y1] = patch.rect_mm;
    let mut corners = ring(patch.rect_mm);
    if patch.mitred {
        let depth = (x1 - x0).min(y1 - y0);
        let middle = point(
            f64::midpoint(note.edge_mm[0], note.edge_mm[2]),
            f64::midpoint(note.edge_mm[1], note.edge_mm[3]),
        );
        // The inner edge, nearer to the quilt's middle, is shorter by the depth at each end.
        let level = x1 - x0 > y1 - y0;
        for corner in &mut corners {
            let is_inner = if level {
                (corner.y - middle.y).abs()
                    < f64::midpoint((y0 - middle.y).abs(), (y1 - middle.y).abs())
            } else {
                (corner.x - middle.x).abs()
                    < f64::midpoint((x0 - middle.x).abs(), (x1 - middle.x).abs())
            };
            if is_inner && level {
                corner.x += if corner.x > middle.x { -depth } else { depth };
            } else if is_inner {
                corner.y += if corner.y > middle.y { -depth } else { depth };
            }
        }
    }
    corners
}

/// One straight piece of the top.
fn ground(note: &QuiltNote, patch: &PatchNote, view: &View, woven: &Woven<'_>) -> Vec<Item> {
    let corners = patch_corners(note, patch);
    let rings = view.rings(std::slice::from_ref(&corners));
    let look = note.fabrics.iter().find(|look| look.name == patch.fabric);
    if let Some(stripe) = look.and_then(|look| look.stripe.as_ref()) {
        let extent = corners_of(corners.iter());
        let fall = Fall::on_fabric(stripe);
        let paint = woven.areas(&patch.fabric, &fall, extent, |p| view.apply(p), view.scale);
        return vec![Group::clipped(rings, paint).into()];
    }
    let colour = look.and_then(|look| look.colour).unwrap_or(UNKNOWN);
    vec![Path::rings(rings, Some(Fill::solid(colour)), None).into()]
}

/// One motif where it goes, bottom layer first.
fn motif(plan: &Plan, spot: &SpotNote, view: &View, woven: &Woven<'_>) -> Vec<Item> {
    let on_quilt = Rigid {
        rotate_rad: spot.rotate_deg.to_radians(),
        mirror: false,
        shift: point(spot.centre_mm[0], spot.centre_mm[1]),
    };
    let rank = |piece: &PlacedPiece| {
        let motif = plan.motifs.iter().find(|m| m.name == spot.motif);
        let at = motif.and_then(|m| m.pieces.iter().position(|n| n.piece == piece.piece));
        at.map_or((usize::MAX, usize::MAX), |i| {
            (motif.map_or(0, |m| m.pieces[i].layer), i)
        })
    };
    let mut pieces: Vec<(&FabricPlan, &PlacedPiece)> = plan
        .fabrics
        .iter()
        .flat_map(|fabric| fabric.placements.iter().map(move |piece| (fabric, piece)))
        .filter(|(_, piece)| piece.motif == spot.motif && piece.copy == spot.copy)
        .collect();
    pieces.sort_by_key(|(_, piece)| rank(piece));
    let mut items = Vec::new();
    for (fabric, piece) in pieces {
        let region = rings_of(&piece.finished_region());
        let apply = |p: Point| view.apply(on_quilt.apply(p));
        let rings: Vec<Vec<Point>> = region
            .iter()
            .map(|ring| ring.iter().map(|&p| apply(p)).collect())
            .collect();
        match &fabric.stripe {
            Some(stripe) => {
                let fall = Fall::on_piece(stripe, piece.to_fabric.to_rigid());
                let corners = corners_of(region.iter().flatten());
                let paint = woven.areas(fabric.fabric(), &fall, corners, apply, view.scale);
                items.push(Group::clipped(rings.clone(), paint).into());
            }
            None => {
                let fill = Fill::solid(plain_colour(fabric, piece, spot.rotate_deg));
                items.push(Path::rings(rings.clone(), Some(fill), None).into());
            }
        }
        items.push(Path::rings(rings, None, Some(Stroke::ink(0.08))).into());
    }
    items
}
