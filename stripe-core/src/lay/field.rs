//! How deep two pieces overlap in the plane, for cloth without lines.
//!
//! Along a line two pieces may overlap deeply and yet come apart by a hair's
//! breadth across it. So on plain cloth the depth of an overlap is the distance
//! to the nearest clear place in any direction: a distance transform of the
//! region that the tables forbid, kept on a grid, one a pair of shapes.
//! Whether there is an overlap at all is still asked of the tables.

use super::outline::Span;

/// The depths of one pair of traces.
#[derive(Debug)]
pub(crate) struct Field {
    /// The difference of lines of column 0.
    first: i64,
    /// Lines from column to column.
    step: i64,
    /// The place along of row 0 (ticks), and the distance of rows.
    low: f64,
    cell: f64,
    rows: usize,
    depths: Vec<f32>,
}

impl Field {
    /// Samples the spans of the lines `first ..= last`, `step` lines a column;
    /// columns and rows are `cell` apart.
    pub(crate) fn new<'a>(
        first: i64,
        last: i64,
        step: i64,
        cell: f64,
        spans: impl Fn(i64) -> &'a [Span],
    ) -> Self {
        let columns: Vec<&[Span]> = (first..=last)
            .step_by(usize::try_from(step).unwrap_or(1))
            .map(&spans)
            .collect();
        let all = columns.iter().flat_map(|c| c.iter());
        let low = all.clone().map(|s| s.lo).fold(f64::INFINITY, f64::min);
        let high = all.map(|s| s.hi).fold(f64::NEG_INFINITY, f64::max);
        let rows = if low < high {
            ((high - low) / cell).ceil() as usize + 1
        } else {
            0
        };
        // Along each column first, exactly.
        let along: Vec<f64> = columns
            .iter()
            .flat_map(|spans| {
                let mut from = 0;
                (0..rows)
                    .map(|r| {
                        let v = low + r as f64 * cell;
                        while from < spans.len() && spans[from].hi <= v {
                            from += 1;
                        }
                        match spans.get(from) {
                            Some(s) if s.lo < v => (v - s.lo).min(s.hi - v),
                            _ => 0.0,
                        }
                    })
                    .collect::<Vec<f64>>()
            })
            .collect();
        let count = columns.len();
        let mut depths = vec![0.0f32; count * rows];
        for c in 0..count {
            for r in 0..rows {
                let mut best = along[c * rows + r];
                let mut off = 1;
                while (off as f64) * cell < best {
                    let across = off as f64 * cell;
                    let mut beside = |c: Option<usize>| {
                        let v = c.map_or(0.0, |c| along[c * rows + r]);
                        best = best.min(across.hypot(v));
                    };
                    beside(c.checked_sub(off));
                    beside((c + off < count).then_some(c + off));
                    off += 1;
                }
                depths[c * rows + r] = best as f32;
            }
        }
        Self {
            first,
            step,
            low,
            cell,
            rows,
            depths,
        }
    }

    /// The column nearest to a difference of lines.
    pub(crate) fn column(&self, lines: i64) -> Column<'_> {
        let count = self.depths.len().checked_div(self.rows).unwrap_or(0);
        let c = (lines - self.first + self.step / 2).div_euclid(self.step);
        let c = usize::try_from(c).unwrap_or(0).min(count.saturating_sub(1));
        let range = c * self.rows..((c + 1) * self.rows).min(self.depths.len());
        Column {
            depths: &self.depths[range],
            low: self.low - self.cell / 2.0,
            per_cell: 1.0 / self.cell,
            least: self.cell / 8.0,
        }
    }
}

/// One column of a field.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Column<'a> {
    depths: &'a [f32],
    low: f64,
    per_cell: f64,
    least: f64,
}

impl Column<'_> {
    /// The depth of an overlap at a difference along (ticks); never nothing, for
    /// the tables have said that there is one.
    pub(crate) fn depth(&self, dv: f64) -> f64 {
        let row = ((dv - self.low) * self.per_cell) as usize;
        let depth = self.depths.get(row).copied().unwrap_or(0.0);
        f64::from(depth).max(self.least)
    }
}
