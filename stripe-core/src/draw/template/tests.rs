//! Templates of the small plan and of its variations.

use super::*;
use crate::colour::Colour;
use crate::draw::bands::Fall;
use crate::draw::fixture::{self, check_words};
use crate::draw::map::{self, map};
use crate::draw::paper::MARGIN_MM;
use crate::draw::scene::{Item, Text};
use crate::draw::{pdf, png, svg};
use crate::fabric::{Along, Band, Look};
use crate::length::Unit;
use crate::record::InHandNote;
use crate::shape::{Point, point};

/// The fixture with motifs so many times as large.
fn grown(copies: usize, by: f64) -> Plan {
    let mut plan = fixture::plan(copies, 0.0, Unit::Inch);
    for piece in &mut plan.fabrics[0].placements {
        for at in piece.cut.iter_mut().chain(&mut piece.finished) {
            *at = at.map(|c| c * by);
        }
        piece.mark = piece.mark.map(|c| c * by);
    }
    plan
}

/// Bands that cross the fixture's stripe, climbing by a little.
fn cross(plan: &mut Plan) {
    let band = |width_mm, colour| Band {
        width_mm,
        colour,
        name: format!("weft {width_mm}"),
    };
    let plaid = Along {
        repeat_mm: 23.0,
        start_mm: 4.0,
        shear_mm: 1.5,
        look: Look::Bands(vec![
            band(14.0, Colour::new(30, 90, 60)),
            band(9.0, Colour::new(250, 220, 90)),
        ]),
    };
    let stripe = plan.fabrics[0].stripe.take().unwrap();
    plan.fabrics[0].stripe = Some(stripe.with_along(plaid).unwrap());
}

/// Pieces that fall alike across the stripe, but not along it, share no template.
#[test]
fn a_plaid_tells_pieces_apart_both_ways() {
    let mut plan = fixture::plan(4, 0.0, Unit::Inch);
    for piece in &mut plan.fabrics[0].placements {
        piece.to_fabric.mirror = false;
        piece.to_fabric.rotate_deg = 0.0;
        piece.to_fabric.dx_mm = 0.0;
    }
    let count = |plan: &Plan| {
        let made = templates(
            plan,
            Paper::Letter,
            Method::PaperOnRightSide,
            Stripes::Shown,
        )
        .unwrap();
        made.entries.len()
    };
    let alike = count(&plan);
    cross(&mut plan);
    for (i, piece) in plan.fabrics[0].placements.iter_mut().enumerate() {
        piece.to_fabric.dy_mm = 23.0 * i as f64;
    }
    assert_eq!(count(&plan), alike);
    plan.fabrics[0].placements[2].to_fabric.dy_mm += 5.0;
    assert_eq!(count(&plan), alike + 1);
}

/// What a template is called does not depend on the pieces of fabric that its pieces lie on.
#[test]
fn pieces_of_fabric_in_hand_are_told_in_order() {
    let names = |plan: &Plan| {
        let made = templates(plan, Paper::Letter, Method::PaperOnRightSide, Stripes::Left);
        let entries = made.unwrap().entries.into_iter();
        let mut names: Vec<_> = entries.map(|entry| (entry.name, entry.labels)).collect();
        names.sort();
        names
    };
    let mut plan = fixture::plan(6, 0.0, Unit::Inch);
    let whole = names(&plan);
    let bought = plan.fabrics.remove(0);
    for (i, picked) in [[1, 4], [5, 0], [3, 2]].iter().enumerate() {
        let mut one = bought.clone();
        one.name = format!("{}, remnant {i}", bought.name);
        one.in_hand = Some(InHandNote {
            fabric: bought.name.clone(),
            outline: vec![[0.0, 0.0], [900.0, 0.0], [900.0, 900.0], [0.0, 900.0]],
        });
        let laid = bought.placements.iter().enumerate();
        let here = laid.filter(|(n, _)| picked.contains(&(n % 6)));
        one.placements = here.map(|(_, piece)| piece.clone()).collect();
        plan.fabrics.insert(i, one);
    }
    assert_eq!(names(&plan), whole);
}

