//! Which file imports which: paths in the code, followed through re-exports to the file
//! that they end in.

use std::collections::{BTreeMap, BTreeSet};

/// The modules of a crate by their path (`draw::map::sheet`), each with its code.
pub(crate) struct Modules(pub(crate) BTreeMap<String, String>);

impl Modules {
    /// Every file with the files that it imports, its own test modules and the `mod.rs` of
    /// the folders that it is in left out: a folder's file speaks for all that is in it.
    pub(crate) fn imports(&self) -> BTreeMap<&str, BTreeSet<&str>> {
        let mut exports = BTreeMap::new();
        let mut named = vec![];
        for (module, code) in &self.0 {
            for (is_export, path) in paths(code) {
                let Some(path) = self.absolute(module, &path) else {
                    continue;
                };
                if is_export && let Some(name) = path.last() {
                    exports.insert((module.as_str(), name.clone()), path.clone());
                }
                named.push((module.as_str(), path));
            }
        }
        let mut imports: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
        for (module, path) in named {
            let Some(other) = self.file_of(&path, &exports, 0) else {
                continue;
            };
            let is_roof = module
                .strip_prefix(other)
                .is_some_and(|rest| rest.is_empty() || rest.starts_with("::"));
            if !is_roof && !other.is_empty() {
                imports.entry(module).or_default().insert(other);
            }
        }
        imports
    }

    /// A path from the crate's root, or nothing where it leads out of the crate.
    fn absolute(&self, module: &str, path: &str) -> Option<Vec<String>> {
        let mut base: Vec<&str> = module.split("::").filter(|step| !step.is_empty()).collect();
        let mut steps = path.split("::").peekable();
        match *steps.peek()? {
            "crate" => {
                base.clear();
                steps.next();
            }
            "self" => {
                steps.next();
            }
            "super" => {
                while steps.next_if_eq(&"super").is_some() {
                    base.pop();
                }
            }
            child => {
                let inner = base.iter().copied().chain([child]);
                let inner: Vec<&str> = inner.collect();
                if !self.0.contains_key(&inner.join("::")) {
                    return None;
                }
            }
        }
        Some(base.into_iter().chain(steps).map(str::to_owned).collect())
    }

    /// The file in which what is named stands.
    fn file_of(
        &self,
        path: &[String],
        exports: &BTreeMap<(&str, String), Vec<String>>,
        depth: usize,
    ) -> Option<&str> {
        for split in (0..=path.len()).rev() {
            let Some((module, _)) = self.0.get_key_value(&path[..split].join("::")) else {
                continue;
            };
            let export = path
                .get(split)
                .and_then(|name| exports.get(&(module.as_str(), name.clone())));
            return match export {
                Some(further) if depth < 8 => {
                    let further = [further.as_slice(), &path[split + 1..]].concat();
                    self.file_of(&further, exports, depth + 1)
                }
                _ => Some(module),
            };
        }
        None
    }
}

/// Every path that code names, and whether it is handed on.
fn paths(code: &str) -> Vec<(bool, String)> {
    let mut paths = vec![];
    let mut rest = String::new();
    for statement in code.split_inclusive(';') {
        let found = statement.match_indices("use ").find(|&(at, _)| {
            let before = statement[..at].chars().next_back();
            before.is_none_or(|c| c.is_whitespace()) && statement.ends_with(';')
        });
        let Some((at, _)) = found else {
            rest.push_str(statement);
            continue;
        };
        rest.push_str(&statement[..at]);
        let line = statement[..at].lines().last().unwrap_or_default();
        let is_export = line.trim_start().starts_with("pub");
        let tree = statement[at + 4..].trim_end_matches(';');
        let mut leaves = vec![];
        expand("", tree, &mut leaves);
        paths.extend(leaves.into_iter().map(|leaf| (is_export, leaf)));
    }
    // Paths within the code: `crate::shape::ring::open(line)`.
    for root in ["crate::", "super::"] {
        for (at, _) in rest.match_indices(root) {
            let before = rest[..at].chars().next_back();
            if before.is_some_and(|c| c == ':' || c.is_alphanumeric() || c == '_') {
                continue;
            }
            let word = |c: char| c.is_alphanumeric() || c == '_' || c == ':';
            let path: String = rest[at..].chars().take_while(|&c| word(c)).collect();
            paths.push((false, path.trim_end_matches(':').to_owned()));
        }
    }
    paths
}

/// The leaves of `a::{b, c::{d, e as f}}`.
fn expand(before: &str, tree: &str, leaves: &mut Vec<String>) {
    let tree = tree.trim();
    let Some(open) = tree.find('{') else {
        let name = tree.split(" as ").next().unwrap_or_default().trim();
        if !name.is_empty() {
            leaves.push(format!("{before}{name}"));
        }
        return;
    };
    let before = format!("{before}{}", &tree[..open]);
    let inside = tree[open + 1..].trim_end().trim_end_matches('}');
    let (mut depth, mut from) = (0, 0);
    for (at, c) in inside.char_indices() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                expand(&before, &inside[from..at], leaves);
                from = at + 1;
            }
            _ => {}
        }
    }
    expand(&before, &inside[from..], leaves);
}

/// One circle, from a file back to itself, or nothing.
pub(crate) fn circle<'m>(imports: &BTreeMap<&'m str, BTreeSet<&'m str>>) -> Option<Vec<&'m str>> {
    let mut done = BTreeSet::new();
    for &start in imports.keys() {
        // A walk with its way back, so that a file met again names the circle.
        let mut way: Vec<(&str, Vec<&str>)> = vec![(start, vec![])];
        if done.contains(start) {
            continue;
        }
        way[0].1 = imports[start].iter().copied().collect();
        while let Some((at, open)) = way.last_mut() {
            let Some(next) = open.pop() else {
                done.insert(*at);
                way.pop();
                continue;
            };
            if let Some(from) = way.iter().position(|(name, _)| *name == next) {
                let files = way[from..].iter().map(|(name, _)| *name);
                return Some(files.chain([next]).collect());
            }
            if !done.contains(next) {
                let further = imports.get(next).into_iter().flatten().copied();
                way.push((next, further.collect()));
            }
        }
    }
    None
}
