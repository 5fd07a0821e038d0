//! The list of what was written into a folder: so that a newer plan can take away what
//! it no longer has, and nothing else.

use crate::digest::digest_of;
use crate::json_layout;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

/// The list's own name. It is hidden: nobody cuts from it.
pub(super) const LIST_FILE: &str = ".stripelay-files.json";
const FORMAT: &str = "stripelay-files/1";
/// The largest list that is read (bytes): some hundred thousand files.
const MAX_BYTES: u64 = 32 << 20;

/// What was written into a folder, file by file.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(super) struct List {
    format: String,
    files: Vec<Entry>,
}

/// A file as it was written.
#[derive(Debug, Clone, Serialize, Deserialize)]
struct Entry {
    name: String,
    bytes: u64,
    digest: String,
}

/// What of an older result is to go.
#[derive(Debug, Default)]
pub(super) struct Outdated {
    /// As they were written.
    pub(super) unchanged: Vec<String>,
    /// Changed by somebody since: theirs now.
    pub(super) changed: Vec<String>,
}

impl Default for List {
    fn default() -> Self {
        Self {
            format: FORMAT.to_owned(),
            files: vec![],
        }
    }
}

impl List {
    /// The list of a folder; empty where there is none that can be trusted.
    pub(super) fn read(folder: &Path) -> Self {
        let path = folder.join(LIST_FILE);
        let is_small = fs::metadata(&path).is_ok_and(|about| about.len() <= MAX_BYTES);
        let text = if is_small { fs::read(&path).ok() } else { None };
        let list = text.and_then(|text| serde_json::from_slice::<Self>(&text).ok());
        let mut list = list
            .filter(|list| list.format == FORMAT)
            .unwrap_or_default();
        list.files
            .retain(|entry| is_plain(&entry.name) && entry.name != LIST_FILE);
        list
    }

    /// Notes a file.
    pub(super) fn add(&mut self, name: &str, bytes: &[u8]) {
        self.files.retain(|entry| entry.name != name);
        self.files.push(Entry {
            name: name.to_owned(),
            bytes: bytes.len() as u64,
            digest: digest_of(bytes),
        });
    }

    /// Adds the files of an older list that this one does not name, but for those that
    /// went.
    pub(super) fn keep(&mut self, older: &Self, gone: &Outdated) {
        for entry in &older.files {
            let is_gone = gone.unchanged.iter().chain(&gone.changed);
            let is_known = self.files.iter().any(|own| own.name == entry.name);
            if !is_known && !is_gone.into_iter().any(|name| *name == entry.name) {
                self.files.push(entry.clone());
            }
        }
    }

    /// The list as it is written.
    pub(super) fn to_bytes(&self) -> Option<Vec<u8>> {
        json_layout::to_bytes(self).ok()
    }

    /// Which files of this list, in `folder`, a newer one takes the place of without
    /// naming them.
    ///
    /// A whole plan takes the place of everything. Drawings take the place of drawings
    /// of their kind: new maps of old maps.
    pub(super) fn outdated(&self, newer: &Self, is_whole: bool, folder: &Path) -> Outdated {
        let names: BTreeSet<&str> = newer
            .files
            .iter()
            .map(|entry| entry.name.as_str())
            .collect();
        let kinds: BTreeSet<(&str, &str)> = names.iter().map(|name| kind_of(name)).collect();
        let mut outdated = Outdated::default();
        for entry in &self.files {
            let is_replaced = is_whole || kinds.contains(&kind_of(&entry.name));
            if names.contains(entry.name.as_str()) || !is_replaced {
                continue;
            }
            let path = folder.join(&entry.name);
            let Ok(about) = fs::symlink_metadata(&path) else {
                continue;
            };
            let is_same = about.is_file()
                && about.len() == entry.bytes
                && fs::read(&path).is_ok_and(|bytes| digest_of(&bytes) == entry.digest);
            let list = if is_same {
                &mut outdated.unchanged
            } else {
                &mut outdated.changed
            };
            list.push(entry.name.clone());
        }
        outdated
    }
}

/// `map-deck_2.png` is a map, and a PNG.
fn kind_of(name: &str) -> (&str, &str) {
    let word = name.split(['-', '.']).next().unwrap_or(name);
    let ending = name.rsplit('.').next().unwrap_or("");
    (word, ending)
}

/// Whether a name names a file in the folder itself, and nothing elsewhere.
pub(super) fn is_plain(name: &str) -> bool {
    let mut parts = Path::new(name).components();
    matches!(
        (parts.next(), parts.next()),
        (Some(std::path::Component::Normal(part)), None) if part == name
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_names_lead_nowhere_else() {
        assert!(is_plain("map-deck_2.png") && is_plain(".hidden"));
        for name in ["", ".", "..", "../a", "a/b", "/a", "a/"] {
            assert!(!is_plain(name), "{name}");
        }
    }

    #[test]
    fn kinds_are_word_and_ending() {
        assert_eq!(kind_of("map-deck.b_2.png"), ("map", "png"));
        assert_ne!(kind_of("placement.csv"), kind_of("placement.png"));
    }
}
