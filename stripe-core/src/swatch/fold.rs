//! One repeat, folded from all repeats of the picture, with uneven light taken out.

use super::profile::{SLABS, Slabs};
use super::repeat::Repeat;

/// One repeat of the stripe in linear light, bin by bin.
#[derive(Debug)]
pub(super) struct Folded {
    pub(super) bins: Vec<[f64; 3]>,
    /// The light at its brightest over that at its dimmest.
    pub(super) uneven: f64,
    pub(super) light: Light,
}

/// The light over the picture, its mean one.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Light {
    shade: [f64; TERMS],
    level: f64,
    half: f64,
}

impl Light {
    /// How bright it is at a bin of the profile and `t` along (-1 to 1).
    pub(super) fn at(&self, bin: f64, t: f64) -> f64 {
        log_light(&self.shade, &terms(bin / self.half - 1.0, t), self.level).exp()
    }
}

/// Terms of the light: polynomials of total degree 1 to 3 in place across and along.
const TERMS: usize = 9;

fn terms(x: f64, t: f64) -> [f64; TERMS] {
    [
        x,
        t,
        x * x,
        x * t,
        t * t,
        x * x * x,
        x * x * t,
        x * t * t,
        t * t * t,
    ]
}

/// How bright a mean of pixels is.
///
/// # Source
/// IEC 61966-2-1:1999: the luminance of linear sRGB.
fn luminance(light: &[f64; 3]) -> f64 {
    0.2126 * light[0] + 0.7152 * light[1] + 0.0722 * light[2]
}

/// Folds slabs of linear light into `count` bins of a repeat.
///
/// What is seen is fabric times light. The logarithm of the light is taken for a cubic over
/// the picture and fitted in turn with the folded repeat: each is what the other leaves.
pub(super) fn fold(slabs: &Slabs, repeat: &Repeat, count: usize) -> Folded {
    let most = slabs.weights.iter().copied().fold(0.0, f64::max);
    struct Cell {
        at: f64,
        terms: [f64; TERMS],
        light: [f64; 3],
        weight: f64,
    }
    let half = slabs.bins as f64 / 2.0;
    let mut cells = Vec::with_capacity(slabs.means.len());
    for s in 0..SLABS {
        for i in 0..slabs.bins {
            let weight = slabs.weights[s * slabs.bins + i];
            if weight < 0.2 * most {
                continue;
            }
            let t = (s as f64 + 0.5) * 2.0 / SLABS as f64 - 1.0;
            cells.push(Cell {
                at: repeat.turns(i as f64).rem_euclid(1.0) * count as f64,
                terms: terms(i as f64 / half - 1.0, t),
                light: slabs.means[s * slabs.bins + i],
                weight,
            });
        }
    }
    let mut shade = [0.0f64; TERMS];
    let mut level = 0.0;
    let mut bins = vec![[0.0f64; 3]; count];
    for _ in 0..8 {
        let mut sums = vec![[0.0f64; 4]; count];
        for cell in &cells {
            let shine = log_light(&shade, &cell.terms, level).exp();
            let (bin, right) = (cell.at as usize % count, cell.at.fract());
            for (bin, share) in [(bin, 1.0 - right), ((bin + 1) % count, right)] {
                let share = share * cell.weight;
                for c in 0..3 {
                    sums[bin][c] += share * cell.light[c] / shine;
                }
                sums[bin][3] += share;
            }
        }
        fill(&sums, &mut bins);
        let mut normal = vec![vec![0.0; TERMS + 2]; TERMS + 1];
        for cell in &cells {
            let (bin, right) = (cell.at as usize % count, cell.at.fract());
            let next = (bin + 1) % count;
            let said = [0, 1, 2].map(|c| bins[bin][c] * (1.0 - right) + bins[next][c] * right);
            let (seen, said) = (luminance(&cell.light), luminance(&said));
            if seen < 1e-4 || said < 1e-4 {
                continue;
            }
            let mut row = [1.0; TERMS + 1];
            row[1..].copy_from_slice(&cell.terms);
            let rest = (seen / said).ln();
            // Noise is about the same everywhere in light, so its logarithm's is not.
            let weight = cell.weight * said * said;
            for (i, line) in normal.iter_mut().enumerate() {
                for (j, cell) in line[..=i].iter_mut().enumerate() {
                    *cell += weight * row[i] * row[j];
                }
                line[TERMS + 1] += weight * row[i] * rest;
            }
        }
        for i in 0..=TERMS {
            for j in i + 1..=TERMS {
                normal[i][j] = normal[j][i];
            }
        }
        let Some(fit) = super::bands::solve(&mut normal) else {
            break;
        };
        shade.copy_from_slice(&fit[1..]);
        // The light's mean is one: colours are those that the whole picture shows.
        let lit: f64 = cells
            .iter()
            .map(|c| c.weight * log_light(&shade, &c.terms, 0.0).exp())
            .sum();
        level = (lit / cells.iter().map(|c| c.weight).sum::<f64>()).ln();
    }
    let lights = cells.iter().map(|c| log_light(&shade, &c.terms, level));
    let (dim, bright) = lights.fold((f64::MAX, f64::MIN), |(a, b), l| (a.min(l), b.max(l)));
    Folded {
        bins,
        uneven: (bright - dim).exp(),
        light: Light { shade, level, half },
    }
}

fn log_light(shade: &[f64; TERMS], terms: &[f64; TERMS], level: f64) -> f64 {
    let sum: f64 = shade.iter().zip(terms).map(|(s, t)| s * t).sum();
    // Whatever is fitted, no light is a thousand times another.
    (sum - level).clamp(-3.5, 3.5)
}

/// The means of all bins; a bin into which nothing fell takes what its neighbours have.
fn fill(sums: &[[f64; 4]], bins: &mut [[f64; 3]]) {
    let count = bins.len();
    for i in 0..count {
        let full = (0..count).find_map(|step| {
            let s = &sums[(i + step) % count];
            (s[3] > 0.0).then(|| [0, 1, 2].map(|c| s[c] / s[3]))
        });
        bins[i] = full.unwrap_or([0.0; 3]);
    }
}
