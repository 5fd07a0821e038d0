//! The pattern for another stripe: its pieces slid apart against polygon Booleans and the plan's
//! own stripe frames, its two measures against each other, its pages as poppler reads them.

use crate::booklet::print;
use crate::demo::{EXAMPLES, example, plan};
use crate::outside::{folder, has, run};
use crate::printed::{headings, on_paper, orphans, pages, signed};
use geo::{Area, BooleanOps, Distance, Euclidean};
use std::collections::BTreeMap;
use std::process::Command;
use stripe_core::booklet::{PatternWords, pattern};
use stripe_core::draw::{Move, Paper, SlidApart, pdf, slid_apart};
use stripe_core::length::{INCH_MM, Length, Unit};
use stripe_core::plan::{PlacedPiece, Plan, StripesRun};
use stripe_core::shape::{Region, point};

fn piece<'a>(plan: &'a Plan, one: &Move) -> &'a PlacedPiece {
    let mut all = plan.fabrics.iter().flat_map(|fabric| &fabric.placements);
    all.find(|piece| piece.id == one.id).unwrap()
}

fn laid(plan: &Plan, one: &Move) -> Region {
    one.on_stripe.apply_to(&piece(plan, one).cut_region())
}

/// How far a length is from the nearest multiple of another.
fn off(mm: f64, repeat_mm: f64) -> f64 {
    (mm - (mm / repeat_mm).round() * repeat_mm).abs()
}

/// The least gap between the cut lines of two pieces of a picture, or less than nothing: the
/// square root of the area on which they overlap.
fn least_gap(plan: &Plan, apart: &SlidApart) -> f64 {
    let regions: Vec<Region> = apart.moves.iter().map(|one| laid(plan, one)).collect();
    let mut least = f64::INFINITY;
    for (i, a) in regions.iter().enumerate() {
        for b in &regions[i + 1..] {
            let overlap = a.intersection(b).unsigned_area();
            least = least.min(if overlap > 1e-6 {
                -overlap.sqrt()
            } else {
                Euclidean.distance(a, b)
            });
        }
    }
    least
}

/// Each pair of pieces is moved against its places in the motif by whole repeats across the
/// stripe, each piece lies so that the phase its frame asks for is the fabric's, and no two cut
/// lines come nearer to each other than the gap: asked of polygons and of the plan's frames.
#[test]
fn pieces_are_slid_apart_by_whole_repeats() {
    let mut seen = [0, 0];
    for name in EXAMPLES.into_iter().chain(["locker"]) {
        let plan = example(name);
        for apart in slid_apart(&plan).unwrap() {
            let what = format!("{name}, {}, {}", apart.motif, apart.fabric);
            let repeat = apart.repeat_mm;
            let mut at_zero: Vec<f64> = Vec::new();
            for one in &apart.moves {
                let piece = piece(&plan, one);
                let moved = one.on_stripe.shift - one.in_place.shift;
                assert!(
                    off(moved.x, repeat) < 1e-9 && !one.on_stripe.mirror,
                    "{what}"
                );
                assert!((moved.x - one.repeats as f64 * repeat).abs() < 1e-9);
                assert!((moved.y - one.along_mm).abs() < 1e-9);
                seen[0] += usize::from(one.repeats != 0 || one.along_mm != 0.0);
                // u on the stripe less m.q + phase in the motif is one number, modulo the repeat.
                let m = piece.normal_deg.unwrap().to_radians();
                for &[x, y] in piece.cut.iter().step_by(5) {
                    let u = one.on_stripe.apply(point(x, y)).x;
                    let asked = x * m.cos() + y * m.sin() + piece.phase_at_centre_mm.unwrap();
                    at_zero.push(u - asked);
                }
                // The centre line is x = 0: what lies there is the part's own offset.
                if piece.stripes != Some(StripesRun::Rings) {
                    let offset = piece.offset_mm.unwrap();
                    assert!(
                        off(at_zero.last().unwrap() + offset, repeat) < 1e-3,
                        "{what}"
                    );
                }
            }
            for one in &at_zero {
                assert!(off(one - at_zero[0], repeat) < 1e-3, "{what}: {one}");
            }
            let gap = least_gap(&plan, &apart);
            // Points of mitres are trimmed, and lengths are rounded to a thousandth.
            let asked = if apart.moves.len() > 1 {
                plan.making.gap_mm
            } else {
                0.0
            };
            assert!(gap > asked - 0.01, "{what}: {gap}");
            seen[1] += 1;
            // In their places in the motif they overlap, or nothing would have to be moved.
            let mut still = apart.clone();
            for one in &mut still.moves {
                one.on_stripe = one.in_place;
            }
            let moved = apart.moves.iter().any(|one| one.on_stripe != one.in_place);
            assert!(!moved || least_gap(&plan, &still) < asked - 0.01, "{what}");
        }
    }
    println!("{} pieces moved in {} pictures", seen[0], seen[1]);
    assert!(seen[0] > 15 && seen[1] > 8, "{seen:?}");
}

