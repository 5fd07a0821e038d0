//! No layout is shorter than what the lines along the stripes have to hold: chords of
//! pieces, and the gaps that no piece can fill.
//!
//! **Sizes.** A line of the fabric crosses pieces one after the other. Give each crossing `c`
//! something above it, `u(c)`, and something below it, `v(c)`, so that `u(c) + v(d)` is nowhere more
//! than the least gap from `c` to `d` as the next (`line_gaps`). The sum of all chords with
//! what is above and below them is then no more than the line is long, but at its
//! two ends: there `u(c)` may be more by some `end` than the piece itself reaches beyond its chord. So with sizes
//! `s(c) = chord + u(c) + v(c)` every line of a layout `L` long keeps
//! `sum of s(c) <= L + 2 margin + 2 end`. (Of all orders on a line this relaxes the best one to an
//! assignment of successors; `u` and `v` are a solution of its dual, found by raising them in turn.)
//!
//! **Lengths.** A phase has so many lines, every piece crosses some of them, and chooses the pose
//! that crosses with the least: that is the phase bound, with sizes for chords. A weighted mean of
//! phases, to which a piece has but one pose, says more (`line_views`).
//!
//! **Rounding.** Few pieces follow one another along a short layout. A function of shares of a
//! line that keeps sums of at most 1 at most 1 may count a size as more than it is
//! (`rounded`, `beside_large`): a length at which the pieces then ask for more lines than
//! there are is too short.
//!
//! **Offsets.** Free offsets are told apart in bins. The least of what is proven for all choices of bins is
//! proven; the choice that it is proven for is looked at more closely, in halves of its bins, as long as
//! there is work left.
//!
//! Own derivation, but for the functions: G. S. Lueker, "Bin packing with items uniformly
//! distributed over intervals" (1983), S. P. Fekete and J. Schepers, "New classes of fast lower
//! bounds for bin packing problems" (2001), from memory.

use super::data::{Item, Job, Lock};
use super::line_gaps::{Crossing, LINES, LineGaps};
use super::line_supply::Supply;
use super::line_views::{Asked, Phase, Place, View, Weighed, beside_large, rounded, weigh};
use super::outline::{MEET, Outline};

/// Steps of reckoning that all of it may take.
const WORK: f64 = 3e8;
/// How wide the bins are from which a search may begin (lines).
const FIRST_BINS: [i64; 2] = [8, 16];
/// The most groups whose offsets are told apart from where the fabric begins.
const MOST_FREE: usize = 1;
/// With more groups to go through the work ends before anything is proven.
const MOST_GROUPS: usize = 2;
/// The most poses, and the most repeats that one may be wide: tables would not be small.
const MOST_POSES: usize = 96;
const MOST_REPEATS: f64 = 16.0;
/// One line in so many is looked at where nothing is known yet.
const EVERY: usize = 4;
/// So many lines, those with the most weight, are looked at in a part of a bin.
const SUPPORT: usize = 8;
/// Rounds in which `u` and `v` are raised, the first of them by a share of what is possible.
const ROUNDS: usize = 12;
const WHOLE_ROUNDS: usize = 4;
const SHARE: f64 = 0.3;
/// Shares of the tallest piece that are tried as `end`.
const ENDS: [f64; 3] = [0.0, 0.04, 0.1];
/// So many repeats from either selvage a piece's places are told apart.
const NEAR: i64 = 2;
/// Rounding is tried on layouts so many times as long as the tallest piece at most.
const SHORT: f64 = 5.0;
/// The most that `rounded` rounds to, and what `beside_large` takes for small.
const MOST_ROUNDED: u32 = 5;
const SMALL: [f64; 5] = [0.2, 0.3, 0.35, 0.42, 0.5];
/// Lengths that are tried lie so near to each other, and with bins the next is no further than this.
const NEXT_LENGTH: f64 = 1.004;
const FURTHER: f64 = 1.03;

/// How closely a choice of bins was looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stage {
    /// All lines of a phase together.
    Begun,
    /// Some phases, the lines near the selvages apart from the others.
    Split,
    /// That, on more phases.
    Wide,
    /// That, and sizes rounded.
    Rounded,
}

