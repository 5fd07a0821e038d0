//! Hatching: how a piece that lies wrong side up is told from the others, and crossed what is
//! not to be used.

use crate::draw::scene::{Item, PAPER, Path, Stroke};
use crate::shape::{Point, point};

/// Between two lines (mm of paper).
const APART_MM: f64 = 1.7;

/// The look of a line of the hatching.
pub(super) fn hatch_stroke() -> Stroke {
    Stroke::ink(0.16)
}

/// Lines at 45 degrees inside the rings (even-odd, page frame), each dark on pale, so that
/// they are seen on bands of any colour.
pub(super) fn hatch(rings: &[Vec<Point>]) -> Vec<Item> {
    let lines = lines(rings);
    let pale = Stroke::ink(0.42).coloured(PAPER);
    vec![
        Path::segments(lines.iter().copied(), pale).into(),
        Path::segments(lines, hatch_stroke()).into(),
    ]
}

/// The same both ways: what is not to be used.
pub(super) fn cross_hatch(ring: &[Point]) -> Vec<Item> {
    let turned = |p: Point| point(-p.x, p.y);
    let mirrored: Vec<Point> = ring.iter().map(|&p| turned(p)).collect();
    let back = lines(&[mirrored]).into_iter().map(|line| line.map(turned));
    let all: Vec<[Point; 2]> = lines(&[ring.to_vec()]).into_iter().chain(back).collect();
    vec![Path::segments(all, hatch_stroke()).into()]
}

fn lines(rings: &[Vec<Point>]) -> Vec<[Point; 2]> {
    // Turned by 45 degrees the lines are level: `level = x + y`, and `x - y` runs along.
    let edges: Vec<[Point; 2]> = rings
        .iter()
        .flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)))
        .map(|(a, b)| [*a, *b].map(|p| point(p.x - p.y, p.x + p.y)))
        .collect();
    let step = APART_MM * std::f64::consts::SQRT_2;
    let levels = edges.iter().flatten().map(|p| p.y);
    let low = levels.clone().fold(f64::INFINITY, f64::min);
    let high = levels.fold(f64::NEG_INFINITY, f64::max);
    let mut lines = Vec::new();
    let mut level = ((low / step).floor() + 0.5) * step;
    while level < high {
        let mut meets: Vec<f64> = edges
            .iter()
            .filter(|[a, b]| (a.y > level) != (b.y > level))
            .map(|[a, b]| a.x + (level - a.y) / (b.y - a.y) * (b.x - a.x))
            .collect();
        meets.sort_by(f64::total_cmp);
        for pair in meets.chunks_exact(2) {
            let at = |along: f64| point((level + along) / 2.0, (level - along) / 2.0);
            lines.push([at(pair[0]), at(pair[1])]);
        }
        level += step;
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A square of side 10 with a hole of side 4: lines 1.7 apart are as long together as
    /// the area over 1.7, near enough, and none runs through the hole.
    #[test]
    fn lines_fill_the_piece_and_spare_its_hole() {
        let square = |low: f64, high: f64| {
            vec![
                point(low, low),
                point(high, low),
                point(high, high),
                point(low, high),
            ]
        };
        let lines = lines(&[square(0.0, 10.0), square(3.0, 7.0)]);
        let long: f64 = lines
            .iter()
            .map(|[a, b]| (a.x - b.x).hypot(a.y - b.y))
            .sum();
        assert!((long - 84.0 / APART_MM).abs() < 6.0, "{long}");
        for [a, b] in lines {
            let middle = point((a.x + b.x) / 2.0, (a.y + b.y) / 2.0);
            let in_hole = |p: Point| p.x > 3.0 && p.x < 7.0 && p.y > 3.0 && p.y < 7.0;
            assert!(!in_hole(middle), "{middle:?}");
        }
    }
}
