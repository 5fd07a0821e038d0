//! Motifs as they will look when sewn: stripes as they fall in this plan, worked
//! out from where each piece lies on its fabric and not from what was promised.

mod drawing;
mod joints;
mod letters;
mod look;

use super::bands::Fall;
use super::error::DrawError;
use super::lettering::{CAPITAL, fit, wrap};
use super::map::names;
use super::nap::{UNKNOWN, look_alike};
use super::scene::{Group, Item, Path, Scene, Stroke, Text, rings_of};
use super::validate::validate;
use super::view::View;
use super::woven::Woven;
use crate::plan::{FabricPlan, MotifNote, Plan};
use crate::shape::{Point, corners_of, point};
pub(super) use drawing::Drawing as MotifDrawing;
use drawing::{Drawing, EDGE_MM, ground};
use joints::misses;
use look::Look;
pub(super) use look::{looks, ranges};

/// Width of a drawing (mm).
const WIDTH_MM: f64 = 130.0;
/// The motif is fitted into this square (mm).
const MOTIF_MM: f64 = 106.0;
/// So many different looks of one motif are drawn at most.
const MOST_LOOKS: usize = 60;

/// A motif's drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct MotifPicture {
    /// The motif's name.
    pub motif: String,
    /// The copies that will look like this.
    pub copies: Vec<usize>,
    /// How many of its joints miss by more than the matching tolerance.
    pub misses: usize,
    /// The drawing with its words.
    pub scene: Scene,
    /// The drawing alone, for a page that says the words itself.
    pub bare: Scene,
    /// Which copies look like this.
    pub heading: String,
    /// What stands below, each with whether it stands out.
    pub words: Vec<(String, bool)>,
    /// The fabrics that it is made of, by name.
    pub fabrics: Vec<String>,
}

/// All motifs of a plan, each as many times as it has different looks.
///
/// # Errors
/// A plan that cannot be drawn.
pub fn motif_pictures(plan: &Plan) -> Result<Vec<MotifPicture>, DrawError> {
    validate(plan)?;
    let woven = Woven::of(plan, None);
    let drawn = plan.motifs.iter();
    let drawn = drawn.flat_map(|motif| fans_of(plan, motif, &woven));
    Ok(drawn.collect())
}

/// The motif of that name, as many times as it has different looks.
///
/// # Errors
/// A motif that the plan does not have, or a plan that cannot be drawn.
pub fn motif_picture(plan: &Plan, motif: &str) -> Result<Vec<MotifPicture>, DrawError> {
    validate(plan)?;
    let found = plan.motifs.iter().find(|note| note.name == motif);
    let note = found.ok_or_else(|| DrawError::NoMotif {
        name: motif.to_owned(),
        known: names(plan.motifs.iter().map(|note| note.name.as_str())),
    })?;
    Ok(fans_of(plan, note, &Woven::of(plan, None)))
}

fn fans_of(plan: &Plan, motif: &MotifNote, woven: &Woven<'_>) -> Vec<MotifPicture> {
    let (looks, left_out) = looks(&plan.fabrics, motif, MOST_LOOKS);
    looks
        .iter()
        .map(|look| draw(plan, motif, look, left_out, woven))
        .collect()
}

