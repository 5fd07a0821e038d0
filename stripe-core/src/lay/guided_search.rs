//! The search: shorten the fabric a little, push in what sticks out, and take
//! the overlaps apart, one piece at a time.
//!
//! Guided local search: every pair of pieces has a weight; a piece that
//! overlaps goes where its weighted overlap is least, and pairs that stay stuck
//! grow heavier until one of them gives way.
//!
//! # Source
//! J. Egeblad, B. K. Nielsen and A. Odgaard, "Fast neighborhood search for two-
//! and three-dimensional nesting problems" (2007), for line moves under guided
//! local search; here the lines are the stripes' own.

use super::instance::{Instance, LinePlacement};
use super::line_penalty::LinePenalty;
use super::outline::Interval;
use super::overlap::depth_in;
use super::overlap_tracker::OverlapTracker;
use crate::rng::Rng;

/// Passes over the overlapping pieces without betterment before a run gives up.
const PATIENCE: usize = 70;
const PATIENCE_IN_THE_PLANE: usize = 180;

/// How often a run goes back to the best infeasible layout before it gives up.
const RETURNS: usize = 3;

/// One run of guided local search over one instance.
#[derive(Debug)]
pub(crate) struct GuidedSearch<'a> {
    pub(super) instance: &'a Instance,
    pub(super) rng: Rng,
    pub(crate) tracker: OverlapTracker<'a>,
    /// Offset of each group (in lines).
    pub(crate) offsets: Vec<i64>,
    /// Members of each group.
    pub(super) members: Vec<Vec<usize>>,
    pub(super) weights: Vec<f32>,
    /// What pairs weigh at first, and fade to.
    base: FirstWeights,
    /// Pairs that weigh more than at first.
    pub(super) heavy: Vec<(u32, u32)>,
    /// Lines of each orientation at the length tried now; where offsets are free, one
    /// entry for each.
    pub(super) lines: Vec<Vec<(i32, Interval)>>,
    pub(super) length: f64,
    /// Interval visits so far: the measure of work.
    pub(crate) work: u64,
    /// Moves so far.
    pub(crate) moves: u64,
    pub(super) way: LinePenalty<'a>,
    pub(super) beside: Vec<u32>,
    /// Costs along a line, sampled (`plane_moves`).
    pub(super) profile: Vec<f32>,
    /// Items by falling area: what is exchanged in a shake.
    pub(super) large: Vec<usize>,
}

/// A layout with overlaps, and how deep they are in all.
#[derive(Debug, Clone)]
pub(crate) struct Infeasible {
    pub(crate) depth: f64,
    pub(crate) placements: Vec<LinePlacement>,
    pub(crate) offsets: Vec<i64>,
}

impl<'a> GuidedSearch<'a> {
    pub(crate) fn new(
        instance: &'a Instance,
        placements: Vec<LinePlacement>,
        offsets: Vec<i64>,
        seed: u64,
    ) -> Self {
        let n = placements.len();
        let mut members = vec![Vec::new(); instance.groups];
        for (i, &(_, group)) in instance.items.iter().enumerate() {
            if let Some(g) = group {
                members[g].push(i);
            }
        }
        let mut large = super::first::largest_first(instance);
        large.truncate(n.div_ceil(2).max(2));
        let base = FirstWeights::new(instance);
        Self {
            instance,
            rng: Rng::new(seed),
            tracker: OverlapTracker::new(instance, &placements),
            offsets,
            members,
            weights: base.all(n),
            base,
            heavy: Vec::new(),
            lines: Vec::new(),
            length: 0.0,
            work: 0,
            moves: 0,
            way: LinePenalty::default(),
            beside: Vec::new(),
            profile: Vec::new(),
            large,
        }
    }

    /// Stands all pieces anew.
    pub(crate) fn stand(&mut self, placements: &[LinePlacement], offsets: &[i64]) {
        self.tracker.stand(placements);
        self.offsets.copy_from_slice(offsets);
    }

