//! Rows of one height from selvage to selvage, in which pieces stand on the row's base or hang
//! from its top.
//!
//! Wedges of few shapes lie closest when every second one hangs between two that stand, and a
//! row that is a little higher than they are holds more of them. Beams (`beam`) do not come to
//! this: they count what each piece wastes, but whether a row more is needed in the end is decided by all
//! rows together, and a layout of two high rows and one of three low ones waste equally little until the last
//! row is begun. Here the number of rows is set, and the least height is sought at which
//! they hold all pieces.
//!
//! A row is filled from one selvage to the other: each piece, standing or hanging, goes to the first line
//! on which it is clear of those before it. Of all ways to lay one piece more, a fixed number
//! lives on: those with the least fabric behind them for what they hold. The rows then sink
//! into each other as far as they go.
//!
//! # Source
//! Level packing is the textbook's for oblong pieces (E. G. Coffman, M. R. Garey, D. S. Johnson
//! and R. E. Tarjan, "Performance bounds for level-oriented two-dimensional packing algorithms",
//! 1980); here pieces of a level interlock, and a beam fills it.

use super::beam::can_beam;
use super::classes::Classes;
use super::compaction::drop_down;
use super::first::length_of;
use super::guided_search::is_valid;
use super::instance::{Instance, LinePlacement};

/// How many rows that are not yet full go on side by side.
const WIDTH: usize = 24;

/// So many of the last pieces of a row may be in the way of the next one.
const NEAR: usize = 4;

/// Rows sink into each other: together they may be so many times as high as what they are to
/// become.
const SINK: f64 = 1.02;

/// Rows are for pieces of about one height: none is lower than this part of the tallest.
const LOWEST: f64 = 0.75;

/// And no higher than so many times the tallest piece, for then another row has room.
const HIGHEST: f64 = 2.0;

/// Heights tried for a number of rows, each half way between one that does and one that does not.
const HEIGHTS: usize = 7;

/// Hanging less than this (units) above where it would stand, a piece just stands.
const HANGS: f64 = 500.0;

/// Ends of outlines nearer to each other than this (units) may touch: tables are rounded.
const TOUCH: f64 = 8.0;

/// One way in which the pieces of a class may lie.
#[derive(Debug)]
struct Way {
    class: usize,
    orientation: u32,
    /// Where it stands on the cut end (units).
    stands: f64,
    height: f64,
    /// Its lines with their place across, from the left.
    lines: Vec<(i32, f64)>,
    /// Its ends across, seen from its line.
    left: f64,
    right: f64,
    area: f64,
}

/// A piece of a row: its way, whether it hangs, and the number of its line in the way's list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Spot {
    way: usize,
    hangs: bool,
    line: usize,
}

/// Rows that are not yet full.
#[derive(Debug)]
struct Node {
    row: usize,
    /// The last pieces of the row.
    near: Vec<Spot>,
    /// Pieces of each class that are still to be laid.
    left: Vec<u32>,
    /// Area laid.
    placed: f64,
    hash: u64,
    /// The last piece laid, in the history.
    last: Option<usize>,
}

/// One piece more on a node.
#[derive(Debug, Clone, Copy)]
struct Child {
    score: f64,
    hash: u64,
    node: usize,
    spot: Spot,
    row: usize,
}

/// The rows of one instance.
#[derive(Debug)]
pub(crate) struct LevelRows<'a> {
    instance: &'a Instance,
    classes: Classes,
    ways: Vec<Way>,
    /// Pairs looked at so far, and the most.
    pub(crate) looks: u64,
    most: u64,
}

impl<'a> LevelRows<'a> {
    /// Rows within so many looks at a pair; `None` where stripes do not run exactly along the fabric, or pieces
    /// are of many heights.
    pub(crate) fn new(instance: &'a Instance, most: u64) -> Option<Self> {
        if !can_beam(instance) || instance.normal().1 != 0.0 {
            return None;
        }
        let classes = Classes::new(instance);
        let mut ways = Vec::new();
        for (class, orientations) in classes.orientations.iter().enumerate() {
            for &orientation in orientations {
                let height = instance.height(orientation);
                if height < LOWEST * instance.tallest() {
                    return None;
                }
                let outline = &instance.outlines[instance.orientations[orientation].shape];
                let mut lines: Vec<(i32, f64)> = instance
                    .lines(orientation, 0, instance.ample_length())
                    .into_iter()
                    .map(|(line, _)| (line, instance.u(orientation, i64::from(line))))
                    .collect();
                lines.sort_by(|a, b| a.1.total_cmp(&b.1));
                ways.push(Way {
                    class,
                    orientation: orientation as u32,
                    stands: (-instance.margin() - instance.extent(orientation).1.lo - 1e-3).ceil(),
                    height,
                    lines,
                    left: outline.across().lo,
                    right: outline.across().hi,
                    area: outline.area(),
                });
            }
        }
        Some(Self {
            instance,
            classes,
            ways,
            looks: 0,
            most,
        })
    }

