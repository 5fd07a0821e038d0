//! Words on paper: none lies on another, none leaves its page, none is too small, and no
//! code lies on a cross. By the boxes of the drawings' own font, and as poppler reads pages.

use crate::demo::{EXAMPLES, example};
use crate::outside::{folder, has, run};
use geo::Intersects;
use std::process::Command;
use stripe_core::draw::scene::{self, Item, Scene, Text};
use stripe_core::draw::{Drawings, Method, Paper, Stripes, pdf, templates};
use stripe_core::plan::Plan;
use stripe_core::shape::{Point, point};

/// Boxes may share so much (mm): less than the line of a letter is thick.
const SLACK_MM: f64 = 0.1;
/// 7 point (mm); a point is a 72nd of an inch.
const LEAST_MM: f64 = 7.0 * 25.4 / 72.0;

/// What is wrong with the words of a scene.
fn faults(scene: &Scene) -> Vec<String> {
    let boxes = scene.text_boxes();
    let mut faults = Vec::new();
    for (i, a) in boxes.iter().enumerate() {
        if !a.is_within(scene.width_mm, scene.height_mm) {
            faults.push(format!("{}: {:?} leaves the page", scene.title, a.words));
        }
        for b in &boxes[i + 1..] {
            if a.overlaps(b, SLACK_MM) {
                faults.push(format!(
                    "{}: {:?} lies on {:?}",
                    scene.title, a.words, b.words
                ));
            }
        }
    }
    faults
}

/// Maps and motif pictures, then the pictures of the quilt.
fn drawn(name: &str, paper: Paper, method: Method) -> [Vec<Scene>; 2] {
    let all = Drawings::new(&example(name), paper, method).unwrap();
    let mut ours: Vec<Scene> = all.maps.into_iter().flatten().collect();
    ours.extend(all.motif_pictures.into_iter().map(|one| one.scene));
    [
        ours,
        all.quilt.into_iter().chain(all.placement_guide).collect(),
    ]
}

const WAYS: [(Paper, Method); 2] = [
    (Paper::Letter, Method::PaperOnRightSide),
    (Paper::A4, Method::TracedOnWrongSide),
];

#[test]
fn words_lie_side_by_side_on_their_page() {
    let mut found = Vec::new();
    let mut count = 0;
    for name in EXAMPLES {
        for (paper, method) in WAYS {
            let [ours, quilt] = drawn(name, paper, method);
            for scene in ours.iter().chain(&quilt) {
                count += scene.text_boxes().len();
                found.extend(
                    faults(scene)
                        .into_iter()
                        .map(|fault| format!("{name}: {fault}")),
                );
            }
            for scene in &ours {
                for one in scene
                    .text_boxes()
                    .iter()
                    .filter(|one| one.size_mm < LEAST_MM)
                {
                    found.push(format!("{name}: {:?} is too small", one.words));
                }
            }
        }
    }
    println!("{count} lines of words");
    assert!(count > 2000);
    assert!(
        found.is_empty(),
        "{} faults\n{}",
        found.len(),
        found.join("\n")
    );
}

/// A sheet without what is cut off at a window: a template that runs over several sheets is
/// drawn on each of them as a whole.
fn unclipped(sheet: &Scene) -> Scene {
    let mut sheet = sheet.clone();
    sheet
        .items
        .retain(|item| !matches!(item, Item::Group(group) if !group.clip.is_empty()));
    sheet
}

/// What is wrong with the words of a template sheet: as of all drawings, and none below 7 points.
fn sheet_faults(sheet: &Scene) -> Vec<String> {
    let sheet = unclipped(sheet);
    let mut found = faults(&sheet);
    let small = sheet.text_boxes().into_iter();
    found.extend(
        small
            .filter(|one| one.size_mm < LEAST_MM - 1e-3)
            .map(|one| format!("{}: {:?} is too small", sheet.title, one.words)),
    );
    found
}

