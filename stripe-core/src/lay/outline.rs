//! An outline as the tables see it: cut into slabs across the stripes.
//!
//! Positions are whole **units** of a tenth of a micrometre ([`UNITS_PER_MM`]),
//! kept in `f64` (exact up to 900 km): slabs are then exact, two outlines that
//! touch do touch, and a position that was free once is free always.

use crate::shape::{Point, Region};

/// Fixed-point units a millimetre: one is [`crate::num::POINT_TOL_MM`], the distance
/// below which two points are one.
pub(crate) const UNITS_PER_MM: f64 = 1.0 / crate::num::POINT_TOL_MM;

/// Slabs no wider than this (units) forbid nothing: vertices and offsets are
/// rounded to the nearest unit, so two walls that touch may cross by two.
const SLIVER: f64 = 2.0;

/// Walls no further apart than this (units) run together.
const TOGETHER: f64 = 10.0;

/// Forbidden intervals that overlap by no more than this (units) only touch.
pub(crate) const MEET: f64 = 20.0;

/// A new forbidden interval is compared with so many found before it, before all are sorted.
const LOOKED_BACK: usize = 12;

/// Ends of forbidden intervals are rounded away from the forbidden interval, but not for less than this
/// (units), which is the noise of `f64` on a few metres of fabric.
const NOISE: f64 = 1e-3;

/// Positions (units, relative) between `lo` and `hi`, both excluded, overlap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Interval {
    pub(crate) lo: f64,
    pub(crate) hi: f64,
}

/// A trapezoid between two slab boundaries: its ends along `v` at either.
#[derive(Debug, Clone, Copy)]
struct Trapezoid {
    left: Interval,
    right: Interval,
}

impl Trapezoid {
    fn at(&self, share: f64) -> Interval {
        Interval {
            lo: self.left.lo + (self.right.lo - self.left.lo) * share,
            hi: self.left.hi + (self.right.hi - self.left.hi) * share,
        }
    }
}

/// A region cut into slabs at every vertex.
#[derive(Debug, Clone)]
pub(crate) struct Outline {
    /// Slab boundaries along `u`, ascending (whole units).
    cuts: Vec<f64>,
    /// Where each slab's trapezoids begin; one more entry than slabs.
    begins: Vec<usize>,
    trapezoids: Vec<Trapezoid>,
    /// Extent along `v` (units).
    pub(crate) along: Interval,
}

struct Edge {
    left: Point,
    right: Point,
}

impl Edge {
    fn at(&self, u: f64) -> f64 {
        let share = (u - self.left.x) / (self.right.x - self.left.x);
        self.left.y + (self.right.y - self.left.y) * share
    }
}

impl Outline {
    /// Cuts a region (mm, stripe's frame) into slabs.
    ///
    /// Rings are read by the even-odd rule, so their direction does not matter.
    pub(crate) fn new(region: &Region) -> Self {
        let mut edges = Vec::new();
        let mut cuts = Vec::new();
        let mut along = Interval {
            lo: f64::INFINITY,
            hi: f64::NEG_INFINITY,
        };
        for ring in std::iter::once(region.exterior()).chain(region.interiors()) {
            let points: Vec<Point> = ring
                .0
                .iter()
                .map(|p| Point {
                    x: (p.x * UNITS_PER_MM).round(),
                    y: (p.y * UNITS_PER_MM).round(),
                })
                .collect();
            for (i, &a) in points.iter().enumerate() {
                cuts.push(a.x);
                along.lo = along.lo.min(a.y);
                along.hi = along.hi.max(a.y);
                // Rings may or may not repeat their first point at the end.
                let b = points[(i + 1) % points.len()];
                if a.x < b.x {
                    edges.push(Edge { left: a, right: b });
                } else if b.x < a.x {
                    edges.push(Edge { left: b, right: a });
                }
            }
        }
        cuts.sort_by(f64::total_cmp);
        cuts.dedup();
        edges.sort_by(|a, b| a.left.x.total_cmp(&b.left.x));
        let mut outline = Self {
            cuts,
            begins: vec![0],
            trapezoids: Vec::new(),
            along,
        };
        outline.fill(&edges);
        outline
    }

