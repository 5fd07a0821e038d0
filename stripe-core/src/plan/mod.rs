//! The plan: all lays of a project, with what to buy, and how good it is.

mod error;
mod file;
mod job;
mod make;
mod names;
mod notes;
mod placing;
mod quilt;
mod quilt_file;

pub use error::Error;
pub use make::{Recipe, make};

pub use file::{
    AlongNote, BandNote, Bound, BoundKind, Buy, ClothPlan, ExactnessNote, FORMAT, FigureNote,
    JointNote, MakingNote, MotifNote, PieceNote, Placement, Plan, RoleNote, StripeNote, ToCloth,
    UnitNote,
};
pub use quilt_file::{
    CreaseNote, CutsNote, LookNote, PatchNote, PieceCountNote, QuiltNote, ShoppingNote, SizeNote,
    SpotNote,
};
