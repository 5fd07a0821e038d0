//! The search: shorten the cloth a little, push in what sticks out, and take
//! the overlaps apart, one piece at a time.
//!
//! Guided local search: every pair of pieces has a weight; a piece that
//! overlaps goes where its weighted overlap is least, and pairs that stay stuck
//! grow heavier until one of them gives way.
//!
//! # Source
//! J. Egeblad, B. K. Nielsen and A. Odgaard, "Fast neighborhood search for two-
//! and three-dimensional nesting problems" (2007), for line moves under guided
//! local search; here the lines are the stripes' own.

use super::board::{Board, Seat, depth_in};
use super::outline::Span;
use super::random::Random;

/// Lines looked at in one move, where there are more.
const SAMPLE: usize = 40;

/// Passes over the overlapping pieces without betterment before the walk gives up.
const PATIENCE: usize = 120;

/// One walk of the search over one board.
#[derive(Debug)]
pub(crate) struct Walk<'a> {
    board: &'a Board,
    random: Random,
    pub(crate) seats: Vec<Seat>,
    /// Offset of each group (in lines).
    pub(crate) offsets: Vec<i64>,
    /// Members of each group.
    members: Vec<Vec<usize>>,
    weights: Vec<f32>,
    /// Lines of each form at the length tried now; where offsets are free, one
    /// entry for each.
    lines: Vec<Vec<(i32, Span)>>,
    length: f64,
    /// Interval visits so far: the measure of work.
    pub(crate) work: u64,
    /// Moves so far.
    pub(crate) moves: u64,
    near: Vec<(Span, f64)>,
    tries: Vec<f64>,
}

impl<'a> Walk<'a> {
    pub(crate) fn new(board: &'a Board, seats: Vec<Seat>, offsets: Vec<i64>, seed: u64) -> Self {
        let n = seats.len();
        let mut members = vec![Vec::new(); board.groups];
        for (i, &(_, group)) in board.items.iter().enumerate() {
            if let Some(g) = group {
                members[g].push(i);
            }
        }
        Self {
            board,
            random: Random::new(seed),
            seats,
            offsets,
            members,
            weights: vec![1.0; n * n],
            lines: Vec::new(),
            length: 0.0,
            work: 0,
            moves: 0,
            near: Vec::new(),
            tries: Vec::new(),
        }
    }

    /// Sets the length to be reached and pushes in what sticks out.
    pub(crate) fn shorten(&mut self, length: f64) {
        self.length = length;
        let stride = self.board.stride;
        self.lines = (0..self.board.forms.len())
            .flat_map(|f| (0..stride).map(move |o| (f, o)))
            .map(|(f, o)| self.board.lines(f, o, length))
            .collect();
        self.work += 8 * self.lines.iter().map(|l| l.len() as u64 + 1).sum::<u64>();
        for i in 0..self.seats.len() {
            let seat = self.seats[i];
            match self
                .board
                .reach(seat.form as usize, i64::from(seat.line), length)
            {
                Some(reach) => {
                    let v = seat.v.clamp(reach.lo, reach.hi);
                    if v != seat.v {
                        let up = v > seat.v;
                        self.seats[i].v = self.board.snap(seat.form as usize, seat.line, v, up);
                    }
                }
                None => {
                    if let Some(seat) = self.best_seat(i, true) {
                        self.seats[i] = seat;
                    }
                }
            }
        }
    }

    /// Whether every form still has a line at the length tried now.
    pub(crate) fn is_possible(&self) -> bool {
        (0..self.seats.len()).all(|i| {
            let (kind, group) = self.board.items[i];
            self.board.kinds[kind].clone().any(|f| {
                let offset = group.map_or(0, |g| self.offsets[g]);
                !self.lines_of(f, offset).is_empty()
            })
        })
    }

    fn lines_of(&self, form: usize, offset: i64) -> &[(i32, Span)] {
        &self.lines[form * self.board.stride as usize + offset as usize]
    }

    /// Takes overlaps apart until there are none (true), or until the work or
    /// the patience is spent, or `stop` says so (false).
    pub(crate) fn separate(&mut self, work: u64, stop: &dyn Fn() -> bool) -> bool {
        let n = self.seats.len();
        let mut least = f64::INFINITY;
        let mut idle = 0;
        let mut order: Vec<usize> = Vec::new();
        loop {
            order.clear();
            order.extend((0..n).filter(|&i| self.overlap(i) > 0.0));
            if order.is_empty() {
                return true;
            }
            if self.work >= work || stop() {
                return false;
            }
            self.random.shuffle(&mut order);
            for &i in &order {
                if self.overlap(i) > 0.0
                    && let Some(seat) = self.best_seat(i, false)
                {
                    self.seats[i] = seat;
                }
            }
            self.move_group(&order);
            let total = self.reweigh();
            if total == 0.0 {
                return true;
            }
            if total < least * 0.98 {
                least = total;
                idle = 0;
            } else {
                idle += 1;
                if idle > PATIENCE {
                    return false;
                }
            }
        }
    }

