//! The cutting map of one fabric: what a maker lays beside the fabric and cuts from.
//!
//! A map is one sheet where everything has room to be read; otherwise an overview
//! and as many sheets as it takes, each with the places of its own pieces.

mod edges;
mod fabric;
mod frame;
mod hatch;
mod head;
mod labels;
mod leftover;
mod legend;
mod listing;
mod mirror;
mod named_bands;
mod outline;
mod pieces;
mod sheet;
mod split;
mod stretch;

use super::error::DrawError;
use super::paper::Paper;
use super::scene::Scene;
use super::template::Method;
use super::validate::validate;
use super::view::laid;
use super::woven::Woven;
use crate::plan::{FabricPlan, PlacedPiece, Plan};
use crate::shape::{Point, Rigid, corners_of};
pub(super) use labels::{edge_towards, leader_items};
pub(super) use legend::WORDS as LEGEND;
use listing::Listing;
use named_bands::Named;
pub(super) use pieces::{plate, plate_mm};
use rayon::prelude::*;
use sheet::{Sheet, Wanted};
use split::{Reach, Stretch, split};
use std::sync::OnceLock;

/// A piece as the map needs it: everything in the fabric frame.
struct Laid<'a> {
    piece: &'a PlacedPiece,
    map: Rigid,
    cut: Vec<Vec<Point>>,
    finished: Vec<Vec<Point>>,
    mark: Point,
}

impl<'a> Laid<'a> {
    fn new(piece: &'a PlacedPiece) -> Self {
        let map = piece.to_fabric.to_rigid();
        Self {
            piece,
            map,
            cut: laid(&piece.cut_region(), &map),
            finished: laid(&piece.finished_region(), &map),
            mark: piece.mark_on_fabric(),
        }
    }

    fn reach(&self) -> Reach {
        let [low, high] = corners_of(self.cut.iter().flatten());
        Reach {
            low_mm: low.y,
            high_mm: high.y,
        }
    }
}

/// The cutting map of the fabric of that name, sheet by sheet, for fabric that lies right
/// side up.
///
/// The first sheet is the only one, or the overview of the others.
///
/// # Errors
/// A fabric that the plan does not have, or a plan that cannot be drawn.
pub fn map(plan: &Plan, fabric: &str, paper: Paper) -> Result<Vec<Scene>, DrawError> {
    map_for(plan, fabric, paper, Method::TracedOnRightSide)
}

/// The same for a way of working with templates: where they are laid on the wrong side,
/// the fabric lies wrong side up, and the map shows it so, its left selvage at the right.
/// Distances are from the left selvage still, where the stripe is measured from.
///
/// # Errors
/// As of [`map`].
pub fn map_for(
    plan: &Plan,
    fabric: &str,
    paper: Paper,
    method: Method,
) -> Result<Vec<Scene>, DrawError> {
    validate(plan)?;
    let found = plan.fabrics.iter().find(|c| c.name == fabric);
    let fabric = found.ok_or_else(|| DrawError::NoFabric {
        name: fabric.to_owned(),
        known: names(plan.fabrics.iter().map(|c| c.name.as_str())),
    })?;
    Ok(map_of(plan, fabric, paper, method.lies_on_wrong_side()))
}

fn map_of(plan: &Plan, fabric: &FabricPlan, paper: Paper, wrong_side_up: bool) -> Vec<Scene> {
    let laid: Vec<Laid<'_>> = fabric.placements.iter().map(Laid::new).collect();
    let reaches: Vec<Reach> = laid.iter().map(Laid::reach).collect();
    let end_mm = leftover::end_mm(fabric);
    let whole = Stretch {
        low_mm: 0.0,
        high_mm: end_mm,
        pieces: (0..laid.len()).collect(),
    };
    let mut sheet = Sheet {
        plan,
        fabric,
        woven: Woven::of(plan, Some(fabric.fabric())),
        laid: &laid,
        paper,
        homes: &[],
        sheets: 1,
        wrong_side_up,
        named: Named::new(fabric.stripe.as_ref()),
        listing: Listing::new(fabric, &laid, paper.room_mm()[0]),
        room: OnceLock::new(),
    };
    if sheet.fits(end_mm, laid.len()) {
        return vec![sheet.draw(&whole, Wanted::Places { number: 1 })];
    }

    let mut stretches = split(&reaches, |length, pieces| sheet.fits(length, pieces));
    if let Some(last) = stretches.last_mut() {
        last.high_mm = last.high_mm.max(end_mm);
    }
    let mut homes = vec![0; laid.len()];
    for (i, stretch) in stretches.iter().enumerate() {
        for &piece in &stretch.pieces {
            homes[piece] = i + 2;
        }
    }
    sheet.homes = &homes;
    sheet.sheets = stretches.len() + 1;
    sheet.room = OnceLock::new();
    let overview = || sheet.draw(&whole, Wanted::Overview(&stretches));
    let places = || -> Vec<Scene> {
        let stretches = stretches.par_iter().enumerate();
        stretches
            .map(|(i, stretch)| sheet.draw(stretch, Wanted::Places { number: i + 2 }))
            .collect()
    };
    let (overview, places) = rayon::join(overview, places);
    std::iter::once(overview).chain(places).collect()
}

