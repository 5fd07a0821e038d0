//! What pieces cover of a line along the stripes, and how near two of them come to each other
//! on it.
//!
//! **Lines.** So many lines of the repeat, evenly apart, stand for all. Where a piece's offset is
//! known, it covers certain chords of a line. Where the offset is known to lie in one **bin** (from
//! one line to another), so does the place at which the line crosses the piece, and only what
//! the piece covers of every line of that bin is counted ([`Outline::common_chords`]).
//!
//! **Gaps.** On one line the chords of all pieces follow one another. Say that a chord of piece
//! `j` is the next above a chord of piece `i`: their positions along differ by no less than
//! what parts these two chords, and by a value that the two pieces' outlines allow. So the gap between
//! the chords is at least the first such value less the value at which they touch: more than
//! nothing wherever the pieces meet elsewhere first.
//!
//! What two outlines forbid is known exactly where both have the same offset. Otherwise
//! their difference across lies in a bin too, and they forbid at least what is forbidden by the
//! chords that they have in common with every line of their bins: with the one line that
//! crosses both, any line a whole number of steps beside it does.

use super::data::{Job, Lock};
use super::outline::{Interval, MEET, Outline, UNITS_PER_MM, unite};

/// Lines of a repeat that are told apart.
pub(super) const LINES: i64 = 128;

/// Outlines may lap over each other across by less than this (units) without being in each
/// other's way: bins are wider by it.
const LAP: f64 = 4.0;

/// A pose of some kinds that covers lines alike.
#[derive(Debug)]
struct Class {
    shape: usize,
    /// Across and along, as the pose has them (units).
    residue: f64,
    along: f64,
    group: Option<usize>,
    turned: bool,
    /// Extent along (units).
    reach: Interval,
    /// The chords on lines `first`, `first + 1`, … of its own.
    chords: Vec<Vec<Interval>>,
    first: i64,
}

impl Class {
    fn at(&self, line: i64) -> &[Interval] {
        usize::try_from(line - self.first)
            .ok()
            .and_then(|index| self.chords.get(index))
            .map_or(&[], Vec::as_slice)
    }

    fn last(&self) -> i64 {
        self.first + self.chords.len() as i64
    }

    /// Its own line that lies on a line of the fabric, but for whole repeats.
    fn own_line(&self, line: i64, bins: &[i64]) -> i64 {
        let bin = self.group.map_or(0, |group| bins[group]);
        if self.turned { line + bin } else { line - bin }
    }
}

/// A chord of a piece on a line.
#[derive(Debug, Clone, Copy)]
pub(super) struct Crossing {
    /// Index of the class.
    pub(super) class: usize,
    own_line: i64,
    /// On which line of its phase it is, while the piece stands in its repeat 0.
    pub(super) repeat: i64,
    /// Along, relative to the piece (units).
    pub(super) chord: Interval,
    /// How far the piece reaches below and above the chord (units).
    pub(super) below: f64,
    pub(super) above: f64,
    /// Whether the next crossing is the next chord of the same piece.
    continues: bool,
}

impl Crossing {
    pub(super) fn covered(&self) -> f64 {
        self.chord.hi - self.chord.lo
    }
}

/// A kind of piece: in how many copies, and the classes it may choose from.
#[derive(Debug, PartialEq)]
pub(super) struct Choice {
    pub(super) copies: f64,
    pub(super) classes: Vec<usize>,
}

/// All classes of a job, and what two of them forbid each other.
#[derive(Debug)]
pub(super) struct LineGaps<'a> {
    outlines: &'a [Outline],
    classes: Vec<Class>,
    pub(super) choices: Vec<Choice>,
    repeat: f64,
    /// How wide bins are (lines).
    wide: i64,
    lattice: Option<(f64, f64)>,
    /// What is forbidden, for two classes and the difference of their lines, once asked for.
    forbidden: Vec<Vec<Option<Box<[Interval]>>>>,
}

