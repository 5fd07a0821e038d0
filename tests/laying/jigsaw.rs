//! What was cut from one fabric goes back onto it.

use crate::jobs::{job, polygon, solve};
use stripe_core::lay::Lock;

/// A jigsaw comes together again: a fabric cut into crooked pieces, each shifted
/// by whole repeats, needs no more than that fabric (the optimum is known because
/// the pieces were made so).
#[test]
fn what_was_parted_comes_together() {
    for seed in 0..4u32 {
        let (columns, rows, repeat) = (4usize, 4usize, 35.0);
        let (width, length) = (420.0, 360.0);
        // A small generator of its own: where corners and middles of walls stand.
        let jitter = |i: usize, j: usize, k: u32| {
            let mut x = (i as u32 * 73 + j as u32 * 179 + k * 283 + seed * 997 + 17)
                .wrapping_mul(2_654_435_761);
            x ^= x >> 15;
            f64::from(x.wrapping_mul(2_246_822_519) >> 8) / f64::from(1u32 << 24) - 0.5
        };
        let corner = |i: usize, j: usize| {
            let inner = |n: usize, of: usize| f64::from(u8::from(0 < n && n < of));
            (
                width * i as f64 / columns as f64 + 40.0 * jitter(i, j, 0) * inner(i, columns),
                length * j as f64 / rows as f64 + 40.0 * jitter(i, j, 1) * inner(j, rows),
            )
        };
        let middle = |(i, j): (usize, usize), (k, l): (usize, usize), bend: f64| {
            let (a, b) = (corner(i, j), corner(k, l));
            let across = (b.1 - a.1, a.0 - b.0);
            (
                (a.0 + b.0) / 2.0 + bend * across.0,
                (a.1 + b.1) / 2.0 + bend * across.1,
            )
        };
        // Walls along the edge of the fabric are straight.
        let level = |i, j| {
            middle(
                (i, j),
                (i + 1, j),
                if j == 0 || j == rows {
                    0.0
                } else {
                    0.4 * jitter(i, j, 2)
                },
            )
        };
        let vertical = |i, j| {
            middle(
                (i, j),
                (i, j + 1),
                if i == 0 || i == columns {
                    0.0
                } else {
                    0.4 * jitter(i, j, 3)
                },
            )
        };
        let mut pieces = Vec::new();
        for i in 0..columns {
            for j in 0..rows {
                let ring = [
                    corner(i, j),
                    level(i, j),
                    corner(i + 1, j),
                    vertical(i + 1, j),
                    corner(i + 1, j + 1),
                    level(i, j + 1),
                    corner(i, j + 1),
                    vertical(i, j),
                ];
                let shift = -repeat * (corner(i, j).0 / repeat).floor();
                let ring = ring.map(|(x, y)| (x + shift, y + 10.0 * (i as f64) - 3.0 * (j as f64)));
                pieces.push((polygon(&ring), 0.0, 1));
            }
        }
        let job = job(width, Lock::Lines { repeat_mm: repeat }, pieces);
        let lay = solve(&job, u64::from(seed)).layout;
        assert!(lay.length_mm < 1.001 * length, "{seed}: {}", lay.length_mm);
    }
}
