//! Which small template goes where on which sheet: their outlines, not their boxes, are
//! laid into each other, so that fewer sheets are printed.
//!
//! Sheet and outlines are looked at through a grid of squares, a row of them a number of
//! 64 bits: whether an outline is clear of what lies there already is a few `and`s.
//! Outlines are kept a square apart, which is room for scissors.

use super::tile::Size;
use crate::rng::Rng;
use crate::shape::Point;

/// Side of a square (mm): no sheet has more than 64 of them in a row, and it is what is
/// left between neighbours.
pub(super) const SQUARE_MM: f64 = 3.0;
const MOST_ACROSS: usize = 64;
/// So many other orders are tried, where there are no more templates than that.
const TRIES: u64 = 24;
const MOST_TRIED: usize = 60;

/// What a template covers when it stands one way, its box's corner at the origin.
#[derive(Debug, Clone)]
pub(super) struct Cover {
    rows: Vec<u64>,
    across: usize,
}

/// Where a template is put: the top left corner of its box, within the sheet's room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Spot {
    pub index: usize,
    /// Which of its ways it stands.
    pub way: usize,
    pub x_mm: f64,
    pub y_mm: f64,
}

impl Cover {
    /// The squares that an outline (even-odd, holes filled by what lies in them) touches;
    /// nothing where it is too wide for a sheet.
    pub(super) fn of(outlines: &[Vec<Point>]) -> Option<Self> {
        let points = || outlines.iter().flatten();
        let across = points().map(|p| squares(p.x)).max()? + 1;
        let down = points().map(|p| squares(p.y)).max()? + 1;
        if across > MOST_ACROSS {
            return None;
        }
        let mut rows = vec![0_u64; down];
        for ring in outlines {
            let mut from = *ring.last()?;
            for &to in ring {
                touch(&mut rows, from, to);
                from = to;
            }
            fill(&mut rows, ring, across);
        }
        Some(Self { rows, across })
    }

    /// The same and every square about it, from the row above its first one on.
    fn grown(&self) -> Vec<u64> {
        let wide = |row: u64| row | row << 1 | row >> 1;
        let row = |i: isize| {
            let at = usize::try_from(i).ok().and_then(|i| self.rows.get(i));
            at.copied().map_or(0, wide)
        };
        (-1..=self.rows.len() as isize)
            .map(|i| row(i - 1) | row(i) | row(i + 1))
            .collect()
    }
}

fn squares(mm: f64) -> usize {
    (mm / SQUARE_MM).max(0.0) as usize
}

/// Marks the squares along a line.
fn touch(rows: &mut [u64], a: Point, b: Point) {
    let (low, high) = if a.y <= b.y { (a, b) } else { (b, a) };
    let x_at = |y: f64| {
        let share = (y - low.y) / (high.y - low.y).max(1e-12);
        low.x + share.clamp(0.0, 1.0) * (high.x - low.x)
    };
    let (first, last) = (squares(low.y), squares(high.y).min(rows.len() - 1));
    for (row, cells) in rows.iter_mut().enumerate().take(last + 1).skip(first) {
        // Of a level line, all of it.
        let (x0, x1) = if high.y - low.y < 1e-9 {
            (low.x, high.x)
        } else {
            let top = (row as f64 * SQUARE_MM).max(low.y);
            (x_at(top), x_at(((row + 1) as f64 * SQUARE_MM).min(high.y)))
        };
        *cells |= run(squares(x0.min(x1)), squares(x0.max(x1)));
    }
}

/// Marks the squares whose middles lie inside of a ring.
fn fill(rows: &mut [u64], ring: &[Point], across: usize) {
    for (row, cells) in rows.iter_mut().enumerate() {
        let y = (row as f64 + 0.5) * SQUARE_MM;
        let ends = ring.iter().zip(ring.iter().cycle().skip(1));
        let mut crossings: Vec<f64> = ends
            .filter(|(a, b)| (a.y > y) != (b.y > y))
            .map(|(a, b)| a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x))
            .collect();
        crossings.sort_by(f64::total_cmp);
        for pair in crossings.chunks_exact(2) {
            *cells |= run(squares(pair[0]), squares(pair[1]).min(across - 1));
        }
    }
}