    /// Takes a strip out of the fabric somewhere, so that what lies beyond comes
    /// nearer by `less` (units).
    pub(crate) fn take_out(&mut self, less: f64, length: f64) {
        if self.can_shift() {
            let cut = length * self.rng.below(1000) as f64 / 1000.0;
            self.shift_beyond(cut, -less);
        }
    }

    /// Puts a strip in below the upper one of the two pieces that overlap most, so that they
    /// and what lies beyond come apart by `more` (units).
    pub(crate) fn put_in(&mut self, more: f64) {
        if !self.can_shift() {
            return;
        }
        let n = self.tracker.placements.len();
        let overlaps = (0..n).flat_map(|i| self.tracker.overlaps(i).iter().map(move |o| (i, o)));
        let deepest = overlaps.max_by(|a, b| a.1.depth.total_cmp(&b.1.depth));
        let Some((item, overlap)) = deepest else {
            return;
        };
        let low = |item: usize| self.instance.corner(self.tracker.placements[item]).0;
        let upper = low(item).max(low(overlap.other as usize));
        self.shift_beyond(upper - 1.0, more);
    }

    /// Whether pieces can be shifted along the fabric together: they stay clear of each other,
    /// but not of obstacles.
    fn can_shift(&self) -> bool {
        let (nx, _) = self.instance.normal();
        !self.instance.has_obstacles() && nx.abs() >= 0.5 && !self.instance.is_lattice()
    }

    /// Moves all that lies beyond `cut` along the fabric by so much (units).
    fn shift_beyond(&mut self, cut: f64, by: f64) {
        let (nx, _) = self.instance.normal();
        let mut placements = self.tracker.placements.clone();
        for placement in &mut placements {
            if self.instance.corner(*placement).0 > cut {
                placement.v += (by / nx).round();
            }
        }
        self.tracker.stand(&placements);
    }

    /// Sets the length to be reached and pushes in what sticks out.
    pub(crate) fn shorten(&mut self, length: f64) {
        if length != self.length {
            self.length = length;
            let stride = self.instance.stride;
            self.lines = (0..self.instance.orientations.len())
                .flat_map(|f| (0..stride).map(move |o| (f, o)))
                .map(|(f, o)| self.instance.lines(f, o, length))
                .collect();
            self.work += 8 * self.lines.iter().map(|l| l.len() as u64 + 1).sum::<u64>();
        }
        for i in 0..self.tracker.placements.len() {
            let placement = self.tracker.placements[i];
            let orientation = placement.orientation as usize;
            match self.instance.reach_near(placement, length) {
                Some(reach) => {
                    let v = placement.v.clamp(reach.lo, reach.hi);
                    if v != placement.v {
                        let v = self
                            .instance
                            .snap(orientation, placement.line, v, v > placement.v);
                        self.tracker.move_to(i, LinePlacement { v, ..placement });
                    }
                }
                None => {
                    if let Some(placement) = self.best_placement(i, true) {
                        self.tracker.move_to(i, placement);
                    }
                }
            }
        }
        self.work += self.tracker.placements.len() as u64;
    }

    /// Whether every piece still has a line at the length tried now.
    pub(crate) fn is_possible(&self) -> bool {
        (0..self.tracker.placements.len()).all(|i| {
            let (kind, group) = self.instance.items[i];
            self.instance.kinds[kind].clone().any(|f| {
                let offset = group.map_or(0, |g| self.offsets[g]);
                !self.lines_of(f, offset).is_empty()
            })
        })
    }

    pub(super) fn lines_of(&self, orientation: usize, offset: i64) -> &[(i32, Interval)] {
        &self.lines[orientation * self.instance.stride as usize + offset as usize]
    }

