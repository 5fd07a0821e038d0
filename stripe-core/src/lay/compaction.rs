//! Settling: sliding a valid layout together without taking it apart.
//!
//! With every piece on its line, the pieces' positions along the stripes are
//! bound by differences alone: the least solution is found exactly, in whole
//! units, by going round until nothing moves ([`drop_down`]). Offsets and deviations
//! change the lines themselves; there a linear program proposes
//! ([`super::lp_compaction`]) and the exact method disposes.

use super::instance::{Instance, LinePlacement};
use super::outline::Interval;

/// `v[b] >= v[a] + apart`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Separation {
    pub(crate) a: usize,
    pub(crate) b: usize,
    pub(crate) apart: f64,
}

/// Of two pieces `dv` apart, the gap of clear positions around `dv`.
pub(crate) fn gap_around(intervals: &[Interval], dv: f64) -> (f64, f64) {
    let mut lo = f64::NEG_INFINITY;
    for s in intervals {
        if s.lo >= dv {
            return (lo, s.lo);
        }
        lo = s.hi;
    }
    (lo, f64::INFINITY)
}

/// `dv`, or if it cuts into a forbidden interval, the nearer end of that.
pub(crate) fn beside(intervals: &[Interval], dv: f64) -> f64 {
    intervals
        .iter()
        .find(|s| s.lo < dv && dv < s.hi)
        .map_or(dv, |s| if dv - s.lo < s.hi - dv { s.lo } else { s.hi })
}

/// The least positions, from `least` up, that keep every difference; `values`
/// is a solution already, so there is one. `None` if the numbers say otherwise.
pub(crate) fn least_solution(
    least: &[f64],
    apart: &[Separation],
    values: &[f64],
    snap: &dyn Fn(usize, f64) -> f64,
) -> Option<Vec<f64>> {
    // Lowest first: most differences then hold after one round.
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|&a, &b| values[a].total_cmp(&values[b]));
    let mut by_upper: Vec<Vec<(usize, f64)>> = vec![Vec::new(); values.len()];
    for d in apart {
        by_upper[d.b].push((d.a, d.apart));
    }
    let mut found: Vec<f64> = (0..values.len()).map(|i| snap(i, least[i])).collect();
    for _ in 0..=values.len() {
        let mut moved = false;
        for &b in &order {
            let bound = by_upper[b]
                .iter()
                .map(|&(a, apart)| found[a] + apart)
                .fold(found[b], f64::max);
            if bound > found[b] {
                found[b] = snap(b, bound);
                moved = true;
            }
        }
        if !moved {
            return Some(found);
        }
    }
    None
}

/// Slides every piece along its line as far down as it goes. Never lengthens.
pub(crate) fn drop_down(instance: &Instance, placements: &mut [LinePlacement]) {
    if instance.normal().0 == 0.0 || instance.is_lattice() {
        // Crosswise, sliding along the lines does not shorten the fabric.
        return;
    }
    // Where v runs against the length, everything is seen upside down.
    let sense = instance.upward();
    let values: Vec<f64> = placements.iter().map(|s| s.v * sense).collect();
    let mut apart = Vec::new();
    // Only what lies side by side across can be in each other's way along.
    let mut order: Vec<(f64, f64, usize)> = (0..placements.len())
        .map(|i| {
            let u = instance.u(
                placements[i].orientation as usize,
                i64::from(placements[i].line),
            );
            let reach = instance.outline_of(placements[i]).across();
            (u + reach.lo, u + reach.hi, i)
        })
        .collect();
    order.sort_by(|x, y| x.0.total_cmp(&y.0));
    for (rank, &(_, end, one)) in order.iter().enumerate() {
        let beside_it = order[rank + 1..].iter().take_while(|next| next.0 < end);
        for &(_, _, other) in beside_it {
            let (a, b) = (one.min(other), one.max(other));
            let intervals = instance.intervals(placements[a], placements[b]);
            if intervals.is_empty() {
                continue;
            }
            let (lo, hi) = gap_around(
                intervals,
                beside(intervals, placements[b].v - placements[a].v),
            );
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
    let Some(least) = placements
        .iter()
        .map(|s| {
            let reach = instance.reach_near(*s, far)?;
            Some(if sense > 0.0 { reach.lo } else { -reach.hi })
        })
        .collect::<Option<Vec<f64>>>()
    else {
        return;
    };
    if let Some(found) = least_solution(&least, &apart, &values, &|_, v| v) {
        for (placement, v) in placements.iter_mut().zip(found) {
            placement.v = v * sense;
        }
    }
}
