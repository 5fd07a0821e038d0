//! Which offsets are worth a search: a race of beams.
//!
//! Where offsets are free, the layouts at one are some per cent shorter than at another, and
//! a largest-first layout does not tell which. A beam does, in some hundredths of a second:
//! every choice of offsets gets one, the shortest get more, and what is near the shortest is
//! tried next. Boards of fixed offsets have few lines, so the search that follows is quick
//! there, and may build new layouts whenever it stands still.

use super::beam::{beam_work, can_beam};
use super::board::Board;
use super::data::{Job, Lock};
use super::effort::{Control, Effort};
use super::first::length_of;
use super::random::Random;
use super::starts::{Found, Start, beams_from, shared_offsets, with_offsets};
use rayon::prelude::*;
use std::sync::{Mutex, PoisonError};

/// Of more groups than this, as a rule one for each copy, a choice of offsets says too little.
pub(super) const MOST_GROUPS: usize = 8;

/// So many choices stay in the race, with their boards.
const KEPT: usize = 3;

/// A board's tables cost about as much as so many beams on it.
const BOARD: u64 = 2;

/// A choice of offsets, with the layouts found so far.
struct Runner {
    rank: usize,
    offsets_mm: Vec<f64>,
    board: Board,
    lays: Vec<Found>,
}

impl Runner {
    fn length(&self) -> f64 {
        let lengths = self.lays.iter().map(|lay| lay.length);
        lengths.fold(f64::INFINITY, f64::min)
    }
}

/// What a race is about, and what it may cost.
struct Race<'a> {
    job: &'a Job,
    seed: u64,
    /// The work of one beam.
    one: u64,
    control: &'a Control<'a>,
}

/// The boards of the offsets that won, to follow `known` others, and the layouts on them.
/// None where there is nothing to choose or no beam can be laid.
pub(crate) fn race(
    job: &Job,
    known: usize,
    effort: &Effort,
    control: &Control<'_>,
) -> (Vec<Start>, Vec<Found>) {
    let none = (Vec::new(), Vec::new());
    let is_striped = matches!(job.lock, Lock::Lines { .. });
    if !is_striped || job.groups == 0 || job.groups > MOST_GROUPS || job.items.len() < 3 {
        return none;
    }
    let pool = shared_offsets(job);
    let plain = with_offsets(job, &vec![0.0; job.groups]);
    let Ok(board) = Board::with_stride(&plain, 1) else {
        return none;
    };
    if !can_beam(&board) {
        return none;
    }
    let race = Race {
        job,
        seed: effort.seed,
        one: beam_work(&board).max(1),
        control,
    };
    drop(board);
    let budget = effort.first_work();
    let mut random = Random::new(effort.seed);
    let mut field: Vec<Runner> = Vec::new();
    // Half goes in choices of any kind, and where there are several groups a quarter in
    // those that differ from one of the best in one group.
    let choices = any_choices(job.groups, &pool, race.count(budget / 2), &mut random);
    race.run(&mut field, choices, 0);
    if job.groups > 1 {
        for turn in 1..=4 {
            let count = race.count(budget / 16);
            let choices = near_choices(&field, &pool, count, &mut random);
            race.run(&mut field, choices, turn);
        }
    }
    let rest = budget / if job.groups > 1 { 4 } else { 2 };
    let each = rest / race.one / field.len().max(1) as u64;
    for runner in &mut field {
        let more = beams_from(&runner.board, 1, each, race.seed, control);
        let found = more
            .into_iter()
            .map(|seats| Found::new(0, &runner.board, seats, vec![0; job.groups]));
        runner.lays.extend(found);
    }
    let mut lays = Vec::new();
    let boards = field.into_iter().enumerate().filter_map(|(i, runner)| {
        let best = runner.lays.iter();
        let best = best.min_by(|a, b| a.length.total_cmp(&b.length))?.clone();
        let at = known + i;
        lays.extend(
            runner
                .lays
                .into_iter()
                .map(|lay| Found { board: at, ..lay }),
        );
        Some(Start {
            board: runner.board,
            offsets_mm: runner.offsets_mm,
            seats: best.seats,
            offsets: best.offsets,
            length: best.length,
        })
    });
    let boards: Vec<Start> = boards.collect();
    (boards, lays)
}

impl Race<'_> {
    /// How many choices a budget pays for.
    fn count(&self, budget: u64) -> usize {
        (budget / (self.one * (1 + BOARD))).clamp(1, 500) as usize
    }

    /// Lets choices run, and keeps the best of them and of those in the field.
    fn run(&self, field: &mut Vec<Runner>, choices: Vec<Vec<f64>>, turn: usize) {
        let kept = Mutex::new(std::mem::take(field));
        let lock = || kept.lock().unwrap_or_else(PoisonError::into_inner);
        choices
            .into_par_iter()
            .enumerate()
            .for_each(|(number, offsets_mm)| {
                if self.control.is_stopped() {
                    return;
                }
                let fixed = with_offsets(self.job, &offsets_mm);
                let Ok(board) = Board::with_stride(&fixed, 1) else {
                    return;
                };
                // All with one taste, so that offsets are compared and not tastes.
                let lays = beams_from(&board, 0, 1, self.seed, self.control);
                let groups = vec![0; self.job.groups];
                let lays: Vec<Found> = lays
                    .into_iter()
                    .map(|seats| Found::new(0, &board, seats, groups.clone()))
                    .collect();
                if lays.is_empty() {
                    return;
                }
                let rank = turn << 16 | number;
                let mut kept = lock();
                kept.push(Runner {
                    rank,
                    offsets_mm,
                    board,
                    lays,
                });
                // Whoever comes first, the same ones are kept.
                kept.sort_by(|a, b| a.length().total_cmp(&b.length()).then(a.rank.cmp(&b.rank)));
                kept.truncate(KEPT);
            });
        *field = kept.into_inner().unwrap_or_else(PoisonError::into_inner);
    }
}

/// Choices of offsets: all alike first, then any.
fn any_choices(groups: usize, pool: &[f64], count: usize, random: &mut Random) -> Vec<Vec<f64>> {
    let alike = if groups == 1 { count } else { count / 3 };
    let mut pool = pool.to_vec();
    random.shuffle(&mut pool);
    let mut choices: Vec<Vec<f64>> = pool
        .iter()
        .take(alike)
        .map(|&offset| vec![offset; groups])
        .collect();
    if groups > 1 {
        while choices.len() < count {
            choices.push(
                (0..groups)
                    .map(|_| pool[random.below(pool.len())])
                    .collect(),
            );
        }
    }
    choices
}

/// Choices that differ from one in the field in one group.
fn near_choices(
    field: &[Runner],
    pool: &[f64],
    count: usize,
    random: &mut Random,
) -> Vec<Vec<f64>> {
    if field.is_empty() {
        return Vec::new();
    }
    (0..count)
        .map(|_| {
            let mut offsets = field[random.below(field.len())].offsets_mm.clone();
            let group = random.below(offsets.len());
            offsets[group] = pool[random.below(pool.len())];
            offsets
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Choices stay within the pool, have an offset for each group, and are as many as asked.
    #[test]
    fn choices_come_from_the_pool() {
        let pool = [0.0, 3.5, 7.25, 11.0];
        for groups in 1..=3 {
            let choices = any_choices(groups, &pool, 9, &mut Random::new(5));
            let expected = if groups == 1 { pool.len() } else { 9 };
            assert_eq!(choices.len(), expected);
            for choice in choices {
                assert_eq!(choice.len(), groups);
                assert!(choice.iter().all(|offset| pool.contains(offset)));
            }
        }
    }
}
