//! Small jobs, and the verifier of their layouts: polygon Booleans on the fabric.

use geo::{Area, BooleanOps, BoundingRect, Euclidean, Length, MapCoords};
use geo_types::{Coord, LineString, Polygon};
use stripe_core::lay::{self, Control, Effort, Item, Job, Kind, Layout, Lock, Pose, Shape, Window};

/// Enough for the small jobs here, and soon done.
pub fn brief(seed: u64) -> Effort {
    Effort {
        seed,
        streams: 2,
        rounds: 2,
        work: 3_000_000,
    }
}

/// Enough where the first layouts are the best already, and no bound says so.
pub const LITTLE: u64 = 200_000;

pub fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Polygon<f64> {
    let ring = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)];
    polygon(&ring)
}

pub fn polygon(points: &[(f64, f64)]) -> Polygon<f64> {
    let ring = points.iter().map(|&(x, y)| Coord { x, y }).collect();
    Polygon::new(LineString(ring), Vec::new())
}

pub fn pose(shape: usize, residue_mm: f64) -> Pose {
    Pose {
        shape,
        residue_mm,
        along_mm: 0.0,
        sign: 1.0,
    }
}

/// `counts[i]` copies of outline `i`, natural pose only.
pub fn job(width_mm: f64, lock: Lock, outlines: Vec<(Polygon<f64>, f64, usize)>) -> Job {
    let mut job = Job {
        obstacles: Default::default(),
        window: Window {
            width_mm,
            normal_rad: 0.0,
            margin_mm: 0.0,
        },
        lock,
        deviate_mm: 0.0,
        shapes: Vec::new(),
        kinds: Vec::new(),
        lots: 1,
        items: Vec::new(),
        groups: 0,
    };
    for (kind, (outline, residue, count)) in outlines.into_iter().enumerate() {
        job.shapes.push(Shape { outline });
        job.kinds.push(Kind {
            poses: vec![pose(kind, residue)],
        });
        for _ in 0..count {
            job.items.push(Item {
                kind,
                group: None,
                block: job.items.len(),
            });
        }
    }
    job
}

/// The verifier: pieces inside the fabric, clear of each other, on their lines.
pub fn assert_stands(job: &Job, lay: &Layout) {
    assert_eq!(lay.placements.len(), job.items.len());
    let placed: Vec<Polygon<f64>> = job
        .items
        .iter()
        .zip(&lay.placements)
        .map(|(item, placement)| {
            let pose = &job.kinds[item.kind].poses[placement.pose];
            job.shapes[pose.shape].outline.map_coords(|c| {
                job.window.to_fabric(Coord {
                    x: c.x + placement.u_mm,
                    y: c.y + placement.v_mm,
                })
            })
        })
        .collect();
    let m = job.window.margin_mm;
    for (i, a) in placed.iter().enumerate() {
        let bounds = a.bounding_rect().unwrap();
        let inside = bounds.min().x > -m - 1e-3
            && bounds.max().x < job.window.width_mm + m + 1e-3
            && bounds.min().y > -m - 1e-3
            && bounds.max().y < lay.length_mm + m + 1e-3;
        assert!(inside, "piece {i} at {bounds:?}, length {}", lay.length_mm);
        for (j, barred) in job.obstacles.regions.iter().enumerate() {
            let overlap = a.intersection(barred).unsigned_area();
            let rounding = 1e-3 * Euclidean.length(a.exterior());
            assert!(overlap < rounding, "{i} on obstacle {j}: {overlap}");
        }
        for (j, b) in placed[..i].iter().enumerate() {
            // A micrometre along the whole outline is rounding, and no pair of
            // scissors knows it.
            let overlap = a.intersection(b).unsigned_area();
            let rounding = 1e-3 * Euclidean.length(a.exterior());
            assert!(overlap < rounding, "{i} on {j}: {overlap}");
        }
    }
    for (item, placement) in job.items.iter().zip(&lay.placements) {
        let pose = &job.kinds[item.kind].poses[placement.pose];
        let offset = item.group.map_or(0.0, |g| lay.offsets[g]);
        let u = placement.u_mm - pose.residue_mm - pose.sign * offset;
        match job.lock {
            Lock::Plane => {}
            Lock::Lines { repeat_mm } => {
                let off = u - (u / repeat_mm).round() * repeat_mm;
                assert!(off.abs() <= job.deviate_mm + 1e-6, "off its line by {off}");
            }
            Lock::Points {
                across_mm,
                along_mm,
                shear_mm,
            } => {
                let k = (u / across_mm).round();
                assert!((u - k * across_mm).abs() < 1e-6);
                let v = placement.v_mm - pose.along_mm - k * shear_mm;
                assert!((v - (v / along_mm).round() * along_mm).abs() < 1e-6);
            }
        }
    }
}

pub fn solve(job: &Job, seed: u64) -> lay::Outcome {
    solve_within(job, seed, brief(seed).work)
}

/// The same with so much work for each stream of the search.
pub fn solve_within(job: &Job, seed: u64, work: u64) -> lay::Outcome {
    let effort = Effort {
        work,
        ..brief(seed)
    };
    let outcome = lay::lay(job, &effort, &Control::default()).unwrap();
    assert_stands(job, &outcome.layout);
    assert_stands(job, &outcome.by_hand);
    assert!(outcome.layout.length_mm <= outcome.first_length_mm + 1e-6);
    assert!(outcome.bounds.best().length_mm <= outcome.layout.length_mm + 1e-3);
    outcome
}
