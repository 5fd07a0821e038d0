//! Blocks in rows: what is laid by hand, without taking anything up again.
//!
//! A block is one piece or several that are moved as one. A row begins where the
//! last one ended and is as high as its first block; every other block lies in the
//! first row that has room, pushed against its neighbours.

use super::first::beyond;
use super::instance::{Instance, LinePlacement};
use super::outline::Interval;
use std::collections::HashMap;

/// Rounded corners may stand this much (units) over a row's base.
const ROUNDING: f64 = 2.0;

/// Several pieces moved as one: how they may lie, each of them a placement an item.
#[derive(Debug, Clone)]
pub(super) struct Block {
    pub(super) items: Vec<usize>,
    pub(super) poses: Vec<Vec<LinePlacement>>,
    /// Blocks with one number are alike.
    pub(super) like: usize,
}

/// A part of the fabric (units): across, and along from the cut end.
#[derive(Debug, Clone, Copy)]
pub(super) struct Room {
    pub(super) x: Interval,
    pub(super) y: Interval,
}

/// How rows are filled.
#[derive(Debug, Clone, Copy)]
pub(super) struct Habit {
    /// Whether a block may be turned about beside its neighbour.
    pub(super) turns: bool,
    /// How much higher (units) than its first block a row may become, for blocks
    /// whose lines or points stand further along than those of the first.
    pub(super) slack: f64,
    /// Whether a block keeps right of all that lies in its row, as if all were oblong.
    pub(super) oblong: bool,
}

/// One row: where it begins and ends, what lies in it.
struct Row {
    y: Interval,
    placements: Vec<LinePlacement>,
    /// For a kind of block and a pose: all lines before this one are taken.
    from: HashMap<(usize, usize), usize>,
}

/// Pairs that may be looked at before only the last row is tried.
const WORK: u64 = 20_000_000;

/// Lays blocks in the order given; `None` where one finds no place in a row of its own.
pub(super) fn in_rows(
    instance: &Instance,
    blocks: &[Block],
    habit: Habit,
) -> Option<Vec<LinePlacement>> {
    let nothing = LinePlacement {
        orientation: 0,
        line: 0,
        v: 0.0,
    };
    let mut placements = vec![nothing; instance.items.len()];
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
            let laid = push_in(instance, block, &mut rows[r], habit, &mut work)?;
            Some((r, laid))
        });
        let (r, laid) = match found {
            Some(found) => found,
            None => {
                let base = rows
                    .last()
                    .map_or(-instance.margin(), |row| row.y.hi + room_between(instance));
                let (laid, top) = open(instance, block, base, habit)?;
                rows.push(Row {
                    y: Interval { lo: base, hi: top },
                    placements: Vec::new(),
                    from: HashMap::new(),
                });
                (rows.len() - 1, laid)
            }
        };
        full[block.like] = r;
        for (&item, &placement) in block.items.iter().zip(&laid) {
            placements[item] = placement;
            rows[r].y.hi = rows[r].y.hi.max(top(instance, placement));
            rows[r].placements.push(placement);
        }
    }
    Some(placements)
}

/// Where the last of a placement's outline is along the fabric (units).
pub(super) fn top(instance: &Instance, placement: LinePlacement) -> f64 {
    instance.end(placement) + instance.margin()
}

fn poses(block: &Block, habit: Habit) -> &[Vec<LinePlacement>] {
    &block.poses[..if habit.turns { block.poses.len() } else { 1 }]
}

