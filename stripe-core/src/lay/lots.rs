//! The same pieces many times over from one length: a block of them is laid well, and repeated
//! along the fabric.
//!
//! Lots are equal, so what nests well once nests well every time, and a search need not find it
//! again for each. A block of one lot (of a few, where these are small) is laid like any job.
//! Copies of it lie one behind the other at the least **period** at which no two overlap; that
//! is less than the block is long, for its ends are uneven and enter each other. The period is
//! then shortened by itself: cut anywhere else, the endless row of blocks has the same period but
//! another beginning, and most of that block is built anew by a beam (`recreate`), between the
//! pieces that stay and where these lie again after a shorter period. At last all is pushed together. Pieces of one lot stay near each other, so that lots can be cut one by one.
//!
//! Own method; beams and ruin-and-recreate as described there.

use super::beam_parameters::BeamParameters;
use super::bound::easy_bounds;
use super::compaction::drop_down;
use super::data::{Item, Job, Layout, Lock, Placement};
use super::effort::{Control, Effort, Progress};
use super::error::LayError;
use super::first::length_of;
use super::guided_search::is_valid;
use super::hand::lay_by_hand;
use super::instance::{Instance, LinePlacement};
use super::outline::{Interval, UNITS_PER_MM};
use super::recreate::{BeamContexts, recreate_within, shifted};
use super::run::{Outcome, Searched, lay_as_one, search_all, settle};
use super::starts::{Found, Start};
use super::validate::check;
use crate::rng::Rng;
use rayon::prelude::*;

/// Jobs of no more pieces than this are laid as one besides, for there the search still gains.
const AS_ONE: usize = 400;
/// A block has at least so many pieces, if lots are enough: of few pieces the ends are too much.
const LEAST_BLOCK: usize = 100;
/// Of the blocks known, so many of the best are built on.
const KEPT: usize = 4;
/// By hand so many choices of offsets are tried.
const HANDS: usize = 2;
/// Blocks built anew in a turn, side by side.
const TRIES: usize = 16;
/// The least part of a block that is built anew (in 16ths), and the largest.
const RUINED: std::ops::RangeInclusive<usize> = 3..=14;
/// The period is to become shorter by less than so many thousandths.
const SHORTER: usize = 16;

/// Lays a job as well as the effort allows.
///
/// On one machine the same job and effort give the same layout, on any number of threads,
/// unless `control` stops it.
///
/// # Errors
/// [`LayError`] where the job cannot be laid.
///
/// # Panics
/// Never: every instance keeps its first layout.
pub fn lay(job: &Job, effort: &Effort, control: &Control<'_>) -> Result<Outcome, LayError> {
    // On fabric in hand, one lot by itself says nothing.
    if !has_lots(job) || !job.obstacles.regions.is_empty() {
        return lay_as_one(job, effort, control);
    }
    // All of it is to be sound, not one lot alone.
    check(job)?;
    let repeated = if can_repeat(job) {
        repeat_block(job, effort, control)?
    } else {
        None
    };
    let together = match repeated {
        Some(repeated) if job.items.len() > AS_ONE => repeated,
        repeated => {
            let as_one = lay_as_one(job, effort, control)?;
            let shorter = |other: &Outcome| other.layout.length_mm < as_one.layout.length_mm;
            repeated.filter(shorter).unwrap_or(as_one)
        }
    };
    let one_lot_mm = match together.one_lot_mm {
        Some(length_mm) => Some(length_mm),
        None => one_lot_mm(job, effort, control)?,
    };
    Ok(Outcome {
        one_lot_mm,
        ..together
    })
}

/// The length (mm) of one lot, laid by itself; nothing where that search was cut short, for
/// beside it any layout would look good.
fn one_lot_mm(job: &Job, effort: &Effort, control: &Control<'_>) -> Result<Option<f64>, LayError> {
    // Nobody waits for its length: it is not what is asked for.
    let silent = Control {
        progress: None,
        ..*control
    };
    let one = lay_as_one(&part_of(job, 1), effort, &silent)?;
    Ok((!one.stopped).then_some(one.layout.length_mm))
}

