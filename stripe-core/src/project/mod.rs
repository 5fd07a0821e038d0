//! A project: the cloths, the motifs and the habits of making, as one model.

use crate::cloth::Cloth;
use crate::motif::{Making, Motif};

/// The unit in which a project's bare numbers are read and its lengths shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Inches, shown as fractions to 1/16; long lengths in yards.
    Inch,
    /// Centimetres; long lengths in metres.
    Centimetre,
    /// Millimetres.
    Millimetre,
}

/// All that a plan is made from.
#[derive(Debug, Clone, PartialEq)]
pub struct Project {
    /// What it is called.
    pub title: String,
    /// The unit of its numbers.
    pub unit: Unit,
    /// What money is called, for prices: "$", "EUR".
    pub money: String,
    /// How pieces are made up.
    pub making: Making,
    /// The cloths, in the file's order.
    pub cloths: Vec<Cloth>,
    /// The motifs, in the file's order.
    pub motifs: Vec<Motif>,
}
