//! What is asked of a pattern's yardage, and what is answered.

use crate::length::Unit;
use crate::motif::Copies;
use crate::plan::error::Error;
use crate::project::ChoiceError;
use crate::record::Buy;

/// So many combinations of repeat and width are asked for at most.
pub const MOST_REPEATS: usize = 200;

/// What is known of the stripe that a maker may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StripeKind {
    /// As the project's own, but for its repeat.
    AsItIs,
    /// It reads otherwise from left than from right.
    NoMirrorLine,
    /// No piece may be turned upside down.
    OneWay,
    /// Only its right side may show.
    RightSideOnly,
    /// All three of these, and beginning anywhere beside the selvage: whatever serves it, serves
    /// every stripe.
    Any,
}

impl StripeKind {
    /// Whether a layout for `self` is one for `other`.
    pub(super) fn serves(self, other: Self) -> bool {
        self == Self::Any || self == other || other == Self::AsItIs
    }
}

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct YardageQuestion {
    /// The striped fabric.
    pub fabric: String,
    /// The repeats across its stripe (mm).
    pub repeats_mm: Vec<f64>,
    /// Its usable widths (mm).
    pub widths_mm: Vec<f64>,
    /// How copies of a motif may show the stripe.
    pub copies: Vec<Copies>,
    /// For which kinds of stripe.
    pub kinds: Vec<StripeKind>,
    /// For which others besides, on the narrowest width alone.
    pub also: Vec<StripeKind>,
}

/// Why nothing can be told.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum YardageError {
    /// A project that no plan can be made of, whatever the repeat.
    #[error(transparent)]
    Plan(#[from] Error),
    /// A fabric that cannot be asked about.
    #[error(transparent)]
    Choice(#[from] ChoiceError),
    /// A fabric from which no motif is cut.
    #[error("no motif is cut from fabric `{0}`")]
    NotUsed(String),
    /// Nothing, or too much, is asked for.
    #[error("{0} repeats and widths are asked for: from 1 to {MOST_REPEATS} can be laid")]
    Count(usize),
}

/// One repeat on one width (lengths in mm).
#[derive(Debug, Clone, PartialEq)]
pub struct YardageCell {
    /// The repeat.
    pub repeat_mm: f64,
    /// The usable width.
    pub width_mm: f64,
    /// How copies show the stripe.
    pub copies: Copies,
    /// What the stripe allows.
    pub kind: StripeKind,
    /// Whether it was not asked for, but lies between two repeats where a line is lost.
    pub is_between: bool,
    /// What came of it; `Err` tells why nothing can be laid.
    pub found: Result<YardageNote, String>,
}

/// What was found for one cell (lengths in mm).
#[derive(Debug, Clone, PartialEq)]
pub struct YardageNote {
    /// The length that the motif pieces take.
    pub length_mm: f64,
    /// No layout of them is shorter.
    pub least_mm: f64,
    /// The length that straight pieces of the same fabric take besides.
    pub straight_mm: f64,
    /// What to ask for in the shop.
    pub buy: Buy,
}

/// All that was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Yardage {
    /// The fabric.
    pub fabric: String,
    /// The unit of the project.
    pub unit: Unit,
    /// By kind of stripe, copies, width and repeat; where the search was stopped, not all.
    pub cells: Vec<YardageCell>,
    /// Where a step of the shop more or less is needed, for the strictest kind that was asked for.
    pub jumps: Vec<Jump>,
    /// What can be printed in the pattern, if every repeat was laid that it speaks of.
    pub promise: Option<Promise>,
    /// So many layouts were made and checked.
    pub layouts: usize,
    /// Whether cells are missing because the search was stopped.
    pub is_cut_short: bool,
}

/// From one repeat to the next that was laid another length is asked for (lengths in mm).
#[derive(Debug, Clone, PartialEq)]
pub struct Jump {
    /// The usable width.
    pub width_mm: f64,
    /// The repeat before it, and what is bought there.
    pub from_repeat_mm: f64,
    /// See there.
    pub from_buy_mm: f64,
    /// The repeat after it, and what is bought there.
    pub to_repeat_mm: f64,
    /// See there.
    pub to_buy_mm: f64,
    /// Which pieces do it, in words.
    pub why: String,
}

/// What to buy of any stripe (lengths in mm).
#[derive(Debug, Clone, PartialEq)]
pub struct Promise {
    /// Usable width at least.
    pub width_mm: f64,
    /// The smallest repeat that was laid: nothing is promised of smaller ones.
    pub from_mm: f64,
    /// Lengths by repeat, ascending.
    pub steps: Vec<PromiseStep>,
    /// By how much it is most too much on that width; none where it is nowhere.
    pub waste: Option<Surplus>,
    /// The same on any of the widths, and for any of the stripes that were laid.
    pub waste_anywhere: Option<Surplus>,
    /// So many repeats were laid for it: asked for, and between those.
    pub asked: usize,
    /// See there.
    pub between: usize,
}

/// What to buy if the stripe repeats within a length (mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PromiseStep {
    /// The largest repeat.
    pub within_mm: f64,
    /// What to buy.
    pub buy_mm: f64,
}

/// Where a promise asks for most more than is needed (mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surplus {
    /// More than needed.
    pub by_mm: f64,
    /// For this repeat.
    pub repeat_mm: f64,
    /// On this width.
    pub width_mm: f64,
}

impl YardageCell {
    /// What to ask for in the shop (mm), if it can be laid.
    pub fn buy_mm(&self) -> Option<f64> {
        self.found.as_ref().ok().map(|note| note.buy.length_mm)
    }
}
