//! A stripe as it was measured: its repeat, where that is not what its bands add up to.

use super::limits::{MIN_REPEAT_MM, REPEATS_MM};
use super::section::Section;
use crate::fabric::Band;
use toml::Spanned;

/// So many repeats are measured in one go at most.
const MOST_REPEATS: usize = 1000;

/// `repeat = "2 7/16 in"`, or `measured = { repeats = 10, length = "24 1/8 in" }` (mm).
pub(super) fn read_repeat(section: &Section<'_, '_>) -> Option<f64> {
    let repeat = section.length("repeat", REPEATS_MM);
    let measured = section
        .section("measured", format!("`measured` of {}", section.what))
        .map(read_measured);
    match (repeat, measured) {
        (Some(_), Some(_)) => {
            let message = format!("{} has both a `repeat` and `measured`", section.what);
            let help = "keep one of the two: `measured` over many repeats is the more exact";
            section.fault(section.key_span("measured"), message, help);
            None
        }
        (repeat, measured) => measured.flatten().or(repeat.map(Spanned::into_inner)),
    }
}

fn read_measured(section: Section<'_, '_>) -> Option<f64> {
    let repeats = section.count("repeats", 1..=MOST_REPEATS);
    if section.get("repeats").is_none() {
        let help = "say how many repeats you measured: repeats = 10";
        section.missing("repeats", help);
    }
    let length = section.length("length", REPEATS_MM);
    if section.get("length").is_none() {
        let help = "say how long they are together: length = \"24 1/8 in\"";
        section.missing("length", help);
    }
    let (what, place) = (section.what.clone(), section.key_span("length"));
    let faults = section.context.faults;
    section.close();
    let repeat_mm = length?.into_inner() / repeats?.into_inner() as f64;
    if repeat_mm < MIN_REPEAT_MM {
        let message = format!("{what} makes a repeat of {repeat_mm:.2} mm");
        let help = format!("a repeat is at least {MIN_REPEAT_MM} mm: check the count and the unit");
        faults.add(place, message, help);
        return None;
    }
    Some(repeat_mm)
}

/// The bands with widths in the same proportions that add up to the repeat.
pub(super) fn scaled(bands: Vec<Band>, repeat_mm: f64) -> Vec<Band> {
    let sum_mm: f64 = bands.iter().map(|band| band.width_mm).sum();
    bands
        .into_iter()
        .map(|band| Band {
            width_mm: band.width_mm * repeat_mm / sum_mm,
            ..band
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::project::Project;

    fn read(stripe: &str) -> Result<Project, Vec<String>> {
        let text = format!(
            "unit = \"in\"\n[fabric.a]\nwidth = 42\n[fabric.a.stripe]\nbands = [{{ width = 1, colour = \"#112233\" }}, \
             {{ width = 2, color = \"#ddeeff\" }}]\n{stripe}\n[motif.m]\n[[motif.m.part]]\nfabric = \"a\"\n\
             shape = \"disc\"\nrim = 2\noffset = 0\n"
        );
        let told = |faults: Vec<crate::project::Fault>| {
            let told = |fault: crate::project::Fault| format!("{} {}", fault.message, fault.help);
            faults.into_iter().map(told).collect()
        };
        Project::read(&text).map_err(told)
    }

    /// A repeat of 3 in, of which ten were measured as 30 9/10 in: each is 3.09 in, its bands
    /// 1.03 and 2.06 in.
    #[test]
    fn bands_take_the_measured_repeat() {
        for stripe in [
            "measured = { repeats = 10, length = \"30.9 in\" }",
            "repeat = \"3.09 in\"",
        ] {
            let project = read(stripe).unwrap();
            let fabric = project.fabric("a").unwrap();
            let bands = fabric.stripe().unwrap().bands();
            let widths: Vec<f64> = bands.iter().map(|band| band.width_mm / 25.4).collect();
            assert!((widths[0] - 1.03).abs() < 1e-9 && (widths[1] - 2.06).abs() < 1e-9);
            assert!((fabric.listed_repeat_mm.unwrap() - 3.0 * 25.4).abs() < 1e-9);
        }
        assert_eq!(
            read("").unwrap().fabric("a").unwrap().listed_repeat_mm,
            None
        );
    }

    #[test]
    fn what_cannot_be_a_measure_is_told_once() {
        for (stripe, said) in [
            ("repeat = 0", "is zero"),
            ("repeat = 50", "wider than the fabric"),
            ("measured = { repeats = 0, length = 30 }", "cannot be 0"),
            ("measured = { repeats = 10 }", "has no `length`"),
            ("measured = { length = 30 }", "has no `repeats`"),
            (
                "measured = { repets = 10, length = 30 }",
                "did you mean `repeats`",
            ),
            (
                "measured = { repeats = 900, length = 1 }",
                "makes a repeat of 0.03 mm",
            ),
            ("measured = 30", "must be a table"),
            (
                "repeat = 3\nmeasured = { repeats = 1, length = 3 }",
                "keep one",
            ),
        ] {
            let faults = read(stripe).unwrap_err();
            assert!(
                faults.len() == 1 && faults[0].contains(said),
                "{stripe}: {faults:?}"
            );
        }
    }
}
