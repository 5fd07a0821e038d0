//! From a whole draft to the folder that it is for, so that whoever is killed on the way
//! leaves enough behind to go on, or back.
//!
//! First everything that will be replaced or removed is kept in `old/` too, by a second
//! name for the same file where the file system has such, by a copy elsewhere. Then
//! `steps` is written, whole at once: from here on the result counts as there. Each file
//! is moved over the one that it replaces, so that at no moment there is none. Going on
//! and going back may both be done again from any point.

use super::list::is_plain;
use serde::{Deserialize, Serialize};
use std::fs;
use std::io;
use std::path::Path;

const STEPS: &str = "steps";
const BACK: &str = "back";
const DONE: &str = "done";
/// The largest list of steps that is read (bytes).
const MAX_BYTES: u64 = 32 << 20;

/// What is to happen in a folder.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Steps {
    put: Vec<Put>,
    remove: Vec<String>,
}

#[derive(Debug, Serialize, Deserialize)]
struct Put {
    name: String,
    /// Whether something of that name was there.
    had: bool,
}

/// Why the steps were not taken.
#[derive(Debug)]
pub(super) enum Failed {
    /// Nothing has changed: the draft and its folder are as they were.
    Unchanged(io::Error),
    /// Some steps could not be taken back: the draft holds what is missing.
    Stuck(io::Error),
}

/// Takes all steps; where one fails, takes them back.
pub(super) fn take(
    draft: &Path,
    target: &Path,
    names: &[String],
    remove: &[String],
) -> Result<(), Failed> {
    let steps = plan(draft, target, names, remove).map_err(Failed::Unchanged)?;
    let Err(error) = steps.forward(draft, target, Pass::First) else {
        return Ok(());
    };
    let back = fs::rename(draft.join(STEPS), draft.join(BACK))
        .and_then(|()| steps.back(draft, target))
        .and_then(|()| fs::rename(draft.join(BACK), draft.join(DONE)));
    Err(match back {
        Ok(()) => Failed::Unchanged(error),
        Err(error) => Failed::Stuck(error),
    })
}

/// Keeps what will be replaced, and writes down what is to happen.
fn plan(draft: &Path, target: &Path, names: &[String], remove: &[String]) -> io::Result<Steps> {
    let mut put = vec![];
    for name in names {
        let place = target.join(name);
        let about = fs::symlink_metadata(&place);
        if about.as_ref().is_ok_and(fs::Metadata::is_dir) {
            let words = format!("{} is a folder", place.display());
            return Err(io::Error::new(io::ErrorKind::IsADirectory, words));
        }
        if about.is_ok() {
            keep(&place, &draft.join("old").join(name))?;
        }
        put.push(Put {
            name: name.clone(),
            had: fs::symlink_metadata(draft.join("old").join(name)).is_ok(),
        });
    }
    for name in remove {
        keep(&target.join(name), &draft.join("old").join(name))?;
    }
    let steps = Steps {
        put,
        remove: remove.to_vec(),
    };
    let part = draft.join("steps.part");
    fs::write(&part, serde_json::to_vec(&steps)?)?;
    fs::rename(&part, draft.join(STEPS))?;
    Ok(steps)
}

/// Ends what somebody began and could not end. `Some(true)`: the newer result is there;
/// `Some(false)`: the older one; `None`: nothing had happened yet, or all of it.
pub(super) fn recover(draft: &Path, target: &Path) -> io::Result<Option<bool>> {
    if let Some(steps) = read(&draft.join(STEPS))? {
        steps.forward(draft, target, Pass::Again)?;
        return Ok(Some(true));
    }
    if let Some(steps) = read(&draft.join(BACK))? {
        steps.back(draft, target)?;
        return Ok(Some(false));
    }
    Ok(None)
}

fn read(path: &Path) -> io::Result<Option<Steps>> {
    match fs::metadata(path) {
        Ok(about) if about.len() <= MAX_BYTES => {}
        Ok(_) => return Err(io::ErrorKind::InvalidData.into()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(error),
    }
    let steps: Steps = serde_json::from_slice(&fs::read(path)?)?;
    let mut names = steps.put.iter().map(|put| &put.name).chain(&steps.remove);
    if names.all(|name| is_plain(name)) {
        Ok(Some(steps))
    } else {
        Err(io::ErrorKind::InvalidData.into())
    }
}

/// Whether steps are taken for the first time, or by somebody who comes later.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Pass {
    First,
    Again,
}

impl Steps {
    fn forward(&self, draft: &Path, target: &Path, pass: Pass) -> io::Result<()> {
        for Put { name, .. } in &self.put {
            let new = draft.join("new").join(name);
            if pass == Pass::Again && fs::symlink_metadata(&new).is_err() {
                continue;
            }
            fs::rename(&new, target.join(name))?;
        }
        for name in &self.remove {
            // What became something else meanwhile is not ours to remove.
            let (place, old) = (target.join(name), draft.join("old").join(name));
            if place.is_file() && fs::read(&place)? == fs::read(&old)? {
                fs::remove_file(&place)?;
            }
        }
        fs::rename(draft.join(STEPS), draft.join(DONE))
    }

    fn back(&self, draft: &Path, target: &Path) -> io::Result<()> {
        let is_there = |path: &Path| fs::symlink_metadata(path).is_ok();
        for Put { name, had } in &self.put {
            let (new, old) = (draft.join("new").join(name), draft.join("old").join(name));
            let place = target.join(name);
            // A file that cannot be moved is no reason to leave the others.
            if !is_there(&new) && is_there(&place) && (!had || is_there(&old)) {
                fs::rename(&place, &new)?;
            }
            if *had && is_there(&old) && !is_there(&place) {
                fs::rename(&old, &place)?;
            }
        }
        for name in &self.remove {
            let (place, old) = (target.join(name), draft.join("old").join(name));
            if is_there(&old) && !is_there(&place) {
                fs::rename(&old, &place)?;
            }
        }
        Ok(())
    }
}

/// A second name for a file, or a copy of it.
fn keep(from: &Path, to: &Path) -> io::Result<()> {
    match fs::hard_link(from, to) {
        Ok(()) => Ok(()),
        Err(_) => fs::copy(from, to).map(drop),
    }
}
