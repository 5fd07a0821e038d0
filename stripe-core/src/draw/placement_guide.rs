//! The placement guide: seams, creases and the motifs' centres, with words to find them by.

use super::error::DrawError;
use super::lettering::wrap;
use super::quilt::{EDGE_MM, TOP_MM, WIDTH_MM, heading, ring, view_of};
use super::scene::{Anchor, Dash, Fill, GREY, Item, PAPER, Path, Scene, Stroke, Text};
use super::sound::check_sound;
use super::view::View;
use crate::plan::{Placement, Plan, QuiltNote, SpotNote};
use crate::shape::{Rigid, point};

/// So many guides are printed under the drawing; the plan file has them all.
const MOST_WORDS: usize = 120;

/// The placement guide of a plan's quilt.
///
/// # Errors
/// A plan without a quilt, or one that cannot be drawn.
pub fn placement_guide(plan: &Plan) -> Result<Scene, DrawError> {
    check_sound(plan)?;
    let note = plan.quilt.as_ref().ok_or(DrawError::NoQuilt)?;
    let mut items = Vec::new();
    let words = format!(
        "{}: where each motif goes. Solid lines are seams, dashed lines creases to fold, crosses \
         the motifs' centres.",
        note.name
    );
    let down = heading(&plan.title, &words, &mut items);
    let view = view_of(note, down);
    items.push(outline(note, &view));
    for spot in &note.spots {
        items.extend(shadow(plan, spot, &view));
    }
    let seams = note
        .seams
        .iter()
        .map(|ends| ends.map(|[x, y]| view.apply(point(x, y))));
    items.push(Path::segments(seams, Stroke::ink(0.2)).into());
    items.extend(creases(note, &view));
    for spot in &note.spots {
        items.extend(centre(spot, &view));
    }
    let low = view.apply(point(note.edge[0], note.edge[1])).y;
    let down = listing(note, low + 8.0, &mut items);
    Ok(Scene {
        width_mm: WIDTH_MM,
        height_mm: down + EDGE_MM - 2.0,
        title: format!("{}: placement guide", plan.title),
        about: format!("{words} {} motifs.", note.spots.len()),
        items,
    })
}

fn outline(note: &QuiltNote, view: &View) -> Item {
    let rings = view.rings(&[ring(note.edge)]);
    Path::rings(rings, None, Some(Stroke::ink(0.35))).into()
}

/// The finished outlines of a motif, faint.
fn shadow(plan: &Plan, spot: &SpotNote, view: &View) -> Vec<Item> {
    let on_quilt = Rigid {
        rotate_rad: spot.rotate_deg.to_radians(),
        mirror: false,
        shift: point(spot.centre[0], spot.centre[1]),
    };
    let is_here = |piece: &&Placement| piece.motif == spot.motif && piece.copy == spot.copy;
    plan.fabrics
        .iter()
        .flat_map(|fabric| fabric.placements.iter().filter(is_here))
        .map(|piece| {
            let ring = |points: &[[f64; 2]]| {
                points
                    .iter()
                    .map(|&[x, y]| view.apply(on_quilt.apply(point(x, y))))
                    .collect()
            };
            let faint = Stroke::ink(0.08).coloured(GREY);
            Path::rings(vec![ring(&piece.finished)], None, Some(faint)).into()
        })
        .collect()
}

fn creases(note: &QuiltNote, view: &View) -> Vec<Item> {
    let [x0, y0, x1, y1] = note.field;
    let mut items = Vec::new();
    for (i, crease) in note.creases.iter().enumerate() {
        let ends = if crease.vertical {
            [point(crease.at, y0), point(crease.at, y1)]
        } else {
            [point(x0, crease.at), point(x1, crease.at)]
        };
        let ends = ends.map(|p| view.apply(p));
        let dashed = Stroke::ink(0.25).broken(Dash::Dashed);
        items.push(Path::segments([ends], dashed).into());
        // Numbered in the order of folding, just inside the field's edge.
        let at = if crease.vertical {
            point(ends[1].x, ends[1].y + 3.2)
        } else {
            point(ends[0].x + 3.2, ends[0].y)
        };
        items.push(Path::circle(at, 2.0, Some(Fill::solid(PAPER)), Some(Stroke::ink(0.15))).into());
        let number = Text::new(point(at.x, at.y + 0.9), 2.5, (i + 1).to_string());
        items.push(number.anchored(Anchor::Middle).into());
    }
    items
}

fn centre(spot: &SpotNote, view: &View) -> Vec<Item> {
    let at = view.apply(point(spot.centre[0], spot.centre[1]));
    let arm = 1.6;
    let cross = [
        [point(at.x - arm, at.y), point(at.x + arm, at.y)],
        [point(at.x, at.y - arm), point(at.x, at.y + arm)],
    ];
    let words = Text::new(point(at.x + 1.2, at.y - 1.2), 2.6, spot.label.clone()).bold();
    // A white shadow of the letters keeps them readable over lines.
    let plate_mm = super::lettering::width_mm(&spot.label, 2.6, true) + 0.8;
    let plate = Path::rect(
        point(at.x + 0.8, at.y - 3.6),
        plate_mm,
        2.9,
        Some(Fill {
            colour: PAPER,
            opacity: 0.8,
        }),
        None,
    );
    vec![
        plate.into(),
        Path::segments(cross, Stroke::ink(0.4)).into(),
        words.into(),
    ]
}

/// Lines of words, one under the other.
struct Sheet<'a> {
    down: f64,
    items: &'a mut Vec<Item>,
}

impl Sheet<'_> {
    fn head(&mut self, words: &str) {
        self.down += 2.4;
        let text = Text::new(point(EDGE_MM, self.down), 2.9, words).bold();
        self.items.push(text.into());
        self.down += 4.2;
    }

    /// An entry, its later lines set in.
    fn entry(&mut self, mark: &str, words: &str) {
        let indent = 9.0;
        let mark = Text::new(point(EDGE_MM, self.down), 2.7, mark).bold();
        self.items.push(mark.into());
        for line in wrap(words, 2.7, false, TOP_MM - indent) {
            let text = Text::new(point(EDGE_MM + indent, self.down), 2.7, line);
            self.items.push(text.into());
            self.down += 3.7;
        }
    }
}

/// Creases in the order of folding, centres, then the order of work.
fn listing(note: &QuiltNote, down: f64, items: &mut Vec<Item>) -> f64 {
    let mut sheet = Sheet { down, items };
    if !note.creases.is_empty() {
        sheet.head("Creases, in the order of folding");
        for (i, crease) in note.creases.iter().enumerate() {
            let words = format!("{}: {}.", crease.name, crease.fold);
            sheet.entry(&(i + 1).to_string(), &words);
        }
    }
    if !note.spots.is_empty() {
        sheet.head("Centres");
        for spot in note.spots.iter().take(MOST_WORDS) {
            sheet.entry(&spot.label, &format!("{}.", spot.guide));
        }
        if note.spots.len() > MOST_WORDS {
            let more = note.spots.len() - MOST_WORDS;
            sheet.entry("", &format!("{more} more are in the plan file."));
        }
    }
    sheet.head("Order of work");
    for (i, step) in note.order.iter().enumerate() {
        sheet.entry(&(i + 1).to_string(), step);
    }
    sheet.down
}
