//! The designer's project file made ready for another maker's stripe: what she must replace is
//! marked, all else stays as it is.

use crate::digest::digest;
use crate::failure::Failure;
use crate::input::{MAX_PROJECT_BYTES, read_text};
use crate::pictures::Picture;
use crate::project_file::{drawing_beside, read_project};
use std::path::Path;
use stripe_core::plan::Plan;
use stripe_core::project::{Project, place_of, place_of_value};

/// Its name beside the pattern.
pub(crate) const PROJECT_FILE: &str = "pattern.toml";

/// The marked project file, and the drawings that it names. `folder` is where they will lie: a
/// drawing that is there already is left alone.
pub(crate) fn for_other_stripes(
    path: &Path,
    plan: &Plan,
    folder: &Path,
) -> Result<Vec<Picture>, Failure> {
    let text = read_text(path, MAX_PROJECT_BYTES)?;
    let mut project = read_project(path, &text)?;
    if digest(&text) != plan.project_digest {
        return Err(Failure::new(
            format!(
                "{} is not the project that this plan was made from",
                path.display()
            ),
            "give that file, or plan the project again with `stripelay lay` and draw the pattern from the new plan",
        ));
    }
    // The other maker's fabric looks otherwise.
    let text = without_pictures(text, &project);
    for fabric in &mut project.fabrics {
        fabric.picture = None;
    }
    let marked = marked(&text, &project);
    // Beside the pictures a mark may only add comments.
    if read_project(path, &marked).ok().as_ref() != Some(&project) {
        return Err(Failure::new(
            format!("{} could not be marked for another stripe", path.display()),
            "give every key of its fabrics a line of its own, as the example project has it",
        ));
    }
    let mut files = vec![(PROJECT_FILE.to_owned(), marked.into_bytes())];
    let beside = path.parent().unwrap_or(Path::new(""));
    for name in drawings(&text, &project) {
        if folder.join(&name).exists() || files.iter().any(|(known, _)| *known == name) {
            continue;
        }
        if name.contains('/') {
            return Err(Failure::new(
                format!("the drawing {name} lies in a folder of its own"),
                "move it beside the project file, so that it can go with the pattern",
            ));
        }
        let bytes = drawing_beside(beside, &name).map_err(|wrong| {
            Failure::new(
                format!("the drawing {name}: {wrong}"),
                "put it beside the project file",
            )
        })?;
        files.push((name, bytes));
    }
    Ok(files)
}

/// The text without the keys that name pictures of the designer's fabrics.
fn without_pictures(mut text: String, project: &Project) -> String {
    for fabric in project
        .fabrics
        .iter()
        .filter(|fabric| fabric.picture.is_some())
    {
        let way = ["fabric", fabric.name.as_str(), "picture"];
        let (Some(key), Some(value)) = (place_of(&text, &way), place_of_value(&text, &way)) else {
            continue;
        };
        let line = text[..key.start].rfind('\n').map_or(0, |at| at + 1);
        let end = text[value.end..]
            .find('\n')
            .map_or(text.len(), |at| value.end + at + 1);
        // A line of its own goes with its comment; of an inline table the key alone.
        let cut = if text[line..key.start].contains('{') {
            let rest = &text[value.end..];
            let comma = rest.trim_start().starts_with(',');
            key.start
                ..value.end
                    + if comma {
                        rest.find(',').map_or(0, |at| at + 1)
                    } else {
                        0
                    }
        } else {
            line..end
        };
        text.replace_range(cut, "");
    }
    text
}

/// The drawings that motifs come from.
fn drawings(text: &str, project: &Project) -> Vec<String> {
    let motifs = project.motifs.iter();
    let places =
        motifs.filter_map(|motif| place_of_value(text, &["motif", &motif.name, "drawing"]));
    let names = places.filter_map(|place| {
        let quoted = text.get(place)?;
        let name = quoted.trim_matches(['"', '\'']);
        Some(name.trim_start_matches("./").to_owned())
    });
    names.collect()
}

/// The text with comments before the lines that another maker changes.
fn marked(text: &str, project: &Project) -> String {
    let mut marks: Vec<(usize, String)> = Vec::new();
    let mut mark = |way: &[&str], words: String| {
        if let Some(place) = place_of_value(text, way) {
            let line = text[..place.start].rfind('\n').map_or(0, |at| at + 1);
            marks.push((line, words));
        }
    };
    for fabric in &project.fabrics {
        let name = fabric.name.as_str();
        mark(
            &["fabric", name, "width"],
            format!("# YOUR WIDTH: measure your fabric for `{name}` without its selvages."),
        );
        mark(
            &["fabric", name, "sold", "price"],
            format!(
                "# YOUR PRICE of `{name}`, or take this line out: it is what the designer paid."
            ),
        );
        mark(
            &["fabric", name, "in_hand"],
            format!(
                "# YOUR PIECES: what you have of `{name}`. These are the designer's: replace them, or take them out."
            ),
        );
        let Some(stripe) = fabric.stripe() else {
            mark(
                &["fabric", name, "colour"],
                format!("# YOUR COLOUR of `{name}`, for the pictures."),
            );
            continue;
        };
        mark(
            &["fabric", name, "faces"],
            format!("# YOUR STRIPE: \"right side\", unless either side of your `{name}` may show."),
        );
        for (key, words) in [
            ("start", "where your first band begins."),
            ("lean", "0, until you have measured how far it leans."),
            ("repeat", "take this line out, or put your own measure in."),
            (
                "measured",
                "take this line out, or put your own measure in.",
            ),
            (
                "selvages",
                "take this line out, or put your own measures in.",
            ),
        ] {
            mark(
                &["fabric", name, "stripe", key],
                format!("# YOUR STRIPE: {words}"),
            );
        }
        let asked: Vec<&str> = stripe
            .bands()
            .iter()
            .map(|band| band.name.as_str())
            .filter(|band| !band.is_empty() && text.contains(&format!("middle_of = \"{band}\"")))
            .collect();
        let keep = match asked.first() {
            Some(band) => {
                format!("\n# Call one of them `{band}`: its middle lies where the designer's does.")
            }
            None => String::new(),
        };
        mark(
            &["fabric", name, "stripe", "bands"],
            format!(
                "# YOUR STRIPE: put the bands of your own fabric for `{name}` here, in order across one repeat.{keep}"
            ),
        );
    }
    // From the last to the first, so that places stay true.
    marks.sort_by_key(|(line, _)| std::cmp::Reverse(*line));
    marks.dedup();
    let mut marked = text.to_owned();
    for (line, words) in marks {
        let indent: String = text[line..]
            .chars()
            .take_while(|c| *c == ' ' || *c == '\t')
            .collect();
        let lines = words.lines().map(|one| format!("{indent}{one}\n"));
        marked.insert_str(line, &lines.collect::<String>());
    }
    let head = "# For your own stripe: change the lines below each YOUR STRIPE, YOUR WIDTH, YOUR COLOUR and YOUR PRICE, then\n#     stripelay lay pattern.toml --out my-plan\n#\n";
    let begins = usize::from(marked.starts_with('\u{feff}')) * '\u{feff}'.len_utf8();
    marked.insert_str(begins, head);
    marked
}
