//! The plan: all layouts of a project, with what to buy, and how good it is.
//!
//! Begin with [`make`]. The [`Plan`] that comes back holds a [`FabricPlan`] for each fabric
//! that motifs are cut from, the joints, and the quilt with its straight cuts if the project
//! has one. It is plain data, written and read with serde as `plan.json`: lengths in
//! millimetres, under keys that say so less often than the fields do (`width` for `width_mm`).

mod bare;
mod beside;
mod drift;
mod error;
mod fabric;
mod in_hand;
mod job;
mod leftover;
mod likely;
mod make;
mod marks;
mod names;
mod notes;
mod order;
mod placement_guide;
mod quilt;
mod recut;
mod spares;
mod spread;
mod warnings;
mod ways_out;
mod yardage;

pub use error::Error;
pub use job::jobs;
pub use likely::likely;
pub use make::{make, make_until_stopped};
pub use recut::{Happened, Measured, RecutError, recut};
pub use ways_out::as_many;
pub use yardage::{
    Jump, Promise, PromiseStep, StripeKind, Surplus, Yardage, YardageCell, YardageError,
    YardageNote, YardageQuestion, yardage,
};

pub use crate::record::{
    BesideNote, BoundKind, Buy, ByHand, Crease, CreaseNote, CutsNote, DelicateNote, ErrorsNote,
    FORMAT, FabricPlan, InHandNote, JointNote, LeastLength, Leftover, LessNote, LikelyNote,
    LookNote, Missed, MotifMissed, MotifNote, PatchNote, PictureNote, PieceCountNote, PieceNote,
    PlacedPiece, Plan, QuiltNote, RecutNote, ShoppingNote, SizeNote, SpareNote, SpotNote, SpotOn,
    StripesRun, ToFabric,
};

pub use crate::matching::{Exactness, Meeting};
