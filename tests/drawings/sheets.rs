//! What template sheets say, and that nothing on them hides another.

use crate::demo::{example, plan};
use crate::outside::{folder, has, run};
use std::path::Path;
use std::process::Command;
use stripe_core::draw::scene::{Item, Text};
use stripe_core::draw::{
    Method, Paper, Scene, Stripes, Templates, machine_templates, pdf, placement_guide, templates,
};
use stripe_core::lay::{Control, Effort};
use stripe_core::plan::{Plan, make};
use stripe_core::project::Project;
use stripe_core::shape::point;

/// Eight wheels of plain wedges, and as many half circles of two striped wedges.
fn wheels() -> Plan {
    let mut text = String::from(
        "title = \"wheels\"\nunit = \"in\"\n[fabric.plain]\nwidth = 42\ncolour = \"#335577\"\n[fabric.deck]\nwidth = 42\nfaces = \"both\"\n[fabric.deck.stripe]\nbands = [{ name = \"navy\", width = 1, colour = \"#1f3a5f\" }, { name = \"sail\", width = \"1/2\", colour = \"#f2ead8\" }]\n",
    );
    for i in 1..=8 {
        text += &format!(
            "[motif.w{i}]\ncopies = 6\n[[motif.w{i}.part]]\nname = \"wheel\"\nfabric = \"plain\"\nshape = \"fan\"\nwedges = 4\nhub = 1\nrim = {}\n[motif.h{i}]\ncopies = 6\n[[motif.h{i}.part]]\nname = \"fan\"\nfabric = \"deck\"\nshape = \"fan\"\nwedges = 2\nsweep = 180\nhub = 1\nrim = 2\nmeet = \"seam\"\nends = \"seam\"\noffset = 0\n",
            2.0 + f64::from(i) / 4.0
        );
    }
    let project = Project::read(&text).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let effort = Effort {
        seed: 1,
        streams: 1,
        rounds: 1,
        work: 20_000,
    };
    let control = Control {
        stop: None,
        progress: None,
    };
    make(&project, &effort, &control).unwrap()
}

/// Four plain wedges of one wheel are one shape: one template, cut 24 for six wheels. And a
/// blank template serves every piece of one shape, striped or not.
#[test]
fn one_shape_is_one_template() {
    let plan = wheels();
    let count = |stripes| {
        let method = Method::PaperOnRightSide;
        let made = templates(&plan, Paper::Letter, method, stripes).unwrap();
        let wheels = made
            .entries
            .iter()
            .filter(|entry| entry.piece.starts_with("wheel"));
        let counts: Vec<usize> = wheels.map(|entry| entry.count).collect();
        assert_eq!(counts, [24; 8], "{:#?}", made.entries);
        let first = made
            .entries
            .iter()
            .find(|entry| entry.piece.starts_with("wheel"))
            .unwrap();
        println!("{}: {}", first.name, first.labels);
        // Every piece is cut by one template.
        let cut: usize = made.entries.iter().map(|entry| entry.count).sum();
        assert_eq!(cut, 8 * 6 * 6);
        println!(
            "{stripes:?}: {} templates on {} sheets",
            made.entries.len(),
            made.sheets.len()
        );
        made.entries.len()
    };
    let (shown, blank) = (count(Stripes::Shown), count(Stripes::Left));
    assert!(blank < shown, "{blank} blank, {shown} with their stripes");
    // The fans of all motifs are one shape: a half circle's two wedges, mirror images or not.
    assert!(blank <= 8 + 2, "{blank}");
}

/// All texts of a drawing.
fn texts(items: &[Item]) -> Vec<&Text> {
    let mut found = Vec::new();
    for item in items {
        match item {
            Item::Text(text) => found.push(text),
            Item::Group(group) => found.extend(texts(&group.items)),
            _ => {}
        }
    }
    found
}

/// What the sheets do not tell of the templates on them: codes that are left out, and pieces
/// that lie wrong side up and are not called reversed.
fn untold(made: &Templates) -> Vec<String> {
    let mut found = Vec::new();
    for entry in &made.entries {
        let sheet = &made.sheets[entry.sheets[0] - 1];
        let said: Vec<&str> = texts(&sheet.items)
            .iter()
            .map(|t| t.words.as_str())
            .collect();
        let said = said.join(" ");
        if said.contains(" more") {
            found.push(format!("{}: cut short", entry.name));
        }
        // Its name stands on the template itself: the words below it are cut off.
        let is_name = |words: &str| {
            let rest = words.strip_prefix(entry.name.as_str());
            rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(':'))
        };
        let named = texts(&sheet.items)
            .into_iter()
            .any(|text| text.bold && is_name(&text.words));
        if entry.count > 0 && !named {
            found.push(format!("{}: not named on the template", entry.name));
        }
        let codes = entry.labels.split([' ', ',']);
        for word in codes.filter(|w| !w.is_empty() && *w != "to") {
            if !said.contains(word) {
                found.push(format!("{}: {word} is not told", entry.name));
            }
        }
        if entry.face_down > 0 && !said.contains("eversed") {
            found.push(format!("{}: not called reversed", entry.name));
        }
    }
    found
}