#[test]
fn alike_pieces_share_a_template() {
    let plan = fixture::plan(7, 0.0, Unit::Inch);
    let made = templates(
        &plan,
        Paper::Letter,
        Method::PaperOnRightSide,
        Stripes::Shown,
    )
    .unwrap();
    let found: Vec<(&str, usize, usize)> = made
        .entries
        .iter()
        .map(|e| (e.name.as_str(), e.count, e.face_down))
        .collect();
    assert_eq!(found, [("Ha", 7, 1), ("Hb", 7, 1)]);
    assert_eq!(made.sheets.len(), 3);
    let mut plan = plan;
    plan.fabrics[0].placements[4].to_fabric.dx_mm += 3.0;
    let made = templates(
        &plan,
        Paper::Letter,
        Method::PaperOnRightSide,
        Stripes::Shown,
    )
    .unwrap();
    assert_eq!(made.entries.len(), 3);
}

/// On either side of every tick, the drawn fabric has the colours of the bands
/// that the tick names.
#[test]
fn ticks_agree_with_the_fabric() {
    for (normal_deg, plaid) in [(0.0, false), (86.0, false), (0.0, true), (86.0, true)] {
        let mut plan = fixture::plan(3, normal_deg, Unit::Inch);
        if plaid {
            cross(&mut plan);
        }
        let fabric = &plan.fabrics[0];
        let stripe = fabric.stripe.as_ref().unwrap();
        let falls = [
            Some(Fall::on_fabric(stripe)),
            Fall::crossing_on_fabric(stripe),
        ];
        let mut bare = plan.clone();
        bare.fabrics[0].placements.clear();
        let sheet = &map(&bare, &fabric.name, Paper::Letter).unwrap()[0];
        let dpi = 600.0;
        let picture = png(&svg(sheet), dpi).unwrap();
        let picture = image::load_from_memory(&picture).unwrap().to_rgb8();
        let view = map::view_of(sheet, fabric.width_mm);
        let made = templates(
            &plan,
            Paper::Letter,
            Method::PaperOnWrongSide,
            Stripes::Shown,
        )
        .unwrap();
        let mut seen = [0, 0];
        for entry in &made.entries {
            let piece = fabric.placements.iter().find(|p| p.id == entry.drawn_from);
            let map = piece.unwrap().to_fabric.to_rigid();
            for tick in &entry.ticks {
                let own = usize::from(tick.weave == Weave::Crossing);
                let normal = falls[own].unwrap().normal();
                let along = map.turn(tick.end - tick.at);
                let length = along.x.hypot(along.y);
                assert!((along.x * normal.x + along.y * normal.y).abs() < 1e-6 * length);
                let middle = map.apply(point(
                    (tick.at.x + tick.end.x) / 2.0,
                    (tick.at.y + tick.end.y) / 2.0,
                ));
                for (side, band) in [(-1.2, tick.before), (1.2, tick.after)] {
                    let p = point(middle.x + side * normal.x, middle.y + side * normal.y);
                    // Pieces reach over the fabric's edges, where lines and words stand.
                    let inside = |at: f64, high: f64| at > 4.0 && at < high;
                    let drawn =
                        inside(p.x, fabric.width_mm - 4.0) && inside(p.y, fabric.length_mm - 40.0);
                    if plaid && !drawn {
                        continue;
                    }
                    let page = view.apply(p);
                    let px = |mm: f64| (mm / 25.4 * dpi) as u32;
                    let got = picture.get_pixel(px(page.x), px(page.y)).0;
                    let mut bands = [0, 1].map(|i| falls[i].map(|fall| fall.band_at(p)));
                    bands[own] = Some(band);
                    // Beside a border of the other stripe a pixel may be of both.
                    let normals = falls.map(|fall| fall.map(|fall| fall.normal()));
                    let blurred = (0..2).filter(|&i| i != own).any(|i| {
                        let shift = |mm: f64| normals[i].map(|n| p + n * mm);
                        let band = |q: Option<Point>| Some(falls[i]?.band_at(q?));
                        band(shift(-0.5)) != band(shift(0.5))
                    });
                    if blurred {
                        continue;
                    }
                    let colour = |i: usize| {
                        let c = falls[i]?.bands()[bands[i]?].colour;
                        Some([c.red, c.green, c.blue].map(f64::from))
                    };
                    let beneath = colour(0).unwrap();
                    let woven = colour(1).map_or(beneath, |over| {
                        std::array::from_fn(|i| (beneath[i] + over[i]) / 2.0)
                    });
                    let wash = map::WASH;
                    let wanted = woven.map(|c: f64| c * (1.0 - wash) + 255.0 * wash);
                    let far = got.iter().zip(wanted);
                    let far = far
                        .map(|(&a, b)| (f64::from(a) - b).abs())
                        .fold(0.0, f64::max);
                    assert!(far < 4.0, "{tick:?}: {got:?} for {wanted:?}");
                    seen[own] += 1;
                }
            }
        }
        println!("{normal_deg} {plaid}: {seen:?}");
        assert!(seen[0] > if plaid { 25 } else { 60 }, "{seen:?}");
        assert_eq!(seen[1] > 20, plaid, "{seen:?}");
    }
}

