//! How much of a picture is read at most.

/// The largest picture file (bytes).
pub const MAX_BYTES: usize = 128 << 20;
/// The most pixels of a picture: more than twice those of a good camera.
pub const MAX_PIXELS: u64 = 60_000_000;
/// The most memory that the pixels of a picture may take (bytes).
pub const MAX_DECODED_BYTES: u64 = 400 << 20;