    /// Exchanges two pieces of different kinds, or throws one far away.
    pub(crate) fn shake(&mut self) {
        let n = self.seats.len();
        for _ in 0..1 + self.random.below(3) {
            let (a, b) = (self.random.below(n), self.random.below(n));
            if self.board.items[a].0 == self.board.items[b].0 {
                continue;
            }
            let (sa, sb) = (self.seats[a], self.seats[b]);
            if let (Some(na), Some(nb)) = (self.seat_near(a, sb), self.seat_near(b, sa)) {
                self.seats[a] = na;
                self.seats[b] = nb;
            }
        }
        self.weights.fill(1.0);
    }

    /// The seat of `item` nearest to where another piece stands.
    fn seat_near(&mut self, item: usize, there: Seat) -> Option<Seat> {
        let board = self.board;
        let (kind, group) = board.items[item];
        let offset = group.map_or(0, |g| self.offsets[g]);
        let forms = board.kinds[kind].clone();
        let form = forms.start + self.random.below(forms.len());
        let u = board.u(there.form as usize, i64::from(there.line));
        let &(line, reach) = self.lines_of(form, offset).iter().min_by(|a, b| {
            let far = |k: i32| (board.u(form, i64::from(k)) - u).abs();
            far(a.0).total_cmp(&far(b.0))
        })?;
        let v = board.snap(form, line, there.v.clamp(reach.lo, reach.hi), true);
        Some(Seat {
            form: form as u32,
            line,
            v: if v > reach.hi {
                board.snap(form, line, reach.hi, false)
            } else {
                v
            },
        })
    }

    /// Places all pieces of a stuck group anew, at another offset.
    fn move_group(&mut self, stuck: &[usize]) {
        if self.board.stride == 1 || self.random.below(8) != 0 {
            return;
        }
        let item = stuck[self.random.below(stuck.len())];
        let Some(group) = self.board.items[item].1 else {
            return;
        };
        if self.members[group].len() < 2 {
            return;
        }
        let (seats, offset) = (self.seats.clone(), self.offsets[group]);
        self.offsets[group] = self.random.below(self.board.stride as usize) as i64;
        for i in self.members[group].clone() {
            match self.best_seat(i, true) {
                Some(seat) => self.seats[i] = seat,
                None => {
                    // Not every piece has a line at this offset.
                    self.seats = seats;
                    self.offsets[group] = offset;
                    return;
                }
            }
        }
    }

    fn overlap(&mut self, i: usize) -> f64 {
        let seat = self.seats[i];
        let mut sum = 0.0;
        for (j, &other) in self.seats.iter().enumerate() {
            if j != i {
                sum += self.board.depth(other, seat);
            }
        }
        self.work += self.seats.len() as u64;
        sum
    }

    /// Weights of overlapping pairs grow, those of others fade. Returns the
    /// sum of all overlaps.
    fn reweigh(&mut self) -> f64 {
        let n = self.seats.len();
        let mut stuck: Vec<(usize, usize, f64)> = Vec::new();
        let mut total = 0.0;
        let mut deepest: f64 = 0.0;
        for i in 0..n {
            for j in 0..i {
                let depth = self.board.depth(self.seats[i], self.seats[j]);
                if depth > 0.0 {
                    stuck.push((i, j, depth));
                    total += depth;
                    deepest = deepest.max(depth);
                } else {
                    let w = &mut self.weights[i * n + j];
                    *w = (*w * 0.95).max(1.0);
                    self.weights[j * n + i] = self.weights[i * n + j];
                }
            }
        }
        self.work += (n * n / 2) as u64;
        for (i, j, depth) in stuck {
            let growth = 1.2 + 0.8 * depth / deepest;
            let w = (self.weights[i * n + j] * growth as f32).min(1e12);
            self.weights[i * n + j] = w;
            self.weights[j * n + i] = w;
        }
        total
    }

