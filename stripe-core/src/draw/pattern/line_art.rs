//! Motifs in lines alone, lettered; and in greys, with the centre line elsewhere in the stripe.

use super::natural::lain;
use crate::colour::Colour;
use crate::draw::motif_picture::{MotifDrawing, looks};
use crate::draw::scene::{Scene, rings_of};
use crate::draw::woven::Woven;
use crate::fabric::{Band, Stripe};
use crate::num::nearest_multiple_gap;
use crate::plan::{FabricPlan, MotifNote, Plan};
use crate::shape::{Point, corners_of, point};

/// Room about a drawing (mm).
const EDGE_MM: f64 = 5.0;
/// An assembly diagram is fitted into this width and height (mm).
const ASSEMBLY_MM: [f64; 2] = [86.0, 74.0];
/// A picture with the centre line elsewhere is fitted into this square (mm).
const OFFSET_MM: f64 = 46.0;
/// The darkest and the lightest grey that bands are shown in, and plain fabric.
const DARKEST: f64 = 70.0;
const LIGHTEST: f64 = 250.0;
const PLAIN: Colour = Colour::new(0xd2, 0xd2, 0xd2);
/// A mirror line this near (mm) to the centre line is on it.
const ON_LINE_MM: f64 = 0.05;

/// A motif as it looks with the centre line somewhere in the stripe.
#[derive(Debug, Clone, PartialEq)]
pub struct OffsetPicture {
    /// The picture.
    pub scene: Scene,
    /// What lies on the centre.
    pub on_centre: &'static str,
    /// The motif's striped fabrics whose stripe is its own mirror image there, by name.
    pub mirrored: Vec<String>,
    /// Those whose stripe is not.
    pub unlike: Vec<String>,
}

/// The motif's pieces in lines alone, each with its letter; `plan` as [`any_stripe`] makes it or
/// as it is.
pub fn assembly_diagram(plan: &Plan, motif: &MotifNote) -> Option<Scene> {
    picture(&plan.fabrics, motif, ASSEMBLY_MM, false).map(|scene| Scene {
        title: format!("{}: how the pieces go together", motif.name),
        about: format!(
            "Line drawing of {} with the letter of each piece.",
            motif.name
        ),
        ..scene
    })
}

