//! Templates at true size, on sheets of paper or for a cutting machine.
//!
//! Pieces of one shape with one fall of the stripes share a template. Where bands
//! cross its edges it has ticks and the bands' names, so that it is laid on the
//! real stripe by eye.

mod face;
mod frame;
mod grain;
mod index;
mod kind;
mod machine;
mod method;
mod pack;
mod pose;
mod sheet;
mod ticks;

pub use machine::{MachineTemplate, machine_templates};
pub use method::Method;
pub use ticks::Tick;

use super::error::DrawError;
use super::paper::Paper;
use super::scene::Scene;
use super::sound::check_sound;
use crate::plan::Plan;
use face::Face;
use frame::{Frame, room};
use kind::kinds;
use pack::shelve;
use sheet::Ready;

/// More templates than this are not drawn: nobody would print them.
pub const MAX_TEMPLATES: usize = 1000;
/// More sheets than this are not drawn.
pub const MAX_SHEETS: usize = 1500;

/// All template sheets of a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Templates {
    /// The sheets in order; the first ones are the index.
    pub sheets: Vec<Scene>,
    /// What there is.
    pub entries: Vec<TemplateEntry>,
}

/// A template in the index.
#[derive(Debug, Clone, PartialEq)]
pub struct TemplateEntry {
    /// Its short name: the motif's letter and the piece's.
    pub name: String,
    /// The motif.
    pub motif: String,
    /// The piece.
    pub piece: String,
    /// The cloth.
    pub cloth: String,
    /// How many are cut by it.
    pub count: usize,
    /// How many of these face down.
    pub face_down: usize,
    /// The sheets that it is on, counted from 1.
    pub sheets: Vec<usize>,
    /// Where borders of bands cross its cut line (motif frame).
    pub ticks: Vec<Tick>,
    /// The placement that it is drawn from, by id.
    pub drawn_from: String,
}

/// The templates of a plan on sheets of that paper, drawn for that method.
///
/// # Errors
/// A plan that cannot be drawn, or one with more templates or sheets than the limits.
pub fn templates(plan: &Plan, paper: Paper, method: Method) -> Result<Templates, DrawError> {
    check_sound(plan)?;
    let space = room(paper);
    let ready: Vec<Ready<'_>> = faces(plan, method)?
        .into_iter()
        .map(|face| Ready::new(face, space))
        .collect();

    let sizes: Vec<(usize, pack::Size)> = ready
        .iter()
        .enumerate()
        .filter(|(_, one)| one.fits)
        .map(|(i, one)| (i, one.size()))
        .collect();
    let shelves = shelve(&sizes, space);
    let large: Vec<(usize, Vec<[usize; 2]>)> = ready
        .iter()
        .enumerate()
        .filter(|(_, one)| !one.fits)
        .map(|(i, one)| (i, one.tiles(space)))
        .collect();

    let index_sheets = ready.len().div_ceil(index::rows_a_sheet(paper)).max(1);
    let tiles: usize = large.iter().map(|(_, tiles)| tiles.len()).sum();
    let sheets = index_sheets + shelves.len() + tiles;
    if sheets > MAX_SHEETS {
        return Err(DrawError::TooManySheets {
            sheets,
            most: MAX_SHEETS,
        });
    }

    let frame = |number: usize| Frame {
        paper,
        title: &plan.title,
        method: method.words(),
        number,
        sheets,
    };
    let mut sheets_of: Vec<Vec<usize>> = vec![Vec::new(); ready.len()];
    let mut drawn = Vec::new();
    let mut number = index_sheets;
    for spots in &shelves {
        number += 1;
        for spot in spots {
            sheets_of[spot.index].push(number);
        }
        drawn.push(sheet::shared(&frame(number), &ready, spots));
    }
    for (at, tiles) in &large {
        let numbers: Vec<([usize; 2], usize)> = tiles
            .iter()
            .enumerate()
            .map(|(i, tile)| (*tile, number + 1 + i))
            .collect();
        for (i, tile) in tiles.iter().enumerate() {
            number += 1;
            sheets_of[*at].push(number);
            let part = [i + 1, tiles.len()];
            drawn.push(sheet::tiled(
                &frame(number),
                &ready[*at],
                *tile,
                part,
                &numbers,
            ));
        }
    }
    let rows = index::rows_a_sheet(paper);
    let mut scenes: Vec<Scene> = (0..index_sheets)
        .map(|i| index::index(&frame(i + 1), &ready, &sheets_of, i * rows))
        .collect();
    scenes.extend(drawn);
    let entries = ready
        .iter()
        .zip(sheets_of)
        .map(|(one, sheets)| entry(&one.face, sheets))
        .collect();
    Ok(Templates {
        sheets: scenes,
        entries,
    })
}

