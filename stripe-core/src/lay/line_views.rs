//! The game of phases and places: what the lines of some phases ask for together.
//!
//! Sizes of crossings are given (`line_bound`). Lines are taken together in views: the first of a
//! phase, the last, those between, every second. One side weighs the views, the other takes for each piece the place that asks
//! for the least in the mean; any weights prove a length, good ones are found by regret.
//!
//! Regrets as in S. Hart and A. Mas-Colell, "A simple adaptive procedure leading to correlated
//! equilibrium" (2000), and O. Tammelin, "Solving large imperfect information games using CFR+"
//! (2014); rounding functions of S. P. Fekete and J. Schepers, "New classes of fast lower bounds
//! for bin packing problems" (2001), all from memory.

/// Rounds of weighing, at most; every so many, the mean is looked at, and whether it is near enough to
/// what cannot be exceeded.
const WEIGHINGS: usize = 1500;
const LOOK_EVERY: usize = 24;
const NEAR_ENOUGH: f64 = 1.001;
/// What is more than a line cannot be there: it counts as so many.
const IMPOSSIBLE: f64 = 3.0;

/// What one phase's lines have to hold.
pub(super) struct Phase {
    pub(super) line: i64,
    /// The numbers of the fabric's lines.
    pub(super) first: i64,
    pub(super) last: i64,
    pub(super) end: f64,
    /// The size of each crossing, with its class and the number of its line: class by class.
    pub(super) sizes: Vec<(usize, i64, f64)>,
}

/// A class where it stands: in which repeat, as far as it matters.
pub(super) struct Place {
    pub(super) class: usize,
    pub(super) repeat: i64,
}

/// Some lines of a phase together.
pub(super) struct View {
    pub(super) line: i64,
    /// How many lines.
    pub(super) holds: f64,
    /// How much more than the layout's length a line may hold.
    pub(super) beyond: f64,
    /// What a piece asks of them at each place, by share of a line.
    pub(super) asks: Vec<f64>,
}

impl Phase {
    /// The first line, the last, all others, and every second: a piece that begins far from the
    /// selvage is on none of the first.
    ///
    /// Or all together, where places do not matter.
    pub(super) fn views(
        &self,
        places: &[Place],
        is_split: bool,
        beyond: f64,
        value: &dyn Fn(i64, f64) -> f64,
    ) -> Vec<View> {
        let (first, last) = (self.first, self.last);
        let sets: [&dyn Fn(i64) -> bool; 4] = [
            &|n| first < n && n < last,
            &|n| n == first,
            &|n| n == last && last > first,
            &|n| (n - first) % 2 == 1,
        ];
        let all: [&dyn Fn(i64) -> bool; 1] = [&|_| true];
        let sets = if is_split { &sets[..] } else { &all[..] };
        let views = sets.iter().map(|has| {
            let holds = (first..=last).filter(|&n| has(n)).count() as f64;
            let mut asks = vec![0.0; places.len()];
            for (place, asks) in places.iter().zip(&mut asks) {
                let begin = self.sizes.partition_point(|s| s.0 < place.class);
                let own = self.sizes.iter().skip(begin);
                for &(_, number, size) in own.take_while(|s| s.0 == place.class) {
                    let number = number + place.repeat;
                    if has(number) {
                        *asks += value(number, size) / holds;
                    }
                }
            }
            View {
                line: self.line,
                holds,
                beyond,
                asks,
            }
        });
        views.filter(|view| view.holds > 0.0).collect()
    }
}

/// A choice: copies, and the places that each may take.
pub(super) type Asked = (f64, Vec<usize>);

/// What weighing came to.
pub(super) struct Weighed {
    pub(super) length: f64,
    pub(super) weights: Vec<f64>,
    pub(super) work: f64,
}