    fn fill(&mut self, edges: &[Edge]) {
        let mut waiting = edges.iter().peekable();
        let mut active: Vec<&Edge> = Vec::new();
        let mut crossing: Vec<(f64, f64, f64)> = Vec::new();
        for pair in self.cuts.windows(2) {
            let (l, r) = (pair[0], pair[1]);
            active.retain(|e| e.right.x > l);
            while let Some(edge) = waiting.next_if(|e| e.left.x <= l) {
                active.push(edge);
            }
            crossing.clear();
            crossing.extend(
                active
                    .iter()
                    .map(|e| (e.at((l + r) / 2.0), e.at(l), e.at(r))),
            );
            crossing.sort_by(|a, b| a.0.total_cmp(&b.0));
            for ends in crossing.chunks_exact(2) {
                self.trapezoids.push(Trapezoid {
                    left: Interval {
                        lo: ends[0].1,
                        hi: ends[1].1,
                    },
                    right: Interval {
                        lo: ends[0].2,
                        hi: ends[1].2,
                    },
                });
            }
            self.begins.push(self.trapezoids.len());
        }
    }

    /// Extent along `u` (units).
    pub(crate) fn across(&self) -> Interval {
        Interval {
            lo: self.cuts.first().copied().unwrap_or(0.0),
            hi: self.cuts.last().copied().unwrap_or(0.0),
        }
    }

    /// The length of all walls (units).
    pub(crate) fn circumference(&self) -> f64 {
        let mut length = 0.0;
        for (cut, begin) in self.cuts.windows(2).zip(self.begins.windows(2)) {
            for t in &self.trapezoids[begin[0]..begin[1]] {
                length += (cut[1] - cut[0]).hypot(t.right.lo - t.left.lo);
                length += (cut[1] - cut[0]).hypot(t.right.hi - t.left.hi);
            }
        }
        let (left, right) = self.sides();
        length + left + right
    }

    /// The enclosed area (square units).
    pub(crate) fn area(&self) -> f64 {
        let slabs = self.cuts.windows(2).zip(self.begins.windows(2));
        slabs
            .map(|(cut, begin)| {
                let depth: f64 = self.trapezoids[begin[0]..begin[1]]
                    .iter()
                    .map(|t| t.left.hi - t.left.lo + t.right.hi - t.right.lo)
                    .sum();
                depth / 2.0 * (cut[1] - cut[0])
            })
            .sum()
    }

    /// The area enclosed between two positions across (square units).
    pub(crate) fn area_between(&self, lo: f64, hi: f64) -> f64 {
        let mut sum = 0.0;
        for (cut, begin) in self.cuts.windows(2).zip(self.begins.windows(2)) {
            let (l, r) = (lo.max(cut[0]), hi.min(cut[1]));
            if l >= r {
                continue;
            }
            let share = |u: f64| (u - cut[0]) / (cut[1] - cut[0]);
            for t in &self.trapezoids[begin[0]..begin[1]] {
                let (a, b) = (t.at(share(l)), t.at(share(r)));
                sum += (a.hi - a.lo + b.hi - b.lo) / 2.0 * (r - l);
            }
        }
        sum
    }

