//! The library behind `stripelay`.

pub mod lay;
pub mod lp;
pub mod num;
pub mod shape;
