//! What is proven of a few pieces: the greatest length that is too short for them.
//!
//! Every piece takes one of its lines, and of every two pieces whose lines come near
//! each other one lies further along, in one of the gaps of their table. All choices are gone
//! through in depth; what is chosen so far says of every two positions along how far they
//! are apart at most, and a choice that contradicts that is left at once. A length at which
//! every choice ends in a contradiction is too short, of these pieces and so of all.
//!
//! Own derivation; differences bound as in R. Dechter, I. Meiri and J. Pearl, "Temporal
//! constraint networks" (1991), from memory.

use super::instance::{Instance, LinePlacement};
use super::outline::{Interval, MEET};

/// The most pieces that are looked at together.
const MOST: usize = 7;
/// Of more pieces than that, so many are taken.
const SOME: usize = 6;
/// Choices looked at for one length, and in all.
const FOR_ONE: u64 = 40_000;
const FOR_ALL: u64 = 200_000;
/// Lengths nearer to each other than this (units) are not told apart: more than pieces that
/// touch, one after the other, may overlap in all.
const NEAR: f64 = 200.0;
/// Sums of differences may be off by so much (units).
const NOISE: f64 = 0.5;

/// The greatest length (units) proven too short for some of the pieces: at least `known`,
/// at most `longest`, which is the length of a layout.
///
/// Only for lines (or points on lines) that pieces may not leave.
pub(super) fn too_short(instance: &Instance, known: f64, longest: f64) -> f64 {
    let mut proven = known;
    let mut left = FOR_ALL;
    for items in few(instance) {
        let mut least_possible = longest;
        let mut length = longest - NEAR;
        while least_possible - proven > NEAR && left > 0 {
            let mut question = Question::new(instance, &items, length, FOR_ONE.min(left));
            let answer = question.ask();
            left -= FOR_ONE.min(left) - question.left;
            match answer {
                Answer::Impossible => proven = length,
                Answer::Possible | Answer::Unknown => least_possible = length,
            }
            length = f64::midpoint(proven, least_possible);
        }
    }
    proven
}

/// The pieces that are looked at: all if they are few, else the tallest, the widest and the
/// largest.
fn few(instance: &Instance) -> Vec<Vec<usize>> {
    let all: Vec<usize> = (0..instance.items.len()).collect();
    if all.len() <= MOST {
        return vec![all];
    }
    let least = |item: usize, size: &dyn Fn(usize) -> f64| {
        let orientations = instance.kinds[instance.items[item].0].clone();
        orientations.map(size).fold(f64::INFINITY, f64::min)
    };
    let wide = |orientation: usize| {
        let x = instance.extent(orientation).0;
        x.hi - x.lo
    };
    let large =
        |orientation: usize| instance.outlines[instance.orientations[orientation].shape].area();
    let sizes: [&dyn Fn(usize) -> f64; 3] =
        [&|orientation| instance.height(orientation), &wide, &large];
    let mut sets: Vec<Vec<usize>> = Vec::new();
    for size in sizes {
        let mut order = all.clone();
        order.sort_by(|&a, &b| least(b, size).total_cmp(&least(a, size)));
        order.truncate(SOME);
        order.sort_unstable();
        if !sets.contains(&order) {
            sets.push(order);
        }
    }
    sets
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Answer {
    Possible,
    Impossible,
    /// More choices than may be looked at.
    Unknown,
}

/// `m[a][b]`: how much further than `a` position `b` is at most; 0 is the zero of
/// positions, piece `i` is `i + 1`.
#[derive(Debug, Clone, Copy)]
struct Apart([[f64; MOST + 1]; MOST + 1]);

impl Apart {
    fn new() -> Self {
        let mut m = [[f64::INFINITY; MOST + 1]; MOST + 1];
        for (i, row) in m.iter_mut().enumerate() {
            row[i] = 0.0;
        }
        Self(m)
    }

    /// Position `b` is at most `most` further than `a`: false if that cannot be.
    fn bind(&mut self, a: usize, b: usize, most: f64) -> bool {
        let m = &mut self.0;
        if m[b][a] + most < -NOISE {
            return false;
        }
        if most < m[a][b] {
            let beyond = m[b];
            for row in m.iter_mut() {
                let via = row[a] + most;
                for (to, more) in row.iter_mut().zip(beyond) {
                    *to = to.min(via + more);
                }
            }
        }
        true
    }
}

/// Whether a few pieces can lie on a length of fabric.
struct Question<'a> {
    instance: &'a Instance,
    /// Kinds, and the placements that the length leaves open, with their reach.
    pieces: Vec<(usize, Vec<(LinePlacement, Interval)>)>,
    /// What is chosen so far.
    taken: Vec<usize>,
    left: u64,
}

