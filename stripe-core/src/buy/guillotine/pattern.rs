//! A guillotine pattern as cuts, and where each piece comes to lie.

use super::{Order, Rectangle};
use std::collections::BTreeMap;

/// A binary cutting pattern.
#[derive(Debug, Clone, PartialEq)]
pub struct CutPattern {
    /// The cuts from the whole strip down to the pieces.
    pub cut: Cut,
    /// Width that the pattern takes.
    pub across: i64,
    /// Length that it takes.
    pub length: i64,
}

/// One step of a pattern.
#[derive(Debug, Clone, PartialEq)]
pub enum Cut {
    /// A piece; the fabric that may be left beside and behind it is waste.
    Piece {
        /// Index into the order's rectangles.
        rect: usize,
        /// Whether it lies turned by a quarter.
        turned: bool,
    },
    /// A cut from side to side: `near` first, `far` behind it, at the given length.
    Across {
        /// Length from the block's near end.
        at: i64,
        /// What lies before the cut.
        near: Box<Cut>,
        /// What lies behind it.
        far: Box<Cut>,
    },
    /// A cut along the strip, at the given width.
    Along {
        /// Width from the block's left side.
        at: i64,
        /// What lies to the left.
        left: Box<Cut>,
        /// What lies to the right.
        right: Box<Cut>,
    },
}

/// Where one piece lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CutSpot {
    /// Index into the order's rectangles.
    pub rect: usize,
    /// Distance from the strip's left side.
    pub x: i64,
    /// Distance from its near end.
    pub y: i64,
    /// Width as it lies.
    pub across: i64,
    /// Length as it lies.
    pub along: i64,
}

impl CutPattern {
    /// Gives equal pieces, which the search does not tell apart, each an index of its own.
    pub(super) fn tell_apart(&mut self, order: &Order<'_>) {
        let kind = |rect: usize| (order.rects[rect], order.may_turn(rect));
        let mut free: BTreeMap<(Rectangle, bool), Vec<usize>> = BTreeMap::new();
        for rect in (0..order.rects.len()).rev() {
            free.entry(kind(rect)).or_default().push(rect);
        }
        let mut open = vec![&mut self.cut];
        while let Some(cut) = open.pop() {
            match cut {
                Cut::Piece { rect, .. } => {
                    let next = free.get_mut(&kind(*rect)).and_then(Vec::pop);
                    *rect = next.expect("a pattern holds as many of a kind as are asked for");
                }
                Cut::Across { near, far, .. } => open.extend([&mut **far, &mut **near]),
                Cut::Along { left, right, .. } => open.extend([&mut **right, &mut **left]),
            }
        }
    }

    /// Every piece's place, in the order of the cuts.
    pub fn spots(&self, rects: &[Rectangle]) -> Vec<CutSpot> {
        let mut spots = Vec::with_capacity(rects.len());
        // Worked off with an own stack: a tree of thousands of pieces may be deep.
        let mut open = vec![(&self.cut, 0, 0)];
        while let Some((cut, x, y)) = open.pop() {
            match cut {
                Cut::Piece { rect, turned } => {
                    let r = rects[*rect];
                    let (across, along) = if *turned {
                        (r.along, r.across)
                    } else {
                        (r.across, r.along)
                    };
                    spots.push(CutSpot {
                        rect: *rect,
                        x,
                        y,
                        across,
                        along,
                    });
                }
                Cut::Across { at, near, far } => {
                    open.push((far, x, y + at));
                    open.push((near, x, y));
                }
                Cut::Along { at, left, right } => {
                    open.push((right, x + at, y));
                    open.push((left, x, y));
                }
            }
        }
        spots
    }
}
