//! Sliding across: offsets of groups, deviations within the tolerance, and on
//! plain fabric every piece, as a linear program.
//!
//! For each near pair the gap that holds now stays: its ends are drawn as
//! straight lines in the pieces' difference across, through the tables' values
//! a little to either side. The program's answer is a proposal: its places
//! across are kept, places along are found anew by the exact method of
//! [`super::settle`], and the result is tested like any other. If it is not
//! valid and shorter, the step is made smaller.

use super::board::{Board, Seat};
use super::outline::Span;
use super::settle::{Apart, beside, gap_around, least_solution};
use crate::lp::Program;

/// Pairs further apart than this (ticks) do not come to touch in one step.
const NEAR: f64 = 300_000.0;

/// A lay whose pieces may stand beside their lines.
#[derive(Debug, Clone)]
pub(crate) struct Loose {
    pub(crate) seats: Vec<Seat>,
    /// By how much each group's offset is more than its lines say (ticks).
    pub(crate) shift: Vec<f64>,
    /// By how much each piece departs from its line then (ticks).
    pub(crate) stray: Vec<f64>,
    pub(crate) length: f64,
}

impl Loose {
    pub(crate) fn new(board: &Board, seats: Vec<Seat>) -> Self {
        let mut loose = Self {
            shift: vec![0.0; board.groups],
            stray: vec![0.0; seats.len()],
            seats,
            length: 0.0,
        };
        loose.length = loose.needs(board);
        loose
    }

    /// Position across (ticks) of one item.
    pub(crate) fn u(&self, board: &Board, item: usize) -> f64 {
        let seat = self.seats[item];
        let group = board.items[item].1;
        board.u(seat.form as usize, i64::from(seat.line))
            + board.sign(seat.form as usize) * group.map_or(0.0, |g| self.shift[g])
            + self.stray[item]
    }

    fn spans(&self, board: &Board, a: usize, b: usize, more: f64) -> Vec<Span> {
        let du = self.u(board, b) - self.u(board, a) + more;
        board.spans_apart(self.seats[a].form, self.seats[b].form, du)
    }

    fn end(&self, board: &Board, item: usize) -> f64 {
        board.end_at(
            self.seats[item].form as usize,
            self.u(board, item),
            self.seats[item].v,
        )
    }

    fn needs(&self, board: &Board) -> f64 {
        (0..self.seats.len())
            .map(|i| self.end(board, i))
            .fold(0.0, f64::max)
    }

    /// Whether no two pieces overlap and all lie within the fabric.
    pub(crate) fn is_valid(&self, board: &Board) -> bool {
        (0..self.seats.len()).all(|b| {
            let seat = self.seats[b];
            board
                .reach_at(seat.form as usize, self.u(board, b), self.length)
                .is_some_and(|r| r.lo <= seat.v && seat.v <= r.hi)
                && (0..b).all(|a| {
                    let dv = seat.v - self.seats[a].v;
                    self.far(board, a, b)
                        || !self
                            .spans(board, a, b, 0.0)
                            .iter()
                            .any(|s| s.lo < dv && dv < s.hi)
                })
        })
    }

    /// Whether two pieces are too far apart to meet, by their boxes.
    fn far(&self, board: &Board, a: usize, b: usize) -> bool {
        let (oa, ob) = (
            board.outline_of(self.seats[a]),
            board.outline_of(self.seats[b]),
        );
        let dv = self.seats[b].v - self.seats[a].v;
        let du = self.u(board, b) - self.u(board, a);
        dv + ob.along.lo >= oa.along.hi
            || dv + ob.along.hi <= oa.along.lo
            || du + ob.across().lo >= oa.across().hi
            || du + ob.across().hi <= oa.across().lo
    }
}

/// Whether a layout of this board has anything to slide across.
pub(crate) fn can_slide(board: &Board, deviate: f64) -> bool {
    !board.is_lattice() && (board.groups > 0 || deviate > 0.0)
}