/// Ones from one place to another.
fn run(first: usize, last: usize) -> u64 {
    let ones = u64::MAX >> (MOST_ACROSS - 1 - (last - first).min(MOST_ACROSS - 1));
    ones.checked_shl(first as u32).unwrap_or(0)
}

/// A template by its number, and the ways in which it may stand.
type Ways = (usize, Vec<Cover>);

/// A sheet being filled.
struct Sheet {
    rows: Vec<u64>,
    spots: Vec<Spot>,
}

/// Sheets of templates, each given by the ways in which it may stand; every one of them
/// fits on an empty sheet in some way. Of several orders, the one that takes the fewest
/// sheets.
pub(super) fn nest(ways: &[(usize, Vec<Cover>)], room: Size) -> Vec<Vec<Spot>> {
    type Key = fn(&Cover) -> usize;
    let keys: [Key; 4] = [
        |cover| cover.rows.iter().map(|r| r.count_ones() as usize).sum(),
        |cover| cover.rows.len() * cover.across,
        |cover| cover.rows.len().max(cover.across),
        |cover| cover.rows.len(),
    ];
    let ordered = |size: &mut dyn FnMut(&Ways) -> usize| {
        let sized = ways.iter().map(|one| (std::cmp::Reverse(size(one)), one));
        let mut order: Vec<(std::cmp::Reverse<usize>, &Ways)> = sized.collect();
        order.sort_by_key(|&(size, one)| (size, one.0));
        let order: Vec<&Ways> = order.into_iter().map(|(_, one)| one).collect();
        fill_sheets(&order, room)
    };
    let plain = keys.into_iter().map(|key| {
        let mut size = move |one: &Ways| one.1.first().map_or(0, key);
        ordered(&mut size)
    });
    // Orders near the one by area: each size larger by chance, at most twice as large.
    let tries = if ways.len() > MOST_TRIED { 0 } else { TRIES };
    let varied = (1..=tries).map(|seed| {
        let mut rng = Rng::new(seed);
        let mut size = |one: &Ways| one.1.first().map_or(0, keys[0]) * (100 + rng.below(100));
        ordered(&mut size)
    });
    plain.chain(varied).min_by_key(Vec::len).unwrap_or_default()
}

fn fill_sheets(order: &[&(usize, Vec<Cover>)], room: Size) -> Vec<Vec<Spot>> {
    let across = squares(room.width_mm + 1e-9).min(MOST_ACROSS);
    let down = squares(room.height_mm + 1e-9);
    let mut sheets: Vec<Sheet> = Vec::new();
    for (index, ways) in order {
        let grown: Vec<Vec<u64>> = ways.iter().map(Cover::grown).collect();
        let found = sheets.iter_mut().find_map(|sheet| {
            let at = place(&sheet.rows, ways, &grown, [across, down])?;
            Some((sheet, at))
        });
        let (sheet, (way, x, y)) = match found {
            Some(found) => found,
            None => {
                let empty = vec![0; down];
                let Some(at) = place(&empty, ways, &grown, [across, down]) else {
                    continue;
                };
                sheets.push(Sheet {
                    rows: empty,
                    spots: Vec::new(),
                });
                (sheets.last_mut().expect("just pushed"), at)
            }
        };
        for (row, cells) in ways[way].rows.iter().enumerate() {
            sheet.rows[y + row] |= cells << x;
        }
        sheet.spots.push(Spot {
            index: *index,
            way,
            x_mm: x as f64 * SQUARE_MM,
            y_mm: y as f64 * SQUARE_MM,
        });
    }
    sheets.into_iter().map(|sheet| sheet.spots).collect()
}

