//! Laying locked pieces on one fabric.
//!
//! This module knows shapes and locks; it does not know quilts, colours or files.
//! [`Job`] says what is to be laid, [`Layout`] where it lies; [`lay()`] finds it.
//!
//! Everything here lives in the **stripe's own frame**: `u` across the stripes
//! (along their normal `n`), `v` along them (along `t`, `n` turned a quarter
//! turn counter-clockwise). On fabric with lengthwise stripes `u` is x and `v` is
//! y; on crosswise stripes `u` is y and `v` is -x; a lean turns either.
//!
//! **Stages.** `outline` cuts each shape into slabs; `instance` numbers the lines
//! that each piece may take, and its tables keep, for two pieces and the
//! difference of their lines, the positions at which they overlap (`overlap`). From then on
//! no polygon is looked at. `first` lays at once; `beam`, `level_rows` and `touching_perimeter` build
//! many layouts piece by piece, for `starts` and `race`; `improve` leads the `search`, which
//! shortens a layout by `moves` (`plane_moves` on plain fabric), each along the `line_penalty`; `compaction` and
//! `lp_compaction` push together, `bound` says how short it could be at best (by gaps along
//! lines in `line_bound`, which weighs `line_views`; for a few pieces by `proof`), `hand` how
//! long it is by hand, in `rows`, and `run` leads them. `lots` repeats what was found of one lot.

mod beam;
mod beam_parameters;
mod bound;
mod classes;
mod compaction;
mod data;
mod depth_map;
mod effort;
mod error;
mod first;
mod fit;
mod guided_search;
mod hand;
mod improve;
mod instance;
mod level_rows;
mod line_bound;
mod line_gaps;
mod line_penalty;
mod line_supply;
mod line_views;
mod lots;
mod lp_compaction;
mod moves;
mod no_fit_table;
mod obstacles;
mod outline;
mod overlap;
mod overlap_tracker;
mod plane_moves;
mod proof;
mod race;
mod reach;
mod recreate;
mod rows;
mod run;
mod starts;
mod touching_perimeter;
#[cfg(test)]
mod trial;
mod validate;

pub use crate::record::{BoundKind, ByHand};
pub use bound::{Bound, Bounds};
pub use data::{Item, Job, Kind, Layout, Lock, Obstacles, Placement, Pose, Shape, Window};
pub use effort::{Control, Effort, Progress};
pub use error::{LayError, MAX_ITEMS, MAX_POINTS};
pub use lots::lay;
pub use run::{Outcome, first};
