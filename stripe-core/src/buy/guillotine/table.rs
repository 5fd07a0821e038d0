//! The best way of putting a few blocks together: all of them, for every set of them.

use super::Rectangle;
use super::block::Block;
use super::shape_function::{ShapeFunction, Sieve, length_at, thin, width_at};
use super::strip::Strip;
use crate::rng::Rng;
use rayon::prelude::*;
use std::sync::Arc;

/// The most blocks of one table: a quarter of a million sets.
pub(super) const MOST_BLOCKS: usize = 18;
/// More than any waste, and still safe to add to.
const NEVER: i64 = i64::MAX / 8;

/// For every set of some blocks the shape_function of all its patterns.
///
/// **Method.** A pattern of a set is two patterns of two smaller sets, one behind the
/// other or side by side: every split of every set is tried, small sets first. A set
/// may waste what the strip bears less what the other blocks waste by themselves; and
/// where none of them fits beside a pattern, the rest of the width is its own waste.
/// Neither leaves out any pattern that fits the strip.
#[derive(Debug)]
pub(super) struct Table {
    strip: Strip,
    sets: Vec<Set>,
    /// Least waste of a pattern of each set; of one block, what it wastes anyway. Apart
    /// from the rest, as it is asked for far more often.
    wastes: Vec<i64>,
    blocks: Vec<Arc<Block>>,
    sieve: Sieve,
    /// Splits tried so far, over all uses of the table: the measure of work.
    pub(super) joins: u64,
}

#[derive(Debug, Default)]
struct Set {
    shape_function: ShapeFunction,
    area: i64,
    /// What its blocks waste by themselves.
    own_waste: i64,
    /// The narrowest and the shortest of its blocks.
    least_across: i64,
    least_along: i64,
}

/// What came of filling a table.
#[derive(Debug)]
pub(super) enum Filled {
    /// A pattern of all blocks, and the least length there is: the pattern's own, unless
    /// its shape_function have too many corners to keep them all.
    Found(Arc<Block>, i64),
    /// The strip is too short for any pattern.
    None,
    /// The work or the caller ended first.
    GaveUp,
}

impl Table {
    pub(super) fn new(strip: Strip) -> Self {
        Self {
            strip,
            sets: Vec::new(),
            wastes: Vec::new(),
            blocks: Vec::new(),
            sieve: Sieve::new(strip.width),
            joins: 0,
        }
    }

    /// Puts blocks (at most [`MOST_BLOCKS`]) together as short as can be within a strip;
    /// of equally good ways one at random.
    pub(super) fn arrange(
        &mut self,
        blocks: Vec<Arc<Block>>,
        strip: Strip,
        rng: &mut Rng,
    ) -> Option<Arc<Block>> {
        self.begin(blocks, strip);
        let all = self.all();
        if self.sets[all].own_waste > strip.waste {
            return None;
        }
        let mut sieve = std::mem::replace(&mut self.sieve, Sieve::new(strip.width));
        for set in 1..=all {
            if !set.is_power_of_two() {
                let mut shape_function = std::mem::take(&mut self.sets[set].shape_function);
                self.joins += self.fill(set, &mut sieve, &mut shape_function);
                thin(&mut shape_function);
                self.keep(set, shape_function);
            }
        }
        self.sieve = sieve;
        let corner = *self.sets[all].shape_function.last()?;
        Some(self.trace(all, corner, rng))
    }

    /// The same for many blocks at once, on all threads; ends after `most` splits.
    pub(super) fn arrange_all(
        &mut self,
        blocks: Vec<Arc<Block>>,
        strip: Strip,
        most: u64,
        stop: &(dyn Fn() -> bool + Sync),
    ) -> Filled {
        let n = blocks.len();
        self.begin(blocks, strip);
        let all = self.all();
        if self.sets[all].own_waste > strip.waste {
            return Filled::None;
        }
        let from = self.joins;
        for size in 2..=n {
            let level: Vec<usize> = (1..=all)
                .filter(|set| set.count_ones() as usize == size)
                .collect();
            // In pieces, so that the work and the stop signal are looked at.
            for sets in level.chunks(1024) {
                if stop() || self.joins - from > most {
                    return Filled::GaveUp;
                }
                let filled: Vec<(ShapeFunction, u64)> = sets
                    .par_iter()
                    .map_init(
                        || Sieve::new(strip.width),
                        |sieve, &set| {
                            let mut shape_function = ShapeFunction::new();
                            let joins = self.fill(set, sieve, &mut shape_function);
                            (shape_function, joins)
                        },
                    )
                    .collect();
                for (&set, (shape_function, joins)) in sets.iter().zip(filled) {
                    self.joins += joins;
                    self.keep(set, shape_function);
                }
            }
        }
        match self.sets[all].shape_function.last() {
            Some(&corner) => {
                let whole = self.trace(all, corner, &mut Rng::new(1));
                Filled::Found(whole, corner.along)
            }
            None => Filled::None,
        }
    }

    fn all(&self) -> usize {
        (1 << self.blocks.len()) - 1
    }

