//! Layouts on fabric that is less than its window: remnants, holes, what is cut already.

use crate::jobs::{assert_stands, brief, job, polygon, rectangle, solve};
use geo::{BooleanOps, Translate};
use geo_types::Polygon;
use std::f64::consts::FRAC_PI_2;
use stripe_core::internals::rng::Rng;
use stripe_core::lay::{self, Control, Effort, Job, Lock, Obstacles};
use stripe_core::shape::offset::grow;

/// All of a strip from the cut end to `end_mm` but for some regions, and holes in those.
fn all_but(
    width_mm: f64,
    end_mm: f64,
    free: &[Polygon<f64>],
    holes: Vec<Polygon<f64>>,
) -> Obstacles {
    let mut left = geo_types::MultiPolygon(vec![rectangle(-10.0, -10.0, width_mm + 10.0, end_mm)]);
    for region in free {
        left = left.difference(region);
    }
    let mut regions = left.0;
    regions.extend(holes);
    Obstacles { regions, end_mm }
}

/// Where the last of a layout ends.
fn length(job: &Job, seed: u64) -> f64 {
    solve(job, seed).layout.length_mm
}

/// The identity of bin packing: 24 pieces of 40 x 50 mm fill two remnants of 120 x 200 mm
/// exactly (12 each), striped either way; a 25th has no place in them.
#[test]
fn pieces_fill_two_remnants() {
    for normal_rad in [0.0, FRAC_PI_2] {
        for (count, fits) in [(24, true), (25, false)] {
            let lock = Lock::Lines {
                repeat_mm: if normal_rad == 0.0 { 40.0 } else { 50.0 },
            };
            // In the stripe's frame a quarter turn lays a piece on its side.
            let piece = if normal_rad == 0.0 {
                rectangle(0.0, 0.0, 40.0, 50.0)
            } else {
                rectangle(0.0, 0.0, 50.0, 40.0)
            };
            let mut job = job(300.0, lock, vec![(piece, 0.0, count)]);
            job.window.normal_rad = normal_rad;
            let free = [
                rectangle(40.0, 50.0, 160.0, 250.0),
                rectangle(80.0, 300.0, 200.0, 500.0),
            ];
            job.obstacles = all_but(300.0, 550.0, &free, vec![]);
            let length = length(&job, 1);
            assert_eq!(length < 500.001, fits, "{count} pieces: {length} mm");
            assert!(fits || length > 599.9, "{length} mm");
        }
    }
}

/// A stain takes the one place that the ninth piece would have.
#[test]
fn a_stain_is_kept_clear() {
    let lock = Lock::Lines { repeat_mm: 50.0 };
    for (count, fits) in [(8, true), (9, false)] {
        let piece = rectangle(0.0, 0.0, 50.0, 50.0);
        let mut job = job(150.0, lock, vec![(piece, 0.0, count)]);
        let free = [rectangle(0.0, 20.0, 150.0, 170.0)];
        let stain = rectangle(70.0, 90.0, 75.0, 100.0);
        job.obstacles = all_but(150.0, 200.0, &free, vec![stain]);
        assert_eq!(length(&job, 1) < 170.001, fits, "{count} pieces");
    }
}

/// So much (mm) the remnants below are larger, all around, than what was cut from them.
const SPARE_MM: f64 = 2.0;

/// Remnants with slanting edges, each cut apart into four pieces along and across the stripes:
/// all that was cut finds room in them again.
#[test]
fn remnants_cut_apart_fit_again() {
    for seed in 1..=3 {
        let mut rng = Rng::new(seed);
        let mut any = |lo: f64, hi: f64| rng.real(lo, hi);
        let repeat_mm = 30.0;
        let (mut outlines, mut free) = (vec![], vec![]);
        let mut y = 20.0;
        for _ in 0..3 {
            let (w, h) = (any(100.0, 180.0), any(120.0, 200.0));
            let corners = [
                (any(0.0, 15.0), any(0.0, 15.0)),
                (w, any(0.0, 15.0)),
                (w - any(0.0, 20.0), h),
                (any(0.0, 20.0), h - any(0.0, 20.0)),
            ];
            let remnant = polygon(&corners).translate(0.0, y);
            let (cx, cy) = (any(40.0, 60.0), y + any(50.0, 70.0));
            for quarter in [
                rectangle(-50.0, y - 50.0, cx, cy),
                rectangle(cx, y - 50.0, 300.0, cy),
                rectangle(-50.0, cy, cx, y + 300.0),
                rectangle(cx, cy, 300.0, y + 300.0),
            ] {
                // As cut, every piece stands on a line of its own residue 0.
                outlines.extend(
                    remnant
                        .intersection(&quarter)
                        .0
                        .into_iter()
                        .map(|p| (p, 0.0, 1)),
                );
            }
            let edges = vec![SPARE_MM; 4];
            free.push(grow(&remnant, &edges));
            y += h + 30.0;
        }
        let mut job = job(200.0, Lock::Lines { repeat_mm }, outlines);
        job.obstacles = all_but(200.0, y, &free, vec![]);
        let effort = Effort {
            rounds: 6,
            work: 8_000_000,
            ..brief(seed)
        };
        let layout = lay::lay(&job, &effort, &Control::default()).unwrap().layout;
        assert_stands(&job, &layout);
        let length = layout.length_mm;
        assert!(length < y - 29.9, "seed {seed}: {length} of {y} mm");
    }
}