    /// The chords along `v` at `u` (units), ascending; from the slab to the
    /// right of `u` where `u` is a boundary.
    pub(crate) fn chords(&self, u: f64) -> impl Iterator<Item = Interval> + '_ {
        let slab = self.cuts.partition_point(|&c| c <= u);
        let (range, share) = if slab == 0 || slab >= self.cuts.len() {
            (0..0, 0.0)
        } else {
            let (l, r) = (self.cuts[slab - 1], self.cuts[slab]);
            (self.begins[slab - 1]..self.begins[slab], (u - l) / (r - l))
        };
        self.trapezoids[range].iter().map(move |t| t.at(share))
    }

    /// What the region covers of every line from `lo` to `hi` across (units), ascending: the
    /// chords that all of these lines have in common.
    pub(crate) fn common_chords(&self, lo: f64, hi: f64) -> Vec<Interval> {
        let across = self.across();
        if lo < across.lo || hi > across.hi {
            return Vec::new();
        }
        let mut common: Option<Vec<Interval>> = None;
        let first = self.cuts.partition_point(|&c| c <= lo).max(1) - 1;
        for slab in first..self.begins.len() - 1 {
            let (left, right) = (self.cuts[slab], self.cuts[slab + 1]);
            if left > hi {
                break;
            }
            let share = |u: f64| ((u - left) / (right - left)).clamp(0.0, 1.0);
            let (from, to) = (share(lo), share(hi));
            let here = self.trapezoids[self.begins[slab]..self.begins[slab + 1]].iter();
            // A chord's ends change evenly within a slab.
            let here: Vec<Interval> = here
                .map(|t| {
                    let (a, b) = (t.at(from), t.at(to));
                    Interval {
                        lo: a.lo.max(b.lo),
                        hi: a.hi.min(b.hi),
                    }
                })
                .collect();
            common = Some(match common {
                None => here.into_iter().filter(|c| c.lo < c.hi).collect(),
                Some(before) => shared(&before, &here),
            });
        }
        common.unwrap_or_default()
    }

    /// Slab boundaries (units): between two of them chords change evenly.
    pub(crate) fn cuts(&self) -> &[f64] {
        &self.cuts
    }

    /// The length (units) along which the walls of two outlines run together when
    /// `other` stands `(du, dv)` from `self`; walls along `v` are not counted.
    pub(crate) fn contact(&self, other: &Self, du: f64, dv: f64) -> f64 {
        let mut length = 0.0;
        self.sweep(other, du, |ta, tb, [al, ar], [bl, br], width| {
            let (sl, sr) = (ta.at(al), ta.at(ar));
            let (ol, or) = (tb.at(bl), tb.at(br));
            let mut walls = |left: f64, right: f64, rise: f64| {
                let long = width.hypot(rise);
                // Across the wall, however steep.
                if left.abs().max(right.abs()) * width <= TOGETHER * long {
                    length += long;
                }
            };
            walls(sl.hi - ol.lo - dv, sr.hi - or.lo - dv, sr.hi - sl.hi);
            walls(ol.hi + dv - sl.lo, or.hi + dv - sr.lo, sr.lo - sl.lo);
        });
        length
    }

    /// The lengths (units) of the walls along `v` at either end across.
    pub(crate) fn sides(&self) -> (f64, f64) {
        let depth = |range: std::ops::Range<usize>, right: bool| -> f64 {
            let walls = self.trapezoids[range].iter();
            walls
                .map(|t| {
                    let s = if right { t.right } else { t.left };
                    s.hi - s.lo
                })
                .sum()
        };
        match self.begins.as_slice() {
            [first, second, .., before, last] => {
                (depth(*first..*second, false), depth(*before..*last, true))
            }
            [first, second, ..] => (depth(*first..*second, false), depth(*first..*second, true)),
            _ => (0.0, 0.0),
        }
    }

    /// The length (units) of level walls at the low end along `v`.
    pub(crate) fn sole(&self) -> f64 {
        let mut length = 0.0;
        for (cut, begin) in self.cuts.windows(2).zip(self.begins.windows(2)) {
            for t in &self.trapezoids[begin[0]..begin[1]] {
                if t.left.lo - self.along.lo <= TOGETHER && t.right.lo - self.along.lo <= TOGETHER {
                    length += cut[1] - cut[0];
                }
            }
        }
        length
    }

    /// All positions of `other` along `v`, relative to `self`, at which it
    /// overlaps when it stands `du` (whole units) further across; ascending and
    /// apart from each other.
    ///
    /// **Method.** Within a slab of both outlines each pair of trapezoids
    /// forbids, at every `u`, one interval whose ends change evenly with `u`:
    /// together one interval, whose ends are extremes at the slab's ends.
    ///
    /// **Tolerance.** Ends are rounded away from the forbidden interval to whole units;
    /// overlaps no wider across than [`SLIVER`] do not count.
    pub(crate) fn intervals(&self, other: &Self, du: f64) -> Vec<Interval> {
        let mut found = Vec::new();
        self.sweep(other, du, |ta, tb, [al, ar], [bl, br], _| {
            let (sl, sr) = (ta.at(al), ta.at(ar));
            let (ol, or) = (tb.at(bl), tb.at(br));
            let lo = (sl.lo - ol.hi).min(sr.lo - or.hi);
            let hi = (sl.hi - ol.lo).max(sr.hi - or.lo);
            // Neighbouring slabs forbid much the same: most are one with one of the last.
            let mut last = found.iter_mut().rev().take(LOOKED_BACK);
            if let Some(interval) =
                last.find(|s: &&mut Interval| lo < s.hi - MEET && s.lo < hi - MEET)
            {
                interval.lo = interval.lo.min(lo);
                interval.hi = interval.hi.max(hi);
            } else {
                found.push(Interval { lo, hi });
            }
        });
        for interval in &mut found {
            interval.lo = (interval.lo + NOISE).floor();
            interval.hi = (interval.hi - NOISE).ceil();
        }
        unite(&mut found);
        found
    }

    /// Visits all pairs of trapezoids of two outlines, `other` standing `du`
    /// further across, slab by common slab: with the shares of either's own slab
    /// at which the common one begins and ends, and its width.
    fn sweep(
        &self,
        other: &Self,
        du: f64,
        mut visit: impl FnMut(&Trapezoid, &Trapezoid, [f64; 2], [f64; 2], f64),
    ) {
        let (a, b) = (self, other);
        if a.cuts.len() < 2 || b.cuts.len() < 2 {
            return;
        }
        let start = a.cuts[0].max(b.cuts[0] + du);
        let mut i = a.cuts.partition_point(|&c| c <= start).max(1) - 1;
        let mut j = b.cuts.partition_point(|&c| c + du <= start).max(1) - 1;
        let mut l = start;
        while i + 1 < a.cuts.len() && j + 1 < b.cuts.len() {
            let (a_end, b_end) = (a.cuts[i + 1], b.cuts[j + 1] + du);
            let r = a_end.min(b_end);
            if r - l > SLIVER {
                let of = |cuts: &[f64], s: usize, shift: f64, u: f64| {
                    (u - shift - cuts[s]) / (cuts[s + 1] - cuts[s])
                };
                let in_a = [of(&a.cuts, i, 0.0, l), of(&a.cuts, i, 0.0, r)];
                let in_b = [of(&b.cuts, j, du, l), of(&b.cuts, j, du, r)];
                for ta in &a.trapezoids[a.begins[i]..a.begins[i + 1]] {
                    for tb in &b.trapezoids[b.begins[j]..b.begins[j + 1]] {
                        visit(ta, tb, in_a, in_b, r - l);
                    }
                }
            }
            l = r;
            if a_end <= r {
                i += 1;
            }
            if b_end <= r {
                j += 1;
            }
        }
    }
}

