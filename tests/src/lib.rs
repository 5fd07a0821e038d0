//! Fixtures and brute-force oracles shared by the tests of the whole house.

pub mod dice;
pub mod sample;