    /// Takes overlaps apart until there are none (`None`), or until the work or
    /// the patience is spent, or `stop` says so: then the best infeasible layout.
    pub(crate) fn separate(&mut self, work: u64, stop: &dyn Fn() -> bool) -> Option<Infeasible> {
        let n = self.tracker.placements.len();
        let mut least = Infeasible {
            depth: f64::INFINITY,
            placements: Vec::new(),
            offsets: Vec::new(),
        };
        let patience = if self.instance.is_plane() {
            PATIENCE_IN_THE_PLANE
        } else {
            PATIENCE
        };
        let (mut idle, mut returns) = (0, 0);
        let mut order: Vec<usize> = Vec::new();
        loop {
            order.clear();
            for i in 0..n {
                if !self.tracker.overlaps(i).is_empty() {
                    order.push(i);
                }
            }
            if order.is_empty() {
                return None;
            }
            if least.placements.is_empty() {
                least.placements.clone_from(&self.tracker.placements);
                least.offsets.clone_from(&self.offsets);
            }
            if self.work >= work || stop() {
                return Some(least);
            }
            self.rng.shuffle(&mut order);
            for &i in &order {
                if stop() {
                    return Some(least);
                }
                if !self.tracker.overlaps(i).is_empty()
                    && let Some(placement) = self.best_placement(i, false)
                {
                    self.tracker.move_to(i, placement);
                }
            }
            self.move_group(&order);
            let total = self.reweigh();
            if total == 0.0 {
                return None;
            }
            if total < least.depth {
                if total < least.depth * 0.98 {
                    idle = 0;
                }
                least.depth = total;
                least.placements.clone_from(&self.tracker.placements);
                least.offsets.clone_from(&self.offsets);
            }
            idle += 1;
            if idle > patience {
                returns += 1;
                if returns == RETURNS {
                    return Some(least);
                }
                // Back to the best, with all that was learnt since.
                self.tracker.stand(&least.placements);
                self.offsets.clone_from(&least.offsets);
                idle = 0;
            }
        }
    }

    /// Exchanges large pieces of different kinds, and forgets all weights.
    pub(crate) fn shake(&mut self) {
        for _ in 0..1 + self.rng.below(2) {
            let a = self.large[self.rng.below(self.large.len())];
            let b = self.large[self.rng.below(self.large.len())];
            if self.instance.items[a].0 == self.instance.items[b].0 {
                continue;
            }
            let (sa, sb) = (self.tracker.placements[a], self.tracker.placements[b]);
            if let (Some(na), Some(nb)) = (self.placement_near(a, sb), self.placement_near(b, sa)) {
                self.tracker.move_to(a, na);
                self.tracker.move_to(b, nb);
            }
        }
        self.forget();
    }

    /// Makes all pairs weigh what they did at first.
    pub(crate) fn forget(&mut self) {
        let n = self.tracker.placements.len();
        for &(i, j) in &self.heavy {
            let (i, j) = (i as usize, j as usize);
            self.weights[i * n + j] = self.base.of(i, j);
            self.weights[j * n + i] = self.base.of(j, i);
        }
        self.heavy.clear();
    }

    /// The placement of `item` nearest to where another piece stands.
    fn placement_near(&mut self, item: usize, there: LinePlacement) -> Option<LinePlacement> {
        let instance = self.instance;
        let (kind, group) = instance.items[item];
        let offset = group.map_or(0, |g| self.offsets[g]);
        let orientations = instance.kinds[kind].clone();
        let orientation = orientations.start + self.rng.below(orientations.len());
        // Middle to middle.
        let middle = |orientation: usize| {
            let outline = &instance.outlines[instance.orientations[orientation].shape];
            let across = outline.across();
            (
                (across.lo + across.hi) / 2.0,
                (outline.along.lo + outline.along.hi) / 2.0,
            )
        };
        let (mine, other) = (middle(orientation), middle(there.orientation as usize));
        let u = instance.u(there.orientation as usize, i64::from(there.line)) + other.0 - mine.0;
        let v = there.v + other.1 - mine.1;
        let &(line, reach) = self.lines_of(orientation, offset).iter().min_by(|a, b| {
            let far = |k: i32| (instance.u(orientation, i64::from(k)) - u).abs();
            let off = |reach: Interval| (reach.lo - v).max(v - reach.hi).max(0.0);
            let nearer = far(a.0).total_cmp(&far(b.0));
            nearer.then_with(|| off(a.1).total_cmp(&off(b.1)))
        })?;
        let at = instance.snap(orientation, line, v.round().clamp(reach.lo, reach.hi), true);
        Some(LinePlacement {
            orientation: orientation as u32,
            line,
            v: if at > reach.hi {
                instance.snap(orientation, line, reach.hi, false)
            } else {
                at
            },
        })
    }

