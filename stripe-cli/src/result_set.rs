//! A set of files that appears whole or not at all.
//!
//! Everything is written into a hidden folder beside the place where it belongs;
//! only when all is there is it moved. Whatever goes wrong before, the hidden folder
//! is removed and nothing has changed.

use crate::failure::Failure;
use crate::stop;
use std::fs;
use std::path::{Path, PathBuf};

/// What may already be there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Room {
    /// Nothing: the folder is new or empty.
    Empty,
    /// Other files, but none of ours.
    Beside,
    /// Anything: files of the same names are replaced (`--force`).
    Any,
}

/// Files on their way into a folder.
#[derive(Debug)]
pub(crate) struct ResultSet {
    target: PathBuf,
    draft: PathBuf,
    room: Room,
    names: Vec<String>,
    /// Folders made on the way, innermost first, to be removed if nothing comes of it.
    made: Vec<PathBuf>,
}

impl ResultSet {
    /// Begins a set, and finds out now whether the place can be written to.
    pub(crate) fn begin(target: &Path, room: Room) -> Result<Self, Failure> {
        if target.exists() && !target.is_dir() {
            return Err(Failure::new(
                format!("{} is a file, not a folder", target.display()),
                "choose another folder",
            ));
        }
        if room == Room::Empty && target.is_dir() {
            let mut entries =
                fs::read_dir(target).map_err(|error| Failure::io("look into", target, &error))?;
            if entries.next().is_some() {
                return Err(Failure::new(
                    format!("{} is not empty", target.display()),
                    "choose a new folder, or add --force to write over files of the same names",
                ));
            }
        }
        let (parent, name) = parent_and_name(target);
        let made = make_folders(&parent)?;
        let draft = match make_draft(&parent, &name, target) {
            Ok(draft) => draft,
            Err(failure) => {
                remove_empty(&made);
                return Err(failure);
            }
        };
        stop::remove_if_ended(Some(draft.clone()));
        Ok(Self {
            target: target.to_owned(),
            draft,
            room,
            names: vec![],
            made,
        })
    }

    /// Writes one file of the set.
    pub(crate) fn write(&mut self, name: &str, bytes: &[u8]) -> Result<(), Failure> {
        let path = self.draft.join(name);
        fs::write(&path, bytes).map_err(|error| Failure::io("write", &path, &error))?;
        self.names.push(name.to_owned());
        Ok(())
    }

    /// Moves the set to its place; returns the files' names.
    pub(crate) fn finish(mut self) -> Result<Vec<String>, Failure> {
        if self.room == Room::Beside
            && let Some(name) = self.names.iter().find(|n| self.target.join(n).exists())
        {
            return Err(Failure::new(
                format!("{} is there already", self.target.join(name).display()),
                "choose another folder with --out, or add --force to write over it",
            ));
        }
        let is_free = match fs::read_dir(&self.target) {
            Ok(mut entries) => entries.next().is_none(),
            Err(_) => true,
        };
        if is_free {
            self.move_whole()?;
        } else if self.room == Room::Empty {
            return Err(Failure::new(
                format!("{} has been filled meanwhile", self.target.display()),
                "choose a new folder",
            ));
        } else {
            self.move_each()?;
        }
        self.made.clear();
        Ok(std::mem::take(&mut self.names))
    }

    fn move_whole(&self) -> Result<(), Failure> {
        let fail = |error| Failure::io("write", &self.target, &error);
        if self.target.is_dir() {
            // A link to an empty folder cannot be removed like one: fill it instead.
            if fs::symlink_metadata(&self.target).is_ok_and(|about| about.is_symlink()) {
                return self.move_each();
            }
            fs::remove_dir(&self.target).map_err(fail)?;
        }
        fs::rename(&self.draft, &self.target).map_err(fail)
    }

    /// Moves file by file; what was replaced is put back if one of them fails.
    fn move_each(&self) -> Result<(), Failure> {
        let old = self.draft.join(".replaced");
        fs::create_dir(&old).map_err(|error| Failure::io("write", &old, &error))?;
        let mut moved: Vec<(&str, bool)> = vec![];
        for name in &self.names {
            let place = self.target.join(name);
            let step = || {
                let had = fs::symlink_metadata(&place).is_ok();
                if had {
                    fs::rename(&place, old.join(name))?;
                }
                fs::rename(self.draft.join(name), &place).inspect_err(|_| {
                    if had {
                        let _ = fs::rename(old.join(name), &place);
                    }
                })?;
                Ok(had)
            };
            match step() {
                Ok(had) => moved.push((name, had)),
                Err(error) => {
                    for (name, had) in moved {
                        let place = self.target.join(name);
                        let _ = fs::remove_file(&place);
                        if had {
                            let _ = fs::rename(old.join(name), &place);
                        }
                    }
                    return Err(Failure::io("write", &place, &error));
                }
            }
        }
        Ok(())
    }
}

impl Drop for ResultSet {
    fn drop(&mut self) {
        // After a finished move there is nothing left to remove, or only leavings.
        let _ = fs::remove_dir_all(&self.draft);
        remove_empty(&self.made);
        stop::remove_if_ended(None);
    }
}

