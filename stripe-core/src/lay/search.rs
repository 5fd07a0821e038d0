//! The search: shorten the fabric a little, push in what sticks out, and take
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

use super::board::{Board, Seat};
use super::crowd::Crowd;
use super::outline::Span;
use super::overlap::depth_in;
use super::random::Random;
use super::way::Way;

/// Passes over the overlapping pieces without betterment before the walk gives up.
const PATIENCE: usize = 70;

/// How often the walk goes back to the least stuck layout before it gives up.
const STRIKES: usize = 3;

/// One walk of the search over one board.
#[derive(Debug)]
pub(crate) struct Walk<'a> {
    pub(super) board: &'a Board,
    pub(super) random: Random,
    pub(crate) crowd: Crowd<'a>,
    /// Offset of each group (in lines).
    pub(crate) offsets: Vec<i64>,
    /// Members of each group.
    pub(super) members: Vec<Vec<usize>>,
    pub(super) weights: Vec<f32>,
    /// What pairs weigh at first, and fade to.
    base: FirstWeights,
    /// Pairs that weigh more than at first.
    pub(super) heavy: Vec<(u32, u32)>,
    /// Lines of each form at the length tried now; where offsets are free, one
    /// entry for each.
    pub(super) lines: Vec<Vec<(i32, Span)>>,
    pub(super) length: f64,
    /// Interval visits so far: the measure of work.
    pub(crate) work: u64,
    /// Moves so far.
    pub(crate) moves: u64,
    pub(super) way: Way<'a>,
    pub(super) beside: Vec<u32>,
    /// Items by falling area: what is exchanged in a shake.
    pub(super) large: Vec<usize>,
}

