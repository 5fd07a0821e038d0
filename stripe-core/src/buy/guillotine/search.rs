//! Taking a pattern apart and putting it together again.

use super::beam::{Beam, MOST_NODES, Taste, VISITS_A_JOIN, Woven};
use super::block::Block;
use super::kinds::Kinds;
use super::pattern::CutPattern;
use super::strip::Strip;
use super::table::Table;
use super::{Order, SEEDS};
use crate::rng::Rng;
use rayon::prelude::*;
use std::sync::Arc;

/// Blocks that a pattern is taken apart into: few at first, more where that does not
/// shorten it any longer. Work grows threefold with each.
const FEWEST: usize = 8;
const MOST: usize = 11;
/// Attempts in vain before a pattern is taken apart into one block more.
const PATIENCE: usize = 40;
/// Pairs looked at for each join of a new pattern.
const GLANCES: usize = 12;
/// Blocks that the best pattern falls into before it is joined anew.
const FRAGMENTS: usize = 6;

/// Blocks that a beam keeps of all numbers of pieces together, at first.
const NARROWEST: f64 = 8000.0;
/// How much wider a beam is after one in vain.
const WIDENING: f64 = 1.6;
/// How much chance counts in a beam, by chance.
const NOISES: [f64; 4] = [0.0, 0.05, 0.1, 0.2];
/// Pieces beyond which every other beam joins parts of the best pattern instead.
const MANY: usize = 30;
/// Work of beams for each of steps.
const BEAMS: u64 = 2;
/// Work before the first beam: a pattern that says how short to try.
const BEFORE_BEAMS: u64 = 100_000;

/// Walks that can be gone on with.
#[derive(Debug)]
pub(super) struct Search {
    walks: Vec<Walk>,
}

impl Search {
    /// Walks that stand at a simple pattern each.
    pub(super) fn new(order: &Order<'_>) -> Self {
        let walks = (0..SEEDS).map(|seed| Walk::new(order, seed)).collect();
        Self { walks }
    }

    /// Lets every walk join `tries` blocks more, unless one comes down to the bound.
    pub(super) fn go_on(&mut self, order: &Order<'_>, bound: i64, tries: u64) {
        self.walks
            .par_iter_mut()
            .for_each(|walk| walk.go_on(order, bound, tries));
    }

    /// The best pattern so far.
    pub(super) fn best(&self) -> &Arc<Block> {
        // The first of equals: the winner does not hang on the number of threads.
        let best = self.walks.iter().min_by_key(|walk| walk.best_length);
        &best.expect("SEEDS is above zero").best
    }

    /// The length of the best pattern.
    pub(super) fn length(&self) -> i64 {
        self.best()
            .length()
            .expect("every pattern lies on the strip")
    }

    /// The best pattern in full.
    pub(super) fn pattern(&self, order: &Order<'_>) -> CutPattern {
        let pattern = self.best().pattern(order.rects);
        pattern.expect("every pattern lies on the strip")
    }
}

/// One walk: from a new pattern down until it is stuck, then from another; by turns one
/// of single pieces, and one of the fragments of the best.
#[derive(Debug)]
struct Walk {
    rng: Rng,
    table: Table,
    best: Arc<Block>,
    best_length: i64,
    here: Arc<Block>,
    length: i64,
    /// Attempts in vain since the last that shortened the pattern.
    vain: usize,
    /// Whether the next new pattern is to be made of single pieces.
    is_fresh_next: bool,
    /// Work done by steps and by beams.
    stepped: u64,
    beamed: u64,
    /// How wide the next beam is, and how much shorter than the best it is to be.
    width: f64,
    shorter: i64,
    /// Whether the last beam was one of parts of the best pattern.
    is_apart_next: bool,
    /// Whether beams can tell the pieces' kinds apart.
    is_few_kinds: bool,
}

impl Walk {
    fn new(order: &Order<'_>, seed: u64) -> Self {
        let mut rng = Rng::new(order.seed.wrapping_mul(SEEDS).wrapping_add(seed + 1));
        let (here, length) = join_up(order, Block::pieces(order), &mut rng);
        Self {
            rng,
            table: Table::new(Strip::new(order, length)),
            best: Arc::clone(&here),
            best_length: length,
            here,
            length,
            vain: 0,
            is_fresh_next: false,
            stepped: 0,
            beamed: 0,
            width: NARROWEST / order.rects.len() as f64,
            shorter: i64::MAX,
            is_apart_next: true,
            is_few_kinds: Kinds::of(order, &Block::pieces(order)).is_some(),
        }
    }

    fn go_on(&mut self, order: &Order<'_>, bound: i64, tries: u64) {
        let until = (self.stepped + self.beamed).saturating_add(tries);
        // What is never split cannot be shortened either.
        while order.rects.len() > 1
            && self.stepped + self.beamed < until
            && self.best_length > bound
            && !(order.stop)()
        {
            let before = self.table.joins;
            let is_beam_next = self.is_few_kinds
                && self.stepped > BEFORE_BEAMS
                && self.beamed < BEAMS * self.stepped;
            if is_beam_next {
                let left = until - self.stepped - self.beamed;
                self.beamed += self.beam(order, bound, left) + self.table.joins - before;
            } else {
                self.go(order);
                // Also an attempt that joins nothing counts: the walk must end.
                self.stepped += self.table.joins - before + 1;
            }
        }
    }

