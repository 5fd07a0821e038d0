//! What to cut with ruler and rotary cutter, and what to buy.

pub mod guillotine;
mod leftover;
mod shopping;
pub mod straight;

pub use leftover::{LEAST_SIDE_MM, largest_left};
pub use shopping::{FabricCuts, batting_need, fabric_cuts};
