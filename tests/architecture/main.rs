//! The layers of the library: a module imports only from layers below its own. The table
//! of layers is the one in DEVELOPERS.md; there is no other. Within a module no files import
//! each other in a circle; files are short, and one name is one type.

#![allow(
    clippy::unwrap_used,
    reason = "a failed test is meant to stop and say so"
)]

mod imports;

use imports::{Modules, circle};
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

/// The code of a file without its tests.
fn without_tests(code: &str) -> &str {
    let end = code.find("#[cfg(test)]\nmod tests {");
    end.map_or(code, |end| &code[..end])
}

/// The library's modules by their path, tests and what only they use left out.
fn modules() -> Modules {
    let source = home().join("stripe-core/src");
    let mut files = Vec::new();
    sources(&source, &mut files);
    let mut modules = BTreeMap::new();
    for (path, code) in files {
        let inside = path.strip_prefix(&source).unwrap().with_extension("");
        let steps = inside.iter().map(|step| step.to_str().unwrap());
        let steps: Vec<&str> = steps
            .filter(|&step| step != "mod" && step != "lib")
            .collect();
        let last = steps.last().copied().unwrap_or_default();
        if !["tests", "validate_tests", "fixture", "sample", "second"].contains(&last) {
            modules.insert(steps.join("::"), without_tests(&code).to_owned());
        }
    }
    Modules(modules)
}

#[test]
fn files_do_not_import_each_other_in_a_circle() {
    let modules = modules();
    let imports = modules.imports();
    let count: usize = imports.values().map(|found| found.len()).sum();
    assert!(count > 400, "only {count} imports were found");
    if let Some(circle) = circle(&imports) {
        panic!("{}", circle.join(" imports "));
    }
}

/// The checks above find what they look for: through a re-export, a group and a path in code.
#[test]
fn a_circle_is_found() {
    let files = [
        ("", "pub mod fan; mod ring;"),
        ("fan", "mod rim;\npub use rim::Rim;"),
        (
            "fan::rim",
            "use crate::ring::{\n    self, Ring,\n};\npub struct Rim;",
        ),
        (
            "ring",
            "pub struct Ring;\nfn rim() { crate::fan::Rim::new() }",
        ),
    ];
    let files = files.map(|(name, code)| (name.to_owned(), code.to_owned()));
    let modules = Modules(BTreeMap::from(files));
    let found = circle(&modules.imports()).unwrap();
    assert_eq!(found.len(), 3, "{found:?}");
    assert!(found.contains(&"fan::rim") && found.contains(&"ring"));
    // Within one folder, its own file may be asked for what it holds.
    let files = [
        ("a", "mod b; pub use b::B;"),
        ("a::b", "use super::C; pub struct B;"),
    ];
    let files = files.map(|(name, code)| (name.to_owned(), code.to_owned()));
    assert_eq!(circle(&Modules(BTreeMap::from(files)).imports()), None);
}

#[test]
fn files_are_short() {
    let mut files = Vec::new();
    for folder in ["stripe-core/src", "stripe-cli/src", "benches/src", "tests"] {
        sources(&home().join(folder), &mut files);
    }
    assert!(files.len() > 200);
    let long = files
        .iter()
        .map(|(path, code)| (path, code.lines().count()));
    let long: Vec<_> = long.filter(|&(_, lines)| lines >= 600).collect();
    assert!(long.is_empty(), "{long:?}");
}

/// `lay::Item` is what is laid, `draw::scene::Item` what is drawn: neither knows the other.
const TWICE: [&str; 1] = ["Item"];

/// A public type's name means one thing in the whole library.
#[test]
fn one_name_is_one_type() {
    let mut seen: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (module, code) in &modules().0 {
        for line in code.lines() {
            let line = line.trim_start();
            let kinds = ["pub struct ", "pub enum ", "pub trait ", "pub type "];
            let Some(rest) = kinds.iter().find_map(|kind| line.strip_prefix(kind)) else {
                continue;
            };
            let name: String = rest.chars().take_while(|c| c.is_alphanumeric()).collect();
            seen.entry(name).or_default().push(module.clone());
        }
    }
    assert!(seen.len() > 100, "{}", seen.len());
    seen.retain(|name, modules| modules.len() > 1 && !TWICE.contains(&name.as_str()));
    assert!(seen.is_empty(), "{seen:?}");
}
