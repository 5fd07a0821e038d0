//! How time grows with the number of pieces: random combs on striped fabric.

use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};
use stripe_core::lay::{self, Control, Effort, Item, Job, Kind, Lock, Pose, Shape, Window};

/// Kinds of pieces in the growth jobs: few shapes, many copies.
const KINDS: usize = 6;

/// `n` combs of six kinds, each kind a spoke fan's worth of teeth.
fn job(n: usize) -> Job {
    let mut job = Job {
        obstacles: Default::default(),
        window: Window {
            width_mm: 1066.8,
            normal_rad: 0.0,
            margin_mm: 1.0,
        },
        lock: Lock::Lines { repeat_mm: 88.9 },
        deviate_mm: 0.0,
        shapes: Vec::new(),
        kinds: Vec::new(),
        lots: 1,
        items: Vec::new(),
        groups: 0,
    };
    for kind in 0..KINDS {
        let (teeth, radius) = (3 + kind, 60.0 + 9.0 * kind as f64);
        let mut ring = Vec::new();
        for i in 0..2 * teeth {
            let turn = std::f64::consts::PI * i as f64 / (2 * teeth - 1) as f64;
            for (r, off) in [(radius, 0.0), (radius * 0.55, 0.9)] {
                let a = turn + off / (2 * teeth) as f64;
                ring.push(geo::coord! { x: r * a.cos(), y: r * a.sin() });
            }
        }
        ring.push(geo::coord! { x: -radius * 0.2, y: -radius * 0.1 });
        ring.push(geo::coord! { x: radius * 0.2, y: -radius * 0.1 });
        job.shapes.push(Shape {
            outline: geo::Polygon::new(geo::LineString(ring), Vec::new()),
        });
        job.kinds.push(Kind {
            poses: vec![Pose {
                shape: kind,
                residue_mm: 0.0,
                along_mm: 0.0,
                sign: 1.0,
            }],
        });
    }
    job.items = (0..n)
        .map(|i| Item {
            kind: i % KINDS,
            group: None,
            block: i,
        })
        .collect();
    job
}

/// The most memory that this process has held so far (MB), where the system says.
pub fn peak_mb() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    status
        .lines()
        .find_map(|l| l.strip_prefix("VmHWM:"))
        .and_then(|l| l.trim().trim_end_matches(" kB").parse::<f64>().ok())
        .map_or(f64::NAN, |kb| kb / 1024.0)
}

/// One line a size, told as soon as it is known.
pub fn growth(seconds: f64, seed: u64, threads: usize, say: &dyn Fn(&str)) -> Result<(), String> {
    say(&format!(
        "{:>7} {:>14} {:>9} {:>14} {:>12} {:>10}",
        "pieces", "first layout s", "exponent", "length mm", "moves/s", "memory MB"
    ));
    let mut before: Option<(f64, f64)> = None;
    for n in [50, 100, 200, 400, 800, 1600] {
        let job = job(n);
        let began = Instant::now();
        lay::first(&job).map_err(|e| e.to_string())?;
        let first = began.elapsed().as_secs_f64();
        let stop = AtomicBool::new(false);
        let control = Control {
            stop: Some(&stop),
            progress: None,
        };
        let began = Instant::now();
        let outcome = std::thread::scope(|scope| {
            let (tell, told) = std::sync::mpsc::channel::<()>();
            let stop = &stop;
            scope.spawn(move || {
                let _ = told.recv_timeout(Duration::from_secs_f64(seconds));
                stop.store(true, Ordering::Relaxed);
            });
            let outcome = lay::lay(&job, &Effort::endless(seed, threads), &control);
            drop(tell);
            outcome
        })
        .map_err(|e| e.to_string())?;
        let exponent = before.map_or(f64::NAN, |(m, s): (f64, f64)| {
            (first / s).ln() / (n as f64 / m).ln()
        });
        say(&format!(
            "{n:>7} {first:>14.4} {exponent:>9.2} {:>14.1} {:>12.0} {:>10.0}",
            outcome.layout.length_mm,
            outcome.moves as f64 / began.elapsed().as_secs_f64(),
            peak_mb(),
        ));
        before = Some((n as f64, first));
    }
    Ok(())
}
