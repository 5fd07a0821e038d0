//! Sliding across: offsets of groups, deviations within the tolerance, and on
//! plain fabric every piece, as a linear program.
//!
//! For each near pair the gap that holds now stays: its ends are drawn as
//! straight lines in the pieces' difference across, through the tables' values
//! a little to either side. The program's answer is a proposal: its places
//! across are kept, places along are found anew by the exact method of
//! [`super::compaction`], and the result is tested like any other. If it is not
//! valid and shorter, the step is made smaller.

use super::compaction::{Separation, beside, gap_around, least_solution};
use super::instance::{Instance, LinePlacement};
use super::outline::Interval;
use crate::lp::Program;

/// Pairs further apart than this (units) do not come to touch in one step.
const NEAR: f64 = 300_000.0;

/// A layout whose pieces may stand beside their lines.
#[derive(Debug, Clone)]
pub(crate) struct RelaxedLayout {
    pub(crate) placements: Vec<LinePlacement>,
    /// By how much each group's offset is more than its lines say (units).
    pub(crate) shift: Vec<f64>,
    /// By how much each piece departs from its line then (units).
    pub(crate) deviation: Vec<f64>,
    pub(crate) length: f64,
}

impl RelaxedLayout {
    pub(crate) fn new(instance: &Instance, placements: Vec<LinePlacement>) -> Self {
        let mut relaxed = Self {
            shift: vec![0.0; instance.groups],
            deviation: vec![0.0; placements.len()],
            placements,
            length: 0.0,
        };
        relaxed.length = relaxed.needs(instance);
        relaxed
    }

    /// Position across (units) of one item.
    pub(crate) fn u(&self, instance: &Instance, item: usize) -> f64 {
        let placement = self.placements[item];
        let group = instance.items[item].1;
        instance.u(placement.orientation as usize, i64::from(placement.line))
            + instance.sign(placement.orientation as usize) * group.map_or(0.0, |g| self.shift[g])
            + self.deviation[item]
    }

    fn intervals(&self, instance: &Instance, a: usize, b: usize, more: f64) -> Vec<Interval> {
        let du = self.u(instance, b) - self.u(instance, a) + more;
        instance.intervals_apart(
            self.placements[a].orientation,
            self.placements[b].orientation,
            du,
        )
    }

    fn end(&self, instance: &Instance, item: usize) -> f64 {
        instance.end_at(
            self.placements[item].orientation as usize,
            self.u(instance, item),
            self.placements[item].v,
        )
    }

    fn needs(&self, instance: &Instance) -> f64 {
        (0..self.placements.len())
            .map(|i| self.end(instance, i))
            .fold(0.0, f64::max)
    }

    /// Whether no two pieces overlap and all lie within the fabric.
    pub(crate) fn is_valid(&self, instance: &Instance) -> bool {
        (0..self.placements.len()).all(|b| {
            let placement = self.placements[b];
            instance
                .reach_at(
                    placement.orientation as usize,
                    self.u(instance, b),
                    self.length,
                )
                .is_some_and(|r| r.lo <= placement.v && placement.v <= r.hi)
                && (0..b).all(|a| {
                    let dv = placement.v - self.placements[a].v;
                    self.far(instance, a, b)
                        || !self
                            .intervals(instance, a, b, 0.0)
                            .iter()
                            .any(|s| s.lo < dv && dv < s.hi)
                })
        })
    }

    /// Whether two pieces are too far apart to meet, by their boxes.
    fn far(&self, instance: &Instance, a: usize, b: usize) -> bool {
        let (oa, ob) = (
            instance.outline_of(self.placements[a]),
            instance.outline_of(self.placements[b]),
        );
        let dv = self.placements[b].v - self.placements[a].v;
        let du = self.u(instance, b) - self.u(instance, a);
        dv + ob.along.lo >= oa.along.hi
            || dv + ob.along.hi <= oa.along.lo
            || du + ob.across().lo >= oa.across().hi
            || du + ob.across().hi <= oa.across().lo
    }
}

/// Whether a layout of this instance has anything to slide across. Beside obstacles it has not:
/// what they leave is known on the lines alone.
pub(crate) fn can_compact_by_lp(instance: &Instance, deviate: f64) -> bool {
    !instance.is_lattice() && !instance.has_obstacles() && (instance.groups > 0 || deviate > 0.0)
}