/// All templates of a plan, worked out.
fn faces(plan: &Plan, method: Method) -> Result<Vec<Face<'_>>, DrawError> {
    let kinds = kinds(plan);
    if kinds.len() > MAX_TEMPLATES {
        return Err(DrawError::TooManyTemplates {
            templates: kinds.len(),
            most: MAX_TEMPLATES,
        });
    }
    Ok(kinds
        .into_iter()
        .map(|kind| Face::new(kind, method))
        .collect())
}

fn entry(face: &Face<'_>, sheets: Vec<usize>) -> TemplateEntry {
    let kind = &face.kind;
    TemplateEntry {
        name: kind.short.clone(),
        motif: kind.piece.motif.clone(),
        piece: kind.piece.piece.clone(),
        cloth: kind.cloth.name.clone(),
        count: kind.count(),
        face_down: kind.face_down.len(),
        sheets,
        ticks: face.ticks.clone(),
        drawn_from: kind.piece.id.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::fixture::{self, check_words};
    use crate::draw::map::{self, map};
    use crate::draw::paper::MARGIN_MM;
    use crate::draw::scene::{Item, Text};
    use crate::draw::{pdf, png, svg};
    use crate::plan::UnitNote;
    use crate::shape::{Point, point};

    /// The fixture with motifs so many times as large.
    fn grown(copies: usize, by: f64) -> Plan {
        let mut plan = fixture::plan(copies, 0.0, UnitNote::In);
        for piece in &mut plan.cloths[0].placements {
            for at in piece.cut.iter_mut().chain(&mut piece.finished) {
                *at = at.map(|c| c * by);
            }
            piece.mark = piece.mark.map(|c| c * by);
        }
        plan
    }

    #[test]
    fn alike_pieces_share_a_template() {
        let plan = fixture::plan(7, 0.0, UnitNote::In);
        let made = templates(&plan, Paper::Letter, Method::PaperOnFace).unwrap();
        let found: Vec<(&str, usize, usize)> = made
            .entries
            .iter()
            .map(|e| (e.name.as_str(), e.count, e.face_down))
            .collect();
        assert_eq!(found, [("Ha", 7, 1), ("Hb", 7, 1)]);
        assert_eq!(made.sheets.len(), 3);
        let mut plan = plan;
        plan.cloths[0].placements[4].to_cloth.dx += 3.0;
        let made = templates(&plan, Paper::Letter, Method::PaperOnFace).unwrap();
        assert_eq!(made.entries.len(), 3);
    }

    /// On either side of every tick, the drawn cloth has the colours of the bands
    /// that the tick names.
    #[test]
    fn ticks_agree_with_the_cloth() {
        for normal_deg in [0.0, 86.0] {
            let plan = fixture::plan(3, normal_deg, UnitNote::In);
            let cloth = &plan.cloths[0];
            let stripe = cloth.stripe.as_ref().unwrap();
            let mut bare = plan.clone();
            bare.cloths[0].placements.clear();
            let sheet = &map(&bare, &cloth.name, Paper::Letter).unwrap()[0];
            let dpi = 600.0;
            let picture = png(&svg(sheet), dpi).unwrap();
            let picture = image::load_from_memory(&picture).unwrap().to_rgb8();
            let view = map::view_of(sheet, cloth.width);
            let made = templates(&plan, Paper::Letter, Method::PaperOnBack).unwrap();
            let mut seen = 0;
            for entry in &made.entries {
                let piece = cloth.placements.iter().find(|p| p.id == entry.drawn_from);
                let map = piece.unwrap().to_cloth.to_rigid();
                for tick in &entry.ticks {
                    let along = map.turn(tick.end - tick.at);
                    let length = along.x.hypot(along.y);
                    // Across the stripe, towards larger phases.
                    let turn = stripe.normal_deg.to_radians();
                    let normal = point(turn.cos(), turn.sin());
                    assert!((along.x * normal.x + along.y * normal.y).abs() < 1e-6 * length);
                    let middle = map.apply(point(
                        (tick.at.x + tick.end.x) / 2.0,
                        (tick.at.y + tick.end.y) / 2.0,
                    ));
                    for (side, band) in [(-1.2, tick.before), (1.2, tick.after)] {
                        let p = point(middle.x + side * normal.x, middle.y + side * normal.y);
                        let page = view.apply(p);
                        let px = |mm: f64| (mm / 25.4 * dpi) as u32;
                        let got = picture.get_pixel(px(page.x), px(page.y)).0;
                        let c = stripe.bands[band].colour;
                        let wash = map::WASH;
                        let wanted = [c.red, c.green, c.blue]
                            .map(|c| f64::from(c) * (1.0 - wash) + 255.0 * wash);
                        let far = got.iter().zip(wanted);
                        let far = far
                            .map(|(&a, b)| (f64::from(a) - b).abs())
                            .fold(0.0, f64::max);
                        assert!(far < 4.0, "{tick:?}: {got:?} for {wanted:?}");
                        seen += 1;
                    }
                }
            }
            assert!(seen > 60, "{seen}");
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
        let made = templates(&plan, Paper::A4, Method::PaperOnFace).unwrap();
        let space = room(Paper::A4);
        for entry in &made.entries {
            let face = faces(&plan, Method::PaperOnFace).unwrap();
            let face = face
                .into_iter()
                .find(|f| f.kind.short == entry.name)
                .unwrap();
            let ready = Ready::new(face, space);
            assert!(entry.sheets.len() >= 3 && !ready.fits);
            let mut marks: Vec<(String, Point, usize)> = Vec::new();
            for (sheet, [column, row]) in entry.sheets.iter().zip(ready.tiles(space)) {
                let scene = &made.sheets[sheet - 1];
                let tiling = pack::tile(
                    pack::Size {
                        width_mm: ready.width_mm,
                        height_mm: ready.height_mm,
                    },
                    space,
                );
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
        let mut plan = fixture::plan(30, 20.0, UnitNote::Cm);
        plan.title = "A title that goes on and on ".repeat(8);
        plan.cloths[0].name = "a cloth with a long name, too ".repeat(4);
        for method in Method::ALL {
            let made = templates(&plan, Paper::Either, method).unwrap();
            for sheet in &made.sheets {
                assert!(check_words(sheet, MARGIN_MM - 0.6) > 15);
            }
        }
        for one in machine_templates(&plan, Method::TracedOnBack).unwrap() {
            check_words(&one.scene, 0.0);
        }
    }

    #[test]
    fn mirrored_templates_are_mirror_images() {
        let plan = fixture::plan(1, 0.0, UnitNote::In);
        let cut = |method| {
            let made = machine_templates(&plan, method).unwrap();
            let scene = &made[0].scene;
            let Some([Item::Path(path)]) = find(&scene.items, "cut") else {
                panic!("no cut line");
            };
            (path.lines[0].points.clone(), scene.width_mm)
        };
        let (seen, width) = cut(Method::PaperOnFace);
        let (mirrored, _) = cut(Method::FusibleOnBack);
        for (a, b) in seen.iter().zip(&mirrored) {
            assert!((a.x + b.x - width).abs() < 1e-9 && (a.y - b.y).abs() < 1e-9);
        }
    }

    #[test]
    fn the_same_plan_gives_the_same_pdf() {
        let plan = fixture::plan(3, 0.0, UnitNote::In);
        let file = || {
            let made = templates(&plan, Paper::Either, Method::PaperOnBack).unwrap();
            pdf(&made.sheets, &plan.title).unwrap()
        };
        let once = file();
        assert!(once.starts_with(b"%PDF"));
        assert!(once == file());
    }

    /// Writes sheets to look at, where STRIPELAY_LOOK names a folder.
    #[test]
    fn look() {
        let Some(folder) = std::env::var_os("STRIPELAY_LOOK") else {
            println!("skipped: STRIPELAY_LOOK names no folder to write pictures to");
            return;
        };
        let folder = std::path::Path::new(&folder);
        for (name, plan, method) in [
            (
                "small",
                fixture::plan(9, 20.0, UnitNote::In),
                Method::PaperOnFace,
            ),
            ("large", grown(3, 2.6), Method::PaperOnBack),
        ] {
            let made = templates(&plan, Paper::Letter, method).unwrap();
            for (i, sheet) in made.sheets.iter().enumerate() {
                let file = png(&svg(sheet), 150.0).unwrap();
                std::fs::write(folder.join(format!("template-{name}-{}.png", i + 1)), file)
                    .unwrap();
            }
            let file = pdf(&made.sheets, &plan.title).unwrap();
            println!("{name}: {} bytes", file.len());
            std::fs::write(folder.join(format!("template-{name}.pdf")), file).unwrap();
            let machine = machine_templates(&plan, method).unwrap();
            std::fs::write(
                folder.join(format!("machine-{name}.svg")),
                svg(&machine[0].scene),
            )
            .unwrap();
        }
    }
}
