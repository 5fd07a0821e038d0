//! How large a project may be. Every limit is far above any quilt and far below
//! what a machine cannot hold; each is named in the fault that it raises.
//!
//! A range stands here once, and the reader of a project file and
//! [`Project::validate`](super::Project::validate) both hold what they see to it.

use crate::quilt::MAX_UNITS;
use std::fmt::Display;
use std::ops::RangeInclusive;

/// Characters of a name.
pub const MAX_NAME_CHARS: usize = 40;
/// Characters of a title.
pub const MAX_TITLE_CHARS: usize = 120;

/// Fabrics of a project.
pub const FABRICS: RangeInclusive<usize> = 1..=40;
/// Pieces of one fabric in hand, and holes and stains of one of them.
pub const IN_HAND: RangeInclusive<usize> = 1..=60;
/// Motifs of a project.
pub const MOTIFS: RangeInclusive<usize> = 1..=100;
/// Sizes of one pattern.
pub const QUILTS: RangeInclusive<usize> = 0..=12;
/// Quilts that are cut at once.
pub const KITS: RangeInclusive<usize> = 1..=200;
/// Pieces in all: copies times wedges, over all parts and kits.
pub const PIECES: RangeInclusive<usize> = 0..=20_000;
/// Copies of one motif, pieces of one kind of triangle or diamond, and points on the field for
/// one motif.
pub const COPIES: RangeInclusive<usize> = 1..=2_000;
/// Places of a quilt for motifs, in all.
pub const SPOTS: RangeInclusive<usize> = 0..=*COPIES.end();
/// Parts of one motif.
pub const PARTS: RangeInclusive<usize> = 1..=40;
/// Wedges of one part.
pub const WEDGES: RangeInclusive<usize> = 1..=120;
/// Spokes of one wedge, where it has some.
pub const SPOKES: RangeInclusive<usize> = 1..=120;
/// Corners of a drawn outline.
pub const CORNERS: RangeInclusive<usize> = 3..=1_000;
/// Letters of a motif's code.
pub const CODE_LETTERS: RangeInclusive<usize> = 1..=2;
/// Bands of one repeat.
pub const BANDS: RangeInclusive<usize> = 1..=100;
/// Turns that plain fabric may allow.
pub const TURNS: RangeInclusive<usize> = 1..=24;
/// Fabrics used in turn.
pub const FABRICS_IN_TURN: RangeInclusive<usize> = 1..=20;
/// Motifs that share a row of places: as many as it may have places.
pub const MOTIFS_IN_ORDER: RangeInclusive<usize> = 1..=*COPIES.end();
/// Borders about one field.
pub const BORDERS: RangeInclusive<usize> = 0..=20;
/// Foundations of one quilt.
pub const FOUNDATIONS: RangeInclusive<usize> = 0..=20;
/// Lines that tell where motifs go.
pub const PLACES: RangeInclusive<usize> = 0..=100;
/// Kinds of triangles and diamonds.
pub const SLANTED_KINDS: RangeInclusive<usize> = 0..=100;
/// Strips of a field, units along one side of it, columns and rows of a motif.
pub const UNITS: RangeInclusive<usize> = 1..=MAX_UNITS;
/// On which of a border's seams motifs go: every one, or every other.
pub const EVERY: RangeInclusive<usize> = 1..=2;

/// The widest fabric, and the greatest size of anything cut from it (mm): ten metres.
pub const MAX_SIZE_MM: f64 = 10_000.0;
/// The narrowest fabric and the shortest repeat (mm).
pub const MIN_REPEAT_MM: f64 = 1.0;
/// The least size of a motif or a spoke (mm): nothing smaller can be cut.
pub const MIN_SIZE_MM: f64 = 0.5;

/// Sizes of what is cut (mm).
pub const SIZES_MM: RangeInclusive<f64> = MIN_SIZE_MM..=MAX_SIZE_MM;
/// Widths of fabric, and repeats (mm).
pub const REPEATS_MM: RangeInclusive<f64> = MIN_REPEAT_MM..=MAX_SIZE_MM;
/// Bands and printed figures (mm); the thinnest is half of a fine pinstripe.
pub const BANDS_MM: RangeInclusive<f64> = 0.1..=MAX_SIZE_MM;
/// Places and offsets (mm), to either side.
pub const PLACES_MM: RangeInclusive<f64> = -MAX_SIZE_MM..=MAX_SIZE_MM;
/// Radii, overhangs and what is added to a length, which may be nothing (mm).
pub const DISTANCES_MM: RangeInclusive<f64> = 0.0..=MAX_SIZE_MM;
/// Allowances and tolerances: turn, seam, underlap, clear gap (mm).
pub const ALLOWANCES_MM: RangeInclusive<f64> = 0.0..=100.0;
/// Cut width of a binding strip (mm).
pub const BINDING_STRIPS_MM: RangeInclusive<f64> = 5.0..=500.0;
/// The marks of the ruler that sizes of triangles are rounded up to (mm), an inch at most.
pub const RULER_MARKS_MM: RangeInclusive<f64> = MIN_SIZE_MM..=25.4;
/// Turns and directions (degrees).
pub const ANGLES_DEG: RangeInclusive<f64> = -360.0..=360.0;
/// How far around a fan goes (degrees).
pub const SWEEPS_DEG: RangeInclusive<f64> = 1.0..=360.0;

/// Prices, in whatever money.
pub const PRICES: RangeInclusive<f64> = 0.0..=1e6;
/// The length that a price is for, and the steps that a shop cuts in (mm).
pub const SOLD_MM: RangeInclusive<f64> = 1.0..=MAX_SIZE_MM;
/// What is lost when the ends are squared up (mm).
pub const SQUARING_MM: RangeInclusive<f64> = 0.0..=1_000.0;
/// What is lost in the wash, as a share of the length.
pub const SHRINKAGES: RangeInclusive<f64> = 0.0..=0.3;

/// `from 1 to 40`.
pub(super) fn from_to<T: Display>(range: &RangeInclusive<T>) -> String {
    format!("from {} to {}", range.start(), range.end())
}

/// What keeps a name from being printed on a map, and what to do about it; `what` begins the
/// sentence.
pub(super) fn name_flaw(what: &str, name: &str, most_chars: usize) -> Option<(String, String)> {
    let chars = name.trim().chars().count();
    if chars == 0 {
        Some((format!("{what} is empty"), "give it a name".to_owned()))
    } else if chars > most_chars {
        let message = format!("{what} has {chars} characters");
        Some((message, format!("use at most {most_chars}")))
    } else if name.chars().any(char::is_control) {
        let message = format!("{what} holds a line break or a sign that cannot be printed");
        Some((message, "write it on one line".to_owned()))
    } else {
        None
    }
}
