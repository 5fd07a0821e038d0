//! Rectangles cut edge to edge, on data sets from outside.

use std::path::PathBuf;
use stripe_core::internals::buy::guillotine::{Order, Rectangle, Turn, guillotine};
use stripe_core::internals::buy::straight::cut_straight;
use stripe_core::internals::rng::Rng;
use stripe_core::quilt::{Grain, Purpose, StraightPiece};

/// The shared folder beside the repository, or where STRIPELAY_SHARED says.
fn shared() -> PathBuf {
    std::env::var_os("STRIPELAY_SHARED").map_or_else(
        || PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../shared")),
        PathBuf::from,
    )
}

// Hopper 2000, sets T1 and T2 (ESICUP, CC0): rectangles that fill a 200 x 200 sheet.
// The complete set of blocks without waste shows that none of these fillings can be cut
// from edge to edge, so the optimum of such cuts lies above 200. Effort is kept small
// here; the benches show what five seconds find.
#[test]
fn hopper_sheets() {
    let folder = shared().join("benchmarks/guillotine");
    if !folder.is_dir() {
        println!("skipped: no benchmarks in {}", folder.display());
        return;
    }
    for name in ["t1a", "t1b", "t1c", "t2a", "t2b", "t2c"] {
        let text = std::fs::read_to_string(folder.join(format!("{name}.json"))).unwrap();
        let sheet: serde_json::Value = serde_json::from_str(&text).unwrap();
        let rects: Vec<Rectangle> = sheet["rectangles"]
            .as_array()
            .unwrap()
            .iter()
            .map(|pair| Rectangle {
                across: pair[0].as_i64().unwrap(),
                along: pair[1].as_i64().unwrap(),
            })
            .collect();
        for turn in [true, false] {
            let order = Order {
                rects: &rects,
                width: 200,
                turn: if turn { Turn::All } else { Turn::None },
                seed: 1,
                tries: 500_000,
                proof: 1500,
                stop: &|| false,
            };
            let cutting = guillotine(&order).unwrap();
            assert!(cutting.bound > 200, "{name}");
            assert!(
                cutting.length <= if turn { 213 } else { 225 },
                "{name}: {}",
                cutting.length
            );
            let spots = cutting.pattern.spots(&rects);
            assert_eq!(spots.len(), rects.len());
            for (i, a) in spots.iter().enumerate() {
                assert!(a.x + a.across <= 200 && a.y + a.along <= cutting.length);
                let turned = a.across != rects[a.rect].across;
                assert!(turn || !turned);
                for b in &spots[..i] {
                    assert!(
                        a.x + a.across <= b.x
                            || b.x + b.across <= a.x
                            || a.y + a.along <= b.y
                            || b.y + b.along <= a.y,
                        "{name}"
                    );
                }
            }
        }
    }
}

/// Random quilts' worth of straight pieces: two to five kinds, sizes of whole quarter
/// inches (the unit here), fabric 40 to 44 in wide.
fn random_pieces(seed: u64) -> (Vec<StraightPiece>, f64) {
    let mut rng = Rng::new(seed);
    let width = rng.whole(160, 176);
    let kinds = rng.whole(2, 5);
    let pieces = (0..kinds).map(|kind| {
        let is_long = rng.once_in(6);
        let width = rng.whole(6, 45);
        let length = if is_long {
            rng.whole(60, 150)
        } else {
            rng.whole(6, 55)
        };
        let count = if is_long {
            rng.whole(1, 4)
        } else {
            rng.whole(1, 24)
        };
        let grain = match rng.whole(0, 3) {
            0 => Grain::Along,
            1 => Grain::Across,
            _ => Grain::Any,
        };
        StraightPiece {
            name: format!("unit {kind}"),
            purpose: Purpose::default(),
            fabric: "plain".into(),
            length_mm: length.max(width) as f64,
            width_mm: length.min(width) as f64,
            count,
            grain,
            slant: None,
            bias: None,
        }
    });
    (pieces.collect(), width as f64)
}

/// How far straight cuts stand above what any cuts edge to edge are found to take, and
/// how long they take to plan: `cargo test --release -p stripe-tests --test cutting -- --ignored --nocapture`.
#[test]
#[ignore = "a measurement of a minute or two"]
fn measure_straight_cuts() {
    let mut beaten = vec![];
    let mut slowest = 0.0_f64;
    let mut bounds_above = 0;
    let mut proven = 0;
    for seed in 0..80 {
        let (pieces, width) = random_pieces(seed);
        let begun = std::time::Instant::now();
        let cuts = cut_straight(&pieces, width).unwrap();
        let took = begun.elapsed().as_secs_f64();
        slowest = slowest.max(took);
        let mut rects = vec![];
        let mut turns = vec![];
        for piece in &pieces {
            let (across, along) = match piece.grain {
                Grain::Along => (piece.width_mm, piece.length_mm),
                _ => (piece.length_mm, piece.width_mm),
            };
            for _ in 0..piece.count {
                rects.push(Rectangle {
                    across: across as i64,
                    along: along as i64,
                });
                turns.push(piece.grain == Grain::Any);
            }
        }
        let order = Order {
            rects: &rects,
            width: width as i64,
            turn: Turn::Each(&turns),
            seed: 1,
            tries: 200_000,
            proof: 50_000,
            stop: &|| false,
        };
        let edge = guillotine(&order).unwrap();
        proven += usize::from(cuts.is_optimal());
        bounds_above += usize::from(cuts.bound_mm > edge.length as f64 + 1e-6);
        let over = cuts.length_mm / edge.length as f64 - 1.0;
        println!(
            "{seed}: {} kinds, {} pieces: {} (bound {}), edge to edge {} (bound {}), {:.1} %, {took:.2} s",
            pieces.len(),
            rects.len(),
            cuts.length_mm,
            cuts.bound_mm,
            edge.length,
            edge.bound,
            over * 100.0
        );
        if over > 1e-9 {
            beaten.push(over);
        }
    }
    println!(
        "{} of 80 beaten, {:.1} % on average, {:.1} % at most; {bounds_above} bounds above; {proven} said optimal; slowest {slowest:.2} s",
        beaten.len(),
        100.0 * beaten.iter().sum::<f64>() / beaten.len().max(1) as f64,
        100.0 * beaten.iter().fold(0.0_f64, |a, &b| a.max(b))
    );
}
