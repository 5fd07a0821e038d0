//! Where the search begins: boards for the offsets worth a try, and lays on them
//! made piece by piece.

use super::beam::Taste;
use super::board::{Board, Seat};
use super::data::{Job, Lock};
use super::effort::{Control, Effort};
use super::error::LayError;
use super::first::{largest_first, lay_first, length_of};
use super::random::Random;
use super::recreate::{Grounds, Ruin};
use super::search::is_valid;
use super::settle::drop_down;
use super::snug::lay_snugly;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

/// Of more groups than this, as a rule one for each copy, a choice of offsets says too little.
pub(super) const MOST_GROUPS: usize = 8;

/// Offsets tried where all pieces share one: the critical ones and a grid.
const OFFSETS_TRIED: usize = 12;
/// Of these, how many the search goes on with.
const OFFSETS_KEPT: usize = 2;

/// The most beams tried at once.
const MOST_BEAMS: u64 = 400;

/// A board, the offset that all its pieces share, and its first layout.
#[derive(Debug)]
pub(crate) struct Start {
    pub(crate) board: Board,
    /// What beams need to know of it; none where no beam can be laid.
    pub(crate) grounds: Option<Grounds>,
    /// Added to the offset of each group (mm).
    pub(crate) offsets_mm: Vec<f64>,
    pub(crate) seats: Vec<Seat>,
    pub(crate) offsets: Vec<i64>,
    pub(crate) length: f64,
}

impl Start {
    fn new(
        job: &Job,
        offset_mm: f64,
        board: Board,
        control: &Control<'_>,
    ) -> Result<Self, LayError> {
        let order = largest_first(&board);
        let (mut seats, offsets) = lay_first(&board, &order, &|| control.is_stopped())?;
        let laid = seats.clone();
        drop_down(&board, &mut seats);
        let mut length = length_of(&board, &seats);
        if !is_valid(&board, &seats, length) {
            seats = laid;
            length = length_of(&board, &seats);
        }
        Ok(Self {
            offsets_mm: vec![offset_mm; board.groups],
            grounds: Grounds::new(job, &board),
            board,
            seats,
            offsets,
            length,
        })
    }
}

/// The boards to search, best first layout first.
pub(crate) fn starts(job: &Job, control: &Control<'_>) -> Result<Vec<Start>, LayError> {
    if job.groups != 1 || job.lock == Lock::Plane {
        return Ok(vec![Start::new(job, 0.0, Board::new(job)?, control)?]);
    }
    // One offset for all: a board for each that is worth a try.
    at_offsets(job, &shared_offsets(job), control)
}

/// The boards with all pieces at one of some offsets whose first layouts are shortest, the
/// best one first.
///
/// Besides those kept there are no more boards at a time than threads, for a board's
/// tables are the largest thing that a search holds.
fn at_offsets(job: &Job, offsets: &[f64], control: &Control<'_>) -> Result<Vec<Start>, LayError> {
    let kept: Mutex<Vec<(usize, Start)>> = Mutex::default();
    let lock = || kept.lock().unwrap_or_else(PoisonError::into_inner);
    let faults: Vec<LayError> = offsets
        .par_iter()
        .enumerate()
        .filter_map(|(rank, &offset)| {
            if control.is_stopped() && !lock().is_empty() {
                return None;
            }
            let fixed = with_offsets(job, &vec![offset; job.groups]);
            let start = Board::with_stride(&fixed, 1)
                .and_then(|board| Start::new(&fixed, offset, board, control));
            match start {
                Ok(start) => {
                    let mut kept = lock();
                    kept.push((rank, start));
                    // Whoever comes first, the same ones are kept.
                    kept.sort_by(|(i, a), (j, b)| a.length.total_cmp(&b.length).then(i.cmp(j)));
                    kept.truncate(OFFSETS_KEPT);
                    None
                }
                Err(fault) => Some(fault),
            }
        })
        .collect();
    let kept = kept.into_inner().unwrap_or_else(PoisonError::into_inner);
    if kept.is_empty() {
        // The offset that comes nearest says what would do.
        let nearest = faults
            .into_iter()
            .min_by(|a, b| a.lacks_mm().total_cmp(&b.lacks_mm()));
        return Err(nearest.unwrap_or(LayError::NothingToLay));
    }
    Ok(kept.into_iter().map(|(_, start)| start).collect())
}

/// A lay to begin with, on one of the boards.
#[derive(Debug, Clone)]
pub(crate) struct Found {
    pub(crate) board: usize,
    pub(crate) seats: Vec<Seat>,
    pub(crate) offsets: Vec<i64>,
    pub(crate) length: f64,
    /// By which share to shorten it next.
    pub(crate) share: f64,
}

impl Found {
    /// A lay on the `board`-th board that nobody has searched from yet.
    pub(crate) fn new(board: usize, on: &Board, seats: Vec<Seat>, offsets: Vec<i64>) -> Self {
        let length = length_of(on, &seats);
        Self {
            board,
            share: first_share(on, length),
            length,
            seats,
            offsets,
        }
    }

    /// The same layout, to be searched from as if nobody had.
    pub(crate) fn untried(self, on: &Board) -> Self {
        Self {
            share: first_share(on, self.length),
            ..self
        }
    }
}

/// The share by which a layout is shortened first, but by no more than this part of the
/// tallest piece: on long fabric a strip that is wider has no room anywhere near.
const FIRST_SHARE: f64 = 0.01;
const FIRST_PART: f64 = 0.25;

fn first_share(board: &Board, length: f64) -> f64 {
    FIRST_SHARE.min(FIRST_PART * board.tallest() / length.max(1.0))
}

