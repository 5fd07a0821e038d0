//! `--repeat deck=1in..8in`: the repeats that yardage is asked for.

use crate::choices::{length, of_fabric};
use crate::failure::Failure;
use stripe_core::length::{INCH_MM, Unit};
use stripe_core::project::Project;
use stripe_core::wording::quoted;

/// So many repeats are asked for at most; with widths there are fewer.
const MOST: usize = 200;

/// The fabric, and its repeats (mm), as they are written.
pub(super) fn read(text: &str, project: &Project) -> Result<(String, Vec<f64>), Failure> {
    let example = "write --repeat NAME=1in..8in, with the name of a striped fabric";
    let (fabric, list) = of_fabric(text, project, example)?;
    let mut repeats = vec![];
    for item in list.split(',') {
        let Some((from, to)) = item.split_once("..") else {
            repeats.push(length("--repeat", item, project)?.to_mm());
            continue;
        };
        let (to, by) = match to.split_once(" by ") {
            Some((to, by)) => (to, length("--repeat", by, project)?.to_mm()),
            None => (to, usual_step_mm(project.unit)),
        };
        let from = length("--repeat", from, project)?.to_mm();
        let to = length("--repeat", to, project)?.to_mm();
        let steps = (to - from) / by;
        if from <= 0.0 {
            return Err(Failure::new(
                format!("--repeat: {} begins with no repeat", quoted(item.trim())),
                "a repeat is more than 0: 1in..8in",
            ));
        }
        if by > 0.0 && steps >= MOST as f64 {
            return Err(Failure::new(
                format!(
                    "--repeat: {} has more than {MOST} steps",
                    quoted(item.trim())
                ),
                "take wider steps: 1in..8in by 1/2in",
            ));
        }
        if !(by > 0.0 && from > 0.0 && steps >= 0.0) {
            return Err(Failure::new(
                format!("--repeat: {} is no range of repeats", quoted(item.trim())),
                "write the smaller repeat first: 1in..8in, or 1in..8in by 1/2in",
            ));
        }
        let whole = (steps + 1e-6).floor() as usize;
        repeats.extend((0..=whole).map(|i| from + by * i as f64));
        if to - (from + by * whole as f64) > 1e-6 * by {
            repeats.push(to);
        }
    }
    if repeats.len() > MOST {
        return Err(Failure::new(
            format!("--repeat asks for {} repeats", repeats.len()),
            format!("ask for at most {MOST}"),
        ));
    }
    Ok((fabric.to_owned(), repeats))
}

/// By which repeats go up, where nothing is said: whole inches, or two centimetres.
fn usual_step_mm(unit: Unit) -> f64 {
    match unit {
        Unit::Inch => INCH_MM,
        _ => 20.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inches(text: &str) -> Result<Vec<f64>, String> {
        let harbour = include_str!("../../../../data/harbour/harbour.toml");
        let harbour = Project::read(harbour).unwrap();
        let read = read(text, &harbour).map_err(|failure| format!("{failure:?}"))?;
        Ok(read
            .1
            .iter()
            .map(|mm| (mm / 25.4 * 1e6).round() / 1e6)
            .collect())
    }

    #[test]
    fn ranges_and_lists() {
        let whole: Vec<f64> = (1..=8).map(f64::from).collect();
        assert_eq!(inches("awning=1in..8in"), Ok(whole));
        assert_eq!(
            inches("awning=1..2 by 1/4"),
            Ok(vec![1.0, 1.25, 1.5, 1.75, 2.0])
        );
        // The last one is always laid.
        assert_eq!(
            inches("awning=3 1/4 in, 1..2.5"),
            Ok(vec![3.25, 1.0, 2.0, 2.5])
        );
        for wrong in [
            "awning",
            "dock=1..8",
            "awning=8..1",
            "awning=1..8 by 0",
            "awning=0..1",
            "awning=1..8 by 1/64",
        ] {
            assert!(inches(wrong).is_err(), "{wrong}");
        }
    }
}