/// Names in a row, for messages.
pub(super) fn names<'a>(names: impl Iterator<Item = &'a str>) -> String {
    let quoted: Vec<String> = names.map(|name| format!("`{name}`")).collect();
    if quoted.is_empty() {
        "none".to_owned()
    } else {
        quoted.join(", ")
    }
}

/// How a sheet shows the fabric, read off the drawing: its selvages are the pair
/// of vertical lines that stand the fabric's width apart.
#[cfg(test)]
pub(super) fn view_of(sheet: &Scene, width_mm: f64) -> super::view::View {
    let selvages = sheet
        .items
        .iter()
        .find_map(|item| match item {
            super::scene::Item::Path(path) if path.lines.len() == 2 => Some(&path.lines),
            _ => None,
        })
        .unwrap();
    let (left, right) = (selvages[0].points[0], selvages[1].points[0]);
    super::view::View {
        scale: (right.x - left.x) / width_mm,
        at: left,
        origin: crate::shape::point(0.0, 0.0),
    }
}

#[cfg(test)]
pub(super) use fabric::WASH;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Colour;
    use crate::draw::fixture::{self, check_words};
    use crate::draw::paper::MARGIN_MM;
    use crate::draw::{png, svg};
    use crate::fabric::{Band, Run, Stripe};
    use crate::length::Unit;
    use crate::shape::{point, unit};

    /// The look of a stripe's colour where waste is washed out.
    fn washed(colour: Colour) -> [f64; 3] {
        [colour.red, colour.green, colour.blue].map(|c| f64::from(c) * (1.0 - WASH) + 255.0 * WASH)
    }

    /// Where the plan says that a fabric point lies well within one band, that band.
    fn sure_band(stripe: &Stripe, p: Point, least_mm: f64) -> Option<usize> {
        let n = unit(stripe.normal_rad());
        let phase = (n.x * p.x + n.y * p.y - stripe.origin_mm()).rem_euclid(stripe.repeat_mm());
        let mut end = 0.0;
        for (i, band) in stripe.bands().iter().enumerate() {
            let begin = end;
            end += band.width_mm;
            if (begin + least_mm..end - least_mm).contains(&phase) {
                return Some(i);
            }
        }
        None
    }

    /// Every sampled point of every piece has, in the rendered picture, the colour
    /// that the plan's own phase gives it; worked out here from the plan file alone.
    #[test]
    fn pieces_show_the_stripe_that_they_are_cut_from() {
        for normal_deg in [0.0, 4.0, 90.0, 87.0] {
            let plan = fixture::plan(6, normal_deg, Unit::Inch);
            let fabric = &plan.fabrics[0];
            let stripe = fabric.stripe.as_ref().unwrap();
            let sheets = map(&plan, &fabric.name, Paper::Letter).unwrap();
            assert_eq!(sheets.len(), 1);
            let dpi = 300.0;
            let picture = png(&svg(&sheets[0]), dpi).unwrap();
            let picture = image::load_from_memory(&picture).unwrap().to_rgb8();
            let view = view_of(&sheets[0], fabric.width_mm);
            let colour_at = |p: Point| {
                let page = view.apply(p);
                let px = |mm: f64| (mm / 25.4 * dpi).floor() as u32;
                picture.get_pixel(px(page.x), px(page.y)).0.map(f64::from)
            };
            let differs = |got: [f64; 3], wanted: [f64; 3]| {
                got.iter().zip(wanted).any(|(a, b)| (a - b).abs() > 3.0)
            };

            // Names, crosses and lines cover some points: most must agree, and
            // what disagrees must be ink or plate, no other band.
            let (mut agree, mut tried) = (0, 0);
            for piece in &fabric.placements {
                let to_fabric = piece.to_fabric.to_rigid();
                for q in fixture::inner_points(piece) {
                    let p = to_fabric.apply(q);
                    let Some(band) = sure_band(stripe, p, 1.2) else {
                        continue;
                    };
                    tried += 1;
                    let exact = |band: usize| {
                        let c = stripe.bands()[band].colour;
                        [c.red, c.green, c.blue].map(f64::from)
                    };
                    let got = colour_at(p);
                    if !differs(got, exact(band)) {
                        agree += 1;
                    }
                    for other in (0..stripe.bands().len()).filter(|&other| other != band) {
                        assert!(differs(got, exact(other)), "{} at {q:?}", piece.id);
                    }
                }
            }
            assert!(tried > 100 && agree * 10 > tried * 7, "{agree} of {tried}");

            // Waste is the same stripe, washed out: along the right selvage.
            let mut waste = 0;
            for i in 0..60 {
                let p = point(
                    fabric.width_mm - 6.0 - f64::from(i % 7) * 5.0,
                    10.0 + 4.0 * f64::from(i),
                );
                if let Some(band) = sure_band(stripe, p, 1.2) {
                    assert!(
                        !differs(colour_at(p), washed(stripe.bands()[band].colour)),
                        "{p:?}"
                    );
                    waste += 1;
                }
            }
            assert!(waste > 20);
        }
    }

    #[test]
    fn words_stay_on_the_sheet() {
        for (copies, paper) in [(1, Paper::Letter), (40, Paper::A4), (13, Paper::Either)] {
            let mut plan = fixture::plan(copies, 0.0, Unit::Inch);
            plan.fabrics[0].name = "a fabric with a name far too long for any heading ".repeat(4);
            plan.title = "<title> & ".repeat(60);
            for sheet in map(&plan, &plan.fabrics[0].name, paper).unwrap() {
                let found = check_words(&sheet, MARGIN_MM - 0.5);
                assert!(found > 15, "{found} words");
            }
        }
    }

    #[test]
    fn every_piece_is_listed_once() {
        let plan = fixture::plan(40, 0.0, Unit::Inch);
        let sheets = map(&plan, &plan.fabrics[0].name, Paper::Letter).unwrap();
        assert!(sheets.len() > 2);
        let text: String = sheets[1..].iter().map(svg).collect();
        for piece in &plan.fabrics[0].placements {
            let cell = format!("{} {}, {}", piece.motif, piece.copy, piece.piece);
            let label = format!(">{}</text>", piece.label);
            // Once on its drawing and once in its table; a neighbouring sheet may
            // show it once more in grey.
            let times = text.matches(&label).count();
            assert!((2..=4).contains(&times), "{cell}: {times}");
        }
        let sides = |word: &str| text.matches(&format!(">{word}</text>")).count();
        assert_eq!((sides("right"), sides("wrong")), (64, 16));
        assert!(text.contains("reversed: flip the template"));
    }

    #[test]
    fn unsound_plans_are_named_not_drawn() {
        let sound = fixture::plan(1, 0.0, Unit::Inch);
        let name = sound.fabrics[0].name.clone();
        fn fine_stripe(widths_mm: &[f64]) -> Stripe {
            let bands = widths_mm.iter().map(|&width_mm| Band {
                width_mm,
                colour: Colour::new(1, 2, 3),
                name: String::new(),
            });
            Stripe::try_new(Run::Lengthwise, 0.0, 0.0, bands.collect()).unwrap()
        }
        type Fault = (&'static str, fn(&mut Plan));
        let faults: [Fault; 6] = [
            ("width", |plan| plan.fabrics[0].width_mm = -1.0),
            ("length", |plan| plan.fabrics[0].length_mm = 1e300),
            ("width", |plan| {
                plan.fabrics[0].stripe = Some(fine_stripe(&[0.05]));
            }),
            ("bands", |plan| {
                plan.fabrics[0].stripe = Some(fine_stripe(&[1.0; 401]));
            }),
            ("points", |plan| {
                plan.fabrics[0].placements[1].cut.truncate(2);
            }),
            ("far away", |plan| {
                plan.fabrics[0].placements[0].to_fabric.dx_mm = 1e200;
            }),
        ];
        for (word, spoil) in faults {
            let mut plan = sound.clone();
            spoil(&mut plan);
            let fault = map(&plan, &name, Paper::A4).unwrap_err().to_string();
            assert!(fault.contains(word), "{fault}");
        }
        let fault = map(&sound, "deck", Paper::A4).unwrap_err().to_string();
        assert!(fault.contains("`deck`") && fault.contains(&name), "{fault}");
        let mut bare = sound;
        bare.fabrics[0].placements.clear();
        bare.fabrics[0].length_mm = 0.0;
        assert_eq!(map(&bare, &name, Paper::A4).unwrap().len(), 1);
    }

    /// Turned left for right, lines and words keep their places on the fabric: the left
    /// selvage is at the right, and what is told of each piece is the same.
    #[test]
    fn wrong_side_up_is_the_mirror_image() {
        let plan = fixture::plan(6, 0.0, Unit::Inch);
        let fabric = &plan.fabrics[0];
        for method in Method::ALL {
            let words = method.words();
            assert_eq!(
                method.lies_on_wrong_side(),
                words.contains("wrong side"),
                "{words}"
            );
        }
        let sheet = |method| {
            map_for(&plan, &fabric.name, Paper::Letter, method)
                .unwrap()
                .remove(0)
        };
        let [right, wrong] = [Method::TracedOnRightSide, Method::TracedOnWrongSide].map(sheet);
        assert_eq!(
            map(&plan, &fabric.name, Paper::Letter).unwrap(),
            std::slice::from_ref(&right)
        );
        assert!(svg(&right).contains("Lay the fabric right side up"));
        assert!(svg(&wrong).contains("left selvage is then at your right"));

        let dpi = 254.0;
        let [seen, turned] = [&right, &wrong].map(|sheet| {
            let picture = png(&svg(sheet), dpi).unwrap();
            image::load_from_memory(&picture).unwrap().to_rgb8()
        });
        // Whatever lies within the fabric, but letters, which are to be read.
        let view = view_of(&right, fabric.width_mm);
        let stripe = fabric.stripe.as_ref().unwrap();
        let (mut alike, mut tried) = (0, 0);
        for i in 0..2000 {
            let p = point(
                f64::from(i * 37 % 1000) / 1000.0 * fabric.width_mm,
                f64::from(i * 61 % 997) / 997.0 * fabric.length_mm,
            );
            if sure_band(stripe, p, 1.5).is_none() {
                continue;
            }
            let q = view.apply(p);
            let (x, y) = ((q.x * 10.0) as u32, (q.y * 10.0) as u32);
            let mirrored_x = ((wrong.width_mm - q.x) * 10.0) as u32;
            // Heads of equal height are not promised: the picture may stand lower.
            let (a, b) = (
                seen.get_pixel(x, y).0,
                turned.get_pixel(mirrored_x, y + shift(&right, &wrong)).0,
            );
            tried += 1;
            alike += usize::from(a.iter().zip(b).all(|(a, b)| a.abs_diff(b) < 12));
        }
        assert!(
            tried > 800 && alike * 100 > tried * 90,
            "{alike} of {tried}"
        );
    }

    /// How much lower the fabric stands on the second sheet (tenths of a millimetre).
    fn shift(right: &Scene, wrong: &Scene) -> u32 {
        let lines = |sheet: &Scene| view_of(sheet, 1.0).at.y;
        ((lines(wrong) - lines(right)) * 10.0).round() as u32
    }

    /// Writes sheets to look at, where STRIPELAY_LOOK names a folder.
    #[test]
    #[ignore = "writes pictures for people to look at: it asserts nothing"]
    fn look() {
        let Some(folder) = std::env::var_os("STRIPELAY_LOOK") else {
            println!("skipped: STRIPELAY_LOOK names no folder to write pictures to");
            return;
        };
        for (name, copies, normal, unit) in [
            ("long", 40, 0.0, Unit::Inch),
            ("short", 7, 3.0, Unit::Inch),
            ("across", 9, 90.0, Unit::Centimetre),
        ] {
            let plan = fixture::plan(copies, normal, unit);
            let fabric = plan.fabrics[0].name.clone();
            let sheets = map(&plan, &fabric, Paper::default(unit)).unwrap();
            for (i, sheet) in sheets.iter().enumerate() {
                let text = svg(sheet);
                let path = std::path::Path::new(&folder).join(format!("map-{name}-{}", i + 1));
                std::fs::write(path.with_extension("svg"), &text).unwrap();
                std::fs::write(path.with_extension("png"), png(&text, 150.0).unwrap()).unwrap();
            }
        }
    }
}