/// Slides for as long as it shortens the layout, at most `steps` programs.
/// Never lengthens.
pub(crate) fn slide(
    board: &Board,
    loose: &mut Loose,
    deviate: f64,
    steps: usize,
    stop: &dyn Fn() -> bool,
) {
    if !can_slide(board, deviate) {
        return;
    }
    let mut trust = (board.pitch * board.stride as f64 / 8.0).clamp(1_000.0, 50_000.0);
    for _ in 0..steps {
        if stop() || trust < 50.0 {
            return;
        }
        match propose(board, loose, deviate, trust) {
            Some(better) if better.length < loose.length && better.is_valid(board) => {
                let gain = loose.length - better.length;
                *loose = better;
                if gain < 100.0 {
                    return;
                }
            }
            _ => trust /= 4.0,
        }
    }
}

struct Link {
    a: usize,
    b: usize,
    /// `v_b - v_a >= at + slope * change of (u_b - u_a)`, or `<=` if `upper`.
    at: f64,
    slope: f64,
    upper: bool,
}

fn propose(board: &Board, loose: &Loose, deviate: f64, trust: f64) -> Option<Loose> {
    let n = loose.seats.len();
    let (nx, ny) = board.normal();
    let scale = super::outline::TICKS_PER_MM;
    let mut program = Program::new();
    // In millimetres: solvers like numbers near one.
    let top = program.column(1.0, 0.0, loose.length / scale);
    let along: Vec<usize> = (0..n)
        .map(|i| {
            let v = loose.seats[i].v / scale;
            program.column(1e-6 * board.upward(), v - 100.0, v + 100.0)
        })
        .collect();
    let shift: Vec<usize> = (0..board.groups)
        .map(|_| program.column(0.0, -trust / scale, trust / scale))
        .collect();
    let stray: Vec<Option<usize>> = (0..n)
        .map(|i| {
            let least = (-trust).max(-deviate - loose.stray[i]);
            let most = trust.min(deviate - loose.stray[i]);
            (deviate > 0.0 && least < most)
                .then(|| program.column(0.0, least / scale, most / scale))
        })
        .collect();
    // The change of u of one item, as terms.
    let across = |i: usize, factor: f64| {
        let mut terms = Vec::new();
        if let Some(g) = board.items[i].1 {
            terms.push((shift[g], factor * board.sign(loose.seats[i].form as usize)));
        }
        if let Some(column) = stray[i] {
            terms.push((column, factor));
        }
        terms
    };
    for (i, &v) in along.iter().enumerate() {
        let form = loose.seats[i].form as usize;
        let u = loose.u(board, i);
        let (x, y) = board.extent(form);
        let (margin, width) = (board.margin(), board.width());
        let mut limit = |cu: f64, cv: f64, least: f64, with_top: f64| {
            let mut terms = across(i, cu);
            terms.push((v, cv));
            if with_top != 0.0 {
                terms.push((top, with_top));
            }
            program.row(terms, (least - cu * u) / scale);
        };
        limit(nx, -ny, -margin - x.lo, 0.0);
        limit(-nx, ny, -(width + margin - x.hi), 0.0);
        limit(ny, nx, -margin - y.lo, 0.0);
        limit(-ny, -nx, y.hi - margin, 1.0);
    }
    for link in links(board, loose, trust) {
        let sense = if link.upper { -1.0 } else { 1.0 };
        let mut terms = vec![(along[link.b], sense), (along[link.a], -sense)];
        terms.extend(across(link.b, -sense * link.slope));
        terms.extend(across(link.a, sense * link.slope));
        program.row(merged(terms), sense * link.at / scale);
    }
    let answer = program.minimise().ok()?.values;
    let mut better = loose.clone();
    for (value, &column) in better.shift.iter_mut().zip(&shift) {
        *value += (answer[column] * scale).round();
    }
    for (value, column) in better.stray.iter_mut().zip(&stray) {
        if let Some(column) = *column {
            *value = (*value + (answer[column] * scale).round()).clamp(-deviate, deviate);
        }
    }
    for (seat, &column) in better.seats.iter_mut().zip(&along) {
        seat.v = (answer[column] * scale).round();
    }
    make_exact(board, &mut better)?;
    Some(better)
}

/// Adds up terms of one column.
fn merged(mut terms: Vec<(usize, f64)>) -> Vec<(usize, f64)> {
    terms.sort_by_key(|t| t.0);
    let mut out: Vec<(usize, f64)> = Vec::with_capacity(terms.len());
    for (column, factor) in terms {
        match out.last_mut() {
            Some(last) if last.0 == column => last.1 += factor,
            _ => out.push((column, factor)),
        }
    }
    out
}