fn find<'a>(items: &'a [Item], name: &str) -> Option<&'a [Item]> {
    items.iter().find_map(|item| match item {
        Item::Group(g) if g.name.as_deref() == Some(name) => Some(&g.items[..]),
        Item::Group(g) => find(&g.items, name),
        _ => None,
    })
}

/// Marks of the same name on two sheets lie on the same point of the template,
/// and every mark is on two sheets.
#[test]
fn join_marks_meet() {
    let plan = grown(1, 2.6);
    let made = templates(&plan, Paper::A4, Method::PaperOnRightSide, Stripes::Shown).unwrap();
    let space = room(Paper::A4);
    for entry in &made.entries {
        let all = ready(&plan, Paper::A4, Method::PaperOnRightSide, Stripes::Shown).unwrap();
        let ready = all.iter().find(|r| r.figure.name() == entry.name).unwrap();
        assert!(entry.sheets.len() >= 3 && ready.ways.is_empty());
        let mut marks: Vec<(String, Point, usize)> = Vec::new();
        for (sheet, [column, row]) in entry.sheets.iter().zip(ready.tiles(space)) {
            let scene = &made.sheets[sheet - 1];
            let tiling = ready.tiling(space);
            let joins = find(&scene.items, "joins").unwrap();
            for item in joins {
                if let Item::Text(Text { words, at, .. }) = item {
                    let from = frame::corner();
                    let own = point(
                        at.x - from.x + tiling.starts_x[column],
                        at.y - from.y + tiling.starts_y[row],
                    );
                    // Inside of what can be printed.
                    assert!(at.x > MARGIN_MM && at.x < 210.0 - MARGIN_MM);
                    marks.push((words.clone(), own, *sheet));
                }
            }
        }
        marks.sort_by(|a, b| a.0.cmp(&b.0));
        let pairs: Vec<_> = marks.chunk_by(|a, b| a.0 == b.0).collect();
        let paired = pairs.iter().filter(|pair| pair.len() == 2).count();
        assert!(paired >= 4, "{marks:?}");
        for pair in pairs {
            for other in pair {
                assert!((other.1.x - pair[0].1.x).abs() < 1e-9);
                assert!((other.1.y - pair[0].1.y).abs() < 1e-9);
            }
        }
    }
}

#[test]
fn words_stay_on_the_sheet() {
    let mut plan = fixture::plan(30, 14.0, Unit::Centimetre);
    plan.title = "A title that goes on and on ".repeat(8);
    plan.fabrics[0].name = "a fabric with a long name, too ".repeat(4);
    for method in Method::ALL {
        let made = templates(&plan, Paper::Either, method, Stripes::Shown).unwrap();
        for sheet in &made.sheets {
            assert!(check_words(sheet, MARGIN_MM - 0.6) > 15);
        }
    }
    for one in machine_templates(&plan, Method::TracedOnWrongSide, Stripes::Shown).unwrap() {
        check_words(&one.scene, 0.0);
    }
}