/// The same of template sheets, of every method, with stripes and without.
#[test]
fn words_of_templates_lie_side_by_side() {
    let (mut found, mut count) = (Vec::new(), 0);
    for name in EXAMPLES {
        let plan = example(name);
        for (i, method) in Method::ALL.into_iter().enumerate() {
            let paper = [Paper::Letter, Paper::A4][i % 2];
            for stripes in [Stripes::Shown, Stripes::Left] {
                for sheet in templates(&plan, paper, method, stripes).unwrap().sheets {
                    count += sheet.text_boxes().len();
                    let told = sheet_faults(&sheet).into_iter();
                    found.extend(told.map(|one| format!("{name} {method:?} {stripes:?}: {one}")));
                }
            }
        }
    }
    println!("{count} lines of words");
    assert!(count > 10_000, "{count}");
    assert!(
        found.is_empty(),
        "{} faults\n{}",
        found.len(),
        found.join("\n")
    );
    // It finds what is planted: words on others, and small ones.
    let method = Method::TracedBehind;
    let made = templates(&example("galley"), Paper::Letter, method, Stripes::Shown).unwrap();
    let sheet = &made.sheets[1];
    let there = sheet.text_boxes()[3].corners[3];
    let mut planted = sheet.clone();
    planted
        .items
        .push(Text::new(point(there.x + 0.5, there.y), 2.3, "here").into());
    let found = sheet_faults(&planted).join("; ");
    assert!(
        found.contains("lies on") && found.contains("too small"),
        "{found}"
    );
}

/// No mark is nearer to a selvage or to the cut end than a quarter of an inch, where it could be
/// neither measured nor marked, and each lies on its piece.
#[test]
fn every_measured_point_can_be_marked() {
    let off = |plan: &Plan| -> Vec<String> {
        let mut found = Vec::new();
        for fabric in &plan.fabrics {
            for piece in &fabric.placements {
                let at = piece.mark_on_fabric();
                let edge = at.x.min(fabric.width_mm - at.x).min(at.y);
                let on_piece = piece
                    .cut_region()
                    .intersects(&geo::Point::new(piece.mark[0], piece.mark[1]));
                if edge < 6.35 || !on_piece {
                    found.push(format!("{} {:.2} mm, on it: {on_piece}", piece.label, edge));
                }
            }
        }
        found
    };
    for name in EXAMPLES {
        let plan = example(name);
        let found = off(&plan);
        assert!(found.is_empty(), "{name}: {found:?}");
    }
    // It finds what is planted: a mark on the cut end.
    let mut planted = example("galley");
    let piece = &mut planted.fabrics[0].placements[0];
    piece.to_fabric.dy_mm -= piece.mark_on_fabric().y;
    assert_eq!(off(&planted).len(), 1);
}

/// The tests above would find what they look for.
#[test]
fn planted_faults_are_found() {
    let [ours, _] = drawn("galley", Paper::Letter, Method::PaperOnRightSide);
    let sheet = &ours[0];
    assert!(faults(sheet).is_empty());
    let there = sheet.text_boxes()[5].corners[3];
    let mut planted = sheet.clone();
    planted
        .items
        .push(Text::new(point(there.x + 0.5, there.y + 0.5), 3.0, "here").into());
    let found = faults(&planted);
    assert!(
        found.len() == 1 && found[0].contains("lies on"),
        "{found:?}"
    );
    let mut planted = sheet.clone();
    let edge = point(sheet.width_mm - 2.0, 4.0);
    planted
        .items
        .push(Text::new(edge, 3.0, "out of the page").into());
    let found = faults(&planted);
    assert!(found.len() == 1 && found[0].contains("leaves"), "{found:?}");
}

/// A box: left, top, right, bottom.
type Rect = [f64; 4];

fn share(a: Rect, b: Rect, slack: f64) -> bool {
    a[2].min(b[2]) - a[0].max(b[0]) > slack && a[3].min(b[3]) - a[1].max(b[1]) > slack
}

/// The groups of that name, wherever they are.
fn groups<'s>(items: &'s [Item], name: &str) -> Vec<&'s [Item]> {
    let mut found = Vec::new();
    for item in items {
        if let Item::Group(group) = item {
            if group.name.as_deref() == Some(name) {
                found.push(&group.items[..]);
            } else {
                found.extend(groups(&group.items, name));
            }
        }
    }
    found
}

