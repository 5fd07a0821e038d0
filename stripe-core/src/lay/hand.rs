//! The layout as a careful person does it by hand, without a computer.
//!
//! Two ways are tried, and the shorter counts. **Whole motifs**: each is spread out, its
//! pieces slid apart along the stripe and across by whole repeats until they are clear,
//! and laid as one. **Equal pieces**: all copies of a piece side by side, then those
//! of the next, each pushed against its neighbour and turned about where that is allowed and
//! saves room. Either way goes into `rows`, the highest first.
//!
//! What comes of them is looked over like every layout. A way that fails is left out; if all
//! do, the first layout stands for the layout by hand.

use super::compaction::drop_down;
use super::data::Job;
use super::first::{PartialLayout, length_of};
use super::guided_search::is_valid;
use super::instance::{Instance, LinePlacement};
use super::outline::Interval;
use super::rows::{
    Block, Habit, Room, across, goes_up, in_rows, is_lengthwise, right, steps, top, within,
};
use crate::record::ByHand;

/// A layout by hand.
#[derive(Debug, Clone)]
pub(crate) struct HandLayout {
    pub(crate) way: ByHand,
    pub(crate) placements: Vec<LinePlacement>,
    pub(crate) offsets: Vec<i64>,
    /// Units.
    pub(crate) length: f64,
}

/// Into how many parts of the fabric's width a motif is spread out, at most.
const PARTS: usize = 6;

/// So many heights of rows are tried, and those this near to each other (units: a
/// millimetre) are one.
const HEIGHTS: usize = 8;
const ROW_STEP: f64 = 10_000.0;

/// So many of the shortest layouts are pushed together.
const PUSHED: usize = 4;

/// Lays the job by hand: with the offsets (in lines) of the first layout, or all of them
/// alike. `first` is the first layout.
pub(crate) fn lay_by_hand(
    instance: &Instance,
    job: &Job,
    first: &[LinePlacement],
    offsets: &[i64],
) -> HandLayout {
    let mut best = HandLayout {
        way: ByHand::Largest,
        placements: first.to_vec(),
        offsets: offsets.to_vec(),
        length: length_of(instance, first),
    };
    if instance.has_obstacles() {
        // Rows are for whole fabric.
        return best;
    }
    let mut found: Vec<HandLayout> = Vec::new();
    let alike = vec![0; offsets.len()];
    for offsets in if alike == offsets {
        vec![offsets]
    } else {
        vec![offsets, &alike]
    } {
        let ways = [
            (ByHand::Pieces, single(instance, offsets)),
            (ByHand::Motifs, whole(instance, job, offsets)),
        ];
        for (way, arrangements) in ways {
            for blocks in arrangements {
                for habit in habits(instance) {
                    found.extend(
                        in_rows(instance, &blocks, habit).map(|placements| HandLayout {
                            way,
                            length: length_of(instance, &placements),
                            placements,
                            offsets: offsets.to_vec(),
                        }),
                    );
                }
            }
        }
    }
    // Of equals the first.
    found.sort_by(|a, b| a.length.total_cmp(&b.length));
    let mut tried = 0;
    for mut lay in found {
        // Each piece is pushed against the row before; the shortest gain as much as others.
        drop_down(instance, &mut lay.placements);
        lay.length = length_of(instance, &lay.placements);
        if is_valid(instance, &lay.placements, lay.length) {
            if tried == 0 || lay.length < best.length {
                best = lay;
            }
            tried += 1;
        }
        if tried == PUSHED {
            break;
        }
    }
    best
}

/// Rows as high as their first block, or a little higher, with and without turning.
fn habits(instance: &Instance) -> Vec<Habit> {
    let repeat = instance.pitch * instance.stride as f64;
    // Only then do pieces of one height end at different places in a row.
    let steps = !is_lengthwise(instance) || instance.is_lattice();
    let along = instance.lattice.map_or(0.0, |(along, _)| along);
    let slacks = if steps && !instance.is_plane() {
        vec![
            0.0,
            if is_lengthwise(instance) {
                along
            } else {
                repeat
            },
        ]
    } else {
        vec![0.0]
    };
    let can_turn = instance
        .kinds
        .iter()
        .any(|orientations| orientations.len() > 1);
    let mut habits = Vec::new();
    for slack in slacks {
        for (turns, oblong) in [(false, false), (true, false), (false, true)] {
            if !turns || can_turn {
                habits.push(Habit {
                    turns,
                    slack,
                    oblong,
                });
            }
        }
    }
    habits
}

