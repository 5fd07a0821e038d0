//! Template sheets as they come out of poppler.

use crate::demo::plan;
use crate::outside::{folder, has, run};
use image::GrayImage;
use std::path::Path;
use std::process::Command;
use stripe_core::draw::{Method, Paper, Stripes, Templates, machine_templates, pdf, templates};
use stripe_core::plan::{PlacedPiece, Plan};

fn page(pdf: &Path, number: usize, dpi: u32) -> GrayImage {
    let out = pdf.with_extension(format!("{number}"));
    run(Command::new("pdftoppm")
        .args(["-gray", "-png", "-singlefile", "-aa", "no", "-r"])
        .arg(dpi.to_string())
        .args(["-f", &number.to_string(), "-l", &number.to_string()])
        .arg(pdf)
        .arg(&out));
    let picture = image::open(out.with_extension(format!("{number}.png")));
    picture.unwrap().to_luma8()
}

fn written(name: &str, paper: Paper, method: Method) -> (std::path::PathBuf, Templates) {
    let made = templates(plan(), paper, method, Stripes::Shown).unwrap();
    let file = folder(name).join("templates.pdf");
    std::fs::write(&file, pdf(&made.sheets, "templates").unwrap()).unwrap();
    (file, made)
}

/// From the first to the last dark pixel of a row.
fn dark_span(picture: &GrayImage, row: u32, columns: std::ops::Range<u32>) -> Option<[u32; 2]> {
    let dark = |&x: &u32| picture.get_pixel(x, row).0[0] < 100;
    let first = columns.clone().find(dark)?;
    let last = columns.rev().find(dark)?;
    Some([first, last])
}

/// S-01, S-02, S-04: A4 is 595.276 by 841.890 points (ISO 216), Letter 612 by 792
/// (common practice, ANSI). A page may be off by the hundredth that poppler prints.
#[test]
fn pages_have_the_size_of_their_paper() {
    if !has("pdfinfo") {
        return;
    }
    for (paper, width, height) in [
        (Paper::Letter, 612.0, 792.0),
        (Paper::A4, 595.276, 841.890),
        (Paper::Either, 595.276, 792.0),
    ] {
        let (file, made) = written(&format!("sizes-{paper:?}"), paper, Method::PaperOnRightSide);
        let (said, _) = run(Command::new("pdfinfo").args(["-l", "-1"]).arg(&file));
        let sizes: Vec<[f64; 2]> = said
            .lines()
            .filter(|line| line.starts_with("Page") && line.contains(" size:"))
            .map(|line| {
                let numbers: Vec<f64> = line
                    .split(':')
                    .nth(1)
                    .unwrap()
                    .split_whitespace()
                    .filter_map(|word| word.parse().ok())
                    .collect();
                [numbers[0], numbers[1]]
            })
            .collect();
        assert_eq!(sizes.len(), made.sheets.len());
        for [w, h] in sizes {
            assert!(
                (w - width).abs() < 0.02 && (h - height).abs() < 0.02,
                "{w} by {h}"
            );
        }
    }
}

/// The bars as rendered at 300 dots an inch: 4 in are 1200 dots, 100 mm are 1181.1
/// (computed), each within one.
#[test]
fn bars_measure_what_they_say() {
    if !has("pdftoppm") {
        return;
    }
    let (file, made) = written("bars", Paper::Letter, Method::PaperOnRightSide);
    for number in [1, made.sheets.len()] {
        let picture = page(&file, number, 300);
        // The two longest dark runs at the foot of the sheet.
        let left = (12.7 / 25.4 * 300.0) as u32;
        let rows = (picture.height() - 550)..(picture.height() - 100);
        let mut spans: Vec<u32> = rows
            .filter_map(|row| {
                let mut end = left + 2;
                while end < picture.width() && picture.get_pixel(end, row).0[0] < 100 {
                    end += 1;
                }
                let [first, last] = dark_span(&picture, row, left - 8..end.max(left + 4))?;
                (last - first > 900).then_some(last - first + 1)
            })
            .collect();
        spans.sort_unstable();
        spans.dedup();
        let near = |wanted: f64| spans.iter().any(|&s| (f64::from(s) - wanted).abs() <= 1.0);
        assert!(near(1200.0) && near(1181.1), "sheet {number}: {spans:?}");
    }
}

