//! The tables: for two table classes and the difference of their lines, the positions
//! at which they overlap.

use super::outline::Interval;
use std::sync::OnceLock;

/// Lines whose forbidden intervals are found, and kept, together: a search asks for
/// neighbours, and what it asks for must lie near in memory.
const TOGETHER: usize = 16;

/// The forbidden intervals of some neighbouring lines.
///
/// Almost always there is one forbidden interval a line, and it stands in the block itself: what
/// takes time is waiting for memory, so one look must do.
#[derive(Debug)]
struct TableBlock {
    heads: [Interval; TOGETHER],
    /// The forbidden intervals of lines with several, one line's after the other's.
    more: Box<[Interval]>,
}

impl TableBlock {
    fn new(find: impl Fn(usize) -> Vec<Interval>) -> Self {
        let mut more = Vec::new();
        let heads = std::array::from_fn(|line| match find(line)[..] {
            [only] if only.lo <= only.hi => only,
            ref intervals => {
                let begin = more.len();
                more.extend_from_slice(intervals);
                many(begin, more.len())
            }
        });
        Self {
            heads,
            more: more.into_boxed_slice(),
        }
    }

    #[inline]
    fn intervals(&self, line: usize) -> &[Interval] {
        let head = &self.heads[line];
        if head.lo <= head.hi {
            return std::slice::from_ref(head);
        }
        &self.more[(-1.0 - head.hi) as usize..head.lo as usize]
    }
}

/// No forbidden interval, but where among others the forbidden intervals of a line stand: it ends before it
/// begins, so that it is told from one.
fn many(begin: usize, end: usize) -> Interval {
    Interval {
        lo: end as f64,
        hi: -1.0 - begin as f64,
    }
}

/// The table of one pair of table classes, filled on demand.
#[derive(Debug)]
pub(crate) struct NoFitTable {
    /// The least difference of lines at which they may overlap.
    first: i64,
    lines: usize,
    blocks: Box<[OnceLock<TableBlock>]>,
}

impl NoFitTable {
    /// An empty table of the differences `first ..= last`.
    pub(crate) fn new(first: i64, last: i64) -> Self {
        let lines = usize::try_from(last - first + 1).unwrap_or(0);
        Self {
            first,
            lines,
            blocks: (0..lines.div_ceil(TOGETHER))
                .map(|_| OnceLock::new())
                .collect(),
        }
    }

    /// The differences of lines at which the two may overlap.
    pub(crate) fn differences(&self) -> std::ops::Range<i64> {
        self.first..self.first + self.lines as i64
    }

    /// The forbidden intervals at a difference of lines; `find` finds them the first time.
    #[inline]
    pub(crate) fn intervals(&self, lines: i64, find: impl Fn(i64) -> Vec<Interval>) -> &[Interval] {
        let Ok(slot) = usize::try_from(lines - self.first) else {
            return &[];
        };
        if slot >= self.lines {
            return &[];
        }
        let block = self.blocks[slot / TOGETHER].get_or_init(|| {
            let first = self.first + (slot - slot % TOGETHER) as i64;
            TableBlock::new(|line| find(first + line as i64))
        });
        block.intervals(slot % TOGETHER)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Lines with no forbidden interval, one, or several give back what was found for them.
    #[test]
    fn intervals_are_those_found() {
        let find = |line: i64| -> Vec<Interval> {
            let intervals = (0..line.rem_euclid(4)).map(|s| Interval {
                lo: (10 * s + line) as f64,
                hi: (10 * s + line + 3) as f64,
            });
            intervals.collect()
        };
        let table = NoFitTable::new(-20, 25);
        for line in [25, -20, 3, 0, -1, 7, 6, -26, 26] {
            let within = (-20..=25).contains(&line);
            let expected = if within { find(line) } else { Vec::new() };
            assert_eq!(table.intervals(line, find), expected, "line {line}");
        }
    }
}
