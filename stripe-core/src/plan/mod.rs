//! The plan: all lays of a project, with what to buy, and how good it is.

mod file;

pub use file::{
    BandNote, Bound, BoundKind, Buy, ClothPlan, FORMAT, JointNote, MakingNote, MotifNote,
    PieceNote, Placement, Plan, RoleNote, StripeNote, ToCloth, UnitNote,
};
