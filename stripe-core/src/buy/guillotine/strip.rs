//! The strip that is cut from.

use super::{Order, Rectangle};

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
    pub(super) fn filled(&self, size: Rectangle, thin: (i64, i64)) -> Rectangle {
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
        Rectangle { across, along }
    }
}

fn fill(side: i64, end: i64, thin: i64) -> i64 {
    if end - side < thin { end } else { side }
}

pub(super) fn area_of(rect: &Rectangle) -> i64 {
    rect.across * rect.along
}
