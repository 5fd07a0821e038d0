//! The tables: for two traces and the difference of their lines, the positions
//! at which they overlap.

use super::outline::Span;
use std::sync::OnceLock;

/// Lines whose spans are found, and kept, together: a search asks for
/// neighbours, and what it asks for must lie near in memory.
const TOGETHER: usize = 16;

/// The spans of some neighbouring lines, one after the other.
#[derive(Debug)]
struct Sheet {
    begins: [u32; TOGETHER + 1],
    spans: Box<[Span]>,
}

/// The table of one pair of traces, filled on demand.
#[derive(Debug)]
pub(crate) struct Table {
    /// The least difference of lines at which they may overlap.
    first: i64,
    lines: usize,
    sheets: Box<[OnceLock<Sheet>]>,
}

impl Table {
    /// An empty table of the differences `first ..= last`.
    pub(crate) fn new(first: i64, last: i64) -> Self {
        let lines = usize::try_from(last - first + 1).unwrap_or(0);
        Self {
            first,
            lines,
            sheets: (0..lines.div_ceil(TOGETHER))
                .map(|_| OnceLock::new())
                .collect(),
        }
    }

    /// The differences of lines at which the two may overlap.
    pub(crate) fn differences(&self) -> std::ops::Range<i64> {
        self.first..self.first + self.lines as i64
    }

    /// The spans at a difference of lines; `find` finds them the first time.
    pub(crate) fn spans(&self, lines: i64, find: impl Fn(i64) -> Vec<Span>) -> &[Span] {
        let Ok(slot) = usize::try_from(lines - self.first) else {
            return &[];
        };
        if slot >= self.lines {
            return &[];
        }
        let sheet = self.sheets[slot / TOGETHER].get_or_init(|| {
            let mut spans = Vec::new();
            let mut begins = [0; TOGETHER + 1];
            let first = self.first + (slot - slot % TOGETHER) as i64;
            for line in 0..TOGETHER {
                spans.extend(find(first + line as i64));
                begins[line + 1] = spans.len() as u32;
            }
            Sheet {
                begins,
                spans: spans.into_boxed_slice(),
            }
        });
        let line = slot % TOGETHER;
        &sheet.spans[sheet.begins[line] as usize..sheet.begins[line + 1] as usize]
    }
}