    /// Places all pieces of an overlapping group anew, at another offset.
    fn move_group(&mut self, infeasible: &[usize]) {
        if self.instance.stride == 1 || self.rng.below(8) != 0 {
            return;
        }
        let item = infeasible[self.rng.below(infeasible.len())];
        let Some(group) = self.instance.items[item].1 else {
            return;
        };
        if self.members[group].len() < 2 {
            return;
        }
        let (placements, offset) = (self.tracker.placements.clone(), self.offsets[group]);
        self.offsets[group] = self.rng.below(self.instance.stride as usize) as i64;
        for i in self.members[group].clone() {
            match self.best_placement(i, true) {
                Some(placement) => self.tracker.move_to(i, placement),
                None => {
                    // Not every piece has a line at this offset.
                    self.tracker.stand(&placements);
                    self.offsets[group] = offset;
                    return;
                }
            }
        }
    }

    /// Weights of overlapping pairs grow, those of others fade. Returns the
    /// sum of all overlaps.
    fn reweigh(&mut self) -> f64 {
        let n = self.tracker.placements.len();
        let mut total = 0.0;
        let mut deepest: f64 = 0.0;
        for i in 0..n {
            for overlap in self.tracker.overlaps(i) {
                total += overlap.depth / 2.0;
                deepest = deepest.max(overlap.depth);
            }
        }
        // Fading first: what overlaps grows by more than it fades.
        let weights = &mut self.weights;
        let base = &self.base;
        self.heavy.retain(|&(i, j)| {
            let (i, j) = (i as usize, j as usize);
            let least = base.of(i, j);
            let w = (weights[i * n + j] * 0.95).max(least);
            weights[i * n + j] = w;
            weights[j * n + i] = w;
            w > least
        });
        for i in 0..n {
            for overlap in self.tracker.overlaps(i) {
                let j = overlap.other as usize;
                if j >= i {
                    continue;
                }
                let at = i * n + j;
                let growth = 1.25 + 0.85 * overlap.depth / deepest;
                if self.weights[at] <= self.base.of(i, j) {
                    self.heavy.push((i as u32, overlap.other));
                }
                let w = (self.weights[at] * growth as f32).min(1e12);
                self.weights[at] = w;
                self.weights[j * n + i] = w;
            }
        }
        total
    }
}

/// What overlaps weigh before any is learnt, for each pair of items: on plain fabric
/// the geometric mean of their areas. Large pieces find other places least easily, so
/// that the small ones give way. On lines the small ones cannot, and all weigh the same.
#[derive(Debug)]
struct FirstWeights {
    /// One an item; empty where all pairs weigh the same.
    sizes: Vec<f64>,
    mean: f64,
}

impl FirstWeights {
    fn new(instance: &Instance) -> Self {
        if !instance.is_plane() {
            return Self {
                sizes: Vec::new(),
                mean: 1.0,
            };
        }
        let sizes: Vec<f64> = instance
            .items
            .iter()
            .map(|&(kind, _)| {
                let orientation = instance.kinds[kind].start;
                instance.outlines[instance.orientations[orientation].shape]
                    .area()
                    .sqrt()
            })
            .collect();
        let mean = sizes.iter().sum::<f64>() / sizes.len() as f64;
        Self { sizes, mean }
    }

