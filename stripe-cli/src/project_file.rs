//! The project file: its faults, and those that only planning it shows.

use crate::failure::Failure;
use std::fs::File;
use std::io::Read;
use std::path::{Component, Path};
use stripe_core::drawing::limits::MAX_DRAWING_BYTES;
use stripe_core::motif::MotifError;
use stripe_core::plan::Error;
use stripe_core::project::{Fault, Project, place_of};

/// Reads a project, or tells all its faults.
pub(crate) fn read_project(path: &Path, text: &str) -> Result<Project, Failure> {
    if is_json(text) {
        return Err(Failure::new(
            format!("{} is a plan, not a project file", path.display()),
            "give the project file that it was made from, which ends in .toml; `stripelay check` \
             and `stripelay draw` take plans",
        ));
    }
    read_project_with(path, text, None)
}

/// The same, where the bytes of a file of that name are not beside it yet.
pub(crate) fn read_project_with(
    path: &Path,
    text: &str,
    coming: Option<(&str, &[u8])>,
) -> Result<Project, Failure> {
    let beside = path.parent().unwrap_or(Path::new(""));
    let files = |name: &str| match coming {
        Some((known, bytes)) if known == name => Ok(bytes.to_vec()),
        _ => drawing_beside(beside, name),
    };
    Project::read_with(text, &files).map_err(|faults| Failure::Faults {
        file: path.display().to_string(),
        text: text.to_owned(),
        faults,
    })
}

/// The bytes of a drawing or a picture beside the project file; never of a file elsewhere.
pub(crate) fn drawing_beside(folder: &Path, name: &str) -> Result<Vec<u8>, String> {
    let inside = Path::new(name)
        .components()
        .all(|step| matches!(step, Component::Normal(_) | Component::CurDir));
    if !inside || name.is_empty() || name.contains([':', '\\']) {
        return Err("it must lie in the project's folder".to_owned());
    }
    let folder = if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    };
    let said = |error: std::io::Error| error.to_string();
    let whole = folder.join(name).canonicalize().map_err(said)?;
    if !whole.starts_with(folder.canonicalize().map_err(said)?) {
        return Err("it is a link to a file outside of the project's folder".to_owned());
    }
    if !whole.is_file() {
        return Err("it is no file".to_owned());
    }
    // One byte more than a drawing may have: the reader then says that it is too large.
    let mut bytes = vec![];
    let file = File::open(whole).map_err(said)?;
    let read = file
        .take(MAX_DRAWING_BYTES as u64 + 1)
        .read_to_end(&mut bytes);
    read.map_err(said)?;
    Ok(bytes)
}

/// Whether a text begins as an object of JSON does; no project file can.
fn is_json(text: &str) -> bool {
    let mut chars = text.trim_start_matches('\u{feff}').chars();
    chars.find(|c| !c.is_whitespace()) == Some('{')
}

/// Why a project could not be planned, beside the line that is to be changed.
pub(crate) fn plan_failure(path: &Path, text: &str, error: &Error) -> Failure {
    let place = match error {
        Error::TooWide { fabric, .. } => place_of(text, &["fabric", fabric, "width"]),
        Error::Layout { fabric, .. } | Error::Straight { fabric, .. } => {
            place_of(text, &["fabric", fabric])
        }
        Error::NoFabric { motif, .. } => place_of(text, &["motif", motif]),
        Error::Motif(
            MotifError::NoParts(motif)
            | MotifError::Fan { motif, .. }
            | MotifError::Outline { motif, .. },
        ) => place_of(text, &["motif", motif]),
        _ => None,
    };
    let (message, help) = match error {
        Error::TooWide { .. } => (
            error.to_string(),
            "measure the fabric again, choose a wider one, or make the motif smaller",
        ),
        Error::Unverified(_) => (
            error.to_string(),
            "nothing was written; please report this, with your project file",
        ),
        Error::NotInHand { .. } => (
            error.to_string(),
            "list what you have of its fabric, for example [[fabric.deck.in_hand]] with have = \"3/4 yd\", and plan again",
        ),
        _ => (error.to_string(), "change the project file and plan again"),
    };
    match place {
        Some(span) => Failure::Faults {
            file: path.display().to_string(),
            text: text.to_owned(),
            faults: vec![Fault {
                span,
                message,
                help: help.to_owned(),
            }],
        },
        None => Failure::new(message, help),
    }
}