/// The intervals that two lists have in common.
fn shared(one: &[Interval], other: &[Interval]) -> Vec<Interval> {
    let pairs = one.iter().flat_map(|a| other.iter().map(move |b| (a, b)));
    let common = pairs.map(|(a, b)| Interval {
        lo: a.lo.max(b.lo),
        hi: a.hi.min(b.hi),
    });
    common.filter(|c| c.lo < c.hi).collect()
}

/// Sorts forbidden intervals and unites those that overlap by more than [`MEET`].
///
/// Where less than that is between two ends, or laps over, a wall catches
/// another from below and from above: a fit. Vertices are rounded, so that a fit
/// is made as wide as [`MEET`], for else pieces that fit all around would never
/// come together.
pub(crate) fn unite(intervals: &mut Vec<Interval>) {
    intervals.retain(|s| s.lo < s.hi);
    intervals.sort_by(|a, b| a.lo.total_cmp(&b.lo));
    let mut kept = 0;
    for i in 0..intervals.len() {
        let next = intervals[i];
        if kept == 0 || next.lo >= intervals[kept - 1].hi + MEET {
            intervals[kept] = next;
            kept += 1;
            continue;
        }
        let last = &mut intervals[kept - 1];
        let long = (last.hi - last.lo).min(next.hi - next.lo) > 4.0 * MEET;
        if next.lo >= last.hi - MEET && long {
            let fit = ((last.hi + next.lo) / 2.0).round();
            last.hi = fit - MEET / 2.0;
            intervals[kept] = Interval {
                lo: fit + MEET / 2.0,
                ..next
            };
            kept += 1;
        } else {
            last.hi = last.hi.max(next.hi);
        }
    }
    intervals.truncate(kept);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rng::Rng;
    use crate::shape::{point, unit};
    use geo::{Area, BooleanOps, Translate};

    /// A star-shaped outline with some right angles' worth of trouble: vertical
    /// walls, repeated coordinates, a hole now and then.
    fn any_region(rng: &mut Rng) -> Region {
        let count = 3 + rng.below(12);
        let grid = if rng.below(2) == 0 { 5.0 } else { 1e-3 };
        let ring = |scale: f64, rng: &mut Rng| {
            let points = (0..count).map(|i| {
                let turn = (i as f64 + rng.below(80) as f64 / 100.0) / count as f64;
                let r = scale * (30.0 + rng.below(70) as f64);
                let p = unit(turn * std::f64::consts::TAU) * r;
                point((p.x / grid).round() * grid, (p.y / grid).round() * grid)
            });
            geo_types::LineString(points.collect::<Vec<Point>>())
        };
        let outer = ring(1.0, rng);
        let holes = if rng.below(4) == 0 {
            vec![geo_types::LineString(vec![
                point(-8.0, -8.0),
                point(-8.0, 8.0),
                point(8.0, 8.0),
                point(8.0, -8.0),
            ])]
        } else {
            Vec::new()
        };
        Region::new(outer, holes)
    }

    fn is_simple(region: &Region) -> bool {
        use geo::Validation;
        region.is_valid()
    }

    /// Tables against polygon Booleans (geo's, on i_overlay): wherever a table
    /// says clear, the overlap is less than a millionth of the smaller piece;
    /// wherever it says overlap, there is some as soon as the position is a few
    /// units inside.
    #[test]
    fn intervals_agree_with_polygon_booleans() {
        let mut rng = Rng::new(7);
        let mut compared = 0;
        while compared < 4000 {
            let (a, b) = (any_region(&mut rng), any_region(&mut rng));
            if !is_simple(&a) || !is_simple(&b) {
                continue;
            }
            let (oa, ob) = (Outline::new(&a), Outline::new(&b));
            let smaller = a.unsigned_area().min(b.unsigned_area());
            for _ in 0..8 {
                let du = (rng.below(300_000) as f64 - 150_000.0) * 10.0;
                let intervals = oa.intervals(&ob, du);
                let overlap = |v: f64| {
                    let moved = b.translate(du / UNITS_PER_MM, v / UNITS_PER_MM);
                    a.intersection(&moved).unsigned_area()
                };
                for w in intervals.windows(2) {
                    assert!(w[0].hi <= w[1].lo, "spans are apart");
                }
                for s in &intervals {
                    for end in [s.lo, s.hi] {
                        assert!(overlap(end) < 1e-6 * smaller, "{du} {s:?} {}", overlap(end));
                    }
                    let middle = (s.lo + s.hi) / 2.0;
                    if s.hi - s.lo > 2000.0 {
                        assert!(overlap(middle) > 0.0, "{du} {s:?}");
                    }
                }
                let v = (rng.below(400_000) as f64 - 200_000.0) * 10.0;
                let inside = intervals
                    .iter()
                    .any(|s| s.lo + 2000.0 < v && v < s.hi - 2000.0);
                let outside = !intervals.iter().any(|s| s.lo < v && v < s.hi);
                if inside {
                    assert!(overlap(v) > 0.0);
                }
                if outside {
                    assert!(overlap(v) < 1e-6 * smaller);
                }
                compared += 1;
            }
        }
    }

    #[test]
    fn areas_agree_with_polygons() {
        let mut rng = Rng::new(9);
        for _ in 0..200 {
            let region = any_region(&mut rng);
            if is_simple(&region) {
                let area = Outline::new(&region).area() / UNITS_PER_MM / UNITS_PER_MM;
                assert!((area - region.unsigned_area()).abs() < 0.2, "{area}");
            }
        }
    }

    #[test]
    fn walls_that_touch_do_not_overlap() {
        let square = |x0: f64, x1: f64| {
            Region::new(
                geo_types::LineString(vec![
                    point(x0, 0.0),
                    point(x1, 0.0),
                    point(x1, 10.0),
                    point(x0, 10.0),
                ]),
                Vec::new(),
            )
        };
        // A width that no whole number of units is.
        let a = Outline::new(&square(1.0 / 3.0, 1.0 / 3.0 + 100.0 / 7.0));
        let pitch = (100.0 / 7.0 * UNITS_PER_MM).round();
        assert!(a.intervals(&a, pitch).is_empty());
        assert!(a.intervals(&a, -pitch).is_empty());
        let stacked = a.intervals(&a, 0.0);
        assert_eq!(
            stacked,
            vec![Interval {
                lo: -100_000.0,
                hi: 100_000.0
            }]
        );
    }
}
