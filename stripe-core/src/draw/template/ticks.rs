//! Where stripes cross the edges of a piece.

use crate::draw::bands::{Border, Fall};
use crate::shape::{Point, corners_of, dot, point};

/// Bands narrower than this on average (mm) are not ticked one by one.
const FINEST_BAND_MM: f64 = 1.5;
/// How far a tick runs on beyond the finished line (mm).
const BEYOND_MM: f64 = 4.0;

/// Half the height of a band's name with some room (mm).
const NAME_HALF_MM: f64 = 1.3;

/// Which of a fabric's stripes a band belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weave {
    /// The stripe itself.
    Stripe,
    /// The bands that cross it, on a plaid.
    Crossing,
}

/// A place where the border of two bands crosses the cut line, motif frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tick {
    /// On the cut line.
    pub at: Point,
    /// Where the tick ends, inside of the finished line.
    pub end: Point,
    /// Whose bands they are.
    pub weave: Weave,
    /// The index of the band before the border, along the stripe's normal.
    pub before: usize,
    /// The index of the band that begins there.
    pub after: usize,
}

/// A band inside the piece: from edge to edge along its middle, motif frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct BandRun {
    pub ends: [Point; 2],
    pub weave: Weave,
    pub band: usize,
    /// Measured across the stripe (mm).
    pub width_mm: f64,
}

/// The parts of the line `normal . q = u` that lie in the rings (even-odd).
pub(super) fn chords(rings: &[Vec<Point>], normal: Point, u: f64) -> Vec<[Point; 2]> {
    let along = point(-normal.y, normal.x);
    let mut crossings: Vec<f64> = Vec::new();
    for ring in rings {
        for (&a, &b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            let (ua, ub) = (dot(normal, a), dot(normal, b));
            if (ua > u) != (ub > u) {
                let share = (u - ua) / (ub - ua);
                crossings.push(dot(along, a) + share * (dot(along, b) - dot(along, a)));
            }
        }
    }
    crossings.sort_by(f64::total_cmp);
    let at = |v: f64| point(normal.x * u + along.x * v, normal.y * u + along.y * v);
    crossings
        .chunks_exact(2)
        .map(|pair| [at(pair[0]), at(pair[1])])
        .collect()
}

/// The range of `normal . q` over the rings.
fn span(rings: &[Vec<Point>], normal: Point) -> [f64; 2] {
    rings
        .iter()
        .flatten()
        .map(|&p| dot(normal, p))
        .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], u| {
            [low.min(u), high.max(u)]
        })
}

/// Whether the bands are too fine to be ticked one by one: then only the beginnings
/// of repeats are, and no band is named.
pub(super) fn is_fine(fall: &Fall<'_>) -> bool {
    fall.repeat_mm() / (fall.bands().len() as f64) < FINEST_BAND_MM
}

/// The ticks of a piece with that cut and finished line.
pub(super) fn ticks(
    weave: Weave,
    fall: &Fall<'_>,
    cut: &[Vec<Point>],
    finished: &[Vec<Point>],
) -> Vec<Tick> {
    let mut ticks = Vec::new();
    let fine = is_fine(fall);
    if fine && fall.repeat_mm() < FINEST_BAND_MM {
        return ticks;
    }
    let normal = fall.normal();
    for Border {
        u_mm,
        before,
        after,
    } in fall.borders(span(cut, normal))
    {
        if fine && after != 0 {
            continue;
        }
        // The background of a print goes on from repeat to repeat: there is nothing to lay a tick on.
        let [one, other] = [before, after].map(|band| &fall.bands()[band]);
        if one.name == other.name && one.colour == other.colour {
            continue;
        }
        let inner = chords(finished, normal, u_mm);
        for [a, b] in chords(cut, normal, u_mm) {
            let length = (b.x - a.x).hypot(b.y - a.y);
            if length < 0.2 {
                continue;
            }
            for (at, far) in [(a, b), (b, a)] {
                // From the cut line over the finished line and a little on.
                let allowance = inner
                    .iter()
                    .flatten()
                    .map(|p| (p.x - at.x).hypot(p.y - at.y))
                    .fold(f64::INFINITY, f64::min);
                let allowance = if allowance < 30.0 { allowance } else { 0.0 };
                let share = ((allowance + BEYOND_MM) / length).min(0.5);
                let end = point(at.x + share * (far.x - at.x), at.y + share * (far.y - at.y));
                ticks.push(Tick {
                    at,
                    end,
                    weave,
                    before,
                    after,
                });
            }
        }
    }
    ticks
}