/// All lines, or all plates, of some items.
fn boxes(items: &[Item], plates: bool, into: &mut Vec<Rect>) {
    for item in items {
        match item {
            Item::Group(group) => boxes(&group.items, plates, into),
            Item::Path(path)
                if plates == (path.fill.is_some() && path.lines[0].points.len() == 4) =>
            {
                for line in &path.lines {
                    let x = || line.points.iter().map(|p| p.x);
                    let y = || line.points.iter().map(|p| p.y);
                    into.push([
                        x().fold(f64::INFINITY, f64::min),
                        y().fold(f64::INFINITY, f64::min),
                        x().fold(f64::NEG_INFINITY, f64::max),
                        y().fold(f64::NEG_INFINITY, f64::max),
                    ]);
                }
            }
            Item::Path(_) | Item::Text(_) | Item::Shown(_) => {}
        }
    }
}

/// A plate is clear of the middle half of every stroke of every cross.
#[test]
fn no_code_lies_on_a_cross() {
    let mut crosses = 0;
    for name in EXAMPLES {
        for (paper, method) in WAYS {
            let [ours, _] = drawn(name, paper, method);
            for sheet in &ours {
                let (mut plates, mut strokes) = (Vec::new(), Vec::new());
                for names in groups(&sheet.items, "names") {
                    boxes(names, true, &mut plates);
                }
                for marks in groups(&sheet.items, "marks") {
                    boxes(marks, false, &mut strokes);
                }
                crosses += strokes.len();
                for stroke in &strokes {
                    // The box of a slanting stroke is larger than the stroke.
                    let (x, y) = ((stroke[0] + stroke[2]) / 2.0, (stroke[1] + stroke[3]) / 2.0);
                    let core = [x - 0.05, y - 0.05, x + 0.05, y + 0.05];
                    for plate in &plates {
                        assert!(
                            !share(*plate, core, 0.0),
                            "{name}: {} at {core:?}",
                            sheet.title
                        );
                    }
                }
            }
        }
    }
    assert!(crosses > 1000, "{crosses}");
}

/// All straight lines of some items.
fn lines(items: &[Item], into: &mut Vec<[Point; 2]>) {
    for item in items {
        match item {
            Item::Group(group) => lines(&group.items, into),
            Item::Path(path) => {
                for line in &path.lines {
                    into.extend(line.points.windows(2).map(|pair| [pair[0], pair[1]]));
                    if line.closed {
                        let ends = line.points.last().zip(line.points.first());
                        into.extend(ends.map(|(a, b)| [*a, *b]));
                    }
                }
            }
            Item::Text(_) | Item::Shown(_) => {}
        }
    }
}

/// Whether a line runs through a box that is smaller by the slack on all sides: by its
/// middle, a tenth of a millimetre at a time.
fn strikes([a, b]: [Point; 2], words: Rect) -> bool {
    let steps = ((b.x - a.x).hypot(b.y - a.y) / 0.1).ceil().max(1.0) as u32;
    (0..=steps).any(|step| {
        let share = f64::from(step) / f64::from(steps);
        let (x, y) = (a.x + share * (b.x - a.x), a.y + share * (b.y - a.y));
        x > words[0] + SLACK_MM
            && x < words[2] - SLACK_MM
            && y > words[1] + SLACK_MM
            && y < words[3] - SLACK_MM
    })
}

/// Codes on a map that a neighbour's cut line or another code's leader runs through. Its own
/// piece's line may: that lies below the plate that the code stands on.
fn struck(sheet: &Scene) -> Vec<String> {
    let mut found = Vec::new();
    let pieces: Vec<Vec<[Point; 2]>> = groups(&sheet.items, "pieces")
        .into_iter()
        .flatten()
        .map(|piece| {
            let mut strokes = Vec::new();
            lines(std::slice::from_ref(piece), &mut strokes);
            strokes
        })
        .collect();
    for names in groups(&sheet.items, "names") {
        let alone = Scene {
            items: names.to_vec(),
            ..sheet.clone()
        };
        let leaders: Vec<[Point; 2]> = names
            .iter()
            .filter_map(|item| match item {
                Item::Path(path) if path.lines.len() == 1 && path.fill.is_none() => {
                    <[Point; 2]>::try_from(&path.lines[0].points[..]).ok()
                }
                _ => None,
            })
            .collect();
        for words in alone.text_boxes() {
            let [a, _, c, _] = words.corners;
            let rect = [a.x, a.y.min(c.y), c.x, a.y.max(c.y)];
            let through = pieces
                .iter()
                .filter(|piece| piece.iter().any(|line| strikes(*line, rect)))
                .count();
            let led = leaders.iter().filter(|line| strikes(**line, rect)).count();
            if through > 1 || led > 0 {
                found.push(format!(
                    "{}: {} pieces and {led} leaders run through {:?}",
                    sheet.title, through, words.words
                ));
            }
        }
    }
    found
}

