//! Motifs: ordered stacks of pieces about a centre.
//!
//! The **motif frame** has its origin at the motif's centre, x right, y up, seen as
//! the finished quilt is seen. A [`Motif`] is what the designer says;
//! `assemble` works out its pieces: finished lines, edge roles, cut lines, joints.

mod design;

pub use design::{Copies, Course, Ends, Fan, Form, Making, Meet, Motif, Part, Spokes, Tip};
