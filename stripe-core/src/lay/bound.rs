//! How short a layout could be at best.
//!
//! **Area**: no layout is shorter than its pieces' area over the fabric's width.
//! **Phase demand**: a phase of the repeat is on the fabric once a repeat across
//! the width, and every piece covers certain lengths of it. **Stacking**: at
//! one level along the fabric a piece takes a whole number of those lines, and
//! what is left over beside it may be too few for any other. **Tallest piece**: no layout
//! is shorter than one of its pieces. **Gaps**: between the pieces along a line lie gaps that
//! nothing fits into (`line_bound`). **A few pieces**: what `proof` finds of them.
//!
//! Where pieces may depart from their lines by a tolerance, a phase is charged the least
//! that a piece covers within it; stacking and proofs, which need lines, are left out.
//!
//! Own derivation, but for the rounding functions of stacking: G. S. Lueker,
//! "Bin packing with items uniformly distributed over intervals" (1983), and
//! S. P. Fekete and J. Schepers, "New classes of fast lower bounds for bin
//! packing problems" (2001), from memory.

use super::data::{Job, Lock};
use super::instance::Instance;
use super::line_bound::line_bound;
use super::line_supply::Supply;
use super::line_views::rounded;
use super::outline::{Interval, Outline, UNITS_PER_MM};
use super::proof::too_short;
use crate::lp::{Program, Solver};
use crate::record::BoundKind;

/// No layout of the job is shorter than this.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// The length (mm).
    pub length_mm: f64,
    /// The argument.
    pub kind: BoundKind,
    /// The phase (mm in the repeat, from the fabric's origin) that runs short;
    /// with free offsets there is none to name.
    pub phase_mm: Option<f64>,
}

/// All bounds of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Bounds {
    /// One of each kind that applies.
    pub all: Vec<Bound>,
}

impl Bounds {
    /// The largest bound.
    ///
    /// # Panics
    /// Never: the area bound is always there.
    pub fn best(&self) -> Bound {
        self.all
            .iter()
            .copied()
            .max_by(|a, b| a.length_mm.total_cmp(&b.length_mm))
            .expect("the area bound is always there")
    }

    /// The bound of one kind, where it applies.
    pub fn of(&self, kind: BoundKind) -> Option<Bound> {
        self.all.iter().copied().find(|b| b.kind == kind)
    }
}

/// Adds what going through choices proves of a job of which a layout `longest` (units) long
/// is known.
pub(crate) fn prove(bounds: &mut Bounds, instance: &Instance, job: &Job, longest: f64) {
    // Free offsets and tolerances leave no lines to choose from.
    if job.lock != Lock::Plane
        && job.groups == 0
        && job.deviate_mm == 0.0
        && !instance.has_obstacles()
    {
        let known = bounds.best().length_mm * UNITS_PER_MM;
        let proven = too_short(instance, known, longest);
        if proven > known {
            bounds.all.push(Bound {
                length_mm: proven / UNITS_PER_MM,
                kind: BoundKind::Few,
                phase_mm: None,
            });
        }
    }
}

/// All bounds but what takes going through choices, of a job of which a layout `longest` (units)
/// long is known.
pub(crate) fn easy_bounds(instance: &Instance, job: &Job, longest: f64) -> Bounds {
    if instance.has_obstacles() {
        // The arguments below count a whole fabric.
        let none = Bound {
            length_mm: 0.0,
            kind: BoundKind::Area,
            phase_mm: None,
        };
        return Bounds { all: vec![none] };
    }
    let mut all = vec![area(instance), tallest(instance)];
    let repeat = match job.lock {
        Lock::Plane => return Bounds { all },
        Lock::Lines { repeat_mm } => repeat_mm,
        Lock::Points { across_mm, .. } => across_mm,
    } * UNITS_PER_MM;
    let (nx, ny) = instance.normal();
    let supply = Supply {
        width: instance.width(),
        margin: instance.margin(),
        repeat,
        nx,
        ny,
    };
    if job.groups == 0 {
        all.extend(fixed(instance, job, &supply));
    } else {
        all.extend(free(instance, job, &supply));
    }
    let mut bounds = Bounds { all };
    let known = bounds.best().length_mm * UNITS_PER_MM;
    if let Some(length) = line_bound(&instance.outlines, job, &supply, known, longest) {
        bounds.all.push(Bound {
            length_mm: length / UNITS_PER_MM,
            kind: BoundKind::Gaps,
            phase_mm: None,
        });
    }
    bounds
}

