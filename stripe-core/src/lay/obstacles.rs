//! Where nothing may lie on a fabric that is less than its window: beside pieces in hand, in
//! holes and stains, where pieces are cut already.
//!
//! Obstacles stay where they are, so they are no pieces that the search moves: they take
//! intervals out of what a piece can reach along a line, found once for each orientation and line.

use super::data::Job;
use super::instance::{Instance, LinePlacement, Orientation};
use super::no_fit_table::NoFitTable;
use super::outline::{Interval, Outline, UNITS_PER_MM, unite};
use crate::shape::{Region, Rigid, point};

/// The obstacles of an instance, in the stripe's frame.
#[derive(Debug, Default)]
pub(super) struct Barred {
    outlines: Vec<Outline>,
    /// For each orientation its forbidden intervals, line by line.
    tables: Vec<NoFitTable>,
    /// Beyond here (units from the cut end) the fabric is whole but for strips along it.
    end: f64,
}

impl Barred {
    /// The obstacles of a job, for orientations whose lines are `pitch` (units) apart.
    pub(super) fn new(
        job: &Job,
        orientations: &[Orientation],
        outlines: &[Outline],
        pitch: f64,
    ) -> Self {
        let to_stripe = Rigid {
            rotate_rad: -job.window.normal_rad,
            mirror: false,
            shift: point(0.0, 0.0),
        };
        let regions = job.obstacles.regions.iter();
        let barred: Vec<Outline> = regions
            .map(|region: &Region| Outline::new(&to_stripe.apply_to(region)))
            .collect();
        if barred.is_empty() {
            return Self::default();
        }
        let tables = orientations.iter().map(|o| {
            let own = outlines[o.shape].across();
            let ends = barred.iter().map(Outline::across);
            let (lo, hi) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), e| {
                (lo.min(e.lo), hi.max(e.hi))
            });
            NoFitTable::new(
                ((lo - own.hi - o.start) / pitch).floor() as i64,
                ((hi - own.lo - o.start) / pitch).ceil() as i64,
            )
        });
        Self {
            tables: tables.collect(),
            outlines: barred,
            end: job.obstacles.end_mm * UNITS_PER_MM,
        }
    }
}

impl Instance {
    /// Whether anything of the fabric is barred.
    pub(crate) fn has_obstacles(&self) -> bool {
        !self.barred.outlines.is_empty()
    }

    /// Beyond here (units from the cut end) the fabric is whole.
    pub(crate) fn whole_from(&self) -> f64 {
        self.barred.end
    }

    /// The positions along a line that obstacles forbid an orientation.
    fn forbidden(&self, orientation: usize, line: i64) -> &[Interval] {
        let Some(table) = self.barred.tables.get(orientation) else {
            return &[];
        };
        let own = &self.outlines[self.orientations[orientation].shape];
        table.intervals(line, |line| {
            let du = self.u(orientation, line).round();
            let outlines = self.barred.outlines.iter();
            let mut found: Vec<Interval> = outlines
                .flat_map(|barred| barred.intervals(own, du))
                .collect();
            unite(&mut found);
            found
        })
    }

    /// All intervals of [`Self::reach`] that obstacles leave, from below.
    pub(crate) fn reaches(&self, orientation: usize, line: i64, length: f64) -> Vec<Interval> {
        let Some(reach) = self.reach(orientation, line, length) else {
            return Vec::new();
        };
        if !self.has_obstacles() {
            return vec![reach];
        }
        let mut free = Vec::new();
        let mut lo = reach.lo;
        for barred in self.forbidden(orientation, line) {
            if barred.hi <= lo {
                continue;
            }
            if barred.lo >= reach.hi {
                break;
            }
            free.extend(self.kept(orientation, line, lo, barred.lo));
            lo = barred.hi;
        }
        free.extend(self.kept(orientation, line, lo, reach.hi));
        free
    }

    /// The positions that a piece may take from `lo` to `hi`.
    fn kept(&self, orientation: usize, line: i64, lo: f64, hi: f64) -> Option<Interval> {
        let line = i32::try_from(line).ok()?;
        let kept = Interval {
            lo: self.snap(orientation, line, lo, true),
            hi: self.snap(orientation, line, hi, false),
        };
        (kept.lo <= kept.hi).then_some(kept)
    }

    /// Of what a piece may reach on its line, the interval that its position is in or nearest to.
    pub(crate) fn reach_near(&self, placement: LinePlacement, length: f64) -> Option<Interval> {
        let (orientation, line) = (placement.orientation as usize, i64::from(placement.line));
        if !self.has_obstacles() {
            return self.reach(orientation, line, length);
        }
        let far = |reach: &Interval| (reach.lo - placement.v).max(placement.v - reach.hi);
        let reaches = self.reaches(orientation, line, length);
        reaches.into_iter().min_by(|a, b| far(a).total_cmp(&far(b)))
    }

    /// Whether a piece lies within a fabric of this length, clear of obstacles.
    pub(crate) fn lies_on_fabric(&self, placement: LinePlacement, length: f64) -> bool {
        self.reach_near(placement, length)
            .is_some_and(|reach| reach.lo <= placement.v && placement.v <= reach.hi)
    }
}
