//! The whole way from a project to a checked plan.

use super::bare::bare;
use super::drift::drift_warnings;
use super::error::Error;
use super::fabric::LaidFabric;
use super::in_hand::{deal_out, take_apart, use_fewer};
use super::job::{FabricJob, Worked, fabric_job, work_out};
use super::likely::likely;
use super::marks::keep_marks_off_edges;
use super::notes::{joint_notes, motif_notes, placements};
use super::quilt::{QuiltWork, quilt_note, work_out_quilt};
use super::spares::spares;
use super::ways_out::in_hand_words;
use crate::check::check;
use crate::fabric::Fabric;
use crate::lay::{self, Control, Effort, Job, LayError, Outcome, Progress};
use crate::length::Length;
use crate::project::Project;
use crate::record::{Buy, FabricPlan, Plan};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Plans a project: lays every fabric, and has the verifier check the whole.
///
/// The same project and effort give the same plan on any number of threads, unless
/// `control` stops the search: then the best layouts so far are the plan.
///
/// # Errors
/// See [`Error`]. A plan that does not pass [`check`] is an error, never a result.
pub fn make(project: &Project, effort: &Effort, control: &Control<'_>) -> Result<Plan, Error> {
    plan(project, effort, control, false)
}

/// The same, but where the effort is spent the search goes on, with other beginnings of
/// chance, until `control` stops it or no layout can be shorter than its bound.
///
/// The caller's clock decides, so two runs need not give the same plan.
///
/// # Errors
/// As [`make`].
pub fn make_until_stopped(
    project: &Project,
    effort: &Effort,
    control: &Control<'_>,
) -> Result<Plan, Error> {
    plan(project, effort, control, true)
}

fn plan(
    project: &Project,
    effort: &Effort,
    control: &Control<'_>,
    goes_on: bool,
) -> Result<Plan, Error> {
    project.validate().map_err(Error::Project)?;
    let worked = work_out(project)?;
    let motifs = motif_notes(project, &worked);
    let mut jobs: Vec<(&Fabric, FabricJob)> = project
        .fabrics
        .iter()
        .filter_map(|fabric| Some((fabric, fabric_job(project, &worked, fabric)?)))
        .collect();
    if jobs.is_empty() {
        return Err(Error::NothingToCut);
    }
    let quilt = work_out_quilt(project)?;
    let cuts = quilt.as_ref().map_or(&[][..], QuiltWork::cuts);
    let straight = |fabric: &Fabric| cuts.iter().find(|one| one.fabric == fabric.name);
    let mut alone: Vec<Outcome> = jobs
        .par_iter()
        .map(|(fabric, made)| {
            let effort = &effort_for(made, effort);
            lay_named(&fabric.name, &made.job, effort, control)
                .map_err(|fault| lay_fault(project, &worked, fabric, made, fault))
        })
        .collect::<Result<_, Error>>()?;
    if goes_on {
        go_on(&jobs, &mut alone, effort, control);
    }
    jobs.par_iter_mut()
        .zip(&mut alone)
        .filter(|((_, made), _)| made.spread.is_some())
        .for_each(|((fabric, made), alone)| {
            use_fewer(fabric, made, alone, effort, control);
            deal_out(fabric, made, &mut alone.layout);
        });
    let found: Vec<LaidFabric> = jobs
        .par_iter()
        .zip(alone)
        .map(|((fabric, made), alone)| {
            LaidFabric::find(
                project,
                fabric,
                made,
                straight(fabric),
                alone,
                effort,
                control,
            )
        })
        .collect();

    // Of fabric in hand these are strips, on which stripes are as on the whole fabric.
    let mut laid: Vec<FabricPlan> = jobs
        .iter()
        .zip(&found)
        .map(|((fabric, made), laid)| {
            let placements = placements(project, &worked, &motifs, fabric, made, laid.lay());
            laid.note(project, fabric, placements)
        })
        .collect();
    keep_marks_off_edges(&mut laid);
    let by_id: BTreeMap<&str, _> = laid
        .iter()
        .flat_map(|fabric| &fabric.placements)
        .map(|placement| (placement.id.as_str(), placement))
        .collect();
    let joints = joint_notes(project, &worked, &by_id);
    let mut fabrics: Vec<FabricPlan> = Vec::new();
    for ((fabric, made), plan) in jobs.iter().zip(laid) {
        match &made.spread {
            Some(spread) => fabrics.extend(take_apart(spread, fabric, plan, project.unit)),
            None => fabrics.push(plan),
        }
    }
    let mut warnings = in_hand_words(project, &fabrics, effort, control);
    warnings.extend(super::warnings::warnings(project, &worked));
    warnings.extend(drift_warnings(project, &fabrics));
    let remnants = jobs
        .iter()
        .zip(&found)
        .filter_map(|((fabric, _), laid)| {
            Some((fabric.name.as_str(), &laid.beside.as_ref()?.remnant))
        })
        .collect();
    let quilt = quilt.map(|work| {
        let (note, found) = quilt_note(project, work, &worked, &motifs, &fabrics, &remnants);
        warnings.extend(found);
        note
    });
    // What is asked for in the shop is for straight pieces and motifs together.
    for line in quilt.iter().flat_map(|quilt| &quilt.shopping) {
        if let Some(fabric) = fabrics.iter_mut().find(|fabric| fabric.name == line.name) {
            // Straight pieces take what motifs leave.
            let alone = line.buy_mm == fabric.buy.length_mm;
            fabric.buy = Buy {
                room_mm: fabric.buy.room_mm.filter(|_| alone),
                length_mm: line.buy_mm,
                shown: line.shown.clone(),
                price: line.price,
                counted_in: std::mem::take(&mut fabric.buy.counted_in),
                less: line.less.clone(),
            };
        }
    }
    let mut plan = Plan {
        quilt,
        warnings,
        motifs,
        fabrics,
        joints,
        ..bare(project, effort)
    };
    plan.likely = likely(&plan);
    plan.spares = spares(&plan);
    let findings = check(&plan);
    if findings.is_empty() {
        Ok(plan)
    } else {
        Err(Error::Unverified(findings))
    }
}

