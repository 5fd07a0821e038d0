//! The staircase of a block: for each width the least length that holds it.

use super::Rect;

/// Corners by rising width and falling length; none is beaten by another.
pub(super) type Stairs = Vec<Rect>;

/// Corners kept a node. Dropping some keeps every pattern valid and only hides
/// others; without a limit fine units would make stairs of thousands of corners.
const MAX_CORNERS: usize = 96;

/// The stairs of one rectangle.
pub(super) fn leaf(rect: Rect, turn: bool, width: i64) -> Stairs {
    let turned = Rect {
        across: rect.along,
        along: rect.across,
    };
    let mut stairs: Stairs = Vec::with_capacity(2);
    if rect.across <= width {
        stairs.push(rect);
    }
    if turn && turned != rect && turned.across <= width {
        stairs.push(turned);
    }
    stairs.sort();
    stairs
}

/// The least length of a block that may be `across` wide.
pub(super) fn length_at(stairs: &[Rect], across: i64) -> Option<i64> {
    let wide = stairs.partition_point(|corner| corner.across <= across);
    (wide > 0).then(|| stairs[wide - 1].along)
}

/// The least width of a block that may be `along` long.
pub(super) fn width_at(stairs: &[Rect], along: i64) -> Option<i64> {
    let long = stairs.partition_point(|corner| corner.along > along);
    stairs.get(long).map(|corner| corner.across)
}

/// Working space for [`join`], so that a walk allocates nothing.
#[derive(Debug, Default)]
pub(super) struct Bench {
    stacked: Stairs,
    beside: Stairs,
}

/// The stairs of two blocks put one behind the other or side by side, whichever is
/// better at each width. Corners wider than `width` are of no use, nor are those of
/// more area than `room`: nothing short enough could hold so much waste.
pub(super) fn join(
    a: &[Rect],
    b: &[Rect],
    width: i64,
    room: i64,
    bench: &mut Bench,
    out: &mut Stairs,
) {
    stack(a, b, room, &mut bench.stacked);
    put_beside(a, b, width, room, &mut bench.beside);
    envelope(&bench.stacked, &bench.beside, out);
    if out.len() > MAX_CORNERS {
        thin(out);
    }
}

fn stack(a: &[Rect], b: &[Rect], room: i64, out: &mut Stairs) {
    out.clear();
    if a.is_empty() || b.is_empty() {
        return;
    }
    let (mut i, mut j) = (0, 0);
    // Both must be there: begin at the wider of the two narrowest corners.
    let start = a[0].across.max(b[0].across);
    while i + 1 < a.len() && a[i + 1].across <= start {
        i += 1;
    }
    while j + 1 < b.len() && b[j + 1].across <= start {
        j += 1;
    }
    let mut across = start;
    loop {
        let along = a[i].along + b[j].along;
        if across * along <= room {
            out.push(Rect { across, along });
        }
        let next_a = a.get(i + 1).map_or(i64::MAX, |c| c.across);
        let next_b = b.get(j + 1).map_or(i64::MAX, |c| c.across);
        across = next_a.min(next_b);
        if across == i64::MAX {
            return;
        }
        if next_a == across {
            i += 1;
        }
        if next_b == across {
            j += 1;
        }
    }
}

/// The same walk with the axes exchanged, from the flat end of the stairs.
fn put_beside(a: &[Rect], b: &[Rect], width: i64, room: i64, out: &mut Stairs) {
    out.clear();
    if a.is_empty() || b.is_empty() {
        return;
    }
    let (mut i, mut j) = (a.len() - 1, b.len() - 1);
    let start = a[i].along.max(b[j].along);
    while i > 0 && a[i - 1].along <= start {
        i -= 1;
    }
    while j > 0 && b[j - 1].along <= start {
        j -= 1;
    }
    let mut along = start;
    loop {
        let across = a[i].across + b[j].across;
        if across <= width && across * along <= room {
            out.push(Rect { across, along });
        }
        let next_a = if i > 0 { a[i - 1].along } else { i64::MAX };
        let next_b = if j > 0 { b[j - 1].along } else { i64::MAX };
        along = next_a.min(next_b);
        if along == i64::MAX {
            break;
        }
        if next_a == along {
            i -= 1;
        }
        if next_b == along {
            j -= 1;
        }
    }
    out.reverse();
}

/// The corners of both that no other corner beats.
fn envelope(a: &[Rect], b: &[Rect], out: &mut Stairs) {
    out.clear();
    let (mut i, mut j) = (0, 0);
    let mut lowest = i64::MAX;
    while i < a.len() || j < b.len() {
        let from_a = j >= b.len() || (i < a.len() && a[i] <= b[j]);
        let corner = if from_a { a[i] } else { b[j] };
        if from_a {
            i += 1;
        } else {
            j += 1;
        }
        if corner.along < lowest {
            lowest = corner.along;
            out.push(corner);
        }
    }
}

/// Keeps both ends and the corners that waste least in between.
fn thin(stairs: &mut Stairs) {
    let keep = MAX_CORNERS / 2;
    let n = stairs.len();
    for k in 0..keep {
        stairs[k] = stairs[k * (n - 1) / (keep - 1)];
    }
    stairs.truncate(keep);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rect(across: i64, along: i64) -> Rect {
        Rect { across, along }
    }

    fn joined(a: &[Rect], b: &[Rect], width: i64) -> Stairs {
        let mut out = Stairs::new();
        join(a, b, width, i64::MAX, &mut Bench::default(), &mut out);
        out
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
    fn reads_both_axes() {
        let stairs = [rect(1, 4), rect(2, 2), rect(4, 1)];
        assert_eq!(length_at(&stairs, 3), Some(2));
        assert_eq!(length_at(&stairs, 0), None);
        assert_eq!(width_at(&stairs, 3), Some(2));
        assert_eq!(width_at(&stairs, 0), None);
    }
}
