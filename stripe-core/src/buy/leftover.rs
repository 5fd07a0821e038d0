//! What a layout leaves over: the largest rectangle that another project can be cut from.

use crate::record::Leftover;
use crate::shape::Region;

/// A leftover narrower or shorter than this is no use to most people: four inches (mm).
///
/// # Source
/// Common practice, no source.
pub const LEAST_SIDE_MM: f64 = 101.6;

/// The largest rectangle that no piece enters, of fabric `width_mm` wide and `length_mm`
/// long, in whole cells: sides are multiples of `cell_mm` (positive), a mark of the
/// ruler. `None` where none is
/// [`LEAST_SIDE_MM`] wide and long.
///
/// Of equals, the nearest to the cut end. What a piece's outline hollows out counts
/// as the piece's.
///
/// # Source
/// The largest rectangle under a histogram, row by row, with a stack; textbook
/// algorithm, from memory.
pub fn largest_left(
    pieces: &[Region],
    width_mm: f64,
    length_mm: f64,
    cell_mm: f64,
) -> Option<Leftover> {
    let cells = |mm: f64| ((mm + 1e-6) / cell_mm).max(0.0) as usize;
    let (columns, rows) = (cells(width_mm), cells(length_mm));
    let least = ((LEAST_SIDE_MM - 1e-6) / cell_mm).ceil() as usize;
    let taken = taken(pieces, rows, cell_mm);
    // How many free cells lie below one another, down from the row.
    let mut free = vec![0usize; columns];
    let mut best: Option<[usize; 4]> = None;
    for (row, ranges) in taken.iter().enumerate() {
        for height in &mut free {
            *height += 1;
        }
        for &(from, to) in ranges {
            let (from, to) = (from.min(columns), to.min(columns));
            free[from..to].fill(0);
        }
        // Columns whose rectangle goes on to the right, lowest first: where it began.
        let mut open: Vec<(usize, usize)> = Vec::new();
        for column in 0..=columns {
            let height = free.get(column).copied().unwrap_or(0);
            let mut begin = column;
            while let Some(&(from, tall)) = open.last()
                && tall >= height
            {
                open.pop();
                begin = from;
                let wide = column - from;
                let is_larger = best.is_none_or(|[_, _, w, h]| wide * tall > w * h);
                if wide >= least && tall >= least && is_larger {
                    best = Some([from, row + 1 - tall, wide, tall]);
                }
            }
            open.push((begin, height));
        }
    }
    best.map(|found| {
        let [left_mm, begin_mm, width_mm, length_mm] = found.map(|cells| cells as f64 * cell_mm);
        Leftover {
            left_mm,
            begin_mm,
            width_mm,
            length_mm,
            shortest_mm: None,
        }
    })
}

