//! Where the search begins: instances for the offsets worth a try, and layouts on them
//! made piece by piece.

use super::beam_parameters::BeamParameters;
use super::compaction::drop_down;
use super::data::{Job, Lock};
use super::effort::{Control, Effort};
use super::error::LayError;
use super::first::{largest_first, lay_first, length_of};
use super::guided_search::is_valid;
use super::instance::{Instance, LinePlacement};
use super::recreate::{BeamContexts, Ruin};
use super::touching_perimeter::lay_by_touching_perimeter;
use crate::rng::Rng;
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

/// An instance, the offset that all its pieces share, and its first layout.
#[derive(Debug)]
pub(crate) struct Start {
    pub(crate) instance: Instance,
    /// What beams need to know of it; none where no beam can be laid.
    pub(crate) contexts: Option<BeamContexts>,
    /// Added to the offset of each group (mm).
    pub(crate) offsets_mm: Vec<f64>,
    pub(crate) placements: Vec<LinePlacement>,
    pub(crate) offsets: Vec<i64>,
    pub(crate) length: f64,
}

impl Start {
    fn new(
        job: &Job,
        offset_mm: f64,
        instance: Instance,
        control: &Control<'_>,
    ) -> Result<Self, LayError> {
        let order = largest_first(&instance);
        let (mut placements, offsets) = lay_first(&instance, &order, &|| control.is_stopped())?;
        let laid = placements.clone();
        drop_down(&instance, &mut placements);
        let mut length = length_of(&instance, &placements);
        if !is_valid(&instance, &placements, length) {
            placements = laid;
            length = length_of(&instance, &placements);
        }
        Ok(Self {
            offsets_mm: vec![offset_mm; instance.groups],
            contexts: BeamContexts::new(job, &instance),
            instance,
            placements,
            offsets,
            length,
        })
    }
}

/// The instances to search, best first layout first.
pub(crate) fn starts(job: &Job, control: &Control<'_>) -> Result<Vec<Start>, LayError> {
    if job.groups != 1 || job.lock == Lock::Plane {
        return Ok(vec![Start::new(job, 0.0, Instance::new(job)?, control)?]);
    }
    // One offset for all: an instance for each that is worth a try.
    at_offsets(job, &shared_offsets(job), control)
}

/// The instances with all pieces at one of some offsets whose first layouts are shortest, the
/// best one first.
///
/// Besides those kept there are no more instances at a time than threads, for an instance's
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
            let start = Instance::with_stride(&fixed, 1)
                .and_then(|instance| Start::new(&fixed, offset, instance, control));
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

/// A layout to begin with, on one of the instances.
#[derive(Debug, Clone)]
pub(crate) struct Found {
    pub(crate) instance: usize,
    pub(crate) placements: Vec<LinePlacement>,
    pub(crate) offsets: Vec<i64>,
    pub(crate) length: f64,
    /// By which share to shorten it next.
    pub(crate) share: f64,
}

impl Found {
    /// A layout on the `instance`-th instance that nobody has searched from yet.
    pub(crate) fn new(
        instance: usize,
        on: &Instance,
        placements: Vec<LinePlacement>,
        offsets: Vec<i64>,
    ) -> Self {
        let length = length_of(on, &placements);
        Self {
            instance,
            share: first_share(on, length),
            length,
            placements,
            offsets,
        }
    }

    /// The same layout, to be searched from as if nobody had.
    pub(crate) fn untried(self, on: &Instance) -> Self {
        Self {
            share: first_share(on, self.length),
            ..self
        }
    }
}

/// The share by which a layout is shortened first, but by no more than this part of the
/// tallest piece: on long fabric a strip that is wider has no room anywhere near.
const FIRST_SHARE: f64 = 0.01;
const FIRST_SHARE_IN_THE_PLANE: f64 = 0.005;
const FIRST_PART: f64 = 0.25;

fn first_share(instance: &Instance, length: f64) -> f64 {
    let first = if instance.is_plane() {
        FIRST_SHARE_IN_THE_PLANE
    } else {
        FIRST_SHARE
    };
    first.min(FIRST_PART * instance.tallest() / length.max(1.0))
}

