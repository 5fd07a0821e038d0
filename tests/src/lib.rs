//! Fixtures and brute-force oracles shared by the tests of the whole workspace.

pub mod sample;

/// How many cases of a test with random input are made: what the environment variable says, for
/// a run of its own, or so many, which everybody has time for.
///
/// # Panics
/// A variable that is no whole number.
pub fn asked(variable: &str, usual: u64) -> u64 {
    std::env::var(variable).map_or(usual, |text| {
        text.parse()
            .unwrap_or_else(|_| panic!("{variable} is a whole number, not {text}"))
    })
}
