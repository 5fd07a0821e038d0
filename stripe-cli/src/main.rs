//! The program `stripelay`.

fn main() {}
