//! What to cut with ruler and rotary cutter, and what to buy.

pub mod guillotine;
pub mod repeat;
mod shopping;
pub mod straight;

pub use shopping::{BattingNeed, ClothCuts, batting_need, cloth_cuts};
