//! The lay as it is done by hand: whole motifs in rows, first row first.
//!
//! Each motif is spread out as it will be sewn, its pieces slid apart along the
//! stripe as far as they must be, and laid as one: in the first row that has
//! room, else in a new row that begins where the last one ended.

use super::board::{Board, Seat};
use super::data::Job;
use super::first::Heap;
use super::outline::Span;

/// A motif as spread out: its pieces relative to their common line and place.
struct Block {
    items: Vec<usize>,
    seats: Vec<Seat>,
    /// Where it begins and ends along the cloth (ticks), spread out at 0.
    low: f64,
    high: f64,
}

/// One row: where it begins, how high it is, what lies in it.
struct Row {
    base: f64,
    top: f64,
    seats: Vec<Seat>,
}

/// Lays the job by hand, with these offsets (in lines) for the groups.
pub(crate) fn lay_by_hand(board: &Board, job: &Job, offsets: &[i64]) -> Vec<Seat> {
    let mut numbers: Vec<usize> = job.items.iter().map(|i| i.block).collect();
    numbers.sort_unstable();
    numbers.dedup();
    let mut blocks: Vec<Block> = Vec::new();
    for number in numbers {
        let items: Vec<usize> = (0..job.items.len())
            .filter(|&i| job.items[i].block == number)
            .collect();
        match spread(board, &items, offsets) {
            Some(block) if place(board, &block, &new_row(0.0)).is_some() => blocks.push(block),
            // Too wide as a whole: piece by piece, as anybody would.
            _ => blocks.extend(items.iter().filter_map(|&i| spread(board, &[i], offsets))),
        }
    }
    // Like goes with like, tall rows first.
    blocks.sort_by(|a, b| (b.high - b.low).total_cmp(&(a.high - a.low)));
    let mut seats = vec![
        Seat {
            form: 0,
            line: 0,
            v: 0.0
        };
        job.items.len()
    ];
    let mut rows: Vec<Row> = Vec::new();
    for block in &blocks {
        let tall = block.high - block.low;
        let mut found = None;
        for (r, row) in rows.iter().enumerate() {
            if row.top - row.base + 0.5 >= tall
                && let Some(laid) = place(board, block, row)
            {
                found = Some((r, laid));
                break;
            }
        }
        let (r, laid) = found.unwrap_or_else(|| {
            let base = rows.last().map_or(-board.margin(), |row| row.top);
            rows.push(new_row(base));
            let laid = place(board, block, &rows[rows.len() - 1])
                .unwrap_or_else(|| alone(board, block, base, offsets));
            (rows.len() - 1, laid)
        });
        for (&item, &seat) in block.items.iter().zip(&laid) {
            seats[item] = seat;
            let top = board.end(seat) + board.margin();
            rows[r].top = rows[r].top.max(top);
            rows[r].seats.push(seat);
        }
    }
    seats
}

/// A piece that finds no room in a row as it lies by nature: on whatever line
/// and in whatever pose ends lowest beyond `base`.
fn alone(board: &Board, block: &Block, base: f64, offsets: &[i64]) -> Vec<Seat> {
    let mut base = base;
    let mut seats = Vec::new();
    for &item in &block.items {
        let (kind, group) = board.items[item];
        let offset = group.map_or(0, |g| offsets[g]);
        let length = base + board.ample_length();
        let mut best: Option<Seat> = None;
        for form in board.kinds[kind].clone() {
            for (line, reach) in board.lines(form, offset, length) {
                let up = board.upward() > 0.0;
                let at = |v: f64| Seat {
                    form: form as u32,
                    line,
                    v: board.snap(form, line, v, up),
                };
                let nx = board.normal().0;
                let short = base - board.corner(at(0.0)).0;
                let v = if nx == 0.0 {
                    reach.lo
                } else if up {
                    reach.lo.max((short / nx - 1e-3).ceil())
                } else {
                    reach.hi.min((short / nx + 1e-3).floor())
                };
                let seat = at(v);
                let clear =
                    board.corner(seat).0 >= base - 2.0 && reach.lo <= seat.v && seat.v <= reach.hi;
                if clear && best.is_none_or(|b| board.end(seat) < board.end(b)) {
                    best = Some(seat);
                }
            }
        }
        let seat = best.expect("beyond what is laid every piece has a line");
        base = base.max(board.end(seat) + board.margin());
        seats.push(seat);
    }
    seats
}

fn new_row(base: f64) -> Row {
    Row {
        base,
        top: base,
        seats: Vec::new(),
    }
}

