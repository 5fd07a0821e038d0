//! Clips at inside corners and snips between spokes.

use crate::motif::roles::Role;
use crate::shape::ring::{edges, rings};
use crate::shape::{Point, Region, cross, distance, dot, point};

/// Corners that turn in by less than this need no clip: the fabric gives.
const LEAST_TURN_RAD: f64 = 0.35;
/// A clip stops this far before the finished line: to it, never through it.
const SHORT_OF_LINE_MM: f64 = 0.5;

/// Every clip, from the cut line in towards the finished line.
///
/// `gaps` are the middles of the gaps between spokes with their ways out: where
/// the allowances closed a gap, the fabric in it is snipped down the middle.
pub(super) fn find_clips(
    finished: &Region,
    roles: &[Role],
    cut: &Region,
    gaps: &[(Point, Point)],
) -> Vec<[Point; 2]> {
    let mut clips: Vec<[Point; 2]> = vec![];
    let mut roles = roles.iter().copied();
    for ring in rings(finished) {
        let roles: Vec<Role> = roles.by_ref().take(ring.len()).collect();
        for i in 0..ring.len() {
            let before = (i + ring.len() - 1) % ring.len();
            let (p, at, q) = (ring[before], ring[i], ring[(i + 1) % ring.len()]);
            let (d1, d2) = ((at - p) / distance(p, at), (q - at) / distance(at, q));
            let turns_in = cross(d1, d2).atan2(dot(d1, d2)) < -LEAST_TURN_RAD;
            let turned = roles[before] == Role::Turned && roles[i] == Role::Turned;
            if turns_in && turned {
                let out = d2 - d1;
                let out = point(out.x, out.y) / out.x.hypot(out.y);
                clips.extend(clip(at, out, cut));
            }
        }
    }
    for &(at, out) in gaps {
        let known = clips
            .iter()
            .any(|c| distance(c[1], at) < 2.0 * SHORT_OF_LINE_MM);
        if !known {
            clips.extend(clip(at, out, cut));
        }
    }
    clips
}

/// The clip at a finished point along its way out, or none where there is no fabric.
fn clip(at: Point, out: Point, cut: &Region) -> Option<[Point; 2]> {
    let reach = rings(cut)
        .flat_map(edges)
        .filter_map(|(a, b)| {
            // at + s out = a + t (b - a)
            let along = b - a;
            let turn = cross(out, along);
            let s = cross(a - at, along) / turn;
            let t = cross(a - at, out) / turn;
            (turn != 0.0 && s > 1e-6 && (0.0..=1.0).contains(&t)).then_some(s)
        })
        .min_by(f64::total_cmp)?;
    (reach > 2.0 * SHORT_OF_LINE_MM).then(|| [at + out * reach, at + out * SHORT_OF_LINE_MM])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The corner between a long and a short edge is snipped half way between them: towards the
    /// corner of the cut line, 5 mm further out both ways.
    #[test]
    fn a_clip_halves_its_corner() {
        let ring = |points: &[(f64, f64)]| {
            let ring: Vec<Point> = points.iter().map(|&(x, y)| point(x, y)).collect();
            Region::new(ring.into(), vec![])
        };
        let ell = [
            (0.0, 0.0),
            (60.0, 0.0),
            (60.0, 10.0),
            (20.0, 10.0),
            (20.0, 80.0),
            (0.0, 80.0),
        ];
        let cut = [
            (-5.0, -5.0),
            (65.0, -5.0),
            (65.0, 15.0),
            (25.0, 15.0),
            (25.0, 85.0),
            (-5.0, 85.0),
        ];
        let turned = [Role::Turned; 6];
        let clips = find_clips(&ring(&ell), &turned, &ring(&cut), &[]);
        assert_eq!(clips.len(), 1);
        let [from, to] = clips[0];
        assert!(distance(from, point(25.0, 15.0)) < 1e-9, "{from:?}");
        let short = SHORT_OF_LINE_MM / 2.0_f64.sqrt();
        assert!(
            distance(to, point(20.0 + short, 10.0 + short)) < 1e-9,
            "{to:?}"
        );
        // A seam is not clipped.
        assert!(find_clips(&ring(&ell), &[Role::Seamed; 6], &ring(&cut), &[]).is_empty());
    }
}
