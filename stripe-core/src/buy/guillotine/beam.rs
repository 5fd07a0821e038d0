//! Blocks from the bottom up: of each number of pieces the best few, or all there are.
//!
//! A pattern in a strip `width x length` wastes `width * length - area`, so no block in
//! it wastes more; and a join wastes what its sides differ by, so a block finds those
//! that it can be joined with in a list sorted by side. Where nothing is dropped and no
//! block holds all pieces, no pattern is so short. Where a block may waste only a part of
//! that, the less the smaller it is, and few are kept, good patterns are found in
//! no time: most of them are put together of blocks that hardly waste anything.

use super::block::Block;
use super::kinds::{Counts, Kinds};
use super::strip::{Strip, area_of};
use super::table::Table;
use super::{Order, Rectangle};
use crate::rng::Rng;
use std::sync::Arc;

/// What a beam takes for good.
#[derive(Debug, Clone, Copy)]
pub(super) struct Taste {
    /// Blocks kept of each number of pieces.
    pub(super) width: usize,
    /// Whether a block may waste all that the strip bears, however small it is.
    pub(super) is_all: bool,
    /// How much chance counts: 0.1 is a tenth of the waste.
    pub(super) noise: f64,
}

/// What came of a beam.
#[derive(Debug)]
pub(super) enum Woven {
    /// A pattern of all pieces that fits the strip.
    Found(Arc<Block>),
    /// There is none: every block that the strip could bear was looked at.
    None,
    /// None among the blocks that were looked at.
    Lost,
}

/// Blocks of one beam that memory bears: some 60 MB.
pub(super) const MOST_NODES: usize = 400_000;

/// Pairs that are looked at in the time of one join of the table.
pub(super) const VISITS_A_JOIN: u64 = 64;

/// What a node of a single block is made of besides it.
const ALONE: u32 = u32::MAX;

/// Pieces left when a beam's best blocks are given to the table, ...
const REST: usize = 9;
/// ... and the share of the beam's width that is given.
const COMPLETED: usize = 64;
/// Share of the strip's waste that the smallest blocks may have.
const EARLY: f64 = 0.1;
/// The area's share of waste that a block without any counts for: of two without waste
/// the larger is the better.
const LEAST_WASTE: f64 = 1.0 / 40_000.0;

impl Taste {
    /// Everything that the strip bears.
    pub(super) const ALL: Self = Self {
        width: MOST_NODES,
        is_all: true,
        noise: 0.0,
    };
}

/// One way of cutting a set of pieces out of a block.
#[derive(Debug, Clone, Copy)]
struct TreeNode {
    set: Counts,
    /// Where pieces may be turned, the shorter side.
    across: i64,
    along: i64,
    /// Area of its pieces.
    area: i64,
    score: f64,
    /// The two nodes it is made of, or a block and `ALONE`.
    made: (u32, u32),
}

/// A node as it is found by one of its sides.
#[derive(Debug, Clone, Copy)]
struct Entry {
    set: Counts,
    side: i64,
    other: i64,
    area: i64,
    id: u32,
}

/// All nodes of one number of pieces.
#[derive(Debug, Default)]
struct Level {
    /// By the side that is joined: the width, then the length; where pieces may be
    /// turned, both in the first.
    lists: [Vec<Entry>; 2],
    most_area: i64,
}

/// The blocks of one attempt.
#[derive(Debug)]
pub(super) struct Beam<'a> {
    order: &'a Order<'a>,
    pieces: Vec<Arc<Block>>,
    kinds: Kinds,
    strip: Strip,
    taste: Taste,
    area: i64,
    /// The thinnest piece across and along: a gap that is narrower stays empty.
    thin: (i64, i64),
    nodes: Vec<TreeNode>,
    levels: Vec<Level>,
    made: Vec<TreeNode>,
    /// Scores from here on are of no use.
    cut: f64,
    has_dropped: bool,
    /// Pairs of blocks looked at so far: the measure of work.
    pub(super) visits: u64,
}