/// Where a whole motif is wanted it is there, at true size, the way round it is used.
#[test]
fn whole_motifs_come_with_their_methods() {
    let plan = fixture::plan(2, 0.0, Unit::Inch);
    for method in Method::ALL {
        let made = templates(&plan, Paper::Letter, method, Stripes::Shown).unwrap();
        let whole = made.entries.iter().filter(|e| e.piece == "the whole motif");
        let wanted = if method.wants_whole_motifs() { 1 } else { 0 };
        assert_eq!(whole.count(), wanted);
    }
    let points = |method| {
        let guide = guides(&plan, method, false).remove(0);
        let pose = pose::Pose {
            mirrored: method.is_mirrored(),
            quarters: 0,
            centre: point(0.0, 0.0),
        };
        let drawn = guide.draw(&pose);
        let lines = drawn.into_iter().filter_map(|item| match item {
            Item::Path(path) => Some(path.lines),
            _ => None,
        });
        let points = lines.flatten().flat_map(|line| line.points);
        points.collect::<Vec<Point>>()
    };
    let (seen, behind) = (points(Method::Overlay), points(Method::TracedBehind));
    assert!(seen.len() > 50 && seen.len() == behind.len());
    for (a, b) in seen.iter().zip(&behind) {
        assert!((a.x + b.x).abs() < 1e-9 && (a.y - b.y).abs() < 1e-9);
    }
    let finished: Vec<Point> = plan.fabrics[0].placements[0]
        .finished
        .iter()
        .map(|&[x, y]| point(x, -y))
        .collect();
    let near = |p: &Point| seen.iter().any(|q| (q.x - p.x).hypot(q.y - p.y) < 1e-9);
    assert!(finished.iter().all(near));
}

#[test]
fn mirrored_templates_are_mirror_images() {
    let plan = fixture::plan(1, 0.0, Unit::Inch);
    let cut = |method| {
        let made = machine_templates(&plan, method, Stripes::Shown).unwrap();
        let scene = &made[0].scene;
        let Some([Item::Path(path)]) = find(&scene.items, "cut") else {
            panic!("no cut line");
        };
        (path.lines[0].points.clone(), scene.width_mm)
    };
    let (seen, width) = cut(Method::PaperOnRightSide);
    let (mirrored, _) = cut(Method::FusibleWeb);
    for (a, b) in seen.iter().zip(&mirrored) {
        assert!((a.x + b.x - width).abs() < 1e-9 && (a.y - b.y).abs() < 1e-9);
    }
}

#[test]
fn the_same_plan_gives_the_same_pdf() {
    let plan = fixture::plan(3, 0.0, Unit::Inch);
    let file = || {
        let made = templates(
            &plan,
            Paper::Either,
            Method::PaperOnWrongSide,
            Stripes::Shown,
        )
        .unwrap();
        pdf(&made.sheets, &plan.title).unwrap()
    };
    let once = file();
    assert!(once.starts_with(b"%PDF"));
    assert!(once == file());
}

/// Writes sheets to look at, where STRIPELAY_LOOK names a folder.
#[test]
#[ignore = "writes pictures for people to look at: it asserts nothing"]
fn look() {
    let Some(folder) = std::env::var_os("STRIPELAY_LOOK") else {
        println!("skipped: STRIPELAY_LOOK names no folder to write pictures to");
        return;
    };
    let folder = std::path::Path::new(&folder);
    for (name, plan, method) in [
        (
            "small",
            fixture::plan(9, 14.0, Unit::Inch),
            Method::PaperOnRightSide,
        ),
        ("large", grown(3, 2.6), Method::PaperOnWrongSide),
    ] {
        let made = templates(&plan, Paper::Letter, method, Stripes::Shown).unwrap();
        for (i, sheet) in made.sheets.iter().enumerate() {
            let file = png(&svg(sheet), 150.0).unwrap();
            std::fs::write(folder.join(format!("template-{name}-{}.png", i + 1)), file).unwrap();
        }
        let file = pdf(&made.sheets, &plan.title).unwrap();
        println!("{name}: {} bytes", file.len());
        std::fs::write(folder.join(format!("template-{name}.pdf")), file).unwrap();
        let machine = machine_templates(&plan, method, Stripes::Shown).unwrap();
        std::fs::write(
            folder.join(format!("machine-{name}.svg")),
            svg(&machine[0].scene),
        )
        .unwrap();
    }
}
