//! Moves on plain fabric, where lines are many and lie close together.
//!
//! A line as such says little here: its neighbour, a thousandth of the width away, is hardly
//! another one. What counts is to find the right spot of the fabric, and then to close in on
//! it. So lines anywhere are looked at by their depths alone (`depth_map`), one sample a cell:
//! the columns of all pieces in the way are added to a profile of the line, without a table
//! being asked. The least place of all of them, and the best place near where the piece stands,
//! are both closed in on with the tables, and the better one is taken. A spot that is coarsely
//! dear may be cheap once closed in on; weighing it against where the piece stands before would
//! throw it away.

use super::guided_search::GuidedSearch;
use super::instance::LinePlacement;
use super::moves::{BestMove, CLOSE, Candidate, FAR, LineList, Near};
use super::overlap_tracker::Extent;

/// About the least place of a profile, this part of the piece's height is looked at with the tables.
const FOUND: f64 = 0.1;

/// So many places of a profile are gone through in about the time of a visit; of pieces beside
/// the line, most are told by their boxes, two in that time.
const ROWS_A_VISIT: u64 = 16;

impl GuidedSearch<'_> {
    /// Looks for a better placement among a sample of lines; `best` is where the piece stands,
    /// if it may stay there.
    pub(super) fn best_in_plane(
        &mut self,
        item: usize,
        lists: &[LineList],
        now: LinePlacement,
        best: &mut Option<BestMove>,
    ) {
        let mut least: Option<(f32, Candidate)> = None;
        for _ in 0..FAR {
            let found = self
                .line_anywhere(lists)
                .and_then(|line| self.least_by_depths(item, line, now.v));
            if let Some(found) = found
                && least.is_none_or(|least| found.0 < least.0)
            {
                least = Some(found);
            }
        }
        for _ in 0..CLOSE {
            if best.is_some_and(|best| best.cost == 0.0) {
                return;
            }
            if let Some(line) = self.line_near(lists, now) {
                self.try_line(item, line, best);
            }
        }
        if let Some(from) = *best {
            self.close_in(item, from, best);
        }
        let Some((_, line)) = least else { return };
        if best.is_some_and(|best| best.cost == 0.0) {
            return;
        }
        let mut far = None;
        self.try_line(item, line, &mut far);
        if let Some(from) = far {
            self.close_in(item, from, &mut far);
        }
        if let Some(far) = far
            && best.is_none_or(|best| far.cost < best.cost)
        {
            *best = Some(far);
        }
    }

    /// The place of least weighted depths on a line, of equals any, and what it costs by the
    /// samples.
    fn least_by_depths(
        &mut self,
        item: usize,
        line: Candidate,
        here: f64,
    ) -> Option<(f32, Candidate)> {
        let instance = self.instance;
        let orientation = line.orientation;
        let (number, reach) = self.lines_of(orientation, line.offset)[line.index];
        let reach = self.part(reach, None, here)?;
        let placement = LinePlacement {
            orientation: orientation as u32,
            line: number,
            v: reach.lo,
        };
        let cell = instance.depth_cell();
        let mut profile = std::mem::take(&mut self.profile);
        profile.clear();
        profile.resize(((reach.hi - reach.lo) / cell) as usize + 1, 0.0);
        self.tracker
            .beside(placement, reach.lo, reach.hi, &mut self.beside);
        let swept = Extent::of(instance, placement, reach.lo, reach.hi);
        let n = self.tracker.placements.len();
        for &j in &self.beside {
            let j = j as usize;
            if j == item || !swept.meets(&self.tracker.boxes[j]) {
                continue;
            }
            let weight = f64::from(self.weights[item * n + j]);
            let other = self.tracker.placements[j];
            instance.add_depths(&mut profile, other, placement, reach.lo, weight);
        }
        self.work += self.beside.len() as u64 / 2 + profile.len() as u64 / ROWS_A_VISIT;
        let least = profile.iter().copied().fold(f32::INFINITY, f32::min);
        let first = self.rng.below(profile.len());
        let mut places = (first..profile.len()).chain(0..first);
        let place = places.find(|&place| profile[place] <= least);
        self.profile = profile;
        let v = reach.lo + (place? as f64 * cell).round();
        let within = FOUND * instance.height(orientation);
        let about = Some(Near { v, within });
        Some((least, Candidate { about, ..line }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::data::Lock;
    use crate::lay::instance::Instance;
    use crate::lay::trial::odd_pieces;
    use crate::rng::Rng;

    /// A piece moves on the fabric, to where it overlaps the others no more than before; and most
    /// pieces that lie anywhere find a better place.
    #[test]
    fn moves_cost_no_more_than_staying() {
        let mut job = odd_pieces(14, 0, 0.0, 5);
        job.lock = Lock::Plane;
        let instance = Instance::new(&job).unwrap();
        let length = 4_000_000.0;
        let mut rng = Rng::new(2);
        let placements: Vec<LinePlacement> = (0..14)
            .map(|item| {
                let orientation = instance.kinds[instance.items[item].0].start;
                let lines = instance.lines(orientation, 0, length);
                let (line, reach) = lines[rng.below(lines.len())];
                let v = reach.lo + rng.below((reach.hi - reach.lo) as usize) as f64;
                LinePlacement {
                    orientation: orientation as u32,
                    line,
                    v,
                }
            })
            .collect();
        let mut guided = GuidedSearch::new(&instance, placements, Vec::new(), 1);
        guided.shorten(length);
        let (mut moved, mut asked) = (0, 0);
        for step in 0..70 {
            let item = step % 14;
            let overlap = |guided: &GuidedSearch<'_>, at: LinePlacement| -> f64 {
                let others = (0..14).filter(|&other| other != item);
                let depths = others.map(|other| {
                    let weight = f64::from(guided.weights[item * 14 + other]);
                    weight * instance.depth(at, guided.tracker.placements[other])
                });
                depths.sum()
            };
            let before = overlap(&guided, guided.tracker.placements[item]);
            if before == 0.0 {
                continue;
            }
            asked += 1;
            let placement = guided.best_placement(item, false).unwrap();
            assert!(instance.lies_on_fabric(placement, length));
            let after = overlap(&guided, placement);
            assert!(after <= before * 1.000_001, "{after} for {before}");
            moved += usize::from(after < before);
            guided.tracker.move_to(item, placement);
        }
        assert!(asked >= 10 && 2 * moved > asked, "{moved} of {asked}");
    }
}
