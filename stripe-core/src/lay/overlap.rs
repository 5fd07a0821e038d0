//! Overlaps of two placements: where along the lines, and how deep.

use super::depth_map::{Column, DepthMap};
use super::instance::{Instance, LinePlacement};
use super::line_penalty::LEAST_DEPTH;
use super::outline::Interval;

/// Lines from column to column of the depths in the plane.
const DEPTH_MAP_STEP: i64 = 8;

impl Instance {
    /// Where `b` overlaps `a`: forbidden intervals of `v_b - v_a`.
    pub(crate) fn intervals(&self, a: LinePlacement, b: LinePlacement) -> &[Interval] {
        let (fa, fb) = (
            &self.orientations[a.orientation as usize],
            &self.orientations[b.orientation as usize],
        );
        let table = &self.tables[fa.table_class * self.table_classes + fb.table_class];
        table.intervals(i64::from(b.line) - i64::from(a.line), |lines| {
            let du = fb.start - fa.start + lines as f64 * self.pitch;
            self.intervals_apart(a.orientation, b.orientation, du)
        })
    }

    /// Where `b` overlaps `a`, as [`Self::intervals`], but to be read the other way
    /// round where the second value is -1: of two tables that say the same, the search
    /// reads one, for it waits for memory more than for anything.
    pub(crate) fn intervals_read(&self, a: LinePlacement, b: LinePlacement) -> (&[Interval], f64) {
        let table_class = |placement: LinePlacement| {
            self.orientations[placement.orientation as usize].table_class
        };
        if table_class(a) <= table_class(b) {
            (self.intervals(a, b), 1.0)
        } else {
            (self.intervals(b, a), -1.0)
        }
    }

    /// Where an orientation overlaps another from which it stands `du` (units) across.
    ///
    /// Seen from either side it is the same to the last unit: rounding decides what
    /// is a fit, and a fit must be one for both.
    pub(crate) fn intervals_apart(&self, a: u32, b: u32, du: f64) -> Vec<Interval> {
        let (sa, sb) = (
            self.orientations[a as usize].shape,
            self.orientations[b as usize].shape,
        );
        let du = du.round();
        let turned = (sa, -du) > (sb, du);
        let (one, other, across) = if turned { (sb, sa, -du) } else { (sa, sb, du) };
        let mut intervals = self.outlines[one].intervals(&self.outlines[other], across);
        if turned {
            intervals.reverse();
            for s in &mut intervals {
                (s.lo, s.hi) = (-s.hi, -s.lo);
            }
        }
        if self.lattice.is_some() {
            // On a lattice even contact along is by rounded numbers.
            for s in &mut intervals {
                s.lo += 2.0;
                s.hi -= 2.0;
            }
        }
        intervals
    }

    /// How far (units) two placements would have to be moved apart, along the lines
    /// or, on plain fabric, in any direction; 0 if clear.
    pub(crate) fn depth(&self, a: LinePlacement, b: LinePlacement) -> f64 {
        let dv = b.v - a.v;
        let (intervals, sense) = self.intervals_read(a, b);
        let along = depth_in(intervals, sense * dv);
        match self.column(a, b) {
            Some(column) if along > 0.0 => column.depth(dv).max(LEAST_DEPTH).min(along),
            _ => along,
        }
    }

    /// On plain fabric, the depths of `b` over `a` by their difference along.
    pub(crate) fn column(&self, a: LinePlacement, b: LinePlacement) -> Option<Column<'_>> {
        if self.depth_maps.is_empty() {
            return None;
        }
        let (depth_map, lines, sense) = self.depth_map_read(a, b);
        Some(depth_map.column(lines, sense))
    }

    /// On plain fabric, adds the depths of `b` over `a`, times a weight, to a profile of places
    /// along the line of `b`: from `lo` (units) on, one a cell.
    pub(crate) fn add_depths(
        &self,
        profile: &mut [f32],
        a: LinePlacement,
        b: LinePlacement,
        lo: f64,
        weight: f64,
    ) {
        let (depth_map, lines, sense) = self.depth_map_read(a, b);
        let zero = (a.v - lo) / self.depth_cell();
        depth_map.add_to(profile, lines, sense, zero, weight);
    }

    /// Distance (units) of the samples of depths.
    pub(crate) fn depth_cell(&self) -> f64 {
        DEPTH_MAP_STEP as f64 * self.pitch
    }

    /// The map to read for the depths of `b` over `a`, at which difference of lines, and in
    /// which sense along: what is deep for `b` over `a` is as deep for `a` over `b`.
    #[inline]
    fn depth_map_read(&self, a: LinePlacement, b: LinePlacement) -> (&DepthMap, i64, f64) {
        let table_class = |placement: LinePlacement| {
            self.orientations[placement.orientation as usize].table_class
        };
        let (ta, tb) = (table_class(a), table_class(b));
        let lines = i64::from(b.line) - i64::from(a.line);
        if ta <= tb {
            (self.depth_map(a, b, ta, tb), lines, 1.0)
        } else {
            (self.depth_map(b, a, tb, ta), -lines, -1.0)
        }
    }

    fn depth_map(&self, a: LinePlacement, b: LinePlacement, ta: usize, tb: usize) -> &DepthMap {
        let index = ta * self.table_classes + tb;
        self.depth_maps[index].get_or_init(|| {
            let placement = |orientation, line: i64| LinePlacement {
                orientation,
                line: line as i32,
                v: 0.0,
            };
            DepthMap::new(
                self.tables[index].differences(),
                DEPTH_MAP_STEP,
                self.depth_cell(),
                |k| self.intervals(placement(a.orientation, 0), placement(b.orientation, k)),
            )
        })
    }
}

/// How far (units) `v` is from the nearer end of the forbidden interval that holds it.
pub(crate) fn depth_in(intervals: &[Interval], v: f64) -> f64 {
    for s in intervals {
        if v <= s.lo {
            return 0.0;
        }
        if v < s.hi {
            return (v - s.lo).min(s.hi - v);
        }
    }
    0.0
}
