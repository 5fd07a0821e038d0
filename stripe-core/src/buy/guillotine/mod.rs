//! Rectangles cut edge to edge from a strip of fixed width, as short as can be.
//!
//! A rotary cutter and a ruler cut a piece of fabric from one edge to the other, in
//! any number of stages: a *guillotine* pattern. Every such pattern is a binary
//! tree: a leaf is a rectangle, an inner node puts its two children one behind the
//! other or side by side. That choice is left open at every node: a node carries its
//! whole `shape_function`, the least length for each width, so that one tree stands for all of
//! its `2^(n-1)` patterns at once.
//!
//! Lengths are whole units of the caller's choice (micrometres for fabric): exact.

mod beam;
mod block;
mod kinds;
mod pattern;
mod prove;
mod search;
mod shape_function;
mod strip;
mod table;

pub use pattern::{Cut, CutPattern, CutSpot};

use search::Search;
use std::fmt;

/// A rectangle to be cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Rectangle {
    /// Across the strip (whole units, positive).
    pub across: i64,
    /// Along the strip (whole units, positive).
    pub along: i64,
}

/// Which pieces may be turned by a quarter: plain fabric, grain of no matter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn<'a> {
    /// None of them.
    None,
    /// All of them.
    All,
    /// Those of which it says `true`, one entry a piece.
    Each(&'a [bool]),
}

/// What is asked of the cutter.
pub struct Order<'a> {
    /// The rectangles, one entry a piece.
    pub rects: &'a [Rectangle],
    /// The strip's width (whole units).
    pub width: i64,
    /// Which pieces may be turned by a quarter.
    pub turn: Turn<'a>,
    /// Where chance begins.
    pub seed: u64,
    /// Work of each of the search's [`SEEDS`] walks, counted in blocks joined: some
    /// four million a second.
    pub tries: u64,
    /// Work of the proof that nothing shorter can be cut, counted likewise.
    pub proof: u64,
    /// Asked now and then; `true` ends the work with the best pattern so far.
    pub stop: &'a (dyn Fn() -> bool + Sync),
}

impl Order<'_> {
    /// Whether every block may be turned as a whole.
    fn turns_all(&self) -> bool {
        self.turn == Turn::All
    }

    fn may_turn(&self, piece: usize) -> bool {
        match self.turn {
            Turn::None => false,
            Turn::All => true,
            Turn::Each(may) => may.get(piece).copied().unwrap_or(false),
        }
    }
}

impl fmt::Debug for Order<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Order")
            .field("rects", &self.rects.len())
            .field("width", &self.width)
            .field("turn", &self.turn)
            .finish_non_exhaustive()
    }
}

/// Independent walks: enough to use a small machine, few enough to be quick.
pub const SEEDS: u64 = 4;

/// The pattern found, and how good it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Cutting {
    /// Where each piece lies and in which cuts it is reached.
    pub pattern: CutPattern,
    /// Length of the strip that is used (whole units).
    pub length: i64,
    /// No guillotine pattern is shorter than this (whole units).
    pub bound: i64,
}

impl Cutting {
    /// Whether the pattern is proven to be the shortest.
    pub fn is_optimal(&self) -> bool {
        self.length == self.bound
    }
}

/// Why rectangles cannot be cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum GuillotineError {
    /// There is nothing to cut.
    #[error("there is nothing to cut")]
    Nothing,
    /// More pieces than a plan can hold.
    #[error("{0} pieces are too many for one cutting plan (at most {MAX_RECTS})")]
    TooMany(usize),
    /// A side that is not above zero, or beyond reason.
    #[error("piece {0} (counted from 1) needs both sides above zero, and at most {MAX_SIDE} units")]
    Side(usize),
    /// A strip whose width is not above zero, or beyond reason.
    #[error("the strip's width must be above zero, and at most {MAX_SIDE} units")]
    Width,
    /// A piece wider than the strip.
    #[error("piece {piece} (counted from 1) is {across} units across, the strip only {width}")]
    TooWide {
        /// Counted from 1.
        piece: usize,
        /// Its width as it lies.
        across: i64,
        /// The strip's.
        width: i64,
    },
}

/// The most pieces of one call: trees of more leaves are slow to better.
pub const MAX_RECTS: usize = 4000;

/// The longest side, so that no sum of areas overflows: 30 m in micrometres.
pub const MAX_SIDE: i64 = 30_000_000;

/// Work of each walk before a proof is tried: in most cases the walk is down by then,
/// and the shorter the strip, the less a proof has to look at.
const BEFORE_PROOF: u64 = 1_000_000;

/// Cuts rectangles edge to edge from a strip, as short as the effort finds.
///
/// **Method.** First a bound: all blocks whose waste a strip could bear are built from
/// the bottom up; when none fills the strip, the bound rises by one unit, and when one
/// does, it is the answer. Then walks, by turns in two ways. Beams build blocks from the
/// bottom up as well, but keep only those that waste least, for a strip shorter than the
/// best so far; those in vain are followed by wider ones. And the best pattern is taken
/// apart, from its last joins on, into a few blocks, and these are put together again in
/// the best of *all* ways, over and over, of equally good ways one at random. The best of
/// [`SEEDS`] walks wins, whatever the number of threads. Where the pieces are few, all
/// ways of putting all of them together then prove the answer, or better it.
///
/// # Errors
/// See [`GuillotineError`].
pub fn guillotine(order: &Order<'_>) -> Result<Cutting, GuillotineError> {
    check(order)?;
    let mut verdict = prove::raise(order, prove::plain_bound(order));
    let mut search = Search::new(order);
    if verdict.pattern.is_none() {
        let may_close = order.rects.len() <= table::MOST_BLOCKS;
        let first = if may_close { BEFORE_PROOF } else { 0 };
        let first = order.tries.min(first);
        search.go_on(order, verdict.bound, first);
        verdict = prove::close(order, verdict, search.length());
        if verdict.pattern.is_none() {
            search.go_on(order, verdict.bound, order.tries - first);
        }
    }
    let found = search.pattern(order);
    let pattern = verdict
        .pattern
        .filter(|proven| proven.length <= found.length)
        .unwrap_or(found);
    let mut pattern = pattern;
    pattern.tell_apart(order);
    Ok(Cutting {
        length: pattern.length,
        bound: verdict.bound,
        pattern,
    })
}

fn check(order: &Order<'_>) -> Result<(), GuillotineError> {
    if order.rects.is_empty() {
        return Err(GuillotineError::Nothing);
    }
    if order.rects.len() > MAX_RECTS {
        return Err(GuillotineError::TooMany(order.rects.len()));
    }
    let sane = 1..=MAX_SIDE;
    if !sane.contains(&order.width) {
        return Err(GuillotineError::Width);
    }
    for (idx, rect) in order.rects.iter().enumerate() {
        if !sane.contains(&rect.across) || !sane.contains(&rect.along) {
            return Err(GuillotineError::Side(idx + 1));
        }
        let least = if order.may_turn(idx) {
            rect.across.min(rect.along)
        } else {
            rect.across
        };
        if least > order.width {
            return Err(GuillotineError::TooWide {
                piece: idx + 1,
                across: least,
                width: order.width,
            });
        }
    }
    Ok(())
}

#[cfg(test)]
mod second;
#[cfg(test)]
mod tests;
