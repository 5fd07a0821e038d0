//! The layout by hand is an honest measure: never longer than what a simple shelf packing
//! makes of the same pieces, and sound on every fabric.

use crate::jobs::{assert_stands, job, polygon};
use std::f64::consts::FRAC_PI_2;
use stripe_core::internals::rng::Rng;
use stripe_core::lay::{self, ByHand, Control, Effort, Job, Lock, Pose, Shape};

/// No search to speak of.
const BRIEF: Effort = Effort {
    seed: 1,
    streams: 1,
    rounds: 1,
    work: 10_000,
};

/// A box: its size, and where its left side may stand (mm, modulo the repeat).
#[derive(Debug, Clone, Copy)]
struct Oblong {
    wide: f64,
    tall: f64,
    at: f64,
}

impl Oblong {
    /// The first place at or right of `from`.
    fn place(&self, from: f64, repeat: f64) -> f64 {
        self.at + ((from - self.at) / repeat - 1e-9).ceil() * repeat
    }
}

/// First fit by falling height; the length of all shelves. `None` if a box is too wide.
fn shelves(boxes: &[Oblong], width: f64, repeat: f64) -> Option<f64> {
    let mut order = boxes.to_vec();
    order.sort_by(|a, b| b.tall.total_cmp(&a.tall));
    let mut rows: Vec<(f64, f64)> = Vec::new();
    for one in order {
        let fits = |filled: f64| {
            let right = one.place(filled, repeat) + one.wide;
            (right <= width + 1e-9).then_some(right)
        };
        let row = rows.iter_mut().find_map(|row| Some((fits(row.0)?, row)));
        match row {
            Some((right, row)) => row.0 = right,
            None => rows.push((fits(0.0)?, one.tall)),
        }
    }
    Some(rows.iter().map(|row| row.1).sum())
}

/// The pieces of a motif one beside the other, as one box.
fn beside_each_other(pieces: &[Oblong], repeat: f64) -> Oblong {
    let start = pieces[0].at;
    let mut right = start;
    let mut tall: f64 = 0.0;
    for one in pieces {
        right = one.place(right, repeat) + one.wide;
        tall = tall.max(one.tall);
    }
    Oblong {
        wide: right - start,
        tall,
        at: start,
    }
}

/// Random motifs of one to four pieces, some of them in several copies.
fn any_job(rng: &mut Rng) -> (Job, Vec<Vec<Oblong>>, f64) {
    let (width, repeat) = (rng.real(300.0, 700.0), rng.real(15.0, 120.0));
    let (mut outlines, mut boxes, mut blocks) = (Vec::new(), Vec::new(), Vec::new());
    let mut block = 0;
    for _ in 0..rng.whole(1, 4) {
        let pieces: Vec<_> = (0..rng.whole(1, 4))
            .map(|_| {
                let (wide, tall) = (rng.real(30.0, 120.0), rng.real(30.0, 150.0));
                let corners = [
                    (rng.real(0.0, wide), 0.0),
                    (wide, rng.real(0.0, tall)),
                    (rng.real(0.0, wide), tall),
                    (0.0, rng.real(0.0, tall)),
                ];
                let at = rng.real(0.0, repeat);
                (corners, Oblong { wide, tall, at })
            })
            .collect();
        for _ in 0..rng.whole(1, 5) {
            boxes.push(pieces.iter().map(|p| p.1).collect());
            for (corners, oblong) in &pieces {
                outlines.push((polygon(corners), oblong.at, 1));
                blocks.push(block);
            }
            block += 1;
        }
    }
    let mut job = job(width, Lock::Lines { repeat_mm: repeat }, outlines);
    for (item, block) in job.items.iter_mut().zip(blocks) {
        item.block = block;
    }
    (job, boxes, repeat)
}

