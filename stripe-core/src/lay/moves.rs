//! A move: the placement of least weighted overlap for one piece, among all its lines
//! or a sample of them.

use super::guided_search::GuidedSearch;
use super::instance::LinePlacement;
use super::outline::Interval;
use super::overlap_tracker::Extent;

/// Up to so many lines are all looked at in one move.
const ALL: usize = 48;

/// Of more lines, so many anywhere.
pub(super) const FAR: usize = 8;

/// And so many near where the piece stands.
pub(super) const CLOSE: usize = 6;

/// A reach longer than this many heights of the tallest piece is looked at in
/// part only.
const TALL: f64 = 16.0;

/// There one look in so many goes anywhere, the others near where the piece is: what is in the
/// way of a strip taken out is in the way of few.
const NEARBY: usize = 4;

/// On plain fabric, closing in by steps of some lines looks so many times as far along them.
const WITHIN: usize = 8;

/// The lines that a piece may take with one orientation at one offset.
#[derive(Debug, Clone, Copy)]
pub(super) struct LineList {
    orientation: usize,
    offset: i64,
    count: usize,
}

/// A line to try.
#[derive(Debug, Clone, Copy)]
pub(super) struct Candidate {
    pub(super) orientation: usize,
    pub(super) offset: i64,
    /// Its place among the orientation's lines at that offset.
    pub(super) index: usize,
    /// Where along it, if not anywhere.
    pub(super) about: Option<Near>,
}

/// A part of a line: a place on it, and how far from there (units).
#[derive(Debug, Clone, Copy)]
pub(super) struct Near {
    pub(super) v: f64,
    pub(super) within: f64,
}

/// A placement worth taking, the offset it goes with, and what it costs.
#[derive(Debug, Clone, Copy)]
pub(super) struct BestMove {
    pub(super) cost: f64,
    pub(super) placement: LinePlacement,
    pub(super) offset: i64,
}

impl LineList {
    /// The line at a place of the list.
    fn line(&self, index: usize) -> Candidate {
        Candidate {
            orientation: self.orientation,
            offset: self.offset,
            index,
            about: None,
        }
    }
}

