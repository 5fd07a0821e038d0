//! How deep two pieces overlap in the plane, for fabric without lines.
//!
//! Along a line two pieces may overlap deeply and yet come apart by a hair's
//! breadth across it. So on plain fabric the depth of an overlap is the distance
//! to the nearest clear place in any direction: a distance transform of the
//! region that the tables forbid, kept on a grid, one a pair of shapes.
//! Whether there is an overlap at all is still asked of the tables.

use super::outline::Interval;

/// The depths of one pair of table classes.
#[derive(Debug)]
pub(crate) struct DepthMap {
    /// The difference of lines of column 0.
    first: i64,
    /// Lines from column to column.
    step: i64,
    /// The place along of row 0 (units), and the distance of rows.
    low: f64,
    cell: f64,
    rows: usize,
    /// In shares of the deepest: what is asked for often must be small.
    depths: Vec<u8>,
    unit: f64,
}

impl DepthMap {
    /// Samples the forbidden intervals of some lines, `step` lines a column; columns and rows
    /// are `cell` apart.
    pub(crate) fn new<'a>(
        lines: std::ops::Range<i64>,
        step: i64,
        cell: f64,
        intervals: impl Fn(i64) -> &'a [Interval],
    ) -> Self {
        let first = lines.start;
        let columns: Vec<&[Interval]> = lines
            .step_by(usize::try_from(step).unwrap_or(1))
            .map(&intervals)
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
            .flat_map(|intervals| {
                let mut from = 0;
                (0..rows)
                    .map(|r| {
                        let v = low + r as f64 * cell;
                        while from < intervals.len() && intervals[from].hi <= v {
                            from += 1;
                        }
                        match intervals.get(from) {
                            Some(s) if s.lo < v => (v - s.lo).min(s.hi - v),
                            _ => 0.0,
                        }
                    })
                    .collect::<Vec<f64>>()
            })
            .collect();
        let depths = nearest(&along, columns.len(), rows, cell);
        let deepest = depths.iter().copied().fold(0.0, f32::max);
        let depths = depths
            .iter()
            .map(|d| (d / deepest * f32::from(u8::MAX)).round() as u8)
            .collect();
        Self {
            first,
            step,
            low,
            cell,
            rows,
            depths,
            unit: f64::from(deepest) / f64::from(u8::MAX),
        }
    }

    /// Adds the depths at a difference of lines, times a weight, to a profile of places a cell
    /// apart; the piece that they are counted from stands at the profile's place `zero` (cells).
    /// The nearest column and row stand for those between. `sense` as for [`Self::column`].
    #[inline]
    pub(crate) fn add_to(
        &self,
        profile: &mut [f32],
        lines: i64,
        sense: f64,
        zero: f64,
        weight: f64,
    ) {
        let nearest = (lines - self.first + self.step / 2).div_euclid(self.step);
        let Some(column) = usize::try_from(nearest)
            .ok()
            .and_then(|c| self.depths.get(c * self.rows..(c + 1) * self.rows))
        else {
            return;
        };
        let weight = (weight * self.unit) as f32;
        // Row 0 stands there, and each next one a place further in the sense.
        let at = (zero + sense * self.low / self.cell).round() as i64;
        let (length, rows) = (profile.len() as i64, self.rows as i64);
        if sense > 0.0 {
            let first = (-at).clamp(0, rows);
            let end = (length - at).clamp(first, rows);
            let rows = column[first as usize..end as usize].iter();
            add_scaled(profile, at + first, rows, weight);
        } else {
            let first = (at - length + 1).clamp(0, rows);
            let end = (at + 1).clamp(first, rows);
            let rows = column[first as usize..end as usize].iter().rev();
            add_scaled(profile, at + 1 - end, rows, weight);
        }
    }

    /// The depths at a difference of lines; `sense` is -1 where differences along
    /// are to be read the other way round.
    #[inline]
    pub(crate) fn column(&self, lines: i64, sense: f64) -> Column<'_> {
        let count = self.depths.len().checked_div(self.rows).unwrap_or(0);
        let c = (lines - self.first).div_euclid(self.step);
        let c = usize::try_from(c).unwrap_or(0).min(count.saturating_sub(1));
        let column = |c: usize| {
            let c = c.min(count.saturating_sub(1));
            &self.depths[c * self.rows..((c + 1) * self.rows).min(self.depths.len())]
        };
        let share = (lines - self.first).rem_euclid(self.step) as f64 / self.step as f64;
        Column {
            left: column(c),
            right: column(c + 1),
            share: share as f32,
            low: self.low / self.cell,
            per_cell: sense / self.cell,
            unit: self.unit as f32,
        }
    }
}

/// Adds rows times a weight to the places from the `first` on.
fn add_scaled<'a>(
    profile: &mut [f32],
    first: i64,
    rows: impl Iterator<Item = &'a u8>,
    weight: f32,
) {
    let first = usize::try_from(first).unwrap_or(0);
    let places = profile.get_mut(first..).unwrap_or_default();
    for (sum, &depth) in places.iter_mut().zip(rows) {
        *sum += weight * f32::from(depth);
    }
}

