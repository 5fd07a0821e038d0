//! The search in streams: side by side, each from its own seed, with what is
//! found exchanged between rounds.

use super::board::Board;
use super::effort::{Control, Effort, Progress};
use super::first::length_of;
use super::outline::TICKS_PER_MM;
use super::search::{Stuck, Walk, is_valid};
use super::settle::drop_down;
use super::starts::{Found, Start, beams};
use rayon::prelude::*;

/// This near (ticks) to the bound there is nothing left to find.
const AT_BOUND: f64 = 100.0;

/// A round that shortens by less than this share is one without gain.
const STALE: f64 = 2e-4;

/// The best lay found from the given ones, best first, and the moves made.
pub(crate) fn search(
    starts: &[Start],
    lays: &[Found],
    effort: &Effort,
    control: &Control,
    bound: f64,
) -> (Found, u64) {
    let streams = effort.streams.max(1);
    let mut pool: Vec<Found> = (0..streams).map(|s| lays[s % lays.len()].clone()).collect();
    let mut stale = vec![false; streams];
    let mut best = lays[0].clone();
    let mut moves = 0;
    if best.seats.len() < 2 {
        return (best, moves);
    }
    for round in 0..effort.rounds {
        if control.is_stopped() || best.length <= bound + AT_BOUND {
            break;
        }
        let results: Vec<(Found, u64)> = pool
            .par_iter()
            .enumerate()
            .map(|(s, from)| {
                let number = (round * 1024 + s) as u64;
                let seed = effort
                    .seed
                    .wrapping_mul(0x9e37_79b9_7f4a_7c15)
                    .wrapping_add(number);
                // What comes no further begins anew, by turns from the best.
                let from = match stale[s].then(|| (round + s) % 2) {
                    None => from.clone(),
                    Some(0) => best.clone(),
                    Some(_) => {
                        let board = (seed % starts.len() as u64) as usize;
                        fresh(starts, board, effort.work / 4, number + 1, control)
                            .unwrap_or_else(|| best.clone())
                    }
                };
                improve(
                    &starts[from.board].board,
                    &from,
                    effort.work,
                    seed,
                    bound,
                    control,
                )
            })
            .collect();
        for (s, (result, made)) in results.into_iter().enumerate() {
            moves += made;
            stale[s] = result.length > pool[s].length - STALE * pool[s].length;
            pool[s] = result;
        }
        // The winner does not depend on who was ready first.
        for result in &pool {
            if result.length < best.length {
                best = result.clone();
            }
        }
        if let Some(progress) = control.progress {
            progress(Progress {
                share: (round + 1) as f64 / effort.rounds as f64,
                length_mm: best.length / TICKS_PER_MM,
                moves,
            });
        }
    }
    (best, moves)
}

/// The best of some new lays on one board.
fn fresh(starts: &[Start], board: usize, work: u64, seed: u64, control: &Control) -> Option<Found> {
    let start = &starts[board];
    beams(&start.board, work, seed, control)
        .into_iter()
        .map(|seats| Found::new(board, &start.board, seats, start.offsets.clone()))
        .min_by(|a, b| a.length.total_cmp(&b.length))
}

/// Attempts at one length before a smaller step is tried.
const ATTEMPTS: usize = 3;

/// One stream's round: shortens as often as it can within its work.
fn improve(
    board: &Board,
    from: &Found,
    work: u64,
    seed: u64,
    bound: f64,
    control: &Control,
) -> (Found, u64) {
    let mut best = from.clone();
    let mut walk = Walk::new(board, best.seats.clone(), best.offsets.clone(), seed);
    let mut share: f64 = from.share;
    let stop = || control.is_stopped();
    while walk.work < work && !stop() && best.length > bound + AT_BOUND {
        let target = (best.length * (1.0 - share)).floor();
        let mut least: Option<Stuck> = None;
        let mut done = false;
        for attempt in 1..=ATTEMPTS {
            if walk.work >= work || stop() {
                break;
            }
            // The last attempt begins from the least stuck lay, shaken.
            let shaken = least.as_ref().filter(|_| attempt == ATTEMPTS);
            match shaken {
                Some(stuck) => walk.stand(&stuck.seats, &stuck.offsets),
                None => {
                    walk.stand(&best.seats, &best.offsets);
                    walk.take_out(best.length - target, best.length);
                    walk.forget();
                }
            }
            walk.shorten(target);
            if !walk.is_possible() {
                break;
            }
            if shaken.is_some() {
                walk.shake();
            }
            match walk.separate(work, &stop) {
                None => {
                    done = true;
                    break;
                }
                Some(stuck) => {
                    if least.as_ref().is_none_or(|l| stuck.depth < l.depth) {
                        least = Some(stuck);
                    }
                }
            }
        }
        if done {
            let mut seats = walk.crowd.seats.clone();
            drop_down(board, &mut seats);
            let length = length_of(board, &seats);
            debug_assert!(is_valid(board, &seats, length), "a separated lay is valid");
            if length < best.length {
                best = Found {
                    seats,
                    offsets: walk.offsets.clone(),
                    length,
                    ..best
                };
                share = (share * 1.5).min(0.02);
            }
        } else {
            share = (share * 0.6).max(0.000_5);
            walk.forget();
        }
        walk.stand(&best.seats, &best.offsets);
    }
    best.share = share;
    (best, walk.moves)
}
