//! Drawings of a pattern: for makers who have another stripe than the plan's. Nothing here
//! shows the designer's colours, and all that is measured is measured from a line in the
//! maker's own stripe, the *centre line*.

mod apart;
mod layout;
mod line_art;
mod natural;
mod slid;

pub use apart::{Move, SlidApart, slid_apart};
pub use layout::quilt_lines;
pub use line_art::{assembly_diagram, offset_pictures};
pub use natural::{any_stripe, fabric_letters};
pub use slid::slid_picture;
