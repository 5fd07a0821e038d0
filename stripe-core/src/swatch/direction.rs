//! The direction across the stripe, roughly.

use super::raster::Raster;
use rayon::prelude::*;

/// Cells of a side of the picture that is searched: at one degree a step, lines as fine as
/// four cells are still met.
const CELLS: usize = 256;

/// A direction across the stripe, and how much of what is seen its profile explains.
#[derive(Debug, Clone, Copy)]
pub(super) struct Across {
    /// Counter-clockwise from the picture's right, in `(-45, 135]` (degrees).
    pub(super) degrees: f64,
    /// The share of the variance between lines along the stripe, 0 to 1.
    pub(super) explained: f64,
    /// The same for the best direction about square to it.
    pub(super) explained_square: f64,
}

/// The direction in which the profile of the picture (the mean of each line across it)
/// explains most of its variance: the one-way analysis of variance, with lines as groups.
/// The whole picture is searched coarsely and its middle finely; the one that is
/// explained better counts.
pub(super) fn direction(lightness: &Raster) -> Across {
    let longest = lightness.width.max(lightness.height);
    let whole = lightness.middle(longest, longest.div_ceil(CELLS));
    let mut found = search(&whole);
    if longest > CELLS {
        let fine = search(&lightness.middle(CELLS, 1));
        if fine.explained > found.explained {
            found = fine;
        }
    }
    found
}

fn search(raster: &Raster) -> Across {
    let flat = without_light(raster);
    let squares = flat.iter().flatten().map(|&p| f64::from(p).powi(2));
    let all: f64 = squares.sum();
    let steps: Vec<f64> = (0..180)
        .into_par_iter()
        .map(|step| explained(raster, &flat, all, -45.0 + f64::from(step)))
        .collect();
    let best = (0..180).fold(0, |best, i| if steps[i] > steps[best] { i } else { best });
    let square = (best + 90) % 180;
    let explained_square = (0..7).map(|i| steps[(square + 177 + i) % 180]);
    let explained_square = explained_square.fold(0.0, f64::max);
    let fine: Vec<(f64, f64)> = (-6..=6)
        .into_par_iter()
        .map(|i| -45.0 + best as f64 + f64::from(i) / 5.0)
        .map(|degrees| (degrees, explained(raster, &flat, all, degrees)))
        .collect();
    let top = fine
        .iter()
        .fold(fine[0], |a, &b| if b.1 > a.1 { b } else { a });
    Across {
        degrees: if top.0 <= -45.0 { top.0 + 180.0 } else { top.0 },
        explained: top.1,
        explained_square,
    }
}

/// The picture without what a quadratic surface explains of it: uneven light is no stripe.
fn without_light(raster: &Raster) -> Vec<[f32; 3]> {
    let (w, h) = (raster.width as f64, raster.height as f64);
    let terms = |i: usize| {
        let x = 2.0 * ((i % raster.width) as f64 + 0.5) / w - 1.0;
        let y = 2.0 * ((i / raster.width) as f64 + 0.5) / h - 1.0;
        // Legendre polynomials: all but square to each other on the grid, so that each
        // coefficient is a mean.
        [1.0, x, y, x * y, 1.5 * x * x - 0.5, 1.5 * y * y - 0.5]
    };
    const NORM: [f64; 6] = [1.0, 3.0, 3.0, 9.0, 5.0, 5.0];
    let mut sums = [[0.0f64; 3]; 6];
    for (i, pixel) in raster.pixels.iter().enumerate() {
        for (sum, term) in sums.iter_mut().zip(terms(i)) {
            for (s, &p) in sum.iter_mut().zip(pixel) {
                *s += term * f64::from(p);
            }
        }
    }
    let count = raster.pixels.len().max(1) as f64;
    let flat = raster.pixels.iter().enumerate().map(|(i, pixel)| {
        let at = terms(i);
        let mut rest = *pixel;
        for (c, value) in rest.iter_mut().enumerate() {
            for k in 0..6 {
                *value -= (sums[k][c] / count * NORM[k] * at[k]) as f32;
            }
        }
        rest
    });
    flat.collect()
}

/// The share of the variance that the profile across `degrees` explains, adjusted for the
/// number of lines.
fn explained(raster: &Raster, flat: &[[f32; 3]], all: f64, degrees: f64) -> f64 {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let (w, h) = (raster.width as f64, raster.height as f64);
    let reach = (w * cos.abs() + h * sin.abs()) / 2.0;
    let bins = (2.0 * reach).ceil() as usize + 2;
    let mut sums = vec![[0.0f64; 3]; bins];
    let mut counts = vec![0u32; bins];
    for (y, row) in flat.chunks_exact(raster.width).enumerate() {
        let base = reach + (0.5 - w / 2.0) * cos - (y as f64 + 0.5 - h / 2.0) * sin;
        for (x, pixel) in row.iter().enumerate() {
            let bin = (base + x as f64 * cos) as usize;
            let bin = bin.min(bins - 1);
            for (sum, &p) in sums[bin].iter_mut().zip(pixel) {
                *sum += f64::from(p);
            }
            counts[bin] += 1;
        }
    }
    let between: f64 = sums
        .iter()
        .zip(&counts)
        .filter(|&(_, &count)| count > 0)
        .map(|(sum, &count)| sum.iter().map(|s| s * s).sum::<f64>() / f64::from(count))
        .sum();
    let (pixels, bins) = (flat.len() as f64, bins as f64);
    if all < 1e-3 * pixels || pixels < 2.0 * bins {
        return 0.0;
    }
    (1.0 - (1.0 - between / all) * (pixels - 1.0) / (pixels - bins)).max(0.0)
}