/// Where the outline of a template that is alone on its sheet begins: half an inch of
/// margin, 12 mm of title, 1.5 mm of room.
const BEGIN_MM: [f64; 2] = [12.7 + 1.5, 12.7 + 12.0 + 1.5];

/// Cut line and finished line of templates, measured on the page at 300 dots an inch, lie
/// where the plan has them: within a dot or two, wherever a row of dots crosses them.
#[test]
fn both_lines_come_out_at_true_size() {
    if !has("pdftoppm") {
        return;
    }
    let per_mm = 300.0 / 25.4;
    let mut measured = 0;
    for (fabric, piece) in different_pieces() {
        let only = alone(fabric, piece);
        let made = templates(
            &only,
            Paper::Letter,
            Method::TracedOnWrongSide,
            Stripes::Shown,
        )
        .unwrap();
        if made.sheets.len() != 2 {
            // It runs over several sheets.
            continue;
        }
        let file = folder(&format!("lines-{}", piece.label)).join("templates.pdf");
        std::fs::write(&file, pdf(&made.sheets, "templates").unwrap()).unwrap();
        let picture = page(&file, 2, 300);
        let fit = (0..4)
            .map(|quarters| {
                let lines = [&piece.cut, &piece.finished].map(|l| turned(l, quarters));
                let low = |axis: usize| lines[0].iter().map(|p| p[axis]).fold(f64::MAX, f64::min);
                let from = [BEGIN_MM[0] - low(0), BEGIN_MM[1] - low(1)];
                lines.map(|line| crossings(&picture, &line, from, per_mm))
            })
            .max_by(|a, b| a[0].seen().total_cmp(&b[0].seen()))
            .unwrap();
        let [cut, finished] = fit;
        println!("{}: cut {cut:?}, finished {finished:?}", piece.id);
        // The cut line is unbroken; of the finished one, dashes are six tenths and dots less.
        assert!(cut.seen() > 0.95, "{}: {cut:?}", piece.id);
        assert!(
            finished.seen() > 0.3 && finished.found > 100,
            "{}: {finished:?}",
            piece.id
        );
        for line in [cut, finished] {
            assert!(line.mean_mm.abs() < 0.06, "{}: {line:?}", piece.id);
        }
        measured += 1;
    }
    println!("{measured} templates measured");
    assert!(measured >= 6);
}

/// The first of every motif's pieces, with the number of its fabric.
fn different_pieces() -> Vec<(usize, &'static PlacedPiece)> {
    let mut seen = std::collections::BTreeSet::new();
    let fabrics = plan().fabrics.iter().enumerate();
    fabrics
        .flat_map(|(i, fabric)| fabric.placements.iter().map(move |piece| (i, piece)))
        .filter(|(_, piece)| seen.insert((&piece.motif, &piece.piece)))
        .collect()
}

/// The plan with that piece alone, on plain white fabric, so that lines are all that is dark.
fn alone(fabric: usize, piece: &PlacedPiece) -> Plan {
    let mut only = plan().clone();
    only.fabrics = vec![only.fabrics.swap_remove(fabric)];
    only.fabrics[0].placements = vec![piece.clone()];
    only.fabrics[0].stripe = None;
    only
}

/// A ring as it may stand on the page: mirrored, y down, turned by quarters.
fn turned(ring: &[[f64; 2]], quarters: u8) -> Vec<[f64; 2]> {
    let turn = |[x, y]: [f64; 2]| (0..quarters).fold([-x, -y], |[x, y], _| [-y, x]);
    ring.iter().map(|&p| turn(p)).collect()
}

/// How a line was found on the page.
#[derive(Debug, Default)]
struct Seen {
    wanted: usize,
    found: usize,
    mean_mm: f64,
}

