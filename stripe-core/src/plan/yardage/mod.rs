//! How much of a striped fabric a pattern needs whose next maker has another stripe: the fabric's
//! bands as wide as each repeat in question, on each width, laid and checked.
//!
//! A layout for a stripe that allows less is one for a stripe that allows more: on wider fabric, with
//! pieces turned about, with copies each at their own place. So a length found for one of these
//! stands for the others too, where it is shorter. What is told to buy is always what a layout that
//! passed [`check`](crate::check::check) takes, rounded up to the shop's step.

mod cell;
mod jumps;
mod lines;
mod promise;
#[cfg(test)]
mod tests;

pub use jumps::Jump;
pub use promise::{Promise, PromiseStep, Surplus};

use super::error::Error;
use super::notes::buy;
use crate::buy::fabric_cuts;
use crate::fabric::{Fabric, Pattern, Run};
use crate::lay::{Control, Effort};
use crate::length::Unit;
use crate::motif::Copies;
use crate::project::{Choice, ChoiceError, Project};
use crate::quilt::lay_out;
use crate::record::{Buy, FabricPlan, LessNote};
use cell::{OneFabric, with_kind};
use lines::Lines;
use rayon::prelude::*;
use std::sync::atomic::{AtomicUsize, Ordering};

/// So many combinations of repeat and width are asked for at most.
pub const MOST_REPEATS: usize = 200;
/// Where a layout shorter by less than this share would save a step in the shop, it is looked for
/// with the whole effort: about the most that this gains. Of the harbour's awning, repeating in 4 in on
/// 40 in, a brief search found 17 in, the whole one 15 3/4 in.
const NEAR_STEP: f64 = 0.1;
/// Where the search for the worst place between two repeats goes on, it goes on so often.
const MORE_ROUNDS: usize = 2;

/// What is known of the stripe that a maker may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StripeKind {
    /// As the project's own, but for its repeat.
    AsItIs,
    /// It reads otherwise from left than from right.
    NoMirrorLine,
    /// No piece may be turned upside down.
    OneWay,
    /// Only its right side may show.
    RightSideOnly,
    /// All three of these, and beginning anywhere beside the selvage: whatever serves it, serves
    /// every stripe.
    Any,
}

impl StripeKind {
    /// Whether a layout for `self` is one for `other`.
    fn serves(self, other: Self) -> bool {
        self == Self::Any || self == other || other == Self::AsItIs
    }
}

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct YardageQuestion {
    /// The striped fabric.
    pub fabric: String,
    /// The repeats across its stripe (mm).
    pub repeats_mm: Vec<f64>,
    /// Its usable widths (mm).
    pub widths_mm: Vec<f64>,
    /// How copies of a motif may show the stripe.
    pub copies: Vec<Copies>,
    /// For which kinds of stripe.
    pub kinds: Vec<StripeKind>,
    /// For which others besides, on the narrowest width alone.
    pub also: Vec<StripeKind>,
}

