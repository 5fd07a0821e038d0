//! Cloth: its width, its stripe, its faces, and how it is sold.
//!
//! The **cloth frame** has x from the left selvage over the usable width, y along
//! the length from the cut end, face up.

mod along;
mod mirror;
mod sale;
#[cfg(test)]
pub(crate) mod sample;
pub mod squareness;
mod stripe;

pub use along::{Along, Look};
pub use sale::{Sale, Step, price_of};
pub use stripe::{Band, Run, Stripe, StripeError};

use crate::colour::Colour;

/// One cloth of a project.
#[derive(Debug, Clone, PartialEq)]
pub struct Cloth {
    /// The name by which motifs ask for it.
    pub name: String,
    /// Usable width, selvages discarded (mm).
    pub width_mm: f64,
    /// What is on it.
    pub pattern: Pattern,
    /// Which faces may show in the finished work.
    pub faces: Faces,
    /// Whether the print has an up and a down along the cloth: then no piece is
    /// ever turned about.
    pub one_way: bool,
    /// Turns that pieces may take on plain cloth (degrees counter-clockwise):
    /// `[0, 180]` keeps the grain. Stripes fix the turn by themselves.
    pub turns_deg: Vec<f64>,
    /// The greatest bow that was measured: how far a line across the cloth curves from
    /// straight, along the selvage (mm); 0 for none.
    pub bow_mm: f64,
    /// How it is sold, where that is known.
    pub sale: Option<Sale>,
}

/// What is woven into or printed on a cloth.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Pattern {
    /// One colour.
    Plain(Colour),
    /// Stripes.
    Striped(Stripe),
}

/// The faces of a cloth that may show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Faces {
    /// Only the right side: printed cloth.
    RightSide,
    /// Either side: yarn-dyed cloth is alike on both.
    Both,
}

impl Cloth {
    /// The stripe, if the cloth has one.
    pub fn stripe(&self) -> Option<&Stripe> {
        match &self.pattern {
            Pattern::Striped(stripe) => Some(stripe),
            Pattern::Plain(_) => None,
        }
    }
}
