//! Blocks: pieces joined by straight joins, each with its whole staircase.

use super::Order;
use super::Rect;
use super::pattern::{Cut, Pattern};
use super::stairs::{Stairs, join, leaf, length_at, width_at};
use std::sync::Arc;

/// A piece, or two blocks joined; which way they are joined is left open.
#[derive(Debug)]
pub(super) struct Block {
    /// For each width the least length that the block takes.
    pub(super) stairs: Stairs,
    /// Area of its pieces.
    pub(super) area: i64,
    made: Made,
}

#[derive(Debug)]
enum Made {
    /// Index into the order's rectangles.
    Piece(usize),
    Pair(Arc<Block>, Arc<Block>),
}

/// The strip that blocks are built for: what does not fit it is left out.
#[derive(Debug, Clone, Copy)]
pub(super) struct Strip {
    pub(super) width: i64,
    pub(super) length: i64,
    /// What the strip holds besides the pieces.
    pub(super) waste: i64,
    /// Whether every block may be turned by a quarter.
    pub(super) turn: bool,
}

impl Strip {
    /// A strip of a length, for all pieces of an order.
    pub(super) fn new(order: &Order<'_>, length: i64) -> Self {
        let area: i64 = order.rects.iter().map(area_of).sum();
        Self {
            width: order.width,
            length,
            waste: order.width.saturating_mul(length) - area,
            turn: order.turns_all(),
        }
    }

    /// Whether what lies side by side in it is what lies one behind the other, turned.
    pub(super) fn has_mirror(&self) -> bool {
        self.turn && self.width <= self.length
    }

    /// The size that a block takes: where none of the others fits beside it (or behind
    /// it), the rest is its own waste. `thin` is the least that any of them takes across
    /// and along.
    pub(super) fn filled(&self, size: Rect, thin: (i64, i64)) -> Rect {
        let (across, along) = if self.turn {
            // It may still be turned, as may the others: filled is what is full both ways.
            let (least, most) = (self.width.min(self.length), self.width.max(self.length));
            let fill = |side| fill(side, most, thin.0.min(thin.1)).clamp(side, least.max(side));
            (fill(size.across), fill(size.along))
        } else {
            (
                fill(size.across, self.width, thin.0),
                fill(size.along, self.length, thin.1),
            )
        };
        Rect { across, along }
    }
}

fn fill(side: i64, end: i64, thin: i64) -> i64 {
    if end - side < thin { end } else { side }
}

pub(super) fn area_of(rect: &Rect) -> i64 {
    rect.across * rect.along
}

impl Block {
    /// Every piece of an order by itself.
    pub(super) fn pieces(order: &Order<'_>) -> Vec<Arc<Self>> {
        let piece = |(idx, rect): (usize, &Rect)| {
            Arc::new(Self {
                stairs: leaf(*rect, order.may_turn(idx), order.width),
                area: area_of(rect),
                made: Made::Piece(idx),
            })
        };
        order.rects.iter().enumerate().map(piece).collect()
    }

    /// Two blocks as one.
    pub(super) fn pair(a: &Arc<Self>, b: &Arc<Self>, strip: &Strip) -> Arc<Self> {
        let area = a.area + b.area;
        Arc::new(Self {
            stairs: join(&a.stairs, &b.stairs, strip, area),
            area,
            made: Made::Pair(Arc::clone(a), Arc::clone(b)),
        })
    }

    /// The piece that it is, if it is one.
    pub(super) fn piece(&self) -> Option<usize> {
        match self.made {
            Made::Piece(idx) => Some(idx),
            Made::Pair(..) => None,
        }
    }

    /// The two blocks that it is made of; none for a piece.
    pub(super) fn parts(&self) -> Option<(&Arc<Self>, &Arc<Self>)> {
        match &self.made {
            Made::Piece(_) => None,
            Made::Pair(a, b) => Some((a, b)),
        }
    }

    /// The least length at the full width.
    pub(super) fn length(&self) -> Option<i64> {
        Some(self.stairs.last()?.along)
    }

    /// Reads the pattern of the least length out of the staircases.
    pub(super) fn pattern(&self, rects: &[Rect]) -> Option<Pattern> {
        let corner = self.stairs.last()?;
        Some(Pattern {
            cut: self.cut(rects, corner.across, corner.along),
            across: corner.across,
            length: corner.along,
        })
    }

    fn cut(&self, rects: &[Rect], across: i64, along: i64) -> Cut {
        let (a, b) = match &self.made {
            Made::Piece(idx) => {
                let rect = rects[*idx];
                return Cut::Piece {
                    rect: *idx,
                    turned: rect.across > across || rect.along > along,
                };
            }
            Made::Pair(a, b) => (a, b),
        };
        if let (Some(near), Some(far)) =
            (length_at(&a.stairs, across), length_at(&b.stairs, across))
            && near + far <= along
        {
            return Cut::Across {
                at: near,
                near: Box::new(a.cut(rects, across, near)),
                far: Box::new(b.cut(rects, across, along - near)),
            };
        }
        let left = width_at(&a.stairs, along).expect("what does not stack lies side by side");
        Cut::Along {
            at: left,
            left: Box::new(a.cut(rects, left, along)),
            right: Box::new(b.cut(rects, across - left, along)),
        }
    }
}
