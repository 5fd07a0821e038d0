//! Drawn pieces, their sizes and cut lines, held against other software.
//!
//! `reference.py` beside this file made the numbers from `pieces.svg`: svgpathtools 1.8 reads the paths
//! with their transforms and samples the curves, shapely 2.2 grows them with mitred corners.

use geo::Area;
use stripe_core::drawing;
use stripe_core::motif::{Making, Motif, Part, assemble};

/// Curves are made of straight edges that lie up to 0.05 mm inside.
const CHORD_MM: f64 = 0.05;
const TURN_UNDER_MM: f64 = 5.0;

#[test]
fn sizes_and_cut_lines_are_those_of_other_software() {
    let home = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("drawn");
    let drawn = drawing::read(&std::fs::read(home.join("pieces.svg")).unwrap()).unwrap();
    assert!(drawn.snapped.is_empty());
    let text = std::fs::read_to_string(home.join("reference.csv")).unwrap();
    let rows: Vec<&str> = text.lines().skip(1).collect();
    assert_eq!(rows.len(), drawn.pieces.len());
    let making = Making {
        turn_under_mm: TURN_UNDER_MM,
        ..Making::default()
    };
    for row in rows {
        let fields: Vec<&str> = row.split(',').collect();
        let number = |i: usize| fields[i].parse::<f64>().unwrap();
        let (name, ring) = drawn.pieces.iter().find(|p| p.0 == fields[0]).unwrap();
        let part = Part::new(name.as_str(), "deck", ring.clone());
        let motif = Motif::new("piece", 1).with_part(part);
        let piece = &assemble(&motif, &making).unwrap().pieces[0];
        // The page is 300 mm by 200 mm; the motif's origin is its middle, and y goes up.
        let xs = || ring.iter().map(|p| p.x + 150.0);
        let ys = || ring.iter().map(|p| 100.0 - p.y);
        let least = |all: &mut dyn Iterator<Item = f64>| all.fold(f64::INFINITY, f64::min);
        let most = |all: &mut dyn Iterator<Item = f64>| all.fold(f64::NEG_INFINITY, f64::max);
        let extent = [
            least(&mut xs()),
            least(&mut ys()),
            most(&mut xs()),
            most(&mut ys()),
        ];
        for (i, value) in extent.into_iter().enumerate() {
            assert!((value - number(2 + i)).abs() <= CHORD_MM, "{row}: {value}");
        }
        let closed = ring.iter().zip(ring.iter().cycle().skip(1));
        let around: f64 = closed.map(|(p, q)| (p.x - q.x).hypot(p.y - q.y)).sum();
        let (area, cut) = (piece.finished.unsigned_area(), piece.cut.unsigned_area());
        assert!(
            (area - number(1)).abs() <= CHORD_MM * around,
            "{row}: {area}"
        );
        // A cut line is never within the true one by more than its chords are, and no more
        // than that outside.
        let around = around + 2.0 * std::f64::consts::PI * TURN_UNDER_MM;
        assert!((cut - number(6)).abs() <= CHORD_MM * around, "{row}: {cut}");
    }
}

/// One fault in each file of `hostile/`, which its name tells; the table beside them says on which
/// line it is found, and words of what is said. One drawing of 100,000 elements is made here.
#[test]
fn hostile_drawings_are_refused_by_name() {
    let home = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("drawn/hostile");
    let table = std::fs::read_to_string(home.join("expected.csv")).unwrap();
    let mut seen = 0;
    for row in table.lines().skip(1) {
        let fields: Vec<&str> = row.splitn(3, ',').collect();
        let file = std::fs::read(home.join(fields[0])).unwrap();
        let faults = drawing::read(&file).unwrap_err();
        assert!(
            faults
                .iter()
                .any(|fault| fault.message.contains(fields[2])
                    && fault.line.to_string() == fields[1]),
            "{row}: {faults:?}"
        );
        assert!(faults.iter().all(|fault| !fault.help.is_empty()), "{row}");
        seen += 1;
    }
    let files = std::fs::read_dir(&home).unwrap().count();
    assert!(seen >= 40 && files == seen + 1, "{seen} of {files}");
    let many = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9mm\" height=\"9mm\">{}</svg>",
        "<g/>".repeat(100_000)
    );
    let faults = drawing::read(many.as_bytes()).unwrap_err();
    assert!(faults[0].message.contains("elements"), "{faults:?}");
}
