//! The plan: all lays of a project, with what to buy, and how good it is.

mod beside;
mod error;
mod fabric;
mod job;
mod leftover;
mod make;
mod marks;
mod names;
mod notes;
mod order;
mod placement_guide;
mod quilt;

pub use error::Error;
pub use job::jobs;
pub use make::{Recipe, make, make_until_stopped};

pub use crate::record::{
    AlongNote, BandNote, BesideNote, Bound, BoundKind, Buy, ByHand, CreaseNote, CutsNote,
    ExactnessNote, FORMAT, FabricPlan, FigureNote, JointNote, LeftoverNote, LessNote, LookNote,
    MakingNote, MotifNote, PatchNote, PieceCountNote, PieceNote, Placement, Plan, QuiltNote,
    RoleNote, ShoppingNote, SizeNote, SpotNote, StripeNote, ToFabric, UnitNote,
};
