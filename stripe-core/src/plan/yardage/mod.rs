//! How much of a striped fabric a pattern needs whose next maker has another stripe: the fabric's
//! bands as wide as each repeat in question, on each width, laid and checked.
//!
//! A layout for a stripe that allows less is one for a stripe that allows more: on wider fabric, with
//! pieces turned about, with copies each at their own place. So a length found for one of these
//! stands for the others too, where it is shorter. What is told to buy is always what a layout that
//! passed [`check`](crate::check::check) takes, rounded up to the shop's step.

mod asked;
mod cell;
mod data;
mod jumps;
mod lines;
mod promise;
mod run;
#[cfg(test)]
mod tests;
mod work;

pub use data::{
    Jump, Promise, PromiseStep, StripeKind, Surplus, Yardage, YardageCell, YardageError,
    YardageNote, YardageQuestion,
};
pub use run::yardage;
