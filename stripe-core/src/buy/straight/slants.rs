//! Triangles and diamonds from the squares and strips that are cut for them.

use super::steps::plural;
use crate::length::{Length, Unit};
use crate::quilt::{Slant, SlantedShape, StraightPiece, star_mm};

/// One step for each kind of square or strip that is cut again.
///
/// `Cut each of the 3 gull squares, 4 7/8 in wide, twice corner to corner, both ways: 12 side triangles.`
pub(super) fn slant_steps(pieces: &[StraightPiece], unit: Unit) -> Vec<String> {
    pieces
        .iter()
        .filter_map(|piece| Some(slant_step(piece, piece.slant.as_ref()?, unit)))
        .collect()
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
                "{each}, {long} long, into diamonds: cut one end off at 45 degrees, then lay the ruler's {} line on the \
                 slanted edge and cut beside it, again and again: {made} {shapes}. Eight of them make a star {} wide when finished.",
                wide,
                mm(star_mm(slant.finished_mm))
            )
        }
        SlantedShape::QuarterSquare | SlantedShape::SideSetting => {
            format!(
                "{each}, {wide} wide, twice corner to corner, both ways: {made} {shapes}{spare}."
            )
        }
        SlantedShape::HalfSquare | SlantedShape::CornerSetting => {
            format!("{each}, {wide} wide, once corner to corner: {made} {shapes}{spare}.")
        }
    }
}
