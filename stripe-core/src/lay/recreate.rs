//! Ruin and recreate: a layout is taken apart from one end up to somewhere, and built anew by
//! a beam on what is left of it.
//!
//! What beams decide early is as good as they could know then; once a whole layout stands, its
//! one end tells how good the beginning was, and another end may do better for a part of the
//! work of a whole layout. Done from both ends by turns, all of it is built anew in time.
//!
//! # Source
//! G. Schrimpf, J. Schneider, H. Stamm-Wilbrandt and G. Dueck, "Record breaking optimization
//! results using the ruin and recreate principle" (2000); here the ruin is always an end of
//! the strip, so that a beam can follow.

use super::beam::{Begin, Ground, Taste, beam};
use super::board::{Board, Seat};
use super::effort::Control;
use super::first::length_of;
use super::random::Random;
use super::search::is_valid;
use super::settle::drop_down;

/// Of a layout at least and at most this part is kept (in 16ths).
const LEAST_KEPT: usize = 2;
const MOST_KEPT: usize = 14;

/// What beams on a board need to know of it, from either end.
#[derive(Debug)]
pub(crate) struct Grounds {
    upward: Ground,
    downward: Option<Ground>,
}

/// Which part of a layout is built anew.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ruin {
    begin: Begin,
    kept: usize,
}

impl Ruin {
    /// Nothing is kept.
    pub(crate) const ALL: Self = Self {
        begin: Begin::AtCutEnd,
        kept: 0,
    };

    /// A part by chance.
    pub(crate) fn any(random: &mut Random, grounds: &Grounds, items: usize) -> Self {
        let begin = if grounds.downward.is_some() && random.below(2) == 0 {
            Begin::AtFarEnd
        } else {
            Begin::AtCutEnd
        };
        let sixteenths = LEAST_KEPT + random.below(MOST_KEPT - LEAST_KEPT + 1);
        Self {
            begin,
            kept: items * sixteenths / 16,
        }
    }

    /// The share of a whole beam's work that it takes.
    pub(crate) fn share(self, items: usize) -> f64 {
        (items - self.kept) as f64 / items.max(1) as f64
    }
}

impl Grounds {
    pub(crate) fn new(board: &Board) -> Self {
        Self {
            upward: Ground::new(board, Begin::AtCutEnd),
            // A layout that is shifted along lines that lean leaves the fabric.
            downward: (board.normal().1 == 0.0).then(|| Ground::new(board, Begin::AtFarEnd)),
        }
    }

    /// What a beam makes of a layout from which a part is taken out, slid together.
    pub(crate) fn recreate(
        &self,
        board: &Board,
        from: &[Seat],
        ruin: Ruin,
        taste: Taste,
        control: &Control<'_>,
    ) -> Option<Vec<Seat>> {
        let downward = self.downward.as_ref();
        let (ground, sense) = match (ruin.begin, downward) {
            (Begin::AtFarEnd, Some(ground)) => (ground, -1.0),
            _ => (&self.upward, 1.0),
        };
        let mut kept: Vec<(f64, usize)> = from
            .iter()
            .enumerate()
            .map(|(item, &seat)| {
                let low = board.corner(seat).0;
                let high = low + board.height(seat.form as usize);
                (if sense > 0.0 { low } else { -high }, item)
            })
            .collect();
        kept.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        kept.truncate(ruin.kept);
        // Counted from the far end, the layout ends where places begin.
        let shift = if sense > 0.0 {
            0.0
        } else {
            length_of(board, from).ceil()
        };
        let kept: Vec<(usize, Seat)> = kept
            .into_iter()
            .map(|(_, item)| {
                let seat = from[item];
                let class = ground.classes.of(board.items[item].0);
                let v = seat.v - shift;
                (class, Seat { v, ..seat })
            })
            .collect();
        let mut seats = beam(board, ground, &kept, taste, &|| control.is_stopped())?;
        drop_down(board, &mut seats);
        is_valid(board, &seats, length_of(board, &seats)).then_some(seats)
    }
}