/// Why nothing can be told.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum YardageError {
    /// A project that no plan can be made of, whatever the repeat.
    #[error(transparent)]
    Plan(#[from] Error),
    /// A fabric that cannot be asked about.
    #[error(transparent)]
    Choice(#[from] ChoiceError),
    /// A fabric from which no motif is cut.
    #[error("no motif is cut from fabric `{0}`")]
    NotUsed(String),
    /// Nothing, or too much, is asked for.
    #[error("{0} repeats and widths are asked for: from 1 to {MOST_REPEATS} can be laid")]
    Count(usize),
}

/// One repeat on one width (lengths in mm).
#[derive(Debug, Clone, PartialEq)]
pub struct YardageCell {
    /// The repeat.
    pub repeat_mm: f64,
    /// The usable width.
    pub width_mm: f64,
    /// How copies show the stripe.
    pub copies: Copies,
    /// What the stripe allows.
    pub kind: StripeKind,
    /// Whether it was not asked for, but lies between two repeats where a line is lost.
    pub is_between: bool,
    /// What came of it; `Err` tells why nothing can be laid.
    pub found: Result<YardageNote, String>,
}

/// What was found for one cell (lengths in mm).
#[derive(Debug, Clone, PartialEq)]
pub struct YardageNote {
    /// The length that the motif pieces take.
    pub length_mm: f64,
    /// No layout of them is shorter.
    pub least_mm: f64,
    /// The length that straight pieces of the same fabric take besides.
    pub straight_mm: f64,
    /// What to ask for in the shop.
    pub buy: Buy,
}

/// All that was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Yardage {
    /// The fabric.
    pub fabric: String,
    /// The unit of the project.
    pub unit: Unit,
    /// By kind of stripe, copies, width and repeat; where the search was stopped, not all.
    pub cells: Vec<YardageCell>,
    /// Where a step of the shop more or less is needed, for the strictest kind that was asked for.
    pub jumps: Vec<Jump>,
    /// What can be printed in the pattern, if every repeat was laid that it speaks of.
    pub promise: Option<Promise>,
    /// So many layouts were made and checked.
    pub layouts: usize,
    /// Whether cells are missing because the search was stopped.
    pub is_cut_short: bool,
}

/// What one cell is about.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Spot {
    repeat_mm: f64,
    width_mm: f64,
    copies: Copies,
    kind: StripeKind,
    is_between: bool,
}

