//! How many bands of each pattern: branch and bound over linear programs.

use super::patterns::Pattern;
use crate::lp::Program;

/// Programs solved before the best answer so far is taken: well under a second. Of
/// larger ones fewer, so that patterns times pieces times programs stay within `MOST_CELLS`.
const MOST_PROGRAMS: usize = 30;
const LEAST_PROGRAMS: usize = 8;
const MOST_CELLS: usize = 150_000;
/// Patterns that are tried as the first of a simple answer.
const MOST_FIRST: usize = 400;
/// A count this near to a whole number is one.
const WHOLE_TOL: f64 = 1e-5;

/// A branch: bounds on some counts.
#[derive(Debug, Clone)]
struct Branch {
    least: Vec<f64>,
    most: Vec<f64>,
    bound_mm: f64,
}

/// The bands that cover the demand in the least length.
///
/// **Method.** Depth first on the count that is farthest from whole, upwards first: a
/// band more is more often right. A branch ends when its linear program is no shorter
/// than the best answer. Answers come from rounding, bettered by leaving bands out.
/// An answer of `least_mm` is the best there can be.
pub(super) fn cover(patterns: &[Pattern], demand: &[usize], least_mm: f64) -> Vec<usize> {
    let mut best = greedy(patterns, demand);
    let mut best_mm = length(patterns, &best);
    let n = patterns.len();
    let most = demand.iter().max().copied().unwrap_or(0) as f64;
    let mut open = vec![Branch {
        least: vec![0.0; n],
        most: vec![most; n],
        bound_mm: 0.0,
    }];
    let most_programs =
        (MOST_CELLS / (n * demand.len()).max(1)).clamp(LEAST_PROGRAMS, MOST_PROGRAMS);
    let mut programs = 0;
    while let Some(branch) = open.pop() {
        if programs >= most_programs || best_mm <= least_mm + 1e-3 {
            break;
        }
        if branch.bound_mm >= best_mm - 1e-3 {
            continue;
        }
        programs += 1;
        let Some(values) = relax(patterns, demand, &branch) else {
            continue;
        };
        let bound_mm: f64 = patterns
            .iter()
            .zip(&values)
            .map(|(p, x)| p.along_mm * x)
            .sum();
        // An interior point ends a hair above the least.
        let bound_mm = bound_mm - 1e-2;
        let rounded = round(patterns, demand, &values);
        let rounded_mm = length(patterns, &rounded);
        if rounded_mm < best_mm - 1e-6 {
            best = rounded;
            best_mm = rounded_mm;
        }
        if bound_mm >= best_mm - 2e-2 {
            continue;
        }
        let apart = |x: f64| (x - x.round()).abs();
        let split = (0..n)
            .filter(|&i| apart(values[i]) > WHOLE_TOL)
            .max_by(|&a, &b| {
                apart(values[a])
                    .total_cmp(&apart(values[b]))
                    .then(b.cmp(&a))
            });
        let Some(at) = split else { continue };
        let mut down = branch.clone();
        down.most[at] = values[at].floor();
        down.bound_mm = bound_mm;
        let mut up = branch;
        up.least[at] = values[at].ceil();
        up.bound_mm = bound_mm;
        open.push(down);
        open.push(up);
    }
    simplify(patterns, demand, &mut best);
    best
}

/// Does without a pattern where another that is used anyway makes as little length of
/// it: fewer kinds of strips are fewer mistakes, and equal pieces lie one way.
fn simplify(patterns: &[Pattern], demand: &[usize], times: &mut Vec<usize>) {
    let used: Vec<usize> = (0..times.len()).filter(|&i| times[i] > 0).collect();
    for &away in &used {
        for &instead in &used {
            if away == instead || times[away] == 0 || times[instead] == 0 {
                continue;
            }
            let mut trial = times.clone();
            trial[away] = 0;
            let allowed = length(patterns, times) + 1e-6;
            while !covers(patterns, demand, &trial) && length(patterns, &trial) <= allowed {
                trial[instead] += 1;
            }
            if covers(patterns, demand, &trial) && length(patterns, &trial) <= allowed {
                *times = trial;
            }
        }
    }
}

fn relax(patterns: &[Pattern], demand: &[usize], branch: &Branch) -> Option<Vec<f64>> {
    let mut program = Program::new();
    for (i, band) in patterns.iter().enumerate() {
        if branch.least[i] > branch.most[i] {
            return None;
        }
        program.column(band.along_mm, branch.least[i], branch.most[i]);
    }
    for (piece, &wanted) in demand.iter().enumerate() {
        let terms = patterns
            .iter()
            .enumerate()
            .map(|(i, band)| (i, made(band, piece) as f64))
            .filter(|&(_, made)| made > 0.0)
            .collect();
        program.row(terms, wanted as f64);
    }
    program.minimise().ok().map(|solution| solution.values)
}