/// Whether the items are the same kinds lot by lot, as the job says.
fn has_lots(job: &Job) -> bool {
    let each = job.items.len() / job.lots.max(1);
    job.lots > 1
        && each > 0
        && each * job.lots == job.items.len()
        && (each..job.items.len()).all(|i| job.items[i].kind == job.items[i - each].kind)
}

/// Whether blocks may be moved along the fabric by any length.
fn can_repeat(job: &Job) -> bool {
    let runs_along = crate::shape::unit(job.window.normal_rad).y.abs() < 1e-12;
    runs_along && !matches!(job.lock, Lock::Points { .. })
}

/// The first so many lots of a job, with the groups that they belong to.
fn part_of(job: &Job, lots: usize) -> Job {
    let count = job.items.len() / job.lots * lots;
    let mut groups: Vec<usize> = Vec::new();
    let items = job.items[..count].iter().map(|&item| Item {
        group: item.group.map(|group| number(&mut groups, group)),
        ..item
    });
    let items = items.collect();
    Job {
        items,
        lots: 1,
        groups: groups.len(),
        ..job.clone()
    }
}

/// The place of a group among those seen so far.
fn number(groups: &mut Vec<usize>, group: usize) -> usize {
    groups.iter().position(|&g| g == group).unwrap_or_else(|| {
        groups.push(group);
        groups.len() - 1
    })
}

/// A block of pieces, and the least length (units) after which it may lie again.
#[derive(Debug, Clone)]
struct Block {
    placements: Vec<LinePlacement>,
    /// Of each group (lines).
    offsets: Vec<i64>,
    period: f64,
    length: f64,
    parameters: BeamParameters,
}

impl Block {
    fn new(
        instance: &Instance,
        placements: Vec<LinePlacement>,
        offsets: Vec<i64>,
        parameters: BeamParameters,
    ) -> Self {
        let length = length_of(instance, &placements);
        Self {
            period: period(instance, &placements, length),
            placements,
            offsets,
            length,
            parameters,
        }
    }

    /// The length (units) of so many of them.
    fn repeated(&self, times: usize) -> f64 {
        self.length + self.period * (times - 1) as f64
    }
}

