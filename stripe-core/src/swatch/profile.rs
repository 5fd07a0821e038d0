//! Means along the stripe: one profile for each slab of the picture.

use super::raster::Raster;
use rayon::prelude::*;

/// Slabs along the stripe.
pub(super) const SLABS: usize = 24;

/// How the stripe lies in the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Frame {
    /// The direction across the stripe, counter-clockwise from the picture's right (degrees).
    pub(super) degrees: f64,
    /// How far the lines are shifted at `t`, -1 to 1 along them: coefficients of `t^2`, `t^3`
    /// and `t^4` (pixels). Their mean is left to the phase.
    pub(super) curve: [f64; 3],
    /// How much more the lines are shifted at `t = 1` for each pixel across: lines that run
    /// together.
    pub(super) fan: f64,
}

impl Frame {
    /// The shift of the lines at `u` across and `t` along.
    pub(super) fn shift(&self, u: f64, t: f64) -> f64 {
        let [a, b, c] = self.curve;
        t * (t * (a + t * (b + t * c)) + self.fan * u)
    }
}

/// Where pixels lie in a frame.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    pub(super) frame: Frame,
    cos: f64,
    sin: f64,
    middle: [f64; 2],
    /// Half of what the picture shows across and along the stripe (pixels).
    pub(super) half: [f64; 2],
}

impl Place {
    pub(super) fn new(frame: Frame, width: usize, height: usize) -> Self {
        let (sin, cos) = frame.degrees.to_radians().sin_cos();
        let (w, h) = (width as f64 / 2.0, height as f64 / 2.0);
        Self {
            frame,
            cos,
            sin,
            middle: [w, h],
            half: [w * cos.abs() + h * sin.abs(), w * sin.abs() + h * cos.abs()],
        }
    }

    /// Across (pixels from the middle, the lines made straight) and along (-1 to 1).
    pub(super) fn at(&self, x: f64, y: f64) -> (f64, f64) {
        let (x, y) = (x - self.middle[0], y - self.middle[1]);
        let u = x * self.cos - y * self.sin;
        let t = (x * self.sin + y * self.cos) / self.half[1];
        (u - self.frame.shift(u, t), t)
    }

    /// Where on the picture such a place is: the inverse of [`Place::at`].
    pub(super) fn on_picture(&self, u: f64, t: f64) -> [f64; 2] {
        let (mut bent, along) = (u, t * self.half[1]);
        for _ in 0..6 {
            bent = u + self.frame.shift(bent, t);
        }
        let x = bent * self.cos + along * self.sin;
        let y = along * self.cos - bent * self.sin;
        [x + self.middle[0], y + self.middle[1]]
    }

    /// Bins of a profile: a pixel each.
    pub(super) fn bins(&self) -> usize {
        (2.0 * self.half[0]).ceil() as usize + 3
    }

    /// The bin (and what is left) of a place across.
    pub(super) fn bin(&self, u: f64) -> f64 {
        u + self.half[0] + 1.0
    }
}

/// Profiles of all slabs: in bin `i` of slab `s` the mean of its pixels, and their number.
#[derive(Debug, Clone)]
pub(super) struct Slabs {
    pub(super) bins: usize,
    /// Slab by slab.
    pub(super) means: Vec<[f64; 3]>,
    pub(super) weights: Vec<f64>,
}