    /// The sets of one block, and what is known of every set at once.
    fn begin(&mut self, blocks: Vec<Arc<Block>>, strip: Strip) {
        debug_assert!((1..=MOST_BLOCKS).contains(&blocks.len()));
        self.strip = strip;
        self.blocks = blocks;
        let all = self.all();
        self.sets.resize_with(all + 1, Set::default);
        self.wastes.clear();
        self.wastes.resize(all + 1, NEVER);
        self.sets[0].least_across = NEVER;
        self.sets[0].least_along = NEVER;
        for (idx, block) in self.blocks.iter().enumerate() {
            let set = &mut self.sets[1 << idx];
            let fits = |c: &&Rectangle| {
                c.along <= strip.length && c.across * c.along <= block.area + strip.waste
            };
            set.shape_function.clear();
            set.shape_function
                .extend(block.shape_function.iter().filter(fits));
            set.area = block.area;
            set.own_waste = least_waste(&set.shape_function, block.area);
            self.wastes[1 << idx] = set.own_waste;
            set.least_across = set.shape_function.first().map_or(NEVER, |c| c.across);
            set.least_along = set.shape_function.last().map_or(NEVER, |c| c.along);
        }
        for set in 1..=all {
            let one = set & set.wrapping_neg();
            if set != one {
                let (a, b) = (&self.sets[one], &self.sets[set ^ one]);
                let known = Set {
                    area: a.area + b.area,
                    own_waste: (a.own_waste + b.own_waste).min(NEVER),
                    least_across: a.least_across.min(b.least_across),
                    least_along: a.least_along.min(b.least_along),
                    shape_function: ShapeFunction::new(),
                };
                let shape_function = std::mem::take(&mut self.sets[set].shape_function);
                self.sets[set] = Set {
                    shape_function,
                    ..known
                };
            }
        }
    }

    fn keep(&mut self, set: usize, shape_function: ShapeFunction) {
        let kept = &mut self.sets[set];
        self.wastes[set] = least_waste(&shape_function, kept.area);
        kept.shape_function = shape_function;
    }

    /// What a set may waste: the other blocks waste something by themselves.
    fn room_to_waste(&self, set: usize) -> i64 {
        self.strip.waste - self.sets[self.all() ^ set].own_waste
    }

    /// Tries every split of a set; returns how many it joined.
    fn fill(&self, set: usize, sieve: &mut Sieve, shape_function: &mut ShapeFunction) -> u64 {
        let strip = self.strip;
        let waste = self.room_to_waste(set);
        let room = self.sets[set].area + waste;
        let mut joins = 0;
        for (a, b) in splits(set) {
            if self.wastes[a] + self.wastes[b] <= waste {
                let (a, b) = (&self.sets[a], &self.sets[b]);
                joins += 1;
                sieve.join(&a.shape_function, &b.shape_function, &strip, room);
            }
        }
        let others = &self.sets[self.all() ^ set];
        if set != self.all() {
            let thin = (others.least_across, others.least_along);
            sieve.widen(room, |corner| *corner = strip.filled(*corner, thin));
        }
        sieve.drain_into(shape_function);
        joins
    }

    /// One of the patterns of a set that end at a corner, drawn at random.
    fn trace(&self, set: usize, corner: Rectangle, rng: &mut Rng) -> Arc<Block> {
        if set.is_power_of_two() {
            return Arc::clone(&self.blocks[set.trailing_zeros() as usize]);
        }
        let waste = self.room_to_waste(set);
        let mut drawn = None;
        let mut seen = 0;
        let mut offer = |a: (usize, Rectangle), b: (usize, Rectangle)| {
            seen += 1;
            if rng.below(seen) == 0 {
                drawn = Some((a, b));
            }
        };
        for (a, b) in splits(set) {
            if self.wastes[a] + self.wastes[b] > waste {
                continue;
            }
            let (sa, sb) = (&self.sets[a], &self.sets[b]);
            let Rectangle { across, along } = corner;
            let at = |across, along| Rectangle { across, along };
            if let (Some(near), Some(far)) = (
                length_at(&sa.shape_function, across),
                length_at(&sb.shape_function, across),
            ) && near + far <= along
            {
                offer((a, at(across, near)), (b, at(across, far)));
            }
            if let (Some(left), Some(right)) = (
                width_at(&sa.shape_function, along),
                width_at(&sb.shape_function, along),
            ) && left + right <= across
            {
                offer((a, at(left, along)), (b, at(right, along)));
            } else if self.strip.has_mirror()
                && let (Some(near), Some(far)) = (
                    length_at(&sa.shape_function, along),
                    length_at(&sb.shape_function, along),
                )
                && near + far <= across
            {
                // One behind the other, then turned: thinned shape_function may show it only so.
                offer((a, at(along, near)), (b, at(along, far)));
            }
        }
        let (a, b) = drawn.expect("every corner was made by a split");
        let (a, b) = (self.trace(a.0, a.1, rng), self.trace(b.0, b.1, rng));
        Block::pair(&a, &b, &self.strip)
    }
}

fn least_waste(shape_function: &[Rectangle], area: i64) -> i64 {
    let waste = shape_function.iter().map(|c| c.across * c.along - area);
    waste.min().unwrap_or(NEVER)
}

/// All ways of dividing a set of two or more in two, each once.
fn splits(set: usize) -> impl Iterator<Item = (usize, usize)> {
    let rest = set & (set - 1);
    let mut part = rest;
    std::iter::from_fn(move || {
        if part == 0 {
            return None;
        }
        let split = (part, set ^ part);
        part = (part - 1) & rest;
        Some(split)
    })
}