impl<'a> LineGaps<'a> {
    /// Reads a job, with bins so many lines wide. Positions are counted from `frame`'s offset, where there is one: its
    /// pieces are then as good as fixed.
    pub(super) fn new(
        outlines: &'a [Outline],
        job: &Job,
        repeat: f64,
        wide: i64,
        frame: Option<usize>,
    ) -> Self {
        let lattice = match job.lock {
            Lock::Points {
                along_mm, shear_mm, ..
            } => Some((along_mm * UNITS_PER_MM, shear_mm * UNITS_PER_MM)),
            Lock::Lines { .. } | Lock::Plane => None,
        };
        let mut gaps = Self {
            outlines,
            classes: Vec::new(),
            choices: Vec::new(),
            repeat,
            wide,
            lattice,
            forbidden: Vec::new(),
        };
        for item in &job.items {
            let group = item.group.filter(|_| item.group != frame);
            let poses = job.kinds[item.kind].poses.iter();
            let mut classes: Vec<usize> = poses
                .map(|pose| {
                    gaps.class(
                        pose.shape,
                        pose.residue_mm * UNITS_PER_MM,
                        pose.along_mm * UNITS_PER_MM,
                        group,
                        pose.sign < 0.0,
                    )
                })
                .collect();
            classes.sort_unstable();
            classes.dedup();
            match gaps.choices.iter_mut().find(|c| c.classes == classes) {
                Some(choice) => choice.copies += 1.0,
                None => gaps.choices.push(Choice {
                    copies: 1.0,
                    classes,
                }),
            }
        }
        let count = gaps.classes.len();
        gaps.forbidden = vec![Vec::new(); count * count];
        gaps
    }

    fn class(
        &mut self,
        shape: usize,
        residue: f64,
        along: f64,
        group: Option<usize>,
        turned: bool,
    ) -> usize {
        // Without an offset it is all the same whether it is turned.
        let turned = turned && group.is_some();
        let known = self.classes.iter().position(|c| {
            c.shape == shape
                && c.residue == residue
                && c.along == along
                && c.group == group
                && c.turned == turned
        });
        if let Some(known) = known {
            return known;
        }
        let step = self.repeat / LINES as f64;
        let bin = self.wide as f64 * step;
        let (before, after) = match (group, turned) {
            (None, _) => (0.0, 0.0),
            (Some(_), false) => (bin, 0.0),
            (Some(_), true) => (0.0, bin),
        };
        let outline = &self.outlines[shape];
        let across = outline.across();
        let first = ((across.lo + residue) / step).floor() as i64;
        let last = ((across.hi + residue) / step).ceil() as i64;
        let chords = (first..=last).map(|line| {
            let at = line as f64 * step - residue;
            outline.common_chords(at - before - LAP, at + after + LAP)
        });
        self.classes.push(Class {
            shape,
            residue,
            along,
            group,
            turned,
            reach: outline.along,
            chords: chords.collect(),
            first,
        });
        self.classes.len() - 1
    }

    /// How wide bins are (lines).
    pub(super) fn wide(&self) -> i64 {
        self.wide
    }

    /// How many classes there are.
    pub(super) fn classes(&self) -> usize {
        self.classes.len()
    }

    /// What all pieces, one of each class, cover of a line while each group's offset lies in the
    /// bin that begins at a line.
    pub(super) fn crossings(&self, line: i64, bins: &[i64]) -> Vec<Crossing> {
        let mut crossings = Vec::new();
        for (index, class) in self.classes.iter().enumerate() {
            let own = class.own_line(line, bins);
            let mut at = class.first + (own - class.first).rem_euclid(LINES);
            while at < class.last() {
                let chords = class.at(at);
                for (i, &chord) in chords.iter().enumerate() {
                    crossings.push(Crossing {
                        class: index,
                        own_line: at,
                        repeat: (at - own).div_euclid(LINES),
                        chord,
                        below: chord.lo - class.reach.lo,
                        above: class.reach.hi - chord.hi,
                        continues: i + 1 < chords.len(),
                    });
                }
                at += LINES;
            }
        }
        crossings
    }

    /// The repeats in which a class may stand between two places across (units) while its offset lies in
    /// its bin: from the first to the last.
    pub(super) fn repeats(&self, class: usize, bins: &[i64], within: Interval) -> (i64, i64) {
        let class = &self.classes[class];
        let step = self.repeat / LINES as f64;
        let (from, to) = match class.group {
            None => (0.0, 0.0),
            Some(group) => {
                let from = bins[group] as f64 * step;
                let to = from + self.wide as f64 * step;
                if class.turned {
                    (-to, -from)
                } else {
                    (from, to)
                }
            }
        };
        let across = self.outlines[class.shape].across();
        let least = within.lo - across.lo - class.residue - to - LAP;
        let most = within.hi - across.hi - class.residue - from + LAP;
        (
            (least / self.repeat).ceil() as i64,
            (most / self.repeat).floor() as i64,
        )
    }

