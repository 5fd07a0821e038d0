//! Plain fabric as it looks in the sewn motif: fabric with a nap in a lighter or darker shade
//! where it lies another way.

use crate::colour::Colour;
use crate::fabric::Nap;
use crate::plan::{FabricPlan, PlacedPiece};
use crate::shape::point;

/// Fabric of which the plan does not know the colour.
pub(super) const UNKNOWN: Colour = Colour::new(0xee, 0xe8, 0xdc);
/// How far the most different shade is from the fabric's colour to black, or, of a dark one, to white.
const DEEPEST: f64 = 0.3;
/// Colours of less luminance than this turn lighter: darker would not be seen.
const DARK: f64 = 0.08;
/// Shades nearer to each other than this are one.
const ALIKE: f64 = 0.02;

/// How a piece's shade differs from that of fabric that stands upright, from 0 to 1, where its
/// motif is turned by so much on the quilt (degrees).
fn shade(fabric: &FabricPlan, piece: &PlacedPiece, turned_deg: f64) -> f64 {
    if fabric.nap == Nap::None {
        return 0.0;
    }
    let up = piece.to_fabric.to_rigid().unturn(point(0.0, 1.0));
    let from_upright_deg = (-up.x).atan2(up.y).to_degrees();
    fabric.nap.shade(from_upright_deg + turned_deg)
}

/// The colour of a piece of plain fabric.
pub(super) fn plain_colour(fabric: &FabricPlan, piece: &PlacedPiece, turned_deg: f64) -> Colour {
    let colour = fabric.colour.unwrap_or(UNKNOWN);
    let towards = if colour.luminance() < DARK {
        255.0
    } else {
        0.0
    };
    let share = DEEPEST * shade(fabric, piece, turned_deg);
    let mix = |channel: u8| (f64::from(channel) * (1.0 - share) + towards * share).round() as u8;
    Colour::new(mix(colour.red), mix(colour.green), mix(colour.blue))
}

/// Whether two pieces of one plain fabric look alike in their motifs.
pub(super) fn look_alike(fabric: &FabricPlan, a: &PlacedPiece, b: &PlacedPiece) -> bool {
    (shade(fabric, a, 0.0) - shade(fabric, b, 0.0)).abs() < ALIKE
}