/// For each row of cells the ranges of columns that pieces reach into.
fn taken(pieces: &[Region], rows: usize, cell_mm: f64) -> Vec<Vec<(usize, usize)>> {
    let mut taken = vec![Vec::new(); rows];
    let row_at = |y: f64| ((y / cell_mm).max(0.0) as usize).min(rows.saturating_sub(1));
    // What ends on a row's lower edge does not reach into it.
    let last_row = |y: f64| row_at(y - 1e-6);
    for piece in pieces {
        let ys = piece.exterior().0.iter().map(|p| p.y);
        let (low, high) = ys.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), y| {
            (l.min(y), h.max(y))
        });
        if rows == 0 || high <= 0.0 || low >= rows as f64 * cell_mm {
            continue;
        }
        let first = row_at(low).min(last_row(high));
        let mut reach = vec![(f64::INFINITY, f64::NEG_INFINITY); last_row(high) - first + 1];
        for line in piece.exterior().lines() {
            let (a, b) = if line.start.y <= line.end.y {
                (line.start, line.end)
            } else {
                (line.end, line.start)
            };
            if b.y < 0.0 || a.y >= rows as f64 * cell_mm {
                continue;
            }
            for row in row_at(a.y)..=last_row(b.y) {
                let at = |y: f64| {
                    let share = (y.clamp(a.y, b.y) - a.y) / (b.y - a.y).max(1e-12);
                    a.x + share.min(1.0) * (b.x - a.x)
                };
                let ends = [
                    at(row as f64 * cell_mm),
                    at((row + 1) as f64 * cell_mm),
                    // What lies horizontal has no share of its height.
                    if b.y - a.y < 1e-9 { b.x } else { f64::NAN },
                ];
                let (lo, hi) = &mut reach[row - first];
                for x in ends.into_iter().filter(|x| x.is_finite()) {
                    *lo = lo.min(x);
                    *hi = hi.max(x);
                }
            }
        }
        for (row, (lo, hi)) in reach.into_iter().enumerate() {
            if lo < hi {
                let from = ((lo + 1e-6) / cell_mm).max(0.0) as usize;
                let to = ((hi - 1e-6) / cell_mm).ceil().max(0.0) as usize;
                taken[first + row].push((from, to));
            }
        }
    }
    taken
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::point;
    use geo::{Area, BooleanOps};
    use proptest::prelude::*;

    fn ring(corners: &[(f64, f64)]) -> Region {
        let points: Vec<_> = corners.iter().map(|&(x, y)| point(x, y)).collect();
        Region::new(points.into(), vec![])
    }

    /// A square in a corner leaves the longer of two bands.
    #[test]
    fn beside_or_behind_one_square() {
        let square = ring(&[(0.0, 0.0), (200.0, 0.0), (200.0, 200.0), (0.0, 200.0)]);
        let left = largest_left(std::slice::from_ref(&square), 500.0, 300.0, 5.0).unwrap();
        assert_eq!(
            (left.left_mm, left.begin_mm, left.width_mm, left.length_mm),
            (200.0, 0.0, 300.0, 300.0)
        );
        let left = largest_left(&[square], 250.0, 600.0, 5.0).unwrap();
        assert_eq!(
            (left.left_mm, left.begin_mm, left.width_mm, left.length_mm),
            (0.0, 200.0, 250.0, 400.0)
        );
        assert_eq!(largest_left(&[], 101.0, 900.0, 1.0), None);
        assert_eq!(largest_left(&[], 900.0, 0.0, 1.0), None);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        /// On random triangles: no piece enters the rectangle, by polygon Booleans of the
        /// general library; and no other that is free is larger.
        #[test]
        fn no_piece_enters_and_none_is_larger(
            corners in prop::collection::vec((0.0..550.0f64, 0.0..750.0f64, 0.0..80.0f64, 0.0..90.0f64), 1..9),
            others in prop::collection::vec((0.0..490.0f64, 0.0..690.0f64, 0.0..1.0f64, 0.0..1.0f64), 200),
        ) {
            let pieces: Vec<Region> = corners
                .iter()
                .map(|&(x, y, dx, dy)| ring(&[(x, y + dy), (x + dx, y), (x + 80.0, y + 90.0)]))
                .collect();
            let area_in = |[x, y, w, h]: [f64; 4]| -> f64 {
                let rect = ring(&[(x, y), (x + w, y), (x + w, y + h), (x, y + h)]);
                let cut = pieces.iter().map(|p| p.intersection(&rect).unsigned_area());
                cut.sum()
            };
            let left = largest_left(&pieces, 600.0, 800.0, 2.5).unwrap();
            let found = [left.left_mm, left.begin_mm, left.width_mm, left.length_mm];
            prop_assert!(area_in(found) < 1e-6, "{found:?}");
            for (x, y, wide, tall) in others {
                let other = [x, y, wide * (600.0 - x), tall * (800.0 - y)];
                // In whole cells it may lose a cell on each side.
                let least = (other[2] - 5.0) * (other[3] - 5.0);
                if other[2].min(other[3]) > LEAST_SIDE_MM + 7.5 && least > left.area_mm2() {
                    prop_assert!(area_in(other) > 0.0, "{other:?} is larger than {found:?}");
                }
            }
        }
    }
}
