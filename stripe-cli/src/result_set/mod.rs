//! A set of files that appears whole or not at all.
//!
//! Everything is written into a draft first. A folder that is not there yet is made by
//! moving the draft to its place, which happens at once. In a folder that is there, the
//! draft lies inside, so that it is on the same disk and may even be the folder that
//! somebody works in; its files then move one by one, by steps that are written down
//! ([`steps`]). Whoever is killed in between leaves a draft, and the next run that comes
//! to the folder goes on from there ([`draft`]).

mod draft;
mod list;
mod steps;

use crate::failure::Failure;
use crate::{output, stop};
pub(crate) use draft::remove as remove_draft;
use draft::{Draft, Swept};
use list::{LIST_FILE, List, Outdated};
use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};
use steps::Failed;

/// The name of drafts that lie inside their folder.
const INSIDE: &str = "stripelay";

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

/// What a set is, and so what it takes the place of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// A whole plan, long searched for: it takes the place of all that the plan before
    /// it wrote, and is not thrown away because its folder cannot take it.
    Plan,
    /// Some drawings of a plan: they take the place of those of their own kinds.
    Drawings,
    /// Files that stand for themselves.
    Other,
}

/// Files on their way into a folder.
#[derive(Debug)]
pub(crate) struct ResultSet {
    target: PathBuf,
    room: Room,
    kind: Kind,
    names: Vec<String>,
    list: List,
    draft: Draft,
    /// Whether the draft lies inside its folder.
    is_inside: bool,
    /// Whether the draft holds what is nowhere else any more.
    is_stuck: bool,
    /// Folders made on the way, innermost first, to be removed if nothing comes of it.
    made: Vec<PathBuf>,
}

impl ResultSet {
    /// Begins a set, and finds out now whether the place can be written to.
    pub(crate) fn begin(target: &Path, room: Room, kind: Kind) -> Result<Self, Failure> {
        if !target.exists() && fs::symlink_metadata(target).is_ok() {
            return Err(Failure::new(
                format!(
                    "{} is a link to something that is not there",
                    target.display()
                ),
                "choose another folder",
            ));
        }
        if target.exists() && !target.is_dir() {
            return Err(Failure::new(
                format!("{} is a file, not a folder", target.display()),
                "choose another folder",
            ));
        }
        sweep_up(target);
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
        let is_inside = target.is_dir();
        let (parent, stem) = if is_inside {
            (target.to_owned(), INSIDE.to_owned())
        } else {
            beside(target).ok_or_else(|| {
                let words = format!("{} cannot be the name of a new folder", target.display());
                Failure::new(words, "end the path with a name for the new folder")
            })?
        };
        // From the first folder on, whoever ends the program must know what to remove.
        let mut leavings = stop::hold();
        let made = make_folders(&parent)?;
        let draft = match Draft::make(&parent, &stem) {
            Ok(draft) => draft,
            Err(error) => {
                remove_empty(&made);
                return Err(Failure::io("write to", target, &error));
            }
        };
        leavings.draft = Some(draft.path.clone());
        leavings.folders.clone_from(&made);
        drop(leavings);
        Ok(Self {
            target: target.to_owned(),
            room,
            kind,
            names: vec![],
            list: List::default(),
            draft,
            is_inside,
            is_stuck: false,
            made,
        })
    }

    /// Writes one file of the set.
    pub(crate) fn write(&mut self, name: &str, bytes: &[u8]) -> Result<(), Failure> {
        // Held, so that nothing is written while the draft is being removed.
        let _leavings = stop::hold();
        let path = self.draft.path.join("new").join(name);
        fs::write(&path, bytes)
            .map_err(|error| Failure::io("write", &self.target.join(name), &error))?;
        self.names.push(name.to_owned());
        self.list.add(name, bytes);
        Ok(())
    }