#[test]
fn no_code_is_struck_through() {
    let (mut found, mut codes) = (Vec::new(), 0);
    for name in EXAMPLES {
        for (paper, method) in WAYS {
            let [ours, _] = drawn(name, paper, method);
            // The overview shows codes in small print; the sheets that follow are cut from.
            for sheet in ours
                .iter()
                .filter(|one| !one.title.contains("whole fabric"))
            {
                codes += groups(&sheet.items, "names").concat().len();
                found.extend(
                    struck(sheet)
                        .into_iter()
                        .map(|one| format!("{name}: {one}")),
                );
            }
        }
    }
    assert!(codes > 400, "{codes}");
    assert!(found.is_empty(), "{}\n{}", found.len(), found.join("\n"));
    // It finds what is planted: a line through the first code.
    let [ours, _] = drawn("galley", Paper::Letter, Method::PaperOnRightSide);
    let mut planted = ours[0].clone();
    let boxes = planted.text_boxes();
    let code = boxes.iter().find(|one| one.words == "A1b").unwrap();
    let line = vec![code.corners[0], code.corners[2]];
    for item in &mut planted.items {
        if let Item::Group(group) = item
            && group.name.as_deref() == Some("names")
        {
            let stroke = scene::Stroke::ink(0.2);
            group
                .items
                .push(scene::Path::open(line.clone(), stroke).into());
        }
    }
    let found = struck(&planted);
    assert!(found.len() == 1 && found[0].contains("A1b"), "{found:?}");
}

/// The words of each page as poppler sees them.
#[test]
fn words_of_the_pages_lie_side_by_side() {
    if !has("pdftotext") {
        return;
    }
    let mut count = 0;
    for name in EXAMPLES {
        let [ours, _] = drawn(name, Paper::Letter, Method::PaperOnRightSide);
        let file = folder(&format!("layout-{name}")).join("maps.pdf");
        std::fs::write(&file, pdf(&ours, name).unwrap()).unwrap();
        let out = file.with_extension("html");
        run(Command::new("pdftotext").arg("-bbox").arg(&file).arg(&out));
        let text = std::fs::read_to_string(&out).unwrap();
        let pages: Vec<&str> = text.split("<page ").skip(1).collect();
        assert_eq!(pages.len(), ours.len());
        for page in pages {
            let number = |line: &str, key: &str| -> f64 {
                let from = line.find(&format!("{key}=\"")).unwrap() + key.len() + 2;
                let long = line[from..].find('"').unwrap();
                line[from..from + long].parse().unwrap()
            };
            let (width, height) = (number(page, "width"), number(page, "height"));
            // Poppler's boxes are as high as the font's lines: 1.16 sizes, of which letters
            // take 0.97 (ascent and descent of DejaVu Sans, from its tables).
            let words: Vec<(Rect, &str)> = page
                .lines()
                .filter(|line| line.contains("<word "))
                .map(|line| {
                    let [x0, y0, x1, y1] =
                        ["xMin", "yMin", "xMax", "yMax"].map(|key| number(line, key));
                    let (dx, dy) = (0.14 * (x1 - x0).min(y1 - y0), 0.14 * (x1 - x0).min(y1 - y0));
                    ([x0 + dx, y0 + dy, x1 - dx, y1 - dy], line.trim())
                })
                .collect();
            count += words.len();
            for (i, (a, said)) in words.iter().enumerate() {
                assert!(
                    a[0] >= 0.0 && a[1] >= 0.0 && a[2] <= width && a[3] <= height,
                    "{said}"
                );
                for (b, other) in &words[i + 1..] {
                    assert!(!share(*a, *b, 0.3), "{name}: {said} lies on {other}");
                }
            }
        }
    }
    println!("{count} words");
    assert!(count > 2000, "{count}");
}
