//! The laying itself, side by side: first briefly, longer where that may save a step in the shop.

use super::asked::{Asked, Spot};
use super::cell::OneFabric;
use super::data::{StripeKind, YardageCell, YardageError, YardageNote};
use super::lines::starts;
use crate::fabric::{Fabric, Pattern, Run};
use crate::lay::{Control, Effort};
use crate::plan::error::Error;
use crate::record::{FabricPlan, LessNote};
use rayon::prelude::*;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Where a layout shorter by less than this share would save a step in the shop, it is looked for
/// with the whole effort: about the most that this gains. Of the harbour's awning, repeating in 4 in on
/// 40 in, a brief search found 17 in, the whole one 15 3/4 in.
const NEAR_STEP: f64 = 0.1;

/// The laying itself.
pub(super) struct Work<'a> {
    pub(super) asked: &'a Asked<'a>,
    pub(super) effort: &'a Effort,
    pub(super) control: &'a Control<'a>,
    pub(super) done: &'a (dyn Fn(usize, usize) + Sync),
    pub(super) finished: AtomicUsize,
    pub(super) planned: usize,
}

/// The fabric of a cell for every beginning of its stripe, and what is added to the length (mm).
type Beginnings = (Vec<OneFabric>, f64);

/// One layout to be made, for all cells that it serves alike.
struct Task {
    spots: Vec<Spot>,
    /// One for each beginning of the stripe that is laid.
    ones: Vec<OneFabric>,
    /// Added to the longest of them (mm).
    extra_mm: f64,
}

impl Work<'_> {
    pub(super) fn lay(&mut self, spots: Vec<Spot>) -> Vec<YardageCell> {
        let made: Vec<(Spot, Result<Beginnings, YardageError>)> = spots
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
    fn beginnings(&self, spot: &Spot) -> Result<Beginnings, YardageError> {
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
        let (starts, step_mm) = starts(origin_mm, spot.repeat_mm);
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
