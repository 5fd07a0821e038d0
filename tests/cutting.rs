//! Rectangles cut edge to edge, on data sets from outside.

use std::path::PathBuf;
use stripe_core::buy::guillotine::{Order, Rect, guillotine};

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
        let rects: Vec<Rect> = sheet["rectangles"]
            .as_array()
            .unwrap()
            .iter()
            .map(|pair| Rect {
                across: pair[0].as_i64().unwrap(),
                along: pair[1].as_i64().unwrap(),
            })
            .collect();
        for turn in [true, false] {
            let order = Order {
                rects: &rects,
                width: 200,
                turn,
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
