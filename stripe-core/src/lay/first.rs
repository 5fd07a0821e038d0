//! The first lay: largest first, each where it ends lowest.

use super::board::{Board, Seat};
use super::outline::Span;

/// Pieces laid so far, and the place to look for the next.
#[derive(Debug)]
pub(crate) struct Heap<'a> {
    board: &'a Board,
    pub(crate) laid: Vec<Seat>,
    forbidden: Vec<Span>,
}

impl<'a> Heap<'a> {
    pub(crate) fn new(board: &'a Board) -> Self {
        Self {
            board,
            laid: Vec::new(),
            forbidden: Vec::new(),
        }
    }

    /// The first free position on a line in the sense of growth (or the last).
    pub(crate) fn free(&mut self, form: u32, line: i32, reach: Span, up: bool) -> Option<f64> {
        let seat = Seat { form, line, v: 0.0 };
        self.forbidden.clear();
        for &other in &self.laid {
            for s in self.board.spans(other, seat) {
                let (lo, hi) = (s.lo + other.v, s.hi + other.v);
                if hi > reach.lo && lo < reach.hi {
                    self.forbidden.push(Span { lo, hi });
                }
            }
        }
        let snap = |v| self.board.snap(form as usize, line, v, up);
        if up {
            self.forbidden.sort_by(|a, b| a.lo.total_cmp(&b.lo));
            let mut v = snap(reach.lo);
            for s in &self.forbidden {
                // Later spans begin no earlier: `v` is free before this one.
                if v <= s.lo {
                    break;
                }
                if v < s.hi {
                    v = snap(s.hi);
                }
            }
            (v <= reach.hi && self.clear(v)).then_some(v)
        } else {
            self.forbidden.sort_by(|a, b| b.hi.total_cmp(&a.hi));
            let mut v = snap(reach.hi);
            for s in &self.forbidden {
                if v >= s.hi {
                    break;
                }
                if v > s.lo {
                    v = snap(s.lo);
                }
            }
            (v >= reach.lo && self.clear(v)).then_some(v)
        }
    }

    fn clear(&self, v: f64) -> bool {
        !self.forbidden.iter().any(|s| s.lo < v && v < s.hi)
    }
}

/// Lays all items, largest first, each on the line and at the position that
/// ends lowest. Returns the seats and each group's offset (in lines).
pub(crate) fn lay_first(board: &Board, order: &[usize]) -> (Vec<Seat>, Vec<i64>) {
    let none = Seat {
        form: 0,
        line: 0,
        v: 0.0,
    };
    let mut seats = vec![none; board.items.len()];
    let mut offsets: Vec<Option<i64>> = vec![None; board.groups];
    let mut heap = Heap::new(board);
    let mut used: f64 = 0.0;
    for &item in order {
        let (kind, group) = board.items[item];
        let choices: Vec<i64> = match group.map(|g| offsets[g]) {
            None => vec![0],
            Some(Some(offset)) => vec![offset],
            Some(None) => (0..board.stride).collect(),
        };
        let mut best: Option<((f64, f64, f64), Seat, i64)> = None;
        let length = used + board.ample_length();
        for form in board.kinds[kind].clone() {
            for &offset in &choices {
                for (line, reach) in board.lines(form, offset, length) {
                    for up in [true, false] {
                        // Where the cloth grows along the lines the low end is the better one.
                        if board.normal().0.abs() > 0.5 && up != (board.upward() > 0.0) {
                            continue;
                        }
                        let Some(v) = heap.free(form as u32, line, reach, up) else {
                            continue;
                        };
                        let seat = Seat {
                            form: form as u32,
                            line,
                            v,
                        };
                        let (y, x) = board.corner(seat);
                        let key = (board.end(seat), y, x);
                        if best.is_none_or(|(least, ..)| key < least) {
                            best = Some((key, seat, offset));
                        }
                    }
                }
            }
        }
        let (key, seat, offset) = best.expect("beyond what is laid every piece has a line");
        used = used.max(key.0);
        seats[item] = seat;
        heap.laid.push(seat);
        if let Some(g) = group {
            offsets[g] = Some(offset);
        }
    }
    let offsets = offsets.into_iter().map(Option::unwrap_or_default).collect();
    (seats, offsets)
}

/// Items by falling area, then by height, then as given.
pub(crate) fn largest_first(board: &Board) -> Vec<usize> {
    let mut order: Vec<usize> = (0..board.items.len()).collect();
    let size = |item: usize| {
        let form = board.kinds[board.items[item].0].start;
        (
            board.outlines[board.forms[form].shape].area(),
            board.height(form),
        )
    };
    order.sort_by(|&a, &b| {
        let (a, b) = (size(a), size(b));
        b.0.total_cmp(&a.0).then(b.1.total_cmp(&a.1))
    });
    order
}

/// The length (ticks) that seats need.
pub(crate) fn length_of(board: &Board, seats: &[Seat]) -> f64 {
    seats.iter().map(|&s| board.end(s)).fold(0.0, f64::max)
}