/// Spreads a motif: its pieces near one line, lowest first, each slid along the
/// stripe until it is clear of those before it.
fn spread(board: &Board, items: &[usize], offsets: &[i64]) -> Option<Block> {
    let mut order = items.to_vec();
    let natural = |item: usize| {
        let (kind, group) = board.items[item];
        board.natural(board.kinds[kind].start, group.map_or(0, |g| offsets[g]))
    };
    order.sort_by(|&a, &b| {
        let (a, b) = (board.corner(natural(a)), board.corner(natural(b)));
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    let far = Span { lo: 0.0, hi: 1e12 };
    let mut heap = Heap::new(board);
    let mut seats = Vec::new();
    for &item in &order {
        let seat = natural(item);
        let v = heap.free(seat.form, seat.line, far, true)?;
        heap.push(Seat { v, ..seat });
        seats.push(Seat { v, ..seat });
    }
    let low = seats
        .iter()
        .map(|&s| board.corner(s).0)
        .fold(f64::INFINITY, f64::min);
    let high = seats
        .iter()
        .map(|&s| board.end(s) + board.margin())
        .fold(f64::NEG_INFINITY, f64::max);
    Some(Block {
        items: order,
        seats,
        low,
        high,
    })
}

/// The first place from the left in a row where a block lies clear.
fn place(board: &Board, block: &Block, row: &Row) -> Option<Vec<Seat>> {
    let (nx, ny) = board.normal();
    let stride = i32::try_from(board.stride).unwrap_or(1);
    let tall = block.high - block.low;
    let reach = board.pitch * f64::from(stride);
    let mut best: Option<(f64, Vec<Seat>)> = None;
    let left = block
        .seats
        .iter()
        .map(|&s| board.corner(s).1)
        .fold(f64::INFINITY, f64::min);
    let count = if nx.abs() > 0.5 {
        (board.width() / reach).ceil() as i32 + 2
    } else {
        // A lean carries lines up and down across the width.
        2 + (board.width() * nx.abs() / reach).ceil() as i32
    };
    // Lengthwise: the block moves across by lines, and along until it stands on
    // the row's base. Crosswise: the other way round.
    let centre = if nx.abs() > 0.5 {
        ((-left) / (nx * reach)).round() as i32
    } else {
        ((row.base - block.low) / (ny * reach)).round() as i32
    };
    for step in -count..=count {
        let line = (centre + step) * stride;
        let shift_u = f64::from(line) * board.pitch;
        let tries: Vec<f64> = if nx.abs() > 0.5 {
            let v = (row.base - block.low - shift_u * ny) / nx;
            vec![if nx > 0.0 {
                (v - 1e-3).ceil()
            } else {
                (v + 1e-3).floor()
            }]
        } else {
            // Beside what lies there: behind each piece, and at the selvage.
            let edge = (left + board.margin()) / ny;
            let mut tries = vec![if ny > 0.0 {
                (edge + 1e-3).floor()
            } else {
                (edge - 1e-3).ceil()
            }];
            for &other in &row.seats {
                for &own in &block.seats {
                    let own = Seat {
                        line: own.line + line,
                        ..own
                    };
                    for s in board.spans(other, own) {
                        let v = if ny > 0.0 { s.lo } else { s.hi };
                        tries.push(v + other.v - own.v);
                    }
                }
            }
            tries
        };
        for shift_v in tries {
            let laid: Vec<Seat> = block
                .seats
                .iter()
                .map(|s| {
                    let v = s.v + shift_v;
                    Seat {
                        form: s.form,
                        line: s.line + line,
                        v: board.snap(s.form as usize, s.line + line, v, true),
                    }
                })
                .collect();
            let inside = laid.iter().all(|s| {
                let length = row.base + tall + 2.0 * reach + board.width() + board.ample_length();
                board
                    .reach(s.form as usize, i64::from(s.line), length)
                    .is_some_and(|r| r.lo <= s.v && s.v <= r.hi)
            });
            let low = laid
                .iter()
                .map(|&s| board.corner(s).0)
                .fold(f64::INFINITY, f64::min);
            let stands = low >= row.base - 2.0 && (nx.abs() > 0.5 || low <= row.base + reach + 2.0);
            let clear = inside
                && stands
                && laid
                    .iter()
                    .all(|&s| row.seats.iter().all(|&o| board.depth(o, s) == 0.0));
            // A row that is full already keeps its height.
            let fits = row.seats.is_empty()
                || laid
                    .iter()
                    .all(|&s| board.end(s) + board.margin() <= row.top + 0.5);
            if clear && fits {
                let x = laid
                    .iter()
                    .map(|&s| board.corner(s).1)
                    .fold(f64::INFINITY, f64::min);
                let key = if nx.abs() > 0.5 { x } else { low * 16.0 + x };
                if best.as_ref().is_none_or(|(least, _)| key < *least) {
                    best = Some((key, laid));
                }
            }
        }
    }
    best.map(|(_, laid)| laid)
}