/// What is proven while each group's offset lies in a bin.
struct Proof {
    /// The length (units).
    length: f64,
    /// The lines that prove it.
    support: Vec<i64>,
    /// Where each group's bin begins, and which of the searches' widths it has.
    bins: Vec<i64>,
    level: usize,
    stage: Stage,
}

/// The greatest length (units) that this proves too short, if it is more than `known`; at most `longest`, the
/// length of a layout.
pub(super) fn line_bound(
    outlines: &[Outline],
    job: &Job,
    supply: &Supply,
    known: f64,
    longest: f64,
) -> Option<f64> {
    if supply.ny != 0.0 || job.deviate_mm > 0.0 || job.lock == Lock::Plane {
        return None;
    }
    let widest = outlines.iter().map(|o| o.across().hi - o.across().lo);
    if job.kinds.iter().map(|kind| kind.poses.len()).sum::<usize>() > MOST_POSES
        || widest.fold(0.0, f64::max) > MOST_REPEATS * supply.repeat
    {
        return None;
    }
    // Where all have an offset, positions may be counted from the first group's, which saves
    // going through its bins; where the fabric begins is not known then. What is turned moves the
    // other way with its offset: no difference of offsets says where it stands.
    let is_turned = |item: &Item| job.kinds[item.kind].poses.iter().any(|p| p.sign < 0.0);
    let is_framed = job.groups > MOST_FREE
        && job.items.iter().all(|item| item.group.is_some())
        && !job.items.iter().any(is_turned);
    let frame = is_framed.then_some(0);
    let free: Vec<usize> = (usize::from(is_framed)..job.groups).collect();
    if free.len() > MOST_GROUPS {
        return None;
    }
    let gaps = |wide: i64| LineGaps::new(outlines, job, supply.repeat, wide, frame);
    let mut search = Search {
        levels: Vec::new(),
        supply: *supply,
        is_framed,
        // What touches may overlap by a hair, piece after piece.
        hair: 2.0 * MEET * job.items.len() as f64,
        tallest: outlines
            .iter()
            .map(|o| o.along.hi - o.along.lo)
            .fold(0.0, f64::max),
        left: WORK,
    };
    let wide = FIRST_BINS.into_iter().find(|&wide| {
        let level = gaps(wide);
        let crossings = level.crossings(0, &vec![0; job.groups]).len();
        search.levels = vec![level];
        let bins = ((LINES / wide) as f64).powi(free.len() as i32);
        bins * (LINES as usize / EVERY) as f64 * Search::cost(crossings) <= WORK / 4.0
    })?;
    let mut narrow = wide / 2;
    while narrow > 0 && !free.is_empty() {
        search.levels.push(gaps(narrow));
        narrow /= 2;
    }
    let mut proofs = Vec::new();
    let mut bins = vec![0; job.groups];
    search.begin(&free, wide, &mut bins, &mut proofs);
    loop {
        // The first of the least: it is looked at again, more closely.
        let least = proofs.iter().enumerate();
        let (at, least) = least.min_by(|a, b| a.1.length.total_cmp(&b.1.length))?;
        let length = least.length.min(longest);
        let is_last = least.stage == Stage::Rounded && least.level + 1 >= search.levels.len();
        if search.left <= 0.0 || is_last || length >= longest {
            return (length > known).then_some(length);
        }
        let proof = proofs.swap_remove(at);
        match proof.stage {
            Stage::Begun => {
                let closer = search.look(proof.level, &proof.bins, &proof.support, true);
                proofs.push(closer.or(&proof));
            }
            Stage::Split => {
                let every = (0..LINES).step_by(EVERY);
                let mut lines: Vec<i64> = every.chain(proof.support.iter().copied()).collect();
                lines.sort_unstable();
                lines.dedup();
                let mut closer = search
                    .look(proof.level, &proof.bins, &lines, true)
                    .or(&proof);
                closer.stage = Stage::Wide;
                proofs.push(closer);
            }
            Stage::Wide => proofs.push(search.round(proof, longest)),
            Stage::Rounded => search.split(&free, &proof, &mut proofs),
        }
    }
}

