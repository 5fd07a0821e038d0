//! All pieces where they stand, who may be near whom, and who overlaps whom.

use super::instance::{Instance, LinePlacement};

/// A box in the stripe's frame (units): what pieces cover at most.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Extent {
    u: (f64, f64),
    v: (f64, f64),
}

impl Extent {
    /// Of a piece on a line, wherever on it between two places it lies.
    pub(crate) fn of(instance: &Instance, placement: LinePlacement, lo: f64, hi: f64) -> Self {
        let orientation = placement.orientation as usize;
        let outline = instance.outline_of(placement);
        let u = instance.u(orientation, i64::from(placement.line));
        let (across, along) = (outline.across(), outline.along);
        Self {
            u: (u + across.lo, u + across.hi),
            v: (lo + along.lo, hi + along.hi),
        }
    }

    /// Whether two boxes have more in common than a side.
    #[inline]
    pub(crate) fn meets(&self, other: &Self) -> bool {
        self.u.0 < other.u.1 && other.u.0 < self.u.1 && self.v.0 < other.v.1 && other.v.0 < self.v.1
    }
}

/// An overlap of one piece with another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Overlap {
    pub(crate) other: u32,
    /// How far they would have to be moved apart (units, above 0).
    pub(crate) depth: f64,
}

/// Placements in buckets along the fabric, each as long as the tallest piece: whatever
/// touches a piece begins in its own bucket or the one before or after.
///
/// Overlaps are kept up to date with every move, so that asking for them costs
/// nothing.
#[derive(Debug)]
pub(crate) struct OverlapTracker<'a> {
    instance: &'a Instance,
    pub(crate) placements: Vec<LinePlacement>,
    /// Length of a bucket (units).
    pub(crate) cell: f64,
    buckets: Vec<Vec<u32>>,
    of: Vec<usize>,
    overlaps: Vec<Vec<Overlap>>,
    found: Vec<u32>,
    /// What each piece covers at most: looked at before any table, since tables are far away.
    pub(crate) boxes: Vec<Extent>,
}

impl<'a> OverlapTracker<'a> {
    pub(crate) fn new(instance: &'a Instance, placements: &[LinePlacement]) -> Self {
        let mut tracker = Self {
            instance,
            cell: instance.tallest().max(super::first::LEAST_CELL),
            buckets: Vec::new(),
            of: vec![0; placements.len()],
            placements: Vec::new(),
            overlaps: vec![Vec::new(); placements.len()],
            found: Vec::new(),
            boxes: vec![Extent::default(); placements.len()],
        };
        tracker.stand(placements);
        tracker
    }

    /// Stands all pieces anew.
    pub(crate) fn stand(&mut self, placements: &[LinePlacement]) {
        self.placements.clear();
        self.placements.extend_from_slice(placements);
        self.buckets.iter_mut().for_each(Vec::clear);
        self.overlaps.iter_mut().for_each(Vec::clear);
        for i in 0..self.placements.len() {
            let placement = self.placements[i];
            let bucket = self.bucket(self.instance.corner(placement).0);
            self.enter(i, bucket);
            self.boxes[i] = Extent::of(self.instance, placement, placement.v, placement.v);
        }
        for i in 0..self.placements.len() {
            self.find_overlaps(i, |j| j < i);
        }
    }

    #[inline]
    fn bucket(&self, y: f64) -> usize {
        // Casts of what is below nothing give 0.
        (y / self.cell + 1.0) as usize
    }

    fn enter(&mut self, item: usize, bucket: usize) {
        if self.buckets.len() <= bucket {
            self.buckets.resize(bucket + 1, Vec::new());
        }
        self.buckets[bucket].push(item as u32);
        self.of[item] = bucket;
    }

    pub(crate) fn move_to(&mut self, item: usize, placement: LinePlacement) {
        self.placements[item] = placement;
        self.boxes[item] = Extent::of(self.instance, placement, placement.v, placement.v);
        let bucket = self.bucket(self.instance.corner(placement).0);
        let old = self.of[item];
        if bucket != old {
            self.buckets[old].retain(|&i| i as usize != item);
            self.enter(item, bucket);
        }
        for overlap in std::mem::take(&mut self.overlaps[item]) {
            self.overlaps[overlap.other as usize].retain(|c| c.other as usize != item);
        }
        self.find_overlaps(item, |_| true);
    }