fn tallest(instance: &Instance) -> Bound {
    let heights = instance.items.iter().map(|&(kind, _)| {
        let orientations = instance.kinds[kind].clone();
        orientations
            .map(|orientation| instance.height(orientation))
            .fold(f64::INFINITY, f64::min)
    });
    let tallest = heights.fold(0.0, f64::max) - 2.0 * instance.margin();
    Bound {
        length_mm: tallest.max(0.0) / UNITS_PER_MM,
        kind: BoundKind::Tallest,
        phase_mm: None,
    }
}

fn area(instance: &Instance) -> Bound {
    let total: f64 = instance
        .items
        .iter()
        .map(|&(kind, _)| {
            instance.kinds[kind]
                .clone()
                .map(|f| instance.outlines[instance.orientations[f].shape].area())
                .fold(f64::INFINITY, f64::min)
        })
        .sum();
    let length = total / (instance.width() + 2.0 * instance.margin()) - 2.0 * instance.margin();
    Bound {
        length_mm: length.max(0.0) / UNITS_PER_MM,
        kind: BoundKind::Area,
        phase_mm: None,
    }
}

/// How many copies there are of each kind.
fn counts(job: &Job) -> Vec<f64> {
    let mut counts = vec![0.0; job.kinds.len()];
    for item in &job.items {
        counts[item.kind] += 1.0;
    }
    counts
}

/// The chords of an outline on all lines of a phase (its own `u` modulo the
/// repeat).
fn chords_at(outline: &Outline, phase: f64, repeat: f64) -> Vec<Interval> {
    let across = outline.across();
    let mut u = phase + ((across.lo - phase) / repeat).ceil() * repeat;
    let mut chords = Vec::new();
    while u < across.hi {
        chords.extend(outline.chords(u));
        u += repeat;
    }
    chords
}

/// The least that an outline covers of all lines of a phase within `deviation` of its own:
/// between vertices it changes evenly, so it is least beside one or at an end.
fn least_within(outline: &Outline, phase: f64, deviation: f64, repeat: f64) -> f64 {
    if 2.0 * deviation >= repeat {
        return 0.0;
    }
    let (lo, hi) = (phase - deviation, phase + deviation);
    let vertices = outline.cuts().iter().map(|cut| {
        let steps = ((lo - cut) / repeat).ceil();
        cut + steps * repeat
    });
    let within = vertices.filter(|&at| at <= hi);
    let places = within.flat_map(|at| [at - 3.0, at + 3.0]).chain([lo, hi]);
    let covered = places.map(|at| {
        let chords = chords_at(outline, at, repeat);
        chords.iter().map(|c| c.hi - c.lo).sum::<f64>()
    });
    covered.fold(f64::INFINITY, f64::min)
}

/// Length along the stripes at which a given number of chords lie abreast.
fn abreast(chords: &[Interval]) -> Vec<f64> {
    let mut ends: Vec<(f64, i32)> = chords
        .iter()
        .flat_map(|c| [(c.lo, 1), (c.hi, -1)])
        .collect();
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut at = Vec::new();
    let mut count = 0;
    let mut from = 0.0;
    for (v, step) in ends {
        if count > 0 {
            let count = count as usize;
            if at.len() <= count {
                at.resize(count + 1, 0.0);
            }
            at[count] += v - from;
        }
        count += step;
        from = v;
    }
    at
}

