//! Edges, colours and smear of the bands, fitted together to the folded repeat.
//!
//! A repeat of plain bands, seen by a lens, averaged over pixels and folded with small errors,
//! is a row of steps under a bell curve: the light at `x` is the sum over bands of
//! `c_i (Phi((x - e_i) / s) - Phi((x - e_{i+1}) / s))`. Levenberg and Marquardt's method fits
//! edges `e`, colours `c` and the smear `s`; bands that are not needed are taken out, each
//! with a new fit. What was only a smeared edge goes then, and a band that is narrower than its
//! smear keeps its width and colour as well as can be told.

/// Of more bands than this most are noise: the narrowest goes without much ado.
const MANY: usize = 40;

/// Bands that were fitted.
#[derive(Debug, Clone)]
pub(super) struct Fitted {
    /// Where each band begins (bins, ascending; the last runs on to the first).
    pub(super) edges: Vec<f64>,
    /// Linear light of each.
    pub(super) colours: Vec<[f64; 3]>,
    /// The bell curve's standard deviation (bins).
    pub(super) smear: f64,
    /// What is left: the sum of squares in steps of lightness.
    rest: f64,
}

/// The distribution function of the normal distribution.
///
/// # Source
/// Abramowitz and Stegun, 7.1.26 (to 1.5e-7).
fn phi(x: f64) -> f64 {
    let z = x.abs() / std::f64::consts::SQRT_2;
    let t = 1.0 / (1.0 + 0.327_591_1 * z);
    let tail = t
        * (0.254_829_592
            + t * (-0.284_496_736
                + t * (1.421_413_741 + t * (-1.453_152_027 + t * 1.061_405_429))));
    let erf = 1.0 - tail * (-z * z).exp();
    if x < 0.0 {
        (1.0 - erf) / 2.0
    } else {
        (1.0 + erf) / 2.0
    }
}

fn bell(x: f64) -> f64 {
    (-x * x / 2.0).exp() / (2.0 * std::f64::consts::PI).sqrt()
}

/// How many steps of lightness a change of light makes.
fn steepness(light: f64) -> f64 {
    116.0 / 3.0 * light.max(0.03).powf(-2.0 / 3.0)
}

/// The repeat to fit to, with the weight of each bin and colour.
pub(super) struct Target<'a> {
    bins: &'a [[f64; 3]],
    weights: Vec<[f64; 3]>,
}

impl<'a> Target<'a> {
    pub(super) fn new(bins: &'a [[f64; 3]]) -> Self {
        let weights = bins
            .iter()
            .map(|bin| bin.map(|light| steepness(light).powi(2)));
        Self {
            bins,
            weights: weights.collect(),
        }
    }

    fn count(&self) -> f64 {
        self.bins.len() as f64
    }

    /// A first guess between borders: the middle half of each band has its colour.
    pub(super) fn guess(&self, borders: &[usize]) -> Fitted {
        let bands = borders.len();
        let colours = (0..bands).map(|i| {
            let (a, mut b) = (borders[i], borders[(i + 1) % bands]);
            if b <= a {
                b += self.bins.len();
            }
            let cut = (b - a) / 4;
            let (a, b) = (a + cut, (b - cut).max(a + cut + 1));
            let sum = (a..b).fold([0.0; 3], |mut sum, i| {
                for (s, x) in sum.iter_mut().zip(&self.bins[i % self.bins.len()]) {
                    *s += x;
                }
                sum
            });
            sum.map(|s| s / (b - a) as f64)
        });
        Fitted {
            colours: colours.collect(),
            // Between the bin before and the first of the band.
            edges: borders.iter().map(|&b| b as f64 - 0.5).collect(),
            smear: 1.2,
            rest: f64::MAX,
        }
    }

