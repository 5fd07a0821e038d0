//! Blocks in rows: what is laid by hand, without taking anything up again.
//!
//! A block is one piece or several that are moved as one. A row begins where the
//! last one ended and is as high as its first block; every other block lies in the
//! first row that has room, pushed against its neighbours.

use super::board::{Board, Seat};
use super::first::beyond;
use super::outline::Span;
use std::collections::HashMap;

/// Rounded corners may stand this much (ticks) over a row's base.
const ROUNDING: f64 = 2.0;

/// Several pieces moved as one: how they may lie, each of them a seat an item.
#[derive(Debug, Clone)]
pub(super) struct Block {
    pub(super) items: Vec<usize>,
    pub(super) poses: Vec<Vec<Seat>>,
    /// Blocks with one number are alike.
    pub(super) like: usize,
}

/// A part of the fabric (ticks): across, and along from the cut end.
#[derive(Debug, Clone, Copy)]
pub(super) struct Room {
    pub(super) x: Span,
    pub(super) y: Span,
}

/// How rows are filled.
#[derive(Debug, Clone, Copy)]
pub(super) struct Habit {
    /// Whether a block may be turned about beside its neighbour.
    pub(super) turns: bool,
    /// How much higher (ticks) than its first block a row may become, for blocks
    /// whose lines or points stand further along than those of the first.
    pub(super) slack: f64,
    /// Whether a block keeps right of all that lies in its row, as if all were oblong.
    pub(super) oblong: bool,
}

/// One row: where it begins and ends, what lies in it.
struct Row {
    y: Span,
    seats: Vec<Seat>,
    /// For a kind of block and a pose: all lines before this one are taken.
    from: HashMap<(usize, usize), usize>,
}

/// Pairs that may be looked at before only the last row is tried.
const WORK: u64 = 20_000_000;

/// Lays blocks in the order given; `None` where one finds no place in a row of its own.
pub(super) fn in_rows(board: &Board, blocks: &[Block], habit: Habit) -> Option<Vec<Seat>> {
    let nothing = Seat {
        form: 0,
        line: 0,
        v: 0.0,
    };
    let mut seats = vec![nothing; board.items.len()];
    let mut rows: Vec<Row> = Vec::new();
    // Rows only fill: where there was no room for one of a kind, there is none later.
    let kinds = blocks.iter().map(|block| block.like + 1).max()?;
    let mut full = vec![0; kinds];
    let mut work = 0;
    for block in blocks {
        let from = full[block.like];
        let from = if work < WORK {
            from
        } else {
            from.max(rows.len().saturating_sub(1))
        };
        let found = (from..rows.len()).find_map(|r| {
            let laid = push_in(board, block, &mut rows[r], habit, &mut work)?;
            Some((r, laid))
        });
        let (r, laid) = match found {
            Some(found) => found,
            None => {
                let base = rows
                    .last()
                    .map_or(-board.margin(), |row| row.y.hi + room_between(board));
                let (laid, top) = open(board, block, base, habit)?;
                rows.push(Row {
                    y: Span { lo: base, hi: top },
                    seats: Vec::new(),
                    from: HashMap::new(),
                });
                (rows.len() - 1, laid)
            }
        };
        full[block.like] = r;
        for (&item, &seat) in block.items.iter().zip(&laid) {
            seats[item] = seat;
            rows[r].y.hi = rows[r].y.hi.max(top(board, seat));
            rows[r].seats.push(seat);
        }
    }
    Some(seats)
}

/// Where the last of a seat's outline is along the fabric (ticks).
pub(super) fn top(board: &Board, seat: Seat) -> f64 {
    board.end(seat) + board.margin()
}

fn poses(block: &Block, habit: Habit) -> &[Vec<Seat>] {
    &block.poses[..if habit.turns { block.poses.len() } else { 1 }]
}

