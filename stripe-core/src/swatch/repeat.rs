//! The repeat, by autocorrelation of slopes and windows against the folded profile.

use super::profile::Profile;

/// How much slopes are smoothed (pixels).
const SMOOTH: f64 = 1.5;
/// The finest repeat that is looked for (pixels).
pub(super) const FINEST: f64 = 6.0;
/// The least correlation of a stripe with itself one repeat on.
const LEAST: f64 = 0.4;

/// The map from a place across the stripe to repeats: `repeats(u) = a + b x + c x^2`, where
/// `x` is the bin less `middle`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Repeat {
    pub(super) middle: f64,
    pub(super) fit: [f64; 3],
    /// The repeat in the middle of the picture (pixels) and its standard error.
    pub(super) pixels: f64,
    pub(super) error: f64,
    /// By how much of itself the repeat grows from one side to the other, with its standard error.
    pub(super) drift: f64,
    pub(super) drift_error: f64,
    /// Repeats across the picture.
    pub(super) shown: f64,
}

impl Repeat {
    /// The number of repeats up to a bin.
    pub(super) fn turns(&self, bin: f64) -> f64 {
        let x = bin - self.middle;
        self.fit[0] + x * (self.fit[1] + x * self.fit[2])
    }

    /// A repeat that is so many times shorter.
    pub(super) fn parted(&self, times: usize) -> Self {
        let times = times as f64;
        Self {
            fit: self.fit.map(|term| term * times),
            pixels: self.pixels / times,
            error: self.error / times,
            shown: self.shown * times,
            ..*self
        }
    }
}

/// What a search for the repeat found.
#[derive(Debug)]
pub(super) enum Found {
    Repeat(Repeat),
    /// Lines, but not two repeats of them; perhaps one that is seen at this distance (pixels).
    TooFew(Option<f64>),
    Nothing,
}

/// The correlation of the slopes with themselves, `lag` bins on, for every lag.
fn autocorrelation(slopes: &[[f64; 3]], good: &[bool]) -> Vec<f64> {
    let count = slopes.len();
    let square = |s: &[f64; 3]| s.iter().map(|x| x * x).sum::<f64>();
    (0..count)
        .map(|lag| {
            let (mut product, mut one, mut two, mut n) = (0.0, 0.0, 0.0, 0);
            for i in 0..count - lag {
                if good[i] && good[i + lag] {
                    let (a, b) = (&slopes[i], &slopes[i + lag]);
                    product += a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
                    one += square(a);
                    two += square(b);
                    n += 1;
                }
            }
            // The overlap's own energy divides, so that long lags count as short ones do.
            if n < 12 || one * two <= 0.0 {
                0.0
            } else {
                product / (one * two).sqrt()
            }
        })
        .collect()
}

/// A peak between lags: where, and how high.
fn peak(r: &[f64], lag: usize) -> (f64, f64) {
    let (a, b, c) = (r[lag - 1], r[lag], r[lag + 1]);
    let bend = a - 2.0 * b + c;
    if bend >= 0.0 {
        return (lag as f64, b);
    }
    let part = ((a - c) / (2.0 * bend)).clamp(-0.5, 0.5);
    (lag as f64 + part, b - (a - c) * part / 4.0)
}

/// The highest peak within `share` of a lag.
fn peak_near(r: &[f64], lag: f64, share: f64, longest: usize) -> Option<(f64, f64)> {
    let reach = (lag * share).max(2.0);
    let from = ((lag - reach).floor() as usize).max(1);
    let to = ((lag + reach).ceil() as usize).min(longest);
    (from..=to)
        .filter(|&l| l + 1 < r.len() && r[l] >= r[l - 1] && r[l] >= r[l + 1])
        .map(|l| peak(r, l))
        .fold(None, |best: Option<(f64, f64)>, next| match best {
            Some(held) if held.1 >= next.1 => Some(held),
            _ => Some(next),
        })
}