impl<'a> Beam<'a> {
    /// A beam for a strip of a length; none where the pieces are of too many kinds.
    pub(super) fn new(
        order: &'a Order<'a>,
        pieces: Vec<Arc<Block>>,
        length: i64,
        taste: Taste,
    ) -> Option<Self> {
        let thinnest = |side: fn(&Rectangle) -> i64| {
            let thin = |(idx, r): (usize, &Rectangle)| {
                if order.may_turn(idx) {
                    r.across.min(r.along)
                } else {
                    side(r)
                }
            };
            order.rects.iter().enumerate().map(thin).min().unwrap_or(1)
        };
        Some(Self {
            order,
            kinds: Kinds::of(order, &pieces)?,
            pieces,
            strip: Strip::new(order, length),
            taste,
            area: order.rects.iter().map(area_of).sum(),
            thin: (thinnest(|r| r.across), thinnest(|r| r.along)),
            nodes: Vec::new(),
            levels: vec![Level::default()],
            made: Vec::new(),
            cut: f64::INFINITY,
            has_dropped: false,
            visits: 0,
        })
    }

    /// Builds blocks until one holds all pieces; gives up after so many visits.
    pub(super) fn weave(&mut self, most: u64, table: &mut Table, rng: &mut Rng) -> Woven {
        let n = self.pieces.len();
        for size in 1..=n {
            if size == 1 {
                self.lay_out(rng);
            }
            for small in 1..=size / 2 {
                let large = size - small;
                self.join(small, large, true, rng);
                if small != large {
                    self.join(large, small, false, rng);
                }
                if self.visits > most || (self.order.stop)() {
                    return Woven::Lost;
                }
            }
            self.squeeze();
            if size == n {
                break;
            }
            if self.taste.is_all {
                if self.has_dropped || self.nodes.len() + self.made.len() > MOST_NODES {
                    return Woven::Lost;
                }
            } else if size + REST == n
                && let Some(whole) = self.complete(table, rng)
            {
                return Woven::Found(whole);
            }
            self.keep();
        }
        self.finish()
    }

    /// Every piece by itself.
    fn lay_out(&mut self, rng: &mut Rng) {
        for idx in 0..self.pieces.len() {
            let piece = Arc::clone(&self.pieces[idx]);
            let id = u32::try_from(idx).expect("at most as many as there are bits");
            for &corner in &piece.shape_function {
                let one = self.kinds.one(idx);
                self.offer(one, corner, piece.area, (id, ALONE), rng);
            }
        }
    }

    fn finish(&self) -> Woven {
        let wholes = self.made.iter().filter(|node| node.area == self.area);
        let blocks = wholes.map(|node| self.block(node));
        let best = blocks.min_by_key(|block| block.length().unwrap_or(i64::MAX));
        match best {
            Some(whole) => Woven::Found(whole),
            None if self.has_dropped || !self.taste.is_all => Woven::Lost,
            None => Woven::None,
        }
    }

    /// Puts what is left to the best blocks in the best of all ways.
    fn complete(&self, table: &mut Table, rng: &mut Rng) -> Option<Arc<Block>> {
        let mut best: Vec<&TreeNode> = self.made.iter().collect();
        best.sort_by(|a, b| a.waste().cmp(&b.waste()).then(a.set.cmp(&b.set)));
        best.dedup_by_key(|node| node.set);
        best.truncate(self.taste.width / COMPLETED + 1);
        for node in best {
            let left = self.kinds.left(node.set);
            let mut blocks: Vec<Arc<Block>> =
                left.map(|idx| Arc::clone(&self.pieces[idx])).collect();
            blocks.push(self.block(node));
            if let Some(whole) = table.arrange(blocks, self.strip, rng) {
                return Some(whole);
            }
        }
        None
    }

    /// A node with its whole staircase.
    fn block(&self, node: &TreeNode) -> Arc<Block> {
        if node.made.1 == ALONE {
            return Arc::clone(&self.pieces[node.made.0 as usize]);
        }
        let part = |id: u32| self.block(&self.nodes[id as usize]);
        Block::pair(&part(node.made.0), &part(node.made.1), &self.strip)
    }

    /// Ends a level: what was made can be joined from now on.
    fn keep(&mut self) {
        let mut level = Level::default();
        for node in self.made.drain(..) {
            let id = u32::try_from(self.nodes.len()).expect("at most MOST_NODES and some");
            let entry = |side, other| Entry {
                set: node.set,
                side,
                other,
                area: node.area,
                id,
            };
            level.most_area = level.most_area.max(node.area);
            level.lists[0].push(entry(node.across, node.along));
            if !self.order.turns_all() {
                level.lists[1].push(entry(node.along, node.across));
            } else if node.along != node.across {
                level.lists[0].push(entry(node.along, node.across));
            }
            self.nodes.push(node);
        }
        for list in &mut level.lists {
            list.sort_unstable_by_key(|entry| (entry.side, entry.id));
        }
        self.levels.push(level);
        self.cut = f64::INFINITY;
    }

