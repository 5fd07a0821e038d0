//! A move: the placement of least weighted overlap for one piece, among all its lines
//! or a sample of them.

use super::guided_search::GuidedSearch;
use super::instance::LinePlacement;
use super::outline::Interval;

/// Up to so many lines are all looked at in one move.
const ALL: usize = 48;

/// Of more lines, so many anywhere.
const FAR: usize = 8;

/// And so many near where the piece stands.
const CLOSE: usize = 6;

/// A reach longer than this many heights of the tallest piece is looked at in
/// part only.
const TALL: f64 = 16.0;

/// There one look in so many goes anywhere, the others near where the piece is: what is in the
/// way of a strip taken out is in the way of few.
const NEARBY: usize = 4;

/// A line to try.
#[derive(Debug, Clone, Copy)]
struct Candidate {
    orientation: usize,
    offset: i64,
    /// Its place among the orientation's lines at that offset.
    index: usize,
    /// Where along it, if not anywhere.
    about: Option<f64>,
}

/// A placement worth taking, the offset it goes with, and what it costs.
#[derive(Debug, Clone, Copy)]
struct BestMove {
    cost: f64,
    placement: LinePlacement,
    offset: i64,
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
        let mut lists: Vec<(usize, i64, usize)> = Vec::new();
        for orientation in instance.kinds[kind].clone() {
            for offset in offsets.clone() {
                lists.push((
                    orientation,
                    offset,
                    self.lines_of(orientation, offset).len(),
                ));
            }
        }
        let total: usize = lists.iter().map(|l| l.2).sum();
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
        let mut candidates: Vec<Candidate> = Vec::new();
        if total <= ALL {
            for &(orientation, offset, count) in &lists {
                candidates.extend((0..count).map(|index| Candidate {
                    orientation,
                    offset,
                    index,
                    about: None,
                }));
            }
            self.rng.shuffle(&mut candidates);
        } else {
            self.sample(&lists, total, now, &mut candidates);
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
    fn close_in(&mut self, item: usize, from: BestMove, best: &mut Option<BestMove>) {
        let orientation = from.placement.orientation as usize;
        let lines = self.lines_of(orientation, from.offset);
        let count = lines.len();
        let mut index = lines.partition_point(|x| x.0 < from.placement.line);
        let mut v = from.placement.v;
        let mut step = 8;
        while step > 0 && best.is_some_and(|b| b.cost > 0.0) {
            let mut better = false;
            let near = [index.checked_sub(step), Some(index + step), Some(index)];
            for next in near.into_iter().flatten().filter(|&next| next < count) {
                let candidate = Candidate {
                    orientation,
                    offset: from.offset,
                    index: next,
                    about: Some(v),
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
    fn try_line(&mut self, item: usize, candidate: Candidate, best: &mut Option<BestMove>) -> bool {
        let Candidate {
            orientation,
            offset,
            index,
            about,
        } = candidate;
        let (line, reach) = self.lines_of(orientation, offset)[index];
        let bar = best.map_or(f64::INFINITY, |b| b.cost);
        let here = self.tracker.placements[item].v;
        let Some(reach) = self.part(orientation, reach, about, here) else {
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

    /// Draws lines anywhere and near where a piece stands.
    fn sample(
        &mut self,
        lists: &[(usize, i64, usize)],
        total: usize,
        now: LinePlacement,
        candidates: &mut Vec<Candidate>,
    ) {
        for _ in 0..FAR {
            let mut at = self.rng.below(total);
            for &(orientation, offset, count) in lists {
                if at < count {
                    candidates.push(Candidate {
                        orientation,
                        offset,
                        index: at,
                        about: None,
                    });
                    break;
                }
                at -= count;
            }
        }
        for _ in 0..CLOSE {
            let (orientation, offset, count) = lists[self.rng.below(lists.len())];
            if count == 0 {
                continue;
            }
            let here = self
                .lines_of(orientation, offset)
                .partition_point(|x| x.0 < now.line)
                .min(count - 1);
            // Far less often than near, on every scale alike.
            let scale = 1usize << (1 + self.rng.below(6));
            let off = self.rng.below(2 * scale + 1);
            let at = (here + off).saturating_sub(scale).min(count - 1);
            candidates.push(Candidate {
                orientation,
                offset,
                index: at,
                about: Some(now.v),
            });
        }
    }

    /// What is looked at of a reach: around a place, or on long fabric a part of it
    /// about where the piece is, or at times anywhere. `None` if the place is far outside.
    fn part(
        &mut self,
        orientation: usize,
        reach: Interval,
        about: Option<f64>,
        here: f64,
    ) -> Option<Interval> {
        if let Some(v) = about {
            let near = self.instance.height(orientation) / 2.0;
            let lo = (v - near).round().max(reach.lo);
            let hi = (v + near).round().min(reach.hi);
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
        about: Option<f64>,
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
        if let Some(v) = about
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
        for &j in &self.beside {
            if j as usize == item {
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