    /// The shortest layout in rows that is not much longer than `longest` (units), if there is one.
    ///
    /// `stop` is asked after every piece.
    pub(crate) fn lay(
        &mut self,
        longest: f64,
        stop: &dyn Fn() -> bool,
    ) -> Option<Vec<LinePlacement>> {
        let (instance, tallest) = (self.instance, self.instance.tallest());
        let copies = self.classes.copies(instance);
        let area_of = |class: usize| self.ways.iter().find(|way| way.class == class);
        let area: f64 = copies
            .iter()
            .enumerate()
            .map(|(class, &count)| f64::from(count) * area_of(class).map_or(0.0, |way| way.area))
            .sum();
        let mut best: Option<(f64, Vec<LinePlacement>)> = None;
        for rows in 1.. {
            let share = longest * SINK / rows as f64;
            if share < tallest || self.looks >= self.most || stop() {
                break;
            }
            let (mut low, mut high) = (
                tallest.max(area / instance.width() / rows as f64),
                share.min(HIGHEST * tallest),
            );
            let mut height = high;
            for _ in 0..HEIGHTS {
                if low > high {
                    break;
                }
                if let Some(mut placements) = self.fill(rows, height.floor(), stop) {
                    drop_down(instance, &mut placements);
                    let length = length_of(instance, &placements);
                    let is_shorter = best.as_ref().is_none_or(|(least, _)| length < *least);
                    if is_shorter && is_valid(instance, &placements, length) {
                        best = Some((length, placements));
                    }
                    high = height;
                } else if height == high {
                    // What the highest rows do not hold no lower ones do.
                    break;
                } else {
                    low = height;
                }
                height = (low + high) / 2.0;
            }
        }
        best.map(|(_, placements)| placements)
    }

    /// All pieces in so many rows of a height (units); `None` where they were found no room.
    fn fill(
        &mut self,
        rows: usize,
        height: f64,
        stop: &dyn Fn() -> bool,
    ) -> Option<Vec<LinePlacement>> {
        let left = self.classes.copies(self.instance);
        let count: u32 = left.iter().sum();
        let mut history: Vec<(Spot, usize, Option<usize>)> = Vec::new();
        let mut nodes = vec![Node {
            row: 0,
            near: Vec::new(),
            left,
            placed: 0.0,
            hash: 0,
            last: None,
        }];
        for _ in 0..count {
            if stop() || self.looks >= self.most {
                return None;
            }
            let mut children = Vec::new();
            for (n, node) in nodes.iter().enumerate() {
                self.expand(node, n, rows, height, &mut children);
            }
            children.sort_by(|a: &Child, b: &Child| {
                let score = a.score.total_cmp(&b.score);
                score.then((a.hash, a.node, a.spot).cmp(&(b.hash, b.node, b.spot)))
            });
            let mut next: Vec<Node> = Vec::with_capacity(WIDTH);
            for child in children {
                let node = self.follow(&nodes[child.node], child);
                // What can follow depends on nothing else.
                let is_same = |other: &Node| {
                    other.hash == node.hash
                        || (other.row, &other.near, &other.left)
                            == (node.row, &node.near, &node.left)
                };
                if next.iter().any(is_same) {
                    continue;
                }
                history.push((child.spot, child.row, nodes[child.node].last));
                let last = Some(history.len() - 1);
                next.push(Node { last, ..node });
                if next.len() == WIDTH {
                    break;
                }
            }
            nodes = next;
        }
        let steps = std::iter::successors(nodes.first()?.last, |&at| history[at].2);
        let laid: Vec<(usize, LinePlacement)> = steps
            .map(|at| {
                let (spot, row, _) = history[at];
                let placement = self.placement(spot, height);
                // A unit more for what rounding may have pushed over a row's edge.
                let v = placement.v + row as f64 * (height + 2.0);
                (self.ways[spot.way].class, LinePlacement { v, ..placement })
            })
            .collect();
        self.classes.places(self.instance, &laid)
    }

    /// All ways to lay one piece more, in the row that is begun or, where that is full, the next.
    fn expand(
        &mut self,
        node: &Node,
        n: usize,
        rows: usize,
        height: f64,
        children: &mut Vec<Child>,
    ) {
        let (before, width) = (children.len(), self.instance.width());
        for row in node.row..rows {
            let near = if row == node.row { &node.near[..] } else { &[] };
            for w in 0..self.ways.len() {
                let spare = height - self.ways[w].height;
                if node.left[self.ways[w].class] == 0 || spare < -1.0 {
                    continue;
                }
                for hangs in [false, true] {
                    if hangs && spare < HANGS {
                        continue;
                    }
                    let Some(spot) = self.next(near, w, hangs, height) else {
                        continue;
                    };
                    let way = &self.ways[w];
                    // Up to where it would end if it were oblong.
                    let middle = way.lines[spot.line].1 + (way.left + way.right) / 2.0;
                    let end = middle + way.area / way.height / 2.0;
                    let line = spot.line as i32;
                    let tag = LinePlacement {
                        orientation: 2 * w as u32 + u32::from(hangs),
                        line,
                        v: row as f64,
                    };
                    children.push(Child {
                        score: (row as f64 * width + end) / (node.placed + way.area),
                        hash: node.hash ^ tag.hash(),
                        node: n,
                        spot,
                        row,
                    });
                }
            }
            if children.len() > before {
                break;
            }
        }
    }