fn offset_of(instance: &Instance, item: usize, offsets: &[i64]) -> i64 {
    instance.items[item].1.map_or(0, |group| offsets[group])
}

/// Every piece by itself: equal ones together, the highest first and the largest first; and
/// those of one height by turns, as a left half and a right half fit each other.
fn single(instance: &Instance, offsets: &[i64]) -> Vec<Vec<Block>> {
    let mut known: Vec<(usize, i64)> = Vec::new();
    let mut blocks: Vec<Block> = (0..instance.items.len())
        .map(|item| {
            let kind = instance.items[item].0;
            let offset = offset_of(instance, item, offsets);
            let like = number(&mut known, (kind, offset));
            let poses = instance.kinds[kind].clone();
            Block {
                items: vec![item],
                poses: poses
                    .map(|orientation| vec![instance.natural(orientation, offset)])
                    .collect(),
                like,
            }
        })
        .collect();
    sort(instance, &mut blocks);
    let mut largest = blocks.clone();
    largest.sort_by_key(|block| {
        let area = instance.outline_of(block.poses[0][0]).area();
        std::cmp::Reverse((area / 1e6).round() as i64)
    });
    let mut turn = vec![0; known.len()];
    let mut by_turns: Vec<(i64, usize, Block)> = Vec::new();
    for block in &blocks {
        let tall = (size(instance, &block.poses[0]).0 / 10.0).round() as i64;
        by_turns.push((-tall, turn[block.like], block.clone()));
        turn[block.like] += 1;
    }
    by_turns.sort_by_key(|(tall, turn, _)| (*tall, *turn));
    let by_turns = by_turns.into_iter().map(|(.., block)| block).collect();
    vec![blocks, largest, by_turns]
}

fn number<T: PartialEq>(known: &mut Vec<T>, one: T) -> usize {
    known.iter().position(|k| *k == one).unwrap_or_else(|| {
        known.push(one);
        known.len() - 1
    })
}

/// Extent along and across the fabric (units) of a block in its first pose.
fn size(instance: &Instance, placements: &[LinePlacement]) -> (f64, f64) {
    let (mut x, mut y) = (
        (f64::INFINITY, f64::NEG_INFINITY),
        (f64::INFINITY, f64::NEG_INFINITY),
    );
    for &placement in placements {
        let (low, left) = instance.corner(placement);
        let wide = instance.extent(placement.orientation as usize).0;
        x = (x.0.min(left), x.1.max(left + wide.hi - wide.lo));
        y = (y.0.min(low), y.1.max(top(instance, placement)));
    }
    (y.1 - y.0, x.1 - x.0)
}

/// Highest first, then widest, and like by like.
fn sort(instance: &Instance, blocks: &mut [Block]) {
    blocks.sort_by_cached_key(|block| {
        let (tall, wide) = size(instance, &block.poses[0]);
        // Heights are told apart by micrometres: turned wedges differ by roundings.
        (
            std::cmp::Reverse((tall / 10.0).round() as i64),
            std::cmp::Reverse((wide / 10.0).round() as i64),
            block.like,
        )
    });
}