/// The way and the place that end furthest up, then furthest left.
fn place(
    sheet: &[u64],
    ways: &[Cover],
    grown: &[Vec<u64>],
    [across, down]: [usize; 2],
) -> Option<(usize, usize, usize)> {
    let mut best: Option<(usize, usize, usize, usize)> = None;
    for (way, (cover, grown)) in ways.iter().zip(grown).enumerate() {
        let (wide, high) = (cover.across, cover.rows.len());
        if wide > across || high > down {
            continue;
        }
        'down: for y in 0..=down - high {
            if best.is_some_and(|(end, ..)| y + high > end) {
                break;
            }
            // What lies above the sheet is clear anyway.
            let (hidden, top) = if y == 0 { (1, 0) } else { (0, y - 1) };
            for x in 0..=across - wide {
                let rows = grown.iter().skip(hidden).zip(&sheet[top..]);
                let clear = { rows }.all(|(a, b)| {
                    // A grown outline reaches a square to the left of its box.
                    let shifted = if x == 0 {
                        *a
                    } else {
                        (a << x) | (a & 1) << (x - 1)
                    };
                    shifted & b == 0
                });
                if clear {
                    let found = (y + high, x, y, way);
                    if best.is_none_or(|best| found < best) {
                        best = Some(found);
                    }
                    break 'down;
                }
            }
        }
    }
    best.map(|(_, x, y, way)| (way, x, y))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::point;
    use geo::{Distance, Euclidean};
    use geo_types::Polygon;

    const ROOM: Size = Size {
        width_mm: 184.6,
        height_mm: 223.5,
    };

    /// An L of that size, standing four ways.
    fn angles(size: f64) -> Vec<Vec<Point>> {
        let arm = size / 3.0;
        let l = [
            (0.0, 0.0),
            (size, 0.0),
            (size, arm),
            (arm, arm),
            (arm, size),
            (0.0, size),
        ];
        (0..4)
            .map(|quarter| {
                let turn = |(x, y): (f64, f64)| match quarter {
                    0 => point(x, y),
                    1 => point(size - y, x),
                    2 => point(size - x, size - y),
                    _ => point(y, size - x),
                };
                l.map(turn).to_vec()
            })
            .collect()
    }

    #[test]
    fn outlines_lie_in_each_other_and_apart() {
        let sizes: Vec<f64> = (0..26).map(|i| 60.0 + f64::from(i * 37 % 50)).collect();
        let outlines: Vec<Vec<Vec<Point>>> = sizes.iter().map(|&size| angles(size)).collect();
        let ways: Vec<(usize, Vec<Cover>)> = outlines
            .iter()
            .enumerate()
            .map(|(i, ways)| {
                let cover = |way: &Vec<Point>| Cover::of(std::slice::from_ref(way)).unwrap();
                (i, ways.iter().map(cover).collect())
            })
            .collect();
        let sheets = nest(&ways, ROOM);
        let mut seen = 0;
        for sheet in &sheets {
            let placed: Vec<Polygon> = sheet
                .iter()
                .map(|spot| {
                    let ring = outlines[spot.index][spot.way].iter();
                    let ring = ring
                        .map(|&p| p + point(spot.x_mm, spot.y_mm))
                        .collect::<Vec<_>>();
                    for p in &ring {
                        assert!(p.x >= 0.0 && p.x <= ROOM.width_mm);
                        assert!(p.y >= 0.0 && p.y <= ROOM.height_mm);
                    }
                    Polygon::new(ring.into(), vec![])
                })
                .collect();
            for (i, a) in placed.iter().enumerate() {
                for b in &placed[..i] {
                    // A whole square lies between any two squares that are not the same.
                    assert!(Euclidean.distance(a, b) >= SQUARE_MM - 1e-9);
                }
            }
            seen += sheet.len();
        }
        assert_eq!(seen, sizes.len());
        // Their boxes would have to fill nine tenths of as many sheets.
        let boxes: f64 = sizes.iter().map(|s| s * s).sum();
        let share = boxes / (ROOM.width_mm * ROOM.height_mm * sheets.len() as f64);
        assert!(share > 0.9, "{} sheets", sheets.len());
    }

    #[test]
    fn what_is_too_wide_has_no_cover() {
        let wide = vec![point(0.0, 0.0), point(500.0, 0.0), point(0.0, 9.0)];
        assert!(Cover::of(&[wide]).is_none());
        assert_eq!(run(0, 63), u64::MAX);
        assert_eq!(run(2, 4), 0b11100);
    }
}
