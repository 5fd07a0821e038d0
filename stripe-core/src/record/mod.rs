//! A plan as it is written down: plain data, the shape of `plan.json`. Whoever makes,
//! checks or draws a plan knows these notes; they know nobody.

mod plan;
mod quilt;
mod sound;

pub use plan::{
    BesideNote, BoundKind, Buy, ByHand, FORMAT, FabricPlan, JointNote, LeastLength, Leftover,
    LessNote, MotifNote, PieceNote, Placement, Plan, ToFabric,
};
pub use quilt::{
    CreaseNote, CutsNote, LookNote, PatchNote, PieceCountNote, QuiltNote, ShoppingNote, SizeNote,
    SpotNote,
};
pub use sound::{Flaw, MAX_BANDS, MAX_PIECES, MAX_POINTS, flaws};
