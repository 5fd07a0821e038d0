//! The floors of the library: a room imports only from floors below its own. The table
//! of floors is the one in DEVELOPERS.md; there is no other.

#![allow(
    clippy::unwrap_used,
    reason = "a failed test is meant to stop and say so"
)]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

fn home() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Every room's floor: the words between backticks in rows that begin with a number.
fn floors() -> BTreeMap<String, u32> {
    let text = std::fs::read_to_string(home().join("DEVELOPERS.md")).unwrap();
    let mut floors = BTreeMap::new();
    for row in text.lines() {
        let cells: Vec<&str> = row.split('|').map(str::trim).collect();
        let ["", floor, rooms, ""] = cells[..] else {
            continue;
        };
        let Ok(floor) = floor.parse() else { continue };
        for room in rooms.split('`').skip(1).step_by(2) {
            let known = floors.insert(room.trim_end_matches('/').to_owned(), floor);
            assert_eq!(known, None, "{room} stands twice in the table");
        }
    }
    floors
}

/// Every source file below a folder, with its text, comments left out.
fn sources(folder: &Path, into: &mut Vec<(PathBuf, String)>) {
    let mut entries: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            sources(&path, into);
        } else if path.extension().is_some_and(|e| e == "rs") {
            let text = std::fs::read_to_string(&path).unwrap();
            let code = text.lines().map(|line| line.split("//").next().unwrap());
            into.push((path, code.collect::<Vec<_>>().join("\n")));
        }
    }
}

/// The rooms that a file names: `crate::room` and `crate::{room, …}`.
fn named(code: &str) -> Vec<String> {
    let mut rooms = Vec::new();
    for rest in code.split("crate::").skip(1) {
        let list = match rest.strip_prefix('{') {
            Some(group) => group.split('}').next().unwrap(),
            None => rest.split([';', '\n']).next().unwrap(),
        };
        let group = rest.starts_with('{');
        for entry in list.split(',').take(if group { usize::MAX } else { 1 }) {
            let word = |c: char| c.is_ascii_alphanumeric() || c == '_';
            let room: String = entry.trim().chars().take_while(|&c| word(c)).collect();
            rooms.push(room);
        }
    }
    rooms
}

#[test]
fn rooms_import_from_lower_floors_only() {
    let floors = floors();
    let source = home().join("stripe-core/src");
    let mut files = Vec::new();
    sources(&source, &mut files);
    let mut seen = BTreeMap::new();
    let mut faults = Vec::new();
    for (path, code) in &files {
        let inside = path.strip_prefix(&source).unwrap();
        let first = inside.components().next().unwrap().as_os_str();
        let room = first.to_str().unwrap().trim_end_matches(".rs");
        if room == "lib" {
            continue;
        }
        let Some(&floor) = floors.get(room) else {
            faults.push(format!("{room} has no floor in DEVELOPERS.md"));
            continue;
        };
        *seen.entry(room.to_owned()).or_insert(0) += 1;
        for other in named(code).iter().filter(|&other| other != room) {
            match floors.get(other) {
                Some(&below) if below < floor => {}
                Some(&other_floor) => faults.push(format!(
                    "{} (floor {floor}) imports {other} (floor {other_floor})",
                    inside.display()
                )),
                None => faults.push(format!("{} imports {other}", inside.display())),
            }
        }
    }
    for room in floors.keys().filter(|room| !seen.contains_key(*room)) {
        faults.push(format!("DEVELOPERS.md names {room}, which is not there"));
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(seen.len() > 12, "{seen:?}");
}

#[test]
fn one_file_names_a_solver() {
    let mut files = Vec::new();
    sources(&home().join("stripe-core/src"), &mut files);
    let named = files.iter().filter(|(_, code)| code.contains("good_lp"));
    let names: Vec<_> = named.map(|(path, _)| path.file_name().unwrap()).collect();
    assert_eq!(names, ["lp.rs"]);
}

#[test]
fn imports_are_found() {
    let code = "use crate::{fabric, lay::Job};\nlet a = crate::num::wrap(1.0);\nuse crate::shape::{Point, dot};";
    assert_eq!(named(code), ["fabric", "lay", "num", "shape"]);
}
