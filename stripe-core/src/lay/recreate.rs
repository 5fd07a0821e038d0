//! Ruin and recreate: a layout is taken apart from one end up to somewhere, and built anew by
//! a beam on what is left of it.
//!
//! What beams decide early is as good as they could know then; once a whole layout stands, its
//! one end tells how good the beginning was, and another end may do better for a part of the
//! work of a whole layout. Done from both ends by turns, all of it is built anew in time.
//!
//! Beams build along the stripes. Where these run across the fabric, it is turned: lines are
//! as many as a length that is to be reached leaves room for, and a beam that needs no more
//! along them than the fabric is wide has found a layout of that length.
//!
//! # Source
//! G. Schrimpf, J. Schneider, H. Stamm-Wilbrandt and G. Dueck, "Record breaking optimization
//! results using the ruin and recreate principle" (2000); here the ruin is always an end of
//! the strip, so that a beam can follow.

use super::beam::{Begin, Ground, Taste, beam, beam_work, can_beam};
use super::board::{Board, Seat};
use super::data::{Job, Lock};
use super::effort::Control;
use super::first::length_of;
use super::random::Random;
use super::search::is_valid;
use super::settle::drop_down;

/// Of a layout at least and at most this part is kept (in 16ths).
const LEAST_KEPT: usize = 2;
const MOST_KEPT: usize = 14;

/// Where stripes run across, a layout is to become shorter by up to so many thousandths.
const SHORTER: usize = 15;

/// And by more than so much (ticks) always, for contact with the fabric's edge is rounded.
const EDGE: f64 = 4.0;

/// There a first layout may be so many times as long as the one that is known.
const FIRST_LENGTH: f64 = 1.1;

/// What beams need to know of a board.
#[derive(Debug)]
pub(crate) enum Grounds {
    /// Stripes run along the fabric: what is to be known from either end; from the far end
    /// only where layouts may be shifted along.
    Along(Box<(Ground, Option<Ground>)>),
    /// Stripes run across it: the fabric turned.
    Across(Box<Board>),
}

/// Which part of a layout is built anew.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ruin {
    begin: Begin,
    kept: usize,
    /// Where stripes run across: how much shorter the layout is to become.
    shorter: f64,
}

impl Ruin {
    /// Nothing is kept.
    pub(crate) const ALL: Self = Self {
        begin: Begin::AtCutEnd,
        kept: 0,
        shorter: 0.0,
    };

    /// A part by chance, or at times all.
    pub(crate) fn any(random: &mut Random, items: usize) -> Self {
        let begin = [Begin::AtCutEnd, Begin::AtFarEnd][random.below(2)];
        let sixteenths = LEAST_KEPT + random.below(MOST_KEPT - LEAST_KEPT + 1);
        let shorter = random.below(SHORTER + 1).min(random.below(SHORTER + 1));
        Self {
            begin,
            kept: items * sixteenths / 16,
            shorter: shorter as f64 / 1000.0,
        }
    }

    /// The share of a whole beam's work that it takes.
    pub(crate) fn share(self, items: usize) -> f64 {
        (items - self.kept) as f64 / items.max(1) as f64
    }
}

impl Grounds {
    /// `None` where no beam can be laid: the board is that of a job with fixed offsets.
    pub(crate) fn new(job: &Job, board: &Board) -> Option<Self> {
        if can_beam(board) {
            let (_, ny) = board.normal();
            // A layout that is shifted along lines that lean leaves the fabric.
            let downward = (ny == 0.0).then(|| Ground::new(board, Begin::AtFarEnd));
            let upward = Ground::new(board, Begin::AtCutEnd);
            return Some(Self::Along(Box::new((upward, downward))));
        }
        let (nx, ny) = board.normal();
        if nx != 0.0 || ny < 0.0 || board.stride != 1 || !matches!(job.lock, Lock::Lines { .. }) {
            return None;
        }
        let mut turned = job.clone();
        turned.window.normal_rad = 0.0;
        Some(Self::Across(Box::new(Board::with_stride(&turned, 1).ok()?)))
    }

