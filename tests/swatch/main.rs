//! The stripe read from pictures: fabric with a known stripe, the same picture measured by
//! other software, and pictures that are at fault.

#![expect(
    clippy::unwrap_used,
    reason = "a failed test is meant to stop and say so"
)]
mod example;
mod fabric;
mod hostile;
mod known;
mod outside;
mod straight;
mod truth;

use stripe_core::internals::rng::Rng;
