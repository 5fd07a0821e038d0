//! Binding, backing, triangles and diamonds as straight pieces: what they are cut from
//! depends on how wide their cloth is.

use super::{Grain, Layout, Quilt, StraightPiece, bias_square, panels, straight_binding};

/// Seams narrower than this (mm) are no step to round a square to.
const LEAST_STEP_MM: f64 = 1.0;
const QUARTER_INCH_MM: f64 = 6.35;

/// Squares and strips for triangles and diamonds, binding and backing; `width_of` tells a cloth's usable width (mm).
/// A cloth too narrow for any of these gives no piece.
pub fn sheets(
    quilt: &Quilt,
    layout: &Layout,
    width_of: impl Fn(&str) -> Option<f64>,
) -> Vec<StraightPiece> {
    let edge = layout.edge();
    let mut pieces = Vec::new();
    for slanted in &quilt.slanted {
        if let Some(width) = width_of(&slanted.cloth) {
            pieces.extend(slanted.straight(quilt.seam_mm, width));
        }
    }
    if let Some(binding) = &quilt.binding
        && let Some(width) = width_of(&binding.cloth)
    {
        let needed = 2.0 * (edge.width() + edge.height()) + binding.extra_mm;
        let piece = |name: &str, length_mm, width_mm, count, grain| StraightPiece {
            name: name.to_owned(),
            cloth: binding.cloth.clone(),
            length_mm,
            width_mm,
            count,
            grain,
            slant: None,
        };
        if binding.bias {
            // The usual seam is a quarter of an inch, or half a centimetre: what a ruler
            // shows. Where there is none to speak of, the former.
            let step = if quilt.seam_mm < LEAST_STEP_MM {
                QUARTER_INCH_MM
            } else {
                quilt.seam_mm
            };
            let square = bias_square(needed, binding.strip_mm, quilt.seam_mm, step);
            let side = square.side_mm;
            pieces.push(piece("square for bias binding", side, side, 1, Grain::Any));
        } else if let Some(strips) = straight_binding(needed, width, binding.strip_mm) {
            let strip = binding.strip_mm;
            pieces.push(piece(
                "binding strip",
                width,
                strip,
                strips.strips,
                Grain::Across,
            ));
        }
    }
    if let Some(backing) = &quilt.backing
        && let Some(width) = width_of(&backing.cloth)
    {
        let over = 2.0 * backing.overhang_mm;
        let (wide, high) = (edge.width() + over, edge.height() + over);
        if let Some(panels) = panels(wide, high, width, quilt.seam_mm, backing.seams) {
            pieces.push(StraightPiece {
                name: "backing panel".to_owned(),
                cloth: backing.cloth.clone(),
                length_mm: panels.length_mm,
                width_mm: width,
                count: panels.count,
                grain: Grain::Along,
                slant: None,
            });
        }
    }
    pieces
}