/// What a text is changed to.
type Change<'a> = &'a dyn Fn(&str) -> String;

/// The same items with some of the texts changed.
fn retold(items: &[Item], change: Change<'_>) -> Vec<Item> {
    let one = |item: &Item| match item {
        Item::Text(text) => Item::Text(Text {
            words: change(&text.words),
            ..text.clone()
        }),
        Item::Group(group) => {
            let mut group = group.clone();
            group.items = retold(&group.items, change);
            Item::Group(group)
        }
        other => other.clone(),
    };
    items.iter().map(one).collect()
}

/// Lists are whole, and what lies wrong side up is called reversed wherever it is told.
#[test]
fn lists_are_whole_and_reversed_pieces_are_named() {
    let made = templates(
        plan(),
        Paper::Letter,
        Method::PaperOnRightSide,
        Stripes::Shown,
    )
    .unwrap();
    assert_eq!(untold(&made), Vec::<String>::new());
    let reversed = made.entries.iter().filter(|entry| entry.face_down > 0);
    assert!(reversed.count() >= 2);
    let lying = plan().fabrics.iter().flat_map(|fabric| &fabric.placements);
    let lying = lying.filter(|piece| piece.to_fabric.mirror).count();
    assert_eq!(
        made.entries.iter().map(|e| e.face_down).sum::<usize>(),
        lying
    );
    // A code that is left out, a list that is cut short, a reversed piece that is not called so and
    // a template that is named in words alone are found.
    let last = made.entries[0].labels.rsplit([' ', ',']).next().unwrap();
    let named = format!("{}: ", made.entries[0].name);
    let faults: [(Change<'_>, &str); 4] = [
        (&|words| words.replace(last, ""), "is not told"),
        (&|words| words.replace(last, "and 3 more"), "cut short"),
        (&|words| words.replace("eversed", ""), "not called reversed"),
        (
            &|words| words.replace(&named, ""),
            "not named on the template",
        ),
    ];
    for (change, wanted) in faults {
        let mut planted = made.clone();
        for sheet in &mut planted.sheets {
            sheet.items = retold(&sheet.items, change);
        }
        let found = untold(&planted);
        assert!(found.iter().any(|one| one.contains(wanted)), "{found:?}");
    }
}

/// Blank sheets have no ticks, neither for printers nor for machines.
#[test]
fn blank_sheets_show_no_stripe() {
    for name in ["harbour", "skerry"] {
        let plan = example(name);
        let method = Method::PaperOnWrongSide;
        let made = templates(&plan, Paper::A4, method, Stripes::Left).unwrap();
        assert!(made.entries.iter().all(|entry| entry.ticks.is_empty()));
        let bands: Vec<&str> = plan
            .fabrics
            .iter()
            .filter_map(|fabric| fabric.stripe.as_ref())
            .flat_map(|stripe| stripe.bands().iter().map(|band| band.name.as_str()))
            .collect();
        for sheet in &made.sheets {
            for text in texts(&sheet.items) {
                assert!(!bands.contains(&text.words.as_str()), "{}", text.words);
                assert_ne!(text.words, "two bands meet");
            }
        }
        for one in machine_templates(&plan, method, Stripes::Left).unwrap() {
            assert!(!stripe_core::draw::svg(&one.scene).contains("id=\"ticks\""));
        }
    }
}

/// On overlay sheets a solid line is the finished edge: nothing there is called the cut line.
#[test]
fn the_legend_of_an_overlay_is_true() {
    let made = templates(plan(), Paper::Letter, Method::Overlay, Stripes::Shown).unwrap();
    let mut seen = [0, 0];
    for entry in &made.entries {
        let whole = entry.piece == "the whole motif";
        for sheet in &entry.sheets {
            let words: Vec<&str> = texts(&made.sheets[sheet - 1].items)
                .iter()
                .map(|t| t.words.as_str())
                .collect();
            assert_eq!(words.contains(&"cut"), !whole, "sheet {sheet}: {words:?}");
            assert_eq!(words.contains(&"finished edge"), whole, "sheet {sheet}");
            // What a sheet of several has to be joined by is told there.
            let several = entry.sheets.len() > 1;
            assert_eq!(words.contains(&"join two sheets"), several, "sheet {sheet}");
            seen[usize::from(whole)] += 1;
        }
    }
    assert!(seen[0] > 3 && seen[1] > 3, "{seen:?}");
}

/// A word on a page: left, top, right, bottom (points).
type Word = ([f64; 4], String);

/// The words of each page with their boxes, as poppler finds them, trimmed to the letters.
fn words(pdf: &Path) -> Vec<Vec<Word>> {
    let (said, _) = run(Command::new("pdftotext").arg("-bbox").arg(pdf).arg("-"));
    let number = |line: &str, name: &str| -> f64 {
        let from = line.find(&format!("{name}=\"")).unwrap() + name.len() + 2;
        line[from..].split('"').next().unwrap().parse().unwrap()
    };
    let mut pages = Vec::new();
    for page in said.split("<page ").skip(1) {
        let lines = page.lines().filter(|line| line.contains("<word "));
        let words = lines.map(|line| {
            let [x0, y0, x1, y1] = ["xMin", "yMin", "xMax", "yMax"].map(|n| number(line, n));
            let text = line.split('>').nth(1).unwrap().split('<').next().unwrap();
            // Boxes are as high as the font's tallest and deepest letters.
            let (dx, dy) = (0.14 * (x1 - x0).min(y1 - y0), 0.14 * (x1 - x0).min(y1 - y0));
            ([x0 + dx, y0 + dy, x1 - dx, y1 - dy], text.to_owned())
        });
        pages.push(words.collect());
    }
    pages
}

/// Pairs of words that lie over each other.
fn overlaps(words: &[Word]) -> Vec<String> {
    let mut found = Vec::new();
    for (i, (a, said)) in words.iter().enumerate() {
        for (b, other) in &words[..i] {
            let wide = a[2].min(b[2]) - a[0].max(b[0]);
            let high = a[3].min(b[3]) - a[1].max(b[1]);
            if wide > 0.3 && high > 0.3 {
                found.push(format!("{said} over {other}"));
            }
        }
    }
    found
}

fn pages_of(name: &str, scenes: &[Scene]) -> Vec<Vec<Word>> {
    let file = folder(name).join("pages.pdf");
    std::fs::write(&file, pdf(scenes, "pages").unwrap()).unwrap();
    words(&file)
}

#[test]
fn no_word_lies_over_another() {
    if !has("pdftotext") {
        return;
    }
    for name in ["harbour", "skerry", "galley"] {
        let plan = example(name);
        for (method, stripes) in [
            (Method::PaperOnRightSide, Stripes::Shown),
            (Method::TracedBehind, Stripes::Left),
        ] {
            let made = templates(&plan, Paper::Letter, method, stripes).unwrap();
            let pages = pages_of(&format!("words-{name}-{stripes:?}"), &made.sheets);
            assert_eq!(pages.len(), made.sheets.len());
            for (i, words) in pages.iter().enumerate() {
                // Of what runs over several sheets poppler reads the words that are cut off too.
                if made.sheets[i].title.contains(", part ") {
                    continue;
                }
                let found = overlaps(words);
                assert!(
                    found.is_empty(),
                    "{name} {stripes:?}, sheet {}: {found:?}",
                    i + 1
                );
            }
        }
    }
}

/// No label of the placement guide lies over another, and all are there; the guide fits a
/// page of A4 and of Letter at its own size.
#[test]
fn the_placement_guide_can_be_read() {
    if !has("pdftotext") {
        return;
    }
    for name in ["harbour", "skerry"] {
        let plan = example(name);
        let guide = placement_guide(&plan).unwrap();
        assert!(guide.width_mm <= 190.0 && guide.height_mm <= 260.0);
        let pages = pages_of(&format!("guide-{name}"), std::slice::from_ref(&guide));
        let found = overlaps(&pages[0]);
        assert!(found.is_empty(), "{name}: {found:?}");
        for spot in &plan.quilt.as_ref().unwrap().spots {
            assert!(
                pages[0].iter().any(|(_, said)| *said == spot.label),
                "{}",
                spot.label
            );
        }
    }
    // A label that is put over another is found.
    let mut guide = placement_guide(plan()).unwrap();
    let label = |mm: f64| Item::Text(Text::new(point(30.0, mm), 2.8, "W9").bold());
    guide.items.extend([label(60.0), label(61.0)]);
    assert!(!overlaps(&pages_of("guide-planted", &[guide])[0]).is_empty());
}
