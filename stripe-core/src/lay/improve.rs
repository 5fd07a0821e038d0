//! The search in streams: side by side, each from its own seed, with what is
//! found exchanged between rounds.

use super::compaction::drop_down;
use super::effort::{Control, Effort, Progress};
use super::first::length_of;
use super::guided_search::{GuidedSearch, Infeasible, is_valid};
use super::instance::Instance;
use super::outline::UNITS_PER_MM;
use super::starts::{Found, Start, beams};
use rayon::prelude::*;

/// This near (units) to the bound there is nothing left to find.
const AT_BOUND: f64 = 100.0;

/// The smallest share by which a layout is tried to be shortened, on long fabric this part of
/// the tallest piece.
const LEAST_SHARE: f64 = 5e-4;
const LEAST_PART: f64 = 1.0 / 64.0;

/// After so many failures at the smallest share a layout comes no further.
const FAILURES: usize = 2;

/// Where the overlaps left are less deep in all than the step is long, this part of it is given back.
const BACK: f64 = 0.3;

/// How a layout is shortened.
struct Manner {
    /// After a failure the next step is this part of the last.
    smaller: f64,
    /// Attempts at one length before a smaller step is tried.
    attempts: usize,
    /// So many of them take a strip out of the layout; the others shake an infeasible one.
    fresh: usize,
    /// Infeasible layouts of one length that are known, the best ones.
    known: usize,
    /// A search without an end exchanges so many times more rarely, for its attempts are to find
    /// room in a round.
    rarely: u64,
}

/// On lines there are few places: it is worth trying longer for a larger step.
const ON_LINES: Manner = Manner {
    smaller: 0.6,
    attempts: 3,
    fresh: 2,
    known: 1,
    rarely: 1,
};

/// On plain fabric a layout has many neighbours.
const IN_THE_PLANE: Manner = Manner {
    smaller: 0.4,
    attempts: 10,
    fresh: 1,
    known: 8,
    rarely: 3,
};

impl Manner {
    fn of(instance: &Instance) -> &'static Self {
        if instance.is_plane() {
            &IN_THE_PLANE
        } else {
            &ON_LINES
        }
    }
}

/// New layouts are begun on the instances of so many of the shortest.
const INSTANCES: usize = 6;

/// What beams may cost a stream that begins anew: this part of a round.
const ANEW: u64 = 4;

/// The best layout found from the given ones, best first, and the moves made. What share of the
/// effort is spent `before` (0 to 1) is told with the progress.
pub(crate) fn search(
    starts: &[Start],
    layouts: &[Found],
    effort: &Effort,
    control: &Control,
    bound: f64,
    before: f64,
) -> (Found, u64) {
    let streams = effort.streams.max(1);
    let mut pool: Vec<Found> = (0..streams)
        .map(|s| layouts[s % layouts.len()].clone())
        .collect();
    let instances: Vec<usize> = layouts
        .iter()
        .take(INSTANCES)
        .map(|lay| lay.instance)
        .collect();
    let mut best = layouts[0].clone();
    let mut moves = 0;
    if best.placements.len() < 2 {
        return (best, moves);
    }
    let mut effort = *effort;
    if effort.is_endless() {
        let manner = Manner::of(&starts[best.instance].instance);
        effort.work = effort.work.saturating_mul(manner.rarely);
    }
    let effort = &effort;
    for round in 0..effort.rounds {
        if control.is_stopped() || best.length <= bound + AT_BOUND {
            break;
        }
        let results: Vec<Round> = pool
            .par_iter()
            .enumerate()
            .map(|(stream, from)| {
                Stream {
                    starts,
                    instances: &instances,
                    effort,
                    control,
                    bound,
                    round,
                    stream,
                }
                .go_on(from, &best)
            })
            .collect();
        // The winner does not depend on who was ready first.
        for (from, result) in pool.iter_mut().zip(results) {
            moves += result.moves;
            *from = result.last;
            if result.top.length < best.length {
                best = result.top;
            }
        }
        if let Some(progress) = control.progress {
            let share = (round + 1) as f64 / effort.rounds as f64;
            progress(Progress {
                what: "",
                share: before + (1.0 - before) * share,
                length_mm: best.length / UNITS_PER_MM,
                moves,
            });
        }
    }
    (best, moves)
}

/// One stream in one round.
#[derive(Clone, Copy)]
struct Stream<'a> {
    starts: &'a [Start],
    /// The instances of the shortest layouts to begin with.
    instances: &'a [usize],
    effort: &'a Effort,
    control: &'a Control<'a>,
    bound: f64,
    round: usize,
    stream: usize,
}

/// What a stream found in a round.
struct Round {
    top: Found,
    /// Where it goes on.
    last: Found,
    moves: u64,
}

/// How far a layout was shortened.
struct Descent {
    found: Found,
    /// Whether it comes no further.
    is_exhausted: bool,
    work: u64,
    moves: u64,
}

