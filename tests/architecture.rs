//! The layers of the library: a module imports only from layers below its own. The table
//! of layers is the one in DEVELOPERS.md; there is no other.

#![allow(
    clippy::unwrap_used,
    reason = "a failed test is meant to stop and say so"
)]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

fn home() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Every module's layer: the words between backticks in rows that begin with a number.
fn layers() -> BTreeMap<String, u32> {
    let text = std::fs::read_to_string(home().join("DEVELOPERS.md")).unwrap();
    let mut layers = BTreeMap::new();
    for row in text.lines() {
        let cells: Vec<&str> = row.split('|').map(str::trim).collect();
        let ["", layer, modules, ""] = cells[..] else {
            continue;
        };
        let Ok(layer) = layer.parse() else { continue };
        for module in modules.split('`').skip(1).step_by(2) {
            let known = layers.insert(module.trim_end_matches('/').to_owned(), layer);
            assert_eq!(known, None, "{module} stands twice in the table");
        }
    }
    layers
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

/// The modules that a file names: `crate::module` and `crate::{module, …}`.
fn named(code: &str) -> Vec<String> {
    let mut modules = Vec::new();
    for rest in code.split("crate::").skip(1) {
        let list = match rest.strip_prefix('{') {
            Some(group) => group.split('}').next().unwrap(),
            None => rest.split([';', '\n']).next().unwrap(),
        };
        let group = rest.starts_with('{');
        for entry in list.split(',').take(if group { usize::MAX } else { 1 }) {
            let word = |c: char| c.is_ascii_alphanumeric() || c == '_';
            let module: String = entry.trim().chars().take_while(|&c| word(c)).collect();
            modules.push(module);
        }
    }
    modules
}

#[test]
fn modules_import_from_lower_layers_only() {
    let layers = layers();
    let source = home().join("stripe-core/src");
    let mut files = Vec::new();
    sources(&source, &mut files);
    let mut seen = BTreeMap::new();
    let mut faults = Vec::new();
    for (path, code) in &files {
        let inside = path.strip_prefix(&source).unwrap();
        let first = inside.components().next().unwrap().as_os_str();
        let module = first.to_str().unwrap().trim_end_matches(".rs");
        if module == "lib" {
            continue;
        }
        let Some(&layer) = layers.get(module) else {
            faults.push(format!("{module} has no layer in DEVELOPERS.md"));
            continue;
        };
        *seen.entry(module.to_owned()).or_insert(0) += 1;
        for other in named(code).iter().filter(|&other| other != module) {
            match layers.get(other) {
                Some(&below) if below < layer => {}
                Some(&other_layer) => faults.push(format!(
                    "{} (layer {layer}) imports {other} (layer {other_layer})",
                    inside.display()
                )),
                None => faults.push(format!("{} imports {other}", inside.display())),
            }
        }
    }
    for module in layers.keys().filter(|module| !seen.contains_key(*module)) {
        faults.push(format!("DEVELOPERS.md names {module}, which is not there"));
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