/// The profiles of a picture in a frame. Pixels are shared out to the two bins nearest them.
pub(super) fn slabs(raster: &Raster, place: &Place) -> Slabs {
    let bins = place.bins();
    // Rows are summed in fixed blocks, and the blocks in their order: sums do not depend on
    // how threads share the work.
    const BLOCK: usize = 64;
    let blocks: Vec<Vec<[f64; 4]>> = raster
        .pixels
        .par_chunks(raster.width * BLOCK)
        .enumerate()
        .map(|(block, pixels)| {
            let mut sums = vec![[0.0f64; 4]; bins * SLABS];
            for (row, line) in pixels.chunks_exact(raster.width).enumerate() {
                let y = (block * BLOCK + row) as f64 + 0.5;
                for (x, pixel) in line.iter().enumerate() {
                    let (u, t) = place.at(x as f64 + 0.5, y);
                    let slab = (((t + 1.0) / 2.0 * SLABS as f64) as usize).min(SLABS - 1);
                    let at = place.bin(u);
                    // Lines that bow out of the picture: piled up in its last bin, they would
                    // outweigh all others.
                    if !(0.0..bins as f64 - 1.0).contains(&at) {
                        continue;
                    }
                    let bin = at as usize;
                    let right = at - bin as f64;
                    let cell = &mut sums[slab * bins + bin..][..2];
                    for (sum, share) in cell.iter_mut().zip([1.0 - right, right]) {
                        for (s, &p) in sum.iter_mut().zip(pixel) {
                            *s += share * f64::from(p);
                        }
                        sum[3] += share;
                    }
                }
            }
            sums
        })
        .collect();
    let mut sums = vec![[0.0f64; 4]; bins * SLABS];
    for block in &blocks {
        for (sum, part) in sums.iter_mut().zip(block) {
            for (s, p) in sum.iter_mut().zip(part) {
                *s += p;
            }
        }
    }
    Slabs {
        bins,
        means: sums
            .iter()
            .map(|s| [0, 1, 2].map(|c| if s[3] > 0.0 { s[c] / s[3] } else { 0.0 }))
            .collect(),
        weights: sums.iter().map(|s| s[3]).collect(),
    }
}

/// One profile: means and weights by bin.
#[derive(Debug, Clone)]
pub(super) struct Profile {
    pub(super) means: Vec<[f64; 3]>,
    pub(super) weights: Vec<f64>,
}

impl Slabs {
    /// The profile of one slab.
    pub(super) fn slab(&self, s: usize) -> Profile {
        let range = s * self.bins..(s + 1) * self.bins;
        Profile {
            means: self.means[range.clone()].to_vec(),
            weights: self.weights[range].to_vec(),
        }
    }

    /// The mean profile of all slabs.
    pub(super) fn mean(&self) -> Profile {
        let mut sums = vec![[0.0f64; 4]; self.bins];
        for (i, (mean, &weight)) in self.means.iter().zip(&self.weights).enumerate() {
            let sum = &mut sums[i % self.bins];
            for c in 0..3 {
                sum[c] += weight * mean[c];
            }
            sum[3] += weight;
        }
        Profile {
            means: sums
                .iter()
                .map(|s| [0, 1, 2].map(|c| if s[3] > 0.0 { s[c] / s[3] } else { 0.0 }))
                .collect(),
            weights: sums.iter().map(|s| s[3]).collect(),
        }
    }
}

impl Profile {
    /// Smoothed slopes, and whether each can be trusted: bins that few pixels fall into (the
    /// corners of a leaning picture) cannot.
    pub(super) fn slopes(&self, sigma: f64) -> (Vec<[f64; 3]>, Vec<bool>) {
        let most = self.weights.iter().copied().fold(0.0, f64::max);
        let solid: Vec<bool> = self.weights.iter().map(|&w| w > 0.2 * most).collect();
        let reach = (3.0 * sigma).ceil() as isize;
        let count = self.means.len() as isize;
        // The slope of a profile smoothed by a bell curve is the profile under the curve's slope.
        let kernel: Vec<f64> = (-reach..=reach)
            .map(|i| {
                let x = i as f64 / sigma;
                -x * (-x * x / 2.0).exp()
            })
            .collect();
        let mut slopes = vec![[0.0; 3]; count as usize];
        let mut good = vec![false; count as usize];
        for i in reach..count - reach {
            if !solid[(i - reach) as usize..=(i + reach) as usize]
                .iter()
                .all(|&s| s)
            {
                continue;
            }
            good[i as usize] = true;
            for (k, weight) in kernel.iter().enumerate() {
                let mean = &self.means[(i - reach) as usize + k];
                for (slope, m) in slopes[i as usize].iter_mut().zip(mean) {
                    *slope -= weight * m;
                }
            }
        }
        (slopes, good)
    }
}
