//! The letter of each piece in the picture of its motif, which thereby shows how the
//! pieces go together, and what the letters stand for.

use super::look::Look;
use crate::draw::lettering::width_mm;
use crate::draw::map::{edge_towards, leader_items, plate, plate_mm};
use crate::draw::scene::Item;
use crate::plan::MotifNote;
use crate::shape::room::{find_room_uncovered, inside};
use crate::shape::{Point, point};

/// Sizes of a letter that are tried inside a piece (mm): 12, 10 and 8 point.
const SIZES_MM: [f64; 3] = [4.2, 3.5, 2.85];
/// The size beside the motif.
const BESIDE_MM: f64 = 3.5;
/// From one letter beside the motif to the next (mm).
const APART_MM: f64 = 5.0;
/// What a letter keeps clear of the edges of its piece (mm).
const CLEAR_MM: f64 = 0.5;

/// A letter that found no room in its piece.
struct Outside<'a> {
    mark: &'a str,
    to: Point,
}

/// The letters over the motif whose pieces' outlines are given (page frame, bottom first),
/// and beside it where a piece is too small: on the vertical lines `sides`, from `top` to
/// `bottom`. Points of `keep_off` stay free by their radius.
pub(super) fn letters(
    motif: &MotifNote,
    look: &Look<'_>,
    rings: &[Vec<Vec<Point>>],
    keep_off: &[(Point, f64)],
    sides: [f64; 2],
    [top, bottom]: [f64; 2],
) -> Vec<Item> {
    let mut items = Vec::new();
    let mut outside = Vec::new();
    let mut plates: Vec<(Point, [f64; 2])> = Vec::new();
    for (i, cut) in look.cuts.iter().enumerate() {
        let note = motif
            .pieces
            .iter()
            .find(|note| note.piece == cut.piece.piece);
        let Some(mark) = note.map(|note| note.mark.as_str()) else {
            continue;
        };
        let covers = &rings[i + 1..];
        let seen = |p: Point| inside(&rings[i], p) && !covers.iter().any(|cover| inside(cover, p));
        let place = SIZES_MM.iter().find_map(|&size| {
            let [width, height] = plate_mm(&[mark], size);
            let (x, y) = (width / 2.0 + CLEAR_MM, height / 2.0 + CLEAR_MM);
            let free = |p: Point| {
                let clear = keep_off.iter().all(|(at, radius)| {
                    let gap = point(
                        ((at.x - p.x).abs() - x).max(0.0),
                        ((at.y - p.y).abs() - y).max(0.0),
                    );
                    gap.x.hypot(gap.y) > *radius
                });
                let grid = [-1.0, -0.5, 0.0, 0.5, 1.0];
                clear
                    && grid.iter().all(|across| {
                        grid.iter()
                            .all(|down| seen(point(p.x + across * x, p.y + down * y)))
                    })
            };
            find_room_uncovered(&rings[i], covers, [width, height], &free).map(|room| (room, size))
        });
        if let Some((room, size)) = place {
            items.push(plate(room.middle, &[mark], size, false));
            plates.push((room.middle, plate_mm(&[mark], size)));
        } else if let Some(room) = find_room_uncovered(&rings[i], covers, [1.0, 1.0], &seen) {
            outside.push(Outside {
                mark,
                to: room.middle,
            });
        }
    }
    // Leaders lie below the letters that are in their pieces.
    let mut beside = beside(outside, sides, [top, bottom], &plates);
    beside.append(&mut items);
    beside
}

/// Letters at the left and at the right of the motif, each on the side that is nearer, and so
/// high that their leaders run past the letters that stand in their pieces.
fn beside(
    outside: Vec<Outside<'_>>,
    sides: [f64; 2],
    ends: [f64; 2],
    plates: &[(Point, [f64; 2])],
) -> Vec<Item> {
    let middle = f64::midpoint(sides[0], sides[1]);
    let (mut left, mut right): (Vec<_>, Vec<_>) =
        outside.into_iter().partition(|one| one.to.x < middle);
    let mut items = Vec::new();
    for (side, column) in [(sides[0], &mut left), (sides[1], &mut right)] {
        column.sort_by(|a, b| a.to.y.total_cmp(&b.to.y));
        let crossed = |heights: &[f64]| {
            let leaders = column.iter().zip(heights);
            let leaders = leaders.map(|(one, &height)| [point(side, height), one.to]);
            let crossed =
                leaders.map(|leader| plates.iter().filter(|at| crosses(leader, at)).count());
            crossed.sum::<usize>()
        };
        let moves = (0..=12).flat_map(|i| [1.0, -1.0].map(|way| way * 2.5 * f64::from(i)));
        let heights = moves.map(|by| heights(column, by, ends));
        // The first of the best: as near to the pieces as may be.
        let Some(heights) = heights.min_by_key(|heights| crossed(heights)) else {
            continue;
        };
        for (one, height) in column.iter().zip(heights) {
            let at = point(side, height);
            let from = edge_towards(at, plate_mm(&[one.mark], BESIDE_MM), one.to);
            items.extend(leader_items([from, one.to]));
            items.push(plate(at, &[one.mark], BESIDE_MM, false));
        }
    }
    items
}

/// How high the letters of one side stand, sorted: beside their pieces, moved by so much, and clear
/// of each other.
fn heights(column: &[Outside<'_>], by: f64, [top, bottom]: [f64; 2]) -> Vec<f64> {
    let mut heights: Vec<f64> = Vec::new();
    for one in column {
        let least = heights.last().map_or(top, |last| last + APART_MM);
        heights.push((one.to.y + by).max(least));
    }
    let mut most = bottom;
    for height in heights.iter_mut().rev() {
        *height = height.min(most);
        most = *height - APART_MM;
    }
    heights
}

/// Whether a leader runs through the plate of a letter.
fn crosses([from, to]: [Point; 2], (middle, size): &(Point, [f64; 2])) -> bool {
    const STEPS: u32 = 200;
    (0..=STEPS).any(|i| {
        let p = from + (to - from) * (f64::from(i) / f64::from(STEPS)) - *middle;
        p.x.abs() < size[0] / 2.0 && p.y.abs() < size[1] / 2.0
    })
}

/// How wide the widest letter comes out beside the motif (mm).
pub(super) fn widest_mm(motif: &MotifNote) -> f64 {
    let marks = motif
        .pieces
        .iter()
        .map(|note| width_mm(&note.mark, BESIDE_MM, true));
    marks.fold(0.0, f64::max) + 0.48 * BESIDE_MM
}

/// What the letters stand for, in the order of the layers.
pub(super) fn key(motif: &MotifNote) -> String {
    let parts: Vec<String> = motif
        .pieces
        .chunk_by(|a, b| a.layer == b.layer)
        .filter_map(|pieces| match pieces {
            [] => None,
            [one] => Some(format!("{}: {}", one.mark, one.part)),
            [a, b] => Some(format!(
                "{} and {}: {}, wedges 1 and 2",
                a.mark, b.mark, a.part
            )),
            [first, .., last] => Some(format!(
                "{} to {}: {}, wedges 1 to {}",
                first.mark,
                last.mark,
                first.part,
                pieces.len()
            )),
        })
        .collect();
    let order = if parts.len() > 1 {
        ", bottom layer first"
    } else {
        ""
    };
    let example = motif.pieces.last().map_or(String::new(), |note| {
        let copy = motif.copies;
        format!(
            " Full codes add the motif's letter and copy number: {}{copy}{} is piece {} of {} {copy}.",
            motif.letter, note.mark, note.mark, motif.name
        )
    });
    format!("Pieces{order}: {}.{example}", parts.join("; "))
}
