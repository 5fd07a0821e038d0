//! Every key of the project file, every option of the program and every word of a legend stands
//! in the glossary.

use crate::place::Place;
use std::collections::BTreeSet;
use std::path::Path;
use stripe_core::project::Project;

/// The words between backticks of the glossary's tables.
fn glossary() -> BTreeSet<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../DEVELOPERS.md");
    let text = std::fs::read_to_string(path).expect("DEVELOPERS.md is there");
    let from = text.find("\n## Words\n").expect("it has the glossary");
    let end = text[from + 4..]
        .find("\n## ")
        .map_or(text.len(), |at| from + 4 + at);
    let mut words = BTreeSet::new();
    for row in text[from..end].lines().filter(|line| line.starts_with('|')) {
        let mut parts = row.split('`');
        while let (Some(_), Some(word)) = (parts.next(), parts.next()) {
            words.insert(word.to_owned());
        }
    }
    assert!(words.len() > 80, "{words:?}");
    words
}

/// A project with a key that no table knows, once in each kind of table; what is said of
/// each lists the keys that are known there.
const STRANGE: &str = r##"
qqqq = 1
[making]
qqqq = 1
[fabric.a]
width = 40
qqqq = 1
[fabric.a.stripe]
bands = [{ width = 1, colour = "#000000", qqqq = 1 }]
qqqq = 1
[fabric.a.stripe.measured]
qqqq = 1
[fabric.a.stripe.selvages]
qqqq = 1
[fabric.a.stripe.along]
repeat = 2
figure = { size = 1, colour = "#000000", qqqq = 1 }
qqqq = 1
[fabric.a.sold]
qqqq = 1
[motif.m]
qqqq = 1
[[motif.m.part]]
fabric = "a"
shape = "ring"
hub = 1
rim = 3
spokes = 1
offset = { middle_of = 1, qqqq = 1 }
qqqq = 1
[[motif.m.part]]
fabric = "a"
shape = "fan"
rim = 3
qqqq = 1
[[motif.m.part]]
fabric = "a"
shape = "outline"
points = [[0, 0], [3, 1], [0, 2]]
qqqq = 1
[quilt.q]
qqqq = 1
[quilt.q.field]
fabric = "a"
width = 20
length = 20
qqqq = 1
[[quilt.q.border]]
fabric = "a"
depth = 3
unit = 5
units_across = 4
units_down = 4
qqqq = 1
[[quilt.q.border]]
fabric = "a"
depth = 3
corners = "squares"
qqqq = 1
[[quilt.q.foundation]]
under = "a"
fabric = "a"
qqqq = 1
[[quilt.q.piece]]
shape = "diamond"
fabric = "a"
finished = 3
count = 2
qqqq = 1
[[quilt.q.place]]
motif = "m"
on = "seams"
qqqq = 1
[[quilt.q.place]]
motif = "m"
even = [1, 1]
qqqq = 1
[[quilt.q.place]]
motif = "m"
at = [[1, 1]]
qqqq = 1
[[quilt.q.place]]
motifs = ["m", "m"]
order = "in turn"
even = [1, 2]
qqqq = 1
[quilt.q.binding]
fabric = "a"
qqqq = 1
[quilt.q.backing]
fabric = "a"
qqqq = 1
[quilt.q.batting]
qqqq = 1
"##;

#[test]
fn every_key_is_in_the_glossary() {
    let words = glossary();
    let faults = Project::read(STRANGE).unwrap_err();
    let lists: Vec<&str> = faults
        .iter()
        .filter(|fault| fault.message.contains("qqqq"))
        .filter_map(|fault| fault.help.strip_prefix("it has: "))
        .collect();
    let asked = STRANGE.matches("qqqq").count();
    assert_eq!(lists.len(), asked, "{faults:#?}");
    let keys: BTreeSet<&str> = lists.iter().flat_map(|list| list.split(", ")).collect();
    assert!(keys.len() > 70, "{keys:?}");
    let missing: Vec<_> = keys.iter().filter(|key| !words.contains(**key)).collect();
    assert!(missing.is_empty(), "not in the glossary: {missing:?}");
}

#[test]
fn every_option_is_in_the_glossary() {
    let words = glossary();
    let place = Place::new();
    let mut options = BTreeSet::new();
    for command in ["new", "lay", "compare", "check", "draw", "recut", "swatch"] {
        let told = place.run(&[command, "--help"]).with_status(0).out;
        for word in told.split(|c: char| !(c.is_ascii_lowercase() || c == '-')) {
            if word.len() > 3 && word.starts_with("--") && word != "--help" {
                options.insert(word.to_owned());
            }
        }
    }
    assert!(options.len() > 12, "{options:?}");
    let missing: Vec<_> = options.iter().filter(|o| !words.contains(*o)).collect();
    assert!(missing.is_empty(), "not in the glossary: {missing:?}");
}

#[test]
fn every_word_of_a_legend_is_in_the_glossary() {
    let words = glossary();
    let legends = stripe_core::draw::legend_words();
    assert!(legends.len() > 14, "{legends:?}");
    let missing: Vec<_> = legends.iter().filter(|w| !words.contains(**w)).collect();
    assert!(missing.is_empty(), "not in the glossary: {missing:?}");
}
