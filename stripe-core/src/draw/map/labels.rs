//! Where the codes of pieces find room on a map: never on an arrow, a cross, another
//! label or a neighbour's line.

use super::pieces;
use crate::draw::lettering::width_mm;
use crate::draw::scene::{Item, Path, Stroke};
use crate::shape::room::{find_room_where, inside};
use crate::shape::{Point, corners_of, point};

/// What is tried in turn: a code's size (mm; 8 and 7 point), and what it keeps clear of
/// lines and other labels.
const TRIES: [(f64, f64); 3] = [(2.85, CLEAR_MM), (2.5, CLEAR_MM), (2.5, 0.05)];
/// What a label keeps clear of lines and of other labels (mm).
const CLEAR_MM: f64 = 0.25;
/// A label that is so many times larger than its piece does not stand on it: it would hide it.
const MOST_COVERED: f64 = 4.0;
/// How far from its piece a label may stand (mm).
const FAR_MM: f64 = 30.0;
/// How far it may stand where its leader would run below another label (mm), and for how many
/// labels of a map such a place is sought: it takes long.
const FURTHER_MM: f64 = 70.0;
const MOST_FURTHER: usize = 3;
/// Between two places that are tried beside a piece (mm).
const STEP_MM: f64 = 1.2;
/// A leader that crosses a line costs as much as one longer by this (mm).
const CROSSED_MM: f64 = 12.0;
/// One that runs below another label costs as much as one longer by this (mm); where it is not
/// to do so, more than any other place.
const HIDDEN_MM: f64 = 24.0;
const NEVER_MM: f64 = 1000.0;
/// Side of a cell in which lines are looked up (mm).
const CELL_MM: f64 = 3.0;
/// The most cells along a side.
const MOST_CELLS: f64 = 400.0;

/// A box on the page, by its lower and higher corner.
pub(super) type Plate = [Point; 2];

fn around(middle: Point, [width, height]: [f64; 2], clear: f64) -> Plate {
    let (x, y) = (width / 2.0 + clear, height / 2.0 + clear);
    [
        point(middle.x - x, middle.y - y),
        point(middle.x + x, middle.y + y),
    ]
}

fn overlap(a: &Plate, b: &Plate) -> bool {
    a[0].x < b[1].x && b[0].x < a[1].x && a[0].y < b[1].y && b[0].y < a[1].y
}

/// Whether a segment comes into a box.
///
/// # Source
/// The clipping of lines after Liang and Barsky (1984), from memory.
fn meets([a, b]: [Point; 2], plate: &Plate) -> bool {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (start, way, low, high) in [
        (a.x, b.x - a.x, plate[0].x, plate[1].x),
        (a.y, b.y - a.y, plate[0].y, plate[1].y),
    ] {
        if way == 0.0 {
            if start < low || start > high {
                return false;
            }
            continue;
        }
        let ends = [(low - start) / way, (high - start) / way];
        from = from.max(ends[0].min(ends[1]));
        to = to.min(ends[0].max(ends[1]));
    }
    from <= to
}

