//! The first layout: largest first, each where it ends lowest.

use super::board::{Board, Seat};
use super::error::LayError;
use super::outline::Span;
use std::collections::HashMap;

/// Pieces laid so far, and the place to look for the next.
///
/// Where a form found no place on a line it will find none later, since pieces
/// only come in: what was found is remembered, and each place is looked at once.
#[derive(Debug)]
pub(crate) struct Heap<'a> {
    board: &'a Board,
    /// Seats in buckets along the fabric, each as long as the tallest piece.
    buckets: Vec<Vec<Seat>>,
    cell: f64,
    /// For a form, a line and a sense: all is taken before here.
    taken: HashMap<(u32, i32, bool), f64>,
    /// Seats looked at so far.
    work: u64,
}

/// Buckets are no shorter than this (ticks: a millimetre), so that there are not too many.
pub(super) const LEAST_CELL: f64 = 10_000.0;

/// So many seats are looked at in some tenths of a second: whoever stops waits no longer.
const PATIENT_WORK: u64 = 5_000_000;

impl<'a> Heap<'a> {
    pub(crate) fn new(board: &'a Board) -> Self {
        Self {
            board,
            buckets: Vec::new(),
            cell: board.tallest().max(LEAST_CELL),
            taken: HashMap::new(),
            work: 0,
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
            let seat = Seat { form, line, v };
            match self.beyond(seat, up) {
                Some(next) => v = self.board.step(seat, next, up),
                None => break,
            }
        }
        self.taken.insert(key, v);
        inside(v).then_some(v)
    }

    /// The far end of whatever is in the way at a seat.
    fn beyond(&mut self, seat: Seat, up: bool) -> Option<f64> {
        let bucket = self.bucket(seat);
        let near = self.buckets.iter().take(bucket + 2);
        let near = near.skip(bucket.saturating_sub(1));
        self.work += 1 + near.clone().map(|b| b.len() as u64).sum::<u64>();
        let near = near.flatten();
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
///
/// Once `stop` says so and the work is more than a moment's, what is left is laid
/// beyond what lies already, without a look at the gaps.
pub(crate) fn lay_first(
    board: &Board,
    order: &[usize],
    stop: &dyn Fn() -> bool,
) -> Result<(Vec<Seat>, Vec<i64>), LayError> {
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
        let choices: Vec<i64> = match group.map(|g| (g, offsets[g])) {
            None => vec![0],
            Some((_, Some(offset))) => vec![offset],
            Some((g, None)) => board.open[g].clone(),
        };
        let is_late = heap.work > PATIENT_WORK && stop();
        let found = if is_late {
            None
        } else {
            lowest(board, &mut heap, kind, &choices, used)
        };
        let (seat, offset) = found
            .or_else(|| lie_beyond(board, kind, &choices, used))
            .ok_or_else(|| board.no_place(item, &choices))?;
        used = used.max(board.end(seat));
        seats[item] = seat;
        heap.push(seat);
        if let Some(g) = group {
            offsets[g] = Some(offset);
        }
    }
    let offsets = offsets.into_iter().map(Option::unwrap_or_default).collect();
    Ok((seats, offsets))
}

/// The free seat of a kind that ends lowest, at one of some offsets, and that offset.
fn lowest(
    board: &Board,
    heap: &mut Heap<'_>,
    kind: usize,
    choices: &[i64],
    used: f64,
) -> Option<(Seat, i64)> {
    let mut best: Option<((f64, f64, f64), Seat, i64)> = None;
    let length = used + board.ample_length();
    for form in board.kinds[kind].clone() {
        for &offset in choices {
            for (line, reach) in board.lines(form, offset, length) {
                for up in [true, false] {
                    // Where the fabric grows along the lines the low end is the better one.
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
    best.map(|(_, seat, offset)| (seat, offset))
}

/// The lowest seat of a kind beyond the fabric `used` (ticks), where nothing lies yet.
fn lie_beyond(board: &Board, kind: usize, choices: &[i64], used: f64) -> Option<(Seat, i64)> {
    // Outlines may reach over the end of what is used by the margin.
    let base = used + board.margin();
    let length = base + board.ample_length();
    let (nx, _) = board.normal();
    let mut best: Option<(f64, Seat, i64)> = None;
    for form in board.kinds[kind].clone() {
        for &offset in choices {
            for (line, reach) in board.lines(form, offset, length) {
                let at = |v| Seat {
                    form: form as u32,
                    line,
                    v,
                };
                let short = base - board.corner(at(0.0)).0;
                let v = if nx == 0.0 {
                    reach.lo
                } else if nx > 0.0 {
                    board.snap(form, line, (short / nx).ceil().max(reach.lo), true)
                } else {
                    board.snap(form, line, (short / nx).floor().min(reach.hi), false)
                };
                let seat = at(v);
                let end = board.end(seat);
                if reach.lo <= v
                    && v <= reach.hi
                    && board.corner(seat).0 >= base - 1.0
                    && best.is_none_or(|(least, ..)| end < least)
                {
                    best = Some((end, seat, offset));
                }
            }
        }
    }
    best.map(|(_, seat, offset)| (seat, offset))
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
