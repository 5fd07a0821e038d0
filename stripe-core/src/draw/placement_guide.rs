//! The placement guide: seams, creases and the motifs' centres, on one page. The words to
//! find them by stand in the booklet and in the list beside it.

use super::error::DrawError;
use super::lettering::{CAPITAL, width_mm};
use super::quilt::{EDGE_MM, WIDTH_MM, heading, ring, view_of};
use super::scene::{Anchor, Dash, Fill, GREY, Item, PAPER, Path, Scene, Stroke, Text};
use super::validate::validate;
use super::view::View;
use crate::plan::{CreaseNote, PlacedPiece, Plan, QuiltNote, SpotNote};
use crate::shape::{Point, Rigid, point};
use crate::wording::placed_alike;

/// Size of the labels (mm): 7 points where the drawing fills a page's width; smaller ones
/// only where motifs stand closer than that.
const LABEL_MM: f64 = 2.8;
const LEAST_LABEL_MM: f64 = 1.2;

/// The placement guide of a plan's quilt.
///
/// # Errors
/// A plan without a quilt, or one that cannot be drawn.
pub fn placement_guide(plan: &Plan) -> Result<Scene, DrawError> {
    validate(plan)?;
    let note = plan.quilt.as_ref().ok_or(DrawError::NoQuilt)?;
    let mut items = Vec::new();
    let creased = if note.creases.is_empty() {
        ""
    } else {
        " Dashed lines are creases, numbered in the order you fold them."
    };
    let alike = placed_alike(plan).map_or_else(String::new, |words| format!(" {words}"));
    let words = format!(
        "{}: where each motif goes. Solid lines are seams.{creased} Crosses mark the centres of the motifs.{alike}",
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
    items.extend(labels(note, &view));
    let low = view.apply(point(note.edge_mm[0], note.edge_mm[1])).y;
    Ok(Scene {
        width_mm: WIDTH_MM,
        height_mm: low + EDGE_MM,
        title: format!("{}: placement guide", plan.title),
        about: format!("{words} {} motifs.", note.spots.len()),
        items,
    })
}

fn outline(note: &QuiltNote, view: &View) -> Item {
    let rings = view.rings(&[ring(note.edge_mm)]);
    Path::rings(rings, None, Some(Stroke::ink(0.35))).into()
}

/// The finished outlines of a motif, faint.
fn shadow(plan: &Plan, spot: &SpotNote, view: &View) -> Vec<Item> {
    let on_quilt = Rigid {
        rotate_rad: spot.rotate_deg.to_radians(),
        mirror: false,
        shift: point(spot.centre_mm[0], spot.centre_mm[1]),
    };
    let is_here = |piece: &&PlacedPiece| piece.motif == spot.motif && piece.copy == spot.copy;
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

/// The ends of a crease on the page.
fn ends_of(note: &QuiltNote, crease: &CreaseNote, view: &View) -> [Point; 2] {
    let [x0, y0, x1, y1] = note.field_mm;
    let ends = if crease.vertical {
        [point(crease.at_mm, y0), point(crease.at_mm, y1)]
    } else {
        [point(x0, crease.at_mm), point(x1, crease.at_mm)]
    };
    ends.map(|p| view.apply(p))
}

/// Where the number of each crease stands: just inside the field's edge, the next ones
/// further in where one is there.
fn numbers(note: &QuiltNote, view: &View) -> Vec<Point> {
    let mut numbers: Vec<Point> = Vec::new();
    for crease in &note.creases {
        let ends = ends_of(note, crease, view);
        let at = |i: u32| {
            let inwards = 3.2 + 4.4 * f64::from(i);
            if crease.vertical {
                point(ends[1].x, ends[1].y + inwards)
            } else {
                point(ends[0].x + inwards, ends[0].y)
            }
        };
        let off = |p: &Point| numbers.iter().all(|q| (p.x - q.x).hypot(p.y - q.y) > 4.2);
        numbers.push((0..4).map(at).find(off).unwrap_or(at(0)));
    }
    numbers
}

fn creases(note: &QuiltNote, view: &View) -> Vec<Item> {
    let mut items = Vec::new();
    for crease in &note.creases {
        let dashed = Stroke::ink(0.25).broken(Dash::Dashed);
        items.push(Path::segments([ends_of(note, crease, view)], dashed).into());
    }
    for (i, at) in numbers(note, view).into_iter().enumerate() {
        items.push(Path::circle(at, 2.0, Some(Fill::solid(PAPER)), Some(Stroke::ink(0.15))).into());
        let number = Text::new(point(at.x, at.y + 1.0), 2.8, (i + 1).to_string());
        items.push(number.anchored(Anchor::Middle).into());
    }
    items
}

fn centre(spot: &SpotNote, view: &View) -> Vec<Item> {
    let at = view.apply(point(spot.centre_mm[0], spot.centre_mm[1]));
    let arm = 1.6;
    let cross = [
        [point(at.x - arm, at.y), point(at.x + arm, at.y)],
        [point(at.x, at.y - arm), point(at.x, at.y + arm)],
    ];
    vec![Path::segments(cross, Stroke::ink(0.4)).into()]
}

/// The motifs' names beside their crosses, none over another, nor over a cross or the number
/// of a crease: each in the first of several places that is free, in smaller letters where
/// none is.
fn labels(note: &QuiltNote, view: &View) -> Vec<Item> {
    let centres: Vec<Point> = note
        .spots
        .iter()
        .map(|spot| view.apply(point(spot.centre_mm[0], spot.centre_mm[1])))
        .collect();
    let about = |p: &Point, half: f64| [*p - point(half, half), *p + point(half, half)];
    let mut taken: Vec<[Point; 2]> = centres.iter().map(|p| about(p, 1.7)).collect();
    taken.extend(numbers(note, view).iter().map(|p| about(p, 2.1)));
    let mut items = Vec::new();
    for (spot, at) in note.spots.iter().zip(&centres) {
        let mut size = LABEL_MM;
        let found = loop {
            let wide = width_mm(&spot.label, size, true) + 0.6;
            let free = places(*at, wide, size * 1.05)
                .into_iter()
                .find(|place| taken.iter().all(|other| are_apart(place, other)));
            if free.is_some() || size < LEAST_LABEL_MM {
                break free;
            }
            size *= 0.9;
        };
        let Some([low, high]) = found else { continue };
        taken.push([low, high]);
        // A white ground keeps the letters readable over lines.
        let ground = Fill {
            colour: PAPER,
            opacity: 0.8,
        };
        let size_of = high - low;
        items.push(Path::rect(low, size_of.x, size_of.y, Some(ground), None).into());
        let base = point(low.x + 0.3, (low.y + high.y) / 2.0 + size * CAPITAL / 2.0);
        items.push(Text::new(base, size, spot.label.clone()).bold().into());
    }
    items
}

/// Boxes about a cross, the best first: to the upper right, then around it, then further out.
fn places(at: Point, wide: f64, high: f64) -> Vec<[Point; 2]> {
    let mut places = Vec::new();
    for out in [1.8, 3.6, 5.4] {
        let (right, left) = (out, -out - wide);
        let (up, down) = (-out - high, out);
        let (middle, level) = (-wide / 2.0, -high / 2.0);
        for (x, y) in [
            (right - 0.8, up + 0.8),
            (right, level),
            (left + 0.8, up + 0.8),
            (left, level),
            (right - 0.8, down - 0.8),
            (left + 0.8, down - 0.8),
            (middle, up),
            (middle, down),
        ] {
            let low = at + point(x, y);
            places.push([low, low + point(wide, high)]);
        }
    }
    places
}

fn are_apart(a: &[Point; 2], b: &[Point; 2]) -> bool {
    a[1].x <= b[0].x || b[1].x <= a[0].x || a[1].y <= b[0].y || b[1].y <= a[0].y
}