/// The motif with three choices of the centre line, in greys; nothing where no piece of it is
/// striped. The bands are as wide as the designer's.
pub fn offset_pictures(plan: &Plan, motif: &MotifNote) -> Vec<OffsetPicture> {
    // Of a background that bears printed figures no band is seen.
    let striped = plan.fabrics.iter().any(|fabric| {
        let mut pieces = fabric.placements.iter();
        let bands = fabric.stripe.as_ref().map_or(0, |s| s.bands().len());
        bands > 1 && pieces.any(|piece| piece.motif == motif.name)
    });
    if !striped {
        return Vec::new();
    }
    /// A line of the stripe, in words and by its phase (mm).
    type Line = (&'static str, fn(&Stripe) -> f64);
    let choices: [Line; 3] = [
        ("the middle of the widest band", |stripe| {
            stripe.middle_of(widest(stripe))
        }),
        ("the middle of the narrowest band", |stripe| {
            stripe.middle_of(narrowest(stripe))
        }),
        ("a line where two bands meet", |stripe| {
            let widest = widest(stripe);
            stripe.middle_of(widest) + stripe.bands()[widest].width_mm / 2.0
        }),
    ];
    let pieces = plan.fabrics.iter().flat_map(|fabric| &fabric.placements);
    let copies = pieces
        .filter(|piece| piece.motif == motif.name)
        .map(|piece| piece.copy);
    let first = copies.min();
    let fabrics = lain(plan, |piece| {
        piece.motif == motif.name && Some(piece.copy) == first
    });
    let made = choices.iter().filter_map(|(on_centre, phase)| {
        let mut fabrics = fabrics.clone();
        let (mut mirrored, mut unlike) = (Vec::new(), Vec::new());
        for fabric in &mut fabrics {
            let known = plan.fabrics.iter().find(|one| one.fabric() == fabric.name);
            let Some(stripe) = known.and_then(|one| one.stripe.as_ref()) else {
                fabric.colour = Some(PLAIN);
                continue;
            };
            let phase_mm = phase(stripe);
            let near = |line: &f64| {
                nearest_multiple_gap(line - phase_mm, stripe.repeat_mm()).abs() < ON_LINE_MM
            };
            let is_mirrored = stripe.mirror_lines().iter().any(near);
            if !fabric.placements.is_empty() {
                let list = if is_mirrored {
                    &mut mirrored
                } else {
                    &mut unlike
                };
                list.push(fabric.name.clone());
            }
            fabric.stripe = Some(grey(stripe, phase_mm)?);
        }
        let scene = picture(&fabrics, motif, [OFFSET_MM; 2], true)?;
        Some(OffsetPicture {
            scene: Scene {
                title: format!("{} with {on_centre} on the centre", motif.name),
                about: format!("{} in greys, {on_centre} on the centre.", motif.name),
                ..scene
            },
            on_centre,
            mirrored,
            unlike,
        })
    });
    made.collect()
}

fn widest(stripe: &Stripe) -> usize {
    by_width(stripe, |width_mm| width_mm)
}

fn narrowest(stripe: &Stripe) -> usize {
    by_width(stripe, |width_mm| -width_mm)
}

/// The band of the most worth: of equals one on a mirror line, else the first.
fn by_width(stripe: &Stripe, worth: impl Fn(f64) -> f64) -> usize {
    let mirrors = stripe.mirror_lines();
    let is_mirrored = |band: usize| {
        let off =
            |line: &f64| nearest_multiple_gap(line - stripe.middle_of(band), stripe.repeat_mm());
        mirrors.iter().any(|line| off(line).abs() < ON_LINE_MM)
    };
    let bands = stripe.bands().iter().enumerate().rev();
    let best = bands.max_by(|(i, a), (j, b)| {
        let (one, other) = (worth(a.width_mm), worth(b.width_mm));
        if (one - other).abs() < ON_LINE_MM {
            is_mirrored(*i).cmp(&is_mirrored(*j))
        } else {
            one.total_cmp(&other)
        }
    });
    best.map_or(0, |(i, _)| i)
}

/// The stripe in greys, each colour one, from dark to light as the colours are; upright, with that
/// phase at the origin.
fn grey(stripe: &Stripe, phase_mm: f64) -> Option<Stripe> {
    let mut colours: Vec<Colour> = stripe.bands().iter().map(|band| band.colour).collect();
    colours.sort_by(|a, b| a.luminance().total_cmp(&b.luminance()));
    colours.dedup();
    let steps = colours.len().saturating_sub(1).max(1) as f64;
    let grey_of = |colour: Colour| {
        let rank = colours.iter().position(|&one| one == colour).unwrap_or(0) as f64;
        let level = (DARKEST + (LIGHTEST - DARKEST) * rank / steps).round() as u8;
        Colour::new(level, level, level)
    };
    let bands = stripe.bands().iter();
    let bands = bands.map(|band| Band::new("", band.width_mm, grey_of(band.colour)));
    let flat = Stripe::lengthwise(bands.collect()).ok()?;
    Some(flat.with_origin(-phase_mm))
}

/// A motif's pieces fitted into a box.
fn picture(
    fabrics: &[FabricPlan],
    motif: &MotifNote,
    room_mm: [f64; 2],
    is_painted: bool,
) -> Option<Scene> {
    let (looks, _) = looks(fabrics, motif, 1);
    let look = looks.first()?;
    let regions: Vec<Vec<Vec<Point>>> = look
        .cuts
        .iter()
        .map(|cut| rings_of(&cut.piece.finished_region()))
        .collect();
    let [low, high] = corners_of(regions.iter().flatten().flatten().chain([&point(0.0, 0.0)]));
    let (wide, tall) = ((high.x - low.x).max(1e-3), (high.y - low.y).max(1e-3));
    let scale = ((room_mm[0] - 2.0 * EDGE_MM) / wide)
        .min((room_mm[1] - 2.0 * EDGE_MM) / tall)
        .min(1.0);
    let drawing = MotifDrawing {
        motif,
        look,
        regions: &regions,
        corners: [low, high],
        scale,
        missing: &[],
        woven: &Woven::none(),
        width_mm: room_mm[0],
        is_painted,
        is_lettered: !is_painted,
    };
    Some(Scene {
        width_mm: room_mm[0],
        height_mm: tall * scale + 2.0 * EDGE_MM,
        title: String::new(),
        about: String::new(),
        items: drawing.items(EDGE_MM),
    })
}
