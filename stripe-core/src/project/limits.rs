//! How large a project may be. Every limit is far above any quilt and far below
//! what a machine cannot hold; each is named in the fault that it raises.

/// Copies of one motif.
pub const MAX_COPIES: usize = 2_000;
/// Pieces in all: copies times wedges, over all parts.
pub const MAX_PIECES: usize = 20_000;
/// Wedges of one part.
pub const MAX_WEDGES: usize = 120;
/// Spokes of one wedge.
pub const MAX_SPOKES: usize = 120;
/// Bands of one repeat.
pub const MAX_BANDS: usize = 100;
/// Parts of one motif.
pub const MAX_PARTS: usize = 40;
/// Motifs of a project.
pub const MAX_MOTIFS: usize = 100;
/// Fabrics of a project.
pub const MAX_FABRICS: usize = 40;
/// Pieces of one fabric in hand, and holes and stains of one of them.
pub const MAX_IN_HAND: usize = 60;
/// Sizes of one pattern.
pub const MAX_QUILTS: usize = 12;
/// Borders about one field, fabrics in turn, and foundations.
pub const MAX_BORDERS: usize = 20;
/// Lines that tell where motifs go, and kinds of triangles and diamonds.
pub const MAX_PLACES: usize = 100;
/// Corners of a drawn outline.
pub const MAX_POINTS: usize = 1_000;
/// Turns that plain fabric may allow.
pub const MAX_TURNS: usize = 24;
/// Characters of a name.
pub const MAX_NAME_CHARS: usize = 40;
/// Characters of a title.
pub const MAX_TITLE_CHARS: usize = 120;

/// The widest fabric, and the greatest size of anything cut from it (mm): ten metres.
pub const MAX_SIZE_MM: f64 = 10_000.0;
/// The narrowest fabric and the shortest repeat (mm).
pub const MIN_REPEAT_MM: f64 = 1.0;
/// The least size of a motif or a spoke (mm): nothing smaller can be cut.
pub const MIN_SIZE_MM: f64 = 0.5;
/// The thinnest band (mm): half of a fine pinstripe.
pub const MIN_BAND_MM: f64 = 0.1;
/// The greatest allowance: turn, seam, underlap, clear gap (mm).
pub const MAX_ALLOWANCE_MM: f64 = 100.0;
