//! The first lay: largest first, each where it ends lowest.

use super::board::{Board, Seat};
use super::outline::Span;
use std::collections::HashMap;

/// Pieces laid so far, and the place to look for the next.
///
/// Where a form found no place on a line it will find none later, since pieces
/// only come in: what was found is remembered, and each place is looked at once.
#[derive(Debug)]
pub(crate) struct Heap<'a> {
    board: &'a Board,
    /// Seats in buckets along the cloth, each as long as the tallest piece.
    buckets: Vec<Vec<Seat>>,
    cell: f64,
    /// For a form, a line and a sense: all is taken before here.
    taken: HashMap<(u32, i32, bool), f64>,
}

impl<'a> Heap<'a> {
    pub(crate) fn new(board: &'a Board) -> Self {
        Self {
            board,
            buckets: Vec::new(),
            cell: board.tallest().max(1.0),
            taken: HashMap::new(),
        }
    }

    fn bucket(&self, seat: Seat) -> usize {
        // Casts of what is below nothing give 0.
        (self.board.corner(seat).0 / self.cell + 1.0) as usize
    }

    pub(crate) fn push(&mut self, seat: Seat) {
        let bucket = self.bucket(seat);
        if self.buckets.len() <= bucket {
            self.buckets.resize(bucket + 1, Vec::new());
        }
        self.buckets[bucket].push(seat);
    }

    /// The first free position on a line in the sense of growth (or the last).
    pub(crate) fn free(&mut self, form: u32, line: i32, reach: Span, up: bool) -> Option<f64> {
        let key = (form, line, up);
        let snap = |v| self.board.snap(form as usize, line, v, up);
        let from = if up { reach.lo } else { reach.hi };
        let mut v = snap(match self.taken.get(&key) {
            Some(&taken) if up => taken.max(from),
            Some(&taken) => taken.min(from),
            None => from,
        });
        let inside = |v: f64| reach.lo <= v && v <= reach.hi;
        while inside(v) {
            match self.beyond(Seat { form, line, v }, up) {
                Some(next) => v = snap(next),
                None => break,
            }
        }
        self.taken.insert(key, v);
        inside(v).then_some(v)
    }

    /// The far end of whatever is in the way at a seat.
    fn beyond(&self, seat: Seat, up: bool) -> Option<f64> {
        let bucket = self.bucket(seat);
        let near = self.buckets.iter().take(bucket + 2);
        let near = near.skip(bucket.saturating_sub(1)).flatten();
        beyond(self.board, near.copied(), seat, up)
    }
}

/// The far end, upward or downward along the line, of whatever of `laid` is in the
/// way at a seat; `None` where it is free.
pub(crate) fn beyond(
    board: &Board,
    laid: impl Iterator<Item = Seat>,
    seat: Seat,
    up: bool,
) -> Option<f64> {
    let ends = laid
        .flat_map(|other| {
            let spans = board.spans(other, seat).iter();
            spans.map(move |s| (s.lo + other.v, s.hi + other.v))
        })
        .filter(|&(lo, hi)| lo < seat.v && seat.v < hi);
    if up {
        ends.map(|(_, hi)| hi).reduce(f64::max)
    } else {
        ends.map(|(lo, _)| lo).reduce(f64::min)
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
        heap.push(seat);
        if let Some(g) = group {
            offsets[g] = Some(offset);
        }
    }
    let offsets = offsets.into_iter().map(Option::unwrap_or_default).collect();
    (seats, offsets)
}

/// How many items there are of each kind.
pub(crate) fn copies(board: &Board) -> Vec<u32> {
    let mut copies = vec![0; board.kinds.len()];
    for &(kind, _) in &board.items {
        copies[kind] += 1;
    }
    copies
}

/// Seats of kinds, in any order, given to the items of those kinds.
pub(crate) fn places(board: &Board, laid: &[(usize, Seat)]) -> Option<Vec<Seat>> {
    let mut of_kind: Vec<Vec<Seat>> = vec![Vec::new(); board.kinds.len()];
    for &(kind, seat) in laid.iter().rev() {
        of_kind[kind].push(seat);
    }
    let items = board.items.iter();
    items.map(|&(kind, _)| of_kind[kind].pop()).collect()
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
