//! Template sheets as they come out of poppler.

use crate::demo::plan;
use crate::outside::{folder, has, run};
use image::GrayImage;
use std::path::Path;
use std::process::Command;
use stripe_core::draw::{Method, Paper, Templates, machine_templates, pdf, templates};

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
    let made = templates(plan(), paper, method).unwrap();
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
        let (file, made) = written(&format!("sizes-{paper:?}"), paper, Method::PaperOnFace);
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
    let (file, made) = written("bars", Paper::Letter, Method::PaperOnFace);
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

/// A template's cut line, measured on the page, is as wide and as high as the plan
/// says; its pen is 0.35 mm.
#[test]
fn templates_come_out_at_true_size() {
    if !has("pdftoppm") {
        return;
    }
    let (file, made) = written("true-size", Paper::Letter, Method::TracedOnBack);
    let mut measured = 0;
    for number in 0..made.sheets.len() {
        let alone: Vec<_> = made
            .entries
            .iter()
            .filter(|entry| entry.sheets == [number + 1])
            .collect();
        // Alone on its sheet, so that nothing else is measured.
        let [entry] = alone[..] else { continue };
        let piece = plan()
            .cloths
            .iter()
            .flat_map(|cloth| &cloth.placements)
            .find(|piece| piece.id == entry.drawn_from)
            .unwrap();
        // From edge to edge of the cut line, or of the cross, whose arms of 1.1 mm
        // and 3 mm (upwards) may stand out over it.
        let range = |axis: usize, before: f64, after: f64| {
            let cross = [piece.mark[axis] - before, piece.mark[axis] + after];
            // The pen is 0.35 mm wide, half of it outside of the cut line.
            let cut = piece
                .cut
                .iter()
                .flat_map(|p| [p[axis] - 0.175, p[axis] + 0.175]);
            let all = cut.chain(cross);
            let (low, high) = all.fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)));
            high - low
        };
        let picture = page(&file, number + 1, 300);
        let per_mm = 300.0 / 25.4;
        // Below the title, above caption and bars: the rows of the drawing itself.
        let top = ((12.7 + 16.0 - 0.5) * per_mm) as u32;
        let bottom = picture.height() - ((12.7 + 21.0) * per_mm) as u32;
        let dark: Vec<[u32; 3]> = (top..bottom)
            .filter_map(|row| {
                let span = dark_span(&picture, row, 0..picture.width())?;
                Some([row, span[0], span[1]])
            })
            .collect();
        // The caption stands below, after a gap.
        let rows = dark.chunk_by(|a, b| b[0] - a[0] < 6).next().unwrap();
        let left = rows.iter().map(|r| r[1]).min().unwrap();
        let right = rows.iter().map(|r| r[2]).max().unwrap();
        let wanted = [range(0, 1.1, 1.1), range(1, 1.1, 3.0)];
        if wanted[0] < 90.0 {
            continue;
        }
        let width = f64::from(right - left + 1) / per_mm;
        let fits = wanted.iter().any(|wanted| (width - wanted).abs() < 0.13);
        assert!(fits, "{}: {width:.2} mm for {wanted:.2?}", entry.name);
        measured += 1;
    }
    println!("{measured} templates measured");
    assert!(measured > 0);
}

/// Every template of the demo is also drawn for cutting machines, at the plan's size.
#[test]
fn machine_drawings_have_the_size_of_their_piece() {
    for one in machine_templates(plan(), Method::PaperOnFace).unwrap() {
        let text = stripe_core::draw::svg(&one.scene);
        assert!(text.contains("<g id=\"cut\">") && text.contains("mm\" height=\""));
        assert!(one.scene.width_mm > 15.0);
    }
}
