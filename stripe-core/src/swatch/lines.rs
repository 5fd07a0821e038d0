//! Lean, bow and running together of the lines, from the shifts of slabs along the stripe.

use super::profile::{Frame, Place, SLABS, Slabs, slabs};
use super::raster::Raster;

/// The frame of a picture, with what the lines do beside running straight.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lines {
    pub(super) frame: Frame,
    /// How far the lines lie from straight at most (pixels).
    pub(super) bow: f64,
    /// The angle between the lines at the picture's two sides (degrees).
    pub(super) converge_deg: f64,
}

/// How much a profile's slopes are smoothed before they are compared (pixels).
const SMOOTH: f64 = 1.5;
/// So often are the lines followed anew at most.
const MOST_ROUNDS: usize = 8;
/// Neighbouring slabs are shifted by no more than this (pixels).
const REACH: isize = 6;

/// Follows the lines from a rough direction across them.
pub(super) fn follow(lightness: &Raster, degrees: f64) -> Lines {
    let mut frame = Frame {
        degrees,
        curve: [0.0; 3],
        fan: 0.0,
    };
    for round in 0..MOST_ROUNDS {
        let place = Place::new(frame, lightness.width, lightness.height);
        let slabs = slabs(lightness, &place);
        let span = (0, slabs.bins);
        let shifts = if round == 0 {
            from_neighbours(&slabs)
        } else {
            from_mean(&slabs, span)
        };
        let fit = polynomial(&shifts, if round == 0 { 2 } else { 4 });
        // A slope to the right as one goes down turns what is across counter-clockwise.
        frame.degrees += (fit[1] / place.half[1]).atan().to_degrees();
        for (curve, more) in frame.curve.iter_mut().zip(&fit[2..]) {
            *curve += more;
        }
        if round >= 2 {
            let middle = slabs.bins / 2;
            let left = polynomial(&from_mean(&slabs, (0, middle)), 1)[1];
            let right = polynomial(&from_mean(&slabs, (middle, slabs.bins)), 1)[1];
            frame.fan += (right - left) / place.half[0];
            // Lines that run together far are followed bit by bit.
            if round >= 3 && (right - left).abs() < 0.2 {
                break;
            }
        }
    }
    let place = Place::new(frame, lightness.width, lightness.height);
    Lines {
        frame,
        bow: bow(&frame),
        converge_deg: (frame.fan * 2.0 * place.half[0] / place.half[1])
            .atan()
            .to_degrees(),
    }
}

/// The lines' greatest distance from the chord between their ends.
fn bow(frame: &Frame) -> f64 {
    let (first, last) = (frame.shift(0.0, -1.0), frame.shift(0.0, 1.0));
    (0..=40)
        .map(|i| f64::from(i) / 20.0 - 1.0)
        .map(|t| frame.shift(0.0, t) - (first + (last - first) * (t + 1.0) / 2.0))
        .fold(
            0.0,
            |most: f64, d| if d.abs() > most.abs() { d } else { most },
        )
}

/// A shift at `t`, and how far it can be trusted.
type Shift = (f64, f64, f64);

fn middle_of(slab: usize) -> f64 {
    (slab as f64 + 0.5) * 2.0 / SLABS as f64 - 1.0
}

fn from_neighbours(slabs: &Slabs) -> Vec<Shift> {
    let all: Vec<_> = (0..SLABS).map(|s| slabs.slab(s).slopes(SMOOTH)).collect();
    let mut at = 0.0;
    let mut shifts = vec![(middle_of(0), 0.0, 1.0)];
    for s in 1..SLABS {
        if let Some((step, _)) = shift(&all[s - 1], &all[s], (0, slabs.bins)) {
            at += step;
        }
        shifts.push((middle_of(s), at, 1.0));
    }
    shifts
}

fn from_mean(slabs: &Slabs, span: (usize, usize)) -> Vec<Shift> {
    let mean = slabs.mean().slopes(SMOOTH);
    (0..SLABS)
        .filter_map(|s| {
            let (at, trust) = shift(&mean, &slabs.slab(s).slopes(SMOOTH), span)?;
            Some((middle_of(s), at, trust))
        })
        .collect()
}

type Slopes = (Vec<[f64; 3]>, Vec<bool>);

/// By how much the second profile is shifted against the first: where their slopes
/// correlate best, between pixels by a parabola; and how well.
fn shift(first: &Slopes, second: &Slopes, span: (usize, usize)) -> Option<(f64, f64)> {
    let score = |by: isize| {
        let (mut product, mut one, mut two) = (0.0, 0.0, 0.0);
        let mut count = 0;
        for i in span.0..span.1 {
            let Some(j) = i.checked_add_signed(by).filter(|&j| j < second.1.len()) else {
                continue;
            };
            if !(first.1[i] && second.1[j]) {
                continue;
            }
            for (a, b) in first.0[i].iter().zip(&second.0[j]) {
                product += a * b;
                one += a * a;
                two += b * b;
            }
            count += 1;
        }
        if count < 16 || one * two <= 0.0 {
            0.0
        } else {
            product / (one * two).sqrt()
        }
    };
    let scores: Vec<f64> = (-REACH..=REACH).map(score).collect();
    let mut best = REACH as usize;
    for (i, &s) in scores.iter().enumerate() {
        if s > scores[best] {
            best = i;
        }
    }
    if scores[best] < 0.2 || best == 0 || best + 1 == scores.len() {
        return None;
    }
    let (a, b, c) = (scores[best - 1], scores[best], scores[best + 1]);
    let bend = a - 2.0 * b + c;
    let part = if bend < 0.0 {
        (a - c) / (2.0 * bend)
    } else {
        0.0
    };
    let trust = scores[best].powi(2);
    Some((best as f64 - REACH as f64 + part.clamp(-0.5, 0.5), trust))
}

/// Least squares: coefficients of `1`, `t` … up to `t^degree`, as five numbers.
fn polynomial(shifts: &[Shift], degree: usize) -> [f64; 5] {
    let terms = degree + 1;
    let mut fit = [0.0; 5];
    if shifts.len() <= terms {
        return fit;
    }
    let mut normal = vec![vec![0.0; terms + 1]; terms];
    for &(t, at, trust) in shifts {
        for (i, row) in normal.iter_mut().enumerate() {
            for (j, cell) in row[..terms].iter_mut().enumerate() {
                *cell += trust * t.powi((i + j) as i32);
            }
            row[terms] += trust * t.powi(i as i32) * at;
        }
    }
    if let Some(solved) = super::bands::solve(&mut normal) {
        fit[..terms].copy_from_slice(&solved);
    }
    fit
}
