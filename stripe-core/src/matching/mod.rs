//! Matching: which stripe each piece must show, how a piece may lie on its fabric to
//! show it, and how well joints meet.

mod exactness;
mod joint;
mod part_stripes;
#[cfg(test)]
mod tests;
mod way;

pub use exactness::{CUT_ERROR_MM, Exactness, NOTICED_MM, SKEW_PERCENT, TILT_DEG, exactness};
pub use joint::{
    DIFFERENT, Meeting, PhaseRun, has_contrast, meet, noticed_within_mm, noticed_words, share_words,
};
pub use part_stripes::{Frame, PartFrames, Turned, part_frames};
pub use way::{Way, grain_rad, plain_ways, striped_ways};