/// The layouts to begin with, shortest first: the first layouts, and what touching perimeters
/// and beams make of each instance within a part of the effort.
pub(crate) fn first_layouts(
    job: &Job,
    starts: &[Start],
    effort: &Effort,
    control: &Control,
) -> Vec<Found> {
    // Where offsets are free, others are found by the race.
    let share = if job.groups <= MOST_GROUPS { 16 } else { 4 };
    let budget = effort.first_work() / share;
    let touching_perimeter = effort.first_work() / 4;
    let mut found = Vec::new();
    if job.groups > MOST_GROUPS && starts[0].instance.stride > 1 && job.lock != Lock::Plane {
        found.extend(alike(job, starts, budget, effort.seed, control));
    }
    for (instance, start) in starts.iter().enumerate() {
        let mut layouts = layouts_on(start, budget, touching_perimeter, effort.seed, control);
        layouts.push(start.placements.clone());
        found.extend(layouts.into_iter().map(|placements| {
            Found::new(instance, &start.instance, placements, start.offsets.clone())
        }));
    }
    found.sort_by(|a, b| a.length.total_cmp(&b.length));
    found
}

/// Touching-perimeter layouts and beams on one instance.
fn layouts_on(
    start: &Start,
    budget: u64,
    touching_perimeter: u64,
    seed: u64,
    control: &Control,
) -> Vec<Vec<LinePlacement>> {
    let instance = &start.instance;
    if instance.items.len() < 3 {
        return Vec::new();
    }
    let mut layouts = beams(start, None, budget, seed, control);
    if instance.stride == 1 && !instance.is_lattice() && !instance.has_obstacles() {
        let longest = 1.3 * start.length;
        layouts.extend(lay_by_touching_perimeter(
            instance,
            longest,
            touching_perimeter,
            &|| control.is_stopped(),
        ));
    }
    layouts
}

/// What beams of as many parameters as the budget allows make of an instance, half of them from
/// parts of a `known` layout if there is one.
pub(crate) fn beams(
    start: &Start,
    known: Option<&Found>,
    budget: u64,
    seed: u64,
    control: &Control,
) -> Vec<Vec<LinePlacement>> {
    let (instance, items) = (&start.instance, start.instance.items.len());
    let Some(contexts) = &start.contexts else {
        return Vec::new();
    };
    let mut left = (budget / contexts.work(instance, start.length)).min(MOST_BEAMS) as f64;
    let mut tries: Vec<(Option<Ruin>, BeamParameters)> = Vec::new();
    while left >= 1.0 {
        let number = tries.len() as u64;
        let seed = seed.wrapping_mul(MOST_BEAMS).wrapping_add(number);
        let ruin = known.filter(|_| number.is_multiple_of(2)).map(|_| {
            let mut rng = Rng::new(seed);
            Ruin::any(&mut rng, items)
        });
        left -= ruin.map_or(1.0, |ruin| ruin.share(items));
        tries.push((ruin, BeamParameters::any(seed)));
    }
    tries
        .into_par_iter()
        .filter_map(|(ruin, parameters)| match (ruin, known) {
            (Some(ruin), Some(known)) => contexts.recreate(
                instance,
                &known.placements,
                known.length,
                ruin,
                parameters,
                control,
            ),
            _ => contexts.create(instance, start.length, parameters, control),
        })
        .collect()
}

/// Where each motif has its own offset, all may have the same one, too: the best
/// such layouts, on the instance of free offsets.
fn alike(job: &Job, starts: &[Start], budget: u64, seed: u64, control: &Control) -> Vec<Found> {
    let instance = &starts[0].instance;
    let step_mm = instance.pitch / super::outline::UNITS_PER_MM;
    let offsets: Vec<f64> = (0..instance.stride).map(|o| o as f64 * step_mm).collect();
    let fixed = at_offsets(job, &offsets, control).unwrap_or_default();
    let mut found = Vec::new();
    for start in &fixed {
        let offset = (start.offsets_mm[0] / step_mm).round() as i64;
        let mut layouts = layouts_on(start, budget / 2, budget / 4, seed, control);
        layouts.push(start.placements.clone());
        for lay in layouts {
            let placements: Vec<LinePlacement> = lay
                .iter()
                .enumerate()
                .map(|(item, &placement)| transfer(&start.instance, placement, instance, item))
                .collect();
            // Lines of the two instances may stand a rounding apart.
            if is_valid(instance, &placements, length_of(instance, &placements)) {
                found.push(Found::new(
                    0,
                    instance,
                    placements,
                    vec![offset; job.groups],
                ));
            }
        }
    }
    found
}

/// A placement of an instance with one offset, on the instance of free offsets.
fn transfer(
    from: &Instance,
    placement: LinePlacement,
    to: &Instance,
    item: usize,
) -> LinePlacement {
    let u = from.u(placement.orientation as usize, i64::from(placement.line));
    let orientation =
        to.kinds[to.items[item].0].start + from.orientations[placement.orientation as usize].pose;
    LinePlacement {
        orientation: orientation as u32,
        line: to.line_at(orientation, u),
        v: placement.v,
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
