//! Fabric: its width, its stripe, its faces, and how it is sold.
//!
//! Begin with [`Fabric::plain`] or [`Fabric::striped`]; a stripe is made of [`Band`]s by
//! [`Stripe::lengthwise`], and given a second repeat by [`Stripe::with_along`] where the fabric
//! is a plaid or a print of figures. Everything else of a [`Fabric`] is set in its fields.
//!
//! The **fabric frame** has x from the left selvage over the usable width, y along
//! the length from the cut end, face up.

mod along;
mod band;
mod in_hand;
mod mirror;
mod nap;
mod picture;
mod sale;
#[cfg(test)]
pub(crate) mod sample;
pub mod squareness;
mod stripe;
mod written;

pub use along::{Along, Look};
pub use band::Band;
pub use in_hand::{InHand, ReadyCut};
pub use nap::Nap;
pub use picture::{Picture, PictureError};
pub use sale::{Sale, Step, price_of};
pub use stripe::{Run, Stripe, StripeError};

use crate::colour::Colour;

/// One fabric of a project.
#[derive(Debug, Clone, PartialEq)]
pub struct Fabric {
    /// The name by which motifs ask for it.
    pub name: String,
    /// Usable width, selvages discarded (mm).
    pub width_mm: f64,
    /// What is on it.
    pub pattern: Pattern,
    /// Which faces may show in the finished work.
    pub faces: Faces,
    /// Whether the print has an up and a down along the fabric: then no piece is
    /// ever turned about.
    pub one_way: bool,
    /// Turns that pieces may take on plain fabric (degrees counter-clockwise):
    /// `[0, 180]` keeps the grain. Stripes fix the turn by themselves.
    pub may_rotate_deg: Vec<f64>,
    /// How the look of plain fabric depends on its direction: then all pieces of a part lie one
    /// way, whatever turns are allowed. Stripes fix the direction by themselves.
    pub nap: Nap,
    /// The greatest bow that was measured: how far a line across the fabric curves from
    /// straight, along the selvage (mm); 0 for none.
    pub bow_mm: f64,
    /// What its bands add up to as they were listed, where another repeat was measured and
    /// they were scaled to it (mm).
    pub listed_repeat_mm: Option<f64>,
    /// What it looks like, where there is a picture of its stripe: drawings show it, nothing lies
    /// by it.
    pub picture: Option<Picture>,
    /// How it is sold, where that is known.
    pub sale: Option<Sale>,
    /// What of it the maker has: motifs are cut from that, and what does not fit is bought.
    /// Empty where all of it is to be bought.
    pub in_hand: Vec<InHand>,
}

/// What is woven into or printed on a fabric.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Pattern {
    /// One colour.
    Plain(Colour),
    /// Stripes.
    Striped(Stripe),
}

/// The faces of a fabric that may show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Faces {
    /// Only the right side: printed fabric.
    RightSide,
    /// Either side: yarn-dyed fabric is alike on both.
    Both,
}

impl Fabric {
    /// Plain fabric of a usable width, its right side to show; pieces keep to the grain, as
    /// they lie or turned about.
    pub fn plain(name: impl Into<String>, width_mm: f64, colour: Colour) -> Self {
        Self {
            may_rotate_deg: vec![0.0, 180.0],
            ..Self::of(name.into(), width_mm, Pattern::Plain(colour))
        }
    }

    /// Striped fabric of a usable width, its right side to show.
    pub fn striped(name: impl Into<String>, width_mm: f64, stripe: Stripe) -> Self {
        Self::of(name.into(), width_mm, Pattern::Striped(stripe))
    }

    fn of(name: String, width_mm: f64, pattern: Pattern) -> Self {
        Self {
            name,
            width_mm,
            pattern,
            faces: Faces::RightSide,
            one_way: false,
            may_rotate_deg: vec![0.0],
            nap: Nap::None,
            bow_mm: 0.0,
            listed_repeat_mm: None,
            picture: None,
            sale: None,
            in_hand: vec![],
        }
    }

    /// The turns that pieces may take on it, where it is plain (degrees).
    pub fn turns_deg(&self) -> &[f64] {
        match self.nap {
            Nap::None => &self.may_rotate_deg,
            Nap::Shot if !self.one_way => &[0.0, 180.0],
            Nap::Shot | Nap::OneWay => &[0.0],
        }
    }

    /// The stripe, if the fabric has one.
    pub fn stripe(&self) -> Option<&Stripe> {
        match &self.pattern {
            Pattern::Striped(stripe) => Some(stripe),
            Pattern::Plain(_) => None,
        }
    }
}
