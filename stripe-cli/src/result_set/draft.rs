//! Drafts: hidden folders in which a result waits until it is whole.
//!
//! A draft holds `new/`, the files to be; `old/`, what they take the place of; `lock`,
//! which its maker holds as long as it lives; and, from the moment on at which all of it
//! is to happen, `steps` (see [`super::steps`]). A draft whose maker is gone is swept up
//! by the next run that comes to the folder: its steps are taken to their end, or, where
//! there are none yet, nothing has happened and it is removed.

use super::steps;
use std::fs::{self, File, TryLockError};
use std::io;
use std::path::{Path, PathBuf};

const ENDING: &str = ".draft";
const LOCK: &str = "lock";

/// A draft of this run.
#[derive(Debug)]
pub(super) struct Draft {
    pub(super) path: PathBuf,
    /// Held until the draft is dropped; a killed process lets go of it too.
    pub(super) lock: File,
}

impl Draft {
    /// Makes a hidden folder that nobody else uses.
    pub(super) fn make(parent: &Path, stem: &str) -> io::Result<Self> {
        let process = std::process::id();
        for attempt in 0..100 {
            let path = parent.join(format!(".{stem}.{process}-{attempt}{ENDING}"));
            match fs::create_dir(&path) {
                Ok(()) => {}
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => continue,
                Err(error) => return Err(error),
            }
            let made = File::create(path.join(LOCK)).and_then(|lock| {
                // A file system without locks: then nobody sweeps, either.
                let is_taken = matches!(lock.try_lock(), Err(TryLockError::WouldBlock));
                fs::create_dir(path.join("new"))?;
                fs::create_dir(path.join("old"))?;
                Ok((lock, is_taken))
            });
            match made {
                Ok((lock, false)) => return Ok(Self { path, lock }),
                // Swept up by another run in the moment before it was locked.
                Ok(_) => {}
                Err(error) if error.kind() == io::ErrorKind::NotFound => {}
                Err(error) => {
                    let _ = fs::remove_dir_all(&path);
                    return Err(error);
                }
            }
        }
        Err(io::Error::other(
            "there are too many unfinished folders there: remove the ones that end in .draft",
        ))
    }
}

/// Removes a draft, its lock last: whoever is killed on the way leaves a draft that can
/// still be told for one.
pub(crate) fn remove(path: &Path) -> io::Result<()> {
    for entry in fs::read_dir(path)? {
        let entry = entry?;
        if entry.file_name() == LOCK {
            continue;
        }
        if entry.file_type()?.is_dir() {
            fs::remove_dir_all(entry.path())?;
        } else {
            fs::remove_file(entry.path())?;
        }
    }
    fs::remove_file(path.join(LOCK))?;
    fs::remove_dir(path)
}

/// What became of a draft that a run left behind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Swept {
    /// It was not whole: removed.
    Removed,
    /// It was being moved to its place: now it is there.
    Finished,
    /// It was being taken back: now the older result is there.
    TakenBack,
}

/// Sweeps up drafts in `parent` whose names begin with `stem` and whose makers are gone.
pub(super) fn sweep(parent: &Path, stem: &str) -> Vec<Swept> {
    let Ok(entries) = fs::read_dir(parent) else {
        return vec![];
    };
    let names = entries.filter_map(|entry| entry.ok()?.file_name().into_string().ok());
    let mut names: Vec<String> = names.filter(|name| is_draft(name, stem)).collect();
    names.sort();
    let swept = names
        .iter()
        .filter_map(|name| sweep_one(&parent.join(name), parent));
    swept.collect()
}

/// Whether a name is `.STEM.PROCESS-ATTEMPT.draft`.
fn is_draft(name: &str, stem: &str) -> bool {
    let middle = name
        .strip_prefix('.')
        .and_then(|rest| rest.strip_prefix(stem)?.strip_prefix('.'))
        .and_then(|rest| rest.strip_suffix(ENDING));
    let is_number = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    middle
        .and_then(|middle| middle.split_once('-'))
        .is_some_and(|(process, attempt)| is_number(process) && is_number(attempt))
}

fn sweep_one(path: &Path, parent: &Path) -> Option<Swept> {
    if !fs::symlink_metadata(path).is_ok_and(|about| about.is_dir()) {
        return None;
    }
    let Ok(lock) = File::open(path.join(LOCK)) else {
        // Killed before it was locked, or not locked yet. With anything in it, it is
        // not ours.
        let _ = fs::remove_dir(path);
        return None;
    };
    // Its maker lives, or nobody can tell.
    lock.try_lock().ok()?;
    let became = match steps::recover(path, parent) {
        Ok(Some(true)) => Swept::Finished,
        Ok(Some(false)) => Swept::TakenBack,
        Ok(None) => Swept::Removed,
        Err(_) => return None,
    };
    remove(path).ok()?;
    Some(became)
}

#[cfg(test)]
mod tests {
    use super::is_draft;

    #[test]
    fn only_our_own_names_are_swept() {
        assert!(is_draft(".out.12-0.draft", "out"));
        for name in [
            "out.12-0.draft",
            ".out.draft",
            ".out.a-0.draft",
            ".out.12-.draft",
            ".outer.12-0.draft",
            ".out.12-0.drafts",
        ] {
            assert!(!is_draft(name, "out"), "{name}");
        }
    }
}
