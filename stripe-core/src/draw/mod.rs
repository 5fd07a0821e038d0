//! Drawings of a plan: everything here is made from a [`Plan`](crate::plan::Plan)
//! alone, and returned as text or bytes; no file is touched.
//!
//! A drawing is a [`Scene`]: [`svg`] writes it, [`png`] turns the SVG into a picture,
//! [`pdf`] into pages.

mod bands;
mod crossing;
mod drawings;
mod error;
#[cfg(test)]
pub(crate) mod fixture;
mod label;
mod lettering;
mod map;
mod measure;
mod motif_picture;
mod paper;
mod pdf;
mod placement_guide;
mod png;
mod quilt;
mod ruler;
pub mod scene;
mod sound;
mod svg;
mod table;
mod template;
mod text_boxes;
mod view;

pub use crate::record::{MAX_BANDS, MAX_PIECES, MAX_POINTS};
pub use drawings::Drawings;
pub use error::DrawError;
pub use map::{map, map_for};
pub use measure::{
    length as shown_length, length_up as shown_length_up, number as shown_number, rotate_deg,
    unit_word,
};
pub use motif_picture::{MotifPicture, motif_picture, motif_pictures};
pub use paper::Paper;
pub use pdf::pdf;
pub use placement_guide::placement_guide;
pub use png::{MAX_PIXELS, png};
pub use quilt::quilt;
pub use scene::Scene;
pub use svg::{escape, svg, svg_inline};
pub use template::{
    MAX_SHEETS, MAX_TEMPLATES, MachineTemplate, Method, Stripes, TemplateEntry, Templates, Tick,
    Weave, machine_templates, templates,
};
pub use text_boxes::TextBox;