/// Lays a striped fabric for every repeat on every width that is asked for, and in between where
/// the most would be needed; `done` is told how many layouts of how many are made.
///
/// The same question and effort give the same answer on any number of threads, unless `control`
/// stops it: then what was laid by then comes back.
///
/// # Errors
/// See [`YardageError`]. A repeat that cannot be laid is told in its cell.
pub fn yardage(
    project: &Project,
    question: &YardageQuestion,
    effort: &Effort,
    control: &Control<'_>,
    done: &(dyn Fn(usize, usize) + Sync),
) -> Result<Yardage, YardageError> {
    let asked = Asked::new(project, question)?;
    let mut work = Work {
        asked: &asked,
        effort,
        control,
        done,
        finished: AtomicUsize::new(0),
        planned: 0,
    };
    let mut cells = work.lay(asked.first_spots());
    for _ in 0..MORE_ROUNDS {
        let more = asked.more_spots(&cells);
        if more.is_empty() || control.is_stopped() {
            break;
        }
        cells.extend(work.lay(more));
    }
    cells.sort_by(|a, b| {
        asked
            .key(a)
            .partial_cmp(&asked.key(b))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    share(&asked, &mut cells);
    let layouts = work.finished.load(Ordering::Relaxed);
    Ok(Yardage {
        fabric: question.fabric.clone(),
        unit: project.unit,
        jumps: jumps::jumps(&asked, &cells),
        promise: promise::promise(&asked, &cells),
        is_cut_short: layouts < work.planned || control.is_stopped(),
        layouts,
        cells,
    })
}

/// The question, sorted and held to the project.
struct Asked<'a> {
    project: Project,
    question: &'a YardageQuestion,
    fabric: Fabric,
    repeats_mm: Vec<f64>,
    widths_mm: Vec<f64>,
    /// What straight pieces take, width by width (mm).
    straight_mm: Vec<f64>,
    /// The strictest of what is asked: what the promise is about.
    strict: (StripeKind, Copies),
    /// Lines on each width.
    lines: Vec<Lines>,
    /// Whether the stripe's beginning matters.
    has_fixed: bool,
}

impl<'a> Asked<'a> {
    fn new(project: &Project, question: &'a YardageQuestion) -> Result<Self, YardageError> {
        let sorted = |lengths: &[f64]| {
            let mut lengths = lengths.to_vec();
            lengths.sort_by(f64::total_cmp);
            lengths.dedup_by(|a, b| (*a - *b).abs() < 0.01);
            lengths
        };
        let repeats_mm = sorted(&question.repeats_mm);
        let widths_mm = sorted(&question.widths_mm);
        let count = repeats_mm.len().saturating_mul(widths_mm.len());
        let is_empty = question.copies.is_empty() || question.kinds.is_empty();
        if count == 0 || count > MOST_REPEATS || is_empty {
            return Err(YardageError::Count(count));
        }
        let mut project = project.clone();
        for fabric in &mut project.fabrics {
            if fabric.name == question.fabric {
                fabric.in_hand.clear();
            }
        }
        project.validate().map_err(Error::Project)?;
        let fabric = project.fabric(&question.fabric).cloned();
        let fabric = fabric.ok_or_else(|| YardageError::NotUsed(question.fabric.clone()))?;
        let strict_kind = question.kinds.iter().copied().reduce(|a, b| match (a, b) {
            (StripeKind::Any, _) | (_, StripeKind::AsItIs) => a,
            _ => b,
        });
        let strict_copies = question.copies.contains(&Copies::Alike);
        let mut asked = Self {
            project,
            question,
            fabric,
            straight_mm: vec![],
            strict: (
                strict_kind.unwrap_or(StripeKind::Any),
                if strict_copies {
                    Copies::Alike
                } else {
                    Copies::Own
                },
            ),
            lines: vec![],
            has_fixed: false,
            repeats_mm,
            widths_mm,
        };
        let (kind, copies) = asked.strict;
        let mut wrong = None;
        for &width_mm in &asked.widths_mm {
            // The least repeat is the one that fits on the fabric, if any does.
            let one = asked.one(&Spot {
                repeat_mm: asked.repeats_mm[0],
                width_mm,
                copies,
                kind,
                is_between: false,
            });
            match one {
                Ok(one) => {
                    asked.lines.push(
                        one.lines()
                            .map_err(|_| YardageError::NotUsed(question.fabric.clone()))?,
                    );
                    asked.has_fixed |= one.has_fixed_offsets();
                }
                Err(fault) => wrong = Some(fault),
            }
            asked.straight_mm.push(asked.straight(width_mm)?);
        }
        match wrong {
            Some(fault) => Err(fault),
            None => Ok(asked),
        }
    }

    /// The project of one cell, worked out.
    fn one(&self, spot: &Spot) -> Result<OneFabric, YardageError> {
        Ok(OneFabric::new(self.made(spot)?, &self.question.fabric)?)
    }

    fn made(&self, spot: &Spot) -> Result<Project, YardageError> {
        let name = &self.question.fabric;
        let project = self.project.with(&Choice {
            widths_mm: vec![(name.clone(), spot.width_mm)],
            repeats_mm: vec![(name.clone(), spot.repeat_mm)],
            copies: Some(spot.copies),
            ..Choice::default()
        })?;
        Ok(with_kind(project, name, spot.kind))
    }

    /// What straight pieces of the planned quilt take of the fabric at that width (mm).
    fn straight(&self, width_mm: f64) -> Result<f64, YardageError> {
        let Some(quilt) = self.project.quilts.first() else {
            return Ok(0.0);
        };
        let fabrics: Vec<Fabric> = (self.project.fabrics.iter())
            .filter(|fabric| fabric.name == self.question.fabric)
            .map(|fabric| Fabric {
                width_mm,
                ..fabric.clone()
            })
            .collect();
        let cuts = fabric_cuts(quilt, &lay_out(quilt), &fabrics).map_err(|(fabric, fault)| {
            super::quilt::straight_fault(self.project.unit, fabric, fault)
        })?;
        Ok(cuts.iter().map(|one| one.cuts.length_mm).sum())
    }

    /// What is asked for, and the worst place between each two repeats.
    fn first_spots(&self) -> Vec<Spot> {
        let mut spots = vec![];
        for &kind in &self.question.kinds {
            for &copies in &self.question.copies {
                for &width_mm in &self.widths_mm {
                    spots.extend(self.row(width_mm, copies, kind));
                }
            }
        }
        let narrowest = self.widths_mm.iter().take(1);
        for &width_mm in narrowest {
            for &kind in &self.question.also {
                for &copies in &self.question.copies {
                    spots.extend(self.row(width_mm, copies, kind));
                }
            }
        }
        for (i, &width_mm) in self.widths_mm.iter().enumerate() {
            for ends in self.repeats_mm.windows(2) {
                let worst = self.lines[i].worst_between(ends[0], ends[1]);
                spots.extend(worst.first().map(|&at| self.between(at, width_mm)));
            }
        }
        spots
    }

    fn row(
        &self,
        width_mm: f64,
        copies: Copies,
        kind: StripeKind,
    ) -> impl Iterator<Item = Spot> + '_ {
        self.repeats_mm.iter().map(move |&repeat_mm| Spot {
            repeat_mm,
            width_mm,
            copies,
            kind,
            is_between: false,
        })
    }

    fn between(&self, repeat_mm: f64, width_mm: f64) -> Spot {
        Spot {
            repeat_mm,
            width_mm,
            copies: self.strict.1,
            kind: self.strict.0,
            is_between: true,
        }
    }

    /// Further places between two repeats, where those tried so far need more than either end.
    fn more_spots(&self, cells: &[YardageCell]) -> Vec<Spot> {
        let mut spots = vec![];
        for (i, &width_mm) in self.widths_mm.iter().enumerate() {
            for ends in self.repeats_mm.windows(2) {
                let inside = |cell: &&YardageCell| {
                    self.is_strict(cell)
                        && cell.width_mm == width_mm
                        && cell.repeat_mm >= ends[0]
                        && cell.repeat_mm <= ends[1]
                };
                let (between, at_ends): (Vec<&YardageCell>, Vec<_>) = cells
                    .iter()
                    .filter(inside)
                    .partition(|cell| cell.is_between);
                let most = |cells: &[&YardageCell]| {
                    let bought = cells.iter().filter_map(|cell| cell.buy_mm());
                    bought.fold(0.0, f64::max)
                };
                if most(&between) <= most(&at_ends) {
                    continue;
                }
                let worst = self.lines[i].worst_between(ends[0], ends[1]);
                let is_new = |at: &&f64| between.iter().all(|cell| cell.repeat_mm != **at);
                let next = worst.iter().filter(is_new).take(2);
                spots.extend(next.map(|&at| self.between(at, width_mm)));
            }
        }
        spots
    }

    fn is_strict(&self, cell: &YardageCell) -> bool {
        (cell.kind, cell.copies) == self.strict
    }

    /// By what cells are sorted.
    fn key(&self, cell: &YardageCell) -> (usize, usize, f64, f64) {
        let (kinds, also) = (self.question.kinds.iter(), &self.question.also);
        let copies = &self.question.copies;
        (
            kinds
                .chain(also)
                .position(|&kind| kind == cell.kind)
                .unwrap_or(0),
            copies
                .iter()
                .position(|&one| one == cell.copies)
                .unwrap_or(0),
            cell.width_mm,
            cell.repeat_mm,
        )
    }

    fn straight_at(&self, width_mm: f64) -> f64 {
        let at = self.widths_mm.iter().position(|&width| width == width_mm);
        at.map_or(0.0, |at| self.straight_mm[at])
    }

    fn note(&self, width_mm: f64, length_mm: f64, least_mm: f64) -> YardageNote {
        let straight_mm = self.straight_at(width_mm);
        let used_mm = length_mm + straight_mm;
        YardageNote {
            length_mm,
            least_mm,
            straight_mm,
            buy: buy(&self.fabric, used_mm, self.project.unit),
        }
    }
}