/// The picture's moves are said to hold for a range of repeats: at both ends of it and between
/// pieces keep apart, polygon by polygon.
#[test]
fn moves_hold_for_the_repeats_that_are_told() {
    let mut across = 0;
    for name in EXAMPLES {
        let plan = example(name);
        for apart in slid_apart(&plan).unwrap() {
            across += usize::from(apart.moves.iter().any(|one| one.repeats != 0));
            let most = apart.to_mm.unwrap_or(20.0 * INCH_MM);
            for share in [0.0, 0.3, 0.7, 1.0] {
                let repeat = apart.from_mm + share * (most - apart.from_mm);
                let mut other = apart.clone();
                for one in &mut other.moves {
                    let more = one.repeats as f64 * (repeat - apart.repeat_mm);
                    one.on_stripe.shift.x += more;
                }
                let gap = least_gap(&plan, &other);
                let alone = other.moves.len() == 1;
                assert!(
                    alone || gap > plan.making.gap_mm - 0.01,
                    "{name}, {}: {gap} at {repeat}",
                    apart.motif
                );
            }
        }
    }
    assert!(across >= 2, "{across}");
}

/// All lengths that are told twice: `12 1/2 in (31.8 cm)` or the other way round.
fn told_twice(words: &str) -> Vec<[f64; 2]> {
    let words = words.replace('\u{a0}', " ");
    let mut found = Vec::new();
    for (at, _) in words.match_indices(" (") {
        let Some(end) = words[at..].find(')') else {
            continue;
        };
        let inner = &words[at + 2..at + end];
        let unit = |text: &str| {
            ["in", "cm", "mm"]
                .into_iter()
                .find(|u| text.ends_with(&format!(" {u}")))
        };
        let before = &words[..at];
        let (Some(one), Some(other)) = (unit(before), unit(inner)) else {
            continue;
        };
        let number = before[..before.len() - one.len() - 1]
            .rfind(|c: char| !(c.is_ascii_digit() || " /.".contains(c)))
            .map_or(0, |i| i + 1);
        let number = before[number..].trim_start_matches(['.', ' ']);
        let read = |text: &str| Length::read(text.trim(), Unit::Inch).map(Length::to_mm);
        if let (Ok(a), Ok(b), true) = (read(number), read(inner), one != other) {
            found.push([a, b]);
        }
    }
    found
}

/// Inches and centimetres are nowhere more than 1/16 in apart, and what is asked for in a shop
/// is in metres no less than in yards, by less than a step.
#[test]
fn the_two_measures_agree() {
    let mut count = 0;
    for name in EXAMPLES {
        let plan = example(name);
        let made = pattern(&plan, Paper::Letter, &PatternWords::default()).unwrap();
        for [a, b] in told_twice(&made.html) {
            assert!(
                (a - b).abs() <= INCH_MM / 16.0 + 1e-6,
                "{name}: {a} and {b}"
            );
            count += 1;
        }
    }
    assert!(count > 200, "{count}");
    assert_eq!(told_twice("cut 9 1/2 in (24.1 cm) wide").len(), 1);
    let [[a, b]] = told_twice("2 cm (1 in)")[..] else {
        panic!()
    };
    assert!((a - b).abs() > 5.0);
    let html = pattern(plan(), Paper::Letter, &PatternWords::default())
        .unwrap()
        .html;
    let html = html.replace('\u{a0}', " ");
    let asks = html
        .split("<td>")
        .filter_map(|cell| cell.split("</td>").next()?.split_once(" yd or "));
    let asks: Vec<(f64, f64)> = asks
        .map(|(yards, metres)| {
            let yards = Length::read(&format!("{yards} yd"), Unit::Inch).unwrap();
            (
                yards.to_mm(),
                Length::read(metres, Unit::Inch).unwrap().to_mm(),
            )
        })
        .collect();
    assert!(asks.len() > 8, "{asks:?}");
    for (yards, metres) in asks {
        assert!(
            metres >= yards - 1e-6 && metres < yards + 100.0,
            "{yards} {metres}"
        );
    }
}

/// What every chapter needs is there, and none of the designer's colours or bands.
#[test]
fn a_pattern_names_no_colour() {
    let words = PatternWords {
        ask_for: vec![(
            "deck".to_owned(),
            "1 1/4 yd if the stripe repeats within 5 in".to_owned(),
        )],
        project_file: Some("pattern.toml".to_owned()),
    };
    let made = pattern(plan(), Paper::A4, &words).unwrap();
    let text = made.html.replace('\u{a0}', " ");
    assert!(text.contains("1 1/4 yd if the stripe repeats within 5 in (12.7 cm)"));
    for heading in [
        "What you need",
        "Choose your centre line",
        "On your own stripe",
        "To colour in",
        "My quilt",
    ] {
        assert!(text.contains(&format!("<h2>{heading}</h2>")), "{heading}");
    }
    let fabrics = &plan().fabrics;
    let bands = fabrics
        .iter()
        .filter_map(|f| f.stripe.as_ref())
        .flat_map(|s| s.bands());
    for band in bands {
        let colour = band.colour.to_string();
        assert!(!text.contains(&colour), "{colour}");
        // `slate` is a fabric, too; `sea` is no part of a seam.
        let mut said = text.split(|c: char| !c.is_alphanumeric());
        assert!(
            band.name == "slate" || said.all(|word| word != band.name),
            "{}",
            band.name
        );
    }
    assert!(text.contains("A (deck)") && !text.contains("cutting map"));
    assert_eq!(made.html, pattern(plan(), Paper::A4, &words).unwrap().html);
}