fn draw(
    plan: &Plan,
    motif: &MotifNote,
    look: &Look<'_>,
    left_out: usize,
    woven: &Woven<'_>,
) -> MotifPicture {
    let regions: Vec<Vec<Vec<Point>>> = look
        .cuts
        .iter()
        .map(|cut| rings_of(&cut.piece.finished_region()))
        .collect();
    let centre = point(0.0, 0.0);
    let [low, high] = corners_of(regions.iter().flatten().flatten().chain([&centre]));
    let size = (high.x - low.x).max(high.y - low.y).max(1e-3);
    let scale = (MOTIF_MM / size).min(1.0);

    let copies = match (motif.copies, look.copies.len()) {
        (1, _) => String::new(),
        (all, these) if all == these => format!("all {all} copies"),
        (all, 1) => format!("copy {} of {all}", look.copies[0]),
        (all, _) => format!("copies {} of {all}", ranges(&look.copies)),
    };
    let of_which = if copies.is_empty() { "" } else { ": " };
    let mut words = vec![format!("As it will look when sewn{of_which}{copies}.")];
    if left_out > 0 {
        words.push(format!(
            "{left_out} more copies look different again and are not drawn."
        ));
    }
    let room = WIDTH_MM - 2.0 * EDGE_MM;
    let mut items = Vec::new();
    let heading = fit(&motif.name, 4.6, true, room);
    items.push(
        Text::new(point(EDGE_MM, EDGE_MM + 4.0), 4.6, heading)
            .bold()
            .into(),
    );
    let mut down = EDGE_MM + 8.4;
    for line in wrap(&words.join(" "), 2.7, false, room) {
        items.push(Text::new(point(EDGE_MM, down), 2.7, line).into());
        down += 3.7;
    }

    let top = down + 3.0;
    let missing = misses(plan, look);
    let drawing = Drawing {
        motif,
        look,
        regions: &regions,
        corners: [low, high],
        scale,
        missing: &missing,
        woven,
        width_mm: WIDTH_MM,
        is_painted: true,
        is_lettered: true,
    };
    items.extend(drawing.items(top));

    let mut down = top + (high.y - low.y) * scale + 8.0;
    let mut say = |words: &str, bold: bool, items: &mut Vec<Item>| {
        for line in wrap(words, 2.6, bold, room) {
            let mut text = Text::new(point(EDGE_MM, down), 2.6, line);
            text.bold = bold;
            items.push(text.into());
            down += 3.6;
        }
    };
    let mut below = vec![(letters::key(motif), false)];
    below.extend(joints::words(plan, look, &missing));
    if look.turned {
        let words =
            "Some of its pieces show the wrong side of the fabric: they are hatched on the map.";
        below.push((words.to_owned(), false));
    }
    for fabric in fabrics_of(look) {
        let mut cuts = look
            .cuts
            .iter()
            .filter(|cut| cut.fabric.name == fabric.name);
        let first = cuts.next();
        if cuts.any(|cut| first.is_some_and(|one| !look_alike(fabric, one.piece, cut.piece))) {
            let words = format!(
                "`{}` is drawn lighter and darker: its grain runs another way in some pieces, so they will look different.",
                fabric.name
            );
            below.push((words, false));
        }
    }
    for (words, bold) in &below {
        say(words, *bold, &mut items);
    }
    down += 1.2;
    for fabric in fabrics_of(look) {
        items.extend(swatch(fabric, down, room));
        down += 4.6;
    }
    let scene = Scene {
        width_mm: WIDTH_MM,
        height_mm: down + EDGE_MM - 2.0,
        title: format!("{} as it will look when sewn", motif.name),
        about: format!(
            "{copies}; {}, drawn at 1 to {:.1}; {}.",
            match look.cuts.len() {
                1 => "1 piece".to_owned(),
                n => format!("{n} pieces"),
            },
            1.0 / scale,
            match missing.len() {
                0 => "the stripes meet at every joint".to_owned(),
                1 => "stripes are out of line at 1 joint".to_owned(),
                n => format!("stripes are out of line at {n} joints"),
            }
        ),
        items,
    };
    let bare = Scene {
        height_mm: (high.y - low.y) * scale + 2.0 * EDGE_MM,
        items: drawing.items(EDGE_MM),
        title: scene.title.clone(),
        about: scene.about.clone(),
        ..scene
    };
    MotifPicture {
        motif: motif.name.clone(),
        copies: look.copies.clone(),
        misses: missing.len(),
        scene,
        bare,
        heading: words.join(" "),
        words: below,
        fabrics: fabrics_of(look)
            .iter()
            .map(|f| f.fabric().to_owned())
            .collect(),
    }
}

/// The fabrics of a look, each once, in the order of its pieces.
fn fabrics_of<'a>(look: &Look<'a>) -> Vec<&'a FabricPlan> {
    let mut fabrics: Vec<&FabricPlan> = Vec::new();
    for cut in &look.cuts {
        if !fabrics
            .iter()
            .any(|fabric| fabric.fabric() == cut.fabric.fabric())
        {
            fabrics.push(cut.fabric);
        }
    }
    fabrics
}

