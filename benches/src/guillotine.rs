//! Straight cuts: rectangles from a strip, edge to edge, verified by their spots.

use serde::Deserialize;
use std::time::{Duration, Instant};
use stripe_core::internals::buy::guillotine::{Cutting, Order, Rectangle, Turn, guillotine};

#[derive(Debug, Deserialize)]
struct Sheet {
    name: String,
    width: i64,
    optimum: i64,
    rectangles: Vec<(i64, i64)>,
}

/// Cuts one instance twice, with and without quarter turns, and says how good that is.
pub fn run(text: &str, seconds: f64, threads: usize, seed: u64) -> Result<String, String> {
    let sheet: Sheet = serde_json::from_str(text).map_err(|e| e.to_string())?;
    let rects: Vec<Rectangle> = sheet
        .rectangles
        .iter()
        .map(|&(across, along)| Rectangle { across, along })
        .collect();
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(threads)
        .build()
        .map_err(|e| e.to_string())?;
    let mut lines = vec![];
    for turn in [true, false] {
        let began = Instant::now();
        let limit = Duration::from_secs_f64(seconds);
        let stop = || began.elapsed() > limit;
        let order = Order {
            rects: &rects,
            width: sheet.width,
            turn: if turn { Turn::All } else { Turn::None },
            seed,
            tries: u64::MAX,
            proof: 60_000_000,
            stop: &stop,
        };
        let cutting = pool
            .install(|| guillotine(&order))
            .map_err(|e| e.to_string())?;
        verify(&cutting, &rects, sheet.width)?;
        lines.push(format!(
            "{:<16} {:>12} {:>10} {:>12} {:>8.4} {:>10} {:>8.2} {:>7} {:>12}  yes",
            sheet.name,
            cutting.length,
            if turn { "turned" } else { "as given" },
            format!("{} ({})", sheet.optimum, cutting.bound),
            cutting.length as f64 / sheet.optimum as f64,
            "-",
            began.elapsed().as_secs_f64(),
            threads,
            "-",
        ));
    }
    Ok(lines.join("\n"))
}

/// Every piece once, inside the strip, clear of the others; the tree itself is the
/// proof that straight cuts reach it.
fn verify(cutting: &Cutting, rects: &[Rectangle], width: i64) -> Result<(), String> {
    let spots = cutting.pattern.spots(rects);
    let mut seen = vec![false; rects.len()];
    for (i, a) in spots.iter().enumerate() {
        if std::mem::replace(&mut seen[a.rect], true) {
            return Err(format!("piece {} is there twice", a.rect + 1));
        }
        if a.x < 0 || a.y < 0 || a.x + a.across > width || a.y + a.along > cutting.length {
            return Err(format!("piece {} leaves the strip", a.rect + 1));
        }
        for b in &spots[..i] {
            let apart = a.x + a.across <= b.x
                || b.x + b.across <= a.x
                || a.y + a.along <= b.y
                || b.y + b.along <= a.y;
            if !apart {
                return Err(format!("pieces {} and {} overlap", a.rect + 1, b.rect + 1));
            }
        }
    }
    if seen.contains(&false) {
        return Err("a piece is missing".to_owned());
    }
    Ok(())
}
