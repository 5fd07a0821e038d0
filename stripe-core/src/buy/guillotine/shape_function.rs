//! The staircase of a block: for each width the least length that holds it.

use super::Rectangle;
use super::strip::Strip;

/// Corners by rising width and falling length; none is beaten by another.
pub(super) type ShapeFunction = Vec<Rectangle>;

/// Corners kept of a block. Dropping some keeps every pattern valid and only hides
/// others; without a limit fine units would make shape_function of thousands of corners.
const MOST_CORNERS: usize = 128;

/// Keeps both ends and an even choice in between of shape_function with very many corners.
pub(super) fn thin(shape_function: &mut ShapeFunction) {
    let n = shape_function.len();
    if n > MOST_CORNERS {
        for k in 0..MOST_CORNERS {
            shape_function[k] = shape_function[k * (n - 1) / (MOST_CORNERS - 1)];
        }
        shape_function.truncate(MOST_CORNERS);
    }
}

/// The shape_function of one rectangle.
pub(super) fn leaf(rect: Rectangle, turn: bool, width: i64) -> ShapeFunction {
    let turned = Rectangle {
        across: rect.along,
        along: rect.across,
    };
    let mut shape_function: ShapeFunction = Vec::with_capacity(2);
    if rect.across <= width {
        shape_function.push(rect);
    }
    if turn && turned != rect && turned.across <= width {
        shape_function.push(turned);
    }
    shape_function.sort();
    shape_function
}

/// The least length of a block that may be `across` wide.
pub(super) fn length_at(shape_function: &[Rectangle], across: i64) -> Option<i64> {
    let wide = shape_function.partition_point(|corner| corner.across <= across);
    (wide > 0).then(|| shape_function[wide - 1].along)
}

/// The least width of a block that may be `along` long.
pub(super) fn width_at(shape_function: &[Rectangle], along: i64) -> Option<i64> {
    let long = shape_function.partition_point(|corner| corner.along > along);
    shape_function.get(long).map(|corner| corner.across)
}

/// The shape_function of two blocks put one behind the other or side by side, whichever is
/// better at each width. `area` is that of their pieces: corners that waste more than
/// the strip bears are of no use, nor are those that leave the strip.
pub(super) fn join(a: &[Rectangle], b: &[Rectangle], strip: &Strip, area: i64) -> ShapeFunction {
    let mut sieve = Sieve::new(strip.width);
    // Both ways in full, also where blocks may be turned: shape_function that were thinned are not
    // quite alike both ways, and a pattern is read out of these shape_function.
    let strip = Strip {
        turn: false,
        ..*strip
    };
    sieve.join(a, b, &strip, area.saturating_add(strip.waste));
    let mut out = ShapeFunction::new();
    sieve.drain_into(&mut out);
    thin(&mut out);
    out
}

/// Shares of the width that the sieve tells apart.
const SHELVES: usize = 256;

/// Corners of many joins, most of the beaten ones dropped at once.
#[derive(Debug)]
pub(super) struct Sieve {
    corners: ShapeFunction,
    /// The least length of any corner that ends before a share of the width.
    lowest: [i64; SHELVES],
    width: i64,
    /// Shares a unit of width.
    shares: f64,
}

impl Sieve {
    pub(super) fn new(width: i64) -> Self {
        Self {
            corners: ShapeFunction::new(),
            lowest: [i64::MAX; SHELVES],
            width,
            shares: SHELVES as f64 / (width as f64 + 1.0),
        }
    }

    #[inline]
    fn put(&mut self, across: i64, along: i64) {
        // Rounded down, and the cast saturates: never beyond the last.
        let shelf = ((across as f64 * self.shares) as usize).min(SHELVES - 1);
        if along >= self.lowest[shelf] {
            return;
        }
        self.corners.push(Rectangle { across, along });
        for lowest in &mut self.lowest[shelf + 1..] {
            if *lowest <= along {
                break;
            }
            *lowest = along;
        }
    }

    /// Puts in all corners of two blocks joined whose area is at most `room`.
    pub(super) fn join(&mut self, a: &[Rectangle], b: &[Rectangle], strip: &Strip, room: i64) {
        if a.is_empty() || b.is_empty() {
            return;
        }
        // What lies side by side is what lies one behind the other, turned: only what is
        // too long to be turned is left.
        let turn = strip.has_mirror();
        self.stack(a, b, strip.length, room, turn);
        let from = if turn { strip.width + 1 } else { 0 };
        if from <= strip.length {
            self.put_beside(a, b, from, strip.length, room);
        }
    }

