//! How often the stripe offers a place to a piece: the lines that it may lie on, and the repeats
//! that it takes. Where these counts change, the length that is needed may jump.
//!
//! A piece whose cut line, with its gap, is `w` across the stripes takes `ceil(w / R)` repeats `R`
//! of its own, if its like lies beside it; and lengthwise stripes on fabric of width `W` offer it
//! `floor((W - w) / R) + 1` lines, one more or less where the stripe begins elsewhere. For pieces that
//! show the same place of the stripe a layout for one repeat stays one for a larger repeat, on the same
//! lines, as long as the last of them is still on the fabric: so what is needed grows where a line
//! is lost, and nowhere else.
//!
//! # Source
//! Own derivation.

use crate::fabric::{Fabric, Run};
use crate::lay::{Job, Lock};
use crate::num::wrap;
use crate::plan::job::FabricJob;
use crate::shape::ring::extent;
use std::collections::BTreeSet;

/// So near (mm) to a repeat at which a count changes the repeat beside it is tried.
const BESIDE_MM: f64 = 0.02;
/// A piece is so little (mm) wider than a repeat that it is no wider.
const WIDER_TOL_MM: f64 = 1e-6;

/// A piece of the job, as wide and as long as it lies.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Stick {
    /// Motif and part, by their indices.
    pub(super) of: (usize, usize),
    /// Across the stripes and along them, half the gap to either side counted in (mm).
    pub(super) across_mm: f64,
    pub(super) along_mm: f64,
    /// How many there are of it.
    pub(super) count: usize,
}

/// What is told of a fabric's pieces without laying them.
#[derive(Debug, Clone)]
pub(super) struct Lines {
    pub(super) sticks: Vec<Stick>,
    width_mm: f64,
    run: Run,
}

impl Lines {
    /// `part_of` gives the part of an item's piece.
    pub(super) fn new(
        fabric: &Fabric,
        made: &FabricJob,
        part_of: impl Fn(usize) -> (usize, usize),
    ) -> Self {
        let mut sticks: Vec<Stick> = vec![];
        for (i, item) in made.job.items.iter().enumerate() {
            let [across_mm, along_mm] = size(&made.job, item.kind);
            let of = part_of(i);
            let is_like = |stick: &&mut Stick| {
                stick.of == of
                    && (stick.across_mm - across_mm).abs() < 0.01
                    && (stick.along_mm - along_mm).abs() < 0.01
            };
            match sticks.iter_mut().find(is_like) {
                Some(stick) => stick.count += 1,
                None => sticks.push(Stick {
                    of,
                    across_mm,
                    along_mm,
                    count: 1,
                }),
            }
        }
        Self {
            sticks,
            width_mm: fabric.width_mm + 2.0 * made.job.window.margin_mm,
            run: fabric
                .stripe()
                .map_or(Run::Lengthwise, |stripe| stripe.run()),
        }
    }

    /// So many repeats a piece takes.
    pub(super) fn repeats(stick: &Stick, repeat_mm: f64) -> usize {
        ((stick.across_mm - WIDER_TOL_MM) / repeat_mm)
            .ceil()
            .max(1.0) as usize
    }

    /// So many lines a piece may lie on, from selvage to selvage; none where that is no limit.
    pub(super) fn offered(&self, stick: &Stick, repeat_mm: f64) -> Option<usize> {
        match self.run {
            Run::Lengthwise => {
                let room = (self.width_mm - stick.across_mm + WIDER_TOL_MM) / repeat_mm;
                Some((room.floor() + 1.0).max(0.0) as usize)
            }
            Run::Crosswise => None,
        }
    }

    /// So many pieces side by side in one row, at least one.
    pub(super) fn in_a_row(&self, stick: &Stick, repeat_mm: f64) -> usize {
        match self.offered(stick, repeat_mm) {
            Some(lines) => lines.div_ceil(Self::repeats(stick, repeat_mm)),
            None => (self.width_mm / stick.along_mm) as usize,
        }
        .max(1)
    }

