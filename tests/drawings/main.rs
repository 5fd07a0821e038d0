//! Drawings of the demo's own plan, looked at from outside: pages as poppler renders
//! them, the booklet as a browser runs it.

#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a failed test is meant to stop and say so"
)]

mod booklet;
mod browser;
mod demo;
mod layout;
mod outside;
mod paper;
mod pattern;
mod printed;
mod reach;
mod sheets;
mod stays;
mod woven;
