//! What stands in the way on one line, and the place on it that costs least.
//!
//! Along a line the cost is a sum of penalty segments, concave between their breakpoints: so only
//! breakpoints and the ends of the reach are looked at. And where one penalty segment alone costs
//! more than the best place known, nothing is looked at: those stretches are
//! marked first, on a coarse row of bits.

use super::depth_map::Column;
use super::outline::Interval;
use crate::num::ceil_to_index;

/// Cells of the row of bits.
const CELLS: usize = 512;

/// No overlap is less deep than this (units), unless along the line.
pub(crate) const LEAST_DEPTH: f64 = 1_000.0;

/// Tents weighed together.
const LANES: usize = 4;

/// All that is in the way on one line.
#[derive(Debug, Default)]
pub(crate) struct LinePenalty<'a> {
    reach: (f64, f64),
    lo: Vec<f64>,
    hi: Vec<f64>,
    weight: Vec<f64>,
    /// On plain fabric: the depths below each other piece, and where it stands.
    deep: Vec<(Column<'a>, f64)>,
    /// Places worth a look.
    tries: Vec<f64>,
    barred: [u64; CELLS / 64],
}

impl<'a> LinePenalty<'a> {
    /// Forgets all; what follows is about places within `reach`.
    #[inline]
    pub(crate) fn clear(&mut self, reach: Interval) {
        self.reach = (reach.lo, reach.hi);
        self.lo.clear();
        self.hi.clear();
        self.weight.clear();
        self.deep.clear();
        self.tries.clear();
    }

    /// An overlap with one piece, between two places on the line; on plain
    /// fabric with the depths below that piece, and where it stands.
    #[inline]
    pub(crate) fn add(&mut self, lo: f64, hi: f64, weight: f64, deep: Option<(Column<'a>, f64)>) {
        self.lo.push(lo);
        self.hi.push(hi);
        self.weight.push(weight);
        self.deep.extend(deep);
    }

    /// A place worth a look.
    #[inline]
    pub(crate) fn try_at(&mut self, v: f64) {
        self.tries.push(v);
    }

    /// The place of least cost and that cost, unless all cost at least `bar`;
    /// of equals, the first from the `first`-th try on (counted round). Adds
    /// the visits that it took to `work`.
    pub(crate) fn least(&mut self, bar: f64, first: u64, work: &mut u64) -> Option<(f64, f64)> {
        let plane = !self.deep.is_empty();
        while !plane && !self.lo.len().is_multiple_of(LANES) {
            self.add(0.0, 0.0, 0.0, None);
        }
        let per_cell = CELLS as f64 / (self.reach.1 - self.reach.0 + 1.0);
        let marked = !plane && bar < f64::INFINITY;
        if marked {
            self.mark(bar, per_cell);
        }
        let mut bar = bar;
        let mut best = None;
        let mut weighed = 0;
        let count = self.tries.len();
        let mut at = (first % count.max(1) as u64) as usize;
        for _ in 0..count {
            let v = self.tries[at];
            at = if at + 1 == count { 0 } else { at + 1 };
            if marked {
                let cell = ((v - self.reach.0) * per_cell) as usize % CELLS;
                if self.barred[cell / 64] >> (cell % 64) & 1 == 1 {
                    continue;
                }
            }
            weighed += 1;
            let cost = if plane {
                self.depths(v, bar)
            } else {
                self.segments(v, bar)
            };
            if cost < bar {
                bar = cost;
                best = Some((cost, v));
                if cost == 0.0 {
                    break;
                }
            }
        }
        *work += self.lo.len() as u64 + weighed * self.lo.len() as u64 / 4;
        best
    }

    /// Marks the cells in which one penalty segment alone costs at least `bar`.
    fn mark(&mut self, bar: f64, per_cell: f64) {
        self.barred = [0; CELLS / 64];
        for ((&lo, &hi), &weight) in self.lo.iter().zip(&self.hi).zip(&self.weight) {
            let least = bar / weight;
            // Only cells that lie within wholly.
            let cell = |v: f64| ((v - self.reach.0) * per_cell).clamp(0.0, CELLS as f64);
            let (from, to) = (ceil_to_index(cell(lo + least)), cell(hi - least) as usize);
            if from >= to {
                continue;
            }
            for word in from / 64..=(to - 1) / 64 {
                let low = from.max(word * 64) - word * 64;
                let high = to.min(word * 64 + 64) - word * 64;
                self.barred[word] |= (u64::MAX >> (64 - (high - low))) << low;
            }
        }
    }

    fn segments(&self, v: f64, bar: f64) -> f64 {
        let mut sum = 0.0;
        let segments = self
            .lo
            .chunks_exact(LANES)
            .zip(self.hi.chunks_exact(LANES))
            .zip(self.weight.chunks_exact(LANES));
        for ((lo, hi), weight) in segments {
            let mut costs = [0.0; LANES];
            for lane in 0..LANES {
                let (a, b) = (v - lo[lane], hi[lane] - v);
                let depth = if a < b { a } else { b };
                costs[lane] = weight[lane] * if depth > 0.0 { depth } else { 0.0 };
            }
            sum += (costs[0] + costs[1]) + (costs[2] + costs[3]);
            if sum >= bar {
                return sum;
            }
        }
        sum
    }

    fn depths(&self, v: f64, bar: f64) -> f64 {
        let mut sum = 0.0;
        for (i, (&lo, &hi)) in self.lo.iter().zip(&self.hi).enumerate() {
            if lo < v && v < hi {
                let (column, at) = self.deep[i];
                // Along the line it is known exactly.
                let along = (v - lo).min(hi - v);
                sum += self.weight[i] * column.depth(v - at).max(LEAST_DEPTH).min(along);
                if sum >= bar {
                    return sum;
                }
            }
        }
        sum
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rng::Rng;

    /// Marking and pruning change nothing: against all tries weighed one by one.
    #[test]
    fn least_is_the_least_of_all_tries() {
        let mut rng = Rng::new(3);
        for round in 0..2000 {
            let mut way = LinePenalty::default();
            let reach = Interval {
                lo: -500.0,
                hi: 9_500.0,
            };
            way.clear(reach);
            let mut segments = Vec::new();
            let mut tries = Vec::new();
            for _ in 0..1 + rng.below(30) {
                let lo = rng.below(10_000) as f64 - 1_000.0;
                let hi = lo + 1.0 + rng.below(3_000) as f64;
                let weight = 1.0 + rng.below(50) as f64;
                way.add(lo, hi, weight, None);
                segments.push((lo, hi, weight));
                for v in [lo, hi] {
                    if reach.lo <= v && v <= reach.hi {
                        way.try_at(v);
                        tries.push(v);
                    }
                }
            }
            let cost = |v: f64| -> f64 {
                let depths = segments
                    .iter()
                    .map(|&(lo, hi, w)| w * (v - lo).min(hi - v).max(0.0));
                depths.sum()
            };
            let least = tries.iter().map(|&v| cost(v)).fold(f64::INFINITY, f64::min);
            let bar = match round % 3 {
                0 => f64::INFINITY,
                1 => least + 1.0,
                _ => least,
            };
            let found = way.least(bar, rng.bits() >> 32, &mut 0);
            if least < bar {
                let (found, v) = found.expect("there is a place below the bar");
                assert!((found - least).abs() < 1e-6 && (cost(v) - least).abs() < 1e-6);
            } else {
                assert_eq!(found, None);
            }
        }
    }
}
