//! Straight pieces in whole units, and how short any cutting of them can be at all.

use super::ways;
use crate::quilt::StraightPiece;

/// A tick, in which lengths are taken to be whole (mm).
const TICK_MM: f64 = 1e-4;
/// The most units that sums of lengths are looked up in.
const MOST_UNITS: i64 = 4_000_000;

/// Pieces in the largest unit that measures all of them.
#[derive(Debug)]
pub(super) struct Units {
    /// The unit (mm).
    pub(super) mm: f64,
    /// The fabric's width, rounded down: sums of whole sides gain nothing by the rest.
    pub(super) width: i64,
    /// For each kind of piece the ways in which it may lie: across and along.
    pub(super) ways: Vec<Vec<(i64, i64)>>,
    counts: Vec<usize>,
}

impl Units {
    /// Sizes are rounded down to ticks of 0.1 um: pieces that fit in truth fit here.
    pub(super) fn new(pieces: &[StraightPiece], fabric_mm: f64) -> Self {
        let ticks = |mm: f64| (mm / TICK_MM + 0.01).floor().max(1.0) as i64;
        let mut all: Vec<Vec<(i64, i64)>> = pieces
            .iter()
            .map(|piece| {
                let ways = ways(piece, fabric_mm).into_iter();
                ways.map(|(across, along)| (ticks(across), ticks(along)))
                    .collect()
            })
            .collect();
        let unit = all.iter().flatten().fold(0, |g, &(a, b)| gcd(gcd(g, a), b));
        let unit = unit.max(1);
        for way in all.iter_mut().flatten() {
            *way = (way.0 / unit, way.1 / unit);
        }
        Self {
            mm: unit as f64 * TICK_MM,
            width: ticks(fabric_mm) / unit,
            ways: all,
            counts: pieces.iter().map(|p| p.count).collect(),
        }
    }

    /// No cutting, edge to edge or not, is shorter than this (units): the greatest of the
    /// longest piece and of areas over the width, where a piece is as wide as a dual
    /// feasible function says; rounded up to a sum of lengths.
    ///
    /// Such a function gives widths that add up to at most the fabric's whatever lies
    /// side by side, so areas reckoned with them must find room as true areas must.
    ///
    /// # Source
    /// Fekete and Schepers 2004, "A general framework for bounds for higher-dimensional
    /// orthogonal packing problems" (from memory): the functions u^(k) and U^(eps). That a
    /// shortest packing may be pushed together until its length is a sum of pieces' lengths
    /// is Christofides and Whitlock's normal pattern.
    pub(super) fn least(&self) -> i64 {
        let kinds = || self.ways.iter().zip(&self.counts).filter(|&(_, &n)| n > 0);
        let width = self.reached(self.width);
        let shortest = |ways: &Vec<(i64, i64)>| ways.iter().map(|w| w.1).min().unwrap_or(0);
        let mut least = kinds().map(|(ways, _)| shortest(ways)).max().unwrap_or(0);
        if width == 0 {
            return least;
        }
        // The area as the function `wide` of the width has it, times `per`.
        let mut raise = |per: i128, wide: &dyn Fn(i64) -> i128| {
            let area: i128 = kinds()
                .map(|(ways, &n)| {
                    let area = |&(across, along): &(i64, i64)| wide(across) * i128::from(along);
                    n as i128 * ways.iter().map(area).min().unwrap_or(0)
                })
                .sum();
            let length = (area + per - 1) / per;
            least = least.max(i64::try_from(length).unwrap_or(i64::MAX));
        };
        let whole = i128::from(width);
        raise(whole, &i128::from);
        for k in 1..=MOST_STEPS {
            raise(k * whole, &|across| {
                let x = (k + 1) * i128::from(across);
                if x % whole == 0 {
                    k * i128::from(across)
                } else {
                    x / whole * whole
                }
            });
        }
        for &(limit, _) in self.ways.iter().flatten() {
            if 2 * limit > width {
                continue;
            }
            raise(whole, &|across| {
                if across > width - limit {
                    whole
                } else if across < limit {
                    0
                } else {
                    i128::from(across)
                }
            });
        }
        self.length_from(least)
    }

    /// The longest sum of sides across that is no more than `most`.
    fn reached(&self, most: i64) -> i64 {
        let sides: Vec<i64> = self.ways.iter().flatten().map(|w| w.0).collect();
        let Some(sums) = sums(&sides, most) else {
            return most;
        };
        (0..=most).rev().find(|&s| sums[s as usize]).unwrap_or(0)
    }

    /// The shortest sum of sides along that is no less than `least`.
    fn length_from(&self, least: i64) -> i64 {
        let sides: Vec<i64> = self.ways.iter().flatten().map(|w| w.1).collect();
        let most = least.saturating_add(sides.iter().copied().max().unwrap_or(0));
        let Some(sums) = sums(&sides, most) else {
            return least;
        };
        (least..=most).find(|&s| sums[s as usize]).unwrap_or(least)
    }
}

/// The functions u^(k) that are tried: up to so many pieces side by side.
const MOST_STEPS: i128 = 24;

/// Which lengths up to `most` are sums of sides; `None` where they are too many to list.
fn sums(sides: &[i64], most: i64) -> Option<Vec<bool>> {
    if most > MOST_UNITS {
        return None;
    }
    let mut sums = vec![false; usize::try_from(most).ok()? + 1];
    sums[0] = true;
    let mut sides = sides.to_vec();
    sides.sort_unstable();
    sides.dedup();
    for side in sides {
        let side = usize::try_from(side).ok()?;
        for end in side..sums.len() {
            sums[end] |= sums[end - side];
        }
    }
    Some(sums)
}

fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { gcd(b, a % b) }
}