    /// Looks for a shorter pattern from the bottom up; returns its work.
    fn beam(&mut self, order: &Order<'_>, bound: i64, most: u64) -> u64 {
        let gap = self.best_length - bound;
        let least = (self.best_length / 400).clamp(1, gap);
        self.shorter = self.shorter.min((gap + 1) / 2).max(least);
        let n = order.rects.len();
        self.is_apart_next = !self.is_apart_next && n > MANY;
        let pieces = if self.is_apart_next {
            let parts = MANY - self.rng.below(MANY / 3);
            apart(&self.best, parts, &mut self.rng)
        } else {
            Block::pieces(order)
        };
        let taste = self.taste(pieces.len());
        let length = self.best_length - self.shorter;
        let Some(mut beam) = Beam::new(order, pieces, length, taste) else {
            return 1;
        };
        let most = most.saturating_mul(VISITS_A_JOIN);
        let woven = beam.weave(most, &mut self.table, &mut self.rng);
        if let Woven::Found(made) = woven {
            self.take(made);
            self.here = Arc::clone(&self.best);
            self.length = self.best_length;
            self.vain = 0;
        } else if self.shorter > least {
            self.shorter /= 2;
        } else {
            self.width *= WIDENING;
            self.shorter = self.shorter.saturating_mul(2);
        }
        beam.visits / VISITS_A_JOIN + 1
    }

    fn taste(&mut self, pieces: usize) -> Taste {
        let widest = (MOST_NODES / pieces) as f64;
        if self.width > widest {
            self.width = widest / 4.0;
        }
        Taste {
            width: self.width as usize,
            is_all: false,
            noise: NOISES[self.rng.below(NOISES.len())],
        }
    }

    /// A pattern, if it is shorter than the best.
    fn take(&mut self, made: Arc<Block>) {
        if let Some(length) = made.length()
            && length < self.best_length
        {
            self.best = made;
            self.best_length = length;
        }
    }

    /// One step of the walk.
    fn go(&mut self, order: &Order<'_>) {
        let parts = FEWEST + self.vain / PATIENCE;
        if parts > MOST {
            let blocks = if self.is_fresh_next {
                Block::pieces(order)
            } else {
                apart(&self.best, FRAGMENTS, &mut self.rng)
            };
            (self.here, self.length) = join_up(order, blocks, &mut self.rng);
            self.is_fresh_next = !self.is_fresh_next;
            self.vain = 0;
        } else {
            self.step(order, parts);
        }
        self.take(Arc::clone(&self.here));
    }

    /// Takes the pattern apart and puts it together as short as its parts allow:
    /// never longer than it was, as the way that it was is one of them.
    fn step(&mut self, order: &Order<'_>, parts: usize) {
        let blocks = apart(&self.here, parts, &mut self.rng);
        let strip = Strip::new(order, self.length);
        self.vain += 1;
        if let Some(made) = self.table.arrange(blocks, strip, &mut self.rng)
            && let Some(length) = made.length()
        {
            if length < self.length {
                self.vain = 0;
            }
            self.here = made;
            self.length = length;
        }
    }
}

/// Undoes joins at random, from the last one on, until there are so many blocks.
fn apart(whole: &Arc<Block>, parts: usize, rng: &mut Rng) -> Vec<Arc<Block>> {
    let mut blocks = vec![Arc::clone(whole)];
    while blocks.len() < parts {
        let joined: Vec<usize> = (0..blocks.len())
            .filter(|&i| blocks[i].parts().is_some())
            .collect();
        if joined.is_empty() {
            break;
        }
        let block = blocks.swap_remove(joined[rng.below(joined.len())]);
        if let Some((a, b)) = block.parts() {
            blocks.push(Arc::clone(a));
            blocks.push(Arc::clone(b));
        }
    }
    blocks
}

/// A pattern of blocks: again and again joins the pair that wastes least of some drawn
/// at random.
fn join_up(order: &Order<'_>, mut blocks: Vec<Arc<Block>>, rng: &mut Rng) -> (Arc<Block>, i64) {
    let endless = Strip {
        width: order.width,
        length: i64::MAX / 4,
        waste: i64::MAX / 4,
        turn: order.turns_all(),
    };
    while blocks.len() > 1 {
        let pairs = (0..GLANCES).map(|_| {
            let a = rng.below(blocks.len());
            let b = (a + 1 + rng.below(blocks.len() - 1)) % blocks.len();
            (a.max(b), a.min(b))
        });
        let (a, b, block) = pairs
            .map(|(a, b)| (a, b, Block::pair(&blocks[a], &blocks[b], &endless)))
            .min_by(|x, y| wasted(&x.2).total_cmp(&wasted(&y.2)))
            .expect("some pairs were drawn");
        blocks.swap_remove(a);
        blocks.swap_remove(b);
        blocks.push(block);
    }
    let whole = blocks.pop().expect("an order has pieces");
    let length = whole
        .length()
        .expect("on an endless strip all patterns lie");
    (whole, length)
}

/// The share of a block that is waste, at its best corner.
fn wasted(block: &Block) -> f64 {
    let corners = block.shape_function.iter();
    let shares = corners.map(|c| (c.across * c.along - block.area) as f64 / block.area as f64);
    shares.fold(f64::INFINITY, f64::min)
}
