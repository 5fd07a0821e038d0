//! Keys and words of project files written before version 0.2, and what they are called
//! now. To be taken out again with version 0.3.

use super::fault::Faults;
use crate::quote::quoted;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Where a key stands, from the top of the file; `*` is a name of the maker's own.
type Way = &'static [&'static str];

/// Table, old key, new key.
const KEYS: &[(Way, &str, &str)] = &[
    (&[], "cloth", "fabric"),
    (&["making"], "turn", "turn_under"),
    (&["making"], "under", "tuck_under"),
    (&["making"], "clear", "gap"),
    (&["making"], "match", "stripe_tolerance"),
    (&["cloth", "*"], "turns", "may_rotate"),
    (&["fabric", "*"], "turns", "may_rotate"),
    (&["motif", "*", "part"], "cloth", "fabric"),
    (&["motif", "*", "part"], "turn", "rotate"),
    (&["motif", "*", "part"], "course", "stripes"),
    (&["motif", "*", "part"], "across", "stripe_angle"),
    (&["quilt", "*", "field"], "cloth", "fabric"),
    (&["quilt", "*", "field"], "cloths", "fabrics"),
    (&["quilt", "*", "border"], "cloth", "fabric"),
    (&["quilt", "*", "border"], "cloths", "fabrics"),
    (&["quilt", "*", "border"], "across", "units_across"),
    (&["quilt", "*", "border"], "along", "units_down"),
    (&["quilt", "*", "foundation"], "cloth", "fabric"),
    (&["quilt", "*", "foundation"], "ease", "extra_length"),
    (&["quilt", "*", "piece"], "cloth", "fabric"),
    (&["quilt", "*", "place"], "turn", "rotate"),
    (&["quilt", "*", "binding"], "cloth", "fabric"),
    (&["quilt", "*", "backing"], "cloth", "fabric"),
];

/// Table, key (as it is now), old word, new word.
const WORDS: &[(Way, &str, &str, &str)] = &[
    (
        &["motif", "*", "part"],
        "meet",
        "butted",
        "both turned under",
    ),
    (
        &["motif", "*", "part"],
        "meet",
        "lapped",
        "one over the other",
    ),
    (&["motif", "*", "part"], "ends", "turned", "turned under"),
    (&["quilt", "*", "field"], "run", "upright", "vertical"),
    (&["quilt", "*", "field"], "run", "level", "horizontal"),
    (&["quilt", "*", "backing"], "seams", "upright", "vertical"),
    (&["quilt", "*", "backing"], "seams", "level", "horizontal"),
];

/// Reports every key and word that has another name now; returns whether there was one.
pub(super) fn report_renamed(document: &DeTable<'_>, faults: &Faults) -> bool {
    let mut found = false;
    walk(document, &mut Vec::new(), faults, &mut found);
    found
}

fn walk<'t>(table: &'t DeTable<'_>, way: &mut Vec<&'t str>, faults: &Faults, found: &mut bool) {
    for (key, value) in table {
        let name = key.get_ref().as_ref();
        for (at, old, new) in KEYS {
            if *old == name && matches(at, way) && !table.contains_key(*new) {
                let message = format!("`{old}` is now called `{new}`");
                faults.add(key.span(), message, format!("write `{new}`"));
                *found = true;
            }
        }
        for (at, wanted, old, new) in WORDS {
            if *wanted == name && matches(at, way) && value.get_ref().as_str() == Some(old) {
                let [old, new] = [old, new].map(|word| quoted(word));
                let message = format!("{name} = {old} is now called {new}");
                faults.add(value.span(), message, format!("write {name} = {new}"));
                *found = true;
            }
        }
        way.push(name);
        inside(value, way, faults, found);
        way.pop();
    }
}

fn inside<'t>(
    value: &'t Spanned<DeValue<'_>>,
    way: &mut Vec<&'t str>,
    faults: &Faults,
    found: &mut bool,
) {
    match value.get_ref() {
        DeValue::Table(table) => walk(table, way, faults, found),
        DeValue::Array(entries) => {
            for entry in entries {
                inside(entry, way, faults, found);
            }
        }
        _ => {}
    }
}

/// Whether `way` is the table `at`.
fn matches(at: Way, way: &[&str]) -> bool {
    at.len() == way.len() && at.iter().zip(way).all(|(a, b)| *a == "*" || a == b)
}

#[cfg(test)]
mod tests {
    use crate::project::Project;

    #[test]
    fn old_words_are_told_what_they_are_called_now() {
        let text = "unit = \"in\"\n[making]\nturn = 0.2\n[cloth.a]\nwidth = 40\ncolour = \"#000000\"\n\
            [motif.m]\n[[motif.m.part]]\ncloth = \"a\"\nshape = \"disc\"\nrim = 2\nturn = 5\nmeet = \"butted\"\n";
        let faults = Project::read(text).unwrap_err();
        let told: Vec<&str> = faults.iter().map(|fault| fault.message.as_str()).collect();
        assert_eq!(
            told,
            [
                "`turn` is now called `turn_under`",
                "`cloth` is now called `fabric`",
                "`cloth` is now called `fabric`",
                "`turn` is now called `rotate`",
                "meet = \"butted\" is now called \"both turned under\"",
            ]
        );
        for fault in faults {
            assert!(!fault.span.is_empty(), "{fault:?}");
        }
    }
}