    /// What one of its pieces takes of the length, if it stands in rows of its like (mm).
    pub(super) fn high_mm(&self, stick: &Stick, repeat_mm: f64) -> f64 {
        let row_mm = match self.run {
            Run::Lengthwise => stick.along_mm,
            Run::Crosswise => repeat_mm * Self::repeats(stick, repeat_mm) as f64,
        };
        row_mm / self.in_a_row(stick, repeat_mm) as f64
    }

    /// What pieces of one kind in rows would take together (mm): no layout, but it rises and falls
    /// where the counts change.
    pub(super) fn in_rows_mm(&self, repeat_mm: f64) -> f64 {
        let of_one = |stick: &Stick| stick.count as f64 * self.high_mm(stick, repeat_mm);
        self.sticks.iter().map(of_one).sum()
    }

    /// The repeats between two, both left out, right beside which a count changes, on the side
    /// that has fewer lines or needs more repeats: those where rows would be longest first.
    pub(super) fn worst_between(&self, low_mm: f64, high_mm: f64) -> Vec<f64> {
        let mut found: BTreeSet<i64> = BTreeSet::new();
        for stick in &self.sticks {
            // Just above R = (W - w) / k a line is lost; just below w / k a repeat more is taken.
            let lost = (self.run == Run::Lengthwise).then_some(self.width_mm - stick.across_mm);
            let all = [(lost, BESIDE_MM), (Some(stick.across_mm), -BESIDE_MM)];
            for (room, beside) in all.into_iter().filter_map(|(room, b)| Some((room?, b))) {
                let (most, least) = (
                    (room / low_mm).ceil() as i64,
                    (room / high_mm).floor() as i64,
                );
                for k in least.max(1)..=most.min(MOST_COUNT) {
                    let at = room / k as f64 + beside;
                    if at > low_mm + BESIDE_MM && at < high_mm - BESIDE_MM {
                        found.insert((at * 100.0).round() as i64);
                    }
                }
            }
        }
        let mut found: Vec<(f64, f64)> = (found.into_iter())
            .map(|hundredths| hundredths as f64 / 100.0)
            .map(|at| (self.in_rows_mm(at), at))
            .collect();
        found.sort_by(|a, b| b.0.total_cmp(&a.0).then(b.1.total_cmp(&a.1)));
        found.into_iter().map(|(_, at)| at).collect()
    }
}

/// More lines than these are not told apart.
const MOST_COUNT: i64 = 400;

/// The extents across and along the stripes of a kind, laid the way in which it is narrowest (mm).
fn size(job: &Job, kind: usize) -> [f64; 2] {
    let poses = job.kinds[kind].poses.iter();
    let sizes = poses.map(|pose| {
        let outline = &job.shapes[pose.shape].outline;
        let (low, high) = extent(outline.exterior().0.iter().copied());
        [high.x - low.x, high.y - low.y]
    });
    sizes
        .min_by(|a, b| a[0].total_cmp(&b[0]))
        .unwrap_or_default()
}

/// Whether the pieces of a job may slide across the stripe as they like, all of them: then it does
/// not matter where the stripe begins.
pub(super) fn is_all_free(job: &Job) -> bool {
    matches!(job.lock, Lock::Plane) || job.items.iter().all(|item| item.group.is_some())
}

/// So many places where the stripe may begin are laid, evenly over a repeat, if that matters.
const STARTS: usize = 4;

/// Where the stripe is made to begin (mm across it), and how much of the width is kept back, so
/// that a layout for one of these serves every beginning up to the next: moved by so much.
pub(super) fn starts(origin_mm: f64, repeat_mm: f64) -> ([f64; STARTS], f64) {
    let step = repeat_mm / STARTS as f64;
    let starts = std::array::from_fn(|i| wrap(origin_mm + step * i as f64, repeat_mm));
    (starts, step)
}
