//! A move: the seat of least weighted overlap for one piece, among all its lines
//! or a sample of them.

use super::board::Seat;
use super::outline::Span;
use super::search::Walk;

/// Up to so many lines are all looked at in one move.
const ALL: usize = 48;

/// Of more lines, so many anywhere.
const FAR: usize = 8;

/// And so many near where the piece stands.
const CLOSE: usize = 6;

/// A reach longer than this many heights of the tallest piece is looked at in
/// part only.
const TALL: f64 = 16.0;

impl Walk<'_> {
    /// The seat of least weighted overlap for a piece, among all its lines or a
    /// sample of them. With `anywhere`, the seat that it has now does not count.
    pub(super) fn best_seat(&mut self, item: usize, anywhere: bool) -> Option<Seat> {
        self.moves += 1;
        let board = self.board;
        let (kind, group) = board.items[item];
        let own = group.map_or(0, |g| self.offsets[g]);
        let offsets = match group {
            Some(g) if self.members[g].len() == 1 => 0..board.stride,
            Some(_) => own..own + 1,
            None => 0..1,
        };
        let mut lists: Vec<(usize, i64, usize)> = Vec::new();
        for form in board.kinds[kind].clone() {
            for offset in offsets.clone() {
                lists.push((form, offset, self.lines_of(form, offset).len()));
            }
        }
        let total: usize = lists.iter().map(|l| l.2).sum();
        let now = self.crowd.seats[item];
        let mut best: Option<(f64, Seat, i64)> = None;
        let inside = board
            .reach(now.form as usize, i64::from(now.line), self.length)
            .is_some_and(|reach| reach.lo <= now.v && now.v <= reach.hi);
        if !anywhere && inside {
            // Where it stands it may stay: only what costs less is of interest.
            best = Some((self.cost_now(item) * 1.000_000_1, now, own));
        }
        let mut candidates: Vec<(usize, i64, usize, Option<f64>)> = Vec::new();
        if total <= ALL {
            for &(form, offset, count) in &lists {
                candidates.extend((0..count).map(|l| (form, offset, l, None)));
            }
            self.random.shuffle(&mut candidates);
        } else {
            self.sample(&lists, total, now, &mut candidates);
        }
        for (form, offset, l, about) in candidates {
            if best.is_some_and(|b| b.0 == 0.0) {
                break;
            }
            self.try_line(item, form, offset, l, about, &mut best);
        }
        if total > ALL
            && let Some((_, seat, offset)) = best
        {
            // Closer and closer about the best place.
            let form = seat.form as usize;
            let lines = self.lines_of(form, offset).len();
            let mut l = self
                .lines_of(form, offset)
                .partition_point(|x| x.0 < seat.line);
            let mut v = seat.v;
            let mut step = 8;
            while step > 0 && best.is_some_and(|b| b.0 > 0.0) {
                let mut better = false;
                let near = [l.checked_sub(step), Some(l + step), Some(l)];
                for next in near.into_iter().flatten().filter(|&next| next < lines) {
                    if self.try_line(item, form, offset, next, Some(v), &mut best) {
                        l = next;
                        better = true;
                    }
                }
                v = best.map_or(v, |b| b.1.v);
                if !better {
                    step /= 2;
                }
            }
        }
        let (_, seat, offset) = best?;
        if let Some(g) = group {
            self.offsets[g] = offset;
        }
        Some(seat)
    }

    /// The weighted overlaps of a piece where it stands.
    fn cost_now(&self, item: usize) -> f64 {
        let n = self.crowd.seats.len();
        let weights = &self.weights[item * n..(item + 1) * n];
        let clashes = self.crowd.clashes(item).iter();
        clashes
            .map(|c| f64::from(weights[c.other as usize]) * c.depth)
            .sum()
    }

    /// Looks for a better seat on a line; whether it found one.
    fn try_line(
        &mut self,
        item: usize,
        form: usize,
        offset: i64,
        l: usize,
        about: Option<f64>,
        best: &mut Option<(f64, Seat, i64)>,
    ) -> bool {
        let (line, reach) = self.lines_of(form, offset)[l];
        let bar = best.map_or(f64::INFINITY, |b| b.0);
        let reach = match about {
            Some(v) => {
                let near = self.board.height(form) * 0.5;
                let span = Span {
                    lo: (v - near).round().max(reach.lo),
                    hi: (v + near).round().min(reach.hi),
                };
                if span.lo > span.hi {
                    return false;
                }
                span
            }
            None => self.part(reach, None),
        };
        match self.best_on_line(item, form as u32, line, reach, about, bar) {
            Some((cost, v)) if cost < bar => {
                let seat = Seat {
                    form: form as u32,
                    line,
                    v,
                };
                *best = Some((cost, seat, offset));
                true
            }
            _ => false,
        }
    }

    /// Draws lines anywhere and near where a piece stands.
    fn sample(
        &mut self,
        lists: &[(usize, i64, usize)],
        total: usize,
        now: Seat,
        candidates: &mut Vec<(usize, i64, usize, Option<f64>)>,
    ) {
        for _ in 0..FAR {
            let mut at = self.random.below(total);
            for &(form, offset, count) in lists {
                if at < count {
                    candidates.push((form, offset, at, None));
                    break;
                }
                at -= count;
            }
        }
        for _ in 0..CLOSE {
            let (form, offset, count) = lists[self.random.below(lists.len())];
            if count == 0 {
                continue;
            }
            let here = self
                .lines_of(form, offset)
                .partition_point(|x| x.0 < now.line)
                .min(count - 1);
            // Far less often than near, on every scale alike.
            let scale = 1usize << (1 + self.random.below(6));
            let off = self.random.below(2 * scale + 1);
            let at = (here + off).saturating_sub(scale).min(count - 1);
            candidates.push((form, offset, at, Some(now.v)));
        }
    }

    /// On long cloth, a part of a reach: around `v`, or anywhere.
    fn part(&mut self, reach: Span, v: Option<f64>) -> Span {
        let most = TALL * self.crowd.cell;
        if reach.hi - reach.lo <= most {
            return reach;
        }
        let middle = match v {
            Some(v) => v,
            None => reach.lo + self.random.below((reach.hi - reach.lo) as usize) as f64,
        };
        let lo = (middle - most / 2.0).max(reach.lo).round();
        let lo = lo.min((reach.hi - most).round());
        Span {
            lo,
            hi: (lo + most).round(),
        }
    }

    /// The position of least weighted overlap on one line, unless all cost at
    /// least `bar`.
    fn best_on_line(
        &mut self,
        item: usize,
        form: u32,
        line: i32,
        reach: Span,
        about: Option<f64>,
        bar: f64,
    ) -> Option<(f64, f64)> {
        let board = self.board;
        let n = self.crowd.seats.len();
        let seat = Seat { form, line, v: 0.0 };
        let at = form as usize;
        let lattice = board.is_lattice();
        let mut way = std::mem::take(&mut self.way);
        way.clear(reach);
        let look = |v: f64, up: bool| {
            let v = board.snap(at, line, v, up);
            if !lattice || (reach.lo <= v && v <= reach.hi) {
                Some(v)
            } else {
                None
            }
        };
        for v in [look(reach.lo, true), look(reach.hi, false)]
            .into_iter()
            .flatten()
        {
            way.try_at(v);
        }
        if let Some(v) = about
            && board.is_plane()
        {
            // Between two that press from the sides the best place may be no foot.
            let step = board.height(at) / 2.0;
            let part = [0.0, 1.0 / 64.0, -1.0 / 64.0, 1.0 / 12.0, -1.0 / 12.0];
            for v in part.map(|p| (v + p * step).round()) {
                if reach.lo < v && v < reach.hi {
                    way.try_at(v);
                }
            }
        }
        self.crowd
            .beside(seat, reach.lo, reach.hi, &mut self.beside);
        for &j in &self.beside {
            if j as usize == item {
                continue;
            }
            let other = self.crowd.seats[j as usize];
            let spans = board.spans(other, seat);
            if spans.is_empty() {
                continue;
            }
            let deep = board.column(other, seat).map(|c| (c, other.v));
            let weight = f64::from(self.weights[item * n + j as usize]);
            for s in spans {
                let (lo, hi) = (s.lo + other.v, s.hi + other.v);
                if hi > reach.lo && lo < reach.hi {
                    way.add(lo, hi, weight, deep);
                    if lo > reach.lo
                        && let Some(v) = look(lo, false)
                    {
                        way.try_at(v);
                    }
                    if hi < reach.hi
                        && let Some(v) = look(hi, true)
                    {
                        way.try_at(v);
                    }
                }
            }
        }
        self.work += self.beside.len() as u64;
        let first = self.random.bits() >> 32;
        let best = way.least(bar, first, &mut self.work);
        self.way = way;
        best
    }
}