/// A lay with overlaps, and how deep they are in all.
#[derive(Debug, Clone)]
pub(crate) struct Stuck {
    pub(crate) depth: f64,
    pub(crate) seats: Vec<Seat>,
    pub(crate) offsets: Vec<i64>,
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
        let mut large = super::first::largest_first(board);
        large.truncate(n.div_ceil(2).max(2));
        let base = FirstWeights::new(board);
        Self {
            board,
            random: Random::new(seed),
            crowd: Crowd::new(board, &seats),
            offsets,
            members,
            weights: base.all(n),
            base,
            heavy: Vec::new(),
            lines: Vec::new(),
            length: 0.0,
            work: 0,
            moves: 0,
            way: Way::default(),
            beside: Vec::new(),
            large,
        }
    }

    /// Stands all pieces anew.
    pub(crate) fn stand(&mut self, seats: &[Seat], offsets: &[i64]) {
        self.crowd.stand(seats);
        self.offsets.copy_from_slice(offsets);
    }

    /// Takes a strip out of the fabric somewhere, so that what lies beyond comes
    /// nearer by `less` (ticks).
    pub(crate) fn take_out(&mut self, less: f64, length: f64) {
        let (nx, _) = self.board.normal();
        if nx.abs() < 0.5 || self.board.is_lattice() {
            return;
        }
        let cut = length * self.random.below(1000) as f64 / 1000.0;
        let mut seats = self.crowd.seats.clone();
        for seat in &mut seats {
            if self.board.corner(*seat).0 > cut {
                seat.v -= (less / nx).round();
            }
        }
        self.crowd.stand(&seats);
    }

    /// Sets the length to be reached and pushes in what sticks out.
    pub(crate) fn shorten(&mut self, length: f64) {
        if length != self.length {
            self.length = length;
            let stride = self.board.stride;
            self.lines = (0..self.board.forms.len())
                .flat_map(|f| (0..stride).map(move |o| (f, o)))
                .map(|(f, o)| self.board.lines(f, o, length))
                .collect();
            self.work += 8 * self.lines.iter().map(|l| l.len() as u64 + 1).sum::<u64>();
        }
        for i in 0..self.crowd.seats.len() {
            let seat = self.crowd.seats[i];
            let form = seat.form as usize;
            match self.board.reach(form, i64::from(seat.line), length) {
                Some(reach) => {
                    let v = seat.v.clamp(reach.lo, reach.hi);
                    if v != seat.v {
                        let v = self.board.snap(form, seat.line, v, v > seat.v);
                        self.crowd.move_to(i, Seat { v, ..seat });
                    }
                }
                None => {
                    if let Some(seat) = self.best_seat(i, true) {
                        self.crowd.move_to(i, seat);
                    }
                }
            }
        }
        self.work += self.crowd.seats.len() as u64;
    }

    /// Whether every piece still has a line at the length tried now.
    pub(crate) fn is_possible(&self) -> bool {
        (0..self.crowd.seats.len()).all(|i| {
            let (kind, group) = self.board.items[i];
            self.board.kinds[kind].clone().any(|f| {
                let offset = group.map_or(0, |g| self.offsets[g]);
                !self.lines_of(f, offset).is_empty()
            })
        })
    }

    pub(super) fn lines_of(&self, form: usize, offset: i64) -> &[(i32, Span)] {
        &self.lines[form * self.board.stride as usize + offset as usize]
    }

    /// Takes overlaps apart until there are none (`None`), or until the work or
    /// the patience is spent, or `stop` says so: then the least stuck layout.
    pub(crate) fn separate(&mut self, work: u64, stop: &dyn Fn() -> bool) -> Option<Stuck> {
        let n = self.crowd.seats.len();
        let mut least = Stuck {
            depth: f64::INFINITY,
            seats: Vec::new(),
            offsets: Vec::new(),
        };
        let (mut idle, mut strikes) = (0, 0);
        let mut order: Vec<usize> = Vec::new();
        loop {
            order.clear();
            for i in 0..n {
                if !self.crowd.clashes(i).is_empty() {
                    order.push(i);
                }
            }
            if order.is_empty() {
                return None;
            }
            if least.seats.is_empty() {
                least.seats.clone_from(&self.crowd.seats);
                least.offsets.clone_from(&self.offsets);
            }
            if self.work >= work || stop() {
                return Some(least);
            }
            self.random.shuffle(&mut order);
            for &i in &order {
                if stop() {
                    return Some(least);
                }
                if !self.crowd.clashes(i).is_empty()
                    && let Some(seat) = self.best_seat(i, false)
                {
                    self.crowd.move_to(i, seat);
                }
            }
            self.move_group(&order);
            let total = self.reweigh();
            if total == 0.0 {
                return None;
            }
            if total < least.depth {
                if total < least.depth * 0.98 {
                    idle = 0;
                }
                least.depth = total;
                least.seats.clone_from(&self.crowd.seats);
                least.offsets.clone_from(&self.offsets);
            }
            idle += 1;
            if idle > PATIENCE {
                strikes += 1;
                if strikes == STRIKES {
                    return Some(least);
                }
                // Back to the best, with all that was learnt since.
                self.crowd.stand(&least.seats);
                self.offsets.clone_from(&least.offsets);
                idle = 0;
            }
        }
    }

    /// Exchanges large pieces of different kinds, and forgets all weights.
    pub(crate) fn shake(&mut self) {
        for _ in 0..1 + self.random.below(2) {
            let a = self.large[self.random.below(self.large.len())];
            let b = self.large[self.random.below(self.large.len())];
            if self.board.items[a].0 == self.board.items[b].0 {
                continue;
            }
            let (sa, sb) = (self.crowd.seats[a], self.crowd.seats[b]);
            if let (Some(na), Some(nb)) = (self.seat_near(a, sb), self.seat_near(b, sa)) {
                self.crowd.move_to(a, na);
                self.crowd.move_to(b, nb);
            }
        }
        self.forget();
    }

    /// Makes all pairs weigh what they did at first.
    pub(crate) fn forget(&mut self) {
        let n = self.crowd.seats.len();
        for &(i, j) in &self.heavy {
            let (i, j) = (i as usize, j as usize);
            self.weights[i * n + j] = self.base.of(i, j);
            self.weights[j * n + i] = self.base.of(j, i);
        }
        self.heavy.clear();
    }

    /// The seat of `item` nearest to where another piece stands.
    fn seat_near(&mut self, item: usize, there: Seat) -> Option<Seat> {
        let board = self.board;
        let (kind, group) = board.items[item];
        let offset = group.map_or(0, |g| self.offsets[g]);
        let forms = board.kinds[kind].clone();
        let form = forms.start + self.random.below(forms.len());
        // Middle to middle.
        let middle = |form: usize| {
            let outline = &board.outlines[board.forms[form].shape];
            let across = outline.across();
            (
                (across.lo + across.hi) / 2.0,
                (outline.along.lo + outline.along.hi) / 2.0,
            )
        };
        let (mine, other) = (middle(form), middle(there.form as usize));
        let u = board.u(there.form as usize, i64::from(there.line)) + other.0 - mine.0;
        let v = there.v + other.1 - mine.1;
        let &(line, reach) = self.lines_of(form, offset).iter().min_by(|a, b| {
            let far = |k: i32| (board.u(form, i64::from(k)) - u).abs();
            far(a.0).total_cmp(&far(b.0))
        })?;
        let at = board.snap(form, line, v.round().clamp(reach.lo, reach.hi), true);
        Some(Seat {
            form: form as u32,
            line,
            v: if at > reach.hi {
                board.snap(form, line, reach.hi, false)
            } else {
                at
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
        let (seats, offset) = (self.crowd.seats.clone(), self.offsets[group]);
        self.offsets[group] = self.random.below(self.board.stride as usize) as i64;
        for i in self.members[group].clone() {
            match self.best_seat(i, true) {
                Some(seat) => self.crowd.move_to(i, seat),
                None => {
                    // Not every piece has a line at this offset.
                    self.crowd.stand(&seats);
                    self.offsets[group] = offset;
                    return;
                }
            }
        }
    }

    /// Weights of overlapping pairs grow, those of others fade. Returns the
    /// sum of all overlaps.
    fn reweigh(&mut self) -> f64 {
        let n = self.crowd.seats.len();
        let mut total = 0.0;
        let mut deepest: f64 = 0.0;
        for i in 0..n {
            for clash in self.crowd.clashes(i) {
                total += clash.depth / 2.0;
                deepest = deepest.max(clash.depth);
            }
        }
        // Fading first: what overlaps grows by more than it fades.
        let weights = &mut self.weights;
        let base = &self.base;
        self.heavy.retain(|&(i, j)| {
            let (i, j) = (i as usize, j as usize);
            let least = base.of(i, j);
            let w = (weights[i * n + j] * 0.95).max(least);
            weights[i * n + j] = w;
            weights[j * n + i] = w;
            w > least
        });
        for i in 0..n {
            for clash in self.crowd.clashes(i) {
                let j = clash.other as usize;
                if j >= i {
                    continue;
                }
                let at = i * n + j;
                let growth = 1.25 + 0.85 * clash.depth / deepest;
                if self.weights[at] <= self.base.of(i, j) {
                    self.heavy.push((i as u32, clash.other));
                }
                let w = (self.weights[at] * growth as f32).min(1e12);
                self.weights[at] = w;
                self.weights[j * n + i] = w;
            }
        }
        total
    }
}

/// What overlaps weigh before any is learnt, for each pair of items: on plain fabric
/// the geometric mean of their areas. Large pieces find other places least easily, so
/// that the small ones give way. On lines the small ones cannot, and all weigh the same.
#[derive(Debug)]
struct FirstWeights {
    /// One an item; empty where all pairs weigh the same.
    sizes: Vec<f64>,
    mean: f64,
}

impl FirstWeights {
    fn new(board: &Board) -> Self {
        if !board.is_plane() {
            return Self {
                sizes: Vec::new(),
                mean: 1.0,
            };
        }
        let sizes: Vec<f64> = board
            .items
            .iter()
            .map(|&(kind, _)| {
                let form = board.kinds[kind].start;
                board.outlines[board.forms[form].shape].area().sqrt()
            })
            .collect();
        let mean = sizes.iter().sum::<f64>() / sizes.len() as f64;
        Self { sizes, mean }
    }

    /// What the overlap of two items weighs.
    fn of(&self, i: usize, j: usize) -> f32 {
        match (self.sizes.get(i), self.sizes.get(j)) {
            (Some(a), Some(b)) => (a * b / self.mean / self.mean) as f32,
            _ => 1.0,
        }
    }

    /// Those of all pairs of `n` items, row by row.
    fn all(&self, n: usize) -> Vec<f32> {
        if self.sizes.is_empty() {
            return vec![1.0; n * n];
        }
        (0..n * n).map(|at| self.of(at / n, at % n)).collect()
    }
}

/// Whether no two seats overlap and all lie within a length (ticks).
///
/// Time grows with the number of pairs side by side along the fabric.
pub(crate) fn is_valid(board: &Board, seats: &[Seat], length: f64) -> bool {
    let inside = |seat: &Seat| {
        board
            .reach(seat.form as usize, i64::from(seat.line), length)
            .is_some_and(|r| r.lo <= seat.v && seat.v <= r.hi)
    };
    if !seats.iter().all(inside) {
        return false;
    }
    let mut order: Vec<(f64, f64, Seat)> = seats
        .iter()
        .map(|&seat| {
            let low = board.corner(seat).0;
            (low, low + board.height(seat.form as usize), seat)
        })
        .collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    order.iter().enumerate().all(|(rank, &(_, end, a))| {
        let mut beside = order[rank + 1..].iter().take_while(|next| next.0 < end);
        beside.all(|&(_, _, b)| depth_in(board.spans(a, b), b.v - a.v) == 0.0)
    })
}
