//! A plan as it is written down: plain data, the shape of `plan.json`. Whoever makes,
//! checks or draws a plan knows these notes; they know nobody.

mod buy;
mod likely;
mod plan;
mod quilt;
mod validate;

pub use buy::{Buy, LessNote};
pub use likely::{DelicateNote, ErrorsNote, LikelyNote, Missed, MotifMissed};
pub use plan::{
    BesideNote, BoundKind, ByHand, FORMAT, FabricPlan, InHandNote, JointNote, LeastLength,
    Leftover, MotifNote, PictureNote, PieceNote, PlacedPiece, Plan, RecutNote, SpareNote,
    StripesRun, ToFabric,
};
pub use quilt::{
    Crease, CreaseNote, CutsNote, LookNote, PatchNote, PieceCountNote, QuiltNote, ShoppingNote,
    SizeNote, SpotNote, SpotOn,
};
pub use validate::{Flaw, flaws};
