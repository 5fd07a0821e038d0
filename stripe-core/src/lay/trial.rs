//! Jobs for tests of the parts of this module.

use super::data::{Item, Job, Kind, Lock, Pose, Shape, Window};
use crate::rng::Rng;
use crate::shape::{Region, point};

/// Four kinds of odd quadrilaterals, each free to be turned about, `count` pieces in all; with
/// groups, piece by piece of another one.
pub(super) fn odd_pieces(count: usize, groups: usize, normal_rad: f64, seed: u64) -> Job {
    let mut rng = Rng::new(seed);
    let mut job = Job {
        obstacles: Default::default(),
        window: Window {
            width_mm: 300.0,
            normal_rad,
            margin_mm: 0.0,
        },
        lock: Lock::Lines { repeat_mm: 20.0 },
        deviate_mm: 0.0,
        shapes: Vec::new(),
        kinds: Vec::new(),
        lots: 1,
        items: Vec::new(),
        groups,
    };
    for _ in 0..4 {
        let mut size = || 20.0 + rng.below(60) as f64;
        let ring = [(size(), 0.0), (0.0, size()), (-size(), 0.0), (0.0, -size())];
        let residue_mm = size() % 20.0;
        let poses = [1.0, -1.0].map(|sign| {
            let points = ring.map(|(x, y)| point(sign * x, sign * y)).to_vec();
            let outline = Region::new(geo_types::LineString(points), Vec::new());
            job.shapes.push(Shape { outline });
            Pose {
                shape: job.shapes.len() - 1,
                residue_mm: sign * residue_mm,
                along_mm: 0.0,
                sign,
            }
        });
        job.kinds.push(Kind {
            poses: poses.to_vec(),
        });
    }
    job.items = (0..count)
        .map(|i| Item {
            kind: i % 4,
            group: (groups > 0).then(|| i % 4 % groups),
            block: i,
        })
        .collect();
    job
}