impl YardageCell {
    /// What to ask for in the shop (mm), if it can be laid.
    pub fn buy_mm(&self) -> Option<f64> {
        self.found.as_ref().ok().map(|note| note.buy.length_mm)
    }
}

/// The laying itself.
struct Work<'a> {
    asked: &'a Asked<'a>,
    effort: &'a Effort,
    control: &'a Control<'a>,
    done: &'a (dyn Fn(usize, usize) + Sync),
    finished: AtomicUsize,
    planned: usize,
}

/// One layout to be made, for all cells that it serves alike.
struct Task {
    spots: Vec<Spot>,
    /// One for each beginning of the stripe that is laid.
    ones: Vec<OneFabric>,
    /// Added to the longest of them (mm).
    extra_mm: f64,
}

impl Work<'_> {
    fn lay(&mut self, spots: Vec<Spot>) -> Vec<YardageCell> {
        let made: Vec<(Spot, Result<(Vec<OneFabric>, f64), YardageError>)> = spots
            .into_par_iter()
            .map(|spot| (spot, self.beginnings(&spot)))
            .collect();
        let mut cells = vec![];
        let mut tasks: Vec<Task> = vec![];
        for (spot, made) in made {
            match made {
                Ok((ones, extra_mm)) => {
                    let is_like = |task: &&mut Task| {
                        let first = task.spots[0];
                        first.width_mm == spot.width_mm
                            && first.repeat_mm == spot.repeat_mm
                            && task.ones.len() == ones.len()
                            && task.ones.iter().zip(&ones).all(|(a, b)| a.is_like(b))
                    };
                    match tasks.iter_mut().find(is_like) {
                        Some(task) => task.spots.push(spot),
                        None => tasks.push(Task {
                            spots: vec![spot],
                            ones,
                            extra_mm,
                        }),
                    }
                }
                Err(fault) => cells.push(cell(&spot, Err(fault.to_string()))),
            }
        }
        self.planned += tasks.iter().map(|task| task.ones.len()).sum::<usize>();
        let laid: Vec<Vec<YardageCell>> = tasks
            .par_iter()
            .map(|task| {
                let Some(found) = self.lay_task(task) else {
                    return vec![];
                };
                let found = found.map_err(|fault| fault.to_string());
                let cells = task.spots.iter().map(|spot| {
                    let note = found.clone().map(|(length_mm, least_mm)| {
                        self.asked.note(spot.width_mm, length_mm, least_mm)
                    });
                    cell(spot, note)
                });
                cells.collect()
            })
            .collect();
        cells.extend(laid.into_iter().flatten());
        cells
    }

    /// The fabric of a cell, once for every place where its stripe is made to begin; and what
    /// is added to the length that it takes.
    fn beginnings(&self, spot: &Spot) -> Result<(Vec<OneFabric>, f64), YardageError> {
        let asked = self.asked;
        if spot.kind != StripeKind::Any || !asked.has_fixed {
            return Ok((vec![asked.one(spot)?], 0.0));
        }
        let made = asked.made(spot)?;
        let name = &asked.question.fabric;
        let origin = made.fabric(name).and_then(Fabric::stripe);
        let (origin_mm, run) = origin.map_or((0.0, Run::Lengthwise), |stripe| {
            (stripe.origin_mm(), stripe.run())
        });
        let (starts, step_mm) = lines::starts(origin_mm, spot.repeat_mm);
        let mut ones = vec![];
        for start_mm in starts {
            let mut made = made.clone();
            for fabric in made.fabrics.iter_mut().filter(|one| one.name == *name) {
                if run == Run::Lengthwise {
                    fabric.width_mm -= step_mm;
                }
                if let Pattern::Striped(stripe) = &fabric.pattern {
                    fabric.pattern = Pattern::Striped(stripe.clone().with_origin(start_mm));
                }
            }
            ones.push(OneFabric::new(made, name)?);
        }
        let extra_mm = match run {
            Run::Lengthwise => 0.0,
            Run::Crosswise => step_mm,
        };
        Ok((ones, extra_mm))
    }

    /// The length of the longest of a task's layouts, and one that no layout is below (mm);
    /// nothing where the search is stopped. Briefly laid at first; with the whole effort where a
    /// little less would save a step in the shop.
    fn lay_task(&self, task: &Task) -> Option<Result<(f64, f64), Error>> {
        let brief = Effort {
            rounds: self.effort.rounds.div_ceil(2),
            work: self.effort.work / 2,
            ..*self.effort
        };
        let found = match self.lay_all(task, &brief)? {
            Ok(found) => found,
            Err(fault) => return Some(Err(fault)),
        };
        (self.done)(
            self.finished.fetch_add(task.ones.len(), Ordering::Relaxed) + task.ones.len(),
            self.planned,
        );
        let note = self.asked.note(task.spots[0].width_mm, found.0, 0.0);
        let is_near = |less: &LessNote| less.by_mm < NEAR_STEP * found.0;
        if !note.buy.less.as_ref().is_some_and(is_near) {
            return Some(Ok(found));
        }
        match self.lay_all(task, self.effort) {
            Some(Ok(again)) => Some(Ok((found.0.min(again.0), found.1.max(again.1)))),
            _ => Some(Ok(found)),
        }
    }

    /// The same with one effort.
    fn lay_all(&self, task: &Task, effort: &Effort) -> Option<Result<(f64, f64), Error>> {
        let found: Vec<Option<Result<FabricPlan, Error>>> = (task.ones.par_iter())
            .map(|one| {
                let is_stopped = self.control.is_stopped();
                (!is_stopped).then(|| one.lay(effort, self.control))
            })
            .collect();
        let found: Vec<Result<FabricPlan, Error>> = found.into_iter().collect::<Option<_>>()?;
        let mut length_mm: f64 = 0.0;
        let mut least_mm = f64::INFINITY;
        for one in found {
            match one {
                Ok(laid) => {
                    length_mm = length_mm.max(laid.length_mm);
                    least_mm = least_mm.min(laid.bound.length_mm);
                }
                Err(fault) => return Some(Err(fault)),
            }
        }
        // On a stripe that begins elsewhere a layout may be shorter than on any of these.
        let least_mm = if task.ones.len() > 1 { 0.0 } else { least_mm };
        Some(Ok((length_mm + task.extra_mm, least_mm)))
    }
}

