//! Laying locked pieces on one cloth.
//!
//! This room knows shapes and locks; it does not know quilts, colours or files.
//! [`Job`] says what is to be laid, [`Lay`] where it lies.
//!
//! Everything here lives in the **stripe's own frame**: `u` across the stripes
//! (along their normal `n`), `v` along them (along `t`, `n` turned a quarter
//! turn counter-clockwise). On cloth with lengthwise stripes `u` is x and `v` is
//! y; on crosswise stripes `u` is y and `v` is -x; a lean turns either.

mod data;

pub use data::{Item, Job, Kind, Lay, Lock, Pose, Shape, Spot, Window};