impl GuidedSearch<'_> {
    /// The placement of least weighted overlap for a piece, among all its lines or a
    /// sample of them. With `anywhere`, the placement that it has now does not count.
    pub(super) fn best_placement(&mut self, item: usize, anywhere: bool) -> Option<LinePlacement> {
        self.moves += 1;
        let instance = self.instance;
        let (kind, group) = instance.items[item];
        let own = group.map_or(0, |g| self.offsets[g]);
        let offsets = match group {
            Some(g) if self.members[g].len() == 1 => 0..instance.stride,
            Some(_) => own..own + 1,
            None => 0..1,
        };
        let mut lists: Vec<LineList> = Vec::new();
        for orientation in instance.kinds[kind].clone() {
            for offset in offsets.clone() {
                let count = self.lines_of(orientation, offset).len();
                lists.push(LineList {
                    orientation,
                    offset,
                    count,
                });
            }
        }
        let total: usize = lists.iter().map(|list| list.count).sum();
        let now = self.tracker.placements[item];
        let mut best: Option<BestMove> = None;
        let inside = instance.lies_on_fabric(now, self.length);
        if !anywhere && inside {
            // Where it stands it may stay: only what costs less is of interest.
            best = Some(BestMove {
                cost: self.cost_now(item) * 1.000_000_1,
                placement: now,
                offset: own,
            });
        }
        if instance.is_plane() && total > ALL {
            self.best_in_plane(item, &lists, now, &mut best);
            return best.map(|best| best.placement);
        }
        let mut candidates: Vec<Candidate> = Vec::new();
        if total <= ALL {
            for list in &lists {
                candidates.extend((0..list.count).map(|index| list.line(index)));
            }
            self.rng.shuffle(&mut candidates);
        } else {
            candidates.extend((0..FAR).filter_map(|_| self.line_anywhere(&lists)));
            candidates.extend((0..CLOSE).filter_map(|_| self.line_near(&lists, now)));
        }
        for candidate in candidates {
            if best.is_some_and(|b| b.cost == 0.0) {
                break;
            }
            self.try_line(item, candidate, &mut best);
        }
        if total > ALL
            && let Some(from) = best
        {
            self.close_in(item, from, &mut best);
        }
        let best = best?;
        if let Some(g) = group {
            self.offsets[g] = best.offset;
        }
        Some(best.placement)
    }

    /// Looks closer and closer about the best place.
    pub(super) fn close_in(&mut self, item: usize, from: BestMove, best: &mut Option<BestMove>) {
        let instance = self.instance;
        let orientation = from.placement.orientation as usize;
        let lines = self.lines_of(orientation, from.offset);
        let count = lines.len();
        let mut index = lines.partition_point(|x| x.0 < from.placement.line);
        let mut v = from.placement.v;
        let mut step = 8;
        while step > 0 && best.is_some_and(|b| b.cost > 0.0) {
            let mut better = false;
            let mut within = instance.height(orientation) / 2.0;
            if instance.is_plane() {
                within = within.min((WITHIN * step) as f64 * instance.pitch);
            }
            let near = [index.checked_sub(step), Some(index + step), Some(index)];
            for next in near.into_iter().flatten().filter(|&next| next < count) {
                let candidate = Candidate {
                    orientation,
                    offset: from.offset,
                    index: next,
                    about: Some(Near { v, within }),
                };
                if self.try_line(item, candidate, best) {
                    index = next;
                    better = true;
                }
            }
            v = best.map_or(v, |b| b.placement.v);
            if !better {
                step /= 2;
            }
        }
    }

    /// The weighted overlaps of a piece where it stands.
    fn cost_now(&self, item: usize) -> f64 {
        let n = self.tracker.placements.len();
        let weights = &self.weights[item * n..(item + 1) * n];
        let overlaps = self.tracker.overlaps(item).iter();
        overlaps
            .map(|c| f64::from(weights[c.other as usize]) * c.depth)
            .sum()
    }

    /// Looks for a better placement on a line; whether it found one.
    pub(super) fn try_line(
        &mut self,
        item: usize,
        candidate: Candidate,
        best: &mut Option<BestMove>,
    ) -> bool {
        let Candidate {
            orientation,
            offset,
            index,
            about,
        } = candidate;
        let (line, reach) = self.lines_of(orientation, offset)[index];
        let bar = best.map_or(f64::INFINITY, |b| b.cost);
        let here = self.tracker.placements[item].v;
        let Some(reach) = self.part(reach, about, here) else {
            return false;
        };
        match self.best_on_line(item, orientation as u32, line, reach, about, bar) {
            Some((cost, v)) if cost < bar => {
                let placement = LinePlacement {
                    orientation: orientation as u32,
                    line,
                    v,
                };
                *best = Some(BestMove {
                    cost,
                    placement,
                    offset,
                });
                true
            }
            _ => false,
        }
    }

    /// Any line.
    pub(super) fn line_anywhere(&mut self, lists: &[LineList]) -> Option<Candidate> {
        let total: usize = lists.iter().map(|list| list.count).sum();
        let mut at = self.rng.below(total);
        for list in lists {
            if at < list.count {
                return Some(list.line(at));
            }
            at -= list.count;
        }
        None
    }

    /// A line near where a piece stands.
    pub(super) fn line_near(
        &mut self,
        lists: &[LineList],
        now: LinePlacement,
    ) -> Option<Candidate> {
        let list = lists[self.rng.below(lists.len())];
        if list.count == 0 {
            return None;
        }
        let here = self
            .lines_of(list.orientation, list.offset)
            .partition_point(|x| x.0 < now.line)
            .min(list.count - 1);
        // Far less often than near, on every scale alike.
        let scale = 1usize << (1 + self.rng.below(6));
        let off = self.rng.below(2 * scale + 1);
        let at = (here + off).saturating_sub(scale).min(list.count - 1);
        let within = self.instance.height(list.orientation) / 2.0;
        let about = Some(Near { v: now.v, within });
        Some(Candidate {
            about,
            ..list.line(at)
        })
    }

    /// What is looked at of a reach: around a place, or on long fabric a part of it
    /// about where the piece is, or at times anywhere. `None` if the place is far outside.
    pub(super) fn part(
        &mut self,
        reach: Interval,
        about: Option<Near>,
        here: f64,
    ) -> Option<Interval> {
        if let Some(Near { v, within }) = about {
            let lo = (v - within).round().max(reach.lo);
            let hi = (v + within).round().min(reach.hi);
            return (lo <= hi).then_some(Interval { lo, hi });
        }
        let most = TALL * self.tracker.cell;
        if reach.hi - reach.lo <= most {
            return Some(reach);
        }
        let middle = if self.rng.below(NEARBY) > 0 {
            here + self.rng.below(most as usize) as f64 - most / 2.0
        } else {
            reach.lo + self.rng.below((reach.hi - reach.lo) as usize) as f64
        };
        let lo = (middle - most / 2.0).max(reach.lo).round();
        let lo = lo.min((reach.hi - most).round());
        Some(Interval {
            lo,
            hi: (lo + most).round(),
        })
    }

    /// The position of least weighted overlap on one line, unless all cost at
    /// least `bar`.
    fn best_on_line(
        &mut self,
        item: usize,
        orientation: u32,
        line: i32,
        reach: Interval,
        about: Option<Near>,
        bar: f64,
    ) -> Option<(f64, f64)> {
        let instance = self.instance;
        let n = self.tracker.placements.len();
        let placement = LinePlacement {
            orientation,
            line,
            v: 0.0,
        };
        let at = orientation as usize;
        let lattice = instance.is_lattice();
        let mut way = std::mem::take(&mut self.way);
        way.clear(reach);
        let look = |v: f64, up: bool| {
            let v = instance.snap(at, line, v, up);
            if !lattice || (reach.lo <= v && v <= reach.hi) {
                Some(v)
            } else {
                None
            }
        };
        for v in [look(reach.lo, true), look(reach.hi, false)]
            .into_iter()
            .flatten()
        {
            way.try_at(v);
        }
        if let Some(Near { v, .. }) = about
            && instance.is_plane()
        {
            // Between two that press from the sides the best place may be no breakpoint.
            let step = instance.height(at) / 2.0;
            let part = [0.0, 1.0 / 64.0, -1.0 / 64.0, 1.0 / 12.0, -1.0 / 12.0];
            for v in part.map(|p| (v + p * step).round()) {
                if reach.lo < v && v < reach.hi {
                    way.try_at(v);
                }
            }
        }
        self.tracker
            .beside(placement, reach.lo, reach.hi, &mut self.beside);
        let swept = Extent::of(instance, placement, reach.lo, reach.hi);
        for &j in &self.beside {
            if j as usize == item || !swept.meets(&self.tracker.boxes[j as usize]) {
                continue;
            }
            let other = self.tracker.placements[j as usize];
            let (intervals, sense) = instance.intervals_read(other, placement);
            if intervals.is_empty() {
                continue;
            }
            let deep = instance.column(other, placement).map(|c| (c, other.v));
            let weight = f64::from(self.weights[item * n + j as usize]);
            for s in intervals {
                let (a, b) = (sense * s.lo + other.v, sense * s.hi + other.v);
                let (lo, hi) = if sense > 0.0 { (a, b) } else { (b, a) };
                if hi > reach.lo && lo < reach.hi {
                    way.add(lo, hi, weight, deep);
                    if lo > reach.lo
                        && let Some(v) = look(lo, false)
                    {
                        way.try_at(v);
                    }
                    if hi < reach.hi
                        && let Some(v) = look(hi, true)
                    {
                        way.try_at(v);
                    }
                }
            }
        }
        self.work += self.beside.len() as u64;
        let first = self.rng.bits() >> 32;
        let best = way.least(bar, first, &mut self.work);
        self.way = way;
        best
    }
}
