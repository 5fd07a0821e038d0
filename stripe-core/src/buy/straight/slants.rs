//! Triangles, diamonds and bias strips from what is cut straight for them.

use super::plural::plural;
use crate::length::{Length, Unit};
use crate::quilt::{BiasStrips, Slant, SlantedShape, StraightPiece, star_mm};

/// One step for each kind of square or strip that is cut again.
///
/// `Cut each of the 3 gull squares, 4 7/8 in wide, on both diagonals: 12 side triangles.`
pub(super) fn slant_steps(pieces: &[StraightPiece], unit: Unit) -> Vec<String> {
    pieces
        .iter()
        .filter_map(|piece| {
            let bias = piece.bias.as_ref().map(|bias| bias_step(piece, bias, unit));
            let slant = piece.slant.as_ref();
            bias.or_else(|| slant.map(|slant| slant_step(piece, slant, unit)))
        })
        .collect()
}

/// `Cut the rectangle for bias binding, 42 in by 16 3/4 in, into bias strips: ...`
fn bias_step(piece: &StraightPiece, bias: &BiasStrips, unit: Unit) -> String {
    let mm = |length: f64| Length::from_mm(length).shown(unit);
    format!(
        "Cut the {}, {} by {}, into bias strips: make the first cut from a corner at 45 degrees, then \
         cut {} {} wide on both sides of it, side by side. Discard end pieces whose shorter edge is under \
         {4}. Trim square ends and points to 45 degrees, then join the strips end to end. They give {}, of \
         which {} are needed.",
        piece.name,
        mm(bias.width_mm),
        mm(bias.height_mm),
        match bias.strips {
            1 => "1 strip".to_owned(),
            n => format!("{n} strips"),
        },
        mm(bias.strip_mm),
        mm(bias.joined_mm),
        mm(bias.needed_mm)
    )
}

fn slant_step(piece: &StraightPiece, slant: &Slant, unit: Unit) -> String {
    let mm = |length: f64| Length::from_mm(length).shown(unit);
    let each = match piece.count {
        1 => format!("Cut the {}", piece.name),
        n => format!("Cut each of the {n} {}", plural(&piece.name, n)),
    };
    // Squares of several sizes may have one name as well.
    let wide = mm(piece.width_mm);
    let made = piece.count * slant.each;
    let shapes = plural(slant.shape.word(), made);
    let spare = match made - slant.wanted {
        0 => String::new(),
        n => format!(", {n} more than needed"),
    };
    match slant.shape {
        SlantedShape::Diamond => {
            // Strips of several lengths may have one name: say which.
            let long = mm(piece.length_mm);
            format!(
                "{each}, {long} long, into diamonds: trim one end at 45 degrees. Line up the ruler's {} mark with the \
                 slanted edge and cut; repeat for {made} {shapes}. Eight of them make a star {} wide when finished.",
                wide,
                mm(star_mm(slant.finished_mm))
            )
        }
        SlantedShape::QuarterSquare | SlantedShape::SideSetting => {
            format!("{each}, {wide} wide, on both diagonals: {made} {shapes}{spare}.")
        }
        SlantedShape::HalfSquare | SlantedShape::CornerSetting => {
            format!("{each}, {wide} wide, once on the diagonal: {made} {shapes}{spare}.")
        }
    }
}