    fn stack(&mut self, a: &[Rectangle], b: &[Rectangle], length: i64, room: i64, turn: bool) {
        let (mut i, mut j) = (0, 0);
        // Both must be there: begin at the wider of the two narrowest corners.
        let start = a[0].across.max(b[0].across);
        while i + 1 < a.len() && a[i + 1].across <= start {
            i += 1;
        }
        while j + 1 < b.len() && b[j + 1].across <= start {
            j += 1;
        }
        let least = a[a.len() - 1].along + b[b.len() - 1].along;
        let mut across = start;
        // The wider, the more area even at the least length.
        while across * least <= room {
            let along = a[i].along + b[j].along;
            if along <= length && across * along <= room {
                self.put(across, along);
                if turn && along <= self.width {
                    self.put(along, across);
                }
            }
            let next_a = a.get(i + 1).map_or(i64::MAX, |c| c.across);
            let next_b = b.get(j + 1).map_or(i64::MAX, |c| c.across);
            across = next_a.min(next_b);
            if across == i64::MAX {
                return;
            }
            i += usize::from(next_a == across);
            j += usize::from(next_b == across);
        }
    }

    /// The same walk with the axes exchanged, from the flat end of the shape_function.
    fn put_beside(&mut self, a: &[Rectangle], b: &[Rectangle], from: i64, length: i64, room: i64) {
        let (mut i, mut j) = (a.len() - 1, b.len() - 1);
        let start = a[i].along.max(b[j].along).max(from);
        while i > 0 && a[i - 1].along <= start {
            i -= 1;
        }
        while j > 0 && b[j - 1].along <= start {
            j -= 1;
        }
        let least = a[0].across + b[0].across;
        let mut along = start;
        while along <= length && along * least <= room {
            let across = a[i].across + b[j].across;
            if across <= self.width && across * along <= room {
                self.put(across, along);
            }
            let next_a = if i > 0 { a[i - 1].along } else { i64::MAX };
            let next_b = if j > 0 { b[j - 1].along } else { i64::MAX };
            along = next_a.min(next_b);
            i -= usize::from(next_a == along && i > 0);
            j -= usize::from(next_b == along && j > 0);
        }
    }

    /// Widens every corner as `widen` says, and drops those of more area than `room`.
    pub(super) fn widen(&mut self, room: i64, widen: impl Fn(&mut Rectangle)) {
        self.corners.retain_mut(|corner| {
            widen(corner);
            corner.across * corner.along <= room
        });
    }

    /// The shape_function of all corners put in, into `out`; the sieve is empty again.
    pub(super) fn drain_into(&mut self, out: &mut ShapeFunction) {
        self.corners.sort_unstable();
        out.clear();
        let mut lowest = i64::MAX;
        for &corner in &self.corners {
            if corner.along < lowest {
                lowest = corner.along;
                out.push(corner);
            }
        }
        self.corners.clear();
        self.lowest = [i64::MAX; SHELVES];
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rect(across: i64, along: i64) -> Rectangle {
        Rectangle { across, along }
    }

    fn joined(a: &[Rectangle], b: &[Rectangle], width: i64) -> ShapeFunction {
        let strip = Strip {
            width,
            length: 1000,
            waste: 1_000_000,
            turn: false,
        };
        join(a, b, &strip, 0)
    }

    #[test]
    fn two_squares_lie_both_ways() {
        let one = [rect(2, 2)];
        assert_eq!(joined(&one, &one, 9), [rect(2, 4), rect(4, 2)]);
        assert_eq!(joined(&one, &one, 3), [rect(2, 4)]);
    }

    #[test]
    fn turned_leaves_find_the_square() {
        let domino = leaf(rect(2, 1), true, 10);
        assert_eq!(domino, [rect(1, 2), rect(2, 1)]);
        assert_eq!(
            joined(&domino, &domino, 10),
            [rect(1, 4), rect(2, 2), rect(4, 1)]
        );
    }

    #[test]
    fn wasteful_and_long_corners_are_left_out() {
        let (tall, flat) = ([rect(1, 6)], [rect(6, 1)]);
        let strip = |length, waste| Strip {
            width: 9,
            length,
            waste,
            turn: false,
        };
        assert_eq!(
            join(&tall, &flat, &strip(9, 60), 12),
            [rect(6, 7), rect(7, 6)]
        );
        assert_eq!(join(&tall, &flat, &strip(6, 60), 12), [rect(7, 6)]);
        assert_eq!(join(&tall, &flat, &strip(9, 29), 12), []);
    }

    #[test]
    fn reads_both_axes() {
        let shape_function = [rect(1, 4), rect(2, 2), rect(4, 1)];
        assert_eq!(length_at(&shape_function, 3), Some(2));
        assert_eq!(length_at(&shape_function, 0), None);
        assert_eq!(width_at(&shape_function, 3), Some(2));
        assert_eq!(width_at(&shape_function, 0), None);
    }
}