impl Proof {
    /// With what was proven before.
    fn or(mut self, before: &Self) -> Self {
        self.length = self.length.max(before.length);
        self
    }
}

struct Search<'a> {
    /// With wide bins first.
    levels: Vec<LineGaps<'a>>,
    supply: Supply,
    is_framed: bool,
    hair: f64,
    tallest: f64,
    left: f64,
}

impl Search<'_> {
    /// What it costs to look at a line.
    fn cost(crossings: usize) -> f64 {
        (crossings * crossings * ENDS.len() * ROUNDS) as f64
    }

    /// Looks at all bins of the groups left.
    fn begin(&mut self, free: &[usize], wide: i64, bins: &mut Vec<i64>, proofs: &mut Vec<Proof>) {
        let Some((&group, rest)) = free.split_first() else {
            let lines: Vec<i64> = (0..LINES).step_by(EVERY).collect();
            proofs.push(self.look(0, bins, &lines, false));
            return;
        };
        for bin in (0..LINES).step_by(wide as usize) {
            bins[group] = bin;
            self.begin(rest, wide, bins, proofs);
        }
    }

    /// Looks at the halves of every bin.
    fn split(&mut self, free: &[usize], proof: &Proof, proofs: &mut Vec<Proof>) {
        let level = proof.level + 1;
        let wide = self.levels[level].wide();
        let spread = if level == 1 { EVERY as i64 / 2 } else { 1 };
        let near = |line: &i64| [line - spread, *line, line + spread].map(|l| l.rem_euclid(LINES));
        let near: Vec<i64> = proof.support.iter().flat_map(near).collect();
        let every = (0..LINES).skip(level % EVERY).step_by(EVERY);
        let mut lines: Vec<i64> = near.iter().copied().chain(every).collect();
        lines.sort_unstable();
        lines.dedup();
        for half in 0..1usize << free.len() {
            let mut bins = proof.bins.clone();
            for (i, &group) in free.iter().enumerate() {
                if half >> i & 1 == 1 {
                    bins[group] += wide;
                }
            }
            let mut part = self.look(level, &bins, &lines, false).or(proof);
            // What said most of the whole, the lines of which are apart, may say it of a part.
            let before = proof.support.iter().copied();
            let before: Vec<i64> = before.filter(|line| !part.support.contains(line)).collect();
            part.support.extend(before.into_iter().take(SUPPORT));
            proofs.push(part);
        }
    }

    fn look(&mut self, level: usize, bins: &[i64], lines: &[i64], is_split: bool) -> Proof {
        let is_split = is_split && !self.is_framed;
        let phases = self.phases(level, bins, lines);
        let (places, choices) = self.places(level, bins, is_split);
        let views = self.views(&phases, &places, is_split, &|_, _, size| size);
        let Weighed {
            length,
            weights,
            work,
        } = weigh(&views, &choices, f64::INFINITY);
        self.left -= work;
        let mut order: Vec<usize> = (0..views.len()).collect();
        order.sort_by(|&a, &b| weights[b].total_cmp(&weights[a]));
        let mut support: Vec<i64> = Vec::new();
        for line in order.into_iter().map(|i| views[i].line) {
            if support.len() < SUPPORT && !support.contains(&line) {
                support.push(line);
            }
        }
        Proof {
            length,
            support,
            bins: bins.to_vec(),
            level,
            stage: if is_split || self.is_framed {
                Stage::Split
            } else {
                Stage::Begun
            },
        }
    }

    fn phases(&mut self, level: usize, bins: &[i64], lines: &[i64]) -> Vec<Phase> {
        let lines = lines.iter();
        lines
            .filter_map(|&line| self.phase(level, line, bins))
            .collect()
    }

    /// Tries rounding: on all lines where there are no bins.
    fn round(&mut self, mut proof: Proof, longest: f64) -> Proof {
        proof.stage = Stage::Rounded;
        if longest > SHORT * self.tallest || !longest.is_finite() {
            return proof;
        }
        let is_alone = self.levels.len() == 1;
        let lines: Vec<i64> = if is_alone {
            (0..LINES).step_by(2).collect()
        } else {
            proof.support.clone()
        };
        let phases = self.phases(proof.level, &proof.bins, &lines);
        let (places, choices) = self.places(proof.level, &proof.bins, !self.is_framed);
        // Where nothing is proven yet, from a length that lets itself be multiplied.
        let mut length = proof.length.max(self.tallest / 2.0);
        while length < longest && self.left > 0.0 {
            length *= NEXT_LENGTH;
            let (work, is) = self.is_too_short(&phases, &places, &choices, length.min(longest));
            self.left -= work;
            if is {
                proof.length = length.min(longest);
            } else if !is_alone && length > FURTHER * proof.length {
                break;
            }
        }
        proof
    }

    /// The sizes on a line: with the `end` that says most.
    fn phase(&mut self, level: usize, line: i64, bins: &[i64]) -> Option<Phase> {
        let step = self.supply.repeat / LINES as f64;
        let at = line as f64 * step;
        let (first, last) = if self.is_framed {
            let across = self.supply.width + 2.0 * self.supply.margin + 4.0;
            (0, (across / self.supply.repeat).floor() as i64)
        } else {
            let (first, last) = self.supply.numbers(at);
            (first as i64, last as i64)
        };
        let gaps = &mut self.levels[level];
        let crossings = gaps.crossings(line, bins);
        if crossings.is_empty() || last < first {
            return None;
        }
        self.left -= Self::cost(crossings.len());
        let gaps = gaps.gaps(&crossings);
        let phases = ENDS.into_iter().map(|share| {
            let end = share * self.tallest;
            let sizes = sizes(&crossings, &gaps, end);
            Phase {
                line,
                first,
                last,
                end,
                sizes,
            }
        });
        phases.max_by(|a, b| self.length(level, a).total_cmp(&self.length(level, b)))
    }

    /// The length that a phase by itself asks for.
    fn length(&self, level: usize, phase: &Phase) -> f64 {
        let mut demand = vec![0.0; self.levels[level].classes()];
        for &(class, _, size) in &phase.sizes {
            demand[class] += size;
        }
        let demand = self.levels[level].choices.iter().map(|choice| {
            let least = choice.classes.iter().map(|&class| demand[class]);
            choice.copies * least.fold(f64::INFINITY, f64::min)
        });
        demand.sum::<f64>() / (phase.last - phase.first + 1) as f64 - self.beyond(phase)
    }

    /// How much longer than the layout its lines may be filled.
    fn beyond(&self, phase: &Phase) -> f64 {
        2.0 * (self.supply.margin + phase.end) + self.hair
    }

    /// Where pieces may stand: near either selvage, or away from both on an even or an odd
    /// line; and the places that each choice has.
    fn places(&self, level: usize, bins: &[i64], is_split: bool) -> (Vec<Place>, Vec<Asked>) {
        let gaps = &self.levels[level];
        let mut places = Vec::new();
        let mut of_class = Vec::new();
        for class in 0..gaps.classes() {
            let begin = places.len();
            let (first, last) = if is_split {
                gaps.repeats(class, bins, self.supply.across())
            } else {
                (0, 0)
            };
            let all = first..=last;
            let repeats = all.filter(|&repeat| repeat < first + NEAR + 2 || repeat > last - NEAR);
            places.extend(repeats.map(|repeat| Place { class, repeat }));
            of_class.push(begin..places.len());
        }
        let choices = gaps.choices.iter().map(|choice| {
            let places = choice.classes.iter();
            let places = places.flat_map(|&class| of_class[class].clone());
            (choice.copies, places.collect())
        });
        let choices = choices.collect();
        (places, choices)
    }

    fn views(
        &self,
        phases: &[Phase],
        places: &[Place],
        is_split: bool,
        value: &dyn Fn(&Phase, i64, f64) -> f64,
    ) -> Vec<View> {
        let phases = phases.iter();
        phases
            .flat_map(|p| {
                let value = |number: i64, size: f64| value(p, number, size);
                p.views(places, is_split, self.beyond(p), &value)
            })
            .collect()
    }

    /// Of the lattice's positions the first and the last that a line of this length has need not be at
    /// its ends: so much of it (units) is lost at least, on every second line and on the others.
    fn lost(&self, phase: &Phase, length: f64) -> [f64; 2] {
        let (margin, upward) = (self.supply.margin, self.supply.nx > 0.0);
        let ends = if upward {
            (-margin, length + margin)
        } else {
            (-length - margin, margin)
        };
        let mut lost = [f64::INFINITY; 2];
        for number in phase.first..=phase.last {
            let mut least = [f64::INFINITY; 2];
            for &(class, own, _) in &phase.sizes {
                let beyond = self.levels[0].beyond_ends(class, number - own, ends);
                for (least, beyond) in least.iter_mut().zip(beyond) {
                    *least = least.min(beyond);
                }
            }
            let odd = ((number - phase.first) % 2) as usize;
            lost[odd] = lost[odd].min(least[0] + least[1]);
        }
        lost.map(|lost| if lost.is_finite() { lost } else { 0.0 })
    }

    /// Whether some rounding asks for more lines than there are at a length; and what it cost.
    fn is_too_short(
        &self,
        phases: &[Phase],
        places: &[Place],
        choices: &[Asked],
        length: f64,
    ) -> (f64, bool) {
        // On a lattice, where every piece's offset is known, lines have positions of their own.
        let is_split = !self.is_framed;
        let lost: Vec<[f64; 2]> = phases
            .iter()
            .map(|phase| {
                if self.levels.len() == 1 && is_split {
                    self.lost(phase, length)
                } else {
                    [0.0; 2]
                }
            })
            .collect();
        let enough = 1.0 + 1e-9;
        let mut work = 0.0;
        let mut fails = |round: &dyn Fn(f64) -> f64| {
            let mut views = Vec::new();
            for (phase, lost) in phases.iter().zip(&lost) {
                let holds = lost.map(|lost| length + self.beyond(phase) - lost);
                let value = |number: i64, size: f64| {
                    let odd = (number - phase.first).rem_euclid(2) as usize;
                    round(size / holds[odd].max(1.0))
                };
                views.extend(phase.views(places, is_split, 0.0, &value));
            }
            let weighed = weigh(&views, choices, enough);
            work += weighed.work;
            weighed.length > enough
        };
        let is = (1..=MOST_ROUNDED).any(|k| fails(&|share| rounded(share, f64::from(k))))
            || SMALL
                .into_iter()
                .any(|small| fails(&|share| beside_large(share, small)));
        (work, is)
    }
}

