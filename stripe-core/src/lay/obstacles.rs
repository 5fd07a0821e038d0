//! Where nothing may lie on a fabric that is less than its window: beside pieces in hand, in
//! holes and stains, where pieces are cut already.
//!
//! Obstacles stay where they are, so they are no pieces that the search moves: they take
//! intervals out of what a piece can reach along a line, found once for each orientation and line.

use super::data::Job;
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
    /// The obstacles of a job, for orientations of which each has its first line at `start` and
    /// an outline that reaches so far across; lines are `pitch` (units) apart.
    pub(super) fn new(job: &Job, orientations: &[(f64, Interval)], pitch: f64) -> Self {
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
        let ends = barred.iter().map(Outline::across);
        let (lo, hi) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), e| {
            (lo.min(e.lo), hi.max(e.hi))
        });
        let tables = orientations.iter().map(|(start, own)| {
            NoFitTable::new(
                ((lo - own.hi - start) / pitch).floor() as i64,
                ((hi - own.lo - start) / pitch).ceil() as i64,
            )
        });
        Self {
            tables: tables.collect(),
            outlines: barred,
            end: job.obstacles.end_mm * UNITS_PER_MM,
        }
    }

    /// Whether anything is barred.
    pub(super) fn is_any(&self) -> bool {
        !self.outlines.is_empty()
    }

    /// Beyond here (units from the cut end) the fabric is whole.
    pub(super) fn end(&self) -> f64 {
        self.end
    }

    /// The positions along a line of an orientation, at `u` across, that are forbidden to its
    /// outline.
    pub(super) fn forbidden(
        &self,
        orientation: usize,
        line: i64,
        own: &Outline,
        u: impl Fn(i64) -> f64,
    ) -> &[Interval] {
        let Some(table) = self.tables.get(orientation) else {
            return &[];
        };
        table.intervals(line, |line| {
            let outlines = self.outlines.iter();
            let du = u(line).round();
            let mut found: Vec<Interval> = outlines
                .flat_map(|barred| barred.intervals(own, du))
                .collect();
            unite(&mut found);
            found
        })
    }
}