/// The whole motifs as blocks, in every way of spreading them out: as they will be
/// sewn, slid apart along the stripe alone; within the whole width of the fabric and within
/// parts of it; side by side in its own order; and each motif in the way in which it takes the
/// least room.
fn whole(instance: &Instance, job: &Job, offsets: &[i64]) -> Vec<Vec<Block>> {
    let mut motifs: Vec<(usize, Vec<usize>)> = Vec::new();
    let mut order: Vec<usize> = (0..job.items.len()).collect();
    order.sort_by_key(|&item| job.items[item].block);
    for item in order {
        let block = job.items[item].block;
        match motifs.last_mut() {
            Some((last, items)) if *last == block => items.push(item),
            _ => motifs.push((block, vec![item])),
        }
    }
    if motifs.iter().all(|(_, items)| items.len() == 1) {
        return Vec::new();
    }
    // Copies of a motif are spread out alike.
    let mut known: Vec<Vec<(usize, i64)>> = Vec::new();
    let mut spreads: Vec<Vec<Option<Spread>>> = Vec::new();
    let made: Vec<(usize, Vec<usize>)> = motifs
        .into_iter()
        .map(|(_, items)| {
            let what: Vec<(usize, i64)> = items
                .iter()
                .map(|&item| (instance.items[item].0, offset_of(instance, item, offsets)))
                .collect();
            let like = number(&mut known, what);
            if like == spreads.len() {
                let mut ways = vec![as_sewn(instance, &items, offsets)];
                ways.extend((1..=PARTS).map(|parts| gathered(instance, &items, offsets, parts)));
                ways.push(side_by_side(instance, &items, offsets));
                let least = ways.iter().flatten().min_by(|a, b| {
                    let area = |spread: &Spread| {
                        let (tall, wide) = size(instance, &spread.placements);
                        tall * wide
                    };
                    area(a).total_cmp(&area(b))
                });
                let least = least.cloned();
                ways.push(least);
                spreads.push(ways);
            }
            (like, items)
        })
        .collect();
    let mut picks: Vec<Vec<usize>> = (0..PARTS + 3).map(|way| vec![way; spreads.len()]).collect();
    picks.extend(of_one_height(instance, &spreads));
    let arrangements = picks.into_iter().filter_map(|pick| {
        let blocks = made.iter().map(|(like, items)| {
            let spread = spreads[*like][pick[*like]].as_ref()?;
            Some(Block {
                items: spread.order.iter().map(|&rank| items[rank]).collect(),
                poses: vec![spread.placements.clone()],
                like: *like,
            })
        });
        let mut blocks = blocks.collect::<Option<Vec<Block>>>()?;
        sort(instance, &mut blocks);
        Some(blocks)
    });
    arrangements.collect()
}

/// Ways of spreading that make rows even: for a height that all motifs can keep to, each
/// in the narrowest way that does.
fn of_one_height(instance: &Instance, spreads: &[Vec<Option<Spread>>]) -> Vec<Vec<usize>> {
    let sizes: Vec<Vec<Option<(f64, f64)>>> = spreads
        .iter()
        .map(|ways| {
            let sizes = ways
                .iter()
                .map(|way| Some(size(instance, &way.as_ref()?.placements)));
            sizes.collect()
        })
        .collect();
    // Of each motif its lowest way: no row is lower than the highest of these.
    let lowest = sizes.iter().map(|ways| {
        let talls = ways.iter().flatten().map(|size| size.0);
        talls.fold(f64::INFINITY, f64::min)
    });
    let least = lowest.fold(0.0, f64::max);
    let all = sizes.iter().flatten().flatten().map(|size| size.0);
    let mut heights: Vec<f64> = all.filter(|&tall| tall >= least).collect();
    heights.sort_by(f64::total_cmp);
    heights.dedup_by(|a, b| *a - *b < ROW_STEP);
    heights.truncate(HEIGHTS);
    let narrowest = |ways: &Vec<Option<(f64, f64)>>, height: f64| {
        let fit = ways.iter().enumerate().filter_map(|(way, size)| {
            let (tall, wide) = (*size)?;
            (tall <= height + ROW_STEP).then_some((way, wide))
        });
        fit.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(way, _)| way)
    };
    let pick = |height: &f64| sizes.iter().map(|ways| narrowest(ways, *height)).collect();
    heights.iter().filter_map(pick).collect()
}

/// A motif spread out.
#[derive(Debug, Clone)]
struct Spread {
    /// Which of the motif's pieces each placement is for.
    order: Vec<usize>,
    placements: Vec<LinePlacement>,
}