    /// Moves the set to its place; returns the files' names.
    pub(crate) fn finish(mut self) -> Result<Vec<String>, Failure> {
        // A second Ctrl-C waits until all files are moved: it takes a moment.
        let mut leavings = stop::hold();
        let moved = if self.is_inside {
            self.move_into()
        } else {
            self.move_whole()
        };
        match moved {
            Ok(outdated) => {
                leavings.folders.clear();
                self.made.clear();
                drop(leavings);
                tell_of(&outdated, &self.target);
                Ok(std::mem::take(&mut self.names))
            }
            Err(failure) => {
                if self.is_stuck {
                    leavings.draft = None;
                } else if self.kind == Kind::Plan
                    && let Some(aside) = self.keep_aside()
                {
                    leavings.folders.clear();
                    self.made.clear();
                    return Err(failure.with_help(format!(
                        "the finished plan is in {}: copy it from there",
                        aside.display()
                    )));
                }
                Err(failure)
            }
        }
    }

    /// The whole draft becomes the folder that was not there.
    fn move_whole(&mut self) -> Result<Outdated, Failure> {
        let target = self.target.clone();
        let fail = |error| Failure::io("write", &target, &error);
        self.write_list(None).map_err(fail)?;
        let new = self.draft.path.join("new");
        // Where somebody made the folder meanwhile, this fails unless it is empty.
        let Err(error) = fs::rename(&new, &self.target) else {
            return Ok(Outdated::default());
        };
        if !self.target.is_dir() {
            return Err(fail(error));
        }
        // It is there now: go inside.
        let inside = Draft::make(&self.target, INSIDE).map_err(fail)?;
        for name in self.names.iter().map(String::as_str).chain([LIST_FILE]) {
            let from = new.join(name);
            if !from.exists() {
                continue;
            }
            let to = inside.path.join("new").join(name);
            // A copy where it is another disk; the first draft stays whole until the end.
            if let Err(error) = fs::copy(&from, &to) {
                let _ = draft::remove(&inside.path);
                return Err(fail(error));
            }
        }
        let beside = std::mem::replace(&mut self.draft, inside);
        let moved = self.move_into();
        if moved.is_ok() || self.is_stuck {
            let _ = draft::remove(&beside.path);
        } else {
            let _ = draft::remove(&self.draft.path);
            self.draft = beside;
        }
        moved
    }

    /// File by file into a folder that is there.
    fn move_into(&mut self) -> Result<Outdated, Failure> {
        let target = self.target.clone();
        let fail = |error| Failure::io("write", &target, &error);
        // One run at a time; where folders cannot be locked, the steps alone must do.
        let folder = File::open(&self.target);
        let _turn = folder.as_ref().map(File::lock);
        if self.room == Room::Empty && self.has_others().map_err(fail)? {
            return Err(Failure::new(
                format!(
                    "something else has written into {} in the meantime",
                    self.target.display()
                ),
                "choose a new folder",
            ));
        }
        let is_there = |name: &&String| fs::symlink_metadata(self.target.join(name)).is_ok();
        if self.room == Room::Beside
            && let Some(name) = self.names.iter().find(is_there)
        {
            return Err(Failure::new(
                format!("{} is there already", self.target.join(name).display()),
                "choose another folder with --out, or add --force to write over it",
            ));
        }
        let older = List::read(&self.target);
        let outdated = match (self.kind, self.room) {
            (Kind::Plan, _) => older.outdated(&self.list, true, &self.target),
            (Kind::Drawings, Room::Any) => older.outdated(&self.list, false, &self.target),
            _ => Outdated::default(),
        };
        self.write_list(Some((&older, &outdated))).map_err(fail)?;
        let mut names = self.names.clone();
        if self.kind != Kind::Other {
            names.push(LIST_FILE.to_owned());
        }
        match steps::take(&self.draft.path, &self.target, &names, &outdated.unchanged) {
            Ok(()) => Ok(outdated),
            Err(Failed::Unchanged(error)) => Err(fail(error)),
            Err(Failed::Stuck(error)) => {
                self.is_stuck = true;
                Err(fail(error).with_help(format!(
                    "some files could not be put back: they are in {}; run the same command again to finish",
                    self.draft.path.join("old").display()
                )))
            }
        }
    }