    /// Writes down on both sides whom a piece overlaps, of those that `count`.
    fn find_overlaps(&mut self, item: usize, count: impl Fn(usize) -> bool) {
        let placement = self.placements[item];
        let mut found = std::mem::take(&mut self.found);
        self.beside(placement, placement.v, placement.v, &mut found);
        let mine = self.boxes[item];
        for &j in &found {
            let other = j as usize;
            if other == item || !count(other) || !mine.meets(&self.boxes[other]) {
                continue;
            }
            let depth = self.instance.depth(placement, self.placements[other]);
            if depth > 0.0 {
                self.overlaps[item].push(Overlap { other: j, depth });
                self.overlaps[other].push(Overlap {
                    other: item as u32,
                    depth,
                });
            }
        }
        self.found = found;
    }

    /// Whom a piece overlaps.
    #[inline]
    pub(crate) fn overlaps(&self, item: usize) -> &[Overlap] {
        &self.overlaps[item]
    }

    /// All items that may touch a placement whose place along is between `lo` and
    /// `hi`, itself perhaps among them.
    pub(crate) fn beside(&self, placement: LinePlacement, lo: f64, hi: f64, found: &mut Vec<u32>) {
        let y = |v: f64| self.instance.corner(LinePlacement { v, ..placement }).0;
        let (a, b) = (y(lo), y(hi));
        let (low, high) = (
            a.min(b),
            a.max(b) + self.instance.height(placement.orientation as usize),
        );
        let from = self.bucket(low).saturating_sub(1);
        let to = self.bucket(high).min(self.buckets.len().saturating_sub(1));
        found.clear();
        for bucket in self.buckets.iter().take(to + 1).skip(from) {
            found.extend_from_slice(bucket);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::{Item, Job, Kind, Lock, Pose, Shape, Window};
    use crate::rng::Rng;
    use crate::shape::{Region, point};

    /// After any moves, the overlaps written down are those there are.
    #[test]
    fn overlaps_keep_up_with_moves() {
        let ring = [(0.0, 0.0), (60.0, 10.0), (30.0, 70.0)].map(|(x, y)| point(x, y));
        let outline = Region::new(geo_types::LineString::from(ring.to_vec()), Vec::new());
        let pose = Pose {
            shape: 0,
            residue_mm: 0.0,
            along_mm: 0.0,
            sign: 1.0,
        };
        let item = Item {
            kind: 0,
            group: None,
            block: 0,
        };
        let job = Job {
            obstacles: Default::default(),
            window: Window {
                width_mm: 300.0,
                normal_rad: 0.0,
                margin_mm: 0.0,
            },
            lock: Lock::Lines { repeat_mm: 20.0 },
            deviate_mm: 0.0,
            shapes: vec![Shape { outline }],
            kinds: vec![Kind { poses: vec![pose] }],
            lots: 1,
            items: vec![item; 20],
            groups: 0,
        };
        let instance = Instance::new(&job).expect("a sound job");
        let mut rng = Rng::new(5);
        let mut any = || LinePlacement {
            orientation: 0,
            line: rng.below(12) as i32,
            v: rng.below(4_000_000) as f64,
        };
        let placements: Vec<LinePlacement> = (0..20).map(|_| any()).collect();
        let mut tracker = OverlapTracker::new(&instance, &placements);
        for step in 0..400 {
            tracker.move_to(step % 20, any());
            for i in 0..20 {
                let mut noted: Vec<usize> = tracker
                    .overlaps(i)
                    .iter()
                    .map(|c| c.other as usize)
                    .collect();
                noted.sort_unstable();
                let there: Vec<usize> = (0..20)
                    .filter(|&j| {
                        j != i && instance.depth(tracker.placements[i], tracker.placements[j]) > 0.0
                    })
                    .collect();
                assert_eq!(noted, there);
            }
        }
    }
}
