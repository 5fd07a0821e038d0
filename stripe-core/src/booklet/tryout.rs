//! The try-out: sliders that run the stripe through each motif before anything is
//! cut, and tell the setting to copy into the project file.

use super::Section;
use crate::draw::shown_number;
use crate::fabric::{Along, Look, Stripe};
use crate::length::Unit;
use crate::plan::{FabricPlan, MotifNote, PlacedPiece, Plan, StripesRun};
use crate::shape::{Point, Region};
use maud::{Markup, PreEscaped, html};
use std::fmt::Write as _;

/// More repeats to a side are not drawn.
const MOST_REPEATS: i64 = 400;

/// A part whose stripe can be moved.
struct PartControl<'a> {
    name: &'a str,
    fabric: &'a FabricPlan,
    stripe: &'a Stripe,
    first: &'a PlacedPiece,
}

pub(super) fn section(plan: &Plan) -> Option<Section> {
    let boxes: Vec<Markup> = plan
        .motifs
        .iter()
        .enumerate()
        .filter_map(|(i, motif)| tryout(plan, motif, i))
        .collect();
    if boxes.is_empty() {
        return None;
    }
    let body = html! {
        p { "Move the sliders until you like what you see. Copy the setting, find the part of that name in your project file, and paste it there in place of the lines that begin with the same words; if there are none, paste it below the name. Then plan again." }
        noscript { p.note { "The sliders need JavaScript, which is turned off in this browser." } }
        @for one in &boxes { (one) }
        p { button type="button" data-copy-all { "copy every part's setting" } " " span role="status" data-copied {} }
    };
    Some(Section {
        id: "tryout",
        heading: "Try the stripe",
        body,
    })
}

/// The pieces of the first copy with their fabrics, bottom layer first.
fn pieces_of<'a>(plan: &'a Plan, motif: &MotifNote) -> Vec<(&'a FabricPlan, &'a PlacedPiece)> {
    let of_motif = |fabric: &'a FabricPlan| {
        fabric
            .placements
            .iter()
            .filter(|p| p.motif == motif.name)
            .map(move |p| (fabric, p))
    };
    let all: Vec<_> = plan.fabrics.iter().flat_map(of_motif).collect();
    let first = all.iter().map(|(_, p)| p.copy).min();
    let mut pieces: Vec<_> = all
        .into_iter()
        .filter(|(_, p)| Some(p.copy) == first)
        .collect();
    let rank = |piece: &PlacedPiece| motif.pieces.iter().position(|n| n.piece == piece.piece);
    pieces.sort_by_key(|(_, piece)| {
        let at = rank(piece);
        (at.map(|at| motif.pieces[at].layer), at)
    });
    pieces
}

fn tryout(plan: &Plan, motif: &MotifNote, number: usize) -> Option<Markup> {
    let pieces = pieces_of(plan, motif);
    let mut parts: Vec<PartControl<'_>> = Vec::new();
    for &(fabric, piece) in &pieces {
        let movable = piece.offset_mm.is_some() && piece.normal_deg.is_some();
        let known = parts.iter().any(|part| part.name == piece.part);
        if let (Some(stripe), true, false) = (&fabric.stripe, movable, known) {
            parts.push(PartControl {
                name: &piece.part,
                fabric,
                stripe,
                first: piece,
            });
        }
    }
    if parts.is_empty() {
        return None;
    }
    let part_of = |piece: &PlacedPiece| parts.iter().position(|part| part.name == piece.part);
    let unit = match plan.unit {
        Unit::Inch => "in",
        Unit::Centimetre => "cm",
        Unit::Millimetre => "mm",
    };
    Some(html! {
        h3 { (motif.name) }
        div.tryout data-unit=(unit) data-motif=(motif.name) {
            div."paper"."held" { (PreEscaped(drawing(motif, &pieces, &parts, part_of, number))) }
            div {
                @for (i, part) in parts.iter().enumerate() {
                    (controls(part, plan.unit, &format!("t{number}-{i}"), i))
                }
            }
        }
    })
}