    /// Calls `with` for each bin: what is said there, and how it changes with each edge (all
    /// colours), each band's share, and the smear.
    fn each(
        &self,
        fit: &Fitted,
        mut with: impl FnMut(usize, [f64; 3], &[(usize, f64)], &[(usize, f64)], [f64; 3]),
    ) {
        let bands = fit.edges.len();
        let period = self.count();
        let mut edges: Vec<(usize, f64)> = vec![];
        let mut shares: Vec<(usize, f64)> = vec![];
        for i in 0..self.bins.len() {
            let x = i as f64;
            edges.clear();
            shares.clear();
            let mut said = [0.0; 3];
            let mut smear = [0.0; 3];
            // Every edge adds the step between the bands on its sides. Summed from the band
            // that holds a far point, so that the sum over all bands is one.
            for k in 0..bands {
                let z = nearest(x - fit.edges[k], period) / fit.smear;
                if z.abs() < 6.0 {
                    edges.push((k, bell(z) / fit.smear));
                    let before = (k + bands - 1) % bands;
                    for c in 0..3 {
                        let step = fit.colours[k][c] - fit.colours[before][c];
                        smear[c] -= step * bell(z) * z / fit.smear;
                    }
                }
            }
            for k in 0..bands {
                let (a, b) = (fit.edges[k], fit.edges[(k + 1) % bands]);
                let width = (b - a).rem_euclid(period);
                // The copy of the band whose middle is nearest.
                let middle = nearest(x - (a + width / 2.0), period);
                let mut share = 0.0;
                for turn in [-period, 0.0, period] {
                    let d = middle + turn;
                    // Beyond six times the smear nothing is left of it.
                    if d.abs() > width / 2.0 + 6.0 * fit.smear {
                        continue;
                    }
                    if d.abs() < width / 2.0 - 6.0 * fit.smear {
                        share += 1.0;
                        continue;
                    }
                    share +=
                        phi((d + width / 2.0) / fit.smear) - phi((d - width / 2.0) / fit.smear);
                }
                if share > 1e-7 {
                    shares.push((k, share));
                    for (s, colour) in said.iter_mut().zip(&fit.colours[k]) {
                        *s += share * colour;
                    }
                }
            }
            with(i, said, &edges, &shares, smear);
        }
    }

    fn rest(&self, fit: &Fitted) -> f64 {
        let mut rest = 0.0;
        self.each(fit, |i, said, _, _, _| {
            for c in 0..3 {
                rest += self.weights[i][c] * (self.bins[i][c] - said[c]).powi(2);
            }
        });
        rest
    }

    /// Fits from a guess, in at most `rounds` steps.
    pub(super) fn fit(&self, guess: &Fitted, rounds: usize) -> Fitted {
        let mut fit = guess.clone();
        fit.rest = self.rest(&fit);
        let bands = fit.edges.len();
        let size = 4 * bands + 1;
        let mut damp = 1e-3;
        for _ in 0..rounds {
            let mut normal = vec![vec![0.0; size + 1]; size];
            self.each(&fit, |i, said, edges, shares, smear| {
                for c in 0..3 {
                    let weight = self.weights[i][c];
                    let rest = self.bins[i][c] - said[c];
                    let mut row: Vec<(usize, f64)> = Vec::with_capacity(8);
                    for &(k, height) in edges {
                        let before = (k + bands - 1) % bands;
                        // Light that begins further on is missing here.
                        let step = fit.colours[k][c] - fit.colours[before][c];
                        row.push((4 * k, -step * height));
                    }
                    // What belongs to a band stands together: equations of bands that are not
                    // neighbours have nothing in common, and are quickly solved.
                    row.extend(shares.iter().map(|&(k, share)| (4 * k + 1 + c, share)));
                    row.push((size - 1, smear[c]));
                    for &(p, a) in &row {
                        for &(q, b) in &row {
                            normal[p][q] += weight * a * b;
                        }
                        normal[p][size] += weight * a * rest;
                    }
                }
            });
            let mut better = false;
            for _ in 0..5 {
                let mut damped = normal.clone();
                for (p, row) in damped.iter_mut().enumerate() {
                    row[p] += damp * row[p] + 1e-9;
                }
                let Some(step) = solve(&mut damped) else {
                    damp *= 10.0;
                    continue;
                };
                let next = self.stepped(&fit, &step);
                if next.rest < fit.rest {
                    better = fit.rest - next.rest > 1e-6 * fit.rest;
                    fit = next;
                    damp = (damp / 5.0).max(1e-7);
                    break;
                }
                damp *= 8.0;
            }
            if !better {
                break;
            }
        }
        fit
    }