/// The layout of all lots by repeated blocks; `None` where it turns out to be none.
fn repeat_block(
    job: &Job,
    effort: &Effort,
    control: &Control<'_>,
) -> Result<Option<Outcome>, LayError> {
    let each = job.items.len() / job.lots;
    let is_enough = |lots: &usize| job.lots.is_multiple_of(*lots) && lots * each >= LEAST_BLOCK;
    let lots = (1..job.lots).find(is_enough).unwrap_or(1);
    let times = job.lots / lots;
    let part = part_of(job, lots);
    // What is told of a block is told of all.
    let told = control.progress.map(|tell| {
        move |progress: Progress<'_>| {
            tell(Progress {
                share: progress.share / 2.0,
                length_mm: progress.length_mm * times as f64,
                ..progress
            });
        }
    });
    let of_block = Control {
        stop: control.stop,
        progress: told
            .as_ref()
            .map(|tell| tell as &(dyn Fn(Progress<'_>) + Sync)),
    };
    let searched = search_all(&part, effort, &of_block)?;
    let is_whole = !control.is_stopped();
    let (start, block) = best_block(&searched, times, effort, control);
    let of_all = |of_block: &Instance| {
        let kinds = of_block.items.iter().cycle().map(|item| item.0);
        let items = kinds.zip(&job.items).map(|(kind, item)| (kind, item.group));
        of_block.with_items(items.collect(), job.groups)
    };
    let instance = of_all(&start.instance);
    let mut placements = in_a_row(&instance, &block.placements, block.period, times);
    drop_down(&instance, &mut placements);
    let length = length_of(&instance, &placements);
    if !is_valid(&instance, &placements, length) {
        return Ok(None);
    }
    // Offsets of a block's groups are those of every lot's.
    let mut of_part = vec![None; job.groups];
    for (item, in_part) in job.items.iter().zip(part.items.iter().cycle()) {
        if let Some(group) = item.group {
            of_part[group] = in_part.group;
        }
    }
    let of_all_groups = |start: &Start, of_block: &[i64]| {
        let offsets: Vec<i64> = spread_out(&of_part, of_block);
        let offsets_mm: Vec<f64> = spread_out(&of_part, &start.offsets_mm);
        (offsets, offsets_mm)
    };
    let (offsets, offsets_mm) = of_all_groups(start, &block.offsets);
    // By hand, too, the best offsets are taken, and what was found for a block may be done again.
    let again = again_and_again(&searched.by_hand, &of_part, job, times);
    let mut by_hand = (searched.by_hand_way, again);
    let hands = std::iter::once(start).chain(searched.starts.iter().take(HANDS));
    for start in hands {
        let instance = of_all(&start.instance);
        let apart = start.length + 2.0 * instance.margin();
        let first = in_a_row(&instance, &start.placements, apart.ceil(), times);
        let (offsets, offsets_mm) = of_all_groups(start, &start.offsets);
        let found = lay_by_hand(&instance, job, &first, &offsets);
        let layout = to_layout(&instance, &found.placements, &found.offsets, &offsets_mm);
        if layout.length_mm < by_hand.1.length_mm {
            by_hand = (found.way, layout);
        }
    }
    Ok(Some(Outcome {
        layout: to_layout(&instance, &placements, &offsets, &offsets_mm),
        first_length_mm: searched.first_length * times as f64 / UNITS_PER_MM,
        bounds: easy_bounds(&of_all(&searched.starts[0].instance), job, length),
        by_hand: by_hand.1,
        by_hand_way: by_hand.0,
        moves: searched.moves,
        stopped: control.is_stopped(),
        one_lot_mm: (lots == 1 && is_whole)
            .then(|| settle(&part, &searched, control).layout.length_mm),
    }))
}

/// A block so many times, each so far (units) along the fabric from the one before.
fn in_a_row(
    instance: &Instance,
    block: &[LinePlacement],
    apart: f64,
    times: usize,
) -> Vec<LinePlacement> {
    let one = |k: usize| {
        let shift = instance.upward() * apart * k as f64;
        let moved = move |placement: &LinePlacement| LinePlacement {
            v: placement.v + shift,
            ..*placement
        };
        block.iter().map(moved)
    };
    (0..times).flat_map(one).collect()
}

/// What the groups of a block have, for all groups that are like them.
fn spread_out<T: Copy + Default>(of_part: &[Option<usize>], of_block: &[T]) -> Vec<T> {
    let one = |group: &Option<usize>| of_block.get((*group)?).copied();
    of_part
        .iter()
        .map(|group| one(group).unwrap_or_default())
        .collect()
}

/// The layout of a block done so many times, one behind the other.
fn again_and_again(block: &Layout, of_part: &[Option<usize>], job: &Job, times: usize) -> Layout {
    let apart_mm = block.length_mm + 2.0 * job.window.margin_mm;
    // Stripes run along the fabric, one way or the other.
    let sense = crate::shape::unit(job.window.normal_rad).x.signum();
    let one = |k: usize| {
        let moved = move |placement: &Placement| Placement {
            v_mm: placement.v_mm + sense * apart_mm * k as f64,
            ..*placement
        };
        block.placements.iter().map(moved)
    };
    Layout {
        length_mm: block.length_mm + apart_mm * (times - 1) as f64,
        placements: (0..times).flat_map(one).collect(),
        offsets: spread_out(of_part, &block.offsets),
    }
}

fn to_layout(
    instance: &Instance,
    placements: &[LinePlacement],
    offsets: &[i64],
    offsets_mm: &[f64],
) -> Layout {
    let place = |placement: &LinePlacement| {
        let orientation = placement.orientation as usize;
        Placement {
            pose: instance.orientations[orientation].pose,
            u_mm: instance.u(orientation, i64::from(placement.line)) / UNITS_PER_MM,
            v_mm: placement.v / UNITS_PER_MM,
        }
    };
    let offset = |(lines, mm): (&i64, &f64)| mm + *lines as f64 * instance.pitch / UNITS_PER_MM;
    Layout {
        length_mm: length_of(instance, placements).max(0.0) / UNITS_PER_MM,
        placements: placements.iter().map(place).collect(),
        offsets: offsets.iter().zip(offsets_mm).map(offset).collect(),
    }
}

/// The block whose repetition is shortest, and the instance on which it lies.
fn best_block<'a>(
    searched: &'a Searched,
    times: usize,
    effort: &Effort,
    control: &Control<'_>,
) -> (&'a Start, Block) {
    let mut rng = Rng::new(effort.seed);
    let parameters = BeamParameters::any(rng.bits());
    let found: Vec<&Found> = std::iter::once(&searched.best)
        .chain(&searched.layouts)
        .collect();
    let mut blocks: Vec<(usize, Block)> = found
        .par_iter()
        .map(|found| {
            let instance = &searched.starts[found.instance].instance;
            let block = Block::new(
                instance,
                found.placements.clone(),
                found.offsets.clone(),
                parameters,
            );
            (found.instance, block)
        })
        .collect();
    let by_length = |a: &Block, b: &Block| a.repeated(times).total_cmp(&b.repeated(times));
    blocks.sort_by(|a, b| by_length(&a.1, &b.1));
    let at = blocks[0].0;
    let start = &searched.starts[at];
    // Layouts on one instance may differ in their offsets where these are free.
    let same = |block: &(usize, Block)| block.0 == at && start.instance.stride == 1;
    let mut known: Vec<Block> = vec![blocks[0].1.clone()];
    known.extend(blocks[1..].iter().filter(|b| same(b)).map(|b| b.1.clone()));
    known.truncate(KEPT);
    let Some(contexts @ BeamContexts::Along(both)) = &start.contexts else {
        return (start, known.swap_remove(0));
    };
    let instance = &start.instance;
    let beam = contexts.work(instance, start.length).max(1);
    let beams = (effort.race_work() / beam) as f64;
    let items = instance.items.len();
    let mut spent = 0.0;
    while spent < beams && items > 2 && !control.is_stopped() {
        let tries: Vec<(usize, usize, usize, f64, BeamParameters)> = (0..TRIES)
            .map(|_| {
                let from = rng.below(known.len()).min(rng.below(known.len()));
                let ruined = items * rng.whole(*RUINED.start(), *RUINED.end()) / 16;
                let parameters = if rng.below(2) == 0 {
                    BeamParameters::any(rng.bits())
                } else {
                    known[from].parameters.near(&mut rng)
                };
                let shorter = rng.below(SHORTER).min(rng.below(SHORTER)) as f64 / 1000.0;
                (from, rng.below(items), ruined.max(1), shorter, parameters)
            })
            .collect();
        spent += tries.iter().map(|t| t.2 as f64 / items as f64).sum::<f64>();
        let new: Vec<Block> = tries
            .par_iter()
            .filter_map(|&(from, cut, ruined, shorter, parameters)| {
                let begun = begin_elsewhere(instance, &known[from], cut)?;
                let period = (known[from].period * (1.0 - shorter)).floor();
                let again = recreate_within(
                    instance,
                    &both.0,
                    &begun,
                    items - ruined,
                    period,
                    parameters,
                    control,
                )?;
                Some(Block::new(
                    instance,
                    again,
                    known[from].offsets.clone(),
                    parameters,
                ))
            })
            .collect();
        known.extend(new);
        known.sort_by(by_length);
        known.dedup_by(|a, b| a.repeated(times) == b.repeated(times));
        known.truncate(KEPT);
        if let Some(tell) = control.progress {
            tell(Progress {
                what: "",
                share: 0.5 + 0.5 * (spent / beams).min(1.0),
                length_mm: known[0].repeated(times) / UNITS_PER_MM,
                moves: searched.moves,
            });
        }
    }
    (start, known.swap_remove(0))
}

/// The endless row of a block, cut so that the so many lowest pieces of one come last: a block of
/// the same period.
fn begin_elsewhere(instance: &Instance, block: &Block, cut: usize) -> Option<Vec<LinePlacement>> {
    let mut order: Vec<(f64, usize)> = block
        .placements
        .iter()
        .enumerate()
        .map(|(item, &placement)| (instance.corner(placement).0, item))
        .collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let mut placements = block.placements.clone();
    for &(_, item) in &order[..cut] {
        placements[item].v += instance.upward() * block.period;
    }
    shifted(instance, &placements, block.length + block.period)
}

/// The least shift along the fabric (units) at which a layout, repeated again and again, does not
/// overlap itself.
fn period(instance: &Instance, placements: &[LinePlacement], length: f64) -> f64 {
    let sense = instance.upward();
    // One behind the other is always right.
    let longest = (length + 2.0 * instance.margin()).ceil();
    let mut taken: Vec<Interval> = Vec::new();
    for &a in placements {
        for &b in placements {
            let apart = b.v - a.v;
            taken.extend(instance.intervals(a, b).iter().filter_map(|span| {
                let (x, y) = (sense * (span.lo - apart), sense * (span.hi - apart));
                let (lo, hi) = (x.min(y), x.max(y));
                (hi > 0.0).then_some(Interval { lo, hi })
            }));
        }
    }
    taken.sort_by(|a, b| a.lo.total_cmp(&b.lo));
    let mut joined: Vec<Interval> = Vec::new();
    for span in taken {
        match joined.last_mut() {
            Some(last) if span.lo < last.hi => last.hi = last.hi.max(span.hi),
            _ => joined.push(span),
        }
    }
    let end = joined.last().map_or(0.0, |span| span.hi);
    let is_free = |shift: f64| !joined.iter().any(|span| span.lo < shift && shift < span.hi);
    joined
        .iter()
        .map(|span| span.hi.ceil())
        .filter(|&shift| shift > 0.0 && shift < longest)
        .find(|&shift| {
            let mut again = (1..).map(|times| shift * f64::from(times));
            again.by_ref().take_while(|&shift| shift < end).all(is_free)
        })
        .unwrap_or(longest)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::trial::odd_pieces;

    /// `lots` times the same pieces.
    fn lots_of(count: usize, lots: usize, groups: usize) -> Job {
        let one = odd_pieces(count, groups, 0.0, 5);
        let items = (0..lots).flat_map(|_| one.items.clone()).collect();
        Job { items, lots, ..one }
    }

    /// The period is the least at which blocks are clear of each other: one unit less overlaps,
    /// itself and its multiples do not.
    #[test]
    fn a_block_may_lie_again_after_its_period_and_no_earlier() {
        for seed in 0..4 {
            let job = odd_pieces(12, 0, 0.0, seed);
            let instance = Instance::new(&job).unwrap();
            let contexts = BeamContexts::new(&job, &instance).unwrap();
            let parameters = BeamParameters::any(seed);
            let placements = contexts
                .create(&instance, 0.0, parameters, &Control::default())
                .unwrap();
            let block = Block::new(&instance, placements, vec![], parameters);
            assert!(block.period < block.length, "uneven ends enter each other");
            let row = |shift: f64| {
                let blocks = (0..3).flat_map(|k| {
                    let shift = instance.upward() * shift * f64::from(k);
                    let moved = move |p: &LinePlacement| LinePlacement {
                        v: p.v + shift,
                        ..*p
                    };
                    block.placements.iter().map(moved)
                });
                let placements: Vec<LinePlacement> = blocks.collect();
                is_valid(&instance, &placements, length_of(&instance, &placements))
            };
            assert!(row(block.period), "seed {seed}");
            assert!(!row(block.period - 1.0), "seed {seed}");
            // Cut elsewhere it may lie again after the same period, at times earlier.
            for cut in [1, 5, 11] {
                let begun = begin_elsewhere(&instance, &block, cut).unwrap();
                let again = Block::new(&instance, begun, vec![], parameters);
                assert!(again.period <= block.period);
            }
        }
    }

    /// Lots laid together are no longer than as many layouts of one, the same on one thread and on
    /// three; every piece has a place, and equal groups of different lots one offset.
    #[test]
    fn lots_together_are_shorter_than_one_by_one() {
        for (count, lots, groups) in [(60, 8, 0), (52, 10, 2), (24, 3, 1)] {
            let job = lots_of(count, lots, groups);
            let effort = Effort {
                work: 100_000,
                ..Effort::quick(3)
            };
            let on = |threads: usize| {
                let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
                let run = || lay(&job, &effort, &Control::default()).unwrap();
                pool.build().unwrap().install(run)
            };
            let found = on(1);
            assert_eq!(found.layout, on(3).layout);
            assert_eq!(found.layout.placements.len(), count * lots);
            let one_by_one = found.one_lot_mm.unwrap() * lots as f64;
            assert!(
                found.layout.length_mm < one_by_one,
                "{} {one_by_one}",
                found.layout.length_mm
            );
            assert!(found.bounds.best().length_mm <= found.layout.length_mm);
        }
    }
}