/// The sliders of one part.
fn controls(part: &PartControl<'_>, unit: Unit, id: &str, index: usize) -> Markup {
    let step_mm = match unit {
        Unit::Inch => 25.4 / 16.0,
        Unit::Centimetre | Unit::Millimetre => 1.0,
    };
    let offset = part.first.offset_mm.unwrap_or(0.0);
    let through = part.first.stripes == Some(StripesRun::Through);
    let across = part.first.normal_deg.unwrap_or(0.0);
    let place = match part.first.stripes {
        Some(StripesRun::Rays) => "on the middle of each wedge",
        Some(StripesRun::Rings) => "at the given radius",
        _ => "on the centre",
    };
    let bands: Vec<(f64, &str)> = part
        .stripe
        .bands()
        .iter()
        .map(|band| (band.width_mm, band.name.as_str()))
        .collect();
    let bands = serde_json::to_string(&bands).expect("numbers and names are JSON");
    let last = (part.stripe.repeat_mm() / step_mm).ceil().max(1.0) as i64;
    let crossing = part.stripe.along().zip(part.first.along_at_centre_mm);
    let along = crossing.map_or(0.0, |(_, at)| at);
    html! {
        fieldset data-part=(index) data-name=(part.name) data-bands=(bands) data-offset=(offset) data-across=(across) data-place=(place) data-along=(along) {
            legend { strong { (part.name) } " · " (part.fabric.fabric()) }
            label for={ (id) "-run" } { "slide the stripe" }
            input type="range" id={ (id) "-run" } data-run data-step=(step_mm) min="0" max=(last)
                step="1" value=((offset / step_mm).round());
            @if through {
                label for={ (id) "-turn" } { "turn the stripe (degrees)" }
                div.turning {
                    input type="range" id={ (id) "-turn" } data-turn min="-180" max="180" step="0.5"
                        value=((across * 2.0).round() / 2.0);
                    input type="number" aria-label={ "turn " (part.name) ", degrees" } data-angle
                        min="-180" max="180" step="any" value=(angle(across));
                }
            }
            @if let Some((note, _)) = crossing {
                (crossing_slider(note, along, step_mm, id))
            }
            output for={ (id) "-run" } {}
            pre aria-label="the setting to copy" {
                @if through { "stripe_angle = " (angle(across)) "\n" }
                "offset = \"" (shown_number(offset, unit)) " " (crate::draw::unit_word(unit)) "\""
                @if crossing.is_some() {
                    "\noffset_along = \"" (shown_number(along, unit)) " " (crate::draw::unit_word(unit)) "\""
                }
            }
            p.buttons {
                button type="button" data-back { "reset to the plan" }
                button type="button" data-copy { "copy" }
                span role="status" data-copied {}
            }
        }
    }
}

/// An angle as it is typed: no more figures than it has, a ten-thousandth at the finest.
fn angle(deg: f64) -> String {
    ((deg * 1e4).round() / 1e4 + 0.0).to_string()
}

/// The slider of what repeats along the stripes.
fn crossing_slider(along: &Along, along_mm: f64, step_mm: f64, id: &str) -> Markup {
    let words = match along.look {
        Look::Figure { .. } => "slide the figures lengthwise",
        Look::Bands(_) => "slide the crossing bands",
    };
    let bands: Vec<(f64, &str)> = along
        .bands()
        .iter()
        .map(|band| (band.width_mm, band.name.as_str()))
        .collect();
    let bands = serde_json::to_string(&bands).expect("numbers and names are JSON");
    let last = (along.repeat_mm / step_mm).ceil().max(1.0) as i64;
    html! {
        label for={ (id) "-cross" } { (words) }
        input type="range" id={ (id) "-cross" } data-cross data-step=(step_mm) data-repeat=(along.repeat_mm)
            data-bands=(bands) min="0" max=(last) step="1" value=((along_mm / step_mm).round());
    }
}