/// A piece of the fabric with its name and its bands.
fn swatch(fabric: &FabricPlan, baseline: f64, room: f64) -> Vec<Item> {
    let (width, height, size) = (14.0, 3.2, 2.6);
    let corner = point(EDGE_MM, baseline - size * CAPITAL / 2.0 - height / 2.0);
    let ring = vec![
        corner,
        point(corner.x + width, corner.y),
        point(corner.x + width, corner.y + height),
        point(corner.x, corner.y + height),
    ];
    let outline = Path::rings(vec![ring.clone()], None, Some(Stroke::ink(0.15)));
    let (paint, words) = match &fabric.stripe {
        Some(stripe) => {
            let scale = (width / stripe.repeat_mm() / 1.5).min(1.0);
            // The repeat from its beginning, whichever way it lies on the fabric.
            let flat = stripe.upright();
            let view = View {
                scale,
                at: corner,
                origin: point(0.0, 0.0),
            };
            let far = point(width / scale, -height / scale);
            let corners = [point(0.0, far.y), point(far.x, 0.0)];
            let areas = Fall::on_fabric(&flat).areas(corners, |p| view.apply(p), scale);
            let mut bands: Vec<&str> = Vec::new();
            for band in stripe.bands() {
                if !band.name.is_empty() && !bands.contains(&band.name.as_str()) {
                    bands.push(&band.name);
                }
            }
            (areas, format!("{}: {}", fabric.fabric(), bands.join(", ")))
        }
        None => (
            vec![ground(
                fabric.colour.unwrap_or(UNKNOWN),
                std::slice::from_ref(&ring),
            )],
            fabric.fabric().to_owned(),
        ),
    };
    let words = fit(&words, size, false, room - width - 2.0);
    vec![
        Group::clipped(vec![ring], paint).into(),
        outline.into(),
        Text::new(point(EDGE_MM + width + 2.0, baseline), size, words).into(),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::fixture::{self, check_words};
    use crate::draw::{png, svg};
    use crate::length::Unit;

    /// Sampled points of the sewn motif have the colour of the fabric point that they
    /// are cut from.
    #[test]
    fn shows_the_stripe_that_each_piece_brings() {
        let mut plan = fixture::plan(6, 0.0, Unit::Inch);
        // One copy is cut wrongly, 7 mm across the stripe: it must show.
        plan.fabrics[0].placements[2].to_fabric.dx_mm += 7.0;
        let drawn = motif_pictures(&plan).unwrap();
        assert_eq!(drawn[0].copies, [1, 3, 4, 5, 6]);
        assert_eq!(drawn[1].copies, [2]);
        let fabric = &plan.fabrics[0];
        let stripe = fabric.stripe.as_ref().unwrap();
        let fall = Fall::on_fabric(stripe);
        for drawing in &drawn {
            let dpi = 254.0;
            let file = png(&svg(&drawing.scene), dpi).unwrap();
            let picture = image::load_from_memory(&file).unwrap().to_rgb8();
            let view = seen(&drawing.scene);
            let mut agree = 0;
            for piece in fabric
                .placements
                .iter()
                .filter(|p| p.copy == drawing.copies[0])
            {
                for q in fixture::inner_points(piece) {
                    let on_fabric = piece.to_fabric.to_rigid().apply(q);
                    let near = [point(0.8, 0.0), point(-0.8, 0.0)]
                        .map(|off| fall.band_at(on_fabric + off));
                    if near[0] != near[1] {
                        continue;
                    }
                    let page = view.apply(q);
                    let got = picture.get_pixel((page.x * 10.0) as u32, (page.y * 10.0) as u32);
                    let wanted = stripe.bands()[near[0]].colour;
                    let wanted = [wanted.red, wanted.green, wanted.blue];
                    let far = got.0.iter().zip(wanted).any(|(a, b)| a.abs_diff(b) > 3);
                    assert!(!far, "{} at {q:?}: {:?}", piece.id, got.0);
                    agree += 1;
                }
            }
            assert!(agree > 30, "{agree}");
        }
    }

    /// The view of a half circle of radius 120 mm, from its clipped groups' extent.
    fn seen(scene: &Scene) -> View {
        let clips = scene.items.iter().filter_map(|item| match item {
            Item::Group(group) if !group.clip.is_empty() => Some(&group.clip),
            _ => None,
        });
        let [low, high] = corners_of(clips.take(2).flatten().flatten());
        View {
            scale: (high.x - low.x) / 240.0,
            at: low,
            origin: point(-120.0, 120.0),
        }
    }

    #[test]
    fn joints_that_miss_are_marked_and_told() {
        let mut plan = fixture::plan(2, 0.0, Unit::Inch);
        let whole = motif_picture(&plan, &plan.motifs[0].name).unwrap();
        assert_eq!((whole.len(), whole[0].misses), (1, 0));
        assert!(svg(&whole[0].scene).contains("meet at every joint"));
        plan.joints[0].step_mm = 3.175;
        plan.joints[0].mismatch = 0.42;
        let drawn = motif_picture(&plan, &plan.motifs[0].name).unwrap();
        assert_eq!(drawn[0].misses, 1);
        let text = svg(&drawn[0].scene);
        assert!(text.contains("1/8 in") && text.contains("42 %"), "{text}");
        for drawing in drawn.iter().chain(&whole) {
            check_words(&drawing.scene, 1.0);
        }
        assert!(matches!(
            motif_picture(&plan, "moon"),
            Err(DrawError::NoMotif { .. })
        ));
    }

    /// Writes drawings to look at, where STRIPELAY_LOOK names a folder.
    #[test]
    #[ignore = "writes pictures for people to look at: it asserts nothing"]
    fn look() {
        let Some(folder) = std::env::var_os("STRIPELAY_LOOK") else {
            println!("skipped: STRIPELAY_LOOK names no folder to write pictures to");
            return;
        };
        let mut plan = fixture::plan(5, 20.0, Unit::Inch);
        plan.joints[1].step_mm = 3.175;
        plan.joints[1].mismatch = 0.42;
        plan.fabrics[0].placements[2].to_fabric.dx_mm += 3.175;
        for (i, drawing) in motif_pictures(&plan).unwrap().iter().enumerate() {
            let text = svg(&drawing.scene);
            let path = std::path::Path::new(&folder).join(format!("motif-{}.png", i + 1));
            std::fs::write(path, png(&text, 150.0).unwrap()).unwrap();
        }
    }
}