    /// What the overlap of two items weighs.
    fn of(&self, i: usize, j: usize) -> f32 {
        match (self.sizes.get(i), self.sizes.get(j)) {
            (Some(a), Some(b)) => (a * b / self.mean / self.mean) as f32,
            _ => 1.0,
        }
    }

    /// Those of all pairs of `n` items, row by row.
    fn all(&self, n: usize) -> Vec<f32> {
        if self.sizes.is_empty() {
            return vec![1.0; n * n];
        }
        (0..n * n).map(|at| self.of(at / n, at % n)).collect()
    }
}

/// Whether no two placements overlap and all lie within a length (units).
///
/// Time grows with the number of pairs side by side along the fabric.
pub(crate) fn is_valid(instance: &Instance, placements: &[LinePlacement], length: f64) -> bool {
    let inside = |placement: &LinePlacement| instance.lies_on_fabric(*placement, length);
    if !placements.iter().all(inside) {
        return false;
    }
    let mut order: Vec<(f64, f64, LinePlacement)> = placements
        .iter()
        .map(|&placement| {
            let low = instance.corner(placement).0;
            (
                low,
                low + instance.height(placement.orientation as usize),
                placement,
            )
        })
        .collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    order.iter().enumerate().all(|(rank, &(_, end, a))| {
        let mut beside = order[rank + 1..].iter().take_while(|next| next.0 < end);
        beside.all(|&(_, _, b)| depth_in(instance.intervals(a, b), b.v - a.v) == 0.0)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::trial::odd_pieces;

    /// A strip that is put in parts the two pieces that overlap most, by as much as it is wide;
    /// one that is taken out at any place brings what lies beyond nearer, and nothing else.
    #[test]
    fn strips_move_what_lies_beyond() {
        let job = odd_pieces(3, 0, 0.0, 1);
        let instance = Instance::new(&job).unwrap();
        let at = |item: usize, v: f64| {
            let orientation = instance.kinds[instance.items[item].0].start;
            let (line, _) = instance.lines(orientation, 0, 9e6)[2];
            let orientation = orientation as u32;
            LinePlacement {
                orientation,
                line,
                v,
            }
        };
        // The second and the third one overlap, the first one lies by itself.
        let placements = vec![at(0, 1e6), at(1, 6e6), at(2, 6.4e6)];
        let mut guided = GuidedSearch::new(&instance, placements.clone(), Vec::new(), 1);
        let deep = |guided: &GuidedSearch<'_>| {
            let placements = &guided.tracker.placements;
            depth_in(
                instance.intervals(placements[1], placements[2]),
                placements[2].v - placements[1].v,
            )
        };
        let before = deep(&guided);
        assert!(before > 0.0);
        guided.put_in(50_000.0);
        let moved: Vec<f64> = guided.tracker.placements.iter().map(|p| p.v).collect();
        let shifts: Vec<f64> = (0..3).map(|i| moved[i] - placements[i].v).collect();
        assert!(shifts[0] == 0.0 && (shifts[1] == 50_000.0) != (shifts[2] == 50_000.0));
        assert!(deep(&guided) != before);
        for _ in 0..20 {
            guided.stand(&placements, &[]);
            guided.take_out(70_000.0, 9e6);
            let mut beyond: Vec<(f64, f64)> = (0..3)
                .map(|i| {
                    let low = instance.corner(placements[i]).0;
                    (low, guided.tracker.placements[i].v - placements[i].v)
                })
                .collect();
            beyond.sort_by(|a, b| a.0.total_cmp(&b.0));
            let cut = beyond.partition_point(|&(_, shift)| shift == 0.0);
            assert!(beyond[cut..].iter().all(|&(_, shift)| shift == -70_000.0));
        }
    }
}