/// The middle of every band as far as it lies in the finished piece.
pub(super) fn band_runs(weave: Weave, fall: &Fall<'_>, finished: &[Vec<Point>]) -> Vec<BandRun> {
    if is_fine(fall) {
        return Vec::new();
    }
    let normal = fall.normal();
    let [low, high] = span(finished, normal);
    let mut runs = Vec::new();
    for border in fall.borders([low - fall.repeat_mm(), high]) {
        let width = fall.width_mm(border.after);
        // The part of the band that the piece has, not the whole of it.
        let (from, to) = (border.u_mm.max(low), (border.u_mm + width).min(high));
        if to - from < 0.5 {
            continue;
        }
        let middle = (from + to) / 2.0;
        let beside = [middle - NAME_HALF_MM, middle + NAME_HALF_MM]
            .map(|u| chords(finished, normal, u.clamp(low + 1e-6, high - 1e-6)));
        for chord in chords(finished, normal, middle) {
            if let Some(ends) = clear_of(chord, &beside) {
                runs.push(BandRun {
                    ends,
                    weave,
                    band: border.after,
                    width_mm: to - from,
                });
            }
        }
    }
    runs
}

/// The part of a chord beside which the piece goes on to both sides, so that letters
/// on it do not run over a slanting edge.
fn clear_of(chord: [Point; 2], beside: &[Vec<[Point; 2]>; 2]) -> Option<[Point; 2]> {
    let [a, b] = chord;
    let length = (b.x - a.x).hypot(b.y - a.y);
    if length < 1e-6 {
        return None;
    }
    let along = point((b.x - a.x) / length, (b.y - a.y) / length);
    let (mut from, mut to) = (0.0_f64, length);
    for chords in beside {
        // Of several, the one with the most in common.
        let common = chords
            .iter()
            .map(|ends| ends.map(|p| dot(along, p - a)))
            .map(|[start, end]| [from.max(start.min(end)), to.min(start.max(end))])
            .max_by(|x, y| (x[1] - x[0]).total_cmp(&(y[1] - y[0])))?;
        [from, to] = common;
    }
    let at = |v: f64| point(a.x + v * along.x, a.y + v * along.y);
    (to > from).then(|| [at(from), at(to)])
}

/// The box about rings.
pub(super) fn box_of(rings: &[Vec<Point>]) -> [Point; 2] {
    corners_of(rings.iter().flatten())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Colour;
    use crate::fabric::{Band, Stripe};
    use crate::shape::Rigid;

    /// A tick is laid where two bands are seen to meet: the background of a print goes on.
    #[test]
    fn a_band_that_goes_on_has_no_tick() {
        let square = vec![vec![
            point(-35.0, -35.0),
            point(35.0, -35.0),
            point(35.0, 35.0),
            point(-35.0, 35.0),
        ]];
        let grey = Colour::new(90, 90, 90);
        let count = |names: &[&str]| {
            let bands = names.iter().map(|name| Band::new(*name, 10.0, grey));
            let stripe = Stripe::lengthwise(bands.collect()).unwrap();
            let fall = Fall::on_piece(&stripe, Rigid::IDENTITY);
            ticks(Weave::Stripe, &fall, &square, &square).len()
        };
        assert_eq!(count(&["ground"]), 0);
        // Seven borders cross it, or every other one of them, each at both ends.
        assert_eq!(count(&["ground", "line"]), 14);
        assert!((6..=8).contains(&count(&["ground", "line", "line", "ground"])));
    }

    #[test]
    fn chords_leave_holes_out() {
        let square = |r: f64| vec![point(-r, -r), point(r, -r), point(r, r), point(-r, r)];
        let rings = [square(10.0), square(4.0)];
        let found = chords(&rings, point(1.0, 0.0), 2.0);
        let along: Vec<[f64; 2]> = found.iter().map(|c| [c[0].y, c[1].y]).collect();
        assert_eq!(along, [[-10.0, -4.0], [4.0, 10.0]]);
        assert_eq!(chords(&rings, point(0.0, 1.0), 7.0).len(), 1);
        assert!(chords(&rings, point(0.0, 1.0), 11.0).is_empty());
    }
}
