//! Motifs: ordered stacks of pieces about a centre.
//!
//! Begin with [`Motif::new`], and give it parts, the bottom layer first: [`Part::new`] with a
//! [`Fan`] for wedges, discs and rings, or with the corners of a drawn outline.
//!
//! The **motif frame** has its origin at the motif's centre, x right, y up, seen as
//! the finished quilt is seen. A [`Motif`] is what the designer says;
//! [`assemble`] works out its pieces: finished lines, edge roles, cut lines, joints.

mod assemble;
mod clips;
mod code;
mod design;
mod fan;
mod joints;
mod piece;
mod remarks;
mod roles;

pub use assemble::{MotifError, OutlineError, assemble, outline_ring};
pub use code::{code_capitals, letters};
pub use design::{
    Copies, Ends, Fan, Form, Ground, Making, Meet, Motif, Part, PartStripes, Spokes, Tip,
};
pub use fan::FanError;
pub use piece::{Assembly, Joint, Piece};
pub use remarks::{Remark, overlap_radius_mm};
pub use roles::Role;
