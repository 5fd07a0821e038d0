//! The whole of it: first lay, search in streams, settling, bounds, by hand.

use super::board::{Board, Seat};
use super::bound::{Bounds, bound};
use super::data::{Job, Lay, Lock, Spot};
use super::effort::{Control, Effort, Progress};
use super::error::LayError;
use super::first::{largest_first, lay_first, length_of};
use super::hand::lay_by_hand;
use super::outline::TICKS_PER_MM;
use super::random::Random;
use super::search::{Stuck, Walk, is_valid};
use super::settle::drop_down;
use super::slide::{Loose, can_slide, slide};
use rayon::prelude::*;

/// Offsets tried where all pieces share one: the critical ones and a grid.
const OFFSETS_TRIED: usize = 12;
/// Of these, how many the search goes on with.
const OFFSETS_KEPT: usize = 2;

/// What came of laying a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The best lay found.
    pub lay: Lay,
    /// Length of the lay that the search began with (mm).
    pub first_length_mm: f64,
    /// How short a lay could be at best.
    pub bounds: Bounds,
    /// The lay as it is done by hand.
    pub by_hand: Lay,
    /// Moves of the search.
    pub moves: u64,
    /// Whether the caller stopped the search before its effort was spent.
    pub stopped: bool,
}

/// A board, the offset that all its pieces share, and its first lay.
struct Start {
    board: Board,
    /// Added to every offset (mm).
    offset_mm: f64,
    seats: Vec<Seat>,
    offsets: Vec<i64>,
    length: f64,
}

/// Lays a job at once: always valid, far from the best.
///
/// # Errors
/// [`LayError`] where the job cannot be laid.
pub fn first(job: &Job) -> Result<Lay, LayError> {
    let start = starts(job)?.swap_remove(0);
    Ok(to_lay(
        job,
        &start,
        Loose::new(&start.board, start.seats.clone()),
        &start.offsets,
    ))
}

/// Lays a job as well as the effort allows.
///
/// The same job and effort give the same lay, on any number of threads, unless
/// `control` stops it.
///
/// # Errors
/// [`LayError`] where the job cannot be laid.
///
/// # Panics
/// Never: every board keeps its first lay.
pub fn lay(job: &Job, effort: &Effort, control: &Control) -> Result<Outcome, LayError> {
    let starts = starts(job)?;
    let first_length = starts[0].length;
    let bounds = bound(&starts[0].board, job);
    let by_hand = starts
        .iter()
        .map(|start| {
            let seats = lay_by_hand(&start.board, job, &start.offsets);
            to_lay(job, start, Loose::new(&start.board, seats), &start.offsets)
        })
        .min_by(|a, b| a.length_mm.total_cmp(&b.length_mm))
        .expect("there is a board");
    let (best, moves) = search(
        &starts,
        effort,
        control,
        bounds.best().length_mm * TICKS_PER_MM,
    );
    let start = &starts[best.board];
    let mut loose = Loose::new(&start.board, best.seats);
    let deviate = if job.lock == Lock::Plane {
        f64::INFINITY
    } else {
        job.deviate_mm * TICKS_PER_MM
    };
    if can_slide(&start.board, deviate) {
        slide(&start.board, &mut loose, deviate.min(1e12), 12, &|| {
            control.is_stopped()
        });
    }
    Ok(Outcome {
        lay: to_lay(job, start, loose, &best.offsets),
        first_length_mm: first_length / TICKS_PER_MM,
        bounds,
        by_hand,
        moves,
        stopped: control.is_stopped(),
    })
}

/// The boards to search, best first lay first.
fn starts(job: &Job) -> Result<Vec<Start>, LayError> {
    let make = |offset_mm: f64, board: Board| -> Result<Start, LayError> {
        let order = largest_first(&board);
        let (mut seats, offsets) = lay_first(&board, &order);
        drop_down(&board, &mut seats);
        let length = length_of(&board, &seats);
        Ok(Start {
            board,
            offset_mm,
            seats,
            offsets,
            length,
        })
    };
    if job.groups != 1 || job.lock == Lock::Plane {
        return Ok(vec![make(0.0, Board::new(job)?)?]);
    }
    // One offset for all: a board for each that is worth a try.
    let made: Vec<Result<Start, LayError>> = shared_offsets(job)
        .into_par_iter()
        .map(|offset| make(offset, Board::with_stride(&with_offset(job, offset), 1)?))
        .collect();
    let (mut kept, mut fault) = (Vec::new(), None);
    for start in made {
        match start {
            Ok(start) => kept.push(start),
            Err(error) => fault = Some(error),
        }
    }
    kept.sort_by(|a, b| a.length.total_cmp(&b.length));
    kept.truncate(OFFSETS_KEPT);
    match fault {
        Some(error) if kept.is_empty() => Err(error),
        _ => Ok(kept),
    }
}

/// The job with its one group's offset in the residues.
fn with_offset(job: &Job, offset_mm: f64) -> Job {
    let mut fixed = job.clone();
    let mut grouped = vec![None; job.kinds.len()];
    for item in &mut fixed.items {
        // A kind may have copies within the group and without.
        if item.group.is_some() {
            let kind = *grouped[item.kind].get_or_insert_with(|| {
                let mut kind = job.kinds[item.kind].clone();
                for pose in &mut kind.poses {
                    pose.residue_mm += pose.sign.signum() * offset_mm;
                }
                fixed.kinds.push(kind);
                fixed.kinds.len() - 1
            });
            item.kind = kind;
        }
    }
    fixed
}

