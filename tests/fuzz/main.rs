//! Whatever a file or a line says: no panic, no hang, no hunger. Thousands of cases made by
//! chance; `STRIPELAY_FUZZ_CASES` raises the count for a run of its own, and
//! `STRIPELAY_FUZZ_SEED` begins elsewhere.

#![expect(
    clippy::unwrap_used,
    reason = "a failed test is meant to stop and say so"
)]
#![expect(
    clippy::print_stdout,
    reason = "how many cases were made, and at what cost, is what a run of them tells"
)]

mod drawings;
mod lengths;
mod pictures;
mod plans;
mod projects;
mod watch;
