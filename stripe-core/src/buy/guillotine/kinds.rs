//! How many of each kind of block: equal pieces are one kind, so that a beam looks at one
//! of all the ways of telling them apart.
//!
//! Counts stand side by side in one number, each with a bit above it that stays empty.
//! Two counts add up in one addition; what would be more than there are of a kind runs
//! into that bit once the gap between the most and the next power of two is added.

use super::Order;
use super::block::Block;
use std::sync::Arc;

/// How many blocks of each kind, packed.
pub(super) type Counts = u128;

/// The kinds of some blocks.
#[derive(Debug)]
pub(super) struct Kinds {
    /// For each block the count that stands for one of its kind.
    ones: Vec<Counts>,
    gaps: Counts,
    guards: Counts,
}

impl Kinds {
    /// The kinds of blocks: pieces of one size that may be turned alike are one kind, any
    /// larger block is its own. `None` where the counts do not fit into one number.
    pub(super) fn of(order: &Order<'_>, blocks: &[Arc<Block>]) -> Option<Self> {
        let look = |block: &Block| {
            let piece = block.piece()?;
            Some((order.rects[piece], order.may_turn(piece)))
        };
        // The first block of each kind, and how many there are.
        let mut kinds: Vec<(usize, u32)> = Vec::new();
        let of: Vec<usize> = (0..blocks.len())
            .map(|idx| {
                let mine = look(&blocks[idx]);
                let same =
                    |&(first, _): &(usize, u32)| mine.is_some() && look(&blocks[first]) == mine;
                if let Some(kind) = kinds.iter().position(same) {
                    kinds[kind].1 += 1;
                    return kind;
                }
                kinds.push((idx, 1));
                kinds.len() - 1
            })
            .collect();
        let mut at = 0;
        let (mut gaps, mut guards) = (0, 0);
        let mut places = Vec::with_capacity(kinds.len());
        for &(_, most) in &kinds {
            let bits = u32::BITS - most.leading_zeros();
            if at + bits >= Counts::BITS {
                return None;
            }
            places.push(at);
            gaps |= ((1 << bits) - 1 - Counts::from(most)) << at;
            guards |= 1 << (at + bits);
            at += bits + 1;
        }
        Some(Self {
            ones: of.into_iter().map(|kind| 1 << places[kind]).collect(),
            gaps,
            guards,
        })
    }

    /// One block by itself.
    pub(super) fn one(&self, block: usize) -> Counts {
        self.ones[block]
    }

    /// Whether there are enough blocks of every kind for a sum of two counts.
    pub(super) fn suffice(&self, sum: Counts) -> bool {
        (sum + self.gaps) & self.guards == 0
    }

    /// The blocks that are left beside some: of each kind the last ones.
    pub(super) fn left(&self, taken: Counts) -> impl Iterator<Item = usize> {
        let mut taken = taken;
        (0..self.ones.len()).filter(move |&block| {
            let one = self.ones[block];
            // The bits from this kind's place up to its guard, the lowest one above.
            let above = self.guards & one.wrapping_neg();
            let field = above & above.wrapping_neg();
            let is_taken = taken & (field - one) != 0;
            if is_taken {
                taken -= one;
            }
            !is_taken
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::order;
    use super::super::{Order, Rectangle, Turn};
    use super::*;

    #[test]
    fn equal_pieces_are_counted_together() {
        let [a, b] = [(3, 5), (4, 4)].map(|(across, along)| Rectangle { across, along });
        let never = || false;
        let rects = [a, b, a, a];
        let plain = order(&rects, 9, false, &never);
        let kinds = Kinds::of(&plain, &Block::pieces(&plain)).unwrap();
        assert_eq!(kinds.one(0), kinds.one(2));
        let (a, b) = (kinds.one(0), kinds.one(1));
        assert!(kinds.suffice(3 * a + b));
        assert!(!kinds.suffice(4 * a) && !kinds.suffice(2 * b));
        let left = |taken| kinds.left(taken).collect::<Vec<_>>();
        assert_eq!(left(0), [0, 1, 2, 3]);
        assert_eq!(left(2 * a), [1, 3]);
        assert_eq!(left(a + b), [2, 3]);
        assert_eq!(left(3 * a + b), [0; 0]);
        // Those that may not be turned are none of the others.
        let turns = [true, true, false, true];
        let each = Order {
            turn: Turn::Each(&turns),
            ..plain
        };
        let kinds = Kinds::of(&each, &Block::pieces(&each)).unwrap();
        assert_ne!(kinds.one(0), kinds.one(2));
    }
}