/// Slides for as long as it shortens the layout, at most `steps` programs.
/// Never lengthens.
pub(crate) fn compact_by_lp(
    instance: &Instance,
    relaxed: &mut RelaxedLayout,
    deviate: f64,
    steps: usize,
    stop: &dyn Fn() -> bool,
) {
    if !can_compact_by_lp(instance, deviate) {
        return;
    }
    let mut trust = (instance.pitch * instance.stride as f64 / 8.0).clamp(1_000.0, 50_000.0);
    for _ in 0..steps {
        if stop() || trust < 50.0 {
            return;
        }
        match propose(instance, relaxed, deviate, trust) {
            Some(better) if better.length < relaxed.length && better.is_valid(instance) => {
                let gain = relaxed.length - better.length;
                *relaxed = better;
                if gain < 100.0 {
                    return;
                }
            }
            _ => trust /= 4.0,
        }
    }
}

struct Link {
    a: usize,
    b: usize,
    /// `v_b - v_a >= at + slope * change of (u_b - u_a)`, or `<=` if `upper`.
    at: f64,
    slope: f64,
    upper: bool,
}

fn propose(
    instance: &Instance,
    relaxed: &RelaxedLayout,
    deviate: f64,
    trust: f64,
) -> Option<RelaxedLayout> {
    let n = relaxed.placements.len();
    let (nx, ny) = instance.normal();
    let scale = super::outline::UNITS_PER_MM;
    let mut program = Program::new();
    // In millimetres: solvers like numbers near one.
    let top = program.column(1.0, 0.0, relaxed.length / scale);
    let along: Vec<usize> = (0..n)
        .map(|i| {
            let v = relaxed.placements[i].v / scale;
            program.column(1e-6 * instance.upward(), v - 100.0, v + 100.0)
        })
        .collect();
    let shift: Vec<usize> = (0..instance.groups)
        .map(|_| program.column(0.0, -trust / scale, trust / scale))
        .collect();
    let deviation: Vec<Option<usize>> = (0..n)
        .map(|i| {
            let least = (-trust).max(-deviate - relaxed.deviation[i]);
            let most = trust.min(deviate - relaxed.deviation[i]);
            (deviate > 0.0 && least < most)
                .then(|| program.column(0.0, least / scale, most / scale))
        })
        .collect();
    // The change of u of one item, as terms.
    let across = |i: usize, factor: f64| {
        let mut terms = Vec::new();
        if let Some(g) = instance.items[i].1 {
            terms.push((
                shift[g],
                factor * instance.sign(relaxed.placements[i].orientation as usize),
            ));
        }
        if let Some(column) = deviation[i] {
            terms.push((column, factor));
        }
        terms
    };
    for (i, &v) in along.iter().enumerate() {
        let orientation = relaxed.placements[i].orientation as usize;
        let u = relaxed.u(instance, i);
        let (x, y) = instance.extent(orientation);
        let (margin, width) = (instance.margin(), instance.width());
        let mut limit = |cu: f64, cv: f64, least: f64, with_top: f64| {
            let mut terms = across(i, cu);
            terms.push((v, cv));
            if with_top != 0.0 {
                terms.push((top, with_top));
            }
            program.row(terms, (least - cu * u) / scale);
        };
        limit(nx, -ny, -margin - x.lo, 0.0);
        limit(-nx, ny, -(width + margin - x.hi), 0.0);
        limit(ny, nx, -margin - y.lo, 0.0);
        limit(-ny, -nx, y.hi - margin, 1.0);
    }
    for link in links(instance, relaxed, trust) {
        let sense = if link.upper { -1.0 } else { 1.0 };
        let mut terms = vec![(along[link.b], sense), (along[link.a], -sense)];
        terms.extend(across(link.b, -sense * link.slope));
        terms.extend(across(link.a, sense * link.slope));
        program.row(merged(terms), sense * link.at / scale);
    }
    let answer = program.minimise().ok()?.values;
    let mut better = relaxed.clone();
    for (value, &column) in better.shift.iter_mut().zip(&shift) {
        *value += (answer[column] * scale).round();
    }
    for (value, column) in better.deviation.iter_mut().zip(&deviation) {
        if let Some(column) = *column {
            *value = (*value + (answer[column] * scale).round()).clamp(-deviate, deviate);
        }
    }
    for (placement, &column) in better.placements.iter_mut().zip(&along) {
        placement.v = (answer[column] * scale).round();
    }
    make_exact(instance, &mut better)?;
    Some(better)
}

