//! The folded repeat cut into bands: optimal piecewise constant segmentation.

/// The steps of lightness (squared, times bins) that a border must save: two steps over some
/// bins. Smeared borders come out as narrow bands too; fitting them (`bands`) shows which are.
const STEPS: f64 = 4.0;

/// Where bands begin, ascending, of a repeat in steps of lightness. Empty for one colour.
///
/// The least sum of squares about the means of bands plus a charge for each band, by a
/// dynamic programme from within the flattest stretch, so that no band is cut by the ends.
///
/// # Source
/// Jackson et al., "An algorithm for optimal partitioning of data on an interval", 2005.
pub(super) fn borders(lightness: &[[f64; 3]]) -> Vec<usize> {
    let count = lightness.len();
    let start = flattest(lightness);
    // Sums from the start: of each colour, and of all squares.
    let mut sums = vec![[0.0f64; 4]; count + 1];
    for i in 0..count {
        let p = &lightness[(start + i) % count];
        let before = sums[i];
        sums[i + 1] = [
            before[0] + p[0],
            before[1] + p[1],
            before[2] + p[2],
            before[3] + p[0] * p[0] + p[1] * p[1] + p[2] * p[2],
        ];
    }
    let cost = |a: usize, b: usize| {
        let n = (b - a) as f64;
        let mean: f64 = (0..3)
            .map(|c| (sums[b][c] - sums[a][c]).powi(2))
            .sum::<f64>()
            / n;
        (sums[b][3] - sums[a][3] - mean).max(0.0)
    };
    let charge = STEPS * (count as f64 * 0.006).max(2.0);
    let mut least = vec![f64::MAX; count + 1];
    let mut from = vec![0usize; count + 1];
    least[0] = 0.0;
    for end in 1..=count {
        for begin in 0..end {
            let total = least[begin] + cost(begin, end) + charge;
            if total < least[end] {
                least[end] = total;
                from[end] = begin;
            }
        }
    }
    let mut found = vec![];
    let mut at = count;
    while at > 0 {
        at = from[at];
        if at > 0 {
            found.push((start + at) % count);
        }
    }
    // The first and the last piece are one band, since the start lies within one.
    found.sort_unstable();
    if found.len() < 2 { vec![] } else { found }
}

/// The middle of the stretch with the least slope in it.
fn flattest(lightness: &[[f64; 3]]) -> usize {
    let count = lightness.len();
    let window = (count / 24).max(3);
    let slope = |i: usize| -> f64 {
        let (a, b) = (&lightness[i % count], &lightness[(i + 1) % count]);
        a.iter().zip(b).map(|(a, b)| (a - b).powi(2)).sum()
    };
    let mut best = (f64::MAX, 0);
    for begin in 0..count {
        let steep: f64 = (begin..begin + window).map(slope).sum();
        if steep < best.0 {
            best = (steep, begin + window / 2);
        }
    }
    best.1 % count
}
