//! The program as its users meet it: exit status, stdout, stderr, files.

#![expect(
    clippy::unwrap_used,
    reason = "a failed test is meant to stop and say so"
)]

mod any_args;
mod bad_input;
mod check;
mod compare;
#[cfg(unix)]
mod cut_off;
mod draw;
mod drawing;
mod in_hand;
mod kits;
mod lay;
mod limit;
mod new;
mod place;
mod quilt;
#[cfg(unix)]
mod stop;
mod swatch;
mod words;
mod yardage;