/// The first block of a row: where it ends lowest, leftmost of these.
fn open(board: &Board, block: &Block, base: f64, habit: Habit) -> Option<(Vec<Seat>, f64)> {
    let mut best: Option<((f64, f64), Vec<Seat>)> = None;
    for pose in poses(block, habit) {
        let tall = pose
            .iter()
            .map(|&s| top(board, s))
            .fold(f64::NEG_INFINITY, f64::max);
        let low = pose
            .iter()
            .map(|&s| board.corner(s).0)
            .fold(f64::INFINITY, f64::min);
        let room = Room {
            x: across(board),
            y: Span {
                lo: base,
                hi: base + (tall - low) + board.ample_length(),
            },
        };
        for line in steps(board, pose[0], room) {
            let Some(laid) = slide(board, pose, line, &[], room) else {
                continue;
            };
            let end = laid.iter().map(|&s| top(board, s)).fold(base, f64::max);
            let key = (end, right(board, &laid));
            // Ends within a rounding of each other are one: then the left one.
            let better = best.as_ref().is_none_or(|(least, _)| {
                key.0 < least.0 - ROUNDING || (key.0 < least.0 + ROUNDING && key.1 < least.1)
            });
            if better {
                best = Some((key, laid));
            }
        }
    }
    best.map(|((end, _), laid)| (laid, end + habit.slack))
}

/// A block in a row that is begun, where it reaches least far to the right.
fn push_in(
    board: &Board,
    block: &Block,
    row: &mut Row,
    habit: Habit,
    work: &mut u64,
) -> Option<Vec<Seat>> {
    let mut room = Room {
        x: across(board),
        y: row.y,
    };
    let mut others = &row.seats[..];
    if habit.oblong {
        room.x.lo = room.x.lo.max(right(board, others));
        others = &[];
    }
    let mut best: Option<(f64, Vec<Seat>)> = None;
    for (number, pose) in poses(block, habit).iter().enumerate() {
        let from = row.from.entry((block.like, number)).or_insert(0);
        let lines = steps(
            board,
            pose[0],
            Room {
                x: across(board),
                ..room
            },
        );
        for (i, line) in lines.enumerate().skip(*from) {
            *work += (pose.len() * others.len()) as u64 + 1;
            let Some(laid) = slide(board, pose, line, others, room) else {
                continue;
            };
            let reach = right(board, &laid);
            if best.as_ref().is_none_or(|(least, _)| reach < *least) {
                best = Some((reach, laid));
            }
            if is_lengthwise(board) {
                // Further lines stand further right.
                *from = i;
                break;
            }
        }
    }
    best.map(|(_, laid)| laid)
}

/// What is left between rows (ticks), so that corners that were rounded do not meet: on
/// points, and where lines run exactly across, contact is rounded already.
fn room_between(board: &Board) -> f64 {
    if board.is_lattice() || board.normal().0 == 0.0 {
        0.0
    } else {
        ROUNDING
    }
}

/// Whether the stripes run rather along the fabric than across it.
pub(super) fn is_lengthwise(board: &Board) -> bool {
    board.normal().0.abs() > 0.5
}

/// The fabric from selvage to selvage, and what outlines may reach over them.
pub(super) fn across(board: &Board) -> Span {
    Span {
        lo: -board.margin(),
        hi: board.width() + board.margin(),
    }
}

/// How far a block reaches to the right (ticks).
fn right(board: &Board, laid: &[Seat]) -> f64 {
    let ends = laid.iter().map(|&seat| {
        let x = board.extent(seat.form as usize).0;
        board.corner(seat).1 + (x.hi - x.lo)
    });
    ends.fold(f64::NEG_INFINITY, f64::max)
}

