//! The plan: all lays of a project, with what to buy, and how good it is.

mod beside;
mod error;
mod fabric;
mod job;
mod leftover;
mod make;
mod names;
mod notes;
mod order;
mod placement_guide;
mod quilt;

pub use error::Error;
pub use job::jobs;
pub use make::{make, make_until_stopped};

pub use crate::record::{
    BesideNote, BoundKind, Buy, ByHand, Crease, CreaseNote, CutsNote, FORMAT, FabricPlan,
    JointNote, LeastLength, Leftover, LessNote, LookNote, MotifNote, PatchNote, PieceCountNote,
    PieceNote, Placement, Plan, QuiltNote, ShoppingNote, SizeNote, SpotNote, SpotOn, StripesRun,
    ToFabric,
};

pub use crate::matching::{Exactness, Meeting};