/// Phase demand and stacking where every piece's offset is given.
fn fixed(instance: &Instance, job: &Job, supply: &Supply) -> Vec<Bound> {
    let counts = counts(job);
    let repeat = supply.repeat;
    // Between two vertices' phases demand changes evenly: it is greatest at one,
    // seen from the left or from the right.
    let mut phases: Vec<f64> = Vec::new();
    for kind in &job.kinds {
        for pose in &kind.poses {
            let residue = pose.residue_mm * UNITS_PER_MM;
            phases.extend(
                instance.outlines[pose.shape]
                    .cuts()
                    .iter()
                    .map(|c| (c + residue).rem_euclid(repeat)),
            );
        }
    }
    phases.sort_by(f64::total_cmp);
    phases.dedup_by(|a, b| *a - *b < 8.0);
    let lengthwise = supply.nx.abs() > 0.5;
    let deviation = job.deviate_mm * UNITS_PER_MM;
    let mut phase_best: Option<(f64, f64)> = None;
    let mut stack_best: Option<(f64, f64)> = None;
    let better = |best: &mut Option<(f64, f64)>, length: f64, phase: f64| {
        if best.is_none_or(|(least, _)| length > least) {
            *best = Some((length, phase));
        }
    };
    for phase in phases.iter().flat_map(|p| [p - 3.0, p + 3.0]) {
        let profiles: Vec<Vec<Vec<f64>>> = job
            .kinds
            .iter()
            .map(|kind| {
                kind.poses
                    .iter()
                    .map(|pose| {
                        let own = phase - pose.residue_mm * UNITS_PER_MM;
                        abreast(&chords_at(&instance.outlines[pose.shape], own, repeat))
                    })
                    .collect()
            })
            .collect();
        let total = |value: &dyn Fn(usize) -> f64| -> f64 {
            profiles
                .iter()
                .zip(&counts)
                .map(|(poses, count)| {
                    let least = poses
                        .iter()
                        .map(|at| at.iter().enumerate().map(|(q, l)| value(q) * l).sum())
                        .fold(f64::INFINITY, f64::min);
                    count * least
                })
                .sum()
        };
        let demand = if deviation > 0.0 {
            let kinds = job.kinds.iter().zip(&counts);
            kinds
                .map(|(kind, count)| {
                    let least = kind.poses.iter().map(|pose| {
                        let own = phase - pose.residue_mm * UNITS_PER_MM;
                        least_within(&instance.outlines[pose.shape], own, deviation, repeat)
                    });
                    count * least.fold(f64::INFINITY, f64::min)
                })
                .sum()
        } else {
            total(&|q| q as f64)
        };
        if demand <= 0.0 {
            continue;
        }
        if !lengthwise {
            better(
                &mut phase_best,
                supply.crosswise(demand, Some(phase)),
                phase,
            );
            continue;
        }
        let lines = supply.lines(Some(phase));
        if lines < 1.0 {
            continue;
        }
        better(&mut phase_best, supply.lengthwise(demand, lines), phase);
        if supply.ny != 0.0 || deviation > 0.0 {
            continue;
        }
        let mut k = 1.0;
        while k < lines {
            let stacked = total(&|q| rounded(q as f64 / lines, k));
            better(&mut stack_best, stacked - 2.0 * supply.margin, phase);
            k += 1.0;
        }
    }
    let bound = |found: Option<(f64, f64)>, kind| {
        found.map(|(length, phase)| Bound {
            length_mm: length.max(0.0) / UNITS_PER_MM,
            kind,
            phase_mm: Some(phase.rem_euclid(repeat) / UNITS_PER_MM),
        })
    };
    bound(phase_best, BoundKind::Phase)
        .into_iter()
        .chain(bound(stack_best, BoundKind::Stack))
        .collect()
}

/// Parts of the repeat whose demand is added up, where offsets are free.
const PARTS: usize = 8;
/// Offsets told apart there.
const STEPS: usize = 64;