/// Finds the repeat of a profile of lightness.
pub(super) fn repeat(profile: &Profile) -> Found {
    let (slopes, good) = profile.slopes(SMOOTH);
    let shown = good.iter().filter(|&&g| g).count();
    if (shown as f64) < 2.0 * FINEST {
        return Found::Nothing;
    }
    let r = autocorrelation(&slopes, &good);
    let half = shown / 2 + 2;
    let peaks: Vec<(f64, f64)> = (FINEST as usize..half.min(r.len() - 1))
        .filter(|&l| r[l] >= LEAST && r[l] >= r[l - 1] && r[l] > r[l + 1])
        .map(|l| peak(&r, l))
        .collect();
    let best = peaks.iter().map(|p| p.1).fold(0.0, f64::max);
    let mut chosen = None;
    for &(lag, height) in peaks.iter().filter(|p| p.1 >= best - 0.25) {
        // The noise of a long lag's correlation grows as its overlap shrinks.
        let stands_out = (2..=6).any(|k| {
            let multiple = lag * f64::from(k);
            if multiple > 0.75 * shown as f64 {
                return false;
            }
            peak_near(&r, multiple, 0.02, shown).is_some_and(|(_, higher)| {
                higher - height > 0.03 && 1.0 - higher < 0.6 * (1.0 - height)
            })
        });
        let misses = (2..=3).any(|k| {
            let multiple = lag * f64::from(k);
            multiple <= 0.6 * shown as f64
                && peak_near(&r, multiple, 0.03, shown).is_none_or(|(_, h)| h < 0.6 * height)
        });
        if !stands_out && !misses {
            chosen = Some(lag);
            break;
        }
    }
    let Some(lag) = chosen else {
        let far = (half..(shown * 9 / 10).min(r.len() - 1))
            .filter(|&l| r[l] >= 0.7 && r[l] >= r[l - 1] && r[l] > r[l + 1])
            .fold(None, |best: Option<usize>, l| match best {
                Some(b) if r[b] >= r[l] => Some(b),
                _ => Some(l),
            });
        return Found::TooFew(far.map(|l| l as f64));
    };
    // Far multiples measure it more finely.
    let mut lag = lag;
    for k in 2..=(shown as f64 * 0.7 / lag) as usize {
        if let Some((at, height)) = peak_near(&r, lag * k as f64, 0.4 / k as f64, shown)
            && height > 0.6 * best
            && (at / k as f64 / lag - 1.0).abs() < 0.3 / k as f64
        {
            lag = at / k as f64;
        }
    }
    let lag = doubled(profile, &slopes, &good, lag);
    match windows(&slopes, &good, lag) {
        Some(found) => Found::Repeat(found),
        None => Found::Nothing,
    }
}