    /// The seat of least weighted overlap for a piece, among all its lines or a
    /// sample of them. With `anywhere`, the seat that it has now does not count.
    fn best_seat(&mut self, item: usize, anywhere: bool) -> Option<Seat> {
        self.moves += 1;
        let board = self.board;
        let (kind, group) = board.items[item];
        let mut candidates: Vec<(usize, i64, usize)> = Vec::new();
        let offsets = match group {
            Some(g) if self.members[g].len() == 1 => 0..board.stride,
            Some(g) => self.offsets[g]..self.offsets[g] + 1,
            None => 0..1,
        };
        for form in board.kinds[kind].clone() {
            for offset in offsets.clone() {
                let count = self.lines_of(form, offset).len();
                candidates.extend((0..count).map(|l| (form, offset, l)));
            }
        }
        self.random.shuffle(&mut candidates);
        candidates.truncate(SAMPLE);
        let now = self.seats[item];
        let mut best: Option<(f64, Seat, i64)> = None;
        if !anywhere
            && let Some(reach) = board.reach(now.form as usize, i64::from(now.line), self.length)
        {
            let offset = group.map_or(0, |g| self.offsets[g]);
            if let Some((cost, v)) =
                self.best_on_line(item, now.form, now.line, reach, f64::INFINITY)
            {
                best = Some((cost, Seat { v, ..now }, offset));
            }
        }
        for (form, offset, l) in candidates {
            if best.is_some_and(|b| b.0 == 0.0) {
                break;
            }
            let (line, reach) = self.lines_of(form, offset)[l];
            let bar = best.map_or(f64::INFINITY, |b| b.0);
            if let Some((cost, v)) = self.best_on_line(item, form as u32, line, reach, bar)
                && cost < bar
            {
                let seat = Seat {
                    form: form as u32,
                    line,
                    v,
                };
                best = Some((cost, seat, offset));
            }
        }
        let (_, seat, offset) = best?;
        if let Some(g) = group {
            self.offsets[g] = offset;
        }
        Some(seat)
    }

    /// The position of least weighted overlap on one line, unless all cost at
    /// least `bar`. The cost is a sum of tents, concave between their feet: so
    /// only feet and the ends of the reach are looked at.
    fn best_on_line(
        &mut self,
        item: usize,
        form: u32,
        line: i32,
        reach: Span,
        bar: f64,
    ) -> Option<(f64, f64)> {
        let board = self.board;
        let n = self.seats.len();
        let seat = Seat { form, line, v: 0.0 };
        self.near.clear();
        self.tries.clear();
        let lattice = board.is_lattice();
        self.tries
            .push(board.snap(form as usize, line, reach.lo, true));
        self.tries
            .push(board.snap(form as usize, line, reach.hi, false));
        for j in 0..n {
            if j == item {
                continue;
            }
            let other = self.seats[j];
            for s in board.spans(other, seat) {
                let span = Span {
                    lo: s.lo + other.v,
                    hi: s.hi + other.v,
                };
                if span.hi > reach.lo && span.lo < reach.hi {
                    self.near
                        .push((span, f64::from(self.weights[item * n + j])));
                    if span.lo > reach.lo {
                        self.tries
                            .push(board.snap(form as usize, line, span.lo, false));
                    }
                    if span.hi < reach.hi {
                        self.tries
                            .push(board.snap(form as usize, line, span.hi, true));
                    }
                }
            }
        }
        self.work += n as u64;
        let mut best: Option<(f64, f64)> = None;
        let mut bar = bar;
        let first = self.random.below(self.tries.len());
        for t in 0..self.tries.len() {
            let v = self.tries[(first + t) % self.tries.len()];
            if lattice && (v < reach.lo || v > reach.hi) {
                continue;
            }
            let mut cost = 0.0;
            for (visited, (span, weight)) in self.near.iter().enumerate() {
                cost += weight * (v - span.lo).min(span.hi - v).max(0.0);
                if cost >= bar {
                    self.work += visited as u64 / 2;
                    break;
                }
            }
            if cost < bar {
                self.work += self.near.len() as u64;
                bar = cost;
                best = Some((cost, v));
                if cost == 0.0 {
                    break;
                }
            }
        }
        best
    }
}

/// Whether no two seats overlap and all lie within a length (ticks).
pub(crate) fn is_valid(board: &Board, seats: &[Seat], length: f64) -> bool {
    seats.iter().enumerate().all(|(i, &a)| {
        let inside = board
            .reach(a.form as usize, i64::from(a.line), length)
            .is_some_and(|r| r.lo <= a.v && a.v <= r.hi);
        inside
            && seats[..i]
                .iter()
                .all(|&b| depth_in(board.spans(b, a), a.v - b.v) == 0.0)
    })
}