fn parent_and_name(target: &Path) -> (PathBuf, String) {
    let name = target.file_name().map_or_else(
        || "out".to_owned(),
        |name| name.to_string_lossy().into_owned(),
    );
    match target.parent() {
        Some(parent) if parent.as_os_str().is_empty() => (PathBuf::from("."), name),
        Some(parent) if target.file_name().is_some() => (parent.to_owned(), name),
        // `.`, `..`, `/`: what is made beside them would be elsewhere, so make it inside.
        _ => (target.to_owned(), name),
    }
}

/// Makes missing folders; returns those made, innermost first.
fn make_folders(folder: &Path) -> Result<Vec<PathBuf>, Failure> {
    let mut missing: Vec<&Path> = vec![];
    let mut at = Some(folder);
    while let Some(here) = at.filter(|here| !here.as_os_str().is_empty() && !here.exists()) {
        missing.push(here);
        at = here.parent();
    }
    let mut made = vec![];
    for here in missing.into_iter().rev() {
        if let Err(error) = fs::create_dir(here) {
            remove_empty(&made);
            return Err(Failure::io("make the folder", here, &error));
        }
        made.insert(0, here.to_owned());
    }
    Ok(made)
}

fn remove_empty(folders: &[PathBuf]) {
    for folder in folders {
        let _ = fs::remove_dir(folder);
    }
}

/// A hidden folder that nobody else uses.
fn make_draft(parent: &Path, name: &str, target: &Path) -> Result<PathBuf, Failure> {
    let process = std::process::id();
    for attempt in 0..100 {
        let draft = parent.join(format!(".{name}.{process}-{attempt}.draft"));
        match fs::create_dir(&draft) {
            Ok(()) => return Ok(draft),
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(Failure::io("write to", target, &error)),
        }
    }
    Err(Failure::new(
        format!("cannot make a draft beside {}", target.display()),
        "remove old folders that end in .draft there",
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A folder of one test's own, removed afterwards.
    struct Place(PathBuf);

    impl Place {
        fn new(name: &str) -> Self {
            let path =
                std::env::temp_dir().join(format!("stripelay-{name}-{}", std::process::id()));
            fs::create_dir_all(&path).unwrap();
            Self(path)
        }

        fn names(&self) -> Vec<String> {
            let entries = fs::read_dir(&self.0).unwrap();
            let mut names: Vec<String> = entries
                .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
                .collect();
            names.sort();
            names
        }
    }

    impl Drop for Place {
        fn drop(&mut self) {
            let _ = fs::remove_dir_all(&self.0);
        }
    }

    #[test]
    fn appears_whole() {
        let place = Place::new("whole");
        let out = place.0.join("deep/er/out");
        let mut set = ResultSet::begin(&out, Room::Empty).unwrap();
        set.write("a.txt", b"a").unwrap();
        assert!(!out.exists());
        assert_eq!(set.finish().unwrap(), ["a.txt"]);
        assert_eq!(fs::read(out.join("a.txt")).unwrap(), b"a");
        assert_eq!(fs::read_dir(place.0.join("deep/er")).unwrap().count(), 1);
    }

    #[test]
    fn given_up_leaves_nothing() {
        let place = Place::new("nothing");
        let mut set = ResultSet::begin(&place.0.join("deep/out"), Room::Empty).unwrap();
        set.write("a.txt", b"a").unwrap();
        drop(set);
        assert_eq!(place.names(), Vec::<String>::new());
    }

    #[test]
    fn what_is_there_stays() {
        let place = Place::new("stays");
        fs::write(place.0.join("mine.txt"), "mine").unwrap();
        fs::write(place.0.join("a.txt"), "old").unwrap();
        assert!(ResultSet::begin(&place.0, Room::Empty).is_err());
        let mut set = ResultSet::begin(&place.0, Room::Beside).unwrap();
        set.write("a.txt", b"new").unwrap();
        assert!(set.finish().is_err());
        assert_eq!(fs::read(place.0.join("a.txt")).unwrap(), b"old");
        let mut set = ResultSet::begin(&place.0, Room::Any).unwrap();
        set.write("a.txt", b"new").unwrap();
        set.finish().unwrap();
        assert_eq!(fs::read(place.0.join("a.txt")).unwrap(), b"new");
        assert_eq!(place.names(), ["a.txt", "mine.txt"]);
    }

    #[test]
    fn a_move_that_fails_is_undone() {
        let place = Place::new("undone");
        fs::write(place.0.join("a.txt"), "old").unwrap();
        let mut set = ResultSet::begin(&place.0, Room::Any).unwrap();
        set.write("a.txt", b"new").unwrap();
        set.write("b.txt", b"new").unwrap();
        // The second file vanishes from the draft, so that its move must fail.
        fs::remove_file(set.draft.join("b.txt")).unwrap();
        assert!(set.finish().is_err());
        assert_eq!(fs::read(place.0.join("a.txt")).unwrap(), b"old");
        assert_eq!(place.names(), ["a.txt"]);
    }
}