    fn stepped(&self, fit: &Fitted, step: &[f64]) -> Fitted {
        let bands = fit.edges.len();
        let mut next = fit.clone();
        for k in 0..bands {
            next.edges[k] += step[4 * k].clamp(-2.0, 2.0);
            for c in 0..3 {
                // A little below black and above white, so that noise is not cut off.
                let colour = next.colours[k][c] + step[4 * k + 1 + c];
                next.colours[k][c] = colour.clamp(-0.02, 1.1);
            }
        }
        next.smear =
            (fit.smear + step[4 * bands].clamp(-0.5, 0.5)).clamp(0.35, 0.05 * self.count() + 1.0);
        let widths = widths(&next.edges, self.count());
        let in_order = widths.iter().all(|&w| w > 0.2)
            && (widths.iter().sum::<f64>() - self.count()).abs() < 1e-6;
        next.rest = if in_order { self.rest(&next) } else { f64::MAX };
        next
    }

    /// Fits bands between borders, and takes out those that are not needed.
    pub(super) fn settle(&self, borders: &[usize]) -> Fitted {
        let mut fit = self.fit(&self.guess(borders), 12);
        let mut needed = Needed::new(self.count());
        while fit.edges.len() > 2 {
            let widths = widths(&fit.edges, self.count());
            let bands = fit.edges.len();
            let mut order: Vec<usize> = (0..bands).collect();
            order.sort_by(|&a, &b| widths[a].total_cmp(&widths[b]));
            let spread = fit.rest / (3.0 * self.count());
            let allowed = (60.0 * spread).max(0.012 * self.count()).max(3.0);
            let out = order.into_iter().find_map(|k| {
                let (before, after) = ((k + bands - 1) % bands, (k + 1) % bands);
                let colour = |k: usize| fit.colours[k].map(lightness);
                let near = apart(colour(k), colour(before)).min(apart(colour(k), colour(after)));
                let narrow = widths[k] < 5.0 * fit.smear + 1.0;
                if !(narrow || near < 6.0) {
                    return None;
                }
                // Files of photographs keep colours at half the pixels, so that a border's colours
                // are wrong for a pixel or so on either side, not only mixed.
                let ramp = widths[k] < 1.5
                    || widths[k] < 2.5 * fit.smear + 1.5
                        && between(colour(k), colour(before), colour(after));
                let goes = |more: f64| more < allowed || ramp || near < 1.2;
                if needed.more(&fit, k).is_some_and(|more| !goes(more)) {
                    return None;
                }
                let fewer = self.without(&fit, k, widths[k]);
                let more = fewer.rest - fit.rest;
                if goes(more) {
                    return Some(fewer);
                }
                needed.note(&fit, k, more);
                None
            });
            match out {
                Some(fewer) => fit = fewer,
                None => break,
            }
        }
        self.fit(&fit, 12)
    }

    /// The fit without a band: its neighbours meet in its middle, or it joins the one that it
    /// is most like, whichever is fitted better.
    fn without(&self, fit: &Fitted, k: usize, width: f64) -> Fitted {
        let bands = fit.edges.len();
        let (shifts, rounds): (&[f64], usize) = if bands > MANY {
            (&[0.5], 2)
        } else {
            (&[0.5, 0.0, 1.0], 5)
        };
        let after = (k + 1) % bands;
        let tries = shifts.iter().map(|shift| {
            let mut next = fit.clone();
            next.edges[after] = fit.edges[k] + shift * width;
            next.edges.remove(k);
            next.colours.remove(k);
            // Edges ascend from the first on; one that was moved back over the end turns round.
            let period = self.count();
            let mut order: Vec<usize> = (0..next.edges.len()).collect();
            for edge in &mut next.edges {
                *edge = edge.rem_euclid(period);
            }
            order.sort_by(|&a, &b| next.edges[a].total_cmp(&next.edges[b]));
            next.edges = order.iter().map(|&i| next.edges[i]).collect();
            next.colours = order.iter().map(|&i| next.colours[i]).collect();
            self.fit(&next, rounds)
        });
        tries
            .reduce(|best, next| if next.rest < best.rest { next } else { best })
            .unwrap_or_else(|| fit.clone())
    }
}

