//! The whole of it for one job: first layout, search in streams, settling, bounds, by hand.

use super::bound::Bounds;
use super::bound::{easy_bounds, prove};
use super::data::{Job, Layout, Lock, Placement};
use super::effort::{Control, Effort};
use super::error::LayError;
use super::hand::{HandLayout, lay_by_hand};
use super::improve::search;
use super::lp_compaction::{RelaxedLayout, can_compact_by_lp, compact_by_lp};
use super::outline::{MEET, UNITS_PER_MM};
use super::race::race;
use super::starts::{Found, Start, first_layouts, starts};
use crate::record::ByHand;

/// So many pieces are compacted in some tenths of a second.
const QUICKLY_COMPACTED: usize = 200;

/// What came of laying a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The best layout found.
    pub layout: Layout,
    /// Length of the layout that the search began with (mm).
    pub first_length_mm: f64,
    /// How short a layout could be at best.
    pub bounds: Bounds,
    /// The layout as a careful person does it by hand.
    pub by_hand: Layout,
    /// And in which way.
    pub by_hand_way: ByHand,
    /// Moves of the search.
    pub moves: u64,
    /// Whether the caller stopped the search before its effort was spent.
    pub stopped: bool,
    /// Of a job of several lots: the length (mm) of one of them, laid by itself with the same effort.
    pub one_lot_mm: Option<f64>,
}

/// What a search found before it is settled and told.
#[derive(Debug)]
pub(super) struct Searched {
    pub(super) starts: Vec<Start>,
    /// Layouts that it began with, shortest first.
    pub(super) layouts: Vec<Found>,
    pub(super) best: Found,
    pub(super) moves: u64,
    /// Of the first layout (units).
    pub(super) first_length: f64,
    bounds: Bounds,
    pub(super) by_hand: Layout,
    pub(super) by_hand_way: ByHand,
}

/// Lays a job at once: always valid, far from the best.
///
/// # Errors
/// [`LayError`] where the job cannot be laid.
pub fn first(job: &Job) -> Result<Layout, LayError> {
    let start = starts(job, &Control::default())?.swap_remove(0);
    Ok(to_lay(
        job,
        &start,
        RelaxedLayout::new(&start.instance, start.placements.clone()),
        &start.offsets,
    ))
}

/// Lays a job as if it were no lots: see [`super::lay()`].
///
/// # Errors
/// [`LayError`] where the job cannot be laid.
pub(super) fn lay_as_one(
    job: &Job,
    effort: &Effort,
    control: &Control<'_>,
) -> Result<Outcome, LayError> {
    Ok(settle(job, &search_all(job, effort, control)?, control))
}

/// Everything but settling.
///
/// # Errors
/// [`LayError`] where the job cannot be laid.
///
/// # Panics
/// Never: every instance keeps its first layout.
pub(super) fn search_all(
    job: &Job,
    effort: &Effort,
    control: &Control<'_>,
) -> Result<Searched, LayError> {
    let mut starts = starts(job, control)?;
    let first_length = starts[0].length;
    let by_hand: Vec<HandLayout> = starts
        .iter()
        .map(|start| lay_by_hand(&start.instance, job, &start.placements, &start.offsets))
        .collect();
    // Only what is proven of a few pieces needs to know a good layout.
    let ((mut layouts, (raced, more)), mut bounds) = rayon::join(
        || {
            let layouts = first_layouts(job, &starts, effort, control);
            (layouts, race(job, &starts, effort, control))
        },
        || easy_bounds(&starts[0].instance, job, first_length),
    );
    let before = if raced.is_empty() {
        0.0
    } else {
        effort.race_share()
    };
    starts.extend(raced);
    layouts.extend(more);
    layouts.sort_by(|a, b| a.length.total_cmp(&b.length));
    let (shortest, hand) = by_hand
        .iter()
        .enumerate()
        .min_by(|a, b| a.1.length.total_cmp(&b.1.length))
        .expect("there is a board");
    // No plan is longer than by hand.
    if hand.length < layouts[0].length {
        let instance = &starts[shortest].instance;
        let found = Found::new(
            shortest,
            instance,
            hand.placements.clone(),
            hand.offsets.clone(),
        );
        layouts.insert(0, found);
    }
    prove(&mut bounds, &starts[0].instance, job, layouts[0].length);
    let by_hand_way = hand.way;
    let start = &starts[shortest];
    let relaxed = RelaxedLayout::new(&start.instance, hand.placements.clone());
    let by_hand = to_lay(job, start, relaxed, &hand.offsets);
    let (best, moves) = search(
        &starts,
        &layouts,
        effort,
        control,
        bounds.best().length_mm * UNITS_PER_MM,
        before,
    );
    Ok(Searched {
        starts,
        layouts,
        best,
        moves,
        first_length,
        bounds,
        by_hand,
        by_hand_way,
    })
}

