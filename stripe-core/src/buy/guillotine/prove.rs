//! How short the strip can be at all: plain bounds, then all blocks from the bottom up,
//! then a table of all sets of pieces.

use super::Order;
use super::beam::{Beam, Taste, VISITS_A_JOIN, Woven};
use super::block::Block;
use super::pattern::CutPattern;
use super::strip::{Strip, area_of};
use super::table::{Filled, MOST_BLOCKS, Table};
use crate::rng::Rng;

/// What the proof found.
#[derive(Debug)]
pub(super) struct Verdict {
    /// No pattern is shorter.
    pub(super) bound: i64,
    /// A pattern of that length, where the proof came upon one.
    pub(super) pattern: Option<CutPattern>,
}

/// A bound that needs no search: area over width, the longest piece, and the pieces
/// that are wider than half the strip and so stand one behind another.
pub(super) fn plain_bound(order: &Order<'_>) -> i64 {
    let area: i64 = order.rects.iter().map(area_of).sum();
    let by_area = (area + order.width - 1) / order.width;
    let sides = order.rects.iter().enumerate().map(|(idx, r)| {
        let may_turn = order.may_turn(idx) && r.along <= order.width;
        if may_turn {
            (r.across.min(r.along), r.across.min(r.along))
        } else {
            (r.across, r.along)
        }
    });
    let longest = sides.clone().map(|(_, along)| along).max().unwrap_or(0);
    let stacked = sides
        .filter(|&(across, _)| 2 * across > order.width)
        .map(|(_, along)| along)
        .sum();
    by_area.max(longest).max(stacked)
}

/// Looks for anything shorter than a pattern that is known, where the pieces are few
/// enough for a table of all their sets: what it finds is the shortest there is, and
/// if it finds nothing, the known pattern is.
pub(super) fn close(order: &Order<'_>, mut verdict: Verdict, known: i64) -> Verdict {
    if order.rects.len() > MOST_BLOCKS {
        return verdict;
    }
    let pieces = Block::pieces(order);
    let mut table = Table::new(Strip::new(order, known));
    while verdict.bound < known {
        // The shorter the strip, the quicker: halfway up, then half of what is left.
        let strip = Strip::new(order, verdict.bound + (known - 1 - verdict.bound) / 2);
        let left = order.proof.saturating_sub(table.joins);
        match table.arrange_all(pieces.clone(), strip, left, order.stop) {
            Filled::Found(whole, length) => {
                verdict.pattern = whole.pattern(order.rects);
                verdict.bound = length;
                break;
            }
            Filled::None => verdict.bound = strip.length + 1,
            Filled::GaveUp => break,
        }
    }
    verdict
}

/// Pairs of blocks that the raising of the bound may look at: less than a tenth of a
/// second, ...
const MOST_RAISING: u64 = 20_000_000;
/// ... and what an attempt counts for at least.
const ATTEMPT: u64 = 10_000;

/// Raises the bound, one unit at a time, while that is quickly done.
pub(super) fn raise(order: &Order<'_>, bound: i64) -> Verdict {
    let mut verdict = Verdict {
        bound,
        pattern: None,
    };
    let mut left = MOST_RAISING.min(order.proof.saturating_mul(VISITS_A_JOIN));
    let mut table = Table::new(Strip::new(order, bound));
    let mut rng = Rng::new(1);
    while left > 0 {
        let pieces = Block::pieces(order);
        let Some(mut beam) = Beam::new(order, pieces, verdict.bound, Taste::ALL) else {
            break;
        };
        match beam.weave(left, &mut table, &mut rng) {
            Woven::Found(whole) => {
                verdict.pattern = whole.pattern(order.rects);
                break;
            }
            Woven::None => verdict.bound += 1,
            Woven::Lost => break,
        }
        left = left.saturating_sub(beam.visits + ATTEMPT);
    }
    verdict
}