    /// What a block of pieces of some area may waste.
    fn allowance(&self, area: i64) -> i64 {
        if self.taste.is_all {
            return self.strip.waste;
        }
        // To the power of 3/4, by roots: these every machine rounds alike.
        let part = area as f64 / self.area as f64;
        let grown = (part * part.sqrt()).sqrt();
        (self.strip.waste as f64 * (EARLY + (1.0 - EARLY) * grown)) as i64
    }

    /// Joins the blocks of two levels, each with those whose side is as long or longer.
    fn join(&mut self, a: usize, b: usize, with_equal: bool, rng: &mut Rng) {
        let most_area = self.levels[b].most_area;
        for way in 0..2 {
            let firsts = std::mem::take(&mut self.levels[a].lists[way]);
            let seconds = if a == b {
                Vec::new()
            } else {
                std::mem::take(&mut self.levels[b].lists[way])
            };
            let others = if a == b { &firsts } else { &seconds };
            for one in &firsts {
                let most_waste = self.allowance(one.area + most_area);
                let room = most_waste - (one.side * one.other - one.area);
                if room < 0 {
                    continue;
                }
                let last = one.side + room / one.other;
                let from = others
                    .partition_point(|e| e.side < one.side || (!with_equal && e.side == one.side));
                for other in &others[from..] {
                    if other.side > last {
                        break;
                    }
                    self.visits += 1;
                    if self.kinds.suffice(one.set + other.set) {
                        let long = one.other + other.other;
                        let (across, along) = if way == 0 {
                            (other.side, long)
                        } else {
                            (long, other.side)
                        };
                        let size = Rectangle { across, along };
                        self.offer(
                            one.set + other.set,
                            size,
                            one.area + other.area,
                            (one.id, other.id),
                            rng,
                        );
                    }
                }
            }
            if a != b {
                self.levels[b].lists[way] = seconds;
            }
            self.levels[a].lists[way] = firsts;
        }
    }

    /// Puts a block on the list, unless the strip cannot hold it or its waste.
    fn offer(&mut self, set: Counts, size: Rectangle, area: i64, made: (u32, u32), rng: &mut Rng) {
        let Some(size) = self.fit(size) else { return };
        let waste = area_of(&size) - area;
        if waste > self.allowance(area) {
            return;
        }
        let mut score = waste as f64 / area as f64 + self.area as f64 * LEAST_WASTE / area as f64;
        if self.taste.noise > 0.0 {
            score *= 1.0 + self.taste.noise * rng.fraction();
        }
        if score >= self.cut {
            return;
        }
        let Rectangle { across, along } = size;
        self.made.push(TreeNode {
            set,
            across,
            along,
            area,
            score,
            made,
        });
        if self.made.len() >= 4 * self.taste.width {
            self.squeeze();
        }
    }

    /// What a block takes of the strip; none where the strip does not hold it.
    fn fit(&self, size: Rectangle) -> Option<Rectangle> {
        let Strip { width, length, .. } = self.strip;
        let fits = |r: Rectangle| r.across <= width && r.along <= length;
        if !self.order.turns_all() {
            return fits(size).then(|| self.strip.filled(size, self.thin));
        }
        let turned = Rectangle {
            across: size.along,
            along: size.across,
        };
        let is_held = fits(size) || fits(turned);
        is_held.then(|| self.strip.filled(size.min(turned), self.thin))
    }

    /// Drops what is beaten by another block of the same pieces, and the worst of the
    /// rest where there are too many.
    fn squeeze(&mut self) {
        let by_size = |a: &TreeNode, b: &TreeNode| {
            (a.set, a.across, a.along).cmp(&(b.set, b.across, b.along))
        };
        self.made.sort_unstable_by(|a, b| {
            by_size(a, b)
                .then(a.score.total_cmp(&b.score))
                .then(a.made.cmp(&b.made))
        });
        let mut last = (0, i64::MAX);
        self.made.retain(|node| {
            let is_beaten = node.set == last.0 && node.along >= last.1;
            if !is_beaten {
                last = (node.set, node.along);
            }
            !is_beaten
        });
        let width = self.taste.width;
        if self.made.len() > width {
            self.has_dropped = true;
            let by_score = |a: &TreeNode, b: &TreeNode| {
                a.score.total_cmp(&b.score).then_with(|| by_size(a, b))
            };
            self.made.select_nth_unstable_by(width, by_score);
            self.cut = self.made[width].score;
            self.made.truncate(width);
        }
    }
}

impl TreeNode {
    fn waste(&self) -> i64 {
        self.across * self.along - self.area
    }
}