/// From the distances along each column (0 outside) to those in the plane,
/// in time that grows with the cells alone: for each row, the lower envelope of
/// the parabolas that stand on its columns.
///
/// # Source
/// P. F. Felzenszwalb and D. P. Huttenlocher, "Distance transforms of sampled
/// functions" (2012); from memory.
fn nearest(along: &[f64], columns: usize, rows: usize, cell: f64) -> Vec<f32> {
    // Beyond the first and the last column there is nothing.
    let height = |c: usize, r: usize| match c {
        0 => 0.0,
        c if c > columns => 0.0,
        c => (along[(c - 1) * rows + r] / cell).powi(2),
    };
    let mut depths = vec![0.0f32; columns * rows];
    let mut breakpoints: Vec<(usize, f64)> = Vec::with_capacity(columns + 2);
    for r in 0..rows {
        // Feet of parabolas, and from where on each is the lowest.
        breakpoints.clear();
        for c in 0..columns + 2 {
            let from = loop {
                let Some(&(f, begin)) = breakpoints.last() else {
                    break f64::NEG_INFINITY;
                };
                let (c_, f_) = (c as f64, f as f64);
                let meet = (height(c, r) - height(f, r) + c_ * c_ - f_ * f_) / (2.0 * (c_ - f_));
                if meet > begin {
                    break meet;
                }
                breakpoints.pop();
            };
            breakpoints.push((c, from));
        }
        let mut at = 0;
        for c in 1..=columns {
            while breakpoints
                .get(at + 1)
                .is_some_and(|next| next.1 <= c as f64)
            {
                at += 1;
            }
            let breakpoint = breakpoints[at].0;
            let square = height(breakpoint, r) + (c as f64 - breakpoint as f64).powi(2);
            depths[(c - 1) * rows + r] = (square.sqrt() * cell) as f32;
        }
    }
    depths
}

/// The depths between two columns of a field.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Column<'a> {
    left: &'a [u8],
    right: &'a [u8],
    /// How far from the left one to the right one.
    share: f32,
    low: f64,
    per_cell: f64,
    unit: f32,
}

impl Column<'_> {
    /// The depth of an overlap at a difference along (units), drawn straight
    /// between the samples.
    #[inline]
    pub(crate) fn depth(&self, dv: f64) -> f64 {
        let at = dv * self.per_cell - self.low;
        let row = at as usize;
        let (Some(l), Some(r)) = (self.left.get(row..row + 2), self.right.get(row..row + 2)) else {
            return 0.0;
        };
        let up = (at - row as f64) as f32;
        let of = |pair: &[u8]| f32::from(pair[0]) * (1.0 - up) + f32::from(pair[1]) * up;
        let depth = of(l) * (1.0 - self.share) + of(r) * self.share;
        f64::from(depth * self.unit)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of a square, the depth is the distance to its nearest side; of all
    /// samples, by looking at every place outside.
    #[test]
    fn depths_are_distances_to_what_is_clear() {
        let side = Interval {
            lo: -100.0,
            hi: 100.0,
        };
        let (cell, step) = (5.0, 5);
        // One line a unit: forbidden on the lines -60 to 60.
        let inside = [side];
        let intervals = |k: i64| -> &[Interval] { if k.abs() < 60 { &inside } else { &[] } };
        let depth_map = DepthMap::new(-100..101, step, cell, intervals);
        for line in (-55..=55).step_by(11) {
            for v in (-95..=95).step_by(7) {
                let (line, v) = (i64::from(line), f64::from(v));
                let depth = depth_map.column(line, 1.0).depth(v);
                let true_depth = (60.0 - line.abs() as f64).min(100.0 - f64::abs(v));
                assert!(
                    (depth - true_depth).abs() < cell,
                    "{line} {v}: {depth} {true_depth}"
                );
                let other = depth_map.column(-line, -1.0).depth(v);
                assert!((depth - other).abs() < cell, "{line} {v}: {depth} {other}");
            }
        }
    }

    /// A profile holds what columns say one by one, read either way round, and nothing where
    /// nothing is forbidden or the profile ends.
    #[test]
    fn a_profile_is_the_sum_of_its_depths() {
        let side = Interval {
            lo: -80.0,
            hi: 140.0,
        };
        let (cell, step) = (5.0, 5);
        let inside = [side];
        let intervals = |k: i64| -> &[Interval] { if k.abs() < 60 { &inside } else { &[] } };
        let depth_map = DepthMap::new(-100..101, step, cell, intervals);
        let line_is_in_map = |line: i64| line.abs() <= 100;
        for length in [0, 7, 90] {
            for line in [-120_i64, -100, -55, -20, 0, 40, 100, 130] {
                for zero in [-60.0, -3.0, 11.0, 40.0, 200.0] {
                    let mut profile = vec![1.0; length];
                    depth_map.add_to(&mut profile, line, 1.0, zero, 2.0);
                    depth_map.add_to(&mut profile, -line, -1.0, zero, 0.5);
                    for (place, &sum) in profile.iter().enumerate() {
                        let v = (place as f64 - zero) * cell;
                        // Columns say nothing of places where nothing is forbidden.
                        let depth = |line, sense: f64| {
                            let within = side.lo < sense * v && sense * v < side.hi;
                            if within && line_is_in_map(line) {
                                depth_map.column(line, sense).depth(v)
                            } else {
                                0.0
                            }
                        };
                        let depth = 2.0 * depth(line, 1.0) + 0.5 * depth(-line, -1.0);
                        let off = (f64::from(sum) - 1.0 - depth).abs();
                        assert!(off < 2.5 * cell, "{length} {line} {zero} {place}: {off}");
                    }
                }
            }
        }
    }
}