fn cell(spot: &Spot, found: Result<YardageNote, String>) -> YardageCell {
    YardageCell {
        repeat_mm: spot.repeat_mm,
        width_mm: spot.width_mm,
        copies: spot.copies,
        kind: spot.kind,
        is_between: spot.is_between,
        found,
    }
}

/// Gives each cell the shortest layout among all that serve it: for its repeat, or where offsets are
/// free for a multiple of it, whose lines are lines of the repeat as well.
fn share(asked: &Asked<'_>, cells: &mut [YardageCell]) {
    let found: Vec<(YardageCell, f64)> = (cells.iter())
        .filter_map(|cell| Some((cell.clone(), cell.found.as_ref().ok()?.length_mm)))
        .collect();
    for cell in cells.iter_mut() {
        let serves = |other: &YardageCell| {
            let times = other.repeat_mm / cell.repeat_mm;
            let is_multiple = (times - times.round()).abs() < 1e-9 && times > 0.5;
            let same = (times - 1.0).abs() < 1e-9 || (is_multiple && !asked.has_fixed);
            same && other.width_mm <= cell.width_mm
                && other.kind.serves(cell.kind)
                && (other.copies == Copies::Alike || other.copies == cell.copies)
        };
        let best = (found.iter())
            .filter(|(other, _)| serves(other))
            .map(|(_, length_mm)| *length_mm)
            .min_by(f64::total_cmp);
        if let (Ok(note), Some(best)) = (&cell.found, best)
            && best < note.length_mm
        {
            cell.found = Ok(asked.note(cell.width_mm, best, note.least_mm));
        }
    }
}