/// On pieces in hand whatever does is enough, and fewer of them are tried afterwards: the first
/// search gets a third of the work.
fn effort_for(made: &FabricJob, effort: &Effort) -> Effort {
    match made.spread {
        Some(_) => Effort {
            work: effort.work / 3,
            ..*effort
        },
        None => *effort,
    }
}

/// Lays a job; its progress says which fabric it is about.
fn lay_named(
    name: &str,
    job: &Job,
    effort: &Effort,
    control: &Control<'_>,
) -> Result<Outcome, LayError> {
    let named = control.progress.map(|tell| {
        move |progress: Progress<'_>| {
            tell(Progress {
                what: name,
                ..progress
            });
        }
    });
    let control = Control {
        stop: control.stop,
        progress: named
            .as_ref()
            .map(|tell| tell as &(dyn Fn(Progress<'_>) + Sync)),
    };
    lay::lay(job, effort, &control)
}

/// So near (mm) to its bound a layout has nothing to gain.
const AT_BOUND_MM: f64 = 0.01;

/// Lays what may still gain again and again, each time with another beginning of chance and
/// twice the effort, and keeps what is shorter, until it is told to stop.
fn go_on(
    jobs: &[(&Fabric, FabricJob)],
    found: &mut [Outcome],
    effort: &Effort,
    control: &Control<'_>,
) {
    let mut effort = *effort;
    loop {
        effort.seed = effort.seed.wrapping_add(0x1_0000);
        effort.work = effort.work.saturating_mul(2).min(MOST_WORK);
        let can_gain = |outcome: &Outcome| {
            let bound_mm = outcome.bounds.best().length_mm;
            outcome.layout.placements.len() > 1 && outcome.layout.length_mm > bound_mm + AT_BOUND_MM
        };
        if control.is_stopped() || !found.iter().any(can_gain) {
            return;
        }
        jobs.par_iter()
            .zip(found.par_iter_mut())
            .filter(|(_, best)| can_gain(best))
            .for_each(|((fabric, made), best)| {
                // A job that was laid once can be laid again.
                let Ok(more) = lay_named(&fabric.name, &made.job, &effort, control) else {
                    return;
                };
                // One lot is held against all at its own best.
                best.one_lot_mm = match (best.one_lot_mm, more.one_lot_mm) {
                    (Some(a), Some(b)) => Some(a.min(b)),
                    (a, b) => a.or(b),
                };
                if more.layout.length_mm < best.layout.length_mm {
                    *best = Outcome {
                        by_hand: best.by_hand.clone(),
                        by_hand_way: best.by_hand_way,
                        first_length_mm: best.first_length_mm,
                        one_lot_mm: best.one_lot_mm,
                        ..more
                    };
                }
            });
    }
}

/// What a stream may do in one round, however long the search goes on.
const MOST_WORK: u64 = 100_000_000;

/// A lay's fault in the words of the project.
pub(super) fn lay_fault(
    project: &Project,
    worked: &[Worked],
    fabric: &Fabric,
    made: &FabricJob,
    fault: LayError,
) -> Error {
    let names = |item: usize| {
        let origin = made.origins[item];
        let piece = &worked[origin.motif].assembly.pieces[origin.piece];
        let motif = &project.motifs[origin.motif];
        (motif.name.clone(), piece.name.clone())
    };
    match fault {
        LayError::NoPlace { item, .. } => {
            let (motif, piece) = names(item);
            Error::NoPlace {
                fabric: fabric.name.clone(),
                motif,
                piece,
            }
        }
        LayError::TooWide {
            item,
            too_wide_mm,
            width_mm,
            ..
        } => {
            let (motif, piece) = names(item);
            let shown = |mm: f64| Length::from_mm(mm).shown_up(project.unit);
            Error::TooWide {
                fabric: fabric.name.clone(),
                motif,
                piece,
                over: shown(too_wide_mm),
                needed: shown(width_mm),
            }
        }
        fault => Error::Layout {
            fabric: fabric.name.clone(),
            fault,
        },
    }
}