impl<'a> Question<'a> {
    fn new(instance: &'a Instance, items: &[usize], length: f64, left: u64) -> Self {
        let mut pieces: Vec<(usize, Vec<(LinePlacement, Interval)>)> = items
            .iter()
            .map(|&item| {
                let kind = instance.items[item].0;
                let orientations = instance.kinds[kind].clone();
                let placements = orientations.flat_map(|orientation| {
                    let lines = instance.lines(orientation, 0, length).into_iter();
                    lines.map(move |(line, reach)| {
                        let orientation = orientation as u32;
                        (
                            LinePlacement {
                                orientation,
                                line,
                                v: 0.0,
                            },
                            reach,
                        )
                    })
                });
                (kind, placements.collect())
            })
            .collect();
        // What has few choices first; equal pieces one after the other.
        pieces.sort_by_key(|(kind, placements)| (placements.len(), *kind));
        Self {
            instance,
            pieces,
            taken: Vec::new(),
            left,
        }
    }

    fn ask(&mut self) -> Answer {
        self.choose(Apart::new())
    }

    /// Goes through the lines of the next piece.
    fn choose(&mut self, apart: Apart) -> Answer {
        let next = self.taken.len();
        if next == self.pieces.len() {
            return Answer::Possible;
        }
        // Equal pieces may change places: the later one takes no earlier line.
        let equal = next > 0 && self.pieces[next - 1].0 == self.pieces[next].0;
        let first = if equal { self.taken[next - 1] } else { 0 };
        for choice in first..self.pieces[next].1.len() {
            let reach = self.pieces[next].1[choice].1;
            let mut bound = apart;
            // And on one line it lies further along.
            let fits = bound.bind(0, next + 1, reach.hi + MEET)
                && bound.bind(next + 1, 0, MEET - reach.lo)
                && (!equal || choice > first || bound.bind(next + 1, next, 0.0));
            if !fits {
                continue;
            }
            self.taken.push(choice);
            let answer = self.pass(bound, 0);
            self.taken.pop();
            if answer != Answer::Impossible {
                return answer;
            }
        }
        Answer::Impossible
    }

    /// Goes through the gaps between the last piece that has a line and each before it.
    fn pass(&mut self, apart: Apart, other: usize) -> Answer {
        if self.left == 0 {
            return Answer::Unknown;
        }
        self.left -= 1;
        let last = self.taken.len() - 1;
        if other == last {
            return self.choose(apart);
        }
        let placement = |piece: usize| self.pieces[piece].1[self.taken[piece]].0;
        let instance = self.instance;
        let intervals = instance.intervals(placement(other), placement(last));
        let mut from = f64::NEG_INFINITY;
        let ends = intervals.iter().map(|s| (s.lo, s.hi));
        for (to, next) in ends.chain([(f64::INFINITY, f64::INFINITY)]) {
            let mut bound = apart;
            // Walls that fit were rounded: whoever touches may overlap by a hair.
            // A gap that is none: two forbidden intervals of which one begins where the other ends are open
            // between them for contact alone, which counts.
            let fits = from <= to + MEET
                && bound.bind(other + 1, last + 1, to + MEET)
                && bound.bind(last + 1, other + 1, MEET - from);
            if fits {
                let answer = self.pass(bound, other + 1);
                if answer != Answer::Impossible {
                    return answer;
                }
            }
            from = next;
        }
        Answer::Impossible
    }
}