fn made(band: &Pattern, piece: usize) -> usize {
    band.stacks
        .iter()
        .filter(|c| c.piece == piece)
        .map(|c| c.beside * c.stacked)
        .sum()
}

fn length(patterns: &[Pattern], times: &[usize]) -> f64 {
    patterns
        .iter()
        .zip(times)
        .map(|(p, &n)| p.along_mm * n as f64)
        .sum()
}

/// Rounds down, covers what is missing greedily, then leaves out what is too much; once
/// so, and once with each pattern that the program uses in part rounded up.
fn round(patterns: &[Pattern], demand: &[usize], values: &[f64]) -> Vec<usize> {
    let down: Vec<usize> = values
        .iter()
        .map(|x| (x + WHOLE_TOL).floor().max(0.0) as usize)
        .collect();
    let in_part: Vec<usize> = (0..values.len())
        .filter(|&i| values[i] - down[i] as f64 > WHOLE_TOL)
        .collect();
    let mut best = down.clone();
    complete(patterns, demand, &mut best);
    for (k, &i) in in_part.iter().enumerate() {
        for &j in std::iter::once(&i).chain(&in_part[k + 1..]) {
            let mut times = down.clone();
            times[i] += 1;
            times[j] += usize::from(j != i);
            complete(patterns, demand, &mut times);
            if length(patterns, &times) < length(patterns, &best) - 1e-6 {
                best = times;
            }
        }
    }
    best
}

/// The best of many simple answers: each pattern once as the first, as often as all of
/// it is wanted, and the rest as it comes.
fn greedy(patterns: &[Pattern], demand: &[usize]) -> Vec<usize> {
    let mut best = vec![0; patterns.len()];
    complete(patterns, demand, &mut best);
    let every = patterns.len().div_ceil(MOST_FIRST).max(1);
    for (first, band) in patterns.iter().enumerate().step_by(every) {
        let wanted = band.stacks.iter().map(|c| {
            let made = made(band, c.piece);
            demand[c.piece] / made.max(1)
        });
        let mut times = vec![0; patterns.len()];
        times[first] = wanted.min().unwrap_or(0).max(1);
        complete(patterns, demand, &mut times);
        if length(patterns, &times) < length(patterns, &best) - 1e-6 {
            best = times;
        }
    }
    best
}

/// Adds the band that covers most area for its length until nothing is missing, the
/// longest pieces first; then drops bands that are not needed.
fn complete(patterns: &[Pattern], demand: &[usize], times: &mut [usize]) {
    let mut left: Vec<usize> = demand.to_vec();
    for (band, &n) in patterns.iter().zip(times.iter()) {
        for column in &band.stacks {
            let made = column.beside * column.stacked * n;
            left[column.piece] = left[column.piece].saturating_sub(made);
        }
    }
    while left.iter().any(|&n| n > 0) {
        // Of equals the first.
        let mut best: Option<(usize, f64)> = None;
        for (i, band) in patterns.iter().enumerate() {
            let worth = area_wanted(band, &left) / band.along_mm;
            if worth > best.map_or(0.0, |b| b.1) {
                best = Some((i, worth));
            }
        }
        let best = best.map(|b| b.0);
        let Some(best) = best else { break };
        times[best] += 1;
        for column in &patterns[best].stacks {
            let made = column.beside * column.stacked;
            left[column.piece] = left[column.piece].saturating_sub(made);
        }
    }
    for i in 0..patterns.len() {
        while times[i] > 0 {
            times[i] -= 1;
            if !covers(patterns, demand, times) {
                times[i] += 1;
                break;
            }
        }
    }
}

/// The area of those pieces of a band that are still wanted (mm²).
fn area_wanted(band: &Pattern, left: &[usize]) -> f64 {
    let mut area = 0.0;
    for (k, column) in band.stacks.iter().enumerate() {
        // A piece may stand in two columns, once lengthwise and once crosswise.
        let before = band.stacks[..k].iter().filter(|c| c.piece == column.piece);
        let taken: usize = before.map(|c| c.beside * c.stacked).sum();
        let open = left[column.piece].saturating_sub(taken);
        let n = open.min(column.beside * column.stacked);
        area += n as f64 * column.across_mm * column.along_mm;
    }
    area
}

fn covers(patterns: &[Pattern], demand: &[usize], times: &[usize]) -> bool {
    demand.iter().enumerate().all(|(piece, &wanted)| {
        let have: usize = patterns
            .iter()
            .zip(times)
            .filter(|&(_, &n)| n > 0)
            .map(|(band, &n)| n * made(band, piece))
            .sum();
        have >= wanted
    })
}