/// The motif in its own frame, y up, each striped piece with a stripe of its own.
fn drawing(
    motif: &MotifNote,
    pieces: &[(&FabricPlan, &PlacedPiece)],
    parts: &[PartControl<'_>],
    part_of: impl Fn(&PlacedPiece) -> Option<usize>,
    number: usize,
) -> String {
    let regions: Vec<Region> = pieces.iter().map(|(_, p)| p.finished_region()).collect();
    let points = regions.iter().flat_map(|region| &region.exterior().0);
    let (mut low, mut high) = ((0.0_f64, 0.0_f64), (0.0_f64, 0.0_f64));
    for p in points {
        low = (low.0.min(p.x), low.1.min(p.y));
        high = (high.0.max(p.x), high.1.max(p.y));
    }
    let edge = 0.03 * (high.0 - low.0).max(high.1 - low.1);
    let (width, height) = (high.0 - low.0 + 2.0 * edge, high.1 - low.1 + 2.0 * edge);
    let reach = low
        .0
        .hypot(low.1)
        .max(high.0.hypot(high.1))
        .max(low.0.hypot(high.1))
        .max(high.0.hypot(low.1));
    let mut text = String::new();
    let _ = write!(
        text,
        "<svg viewBox=\"{:.2} {:.2} {width:.2} {height:.2}\" role=\"img\" aria-label=\"{}, with the stripe as the sliders say\"><defs>",
        low.0 - edge,
        -high.1 - edge,
        crate::draw::escape(&motif.name),
    );
    for (i, part) in parts.iter().enumerate() {
        strip(&mut text, part.stripe, reach, &format!("s{number}-{i}"));
    }
    for (i, region) in regions.iter().enumerate() {
        let _ = write!(
            text,
            "<clipPath id=\"c{number}-{i}\"><path clip-rule=\"evenodd\" d=\""
        );
        trace(&mut text, region);
        text.push_str("\"/></clipPath>");
    }
    text.push_str("</defs><g transform=\"scale(1 -1)\">");
    let pen = 0.004 * width.max(height);
    for (i, (fabric, piece)) in pieces.iter().enumerate() {
        match (part_of(piece), piece.normal_deg, piece.phase_at_centre_mm) {
            (Some(part), Some(normal), Some(phase)) if fabric.stripe.is_some() => {
                let along = piece.along_at_centre_mm.unwrap_or(0.0);
                let _ = write!(
                    text,
                    "<g clip-path=\"url(#c{number}-{i})\"><use href=\"#s{number}-{part}\" data-part=\"{part}\" data-normal=\"{normal:.4}\" data-phase=\"{phase:.4}\" data-along=\"{along:.4}\" transform=\"rotate({normal:.4}) translate({:.4} {:.4})\"/></g>",
                    -phase, -along
                );
                text.push_str("<path fill=\"none\"");
            }
            _ => {
                let colour = fabric
                    .colour
                    .unwrap_or(crate::colour::Colour::new(238, 232, 220));
                let _ = write!(text, "<path fill=\"{colour}\" fill-rule=\"evenodd\"");
            }
        }
        let _ = write!(text, " stroke=\"#1a1a1a\" stroke-width=\"{pen:.3}\" d=\"");
        trace(&mut text, &regions[i]);
        text.push_str("\"/>");
    }
    text.push_str("</g></svg>");
    text
}

/// The stripe as vertical bands, phase 0 at x = 0, wide and long enough for the motif
/// wherever it is run and turned.
fn strip(text: &mut String, stripe: &Stripe, reach: f64, id: &str) {
    // It is run by up to a repeat of what crosses it.
    let reach = reach + stripe.along().map_or(0.0, |along| along.repeat_mm);
    let _ = write!(text, "<g id=\"{id}\">");
    let repeats = (reach / stripe.repeat_mm()).ceil() as i64;
    // A stripe too fine to be seen is not drawn a thousand times.
    let repeats = repeats.min(MOST_REPEATS);
    let mut begin = 0.0;
    for (i, band) in stripe.bands().iter().enumerate() {
        let _ = write!(text, "<path fill=\"{}\" d=\"", band.colour);
        for k in -repeats..=repeats + 1 {
            let from = begin + k as f64 * stripe.repeat_mm();
            // Each band runs on a hair under the next, so that no light shines through.
            let under = if i + 1 < stripe.bands().len() {
                0.3
            } else {
                0.0
            };
            let to = from + band.width_mm + under;
            let _ = write!(
                text,
                "M{from:.3} {0:.1}H{to:.3}V{reach:.1}H{from:.3}Z",
                -reach
            );
        }
        text.push_str("\"/>");
        begin += band.width_mm;
    }
    if let Some(along) = stripe.along() {
        crossing(
            text,
            stripe.repeat_mm(),
            along,
            [-repeats, repeats + 1],
            reach,
        );
    }
    text.push_str("</g>");
}

/// What repeats along the stripe, its phase 0 at y = 0: bands that climb by the shear
/// once a repeat across, or figures.
fn crossing(text: &mut String, across: f64, along: &Along, columns: [i64; 2], reach: f64) {
    let [left, right] = columns.map(|column| column as f64 * across);
    let climb = along.shear_mm / across;
    let rise = climb.abs() * left.abs().max(right.abs());
    let rows = (((reach + rise) / along.repeat_mm).ceil() as i64).min(MOST_REPEATS);
    let mut begin = 0.0;
    for band in along.bands() {
        // The stripe shines through, as it does in the drawings.
        let _ = write!(
            text,
            "<path fill=\"{}\" fill-opacity=\"0.5\" d=\"",
            band.colour
        );
        for row in -rows..=rows {
            let low = begin + row as f64 * along.repeat_mm;
            let _ = write!(
                text,
                "M{left:.2} {:.2} {right:.2} {:.2} {right:.2} {:.2} {left:.2} {:.2}Z",
                low + climb * left,
                low + climb * right,
                low + band.width_mm + climb * right,
                low + band.width_mm + climb * left,
            );
        }
        text.push_str("\"/>");
        begin += band.width_mm;
    }
    if let Look::Figure {
        across_mm,
        size_mm,
        colour,
    } = along.look
    {
        let _ = write!(text, "<g fill=\"{colour}\">");
        for column in columns[0]..=columns[1] {
            let x = across_mm + column as f64 * across;
            for row in -rows..=rows {
                let y = row as f64 * along.repeat_mm + column as f64 * along.shear_mm;
                // Far-off ones are never seen, however the stripe is run and turned.
                if x.hypot(y) > 1.5 * reach + size_mm {
                    continue;
                }
                let _ = write!(
                    text,
                    "<circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"{:.2}\"/>",
                    size_mm / 2.0
                );
            }
        }
        text.push_str("</g>");
    }
}

fn trace(text: &mut String, region: &Region) {
    let mut ring = |points: &[Point]| {
        for (i, p) in points.iter().enumerate() {
            let _ = write!(
                text,
                "{}{:.2} {:.2}",
                if i == 0 { "M" } else { " " },
                p.x,
                p.y
            );
        }
        text.push('Z');
    };
    ring(&region.exterior().0);
    for hole in region.interiors() {
        ring(&hole.0);
    }
}