    /// The first line, not left of the last piece, on which a way is clear of those near.
    fn next(&mut self, near: &[Spot], w: usize, hangs: bool, height: f64) -> Option<Spot> {
        let way = &self.ways[w];
        let first = near.last().map_or(0, |last| {
            let other = &self.ways[last.way];
            let edge = other.lines[last.line].1 + other.left;
            way.lines.partition_point(|&(_, u)| u + way.left < edge)
        });
        for line in first..way.lines.len() {
            let spot = Spot {
                way: w,
                hangs,
                line,
            };
            let placement = self.placement(spot, height);
            let left = way.lines[line].1 + way.left;
            let mut is_clear = true;
            for &other in near.iter().rev() {
                let beside = &self.ways[other.way];
                if beside.lines[other.line].1 + beside.right + TOUCH < left {
                    continue;
                }
                self.looks += 1;
                let other = self.placement(other, height);
                let dv = placement.v - other.v;
                let mut intervals = self.instance.intervals(other, placement).iter();
                if intervals.any(|s| s.lo < dv && dv < s.hi) {
                    is_clear = false;
                    break;
                }
            }
            if is_clear {
                return Some(spot);
            }
        }
        None
    }

    /// A piece in the lowest row.
    fn placement(&self, spot: Spot, height: f64) -> LinePlacement {
        let way = &self.ways[spot.way];
        let up = if spot.hangs { height - way.height } else { 0.0 };
        LinePlacement {
            orientation: way.orientation,
            line: way.lines[spot.line].0,
            v: (way.stands + up).floor(),
        }
    }

    fn follow(&self, from: &Node, child: Child) -> Node {
        let mut near = if child.row == from.row {
            from.near.clone()
        } else {
            Vec::new()
        };
        near.push(child.spot);
        if near.len() > NEAR {
            near.remove(0);
        }
        let way = &self.ways[child.spot.way];
        let mut left = from.left.clone();
        left[way.class] -= 1;
        Node {
            row: child.row,
            near,
            left,
            placed: from.placed + way.area,
            hash: child.hash,
            last: None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::outline::UNITS_PER_MM;
    use crate::lay::starts::with_offsets;
    use crate::lay::trial::{WEDGE_ROWS_MM, odd_pieces, wedges};

    /// Wedges on lines a quarter of a repeat apart: two rows of the height that similar triangles
    /// tell, and they sink no further, since the wide ends of the one lie on those of the other.
    #[test]
    fn wedges_hang_between_wedges() {
        let job = wedges();
        for first in [0.0, 3.0, 6.5] {
            let offsets: Vec<f64> = (0..4).map(|i| first + 7.5 * f64::from(i)).collect();
            let instance = Instance::with_stride(&with_offsets(&job, &offsets), 1).unwrap();
            let mut rows = LevelRows::new(&instance, u64::MAX).unwrap();
            let laid = rows
                .lay(1.1 * WEDGE_ROWS_MM * UNITS_PER_MM, &|| false)
                .unwrap();
            let length = length_of(&instance, &laid);
            assert!(is_valid(&instance, &laid, length));
            let length_mm = length / UNITS_PER_MM;
            assert!((length_mm - WEDGE_ROWS_MM).abs() < 0.1, "{length_mm}");
            // Lower rows hold no wedge beside another on the next line.
            assert!(rows.fill(2, 34.9 * UNITS_PER_MM, &|| false).is_none());
            assert!(
                rows.lay(0.9 * WEDGE_ROWS_MM * UNITS_PER_MM, &|| false)
                    .is_none()
            );
            // And who may not look finds nothing.
            let mut rows = LevelRows::new(&instance, 0).unwrap();
            assert!(rows.lay(f64::MAX, &|| false).is_none());
        }
    }

    /// Whatever comes of rows is a layout; of pieces of many heights nothing does.
    #[test]
    fn rows_are_layouts() {
        let mut laid = 0;
        for seed in 0..40 {
            let job = odd_pieces(12, 0, 0.0, seed);
            let instance = Instance::new(&job).unwrap();
            let tallest = instance.tallest();
            let heights = (0..instance.orientations.len()).map(|f| instance.height(f));
            let is_level = heights.fold(f64::INFINITY, f64::min) >= LOWEST * tallest;
            let rows = LevelRows::new(&instance, 1_000_000);
            assert_eq!(rows.is_some(), is_level);
            if let Some(placements) = rows.and_then(|mut r| r.lay(12.0 * tallest, &|| false)) {
                assert_eq!(placements.len(), 12);
                assert!(is_valid(
                    &instance,
                    &placements,
                    length_of(&instance, &placements)
                ));
                laid += 1;
            }
        }
        assert!(laid > 2, "{laid}");
    }
}