/// Adds up terms of one column.
fn merged(mut terms: Vec<(usize, f64)>) -> Vec<(usize, f64)> {
    terms.sort_by_key(|t| t.0);
    let mut out: Vec<(usize, f64)> = Vec::with_capacity(terms.len());
    for (column, factor) in terms {
        match out.last_mut() {
            Some(last) if last.0 == column => last.1 += factor,
            _ => out.push((column, factor)),
        }
    }
    out
}

/// The gaps that hold now between near pairs, drawn straight.
fn links(instance: &Instance, relaxed: &RelaxedLayout, trust: f64) -> Vec<Link> {
    let mut links = Vec::new();
    let n = relaxed.placements.len();
    for b in 0..n {
        for a in 0..b {
            let (oa, ob) = (
                instance.outline_of(relaxed.placements[a]),
                instance.outline_of(relaxed.placements[b]),
            );
            let du = relaxed.u(instance, b) - relaxed.u(instance, a);
            let dv = relaxed.placements[b].v - relaxed.placements[a].v;
            if du + ob.across().lo - 2.0 * trust >= oa.across().hi
                || du + ob.across().hi + 2.0 * trust <= oa.across().lo
                || dv + ob.along.lo >= oa.along.hi + NEAR
                || dv + ob.along.hi + NEAR <= oa.along.lo
            {
                continue;
            }
            let reach = 2.0 * trust;
            let gaps = [-reach, 0.0, reach]
                .map(|more| gap_around(&relaxed.intervals(instance, a, b, more), dv));
            let slope_of = |ends: [f64; 3], upper: bool| -> Option<(f64, f64)> {
                if ends.iter().any(|e| !e.is_finite()) {
                    // One side sees nothing in the way: hold level.
                    let level = ends
                        .iter()
                        .copied()
                        .filter(|e| e.is_finite())
                        .reduce(if upper { f64::min } else { f64::max })?;
                    return Some((level, 0.0));
                }
                let slope = (ends[2] - ends[0]) / (2.0 * reach);
                let offsets = [ends[0] + slope * reach, ends[1], ends[2] - slope * reach];
                let at = offsets
                    .into_iter()
                    .reduce(if upper { f64::min } else { f64::max })?;
                Some((at, slope))
            };
            let lower = gaps.map(|g| g.0);
            let upper = gaps.map(|g| g.1);
            if let Some((at, slope)) = slope_of(lower, false) {
                links.push(Link {
                    a,
                    b,
                    at: at.min(dv),
                    slope,
                    upper: false,
                });
            }
            if let Some((at, slope)) = slope_of(upper, true) {
                links.push(Link {
                    a,
                    b,
                    at: at.max(dv),
                    slope,
                    upper: true,
                });
            }
        }
    }
    links
}

/// With places across given, finds the least places along, in whole units.
fn make_exact(instance: &Instance, relaxed: &mut RelaxedLayout) -> Option<()> {
    let n = relaxed.placements.len();
    let sense = instance.upward();
    let mut apart = Vec::new();
    for b in 0..n {
        for a in 0..b {
            let (oa, ob) = (
                instance.outline_of(relaxed.placements[a]),
                instance.outline_of(relaxed.placements[b]),
            );
            let du = relaxed.u(instance, b) - relaxed.u(instance, a);
            if du + ob.across().lo >= oa.across().hi || du + ob.across().hi <= oa.across().lo {
                continue;
            }
            let dv = relaxed.placements[b].v - relaxed.placements[a].v;
            let intervals = relaxed.intervals(instance, a, b, 0.0);
            // A proposal that cuts a little into a forbidden interval belongs to the nearer side.
            let dv = beside(&intervals, dv);
            let (lo, hi) = gap_around(&intervals, dv);
            let (lo, hi) = if sense > 0.0 { (lo, hi) } else { (-hi, -lo) };
            if lo.is_finite() {
                apart.push(Separation { a, b, apart: lo });
            }
            if hi.is_finite() {
                apart.push(Separation {
                    a: b,
                    b: a,
                    apart: -hi,
                });
            }
        }
    }
    let far = 1e13;
    let mut least = Vec::with_capacity(n);
    for i in 0..n {
        let reach = instance.reach_at(
            relaxed.placements[i].orientation as usize,
            relaxed.u(instance, i),
            far,
        )?;
        least.push(if sense > 0.0 { reach.lo } else { -reach.hi });
    }
    let values: Vec<f64> = relaxed.placements.iter().map(|s| s.v * sense).collect();
    let found = least_solution(&least, &apart, &values, &|_, v| v)?;
    for (placement, v) in relaxed.placements.iter_mut().zip(found) {
        placement.v = v * sense;
    }
    relaxed.length = relaxed.needs(instance);
    Some(())
}
