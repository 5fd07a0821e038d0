//! Blocks: pieces joined by straight joins, each with its whole staircase.

use super::Order;
use super::Rectangle;
use super::pattern::{Cut, CutPattern};
use super::shape_function::{ShapeFunction, join, leaf, length_at, width_at};
use super::strip::{Strip, area_of};
use std::sync::Arc;

/// A piece, or two blocks joined; which way they are joined is left open.
#[derive(Debug)]
pub(super) struct Block {
    /// For each width the least length that the block takes.
    pub(super) shape_function: ShapeFunction,
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

impl Block {
    /// Every piece of an order by itself.
    pub(super) fn pieces(order: &Order<'_>) -> Vec<Arc<Self>> {
        let piece = |(idx, rect): (usize, &Rectangle)| {
            Arc::new(Self {
                shape_function: leaf(*rect, order.may_turn(idx), order.width),
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
            shape_function: join(&a.shape_function, &b.shape_function, strip, area),
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
        Some(self.shape_function.last()?.along)
    }

    /// Reads the pattern of the least length out of the staircases.
    pub(super) fn pattern(&self, rects: &[Rectangle]) -> Option<CutPattern> {
        let corner = self.shape_function.last()?;
        Some(CutPattern {
            cut: self.cut(rects, corner.across, corner.along),
            across: corner.across,
            length: corner.along,
        })
    }

    fn cut(&self, rects: &[Rectangle], across: i64, along: i64) -> Cut {
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
        if let (Some(near), Some(far)) = (
            length_at(&a.shape_function, across),
            length_at(&b.shape_function, across),
        ) && near + far <= along
        {
            return Cut::Across {
                at: near,
                near: Box::new(a.cut(rects, across, near)),
                far: Box::new(b.cut(rects, across, along - near)),
            };
        }
        let left =
            width_at(&a.shape_function, along).expect("what does not stack lies side by side");
        Cut::Along {
            at: left,
            left: Box::new(a.cut(rects, left, along)),
            right: Box::new(b.cut(rects, across - left, along)),
        }
    }
}
