//! A project: the fabrics, the motifs and the habits of making, as one model, and
//! the reader of the file that describes them.
//!
//! Begin with [`Project::read`], which reports every [`Fault`] of a file at once, each with its
//! place; or with [`Project::new`], and push fabrics and motifs. [`Project::validate`] holds
//! what was built in code to the same limits, and [`Project::with`] makes the same project
//! another way: on another width, in another size.

mod broken;
mod choice;
mod drawn;
mod fabrics;
mod fans;
mod fault;
mod in_hand;
mod layers;
pub mod limits;
mod measured;
mod motifs;
mod outline;
mod part_stripes;
mod parts;
mod picture;
mod places;
#[cfg(test)]
mod places_tests;
mod quilt_context;
mod quilts;
mod read;
mod renamed;
mod section;
mod selvages;
mod slanted;
#[cfg(test)]
mod tests;
mod validate;
#[cfg(test)]
mod validate_tests;

pub use crate::length::Unit;
pub use choice::{Choice, ChoiceError};
pub use fault::Fault;
pub use read::{place_of, place_of_value};
pub use section::FilesBeside;
pub use validate::Unfit;

use crate::fabric::Fabric;
use crate::motif::{Making, Motif};
use crate::quilt::Quilt;

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
    /// So many quilts are cut at once; copies of motifs and sizes are those of one.
    pub kits: usize,
    /// The fabrics, in the file's order.
    pub fabrics: Vec<Fabric>,
    /// The motifs, in the file's order.
    pub motifs: Vec<Motif>,
    /// The quilt in its sizes; the first is the one that is planned. May be empty: a
    /// project of motifs alone.
    pub quilts: Vec<Quilt>,
}

impl Project {
    /// A project without fabrics and motifs yet, made up as is usual.
    pub fn new(title: impl Into<String>, unit: Unit) -> Self {
        Self {
            title: title.into(),
            unit,
            money: "$".to_owned(),
            making: Making::default(),
            kits: 1,
            fabrics: vec![],
            motifs: vec![],
            quilts: vec![],
        }
    }

    /// The fabric of a name.
    pub fn fabric(&self, name: &str) -> Option<&Fabric> {
        self.fabrics.iter().find(|fabric| fabric.name == name)
    }
}
