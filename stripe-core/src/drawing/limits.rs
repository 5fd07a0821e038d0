//! How large a drawing may be.

/// The largest drawing (bytes).
pub const MAX_DRAWING_BYTES: usize = 4 << 20;
/// Elements and texts of the file.
pub(super) const MAX_NODES: u32 = 20_000;
/// Elements that copies (`use`) draw: a nest of copies multiplies.
pub(super) const MAX_CLONED: usize = 2_000;
/// Groups within groups.
pub(super) const MAX_DEPTH: usize = 60;
/// Pieces of one drawing.
pub(super) const MAX_PIECES: usize = 40;
/// Corners of one piece, its curves flattened.
pub(super) const MAX_CORNERS: usize = 1_000;
/// The largest page, and how far off a point may lie (mm).
pub(super) const MAX_SIZE_MM: f64 = 10_000.0;
/// Edges that run along each other no further apart than this are told of: 1/16 in, a gap that shows (mm).
pub const GAP_MM: f64 = 1.5875;
/// Edges of neighbours that lie no further apart than this are made one (mm).
pub const SNAP_TOL_MM: f64 = 0.2;