/// The rule: by hand is no longer than a shelf packing of the motifs, each as one box,
/// or of the single pieces.
#[test]
fn by_hand_is_never_longer_than_shelves() {
    let mut compared = 0;
    for seed in 0..100 {
        let mut rng = Rng::new(seed);
        let (job, motifs, repeat) = any_job(&mut rng);
        let width = job.window.width_mm;
        let Ok(found) = lay::lay(&job, &BRIEF, &Control::default()) else {
            // A piece that no line of the fabric holds.
            continue;
        };
        assert_stands(&job, &found.by_hand);
        assert!(found.layout.length_mm <= found.by_hand.length_mm + 1e-6);
        let whole: Vec<Oblong> = motifs
            .iter()
            .map(|pieces| beside_each_other(pieces, repeat))
            .collect();
        for boxes in [whole, motifs.concat()] {
            let Some(shelved) = shelves(&boxes, width, repeat) else {
                continue;
            };
            compared += 1;
            // A row is parted from the next by less than a micrometre.
            assert!(
                found.by_hand.length_mm <= shelved + 0.01,
                "seed {seed}: {} by hand, {shelved} on shelves",
                found.by_hand.length_mm
            );
        }
    }
    assert!(compared > 80, "{compared}");
}

/// Wedges that all lie alike in their motif, as those of rays and rings do, lie side by
/// side, not in one column: once sixteen of them took sixteen times one's height.
#[test]
fn wedges_alike_lie_side_by_side() {
    let wedge = polygon(&[(-10.0, 0.0), (10.0, 0.0), (25.0, 60.0), (-25.0, 60.0)]);
    let mut job = job(
        1000.0,
        Lock::Lines { repeat_mm: 30.0 },
        vec![(wedge.clone(), 0.0, 16)],
    );
    for item in &mut job.items {
        item.block = 0;
    }
    let plain = lay::lay(&job, &BRIEF, &Control::default()).unwrap();
    assert_stands(&job, &plain.by_hand);
    // Sixteen stand 60 mm apart: 1000 mm holds them in one row.
    assert!((plain.by_hand.length_mm - 60.0).abs() < 0.01);
    // Where they may be turned about, every second one is, and narrower fabric does.
    let turned = polygon(&[(10.0, 60.0), (-10.0, 60.0), (-25.0, 0.0), (25.0, 0.0)]);
    job.shapes.push(Shape { outline: turned });
    job.kinds[0].poses.push(Pose {
        shape: 1,
        residue_mm: 10.0,
        along_mm: 0.0,
        sign: -1.0,
    });
    // Pairs 90 mm apart: the last reaches 25 + 670 + 25 mm.
    job.window.width_mm = 730.0;
    let found = lay::lay(&job, &BRIEF, &Control::default()).unwrap();
    assert_stands(&job, &found.by_hand);
    assert_eq!(found.by_hand_way, ByHand::Pieces);
    assert!(
        (found.by_hand.length_mm - 60.0).abs() < 0.01,
        "{}",
        found.by_hand.length_mm
    );
}

/// Leaning, crosswise, two-way and figured fabric: whatever is laid by hand stands, and
/// nothing panics.
#[test]
fn by_hand_stands_on_every_fabric() {
    for seed in 0..120 {
        let mut rng = Rng::new(1000 + seed);
        let (mut job, _, repeat) = any_job(&mut rng);
        let lean = rng.pick(&[0.0, 0.003, -0.0175, 0.06]);
        job.window.normal_rad = rng.whole(0, 3) as f64 * FRAC_PI_2 + lean;
        job.window.margin_mm = rng.pick(&[0.0, 0.8]);
        job.lock = match rng.whole(0, 3) {
            0 => Lock::Plane,
            1 if lean == 0.0 => Lock::Points {
                across_mm: repeat,
                along_mm: rng.real(15.0, 90.0),
                shear_mm: rng.real(0.0, 15.0),
            },
            _ => job.lock,
        };
        if rng.once_in(2) && job.lock != Lock::Plane {
            job.groups = rng.whole(1, 2);
            for item in &mut job.items {
                item.group = Some(item.block % job.groups);
            }
        }
        let Ok(found) = lay::lay(&job, &BRIEF, &Control::default()) else {
            continue;
        };
        assert_stands(&job, &found.by_hand);
        assert!(
            found.layout.length_mm <= found.by_hand.length_mm + 1e-6,
            "{seed}"
        );
        for bound in &found.bounds.all {
            assert!(
                bound.length_mm <= found.layout.length_mm + 1e-6,
                "{seed}: {bound:?}"
            );
        }
    }
}