/// The repeat, or two or three of it where they are not alike: two blues that are nearly one
/// hardly show in slopes, but in the heights of what lies between them.
fn doubled(profile: &Profile, slopes: &[[f64; 3]], good: &[bool], lag: f64) -> f64 {
    let Some(found) = windows(slopes, good, lag) else {
        return lag;
    };
    const PARTS: usize = 48;
    /// Steps of lightness from one part of a repeat to the next.
    const FLAT: f64 = 3.0;
    // The mean of each part of each repeat.
    let bins = profile.means.len();
    let first = (found.turns(0.0)).floor();
    let count = (found.turns(bins as f64) - first).ceil() as usize + 1;
    let mut sums = vec![[0.0f64; 4]; count * PARTS];
    for i in (0..bins).filter(|&i| good[i]) {
        let at = (found.turns(i as f64) - first).max(0.0);
        let cell = ((at * PARTS as f64) as usize).min(count * PARTS - 1);
        for c in 0..3 {
            sums[cell][c] += profile.means[i][c];
        }
        sums[cell][3] += 1.0;
    }
    // Only where the repeat is flat: beside a border the least shift makes more of a
    // difference than any two blues.
    let level = |part: usize| {
        let mut sum = [0.0f64; 4];
        for s in (0..count).map(|n| &sums[n * PARTS + part % PARTS]) {
            for (total, s) in sum.iter_mut().zip(s) {
                *total += s;
            }
        }
        [0, 1, 2].map(|c| sum[c] / sum[3].max(1.0))
    };
    let levels: Vec<[f64; 3]> = (0..PARTS).map(level).collect();
    let near = |a: usize, b: usize| (0..3).all(|c| (levels[a][c] - levels[b][c]).abs() < FLAT);
    let flat: Vec<usize> = (0..PARTS)
        .filter(|&p| {
            [1, 2, PARTS - 2, PARTS - 1]
                .iter()
                .all(|by| near(p, (p + by) % PARTS))
        })
        .collect();
    for k in [2usize, 3] {
        if found.shown < 2.0 * k as f64 + 2.0 {
            continue;
        }
        let (mut between, mut within, mut free) = (0.0, 0.0, 0.0);
        for &part in &flat {
            // Uneven light makes neighbours differ too: each repeat is held against the mean of
            // the one before it and the one after, so that what changes steadily falls away.
            let full = |n: usize| {
                let s = &sums[n * PARTS + part];
                (s[3] > 0.0).then(|| [0, 1, 2].map(|c| s[c] / s[3]))
            };
            let odd: Vec<(usize, [f64; 3])> = (1..count.saturating_sub(1))
                .filter_map(|n| {
                    let (a, b, c) = (full(n - 1)?, full(n)?, full(n + 1)?);
                    Some((n % k, [0, 1, 2].map(|i| b[i] - (a[i] + c[i]) / 2.0)))
                })
                .collect();
            for channel in 0..3 {
                let mean_of = |class: Option<usize>| {
                    let held = odd.iter().filter(|o| class.is_none_or(|c| c == o.0));
                    let (sum, n) = held.fold((0.0, 0.0), |(s, n), o| (s + o.1[channel], n + 1.0));
                    (sum / f64::max(n, 1.0), n)
                };
                let all = mean_of(None).0;
                for class in 0..k {
                    let (mean, n) = mean_of(Some(class));
                    between += n * (mean - all).powi(2);
                    let held = odd.iter().filter(|o| o.0 == class);
                    within += held.map(|o| (o.1[channel] - mean).powi(2)).sum::<f64>();
                }
                free += odd.len() as f64 - k as f64;
            }
        }
        // In squared steps of lightness for each part and repeat.
        let parts = 3.0 * PARTS as f64;
        let seen = between / (parts * (found.shown - 2.0));
        let ratio = between
            / ((k - 1) as f64 * 3.0 * flat.len() as f64)
            / (within / f64::max(free, 1.0)).max(1e-6);
        if seen > 1.2 && ratio > 10.0 {
            return lag * k as f64;
        }
    }
    lag
}