fn cross([a, b]: [Point; 2], [c, d]: [Point; 2]) -> bool {
    let side = |p: Point, q: Point, r: Point| (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

/// What labels must not cover.
pub(super) struct Room {
    /// All labels lie in it: the fabric as it is shown.
    window: Plate,
    /// Cells of the window across and up it; what lies outside counts to the cells at its edge.
    counts: [usize; 2],
    lines: Vec<(usize, [Point; 2])>,
    line_cells: Vec<Vec<u32>>,
    plates: Vec<Plate>,
    plate_cells: Vec<Vec<u32>>,
    /// For how many labels more a place further away is sought.
    further: usize,
    /// For each size of label, the places of the grid beside pieces that are known to be
    /// covered. Nothing is ever taken off the page, so they stay so.
    covered: Vec<([f64; 2], Vec<bool>)>,
}

/// A line that belongs to no piece.
pub(super) const NOBODY: usize = usize::MAX;

/// A label and where it stands.
struct Found {
    middle: Point,
    size: f64,
    leader: Option<[Point; 2]>,
    /// Whether its leader runs below another label.
    is_hidden: bool,
}

impl Room {
    pub(super) fn new(window: Plate) -> Self {
        let count = |mm: f64| (mm / CELL_MM).ceil().clamp(1.0, MOST_CELLS) as usize;
        let counts = [
            count(window[1].x - window[0].x),
            count(window[1].y - window[0].y),
        ];
        Self {
            window,
            counts,
            lines: Vec::new(),
            line_cells: vec![Vec::new(); counts[0] * counts[1]],
            plates: Vec::new(),
            plate_cells: vec![Vec::new(); counts[0] * counts[1]],
            further: MOST_FURTHER,
            covered: Vec::new(),
        }
    }

    /// Takes a box for words that belong to no piece, if nothing is covered there.
    pub(super) fn take(&mut self, middle: Point, plate_mm: [f64; 2]) -> bool {
        let plate = around(middle, plate_mm, CLEAR_MM / 2.0);
        let free = self.is_clear(&plate, None);
        if free {
            self.plate(plate);
        }
        free
    }

    /// A line that only the labels of its owner may cover.
    pub(super) fn line(&mut self, owner: usize, line: [Point; 2]) {
        let index = self.lines.len();
        self.lines.push((owner, line));
        let [low, high] = corners_of(&line);
        for cell in self.cells(&[low, high]) {
            self.line_cells[cell].push(index as u32);
        }
    }

    /// The outline of a piece.
    pub(super) fn rings(&mut self, owner: usize, rings: &[Vec<Point>]) {
        for ring in rings {
            for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
                self.line(owner, [*a, *b]);
            }
        }
    }

    /// A label that stands already.
    pub(super) fn plate(&mut self, plate: Plate) {
        for cell in self.cells(&plate) {
            self.plate_cells[cell].push(self.plates.len() as u32);
        }
        self.plates.push(plate);
    }

    /// The cells that a box comes into.
    fn cells(&self, plate: &Plate) -> impl Iterator<Item = usize> + use<> {
        let at =
            |mm: f64, count: usize| (mm / CELL_MM).floor().clamp(0.0, (count - 1) as f64) as usize;
        let ([columns, rows], [from, to]) = (self.counts, *plate);
        let low = self.window[0];
        let x = at(from.x - low.x, columns)..=at(to.x - low.x, columns);
        let y = at(from.y - low.y, rows)..=at(to.y - low.y, rows);
        y.flat_map(move |j| x.clone().map(move |i| j * columns + i))
    }

    /// The lines that may come into a box; one that lies in several cells comes several times.
    fn near(&self, plate: &Plate) -> impl Iterator<Item = &(usize, [Point; 2])> {
        let cells = self.cells(plate).flat_map(|cell| &self.line_cells[cell]);
        cells.map(|&index| &self.lines[index as usize])
    }

    /// Whether a box covers a label.
    fn covers_label(&self, plate: &Plate) -> bool {
        self.cells(plate)
            .flat_map(|cell| &self.plate_cells[cell])
            .any(|&index| overlap(&self.plates[index as usize], plate))
    }

    /// Places beside pieces: so many across and up the window, [`STEP_MM`] apart.
    fn places(&self) -> [i32; 2] {
        let [low, high] = self.window;
        [high.x - low.x, high.y - low.y].map(|mm| (mm / STEP_MM) as i32 + 1)
    }

    /// What is known to be covered for labels of that size.
    fn covered(&mut self, plate_mm: [f64; 2]) -> &mut Vec<bool> {
        let known = self.covered.iter().position(|(size, _)| *size == plate_mm);
        let index = known.unwrap_or_else(|| {
            let [across, up] = self.places();
            let none = vec![false; (across * up) as usize];
            self.covered.push((plate_mm, none));
            self.covered.len() - 1
        });
        &mut self.covered[index].1
    }

    /// Whether a box covers nothing but lines of `owner`.
    fn is_clear(&self, plate: &Plate, owner: Option<usize>) -> bool {
        let [low, high] = self.window;
        plate[0].x >= low.x
            && plate[0].y >= low.y
            && plate[1].x <= high.x
            && plate[1].y <= high.y
            && !self.covers_label(plate)
            && !self
                .near(plate)
                .any(|(of, line)| Some(*of) != owner && meets(*line, plate))
    }

    /// The label of a piece inside of it, if there is room; in grey in the smaller size.
    pub(super) fn label(
        &mut self,
        owner: usize,
        rings: &[Vec<Point>],
        words: &[&str],
        grey: bool,
    ) -> Option<Item> {
        let [low, high] = corners_of(rings.iter().flatten());
        let [width, height] = pieces::plate_mm(words, SMALL_MM);
        if width * height > MOST_COVERED * (high.x - low.x) * (high.y - low.y) {
            return None;
        }
        let tries = if grey { &TRIES[1..] } else { &TRIES };
        let found = tries
            .iter()
            .find_map(|&(size, clear)| self.within(owner, rings, words, size, clear))?;
        Some(self.put(&found, words, grey))
    }

    /// The label of a piece that has no room for it: beside it, with a leader, which lies
    /// below all labels; where nothing is free, in the piece whatever it covers.
    pub(super) fn label_beside(
        &mut self,
        rings: &[Vec<Point>],
        words: &[&str],
    ) -> (Vec<Item>, Item) {
        let mut found = self.beside(rings, words, FAR_MM, HIDDEN_MM);
        let is_hidden = found.as_ref().is_none_or(|found| found.is_hidden);
        if is_hidden && self.further > 0 {
            self.further -= 1;
            let clear = self.beside(rings, words, FURTHER_MM, NEVER_MM);
            found = clear.or(found);
        }
        let found = found.unwrap_or_else(|| self.anywhere(rings, words));
        let plate = self.put(&found, words, false);
        let Some(leader) = found.leader else {
            return (vec![], plate);
        };
        self.line(NOBODY, leader);
        (leader_items(leader), plate)
    }

    fn put(&mut self, found: &Found, words: &[&str], grey: bool) -> Item {
        let plate_mm = pieces::plate_mm(words, found.size);
        self.plate(around(found.middle, plate_mm, 0.1));
        pieces::plate(found.middle, words, found.size, grey)
    }

    fn within(
        &self,
        owner: usize,
        rings: &[Vec<Point>],
        words: &[&str],
        size: f64,
        clear: f64,
    ) -> Option<Found> {
        let [width, height] = pieces::plate_mm(words, size);
        let free = |p: Point| self.is_clear(&around(p, [width, height], clear), Some(owner));
        let room = find_room_where(rings, width, height, &free)?;
        Some(Found {
            middle: room.middle,
            size,
            leader: None,
            is_hidden: false,
        })
    }

    /// In the waste beside the piece, as near as may be.
    fn beside(
        &mut self,
        rings: &[Vec<Point>],
        words: &[&str],
        far_mm: f64,
        hidden_mm: f64,
    ) -> Option<Found> {
        let size = SMALL_MM;
        let plate_mm = pieces::plate_mm(words, size);
        let to = find_room_where(rings, 1.0, 1.0, &|p| {
            self.is_clear(&around(p, [0.6, 0.6], 0.0), None)
        })?
        .middle;
        let mut covered = std::mem::take(self.covered(plate_mm));
        let [across, up] = self.places();
        let corner = self.window[0];
        let near = [to.x - corner.x, to.y - corner.y].map(|mm| (mm / STEP_MM).round() as i32);
        let reach = (far_mm / STEP_MM) as i32;
        let mut best: Option<(f64, Found)> = None;
        // From the nearest on: nothing that is further than the best costs is better.
        for (ring, i, j) in (0..=reach).flat_map(square) {
            if best
                .as_ref()
                .is_some_and(|(cost, _)| f64::from(ring - 1) * STEP_MM >= *cost)
            {
                break;
            }
            let (i, j) = (near[0] + i, near[1] + j);
            if !(0..across).contains(&i) || !(0..up).contains(&j) {
                continue;
            }
            let place = (j * across + i) as usize;
            if covered[place] {
                continue;
            }
            let middle = corner + point(f64::from(i) * STEP_MM, f64::from(j) * STEP_MM);
            if !self.is_clear(&around(middle, plate_mm, CLEAR_MM), None) {
                covered[place] = true;
                continue;
            }
            let far = (middle.x - to.x).hypot(middle.y - to.y);
            if best.as_ref().is_some_and(|(cost, _)| far >= *cost) || inside(rings, middle) {
                continue;
            }
            let leader = [edge_towards(middle, plate_mm, to), to];
            // It runs below labels, but is then hard to follow.
            let [low, high] = corners_of(&leader);
            let reached = |of: &[Vec<u32>]| -> Vec<u32> {
                let cells = self.cells(&[low, high]);
                let mut found: Vec<u32> = cells.flat_map(|cell| &of[cell]).copied().collect();
                found.sort_unstable();
                found.dedup();
                found
            };
            let hidden = reached(&self.plate_cells)
                .into_iter()
                .filter(|&index| meets(leader, &self.plates[index as usize]))
                .count();
            let crossed = reached(&self.line_cells)
                .into_iter()
                .filter(|&index| cross(self.lines[index as usize].1, leader))
                .count();
            // Its own outline is crossed once.
            let cost =
                far + CROSSED_MM * crossed.saturating_sub(1) as f64 + hidden_mm * hidden as f64;
            if best.as_ref().is_none_or(|(least, _)| cost < *least) {
                let leader = Some(leader);
                best = Some((
                    cost,
                    Found {
                        middle,
                        size,
                        leader,
                        is_hidden: hidden > 0,
                    },
                ));
            }
        }
        *self.covered(plate_mm) = covered;
        best.map(|(_, found)| found)
    }

    /// Where the piece itself has the most room, whatever lines of pieces are covered;
    /// crosses and other labels are not, if that can be.
    fn anywhere(&self, rings: &[Vec<Point>], words: &[&str]) -> Found {
        let size = SMALL_MM;
        let [width, height] = pieces::plate_mm(words, size);
        let [low, high] = corners_of(rings.iter().flatten());
        let unmarked = |p: Point| {
            let plate = around(p, [width, height], 0.0);
            !self.covers_label(&plate)
                && !self
                    .near(&plate)
                    .any(|(of, line)| *of == NOBODY && meets(*line, &plate))
        };
        let middle = find_room_where(rings, width, height, &unmarked)
            .or_else(|| find_room_where(rings, width, height, &|_| true))
            .map_or(
                point((low.x + high.x) / 2.0, (low.y + high.y) / 2.0),
                |room| room.middle,
            );
        Found {
            middle,
            size,
            leader: None,
            is_hidden: false,
        }
    }
}

/// The places of a grid on the edge of a square about the middle, with the square's half side.
fn square(half: i32) -> impl Iterator<Item = (i32, i32, i32)> {
    (-half..=half).flat_map(move |i| {
        let step = if i.abs() == half { 1 } else { 2 * half };
        let row = (-half..=half).step_by(step.unsigned_abs() as usize);
        row.map(move |j| (half, i, j))
    })
}

/// A leader, dark on pale, with a dot at its end.
pub(in crate::draw) fn leader_items(leader: [Point; 2]) -> Vec<Item> {
    let pale = Stroke::ink(0.55).coloured(crate::draw::scene::PAPER);
    let dot = crate::draw::scene::Fill::solid(crate::draw::scene::INK);
    let edge = Stroke::ink(0.2).coloured(crate::draw::scene::PAPER);
    vec![
        Path::segments([leader], pale).into(),
        Path::segments([leader], Stroke::ink(0.22)).into(),
        Path::circle(leader[1], 0.5, Some(dot), Some(edge)).into(),
    ]
}

/// Where the line from the middle of a box to a point leaves the box.
pub(in crate::draw) fn edge_towards(middle: Point, [width, height]: [f64; 2], to: Point) -> Point {
    let (x, y) = (to.x - middle.x, to.y - middle.y);
    let share = (width / 2.0 / x.abs()).min(height / 2.0 / y.abs()).min(1.0);
    point(middle.x + x * share, middle.y + y * share)
}

/// Size of a line of small words on a map (mm): 7 point.
pub(super) const SMALL_MM: f64 = 2.5;

/// How wide small words come out.
pub(super) fn small_mm(words: &str) -> f64 {
    width_mm(words, SMALL_MM, false)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x: f64, y: f64, side: f64) -> Vec<Vec<Point>> {
        vec![vec![
            point(x, y),
            point(x + side, y),
            point(x + side, y + side),
            point(x, y + side),
        ]]
    }

    #[test]
    fn segments_meet_boxes() {
        let plate = [point(2.0, 2.0), point(4.0, 3.0)];
        let from =
            |x: f64, y: f64, to_x: f64, to_y: f64| meets([point(x, y), point(to_x, to_y)], &plate);
        assert!(from(0.0, 0.0, 6.0, 5.0) && from(3.0, 0.0, 3.0, 9.0) && from(2.5, 2.5, 2.6, 2.6));
        assert!(
            !from(0.0, 0.0, 1.9, 9.0) && !from(0.0, 4.0, 9.0, 3.5) && !from(3.0, 0.0, 3.0, 1.0)
        );
    }

    #[test]
    fn a_label_keeps_off_the_cross_and_goes_beside_where_there_is_no_room() {
        let mut room = Room::new([point(0.0, 0.0), point(60.0, 60.0)]);
        let large = square(5.0, 5.0, 14.0);
        let small = square(30.0, 30.0, 4.0);
        room.rings(0, &large);
        room.rings(1, &small);
        // A cross in the middle of the large one.
        room.line(NOBODY, [point(11.0, 12.0), point(13.0, 12.0)]);
        room.line(NOBODY, [point(12.0, 9.0), point(12.0, 14.0)]);
        let inner = room.within(0, &large, &["W4c"], 2.5, 0.25).unwrap();
        let plate = around(inner.middle, pieces::plate_mm(&["W4c"], 2.5), 0.0);
        assert!(inside(&large, inner.middle) && room.is_clear(&plate, Some(0)));
        let covers = around(point(12.0, 12.0), pieces::plate_mm(&["W4c"], 2.5), 0.0);
        assert!(!room.is_clear(&covers, Some(0)));

        // A neighbour all around leaves no room inside: the label goes out, with a leader.
        room.rings(NOBODY, &square(29.5, 29.5, 5.0));
        assert!(room.within(1, &small, &["W4c"], 2.5, 0.25).is_none());
        let outer = room.beside(&small, &["W4c"], FAR_MM, HIDDEN_MM).unwrap();
        let [_, to] = outer.leader.unwrap();
        assert!(inside(&small, to) && !inside(&small, outer.middle));
        // Taken once, the place is taken.
        let taken = room.plates.len();
        assert!(room.label(1, &small, &["W4c"], false).is_none());
        assert_eq!(taken, room.plates.len());
        let (leader, _) = room.label_beside(&small, &["W4c"]);
        assert!(!leader.is_empty() && taken + 1 == room.plates.len());
        let other = room.beside(&small, &["W4d"], FAR_MM, HIDDEN_MM).unwrap();
        assert!((other.middle.x - outer.middle.x).hypot(other.middle.y - outer.middle.y) > 2.0);
    }
}
