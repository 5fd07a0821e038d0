//! Where there is most room inside a shape: for a name on a drawing, for a point to be marked.

use super::{Point, corners_of, dot, point};

/// How many places are tried along each side of the piece's box.
const TRIES: usize = 15;

/// Room for a plate in a shape.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// The middle of the plate.
    pub middle: Point,
    /// By how much a plate of the size asked for could grow (above 1) or must
    /// shrink (below 1) to lie wholly inside; not above zero where nothing fits.
    pub factor: f64,
}

/// The place inside the rings (even-odd) where a plate of that width and height has
/// the most room, clear of the points in `keep_off`.
pub fn find_room(rings: &[Vec<Point>], width_mm: f64, height_mm: f64, keep_off: &[Point]) -> Room {
    let squeeze = height_mm / width_mm;
    let off_least = |p: Point| {
        keep_off
            .iter()
            .map(|o| ((o.x - p.x) * squeeze).hypot(o.y - p.y))
            .fold(f64::INFINITY, f64::min)
    };
    search(rings, [width_mm, height_mm], &|_| true, &off_least)
}

/// The same among the places inside that `free` allows; nothing where it allows none.
pub fn find_room_where(
    rings: &[Vec<Point>],
    width_mm: f64,
    height_mm: f64,
    free: &dyn Fn(Point) -> bool,
) -> Option<Room> {
    let room = search(rings, [width_mm, height_mm], free, &|_| f64::INFINITY);
    (room.factor > 0.0).then_some(room)
}

/// The same where shapes that lie on top cover some of it: room is what stays clear of them.
pub fn find_room_uncovered(
    rings: &[Vec<Point>],
    covers: &[Vec<Vec<Point>>],
    [width_mm, height_mm]: [f64; 2],
    free: &dyn Fn(Point) -> bool,
) -> Option<Room> {
    let squeeze = height_mm / width_mm;
    let squeezed: Vec<Vec<Vec<Point>>> = covers
        .iter()
        .map(|rings| {
            let ring = |ring: &Vec<Point>| ring.iter().map(|p| point(p.x * squeeze, p.y)).collect();
            rings.iter().map(ring).collect()
        })
        .collect();
    let most = |p: Point| {
        let at = point(p.x * squeeze, p.y);
        let clear = squeezed
            .iter()
            .map(|rings| -depth(rings, at, f64::NEG_INFINITY));
        clear.fold(f64::INFINITY, f64::min)
    };
    let room = search(rings, [width_mm, height_mm], free, &most);
    (room.factor > 0.0).then_some(room)
}

/// Whether a point lies inside the rings (even-odd).
pub fn inside(rings: &[Vec<Point>], p: Point) -> bool {
    depth(rings, p, f64::NEG_INFINITY) > 0.0
}

/// Tries a grid over the box, then halves its step about the best place. Lengths
/// across are squeezed by the plate's shape, so that the plate becomes a square. Only places
/// that are `free` are looked at; one has no more room than `most` gives it (in squeezed lengths).
fn search(
    rings: &[Vec<Point>],
    [width_mm, height_mm]: [f64; 2],
    free: &dyn Fn(Point) -> bool,
    most: &dyn Fn(Point) -> f64,
) -> Room {
    let squeeze = height_mm / width_mm;
    let squeezed: Vec<Vec<Point>> = rings
        .iter()
        .map(|ring| ring.iter().map(|p| point(p.x * squeeze, p.y)).collect())
        .collect();
    let [low, high] = corners_of(squeezed.iter().flatten());
    // The plate reaches half its height up and as far to its corners, by 1.2 or so.
    let reach = height_mm / 2.0 * 1.25;
    let step = point(
        (high.x - low.x) / TRIES as f64,
        (high.y - low.y) / TRIES as f64,
    );
    let mut best = (f64::NEG_INFINITY, low);
    let visit = |p: Point, best: &mut (f64, Point)| {
        let place = point(p.x / squeeze, p.y);
        // Where a piece has no room at all, this alone is asked of every place.
        if !free(place) {
            return;
        }
        let room = depth(&squeezed, p, best.0);
        if room <= best.0 {
            return;
        }
        let room = room.min(most(place));
        if room > best.0 {
            *best = (room, p);
        }
    };
    for i in 0..TRIES {
        for j in 0..TRIES {
            let p = point(
                low.x + step.x * (i as f64 + 0.5),
                low.y + step.y * (j as f64 + 0.5),
            );
            visit(p, &mut best);
        }
    }
    for halving in 1..=3_u8 {
        let part = 0.5_f64.powi(i32::from(halving));
        let about = best.1;
        for (i, j) in (-1..=1).flat_map(|i| (-1..=1).map(move |j| (f64::from(i), f64::from(j)))) {
            let p = point(about.x + i * part * step.x, about.y + j * part * step.y);
            visit(p, &mut best);
        }
    }
    Room {
        middle: point(best.1.x / squeeze, best.1.y),
        factor: best.0 / reach,
    }
}

/// Distance to the outline: above zero inside, below zero outside. Where it cannot be
/// more than `least`, anything that is not more.
pub fn depth(rings: &[Vec<Point>], p: Point, least: f64) -> f64 {
    let enough = least.max(0.0) * least.max(0.0);
    let mut inside = false;
    let mut nearest = f64::INFINITY;
    for ring in rings {
        let Some(mut a) = ring.last().copied() else {
            continue;
        };
        for &b in ring {
            if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x) {
                inside = !inside;
            }
            nearest = nearest.min(square_distance(p, a, b));
            if nearest < enough {
                return least;
            }
            a = b;
        }
    }
    let nearest = nearest.sqrt();
    if inside { nearest } else { -nearest }
}

/// The square of the distance to a segment.
fn square_distance(p: Point, a: Point, b: Point) -> f64 {
    let (line, off) = (b - a, p - a);
    let length = dot(line, line);
    let share = if length > 0.0 {
        (dot(line, off) / length).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let gap = point(off.x - share * line.x, off.y - share * line.y);
    dot(gap, gap)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lies_in_the_wide_arm() {
        // An L whose lower arm is wide: the plate belongs there, not at the centroid.
        let l = vec![
            point(0.0, 0.0),
            point(40.0, 0.0),
            point(40.0, 12.0),
            point(4.0, 12.0),
            point(4.0, 40.0),
            point(0.0, 40.0),
        ];
        let room = find_room(std::slice::from_ref(&l), 20.0, 5.0, &[]);
        assert!((10.0..=30.0).contains(&room.middle.x), "{room:?}");
        assert!((3.0..=9.0).contains(&room.middle.y), "{room:?}");
        assert!(room.factor >= 1.0);
        let mark = room.middle;
        let moved = find_room(&[l], 20.0, 5.0, &[mark]);
        assert!((moved.middle.x - mark.x).hypot(moved.middle.y - mark.y) > 2.0);
    }
}