/// The pieces of a motif from the lowest on, as they will be sewn.
fn from_the_lowest(
    instance: &Instance,
    items: &[usize],
    offsets: &[i64],
) -> Vec<(usize, LinePlacement)> {
    let natural = |item: usize| {
        let orientation = instance.kinds[instance.items[item].0].start;
        instance.natural(orientation, offset_of(instance, item, offsets))
    };
    let mut pieces: Vec<(usize, LinePlacement)> = items
        .iter()
        .map(|&item| natural(item))
        .enumerate()
        .collect();
    pieces.sort_by(|a, b| {
        let (a, b) = (instance.corner(a.1), instance.corner(b.1));
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    pieces
}

/// Spreads a motif out as it will be sewn: its pieces near one line, each slid along the
/// stripe until it is clear of those before it.
fn as_sewn(instance: &Instance, items: &[usize], offsets: &[i64]) -> Option<Spread> {
    let far = Interval { lo: 0.0, hi: 1e12 };
    let mut partial = PartialLayout::new(instance);
    let mut placements = Vec::new();
    let pieces = from_the_lowest(instance, items, offsets);
    for &(_, placement) in &pieces {
        let v = partial.free(placement.orientation, placement.line, far, true)?;
        partial.push(LinePlacement { v, ..placement });
        placements.push(LinePlacement { v, ..placement });
    }
    Some(Spread {
        order: pieces.iter().map(|p| p.0).collect(),
        placements,
    })
}

/// Lays a motif's pieces in a row, in the motif's order: each at the first of its lines, whole
/// repeats from its own, where it keeps right of those before it.
fn side_by_side(instance: &Instance, items: &[usize], offsets: &[i64]) -> Option<Spread> {
    let mut room = Room {
        x: across(instance),
        y: Interval {
            lo: -instance.margin(),
            hi: instance.ample_length(),
        },
    };
    let up = goes_up(instance);
    let mut placements: Vec<LinePlacement> = Vec::new();
    for &item in items {
        let orientation = instance.kinds[instance.items[item].0].start;
        let own = instance.natural(orientation, offset_of(instance, item, offsets));
        let mut best: Option<(f64, LinePlacement)> = None;
        for lines in steps(instance, own, room) {
            let line = own.line + lines;
            let Some(reach) = within(instance, own.orientation, line, room) else {
                continue;
            };
            let v = if up { reach.lo } else { reach.hi };
            let there = LinePlacement { line, v, ..own };
            let reached = right(instance, &[there]);
            if best.is_none_or(|(least, _)| reached < least) {
                best = Some((reached, there));
            }
        }
        let (reached, there) = best?;
        room.x.lo = reached;
        placements.push(there);
    }
    Some(Spread {
        order: (0..items.len()).collect(),
        placements,
    })
}

/// Gathers a motif's pieces within a part of the fabric's width: the highest first, each
/// at the line, whole repeats from its own, where it ends lowest.
fn gathered(instance: &Instance, items: &[usize], offsets: &[i64], parts: usize) -> Option<Spread> {
    let fabric = across(instance);
    let x = Interval {
        lo: fabric.lo,
        hi: fabric.lo + (fabric.hi - fabric.lo) / parts as f64,
    };
    let mut pieces = from_the_lowest(instance, items, offsets);
    pieces.sort_by_key(|p| {
        std::cmp::Reverse((instance.height(p.1.orientation as usize) / 10.0).round() as i64)
    });
    let up = goes_up(instance);
    let mut partial = PartialLayout::new(instance);
    let mut placements: Vec<LinePlacement> = Vec::new();
    let mut end = -instance.margin();
    for &(_, placement) in &pieces {
        let room = Room {
            x,
            y: Interval {
                lo: -instance.margin(),
                hi: end + instance.ample_length(),
            },
        };
        let mut best: Option<((f64, f64), LinePlacement)> = None;
        for lines in steps(instance, placement, room) {
            let line = placement.line + lines;
            let Some(reach) = within(instance, placement.orientation, line, room) else {
                continue;
            };
            let Some(v) = partial.free(placement.orientation, line, reach, up) else {
                continue;
            };
            let there = LinePlacement {
                line,
                v,
                ..placement
            };
            let key = (top(instance, there), instance.corner(there).1);
            if best.is_none_or(|(least, _)| key < least) {
                best = Some((key, there));
            }
        }
        let (key, there) = best?;
        end = end.max(key.0);
        partial.push(there);
        placements.push(there);
    }
    Some(Spread {
        order: pieces.iter().map(|p| p.0).collect(),
        placements,
    })
}
