//! Drawings of a plan: everything here is made from a [`Plan`](crate::plan::Plan)
//! alone, and returned as text or bytes; no file is touched.
//!
//! A drawing is a [`Scene`]: [`svg`] writes it, [`png`] turns the SVG into a picture.

mod bands;
mod error;
mod fan;
#[cfg(test)]
mod fixture;
mod label;
mod lettering;
mod map;
mod measure;
mod paper;
mod png;
mod ruler;
pub mod scene;
mod sound;
mod svg;
mod table;
mod view;

pub use error::DrawError;
pub use fan::{FanDrawing, fan, fans};
pub use map::map;
pub use paper::Paper;
pub use png::{MAX_PIXELS, png};
pub use scene::Scene;
pub use sound::{MAX_BANDS, MAX_PIECES, MAX_POINTS};
pub use svg::{svg, svg_inline};