    /// The work of one beam for a layout about so long (ticks).
    pub(crate) fn work(&self, board: &Board, length: f64) -> u64 {
        let work = match self {
            Self::Along(_) => beam_work(board),
            Self::Across(turned) => beam_work(&turned.with_width(length)),
        };
        work.max(1)
    }

    /// What beams make of a board on which nothing lies yet, on not much more fabric than
    /// `longest` (ticks).
    pub(crate) fn create(
        &self,
        board: &Board,
        longest: f64,
        taste: Taste,
        control: &Control<'_>,
    ) -> Option<Vec<Seat>> {
        match self {
            Self::Along(_) => self.recreate(board, &[], longest, Ruin::ALL, taste, control),
            Self::Across(_) => {
                // Shorter and shorter, by large steps first.
                let (mut seats, mut length, mut share) = (None, FIRST_LENGTH * longest, 0.0);
                for step in [0.04, 0.04, 0.04, 0.02, 0.01, 0.005] {
                    let target = length * (1.0 - share);
                    let found = self.recreate(board, &[], target, Ruin::ALL, taste, control);
                    if let Some(found) = found {
                        length = length_of(board, &found);
                        seats = Some(found);
                    } else if share == 0.0 {
                        return None;
                    }
                    share = step;
                }
                seats
            }
        }
    }

    /// What a beam makes of a layout, `length` long (ticks), from which a part is taken out.
    pub(crate) fn recreate(
        &self,
        board: &Board,
        from: &[Seat],
        length: f64,
        ruin: Ruin,
        taste: Taste,
        control: &Control<'_>,
    ) -> Option<Vec<Seat>> {
        let stop = || control.is_stopped();
        let seats = match self {
            Self::Along(grounds) => {
                let (ground, begin) = match (ruin.begin, &grounds.1) {
                    (Begin::AtFarEnd, Some(ground)) => (ground, Begin::AtFarEnd),
                    _ => (&grounds.0, Begin::AtCutEnd),
                };
                let kept = kept(board, ground, from, begin, ruin.kept);
                let mut seats = beam(board, ground, &kept, taste, &stop)?;
                drop_down(board, &mut seats);
                seats
            }
            Self::Across(turned) => {
                let target = length * (1.0 - ruin.shorter) - EDGE;
                let strip = turned.with_width(target.floor());
                let ground = Ground::new(&strip, ruin.begin);
                // From selvage to selvage: both frames count along the same way.
                let from = shifted(&strip, from, strip_end(board))?;
                let kept = kept(&strip, &ground, &from, ruin.begin, ruin.kept);
                let seats = beam(&strip, &ground, &kept, taste, &stop)?;
                shifted(board, &seats, target)?
            }
        };
        // Nobody but the board says what is a layout.
        let length = length_of(board, &seats);
        is_valid(board, &seats, length).then_some(seats)
    }
}

/// A length beyond that of any layout (ticks).
fn strip_end(board: &Board) -> f64 {
    1e3 * board.width()
}

/// The seats shifted along their lines so that all of them lie on a fabric of some length,
/// as near to where they begin as can be; `None` if they do not.
fn shifted(board: &Board, seats: &[Seat], length: f64) -> Option<Vec<Seat>> {
    let (mut least, mut most) = (f64::NEG_INFINITY, f64::INFINITY);
    for seat in seats {
        let reach = board.reach(seat.form as usize, i64::from(seat.line), length);
        // Pieces of a longer layout may have no line here: whoever asks leaves them out.
        if let Some(reach) = reach {
            least = least.max(reach.lo - seat.v);
            most = most.min(reach.hi - seat.v);
        }
    }
    if least > most {
        return None;
    }
    let shift = if least.is_finite() { least } else { 0.0 };
    let seats = seats.iter().map(|&seat| Seat {
        v: seat.v + shift,
        ..seat
    });
    Some(seats.collect())
}

