//! Drawings as files: an SVG to print from and a PNG to look at, of each.

use crate::failure::Failure;
use rayon::prelude::*;
use std::collections::BTreeSet;
use stripe_core::draw::{DrawError, Drawings, MotifPicture, Scene, png, svg};
use stripe_core::plan::Plan;

/// Dots an inch of the PNG files: enough to read every label on a screen.
const DPI: f64 = 150.0;

/// A file's name and what is in it.
pub(crate) type Picture = (String, Vec<u8>);

/// A drawing, and the name of its files without their endings.
pub(crate) type Named<'s> = (String, &'s Scene);

/// Every drawing that has a picture of its own.
pub(crate) fn all<'s>(plan: &Plan, drawings: &'s Drawings) -> Vec<Named<'s>> {
    let mut named = named_maps(plan, &drawings.maps);
    named.extend(named_motifs(plan, &drawings.motif_pictures));
    named.extend(drawings.quilt.iter().map(|top| ("quilt".to_owned(), top)));
    let guide = drawings.placement_guide.iter();
    named.extend(guide.map(|guide| ("placement".to_owned(), guide)));
    named
}

/// The cutting maps, fabric by fabric, sheet by sheet.
pub(crate) fn named_maps<'s>(plan: &Plan, maps: &'s [Vec<Scene>]) -> Vec<Named<'s>> {
    let mut names = Names::default();
    let fabrics = plan.fabrics.iter().zip(maps);
    fabrics
        .flat_map(|(fabric, sheets)| numbered(&names.file_name("map", &fabric.name), sheets))
        .collect()
}

/// Every motif as it will look when sewn.
pub(crate) fn named_motifs<'s>(plan: &Plan, pictures: &'s [MotifPicture]) -> Vec<Named<'s>> {
    let mut names = Names::default();
    let motifs = plan.motifs.iter();
    motifs
        .flat_map(|motif| {
            let looks = pictures.iter().filter(|drawn| drawn.motif == motif.name);
            let name = names.file_name("motif", &motif.name);
            numbered(&name, looks.map(|drawn| &drawn.scene))
        })
        .collect()
}

/// The first goes by the name alone, the others by the name and a number from 2. No name
/// of a fabric or motif makes an underscore, so that sheet 2 of `deck` and a fabric
/// `deck 2` do not meet.
fn numbered<'s>(name: &str, scenes: impl IntoIterator<Item = &'s Scene>) -> Vec<Named<'s>> {
    let number = |i: usize| match i {
        0 => name.to_owned(),
        _ => format!("{name}_{}", i + 1),
    };
    let scenes = scenes.into_iter().enumerate();
    scenes.map(|(i, scene)| (number(i), scene)).collect()
}

/// The files of drawings, made side by side.
pub(crate) fn render(scenes: Vec<Named<'_>>) -> Result<Vec<Picture>, Failure> {
    let both = |(name, scene): Named<'_>| {
        let text = svg(scene);
        let dots = png(&text, DPI)?;
        Ok([
            (format!("{name}.svg"), text.into_bytes()),
            (format!("{name}.png"), dots),
        ])
    };
    let files: Result<Vec<[Picture; 2]>, DrawError> = scenes.into_par_iter().map(both).collect();
    Ok(files
        .map_err(|e| failure(&e))?
        .into_iter()
        .flatten()
        .collect())
}

pub(crate) fn failure(error: &DrawError) -> Failure {
    if *error == DrawError::NoQuilt {
        let help = "add a [quilt.NAME] table to the project file, and run `stripelay lay` again";
        return Failure::new("this plan has motifs only, and no quilt to draw", help);
    }
    Failure::new(
        format!("the plan cannot be drawn: {error}"),
        "run `stripelay check` on the plan: it says what is wrong",
    )
}

/// Names of files made from names that people chose.
#[derive(Debug, Default)]
pub(crate) struct Names(BTreeSet<String>);

/// The most bytes of a name that stand in a file's: file systems take about 255 in all.
const MOST_BYTES: usize = 160;

impl Names {
    /// `map-deck` for the fabric `Deck`: its letters and digits, of whatever script, all
    /// else left out, since file systems quarrel about it. No two names come out the same.
    pub(crate) fn file_name(&mut self, kind: &str, name: &str) -> String {
        let mut plain = String::new();
        for c in name.chars().flat_map(char::to_lowercase) {
            if plain.len() + c.len_utf8() > MOST_BYTES {
                break;
            }
            if c.is_alphanumeric() {
                plain.push(c);
            } else if !plain.ends_with('-') && !plain.is_empty() {
                plain.push('-');
            }
        }
        let plain = plain.trim_end_matches('-');
        let base = if plain.is_empty() {
            kind.to_owned()
        } else {
            format!("{kind}-{plain}")
        };
        let letters = ('b'..='z').map(|letter| format!("{base}-{letter}"));
        let numbers = (27..).map(|number| format!("{base}-{number}"));
        let chosen = std::iter::once(base.clone())
            .chain(letters)
            .chain(numbers)
            .find(|name| !self.0.contains(name))
            .expect("the numbers do not end");
        self.0.insert(chosen.clone());
        chosen
    }
}

#[cfg(test)]
mod tests {
    use super::{Names, numbered};
    use std::collections::BTreeSet;
    use stripe_core::draw::Scene;

    #[test]
    fn names_fit_every_file_system() {
        let mut names = Names::default();
        assert_eq!(names.file_name("map", "Deck"), "map-deck");
        assert_eq!(names.file_name("map", "deck!"), "map-deck-b");
        assert_eq!(names.file_name("map", "../../x y"), "map-x-y");
        assert_eq!(names.file_name("map", "Été"), "map-été");
        assert_eq!(names.file_name("map", "布"), "map-布");
        assert_eq!(names.file_name("map", "!"), "map");
        let long = names.file_name("map", &"布".repeat(1000));
        assert!(long.len() < 200, "{long}");
    }

    #[test]
    fn no_two_names_are_the_same_however_many() {
        let mut names = Names::default();
        let all: BTreeSet<String> = (0..100).map(|_| names.file_name("map", "a")).collect();
        assert_eq!(all.len(), 100);
        assert!(all.contains("map-a-z") && all.contains("map-a-100"));
    }

    #[test]
    fn a_second_sheet_is_not_another_fabric() {
        let sheet = Scene {
            width_mm: 1.0,
            height_mm: 1.0,
            title: String::new(),
            about: String::new(),
            items: vec![],
        };
        let sheets = [sheet.clone(), sheet];
        let mut names = Names::default();
        let mut all = numbered(&names.file_name("map", "deck"), &sheets);
        all.extend(numbered(&names.file_name("map", "deck 2"), &sheets));
        all.extend(numbered(&names.file_name("map", "deck_2"), &sheets));
        let different: BTreeSet<&String> = all.iter().map(|(name, _)| name).collect();
        assert_eq!(different.len(), 6, "{different:?}");
    }
}