/// The lays to begin with, shortest first: the first layouts, and what snug laying
/// and beams make of each board within a quarter of the effort.
pub(crate) fn first_lays(
    job: &Job,
    starts: &[Start],
    effort: &Effort,
    control: &Control,
) -> Vec<Found> {
    // Where offsets are free, others are found by the race.
    let share = if job.groups <= MOST_GROUPS { 16 } else { 4 };
    let budget = effort.first_work() / share;
    let snug = effort.first_work() / 8;
    let mut found = Vec::new();
    if job.groups > MOST_GROUPS && starts[0].board.stride > 1 && job.lock != Lock::Plane {
        found.extend(alike(job, starts, budget, effort.seed, control));
    }
    for (board, start) in starts.iter().enumerate() {
        let mut lays = lays_on(start, budget, snug, effort.seed, control);
        lays.push(start.seats.clone());
        found.extend(
            lays.into_iter()
                .map(|seats| Found::new(board, &start.board, seats, start.offsets.clone())),
        );
    }
    found.sort_by(|a, b| a.length.total_cmp(&b.length));
    found
}

/// Snug lays and beams on one board.
fn lays_on(start: &Start, budget: u64, snug: u64, seed: u64, control: &Control) -> Vec<Vec<Seat>> {
    let board = &start.board;
    if board.items.len() < 3 {
        return Vec::new();
    }
    let mut lays = beams(start, None, budget, seed, control);
    if board.stride == 1 && !board.is_lattice() {
        let longest = 1.3 * start.length;
        lays.extend(lay_snugly(board, longest, snug, &|| control.is_stopped()));
    }
    lays
}

/// What beams of as many tastes as the budget allows make of a board, half of them from
/// parts of a `known` layout if there is one.
pub(crate) fn beams(
    start: &Start,
    known: Option<&Found>,
    budget: u64,
    seed: u64,
    control: &Control,
) -> Vec<Vec<Seat>> {
    let (board, items) = (&start.board, start.board.items.len());
    let Some(grounds) = &start.grounds else {
        return Vec::new();
    };
    let mut left = (budget / grounds.work(board, start.length)).min(MOST_BEAMS) as f64;
    let mut tries: Vec<(Option<Ruin>, Taste)> = Vec::new();
    while left >= 1.0 {
        let number = tries.len() as u64;
        let seed = seed.wrapping_mul(MOST_BEAMS).wrapping_add(number);
        let ruin = known.filter(|_| number.is_multiple_of(2)).map(|_| {
            let mut random = Random::new(seed);
            Ruin::any(&mut random, items)
        });
        left -= ruin.map_or(1.0, |ruin| ruin.share(items));
        tries.push((ruin, Taste::any(seed)));
    }
    tries
        .into_par_iter()
        .filter_map(|(ruin, taste)| match (ruin, known) {
            (Some(ruin), Some(known)) => {
                grounds.recreate(board, &known.seats, known.length, ruin, taste, control)
            }
            _ => grounds.create(board, start.length, taste, control),
        })
        .collect()
}

/// Where each motif has its own offset, all may have the same one, too: the best
/// such lays, on the board of free offsets.
fn alike(job: &Job, starts: &[Start], budget: u64, seed: u64, control: &Control) -> Vec<Found> {
    let board = &starts[0].board;
    let step_mm = board.pitch / super::outline::TICKS_PER_MM;
    let offsets: Vec<f64> = (0..board.stride).map(|o| o as f64 * step_mm).collect();
    let fixed = at_offsets(job, &offsets, control).unwrap_or_default();
    let mut found = Vec::new();
    for start in &fixed {
        let offset = (start.offsets_mm[0] / step_mm).round() as i64;
        let mut lays = lays_on(start, budget / 2, budget / 4, seed, control);
        lays.push(start.seats.clone());
        for lay in lays {
            let seats: Vec<Seat> = lay
                .iter()
                .enumerate()
                .map(|(item, &seat)| transfer(&start.board, seat, board, item))
                .collect();
            // Lines of the two boards may stand a rounding apart.
            if is_valid(board, &seats, length_of(board, &seats)) {
                found.push(Found::new(0, board, seats, vec![offset; job.groups]));
            }
        }
    }
    found
}

/// A seat of a board with one offset, on the board of free offsets.
fn transfer(from: &Board, seat: Seat, to: &Board, item: usize) -> Seat {
    let u = from.u(seat.form as usize, i64::from(seat.line));
    let form = to.kinds[to.items[item].0].start + from.forms[seat.form as usize].pose;
    Seat {
        form: form as u32,
        line: to.line_at(form, u),
        v: seat.v,
    }
}

/// The job with the offset of each group (mm) in the residues.
pub(super) fn with_offsets(job: &Job, offsets_mm: &[f64]) -> Job {
    let mut fixed = job.clone();
    let mut made: BTreeMap<(usize, u64), usize> = BTreeMap::new();
    for item in &mut fixed.items {
        // A kind may have copies within a group and without.
        if let Some(group) = item.group {
            let offset_mm = offsets_mm[group];
            let key = (item.kind, offset_mm.to_bits());
            item.kind = *made.entry(key).or_insert_with(|| {
                let mut kind = job.kinds[item.kind].clone();
                for pose in &mut kind.poses {
                    pose.residue_mm += pose.sign.signum() * offset_mm;
                }
                fixed.kinds.push(kind);
                fixed.kinds.len() - 1
            });
        }
    }
    fixed
}

/// Offsets at which a piece just touches a selvage, and an even grid.
pub(super) fn shared_offsets(job: &Job) -> Vec<f64> {
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