/// So many pieces of a layout, those that lie nearest to one end, as beams take them.
fn kept(
    board: &Board,
    ground: &Ground,
    from: &[Seat],
    begin: Begin,
    count: usize,
) -> Vec<(usize, Seat)> {
    let is_downward = begin == Begin::AtFarEnd;
    let mut order: Vec<(f64, usize)> = from
        .iter()
        .enumerate()
        .map(|(item, &seat)| {
            let low = board.corner(seat).0;
            let high = low + board.height(seat.form as usize);
            (if is_downward { -high } else { low }, item)
        })
        .collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    order.truncate(count);
    // Counted from the far end, places begin where the layout ends.
    let shift = if is_downward {
        length_of(board, from).ceil()
    } else {
        0.0
    };
    let pieces = order.into_iter().map(|(_, item)| {
        let seat = from[item];
        let class = ground.classes.of(board.items[item].0);
        let v = seat.v - shift;
        (class, Seat { v, ..seat })
    });
    pieces.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::trial::odd_pieces;
    use std::f64::consts::FRAC_PI_2;

    /// What a layout keeps stays where it is, counted from either end, and the rest lies free.
    #[test]
    fn what_is_kept_stays() {
        for seed in 0..6 {
            let job = odd_pieces(24, 0, 0.0, seed);
            let board = Board::new(&job).unwrap();
            let grounds = Grounds::new(&job, &board).unwrap();
            let Grounds::Along(both) = &grounds else {
                panic!("stripes run along");
            };
            let control = Control::default();
            let from = grounds
                .create(&board, 0.0, Taste::any(seed), &control)
                .unwrap();
            for begin in [Begin::AtCutEnd, Begin::AtFarEnd] {
                let ground = match begin {
                    Begin::AtCutEnd => &both.0,
                    Begin::AtFarEnd => both.1.as_ref().unwrap(),
                };
                let kept = kept(&board, ground, &from, begin, 10);
                let seats = beam(&board, ground, &kept, Taste::any(9), &|| false).unwrap();
                assert!(is_valid(&board, &seats, length_of(&board, &seats)));
                // All of them shifted by the same, on lines and outlines of their own.
                let at = |seat: &Seat| (board.forms[seat.form as usize].trace, seat.line);
                let first = kept[0].1;
                let shifts = seats
                    .iter()
                    .filter(|s| at(s) == at(&first))
                    .map(|s| s.v - first.v);
                let stays = |shift: f64| {
                    let mut kept = kept.iter().map(|(_, seat)| seat);
                    kept.all(|k| seats.iter().any(|s| at(s) == at(k) && s.v == k.v + shift))
                };
                assert!(shifts.into_iter().any(stays), "seed {seed}, {begin:?}");
            }
        }
    }

    /// Built anew in part, by turns from both ends, a layout stays one; where stripes run
    /// across, it becomes shorter or is none.
    #[test]
    fn layouts_built_anew_are_layouts() {
        for (seed, normal_rad) in [(1, 0.0), (2, FRAC_PI_2), (3, FRAC_PI_2)] {
            let job = odd_pieces(24, 0, normal_rad, seed);
            let board = Board::new(&job).unwrap();
            let grounds = Grounds::new(&job, &board).unwrap();
            let control = Control::default();
            let longest = 12_000_000.0;
            let mut random = Random::new(seed);
            let first = grounds.create(&board, longest, Taste::any(seed), &control);
            let mut seats = first.unwrap();
            let (mut found, begun) = (0, length_of(&board, &seats));
            for step in 0..40 {
                let ruin = Ruin::any(&mut random, seats.len());
                let length = length_of(&board, &seats);
                let taste = Taste::any(step);
                let more = grounds.recreate(&board, &seats, length, ruin, taste, &control);
                let Some(more) = more else { continue };
                found += 1;
                let now = length_of(&board, &more);
                assert!(is_valid(&board, &more, now));
                let kinds = more.iter().zip(&board.items);
                for (seat, (kind, _)) in kinds {
                    assert!(board.kinds[*kind].contains(&(seat.form as usize)));
                }
                assert!(normal_rad == 0.0 || now < length);
                if now < length {
                    seats = more;
                }
            }
            assert!(
                found > 0 && length_of(&board, &seats) <= begun,
                "seed {seed}"
            );
        }
    }
}