    /// By how much (units) a class stays off either end along at least, in a certain repeat: its
    /// positions there are the lattice's. Nothing where it has no lattice, or a free offset.
    pub(super) fn beyond_ends(&self, class: usize, repeat: i64, ends: (f64, f64)) -> [f64; 2] {
        let class = &self.classes[class];
        let Some((along, shear)) = self.lattice.filter(|_| class.group.is_none()) else {
            return [0.0; 2];
        };
        let zero = class.along + repeat as f64 * shear;
        let (least, most) = (ends.0 - class.reach.lo, ends.1 - class.reach.hi);
        // Ends are met within a hair.
        let first = zero + ((least - MEET - zero) / along).ceil() * along;
        let last = zero + ((most + MEET - zero) / along).floor() * along;
        [(first - least).max(0.0), (most - last).max(0.0)]
    }

    /// The least gap (units) from each crossing to each that may be the next above it: row by
    /// row, one below each.
    pub(super) fn gaps(&mut self, crossings: &[Crossing]) -> Vec<f64> {
        let mut gaps = Vec::with_capacity(crossings.len() * crossings.len());
        for (i, below) in crossings.iter().enumerate() {
            for (j, above) in crossings.iter().enumerate() {
                let mut gap = self.gap(below, above);
                if below.continues && j == i + 1 {
                    gap = gap.min(above.chord.lo - below.chord.hi);
                }
                gaps.push(gap);
            }
        }
        gaps
    }

    fn gap(&mut self, below: &Crossing, above: &Crossing) -> f64 {
        let lines = below.own_line - above.own_line;
        let (i, j) = (below.class, above.class);
        let pair = i * self.classes.len() + j;
        let (one, other) = (&self.classes[i], &self.classes[j]);
        let least = one.first - other.last();
        let most = one.last() - other.first;
        let row = &mut self.forbidden[pair];
        if row.is_empty() {
            row.resize((most - least + 1) as usize, None);
        }
        let slot = (lines - least) as usize;
        if row[slot].is_none() {
            let found = self.find_forbidden(i, j, lines).into_boxed_slice();
            self.forbidden[pair][slot] = Some(found);
        }
        let intervals = self.forbidden[pair][slot].as_deref().unwrap_or(&[]);
        let (one, other) = (&self.classes[i], &self.classes[j]);
        let touching = below.chord.hi - above.chord.lo;
        let first_free = |from: f64| {
            let mut at = from;
            for interval in intervals {
                // Whoever touches may overlap by a hair.
                if interval.lo + MEET < at && at < interval.hi - MEET {
                    at = interval.hi - MEET;
                }
            }
            at
        };
        let mut at = first_free(touching - MEET);
        if let Some((along, shear)) = self.lattice.filter(|_| one.is_beside(other)) {
            let rows = (lines / LINES) as f64;
            let zero = other.along - one.along + rows * shear;
            loop {
                let point = zero + ((at - zero) / along - 1e-6).ceil() * along;
                let free = first_free(point);
                if free - point < 1.0 {
                    at = point;
                    break;
                }
                // To the next point at least, whatever rounding says.
                at = free.max(point + along / 2.0);
            }
        }
        (at - touching).max(0.0)
    }

    /// Of class `j`, so many lines beside class `i`: where along it overlaps for sure.
    fn find_forbidden(&self, i: usize, j: usize, lines: i64) -> Vec<Interval> {
        let (one, other) = (&self.classes[i], &self.classes[j]);
        if one.is_beside(other) {
            let repeats = (lines / LINES) as f64;
            let across = other.residue - one.residue + repeats * self.repeat;
            return self.outlines[one.shape].intervals(&self.outlines[other.shape], across);
        }
        let mut found = Vec::new();
        let from = one.first.max(other.first + lines);
        for line in from..one.last().min(other.last() + lines) {
            for a in one.at(line) {
                for b in other.at(line - lines) {
                    found.push(Interval {
                        lo: a.lo - b.hi,
                        hi: a.hi - b.lo,
                    });
                }
            }
        }
        unite(&mut found);
        found
    }
}

impl Class {
    /// Whether the two always stand a whole number of repeats apart, but for their residues.
    fn is_beside(&self, other: &Self) -> bool {
        self.group == other.group && self.turned == other.turned
    }
}