/// Windows of one repeat, every half repeat, against the folded slopes.
fn windows(slopes: &[[f64; 3]], good: &[bool], lag: f64) -> Option<Repeat> {
    let first = good.iter().position(|&g| g)?;
    let last = good.iter().rposition(|&g| g)?;
    let middle = (first + last) as f64 / 2.0;
    let shown = (last - first) as f64;
    let mut fit = [0.0, 1.0 / lag, 0.0];
    let turns = |fit: &[f64; 3], i: f64| {
        let x = i - middle;
        fit[0] + x * (fit[1] + x * fit[2])
    };
    let cells = (lag.round() as usize).clamp(8, 2048);
    let mut out = None;
    for round in 0..4 {
        let mut sums = vec![[0.0f64; 4]; cells];
        for i in first..=last {
            if !good[i] {
                continue;
            }
            let at = turns(&fit, i as f64).rem_euclid(1.0) * cells as f64;
            let (cell, right) = (at as usize % cells, at.fract());
            for (cell, share) in [(cell, 1.0 - right), ((cell + 1) % cells, right)] {
                for c in 0..3 {
                    sums[cell][c] += share * slopes[i][c];
                }
                sums[cell][3] += share;
            }
        }
        let folded: Vec<[f64; 3]> = sums
            .iter()
            .map(|s| [0, 1, 2].map(|c| if s[3] > 0.0 { s[c] / s[3] } else { 0.0 }))
            .collect();
        let look = |phase: f64| {
            let at = phase.rem_euclid(1.0) * cells as f64;
            let (cell, right) = (at as usize % cells, at.fract());
            let next = (cell + 1) % cells;
            [0, 1, 2].map(|c| folded[cell][c] * (1.0 - right) + folded[next][c] * right)
        };
        let step = lag / 2.0;
        let reach = (lag * 0.2).clamp(2.0, 8.0) as isize;
        let mut points = vec![];
        let mut from = first as f64;
        while from + lag <= last as f64 + 1.0 {
            let (a, b) = (from as usize, (from + lag) as usize);
            let score = |by: f64| {
                let (mut product, mut one, mut two) = (0.0, 0.0, 0.0);
                for i in (a..b).filter(|&i| good[i]) {
                    let t = look(turns(&fit, i as f64 - by));
                    for c in 0..3 {
                        product += t[c] * slopes[i][c];
                        one += t[c] * t[c];
                        two += slopes[i][c] * slopes[i][c];
                    }
                }
                if one * two > 0.0 {
                    product / (one * two).sqrt()
                } else {
                    0.0
                }
            };
            let scores: Vec<f64> = (-reach..=reach).map(|by| score(by as f64)).collect();
            let best = (0..scores.len()).fold(0, |b, i| if scores[i] > scores[b] { i } else { b });
            if best > 0 && best + 1 < scores.len() && scores[best] > 0.3 {
                let (shift, _) = peak(&scores, best);
                let centre = (a + b) as f64 / 2.0;
                points.push((centre - middle, (shift - reach as f64) * fit[1]));
            }
            from += step;
        }
        if points.len() < 2 {
            return None;
        }
        // Where the pattern lies `shift` further on, fewer turns are counted up to there.
        let terms = if points.len() >= 6 { 3 } else { 2 };
        let mut normal = vec![vec![0.0; terms + 1]; terms];
        for &(x, shift) in &points {
            let x = x / shown;
            for (i, row) in normal.iter_mut().enumerate() {
                for (j, cell) in row[..terms].iter_mut().enumerate() {
                    *cell += x.powi((i + j) as i32);
                }
                row[terms] -= x.powi(i as i32) * shift;
            }
        }
        let solved = super::bands::solve(&mut normal)?;
        let scale = [1.0, 1.0 / shown, 1.0 / (shown * shown)];
        for (i, more) in solved.iter().enumerate() {
            fit[i] += more * scale[i];
        }
        let rest: f64 = points
            .iter()
            .map(|&(x, shift)| {
                let x = x / shown;
                let said: f64 = solved
                    .iter()
                    .enumerate()
                    .map(|(i, s)| s * x.powi(i as i32))
                    .sum();
                (shift + said).powi(2)
            })
            .sum();
        // Windows overlap by half: two of them know as much as one and a half.
        let free = (0.75 * points.len() as f64 - terms as f64).max(1.0);
        let sigma = (rest / points.len() as f64 * (points.len() as f64 / free)).sqrt();
        let effective = 0.75 * points.len() as f64;
        // Standard errors of slope and bend for places spread evenly over the picture.
        let slope_error = sigma * (12.0 / effective).sqrt() / shown;
        let bend_error = sigma * (180.0 / effective).sqrt() / (shown * shown);
        if round == 3 {
            // Turns to the pixel are 1/repeat: their change is the repeat's, the other way.
            out = Some(Repeat {
                middle,
                fit,
                pixels: 1.0 / fit[1],
                error: slope_error / fit[1] / fit[1],
                drift: -2.0 * fit[2] * shown / fit[1],
                drift_error: if terms == 3 {
                    2.0 * bend_error * shown / fit[1]
                } else {
                    f64::NAN
                },
                shown: shown * fit[1],
            });
        }
    }
    out.filter(|r| r.pixels.is_finite() && r.pixels > 0.0 && r.drift.abs() < 0.5)
}