    /// Writes the list of what will be there.
    fn write_list(&self, older: Option<(&List, &Outdated)>) -> io::Result<()> {
        if self.kind == Kind::Other {
            return Ok(());
        }
        let mut list = self.list.clone();
        if let Some((older, outdated)) = older {
            list.keep(older, outdated);
        }
        let bytes = list.to_bytes().ok_or(io::ErrorKind::InvalidData)?;
        fs::write(self.draft.path.join("new").join(LIST_FILE), bytes)
    }

    /// Whether the folder holds anything but the draft.
    fn has_others(&self) -> io::Result<bool> {
        let own = self.draft.path.file_name();
        let entries = fs::read_dir(&self.target)?;
        let mut others = entries.filter(|entry| {
            entry
                .as_ref()
                .is_ok_and(|entry| Some(entry.file_name().as_os_str()) != own)
        });
        Ok(others.next().is_some())
    }

    /// Moves a whole set to a free name near its place.
    fn keep_aside(&self) -> Option<PathBuf> {
        let new = self.draft.path.join("new");
        if !self.names.iter().all(|name| new.join(name).is_file()) {
            return None;
        }
        let name = match self.target.file_name() {
            Some(name) => name.to_string_lossy().into_owned(),
            None => INSIDE.to_owned(),
        };
        let parent = self.draft.path.parent()?;
        (2..100)
            .map(|number| parent.join(format!("{name}-{number}")))
            .filter(|aside| fs::symlink_metadata(aside).is_err())
            .find(|aside| fs::rename(&new, aside).is_ok())
    }
}

impl Drop for ResultSet {
    fn drop(&mut self) {
        let mut leavings = stop::hold();
        if !self.is_stuck {
            let _ = draft::remove(&self.draft.path);
        }
        remove_empty(&self.made);
        let _ = self.draft.lock.unlock();
        *leavings = stop::Leavings::default();
    }
}

/// Goes on from where runs were killed that wrote into this folder, or were to make it.
pub(crate) fn sweep_up(folder: &Path) {
    let inside = draft::sweep(folder, INSIDE);
    let beside =
        beside(folder).map_or_else(Vec::new, |(parent, stem)| draft::sweep(&parent, &stem));
    for swept in inside.into_iter().chain(beside) {
        let folder = folder.display();
        output::tell(&match swept {
            Swept::Removed => format!(
                "An earlier run into {folder} was cut off. Its unfinished files have been removed."
            ),
            Swept::Finished => format!(
                "An earlier run was cut off while it was moving its files into {folder}. They are all there now."
            ),
            Swept::TakenBack => format!(
                "An earlier run was cut off while it was putting older files back into {folder}. They are all there now."
            ),
        });
    }
}

fn tell_of(outdated: &Outdated, folder: &Path) {
    let folder = folder.display();
    if !outdated.unchanged.is_empty() {
        output::tell(&format!(
            "Removed from {folder}, left there by an older plan: {}.",
            outdated.unchanged.join(", ")
        ));
    }
    if !outdated.changed.is_empty() {
        output::tell(&format!(
            "Kept in {folder}, because they were changed since an older plan wrote them: {}.",
            outdated.changed.join(", ")
        ));
    }
}

/// The folder that another lies in, and its name there; none for `..`, `/` and the like.
fn beside(folder: &Path) -> Option<(PathBuf, String)> {
    let name = folder.file_name()?.to_string_lossy().into_owned();
    let parent = folder.parent()?;
    let parent = if parent.as_os_str().is_empty() {
        Path::new(".")
    } else {
        parent
    };
    Some((parent.to_owned(), name))
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

#[cfg(test)]
mod tests;