impl Stream<'_> {
    /// Shortens a layout as often as the round's work allows; what comes no further
    /// begins anew, by turns from the best layout and from new ones.
    fn go_on(&self, from: &Found, best: &Found) -> Round {
        let mut round = Round {
            top: from.clone(),
            last: from.clone(),
            moves: 0,
        };
        let mut spent = 0;
        for turn in 0.. {
            if spent >= self.effort.work || self.control.is_stopped() {
                break;
            }
            let descent = self.descend(&round.last, self.effort.work - spent, self.seed(turn));
            spent += descent.work.max(1);
            round.moves += descent.moves;
            round.last = descent.found;
            if round.last.length < round.top.length {
                round.top = round.last.clone();
            }
            if round.top.length <= self.bound + AT_BOUND {
                break;
            }
            if descent.is_exhausted {
                let known =
                    std::cmp::min_by(&round.top, best, |a, b| a.length.total_cmp(&b.length));
                let known = known.clone().untried(&self.starts[known.instance].instance);
                round.last = if (self.round as u64 + self.stream as u64 + turn).is_multiple_of(2) {
                    spent += self.effort.work / ANEW;
                    self.begin_anew(&known, self.seed(turn)).unwrap_or(known)
                } else {
                    known
                };
            }
        }
        round
    }

    fn seed(&self, turn: u64) -> u64 {
        let number = (self.round * 1024 + self.stream) as u64;
        self.effort
            .seed
            .wrapping_mul(0x9e37_79b9_7f4a_7c15)
            .wrapping_add(number)
            .wrapping_add(turn << 32)
    }

    /// The best of some new layouts on one of the instances: there `best` is built anew in part,
    /// if it lies on it.
    fn begin_anew(&self, best: &Found, seed: u64) -> Option<Found> {
        let instance = self.instances[(seed % self.instances.len() as u64) as usize];
        let start = &self.starts[instance];
        let known = (best.instance == instance).then_some(best);
        beams(
            start,
            known,
            self.effort.work / ANEW,
            seed.wrapping_add(1),
            self.control,
        )
        .into_iter()
        .map(|placements| Found::new(instance, &start.instance, placements, start.offsets.clone()))
        .min_by(|a, b| a.length.total_cmp(&b.length))
    }

    /// Shortens a layout as often as it can within its work.
    fn descend(&self, from: &Found, work: u64, seed: u64) -> Descent {
        let instance = &self.starts[from.instance].instance;
        let mut best = from.clone();
        let mut guided = GuidedSearch::new(
            instance,
            best.placements.clone(),
            best.offsets.clone(),
            seed,
        );
        let mut failures = 0;
        let least_share = LEAST_SHARE.min(LEAST_PART * instance.tallest() / best.length.max(1.0));
        let smaller = Manner::of(instance).smaller;
        while guided.work < work
            && failures < FAILURES
            && !self.control.is_stopped()
            && best.length > self.bound + AT_BOUND
        {
            if self.reach(&mut guided, &best, work) {
                let mut placements = guided.tracker.placements.clone();
                drop_down(instance, &mut placements);
                let length = length_of(instance, &placements);
                // What no move can mend (a piece that found no line) is given up.
                if !is_valid(instance, &placements, length) {
                    failures += 1;
                    best.share = (best.share * smaller).max(least_share);
                } else if length < best.length {
                    best = Found {
                        placements,
                        offsets: guided.offsets.clone(),
                        length,
                        share: (best.share * 1.5).min(0.02),
                        ..best
                    };
                }
            } else {
                failures += usize::from(best.share <= least_share);
                best.share = (best.share * smaller).max(least_share);
            }
        }
        Descent {
            found: best,
            is_exhausted: failures == FAILURES,
            work: guided.work,
            moves: guided.moves,
        }
    }

    /// Tries to bring the search from a layout to a valid one that is shorter by the
    /// layout's share, or by the part of it that is left when some is given back.
    fn reach(&self, guided: &mut GuidedSearch, from: &Found, work: u64) -> bool {
        let target = (from.length * (1.0 - from.share)).floor();
        let step = from.length - target;
        let manner = Manner::of(guided.instance);
        let stop = || self.control.is_stopped();
        // The best ones first.
        let mut known: Vec<Infeasible> = Vec::new();
        for attempt in 0..manner.attempts {
            if guided.work >= work || stop() {
                break;
            }
            let is_fresh = attempt < manner.fresh || known.is_empty();
            if is_fresh {
                guided.stand(&from.placements, &from.offsets);
                guided.take_out(step, from.length);
                guided.forget();
            } else {
                let mut any = |count: usize| guided.rng.below(count).min(guided.rng.below(count));
                let at = if known.len() > 1 { any(known.len()) } else { 0 };
                guided.stand(&known[at].placements, &known[at].offsets);
            }
            guided.shorten(target);
            if !guided.is_possible() {
                break;
            }
            if !is_fresh {
                guided.shake();
            }
            let Some(infeasible) = guided.separate(work, &stop) else {
                return true;
            };
            if infeasible.depth < step {
                let back = (BACK * step).round();
                guided.stand(&infeasible.placements, &infeasible.offsets);
                guided.put_in(back);
                guided.shorten(target + back);
                if guided.separate(work, &stop).is_none() {
                    return true;
                }
            }
            let at = known.partition_point(|known| known.depth <= infeasible.depth);
            known.insert(at, infeasible);
            known.truncate(manner.known);
        }
        false
    }
}
