//! The library behind `stripelay`.

pub mod booklet;
pub mod buy;
pub mod check;
pub mod cloth;
pub mod colour;
pub mod draw;
pub mod lay;
pub mod length;
pub mod lp;
pub mod matching;
pub mod motif;
pub mod num;
pub mod plan;
pub mod project;
pub mod quilt;
pub mod shape;