/// By how many lines a seat may be moved to stand in a room, from the left (or from
/// the cut end on): whole repeats only.
pub(super) fn steps(board: &Board, seat: Seat, room: Room) -> impl Iterator<Item = i32> + use<> {
    let (nx, ny) = board.normal();
    let (x, y) = board.extent(seat.form as usize);
    let own = board.u(seat.form as usize, i64::from(seat.line));
    let repeat = board.pitch * board.stride as f64;
    let ends = [room.x.lo - x.lo, room.x.hi - x.hi]
        .into_iter()
        .flat_map(|at_x| {
            [room.y.lo - y.lo, room.y.hi - y.hi].map(|at_y| (at_x * nx + at_y * ny - own) / repeat)
        });
    let (lo, hi) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), u| {
        (lo.min(u), hi.max(u))
    });
    let (lo, hi) = ((lo - 1e-3).floor() as i32, (hi + 1e-3).ceil() as i32);
    let stride = i32::try_from(board.stride).unwrap_or(1);
    let falls = if nx.abs() > 0.5 { nx < 0.0 } else { ny < 0.0 };
    (0..=hi.saturating_sub(lo)).map(move |i| (if falls { hi - i } else { lo + i }) * stride)
}

/// The positions along its line at which a form lies within a room and the fabric.
pub(super) fn within(board: &Board, form: u32, line: i32, room: Room) -> Option<Span> {
    let fabric = board.reach(form as usize, i64::from(line), room.y.hi - board.margin())?;
    let (nx, ny) = board.normal();
    let (x, y) = board.extent(form as usize);
    let u = board.u(form as usize, i64::from(line));
    let (mut lo, mut hi) = (fabric.lo, fabric.hi);
    // Of `reach` only the base of the row and the room's sides are left to ask for.
    let limits = [
        (nx, u * ny + y.lo - room.y.lo),
        (-ny, u * nx + x.lo - room.x.lo),
        (ny, room.x.hi - u * nx - x.hi),
    ];
    for (slope, spare) in limits {
        // slope * v + spare is not to be negative.
        if slope == 0.0 {
            if spare < -ROUNDING {
                return None;
            }
            continue;
        }
        let v = -spare / slope;
        if slope > 0.0 {
            lo = lo.max((v - 1e-3).ceil());
        } else {
            hi = hi.min((v + 1e-3).floor());
        }
    }
    (lo <= hi).then_some(Span { lo, hi })
}

/// A block moved by some lines, and along them until it is clear of what is laid: from
/// the cut end on, where the stripes run along the fabric, else from the left selvage.
fn slide(board: &Board, pose: &[Seat], lines: i32, laid: &[Seat], room: Room) -> Option<Vec<Seat>> {
    let (mut lo, mut hi) = (f64::NEG_INFINITY, f64::INFINITY);
    for seat in pose {
        let reach = within(board, seat.form, seat.line.checked_add(lines)?, room)?;
        lo = lo.max(reach.lo - seat.v);
        hi = hi.min(reach.hi - seat.v);
    }
    let up = goes_up(board);
    let anchor = Seat {
        line: pose[0].line + lines,
        ..pose[0]
    };
    let mut shift = if up { lo } else { hi };
    while lo <= shift && shift <= hi {
        // On a lattice the block goes from point to point.
        let point = board.snap(anchor.form as usize, anchor.line, anchor.v + shift, up) - anchor.v;
        if !(lo - ROUNDING <= point && point <= hi + ROUNDING) {
            return None;
        }
        let moved: Vec<Seat> = pose
            .iter()
            .map(|seat| {
                let line = seat.line + lines;
                Seat {
                    v: board.snap(seat.form as usize, line, seat.v + point, up),
                    line,
                    form: seat.form,
                }
            })
            .collect();
        let ends = moved
            .iter()
            .filter_map(|&seat| Some(beyond(board, laid.iter().copied(), seat, up)? - seat.v));
        let Some(further) = ends.reduce(|a, b| if up { a.max(b) } else { a.min(b) }) else {
            return Some(moved);
        };
        shift = point + further;
    }
    None
}

/// Whether positions along the lines grow from where rows are filled from.
pub(super) fn goes_up(board: &Board) -> bool {
    let (nx, ny) = board.normal();
    if is_lengthwise(board) {
        nx > 0.0
    } else {
        ny < 0.0
    }
}
