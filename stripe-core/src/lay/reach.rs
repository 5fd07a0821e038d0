//! What a piece can reach on a line: all of the fabric, less what obstacles take out of it.

use super::instance::{Instance, LinePlacement};
use super::outline::Interval;

impl Instance {
    /// Whether anything of the fabric is barred.
    pub(crate) fn has_obstacles(&self) -> bool {
        self.barred.is_any()
    }

    /// Beyond here (units from the cut end) the fabric is whole.
    pub(crate) fn whole_from(&self) -> f64 {
        self.barred.end()
    }

    /// The positions along a line that obstacles forbid an orientation.
    fn forbidden(&self, orientation: usize, line: i64) -> &[Interval] {
        let own = &self.outlines[self.orientations[orientation].shape];
        let u = |line| self.u(orientation, line);
        self.barred.forbidden(orientation, line, own, u)
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