/// Pushes the best layout together, and tells of it.
pub(super) fn settle(job: &Job, searched: &Searched, control: &Control<'_>) -> Outcome {
    let best = &searched.best;
    let start = &searched.starts[best.instance];
    let mut relaxed = RelaxedLayout::new(&start.instance, best.placements.clone());
    let deviate = if job.lock == Lock::Plane {
        f64::INFINITY
    } else {
        job.deviate_mm * UNITS_PER_MM
    };
    // Whoever stops the search still waits a moment, but not for a large program.
    let stopped = control.is_stopped();
    let stop = || control.is_stopped() && (!stopped || job.items.len() > QUICKLY_COMPACTED);
    if can_compact_by_lp(&start.instance, deviate) {
        compact_by_lp(&start.instance, &mut relaxed, deviate.min(1e12), 12, &stop);
    }
    let lay = to_lay(job, start, relaxed, &best.offsets);
    // What fits may overlap by a hair, piece after piece: no bound is that sharp. One that
    // is further above the layout is wrong, stays as it is, and the plan's check says so.
    let hair = job.items.len() as f64 * MEET / UNITS_PER_MM;
    let mut bounds = searched.bounds.clone();
    for bound in &mut bounds.all {
        if bound.length_mm < lay.length_mm + hair {
            bound.length_mm = bound.length_mm.min(lay.length_mm);
        }
    }
    Outcome {
        layout: lay,
        first_length_mm: searched.first_length / UNITS_PER_MM,
        bounds,
        by_hand: searched.by_hand.clone(),
        by_hand_way: searched.by_hand_way,
        moves: searched.moves,
        stopped: control.is_stopped(),
        one_lot_mm: None,
    }
}

fn to_lay(job: &Job, start: &Start, relaxed: RelaxedLayout, offsets: &[i64]) -> Layout {
    let instance = &start.instance;
    let placements = (0..relaxed.placements.len())
        .map(|i| Placement {
            pose: instance.orientations[relaxed.placements[i].orientation as usize].pose,
            u_mm: relaxed.u(instance, i) / UNITS_PER_MM,
            v_mm: relaxed.placements[i].v / UNITS_PER_MM,
        })
        .collect();
    let offsets = (0..job.groups)
        .map(|g| {
            // On an instance of one shared offset the job's group is in the residues.
            let lines = offsets.get(g).copied().unwrap_or(0) as f64 * instance.pitch;
            let shift = relaxed.shift.get(g).copied().unwrap_or(0.0);
            start.offsets_mm[g] + (lines + shift) / UNITS_PER_MM
        })
        .collect();
    Layout {
        length_mm: relaxed.length.max(0.0) / UNITS_PER_MM,
        placements,
        offsets,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::trial::odd_pieces;
    use std::sync::Mutex;

    /// Progress never goes back, and where nothing is raced the search is all of it.
    #[test]
    fn progress_counts_a_race_only_where_there_is_one() {
        let shares = |lock: Option<Lock>| {
            let mut job = odd_pieces(14, 0, 0.0, 5);
            job.lock = lock.unwrap_or(job.lock);
            let effort = Effort {
                work: 400_000,
                ..Effort::quick(1)
            };
            let told = Mutex::new(Vec::new());
            let tell = |progress: crate::lay::Progress<'_>| {
                let is_search = progress.moves > 0;
                told.lock().unwrap().push((is_search, progress.share));
            };
            let control = Control {
                stop: None,
                progress: Some(&tell),
            };
            search_all(&job, &effort, &control).unwrap();
            let told = told.into_inner().unwrap();
            assert!(told.is_sorted_by_key(|&(_, share)| share), "{told:?}");
            told
        };
        let first_round = 1.0 / Effort::quick(1).rounds as f64;
        let plain = shares(Some(Lock::Plane));
        assert_eq!(plain[0], (true, first_round));
        let striped = shares(None);
        assert!(striped[0].1 < 0.5, "{striped:?}");
        let search = striped.iter().find(|told| told.0).unwrap();
        assert_eq!(search.1, 0.5 + 0.5 * first_round);
    }
}