impl Seen {
    fn seen(&self) -> f64 {
        self.found as f64 / self.wanted.max(1) as f64
    }
}

/// Looks for a ring where rows of dots cross it, to half a millimetre on either side.
fn crossings(picture: &GrayImage, ring: &[[f64; 2]], from: [f64; 2], per_mm: f64) -> Seen {
    let mut seen = Seen::default();
    let reach = (0.5 * per_mm) as i64;
    for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        // Lines that run along the rows are met too seldom, and too slantingly.
        if dx.abs() > 1.2 * dy.abs() {
            continue;
        }
        let ends = [a[1] + from[1], b[1] + from[1]].map(|y| y * per_mm);
        let rows = ends[0].min(ends[1]).ceil() as u32..ends[0].max(ends[1]).floor() as u32;
        for row in rows {
            let y = (f64::from(row) + 0.5) / per_mm - from[1];
            let x = (a[0] + (y - a[1]) / dy * dx + from[0]) * per_mm;
            seen.wanted += 1;
            let is_dark = |&x: &i64| picture.get_pixel(x as u32, row).0[0] < 100;
            let near = (x as i64 - reach..=x as i64 + reach).filter(is_dark);
            let places: Vec<i64> = near.collect();
            if let (Some(first), Some(last)) = (places.first(), places.last()) {
                seen.found += 1;
                seen.mean_mm += ((first + last + 1) as f64 / 2.0 - x) / per_mm;
            }
        }
    }
    seen.mean_mm /= seen.found.max(1) as f64;
    seen
}

/// Small pieces are laid into each other: the demo's templates took fourteen sheets when
/// each had a box to itself.
#[test]
fn the_demo_takes_few_sheets() {
    for paper in [Paper::Letter, Paper::A4, Paper::Either] {
        let made = templates(plan(), paper, Method::PaperOnRightSide, Stripes::Shown).unwrap();
        println!("{paper:?}: {} sheets", made.sheets.len());
        assert!(made.sheets.len() <= 11, "{} sheets", made.sheets.len());
        assert!(made.entries.iter().all(|entry| !entry.sheets.is_empty()));
    }
}

/// Every template of the demo is also drawn for cutting machines, at the plan's size.
#[test]
fn machine_drawings_have_the_size_of_their_piece() {
    let plan = plan();
    let made = machine_templates(plan, Method::PaperOnRightSide, Stripes::Shown).unwrap();
    assert!(made.len() > 5, "{}", made.len());
    for one in made {
        let text = stripe_core::draw::svg(&one.scene);
        assert!(text.contains("<g id=\"cut\">") && text.contains("mm\" height=\""));
        // 5 mm of room about the cut line as it is in the plan.
        let pieces = plan.fabrics.iter().flat_map(|fabric| &fabric.placements);
        let mut sizes = pieces
            .filter(|piece| {
                // A shared template is named for all of its pieces, and drawn as the first.
                one.name.split([',', ' ']).next() == Some(&short_name(plan, piece))
            })
            .map(|piece| [0, 1].map(|axis| extent(&piece.cut, axis) + 10.0));
        let drawn = [one.scene.width_mm, one.scene.height_mm];
        let is_drawn = |size: [f64; 2]| (0..2).all(|i| (size[i] - drawn[i]).abs() < 1e-6);
        assert!(sizes.any(is_drawn), "{}: {drawn:?}", one.name);
    }
}

/// The motif's letter and the piece's, as templates are named.
fn short_name(plan: &Plan, placement: &PlacedPiece) -> String {
    let motif = plan
        .motifs
        .iter()
        .find(|m| m.name == placement.motif)
        .unwrap();
    let piece = motif
        .pieces
        .iter()
        .find(|p| p.piece == placement.piece)
        .unwrap();
    format!("{}{}", motif.letter, piece.mark)
}

fn extent(ring: &[[f64; 2]], axis: usize) -> f64 {
    let along = ring.iter().map(|p| p[axis]);
    let (low, high) = along.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| {
        (low.min(x), high.max(x))
    });
    high - low
}