/// The gaps that hold now between near pairs, drawn straight.
fn links(board: &Board, loose: &Loose, trust: f64) -> Vec<Link> {
    let mut links = Vec::new();
    let n = loose.seats.len();
    for b in 0..n {
        for a in 0..b {
            let (oa, ob) = (
                board.outline_of(loose.seats[a]),
                board.outline_of(loose.seats[b]),
            );
            let du = loose.u(board, b) - loose.u(board, a);
            let dv = loose.seats[b].v - loose.seats[a].v;
            if du + ob.across().lo - 2.0 * trust >= oa.across().hi
                || du + ob.across().hi + 2.0 * trust <= oa.across().lo
                || dv + ob.along.lo >= oa.along.hi + NEAR
                || dv + ob.along.hi + NEAR <= oa.along.lo
            {
                continue;
            }
            let reach = 2.0 * trust;
            let gaps =
                [-reach, 0.0, reach].map(|more| gap_around(&loose.spans(board, a, b, more), dv));
            let slope_of = |ends: [f64; 3], upper: bool| -> Option<(f64, f64)> {
                if ends.iter().any(|e| !e.is_finite()) {
                    // One side sees nothing in the way: hold level.
                    let level = ends
                        .iter()
                        .copied()
                        .filter(|e| e.is_finite())
                        .reduce(if upper { f64::min } else { f64::max })?;
                    return Some((level, 0.0));
                }
                let slope = (ends[2] - ends[0]) / (2.0 * reach);
                let offsets = [ends[0] + slope * reach, ends[1], ends[2] - slope * reach];
                let at = offsets
                    .into_iter()
                    .reduce(if upper { f64::min } else { f64::max })?;
                Some((at, slope))
            };
            let lower = gaps.map(|g| g.0);
            let upper = gaps.map(|g| g.1);
            if let Some((at, slope)) = slope_of(lower, false) {
                links.push(Link {
                    a,
                    b,
                    at: at.min(dv),
                    slope,
                    upper: false,
                });
            }
            if let Some((at, slope)) = slope_of(upper, true) {
                links.push(Link {
                    a,
                    b,
                    at: at.max(dv),
                    slope,
                    upper: true,
                });
            }
        }
    }
    links
}

/// With places across given, finds the least places along, in whole ticks.
fn make_exact(board: &Board, loose: &mut Loose) -> Option<()> {
    let n = loose.seats.len();
    let sense = board.upward();
    let mut apart = Vec::new();
    for b in 0..n {
        for a in 0..b {
            let (oa, ob) = (
                board.outline_of(loose.seats[a]),
                board.outline_of(loose.seats[b]),
            );
            let du = loose.u(board, b) - loose.u(board, a);
            if du + ob.across().lo >= oa.across().hi || du + ob.across().hi <= oa.across().lo {
                continue;
            }
            let dv = loose.seats[b].v - loose.seats[a].v;
            let spans = loose.spans(board, a, b, 0.0);
            // A proposal that cuts a little into a span belongs to the nearer side.
            let dv = beside(&spans, dv);
            let (lo, hi) = gap_around(&spans, dv);
            let (lo, hi) = if sense > 0.0 { (lo, hi) } else { (-hi, -lo) };
            if lo.is_finite() {
                apart.push(Apart { a, b, apart: lo });
            }
            if hi.is_finite() {
                apart.push(Apart {
                    a: b,
                    b: a,
                    apart: -hi,
                });
            }
        }
    }
    let far = 1e13;
    let mut least = Vec::with_capacity(n);
    for i in 0..n {
        let reach = board.reach_at(loose.seats[i].form as usize, loose.u(board, i), far)?;
        least.push(if sense > 0.0 { reach.lo } else { -reach.hi });
    }
    let values: Vec<f64> = loose.seats.iter().map(|s| s.v * sense).collect();
    let found = least_solution(&least, &apart, &values, &|_, v| v)?;
    for (seat, v) in loose.seats.iter_mut().zip(found) {
        seat.v = v * sense;
    }
    loose.length = loose.needs(board);
    Some(())
}
