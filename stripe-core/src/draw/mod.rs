//! Drawings of a plan: everything here is made from a [`Plan`](crate::plan::Plan)
//! alone, and returned as text or bytes; no file is touched.
//!
//! Begin with [`map`], [`motif_pictures`], [`quilt()`] or [`templates`]; [`Drawings`] makes all of
//! them at once. A drawing is a [`Scene`]: [`svg`] writes it, [`png`] turns the SVG into a picture,
//! [`pdf`] into pages.

mod bands;
mod crossing;
mod drawings;
mod error;
#[cfg(test)]
pub(crate) mod fixture;
mod lettering;
mod map;
mod measure;
mod motif_picture;
mod nap;
mod paper;
mod pattern;
mod pdf;
mod placement_guide;
mod png;
mod quilt;
mod ruler;
pub mod scene;
mod svg;
mod table;
mod template;
mod text_boxes;
mod validate;
mod view;
mod woven;

pub use drawings::Drawings;
pub use error::DrawError;
pub(crate) use lettering::{whole_lengths, width_mm as text_width, wrap as wrap_words};
pub use map::{map, map_for};
pub use measure::rotate_deg;
pub(crate) use measure::{
    length as shown_length, length_up as shown_length_up, number as shown_number,
    place as shown_place, unit_word,
};
pub use motif_picture::{MotifPicture, motif_picture, motif_pictures};
pub use paper::Paper;
pub use pattern::{Move, SlidApart, any_stripe, quilt_lines, slid_apart};
pub(crate) use pattern::{assembly_diagram, fabric_letters, offset_pictures, slid_picture};
pub use pdf::pdf;
pub use placement_guide::placement_guide;
pub use png::{MAX_PIXELS, png};
pub use quilt::quilt;
pub use scene::Scene;
pub use svg::svg;
pub(crate) use svg::{escape, svg_inline};
pub use template::{
    MAX_SHEETS, MAX_TEMPLATES, MachineTemplate, Method, Stripes, TemplateEntry, Templates, Tick,
    Weave, machine_templates, templates,
};

#[doc(hidden)]
/// What the legends of maps and templates call their lines and marks, each once; the glossary
/// explains all of them.
pub fn legend_words() -> Vec<&'static str> {
    let templates = template::LEGEND.iter().map(|key| key.shortly());
    let mut words: Vec<_> = map::LEGEND.into_iter().chain(templates).collect();
    words.sort_unstable();
    words.dedup();
    words
}
