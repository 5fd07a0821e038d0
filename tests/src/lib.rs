//! Fixtures and brute-force oracles shared by the tests of the whole workspace.

pub mod sample;