/// A word of a PDF: left, top, right, bottom, in points, and what it says.
type Word = ([f64; 4], String);

/// The words of each page as poppler finds them.
fn words(file: &std::path::Path) -> Vec<Vec<Word>> {
    let (said, _) = run(Command::new("pdftotext").arg("-bbox").arg(file).arg("-"));
    let page = |text: &str| -> Vec<Word> {
        let all = text.split("<word ").skip(1);
        all.map(|word| {
            let side = |name: &str| -> f64 {
                let from = word.find(&format!("{name}=\"")).unwrap() + name.len() + 2;
                word[from..].split('"').next().unwrap().parse().unwrap()
            };
            let says = word.split('>').nth(1).unwrap().split('<').next().unwrap();
            (["xMin", "yMin", "xMax", "yMax"].map(side), says.to_owned())
        })
        .collect()
    };
    said.split("<page ").skip(1).map(page).collect()
}

/// What stands over a picture or empty lines alone, which are no words.
const WITHOUT_WORDS: [&str; 2] = ["To colour in", "Notes"];

/// Headings that must not stand last on their page.
fn with_words(headings: Vec<String>) -> Vec<String> {
    let bare = |heading: &String| WITHOUT_WORDS.contains(&heading.trim_start_matches('¶'));
    headings
        .into_iter()
        .filter(|heading| !bare(heading))
        .collect()
}

/// On either paper: nothing in the margins, no letters under 7 points, no heading last on its
/// page, no page without words.
#[test]
fn pages_can_be_read() {
    if !has("pdftotext") {
        return;
    }
    let folder = folder("pattern");
    for name in ["harbour", "capstan", "skerry"] {
        let plan = example(name);
        for (paper, [wide, high]) in [
            (Paper::Letter, [612.0, 792.0]),
            (Paper::A4, [595.276, 841.89]),
        ] {
            let made = pattern(&plan, paper, &PatternWords::default()).unwrap();
            let file = folder.join(format!("{name}-{paper:?}.pdf"));
            std::fs::write(&file, pdf(&made.sheets, "pattern").unwrap()).unwrap();
            let all = words(&file);
            assert_eq!(all.len(), made.sheets.len());
            for (i, page) in all.iter().enumerate() {
                let what = format!("{name} on {paper:?}, page {}", i + 1);
                assert!(page.len() > 4, "{what}");
                for ([left, top, right, bottom], says) in page {
                    let margin = 12.0 / 25.4 * 72.0;
                    assert!(
                        *left > margin
                            && *right < wide - margin
                            && *top > margin * 0.8
                            && *bottom < high - margin * 0.8,
                        "{what}: {says}"
                    );
                    // Words that stand upright on the page.
                    if says.len() > 2 && right - left > bottom - top {
                        // Poppler's box is as high as the letters' size.
                        let size = bottom - top;
                        assert!(size > 6.95, "{what}: {says} {size}");
                    }
                }
            }
            let headings = with_words(headings(&made.html));
            let texts: Vec<String> = pages(&file)
                .iter()
                .take(made.pages)
                .map(|page| {
                    let lines = page.lines().filter(|line| !line.contains(": pattern"));
                    lines.collect::<Vec<_>>().join("\n")
                })
                .collect();
            assert_eq!(
                orphans(&texts, &headings),
                Vec::<String>::new(),
                "{name} on {paper:?}"
            );
            println!(
                "{name} on {paper:?}: {} pages, {} in all",
                made.pages,
                all.len()
            );
        }
    }
}

/// The HTML prints well, too.
#[test]
fn the_page_prints_on_either_paper() {
    if !(has("chromium") && has("pdftotext")) {
        return;
    }
    let folder = folder("pattern-html");
    let made = pattern(plan(), Paper::Letter, &PatternWords::default()).unwrap();
    let text = signed(&made.html);
    let headings = with_words(headings(&text));
    assert!(headings.len() > 15);
    for paper in ["Letter", "A4"] {
        let page = folder.join(format!("{paper}.html"));
        std::fs::write(&page, on_paper(&text, paper)).unwrap();
        let file = folder.join(format!("{paper}.pdf"));
        print(&folder, &page, &file);
        let pages = pages(&file);
        assert_eq!(orphans(&pages, &headings), Vec::<String>::new(), "{paper}");
        let empty = pages[..pages.len() - 1]
            .iter()
            .filter(|p| p.trim().is_empty());
        // A page to colour in has its heading.
        assert_eq!(empty.count(), 0, "{paper}");
        let mut told: BTreeMap<&str, usize> = BTreeMap::new();
        for heading in &headings {
            let count = pages
                .iter()
                .filter(|page| page.contains(heading.as_str()))
                .count();
            told.insert(heading, count);
        }
        assert!(told.values().all(|&count| count >= 1), "{paper}: {told:?}");
    }
}