/// Chords with what is above and below each.
fn sizes(crossings: &[Crossing], gaps: &[f64], end: f64) -> Vec<(usize, i64, f64)> {
    let count = crossings.len();
    let mut above = vec![0.0f64; count];
    let mut below = vec![0.0f64; count];
    for round in 0..ROUNDS {
        let share = if round + WHOLE_ROUNDS < ROUNDS {
            SHARE
        } else {
            1.0
        };
        for (i, row) in gaps.chunks_exact(count).enumerate() {
            let free = row.iter().zip(&below).map(|(gap, v)| gap - v);
            let most = free.fold(crossings[i].above + end, f64::min);
            above[i] += share * (most - above[i]).max(0.0);
        }
        let mut most: Vec<f64> = crossings.iter().map(|c| c.below + end).collect();
        for (row, u) in gaps.chunks_exact(count).zip(&above) {
            for (most, gap) in most.iter_mut().zip(row) {
                *most = most.min(gap - u);
            }
        }
        for (v, most) in below.iter_mut().zip(most) {
            *v += share * (most - *v).max(0.0);
        }
    }
    crossings
        .iter()
        .zip(above.iter().zip(&below))
        .map(|(crossing, (u, v))| (crossing.class, crossing.repeat, crossing.covered() + u + v))
        .collect()
}
