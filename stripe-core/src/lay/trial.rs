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

/// How long [`wedges`] are in two rows. A wedge's flank leans by half its height, so where two of
/// them have their middles 22.5 mm apart, the one that hangs begins 2 (20 + 5 - 22.5) mm = 5 mm
/// above the other's base: rows of 35 mm, eight pieces in each.
pub(super) const WEDGE_ROWS_MM: f64 = 70.0;

/// Four equal motifs with an offset each, of two wedges that are wide below and two that are
/// wide above: 40 and 10 mm wide, 30 mm high, on fabric that has room for eight in a row if their
/// lines are a quarter of the repeat of 30 mm apart.
pub(super) fn wedges() -> Job {
    let wedge = |sign: f64| {
        let ring = [(-20.0, -15.0), (20.0, -15.0), (5.0, 15.0), (-5.0, 15.0)];
        let points = ring.map(|(x, y)| point(sign * x, sign * y)).to_vec();
        let outline = Region::new(geo_types::LineString(points), Vec::new());
        Shape { outline }
    };
    let kind = |shape: usize| Kind {
        poses: vec![Pose {
            shape,
            residue_mm: 0.0,
            along_mm: 0.0,
            sign: 1.0,
        }],
    };
    Job {
        obstacles: Default::default(),
        window: Window {
            width_mm: 7.0 * 22.5 + 40.0 + 7.5,
            normal_rad: 0.0,
            margin_mm: 0.0,
        },
        lock: Lock::Lines { repeat_mm: 30.0 },
        deviate_mm: 0.0,
        shapes: vec![wedge(1.0), wedge(-1.0)],
        kinds: vec![kind(0), kind(1)],
        lots: 1,
        items: (0..16)
            .map(|i| Item {
                kind: i % 2,
                group: Some(i / 4),
                block: i / 4,
            })
            .collect(),
        groups: 4,
    }
}