/// The first block of a row: where it ends lowest, leftmost of these.
fn open(
    instance: &Instance,
    block: &Block,
    base: f64,
    habit: Habit,
) -> Option<(Vec<LinePlacement>, f64)> {
    let mut best: Option<((f64, f64), Vec<LinePlacement>)> = None;
    for pose in poses(block, habit) {
        let tall = pose
            .iter()
            .map(|&s| top(instance, s))
            .fold(f64::NEG_INFINITY, f64::max);
        let low = pose
            .iter()
            .map(|&s| instance.corner(s).0)
            .fold(f64::INFINITY, f64::min);
        let room = Room {
            x: across(instance),
            y: Interval {
                lo: base,
                hi: base + (tall - low) + instance.ample_length(),
            },
        };
        for line in steps(instance, pose[0], room) {
            let Some(laid) = compact_by_lp(instance, pose, line, &[], room) else {
                continue;
            };
            let end = laid.iter().map(|&s| top(instance, s)).fold(base, f64::max);
            let key = (end, right(instance, &laid));
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
    instance: &Instance,
    block: &Block,
    row: &mut Row,
    habit: Habit,
    work: &mut u64,
) -> Option<Vec<LinePlacement>> {
    let mut room = Room {
        x: across(instance),
        y: row.y,
    };
    let mut others = &row.placements[..];
    if habit.oblong {
        room.x.lo = room.x.lo.max(right(instance, others));
        others = &[];
    }
    let mut best: Option<(f64, Vec<LinePlacement>)> = None;
    for (number, pose) in poses(block, habit).iter().enumerate() {
        let from = row.from.entry((block.like, number)).or_insert(0);
        let lines = steps(
            instance,
            pose[0],
            Room {
                x: across(instance),
                ..room
            },
        );
        for (i, line) in lines.enumerate().skip(*from) {
            *work += (pose.len() * others.len()) as u64 + 1;
            let Some(laid) = compact_by_lp(instance, pose, line, others, room) else {
                continue;
            };
            let reach = right(instance, &laid);
            if best.as_ref().is_none_or(|(least, _)| reach < *least) {
                best = Some((reach, laid));
            }
            if is_lengthwise(instance) {
                // Further lines stand further right.
                *from = i;
                break;
            }
        }
    }
    best.map(|(_, laid)| laid)
}

/// What is left between rows (units), so that corners that were rounded do not meet: on
/// points, and where lines run exactly across, contact is rounded already.
fn room_between(instance: &Instance) -> f64 {
    if instance.is_lattice() || instance.normal().0 == 0.0 {
        0.0
    } else {
        ROUNDING
    }
}

/// Whether the stripes run rather along the fabric than across it.
pub(super) fn is_lengthwise(instance: &Instance) -> bool {
    instance.normal().0.abs() > 0.5
}

/// The fabric from selvage to selvage, and what outlines may reach over them.
pub(super) fn across(instance: &Instance) -> Interval {
    Interval {
        lo: -instance.margin(),
        hi: instance.width() + instance.margin(),
    }
}

/// How far a block reaches to the right (units).
pub(super) fn right(instance: &Instance, laid: &[LinePlacement]) -> f64 {
    let ends = laid.iter().map(|&placement| {
        let x = instance.extent(placement.orientation as usize).0;
        instance.corner(placement).1 + (x.hi - x.lo)
    });
    ends.fold(f64::NEG_INFINITY, f64::max)
}

/// By how many lines a placement may be moved to stand in a room, from the left (or from
/// the cut end on): whole repeats only.
pub(super) fn steps(
    instance: &Instance,
    placement: LinePlacement,
    room: Room,
) -> impl Iterator<Item = i32> + use<> {
    let (nx, ny) = instance.normal();
    let (x, y) = instance.extent(placement.orientation as usize);
    let own = instance.u(placement.orientation as usize, i64::from(placement.line));
    let repeat = instance.pitch * instance.stride as f64;
    let ends = [room.x.lo - x.lo, room.x.hi - x.hi]
        .into_iter()
        .flat_map(|at_x| {
            [room.y.lo - y.lo, room.y.hi - y.hi].map(|at_y| (at_x * nx + at_y * ny - own) / repeat)
        });
    let (lo, hi) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), u| {
        (lo.min(u), hi.max(u))
    });
    let (lo, hi) = ((lo - 1e-3).floor() as i32, (hi + 1e-3).ceil() as i32);
    let stride = i32::try_from(instance.stride).unwrap_or(1);
    let falls = if nx.abs() > 0.5 { nx < 0.0 } else { ny < 0.0 };
    (0..=hi.saturating_sub(lo)).map(move |i| (if falls { hi - i } else { lo + i }) * stride)
}

/// The positions along its line at which an orientation lies within a room and the fabric.
pub(super) fn within(
    instance: &Instance,
    orientation: u32,
    line: i32,
    room: Room,
) -> Option<Interval> {
    let fabric = instance.reach(
        orientation as usize,
        i64::from(line),
        room.y.hi - instance.margin(),
    )?;
    let (nx, ny) = instance.normal();
    let (x, y) = instance.extent(orientation as usize);
    let u = instance.u(orientation as usize, i64::from(line));
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
    (lo <= hi).then_some(Interval { lo, hi })
}

/// A block moved by some lines, and along them until it is clear of what is laid: from
/// the cut end on, where the stripes run along the fabric, else from the left selvage.
fn compact_by_lp(
    instance: &Instance,
    pose: &[LinePlacement],
    lines: i32,
    laid: &[LinePlacement],
    room: Room,
) -> Option<Vec<LinePlacement>> {
    let (mut lo, mut hi) = (f64::NEG_INFINITY, f64::INFINITY);
    for placement in pose {
        let reach = within(
            instance,
            placement.orientation,
            placement.line.checked_add(lines)?,
            room,
        )?;
        lo = lo.max(reach.lo - placement.v);
        hi = hi.min(reach.hi - placement.v);
    }
    let up = goes_up(instance);
    let anchor = LinePlacement {
        line: pose[0].line + lines,
        ..pose[0]
    };
    let mut shift = if up { lo } else { hi };
    while lo <= shift && shift <= hi {
        // On a lattice the block goes from point to point.
        let point = instance.snap(
            anchor.orientation as usize,
            anchor.line,
            anchor.v + shift,
            up,
        ) - anchor.v;
        if !(lo - ROUNDING <= point && point <= hi + ROUNDING) {
            return None;
        }
        let moved: Vec<LinePlacement> = pose
            .iter()
            .map(|placement| {
                let line = placement.line + lines;
                LinePlacement {
                    v: instance.snap(
                        placement.orientation as usize,
                        line,
                        placement.v + point,
                        up,
                    ),
                    line,
                    orientation: placement.orientation,
                }
            })
            .collect();
        let ends = moved.iter().filter_map(|&placement| {
            Some(beyond(instance, laid.iter().copied(), placement, up)? - placement.v)
        });
        let Some(further) = ends.reduce(|a, b| if up { a.max(b) } else { a.min(b) }) else {
            return Some(moved);
        };
        shift = point + further;
    }
    None
}

/// Whether positions along the lines grow from where rows are filled from.
pub(super) fn goes_up(instance: &Instance) -> bool {
    let (nx, ny) = instance.normal();
    if is_lengthwise(instance) {
        nx > 0.0
    } else {
        ny < 0.0
    }
}