/// Bands that were found to be needed: by how much the rest grows without them. As long as a
/// band and its neighbours stay where they are, another fit would say the same.
struct Needed {
    period: f64,
    /// The edges from the band before to the one after, and what is lost.
    known: Vec<([f64; 4], f64)>,
}

impl Needed {
    fn new(period: f64) -> Self {
        Self {
            period,
            known: vec![],
        }
    }

    fn edges(fit: &Fitted, k: usize) -> [f64; 4] {
        let bands = fit.edges.len();
        [bands - 1, 0, 1, 2].map(|i| fit.edges[(k + i) % bands])
    }

    fn more(&self, fit: &Fitted, k: usize) -> Option<f64> {
        let edges = Self::edges(fit, k);
        let is_same = |known: &[f64; 4]| {
            let off = known.iter().zip(&edges);
            off.fold(0.0, |most: f64, (a, b)| {
                most.max(nearest(a - b, self.period).abs())
            }) < 0.5
        };
        let mut known = self.known.iter().rev();
        known
            .find(|(known, _)| is_same(known))
            .map(|&(_, more)| more)
    }

    fn note(&mut self, fit: &Fitted, k: usize, more: f64) {
        self.known.push((Self::edges(fit, k), more));
    }
}

fn lightness(light: f64) -> f64 {
    f64::from(super::raster::lightness(light as f32))
}

fn apart(a: [f64; 3], b: [f64; 3]) -> f64 {
    a.iter()
        .zip(&b)
        .map(|(a, b)| (a - b).powi(2))
        .sum::<f64>()
        .sqrt()
}

/// Whether a colour is a mixture of two others, as that of a smeared edge is.
fn between(colour: [f64; 3], a: [f64; 3], b: [f64; 3]) -> bool {
    let whole = apart(a, b);
    if whole < 1.0 {
        return false;
    }
    let along: f64 = (0..3)
        .map(|c| (colour[c] - a[c]) * (b[c] - a[c]))
        .sum::<f64>()
        / (whole * whole);
    let at = [0, 1, 2].map(|c| a[c] + along * (b[c] - a[c]));
    (0.0..=1.0).contains(&along) && apart(colour, at) < 0.25 * whole
}

/// The signed distance that is nearest to nought among `x` and its turns.
fn nearest(x: f64, period: f64) -> f64 {
    x - (x / period).round() * period
}

/// The widths of bands that begin at `edges` of a period.
pub(super) fn widths(edges: &[f64], period: f64) -> Vec<f64> {
    let next = |i: usize| match edges.get(i + 1) {
        Some(edge) => *edge,
        None => edges[0] + period,
    };
    (0..edges.len()).map(|i| next(i) - edges[i]).collect()
}

/// Solves linear equations, each row with its right side last, by elimination with pivots.
/// `None` if they do not tell all unknowns.
pub(super) fn solve(rows: &mut [Vec<f64>]) -> Option<Vec<f64>> {
    let size = rows.len();
    for i in 0..size {
        let pivot = (i..size).max_by(|&a, &b| rows[a][i].abs().total_cmp(&rows[b][i].abs()))?;
        rows.swap(i, pivot);
        let head = rows[i][i];
        if head.is_nan() || head.abs() < 1e-300 {
            return None;
        }
        let (upper, lower) = rows.split_at_mut(i + 1);
        let top = &upper[i];
        for row in lower {
            let share = row[i] / head;
            if share != 0.0 {
                for (cell, t) in row[i..].iter_mut().zip(&top[i..]) {
                    *cell -= share * t;
                }
            }
        }
    }
    let mut solved = vec![0.0; size];
    for i in (0..size).rev() {
        let known: f64 = (i + 1..size).map(|j| rows[i][j] * solved[j]).sum();
        solved[i] = (rows[i][size] - known) / rows[i][i];
    }
    solved.iter().all(|x| x.is_finite()).then_some(solved)
}
