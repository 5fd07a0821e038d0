//! The whole of it: first layout, search in streams, settling, bounds, by hand.

use super::bound::Bounds;
use super::bound::{easy_bounds, prove};
use super::data::{Job, Layout, Lock, Spot};
use super::effort::{Control, Effort};
use super::error::LayError;
use super::hand::{HandLay, lay_by_hand};
use super::improve::search;
use super::outline::{MEET, TICKS_PER_MM};
use super::race::race;
use super::slide::{Loose, can_slide, slide};
use super::starts::{Found, Start, first_lays, starts};
use crate::record::ByHand;

/// So many pieces are settled in some tenths of a second.
const QUICKLY_SETTLED: usize = 200;

/// What came of laying a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The best layout found.
    pub lay: Layout,
    /// Length of the layout that the search began with (mm).
    pub first_length_mm: f64,
    /// How short a layout could be at best.
    pub bounds: Bounds,
    /// The lay as a careful person does it by hand.
    pub by_hand: Layout,
    /// And in which way.
    pub by_hand_way: ByHand,
    /// Moves of the search.
    pub moves: u64,
    /// Whether the caller stopped the search before its effort was spent.
    pub stopped: bool,
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
        Loose::new(&start.board, start.seats.clone()),
        &start.offsets,
    ))
}

/// Lays a job as well as the effort allows.
///
/// On one machine the same job and effort give the same layout, on any number of threads,
/// unless `control` stops it.
///
/// # Errors
/// [`LayError`] where the job cannot be laid.
///
/// # Panics
/// Never: every board keeps its first layout.
pub fn lay(job: &Job, effort: &Effort, control: &Control) -> Result<Outcome, LayError> {
    let mut starts = starts(job, control)?;
    let first_length = starts[0].length;
    let by_hand: Vec<HandLay> = starts
        .iter()
        .map(|start| lay_by_hand(&start.board, job, &start.seats, &start.offsets))
        .collect();
    // Only what is proven of a few pieces needs to know a good layout.
    let ((mut lays, (raced, more)), mut bounds) = rayon::join(
        || {
            let lays = first_lays(job, &starts, effort, control);
            (lays, race(job, &starts, effort, control))
        },
        || easy_bounds(&starts[0].board, job),
    );
    starts.extend(raced);
    lays.extend(more);
    lays.sort_by(|a, b| a.length.total_cmp(&b.length));
    let (shortest, hand) = by_hand
        .iter()
        .enumerate()
        .min_by(|a, b| a.1.length.total_cmp(&b.1.length))
        .expect("there is a board");
    // No plan is longer than by hand.
    if hand.length < lays[0].length {
        let board = &starts[shortest].board;
        let found = Found::new(shortest, board, hand.seats.clone(), hand.offsets.clone());
        lays.insert(0, found);
    }
    prove(&mut bounds, &starts[0].board, job, lays[0].length);
    let by_hand_way = hand.way;
    let start = &starts[shortest];
    let loose = Loose::new(&start.board, hand.seats.clone());
    let by_hand = to_lay(job, start, loose, &hand.offsets);
    let (best, moves) = search(
        &starts,
        &lays,
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
    // Whoever stops the search still waits a moment, but not for a large program.
    let stopped = control.is_stopped();
    let stop = || control.is_stopped() && (!stopped || job.items.len() > QUICKLY_SETTLED);
    if can_slide(&start.board, deviate) {
        slide(&start.board, &mut loose, deviate.min(1e12), 12, &stop);
    }
    let lay = to_lay(job, start, loose, &best.offsets);
    // What fits may overlap by a hair, piece after piece: no bound is that sharp. One that
    // is further above the layout is wrong, stays as it is, and the plan's check says so.
    let hair = job.items.len() as f64 * MEET / TICKS_PER_MM;
    for bound in &mut bounds.all {
        if bound.length_mm < lay.length_mm + hair {
            bound.length_mm = bound.length_mm.min(lay.length_mm);
        }
    }
    Ok(Outcome {
        lay,
        first_length_mm: first_length / TICKS_PER_MM,
        bounds,
        by_hand,
        by_hand_way,
        moves,
        stopped: control.is_stopped(),
    })
}

fn to_lay(job: &Job, start: &Start, loose: Loose, offsets: &[i64]) -> Layout {
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
            start.offsets_mm[g] + (lines + shift) / TICKS_PER_MM
        })
        .collect();
    Layout {
        length_mm: loose.length.max(0.0) / TICKS_PER_MM,
        spots,
        offsets,
    }
}