/// The mean length of the views with their weights, and what each view by itself says if
/// every choice takes the place that asks for the least in the mean.
fn mean_length(views: &[View], choices: &[Asked], weights: &[f64]) -> (f64, Vec<f64>) {
    let places = views.first().map_or(0, |view| view.asks.len());
    let mut mean = vec![0.0; places];
    let mut total = 0.0;
    for (view, &weight) in views.iter().zip(weights) {
        if weight > 0.0 {
            total -= view.beyond * weight;
            for (to, from) in mean.iter_mut().zip(&view.asks) {
                *to += from * weight;
            }
        }
    }
    let mut each: Vec<f64> = views.iter().map(|view| -view.beyond).collect();
    for (copies, places) in choices {
        let places = places.iter().copied();
        let Some(taken) = places.min_by(|&a, &b| mean[a].total_cmp(&mean[b])) else {
            // It may lie nowhere at all.
            return (f64::INFINITY, each);
        };
        total += copies * mean[taken];
        for (to, view) in each.iter_mut().zip(views) {
            *to += copies * view.asks[taken];
        }
    }
    (total, each)
}

/// The greatest mean length that some weights of the views give, as near as some rounds
/// come to it, or the first beyond `enough`.
///
/// A game: one side weighs views, the other takes places. The first one's regrets, where
/// positive, are its next weights; the mean of all its weights comes near the best, and what the other
/// side's places ask for in the mean is a bound from above.
pub(super) fn weigh(views: &[View], choices: &[Asked], enough: f64) -> Weighed {
    let mut best = Weighed {
        length: 0.0,
        weights: vec![0.0; views.len()],
        work: 0.0,
    };
    if views.is_empty() {
        return best;
    }
    let all: f64 = views.iter().map(|view| view.holds).sum();
    let mut weights: Vec<f64> = views.iter().map(|view| view.holds / all).collect();
    let mut regrets = vec![0.0f64; views.len()];
    let mut mean_weights = vec![0.0; views.len()];
    let mut mean_each = vec![0.0; views.len()];
    let mut rounds = 0.0f64;
    let places: usize = choices.iter().map(|choice| choice.1.len()).sum();
    for round in 1..=WEIGHINGS {
        let (length, each) = mean_length(views, choices, &weights);
        best.work += ((places + views.len()) * views.len()).min(4 * places * views.len()) as f64;
        if length > best.length {
            best.length = length;
            best.weights.clone_from(&weights);
        }
        if best.length > enough {
            break;
        }
        let share = round as f64;
        rounds += share;
        for i in 0..views.len() {
            mean_weights[i] += share * weights[i];
            mean_each[i] += share * each[i];
            regrets[i] = (regrets[i] + each[i] - length).max(0.0);
        }
        let sum: f64 = regrets.iter().sum();
        if sum <= 0.0 {
            break;
        }
        for (weight, regret) in weights.iter_mut().zip(&regrets) {
            *weight = regret / sum;
        }
        if round % LOOK_EVERY == 0 {
            let most = mean_each.iter().copied().fold(0.0, f64::max) / rounds;
            let mean: Vec<f64> = mean_weights.iter().map(|w| w / rounds).collect();
            let (length, _) = mean_length(views, choices, &mean);
            if length > best.length {
                best.length = length;
                best.weights = mean;
            }
            if most <= best.length * NEAR_ENOUGH || most < enough && enough.is_finite() {
                break;
            }
        }
    }
    best
}

/// The rounding function of Fekete and Schepers: shares of one line that sum
/// to at most 1 keep doing so. What is more than the line cannot be there at all.
pub(super) fn rounded(share: f64, k: f64) -> f64 {
    let x = (k + 1.0) * share;
    if share > 1.0 {
        IMPOSSIBLE
    } else if (x - x.round()).abs() < 1e-9 {
        share
    } else {
        x.floor() / k
    }
}

/// Another of theirs: beside what leaves less than `small` nothing of at least that lies, and
/// what is smaller still is not counted.
pub(super) fn beside_large(share: f64, small: f64) -> f64 {
    if share > 1.0 {
        IMPOSSIBLE
    } else if share > 1.0 - small {
        1.0
    } else if share < small {
        0.0
    } else {
        share
    }
}