/// Offsets at which a piece just touches a selvage, and an even grid.
fn shared_offsets(job: &Job) -> Vec<f64> {
    let repeat = match job.lock {
        Lock::Lines { repeat_mm } => repeat_mm,
        Lock::Points { across_mm, .. } => across_mm,
        Lock::Plane => return vec![0.0],
    };
    if !repeat.is_finite() || repeat <= 0.0 {
        return vec![0.0];
    }
    let n = crate::shape::unit(job.window.normal_rad);
    let mut offsets = vec![0.0];
    if n.y.abs() < 1e-9 {
        let margin = job.window.margin_mm;
        let (lo, hi) = if n.x > 0.0 {
            (-margin, job.window.width_mm + margin)
        } else {
            (-job.window.width_mm - margin, margin)
        };
        for kind in &job.kinds {
            for pose in &kind.poses {
                let Some(shape) = job.shapes.get(pose.shape) else {
                    continue;
                };
                let us = shape.outline.exterior().0.iter().map(|p| p.x);
                let (least, most) = us.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), u| {
                    (a.min(u), b.max(u))
                });
                for edge in [lo - least, hi - most] {
                    let offset = pose.sign.signum() * (edge - pose.residue_mm);
                    offsets.push(crate::num::wrap(offset, repeat));
                }
            }
        }
    }
    offsets.retain(|o| o.is_finite());
    offsets.sort_by(f64::total_cmp);
    offsets.dedup_by(|a, b| (*a - *b).abs() < 1e-3);
    offsets.truncate(2 * OFFSETS_TRIED);
    let grid = OFFSETS_TRIED.saturating_sub(offsets.len()).max(4);
    offsets.extend((0..grid).map(|i| repeat * (i as f64 + 0.5) / grid as f64));
    offsets
}

/// A valid lay on one of the boards.
#[derive(Debug, Clone)]
struct Found {
    board: usize,
    seats: Vec<Seat>,
    offsets: Vec<i64>,
    length: f64,
}

fn search(starts: &[Start], effort: &Effort, control: &Control, bound: f64) -> (Found, u64) {
    let streams = effort.streams.max(1);
    let found = |board: usize| Found {
        board,
        seats: starts[board].seats.clone(),
        offsets: starts[board].offsets.clone(),
        length: starts[board].length,
    };
    let mut pool: Vec<Found> = (0..streams).map(|s| found(s % starts.len())).collect();
    let mut best = found(0);
    let mut moves = 0;
    if starts[0].seats.len() < 2 {
        return (best, moves);
    }
    for round in 0..effort.rounds {
        // Within a micrometre of the bound there is nothing left to find.
        if control.is_stopped() || best.length <= bound + 10.0 {
            break;
        }
        let results: Vec<(Found, u64)> = pool
            .par_iter()
            .enumerate()
            .map(|(s, from)| {
                let seed = effort
                    .seed
                    .wrapping_mul(0x9e37_79b9_7f4a_7c15)
                    .wrapping_add((round * 1024 + s) as u64);
                improve(
                    &starts[from.board].board,
                    from,
                    effort.work,
                    seed,
                    bound,
                    control,
                )
            })
            .collect();
        for (s, (result, made)) in results.into_iter().enumerate() {
            moves += made;
            pool[s] = result;
        }
        // The winner does not depend on who was ready first.
        for result in &pool {
            if result.length < best.length {
                best = result.clone();
            }
        }
        // The worst stream goes on from the best lay.
        if streams > 1 {
            let worst = (0..streams)
                .max_by(|&a, &b| pool[a].length.total_cmp(&pool[b].length))
                .unwrap_or(0);
            pool[worst] = best.clone();
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

/// Lays with overlaps that are kept to begin again from.
const KEPT: usize = 8;
/// Attempts at one length before a smaller step is tried.
const ATTEMPTS: usize = 6;

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
    let mut random = Random::new(seed ^ 0x5eed);
    let mut share: f64 = 0.01;
    let stop = || control.is_stopped();
    while walk.work < work && !stop() && best.length > bound + 10.0 {
        let target = (best.length * (1.0 - share)).floor();
        let mut pool: Vec<Stuck> = Vec::new();
        let mut done = false;
        for attempt in 0..ATTEMPTS {
            if walk.work >= work || stop() {
                break;
            }
            if attempt > 0 {
                // From one of the least stuck, the better the likelier.
                let at = random
                    .below(pool.len().max(1))
                    .min(random.below(pool.len().max(1)));
                match pool.get(at) {
                    Some(stuck) => walk.stand(&stuck.seats, &stuck.offsets),
                    None => walk.stand(&best.seats, &best.offsets),
                }
            }
            walk.shorten(target);
            if !walk.is_possible() {
                break;
            }
            if attempt > 0 {
                walk.shake();
            }
            match walk.separate(work, &stop) {
                None => {
                    done = true;
                    break;
                }
                Some(stuck) => {
                    let at = pool.partition_point(|s| s.depth < stuck.depth);
                    pool.insert(at, stuck);
                    pool.truncate(KEPT);
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
    (best, walk.moves)
}

fn to_lay(job: &Job, start: &Start, loose: Loose, offsets: &[i64]) -> Lay {
    let board = &start.board;
    let spots = (0..loose.seats.len())
        .map(|i| Spot {
            pose: board.forms[loose.seats[i].form as usize].pose,
            u_mm: loose.u(board, i) / TICKS_PER_MM,
            v_mm: loose.seats[i].v / TICKS_PER_MM,
        })
        .collect();
    let offsets = (0..job.groups)
        .map(|g| {
            // On a board of one shared offset the job's group is in the residues.
            let lines = offsets.get(g).copied().unwrap_or(0) as f64 * board.pitch;
            let shift = loose.shift.get(g).copied().unwrap_or(0.0);
            start.offset_mm + (lines + shift) / TICKS_PER_MM
        })
        .collect();
    Lay {
        length_mm: loose.length.max(0.0) / TICKS_PER_MM,
        spots,
        offsets,
    }
}
