//! How short the strip can be at all: plain bounds, then all blocks from the bottom up.
//!
//! A pattern in a strip `width x length` wastes `width * length - area`, so no block
//! in it wastes more. All blocks within that waste are built, small sets of pieces
//! first: each is two disjoint blocks, one behind the other or side by side. If the
//! work ends and no block holds every piece, no pattern is so short.

use super::block::{Block as Part, Strip, area_of};
use super::pattern::{Cut, Pattern};
use super::table::{Filled, MOST_BLOCKS, Table};
use super::{Order, Rect};
use std::collections::BTreeMap;

/// What the proof found.
#[derive(Debug)]
pub(super) struct Verdict {
    /// No pattern is shorter.
    pub(super) bound: i64,
    /// A pattern of that length, where the proof came upon one.
    pub(super) pattern: Option<Pattern>,
}

/// Sets of pieces are bits of one number.
const MAX_PIECES: usize = 128;

/// A bound that needs no search: area over width, the longest piece, and the pieces
/// that are wider than half the strip and so stand one behind another.
pub(super) fn plain_bound(order: &Order<'_>) -> i64 {
    let area: i64 = order.rects.iter().map(area_of).sum();
    let by_area = (area + order.width - 1) / order.width;
    let sides = order.rects.iter().map(|r| {
        let may_turn = order.turn && r.along <= order.width;
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
    if order.rects.len() > MOST_BLOCKS || known <= verdict.bound {
        return verdict;
    }
    let strip = Strip::new(order, known - 1);
    let pieces = Part::pieces(order);
    let filled = Table::new(strip).arrange_all(pieces, strip, order.proof, order.stop);
    match filled {
        Filled::Found(whole) => {
            verdict.pattern = whole.pattern(order.rects);
            verdict.bound = whole.length().unwrap_or(verdict.bound);
        }
        Filled::None => verdict.bound = known,
        Filled::GaveUp => {}
    }
    verdict
}

/// Blocks that the raising of the bound may build, from the bottom up.
const MOST_RAISING: usize = 8_000;

/// Raises the bound, one unit at a time, while few blocks are enough.
pub(super) fn raise(order: &Order<'_>, bound: i64) -> Verdict {
    let mut verdict = Verdict {
        bound,
        pattern: None,
    };
    if order.rects.len() > MAX_PIECES {
        return verdict;
    }
    let mut left = MOST_RAISING.min(usize::try_from(order.proof).unwrap_or(usize::MAX));
    loop {
        match Forge::new(order, verdict.bound).run(&mut left) {
            Outcome::Found(pattern) => {
                verdict.pattern = Some(pattern);
                return verdict;
            }
            Outcome::None => verdict.bound += 1,
            Outcome::GaveUp => return verdict,
        }
    }
}

enum Outcome {
    Found(Pattern),
    None,
    GaveUp,
}

/// One way of cutting a set of pieces out of a block.
#[derive(Debug, Clone, Copy)]
struct Block {
    set: u128,
    size: Rect,
    /// Area of its pieces.
    area: i64,
    /// The two blocks it is made of, or the piece itself (twice).
    made_of: (u32, u32),
}

impl Block {
    fn waste(&self) -> i64 {
        area_of(&self.size) - self.area
    }
}

/// The blocks of one attempt.
struct Forge<'a> {
    order: &'a Order<'a>,
    length: i64,
    /// Waste that the strip can bear.
    waste: i64,
    /// The thinnest piece: a gap that is narrower stays empty.
    thin_across: i64,
    thin_along: i64,
    done: Vec<Block>,
    by_across: BTreeMap<i64, Vec<u32>>,
    by_along: BTreeMap<i64, Vec<u32>>,
    /// By area of the pieces, then by set: parts come before what they make up.
    open: BTreeMap<(i64, u128), Vec<Block>>,
}

impl<'a> Forge<'a> {
    fn new(order: &'a Order<'a>, length: i64) -> Self {
        let area: i64 = order.rects.iter().map(area_of).sum();
        let thin = |side: fn(&Rect) -> i64| {
            let thinnest = |r: &Rect| {
                if order.turn {
                    r.across.min(r.along)
                } else {
                    side(r)
                }
            };
            order.rects.iter().map(thinnest).min().unwrap_or(1)
        };
        let mut forge = Self {
            order,
            length,
            waste: order.width * length - area,
            thin_across: thin(|r| r.across),
            thin_along: thin(|r| r.along),
            done: Vec::new(),
            by_across: BTreeMap::new(),
            by_along: BTreeMap::new(),
            open: BTreeMap::new(),
        };
        for (idx, &rect) in order.rects.iter().enumerate() {
            let id = u32::try_from(idx).expect("at most MAX_PIECES");
            forge.offer(1 << idx, rect, area_of(&rect), (id, id));
            if order.turn {
                let turned = Rect {
                    across: rect.along,
                    along: rect.across,
                };
                forge.offer(1 << idx, turned, area_of(&rect), (id, id));
            }
        }
        forge
    }

    /// Puts a block on the list, unless the strip cannot hold it or its waste.
    fn offer(&mut self, set: u128, mut size: Rect, area: i64, made_of: (u32, u32)) {
        if size.across > self.order.width || size.along > self.length {
            return;
        }
        // Nothing fits beside it (or behind it): the rest is its own waste.
        if self.order.width - size.across < self.thin_across {
            size.across = self.order.width;
        }
        if self.length - size.along < self.thin_along {
            size.along = self.length;
        }
        let block = Block {
            set,
            size,
            area,
            made_of,
        };
        if block.waste() <= self.waste {
            self.open.entry((area, set)).or_default().push(block);
        }
    }

    fn run(mut self, left: &mut usize) -> Outcome {
        let n = self.order.rects.len();
        let all = u128::MAX >> (MAX_PIECES - n);
        // Every attempt costs something, also one that builds nothing.
        *left = left.saturating_sub(1);
        while let Some(((_, set), mut group)) = self.open.pop_first() {
            if (self.order.stop)() {
                return Outcome::GaveUp;
            }
            group.sort_by_key(|block| block.size);
            let mut lowest = i64::MAX;
            for block in group {
                // A wider block that is no shorter is of no use.
                if block.size.along >= lowest {
                    continue;
                }
                lowest = block.size.along;
                if set == all {
                    return Outcome::Found(self.pattern(&block));
                }
                if *left == 0 {
                    return Outcome::GaveUp;
                }
                *left -= 1;
                self.pair_up(block);
            }
        }
        if *left == 0 {
            Outcome::GaveUp
        } else {
            Outcome::None
        }
    }

    /// Joins a block with every earlier one that is near enough in width or length.
    fn pair_up(&mut self, block: Block) {
        let id = u32::try_from(self.done.len()).expect("fewer blocks than a u32 counts");
        let Rect { across, along } = block.size;
        let room = self.waste - block.waste();
        let widths = across - room / self.thin_along..=across + room / along;
        let lengths = along - room / self.thin_across..=along + room / across;
        let mut made = Vec::new();
        for &other in self.by_across.range(widths).flat_map(|(_, list)| list) {
            let b = self.done[other as usize];
            let size = Rect {
                across: across.max(b.size.across),
                along: along + b.size.along,
            };
            made.push((b, size, other));
        }
        for &other in self.by_along.range(lengths).flat_map(|(_, list)| list) {
            let b = self.done[other as usize];
            let size = Rect {
                across: across + b.size.across,
                along: along.max(b.size.along),
            };
            made.push((b, size, other));
        }
        for (b, size, other) in made {
            if b.set & block.set == 0 {
                self.offer(b.set | block.set, size, b.area + block.area, (id, other));
            }
        }
        self.by_across.entry(across).or_default().push(id);
        self.by_along.entry(along).or_default().push(id);
        self.done.push(block);
    }

    fn pattern(&self, block: &Block) -> Pattern {
        Pattern {
            cut: self.cut(block),
            across: block.size.across,
            length: block.size.along,
        }
    }

    fn cut(&self, block: &Block) -> Cut {
        let (a, b) = block.made_of;
        if block.set.count_ones() == 1 {
            let rect = self.order.rects[a as usize];
            return Cut::Piece {
                rect: a as usize,
                turned: rect.across > block.size.across || rect.along > block.size.along,
            };
        }
        let (a, b) = (&self.done[a as usize], &self.done[b as usize]);
        let (first, second) = (Box::new(self.cut(a)), Box::new(self.cut(b)));
        if a.size.along + b.size.along <= block.size.along {
            Cut::Across {
                at: a.size.along,
                near: first,
                far: second,
            }
        } else {
            Cut::Along {
                at: a.size.across,
                left: first,
                right: second,
            }
        }
    }
}