/// Phase demand where offsets are free: a linear program in how many copies
/// take which offset.
///
/// Offsets are told apart in steps of the repeat; within a step, a piece is
/// only charged for what it covers of a part of the repeat wherever in the step
/// its offset is: the part less one step.
fn free(instance: &Instance, job: &Job, supply: &Supply) -> Option<Bound> {
    let repeat = supply.repeat;
    let (part, step) = (repeat / PARTS as f64, repeat / STEPS as f64);
    let lengthwise = supply.nx.abs() > 0.5;
    let deviation = job.deviate_mm * UNITS_PER_MM;
    let charge = |kind: usize, pose: usize, offset: Option<usize>, m: usize| -> f64 {
        let p = &job.kinds[kind].poses[pose];
        let sign = if p.sign < 0.0 { -1.0 } else { 1.0 };
        // The piece's own u that falls on the part's ends.
        let shift = p.residue_mm * UNITS_PER_MM;
        let (lo, hi) = (m as f64 * part - shift, (m + 1) as f64 * part - shift);
        let (lo, hi) = match offset {
            None => (lo, hi),
            Some(o) => {
                let (o0, o1) = (o as f64 * step * sign, (o as f64 + 1.0) * step * sign);
                (lo - o0.min(o1), hi - o0.max(o1))
            }
        };
        // Wherever within the tolerance it stands.
        area_in(
            &instance.outlines[p.shape],
            lo + deviation,
            hi - deviation,
            repeat,
        )
    };
    // Copies that share an offset, by what they are made of.
    let mut groups: Vec<Vec<usize>> = vec![Vec::new(); job.groups];
    let mut relaxed: Vec<usize> = Vec::new();
    for item in &job.items {
        match item.group {
            Some(g) => groups[g].push(item.kind),
            None => relaxed.push(item.kind),
        }
    }
    let mut types: Vec<(Vec<(usize, f64)>, f64)> = Vec::new();
    for mut kinds in groups {
        kinds.sort_unstable();
        let mut counted: Vec<(usize, f64)> = Vec::new();
        for kind in kinds {
            match counted.last_mut() {
                Some(last) if last.0 == kind => last.1 += 1.0,
                _ => counted.push((kind, 1.0)),
            }
        }
        match types.iter_mut().find(|t| t.0 == counted) {
            Some(t) => t.1 += 1.0,
            None => types.push((counted, 1.0)),
        }
    }
    // One group alone has one offset: no mixture of offsets helps it.
    let passes: Vec<Vec<usize>> = if job.groups == 1 {
        (0..STEPS).map(|o| vec![o]).collect()
    } else {
        vec![(0..STEPS).collect()]
    };
    let mut charges: Vec<Vec<Vec<[f64; PARTS]>>> = Vec::new();
    for (kind, k) in job.kinds.iter().enumerate() {
        charges.push(
            (0..k.poses.len())
                .map(|pose| {
                    (0..=STEPS)
                        .map(|o| {
                            let offset = (o < STEPS).then_some(o);
                            std::array::from_fn(|m| charge(kind, pose, offset, m) / part)
                        })
                        .collect()
                })
                .collect(),
        );
    }
    let lines = |m: usize| -> f64 {
        if !lengthwise {
            return 1.0;
        }
        let ends = [m as f64 * part + 3.0, (m + 1) as f64 * part - 3.0];
        if supply.ny != 0.0 {
            return supply.lines(None);
        }
        // At most as many lines as anywhere in the part.
        ends.map(|p| supply.lines(Some(p)))
            .into_iter()
            .fold(0.0, f64::max)
    };
    let mut least: Option<f64> = None;
    for offsets in passes {
        let scale = 1.0 / UNITS_PER_MM;
        let mut program = Program::new();
        let top = program.column(1.0, 0.0, 1e9);
        let mut rows: Vec<Vec<(usize, f64)>> = (0..PARTS).map(|m| vec![(top, lines(m))]).collect();
        let mut add = |program: &mut Program, kind: usize, o: usize, copies: f64, most: f64| {
            let columns: Vec<usize> = (0..job.kinds[kind].poses.len())
                .map(|pose| {
                    let column = program.column(0.0, 0.0, most);
                    for (m, row) in rows.iter_mut().enumerate() {
                        let load = charges[kind][pose][o][m] * scale * copies;
                        if load > 0.0 {
                            row.push((column, -load));
                        }
                    }
                    column
                })
                .collect();
            columns
        };
        for (kinds, copies) in &types {
            if let [(kind, times)] = kinds[..] {
                // One kind alone needs no share of its own.
                let mut columns = Vec::new();
                for &o in &offsets {
                    columns.extend(add(&mut program, kind, o, times, *copies));
                }
                program.row(columns.into_iter().map(|c| (c, 1.0)).collect(), *copies);
                continue;
            }
            let shares: Vec<usize> = offsets
                .iter()
                .map(|_| program.column(0.0, 0.0, *copies))
                .collect();
            program.row(shares.iter().map(|&c| (c, 1.0)).collect(), *copies);
            for &(kind, times) in kinds {
                for (&o, &share) in offsets.iter().zip(&shares) {
                    let mut terms: Vec<(usize, f64)> = add(&mut program, kind, o, times, *copies)
                        .into_iter()
                        .map(|c| (c, 1.0))
                        .collect();
                    terms.push((share, -1.0));
                    program.row(terms, 0.0);
                }
            }
        }
        for &kind in &relaxed {
            let columns = add(&mut program, kind, STEPS, 1.0, 1.0);
            program.row(columns.into_iter().map(|c| (c, 1.0)).collect(), 1.0);
        }
        for row in rows {
            program.row(row, 0.0);
        }
        // The largest violation that a solver leaves is far below this.
        let cost = program.minimise_with(Solver::InteriorPoint).ok()?.cost;
        let demand = (cost * (1.0 - 1e-6) - 1e-3).max(0.0) * UNITS_PER_MM;
        let length = if lengthwise {
            supply.lengthwise(demand, 1.0)
        } else {
            supply.crosswise(demand, None)
        };
        least = Some(least.map_or(length, |l| l.min(length)));
    }
    least.map(|length| Bound {
        length_mm: length.max(0.0) / UNITS_PER_MM,
        kind: BoundKind::Phase,
        phase_mm: None,
    })
}

/// The outline's area at `u` between `lo` and `hi`, modulo the repeat.
fn area_in(outline: &Outline, lo: f64, hi: f64, repeat: f64) -> f64 {
    if hi <= lo {
        return 0.0;
    }
    let across = outline.across();
    let mut shift = ((across.lo - hi) / repeat).floor() * repeat;
    let mut sum = 0.0;
    while lo + shift < across.hi {
        sum += outline.area_between(lo + shift, hi + shift);
        shift += repeat;
    }
    sum
}
