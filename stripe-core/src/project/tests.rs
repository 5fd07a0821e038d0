//! Every fault is found, in its place, with what to do.

use super::Project;
use crate::fabric::Pattern;
use crate::motif::{Form, Tip};
use proptest::prelude::*;

const HARBOUR: &str = include_str!("../../../data/harbour/harbour.toml");

/// The harbour with one text for another, and the faults of that.
fn faults_with(old: &str, new: &str) -> Vec<(String, String, String)> {
    assert!(HARBOUR.contains(old), "{old}");
    let text = HARBOUR.replacen(old, new, 1);
    let faults = Project::read(&text).expect_err(new);
    faults
        .into_iter()
        .map(|fault| (text[fault.span].to_owned(), fault.message, fault.help))
        .collect()
}

#[test]
fn the_example_is_without_fault() {
    let harbour = Project::read(HARBOUR).unwrap();
    let names: Vec<&str> = harbour.fabrics.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(names[..4], ["deck", "awning", "brass", "chalk"]);
    let wheel = &harbour.motifs[0];
    assert_eq!((wheel.copies, wheel.parts.len()), (6, 4));
    let Form::Fan(fan) = &wheel.parts[1].form else {
        panic!("a fan");
    };
    assert_eq!(fan.spokes.unwrap().tip, Tip::Pointed);
    assert!((wheel.parts[0].phase_mm.unwrap() - 19.05).abs() < 1e-9);
    assert!(matches!(harbour.fabrics[2].pattern, Pattern::Plain(_)));
    assert_eq!(harbour.fabrics[0].sale.as_ref().unwrap().shrinkage, 0.03);
}

#[test]
fn one_fault_at_a_time() {
    // (text, put in its place, what is marked, part of the message, part of the help)
    let cases = [
        (
            "width = \"42 in\"",
            "widht = \"42 in\"",
            "widht",
            "has no setting called `widht`",
            "`width`",
        ),
        (
            "[fabric.deck.stripe]",
            "[fabric.deck.strip]",
            "strip",
            "has no setting called `strip`",
            "`stripe`",
        ),
        (
            "\"42 in\"",
            "\"42 furlongs\"",
            "\"42 furlongs\"",
            "not a unit",
            "1 5/8 yd",
        ),
        ("\"42 in\"", "0", "0", "is zero", "up to"),
        ("\"42 in\"", "-3", "-3", "below zero", "up to"),
        ("\"42 in\"", "nan", "nan", "NaN is not a length", "12 1/2"),
        ("\"42 in\"", "inf", "inf", "inf is not a length", "12 1/2"),
        ("\"42 in\"", "1e300", "1e300", "too large", "up to"),
        (
            "\"42 in\"",
            "\"2 in\"",
            "bands",
            "wider than the fabric's 2 in",
            "unit",
        ),
        (
            "copies = 6 ",
            "copies = 1000000000 ",
            "1000000000",
            "cannot be",
            "to 2,000",
        ),
        (
            "copies = 6 ",
            "copies = 99999999999999999999999999 ",
            "",
            "",
            "",
        ),
        (
            "code = \"W\"",
            "code = \"w\"",
            "\"w\"",
            "cannot have the code",
            "capital",
        ),
        (
            "code = \"W\"",
            "code = \"O\"",
            "\"O\"",
            "cannot have the code",
            "I, J, L or O",
        ),
        (
            "code = \"W\"",
            "code = \"ABC\"",
            "\"ABC\"",
            "cannot have the code",
            "one or two",
        ),
        (
            "code = \"W\"",
            "code = \"W4\"",
            "\"W4\"",
            "cannot have the code",
            "capital",
        ),
        (
            "copies = 6 ",
            "copies = -1 ",
            "-1",
            "cannot be -1",
            "from 1",
        ),
        (
            "wedges = 4 ",
            "wedges = 4000 ",
            "4000",
            "cannot be",
            "to 120",
        ),
        (
            "fabric = \"deck\"",
            "fabric = \"dekc\"",
            "\"dekc\"",
            "not there",
            "\"deck\"",
        ),
        (
            "\"navy\" }",
            "\"mavy\" }",
            "\"mavy\"",
            "no band",
            "\"navy\"",
        ),
        (
            "hub = \"1 1/2 in\"",
            "hub = \"7 in\"",
            "\"7 in\"",
            "rim",
            "smaller",
        ),
        (
            "root = \"3 in\"",
            "root = \"6 in\"",
            "\"6 in\"",
            "between hub and rim",
            "less than",
        ),
        (
            "root_width = \"1 1/2 in\"",
            "root_width = 3",
            "3",
            "3 in wide at the root",
            "2 1/4 in",
        ),
        ("sweep = 360", "sweep = 361", "361", "cannot be 361", "360"),
        (
            "sweep = 360",
            "sweep = \"all\"",
            "\"all\"",
            "must be a number, not a text",
            "number",
        ),
        (
            "copies_look = \"alike\"",
            "copies_look = \"own\"",
            "",
            "fixes its `offset`",
            "free",
        ),
        (
            "name = \"inner wheel\"",
            "name = \"outer wheel\"",
            "\"outer wheel\"",
            "two parts",
            "own name",
        ),
        (
            "shape = \"fan\" ",
            "shape = \"fann\" ",
            "\"fann\"",
            "cannot be",
            "did you mean \"fan\"",
        ),
        ("\"#1f3a5f\"", "\"navy\"", "\"navy\"", "not a colour", "six"),
        ("\"3 %\"", "3", "3", "percentage", "0 %"),
        (
            "faces = \"both\"",
            "may_rotate = [0, 90]",
            "may_rotate",
            "fix how pieces lie",
            "take",
        ),
        ("stripe_angle = 0 ", "at = 3 ", "3", "rings", "take"),
        ("lean = 0 ", "lean = 40 ", "40", "cannot be 40", "15"),
        (
            "unit = \"in\"",
            "unit = \"inch\"",
            "\"inch\"",
            "cannot be",
            "\"in\"",
        ),
        (
            "title = \"Harbour\"",
            "title = \"a\\nb\"",
            "",
            "line break",
            "one line",
        ),
        (
            "title = \"Harbour\"",
            "title = \"\"",
            "\"\"",
            "empty",
            "name",
        ),
    ];
    for (old, new, marked, message, help) in cases {
        let faults = faults_with(old, new);
        let hit = faults.iter().any(|(m, a, b)| {
            (marked.is_empty() || m == marked) && a.contains(message) && b.contains(help)
        });
        assert!(hit, "{new}: {faults:#?}");
        assert!(faults.len() <= 3, "{new}: {faults:#?}");
    }
}

#[test]
fn what_is_missing_is_named() {
    let faults = Project::read("").unwrap_err();
    let said: Vec<&str> = faults.iter().map(|f| f.message.as_str()).collect();
    assert_eq!(
        said,
        ["the project has no `fabric`", "the project has no `motif`"]
    );
    let bare = "[fabric.a]\nwidth = 40\ncolour = \"#000000\"\n[motif.m]\ncopies = 2\n";
    let faults = Project::read(bare).unwrap_err();
    assert!(faults[0].message.contains("no parts"), "{faults:?}");
}

#[test]
fn all_faults_are_told_at_once() {
    let text = HARBOUR
        .replacen("\"42 in\"", "0", 1)
        .replacen("wedges = 4", "wedges = 0", 1)
        .replacen("fabric = \"chalk\"", "fabric = \"cheese\"", 1);
    let faults = Project::read(&text).unwrap_err();
    assert_eq!(faults.len(), 3, "{faults:#?}");
}

fn outline(points: &str) -> Result<Project, Vec<super::Fault>> {
    Project::read(&format!(
        "[fabric.a]\nwidth = 40\ncolour = \"#000000\"\n[motif.m]\n[[motif.m.part]]\n\
         fabric = \"a\"\nshape = \"outline\"\npoints = {points}\n"
    ))
}

#[test]
fn drawn_shapes_do_not_cross_themselves() {
    let square = outline("[[0, 0], [0, 1], [1, 1], [1, 0], [0, 0]]").unwrap();
    let Form::Outline(corners) = &square.motifs[0].parts[0].form else {
        panic!("an outline");
    };
    assert_eq!(corners.len(), 4);
    assert_eq!(
        (corners[1].x, corners[1].y),
        (25.4, 25.4),
        "counter-clockwise now"
    );
    for (points, word) in [
        ("[[0, 0], [1, 1], [1, 0], [0, 1]]", "crosses itself"),
        ("[[0, 0], [2, 0], [2, 2], [1, 0], [0, 2]]", "crosses itself"),
        ("[[0, 0], [1, 0], [2, 0]]", "back upon itself"),
        ("[[0, 0], [2, 0], [1, 0], [0, 3]]", "back upon itself"),
        ("[[0, 0], [0, 0], [1, 0], [0, 3]]", "are one"),
        ("[[0, 0], [1, 0]]", "at least three"),
        ("[[0, 0], [1, 0, 3], [1, 1]]", "3 lengths"),
        ("[[0, 0], 3, [1, 1]]", "pair of lengths"),
        ("[]", "at least three"),
    ] {
        let faults = outline(points).unwrap_err();
        let said = |f: &super::Fault| f.message.contains(word) || f.help.contains(word);
        assert!(faults.iter().any(said), "{points}: {faults:?}");
    }
}

#[test]
fn too_many_pieces_in_all() {
    let mut text = String::from("[fabric.a]\nwidth = 40\ncolour = \"#000000\"\n");
    text += "[motif.m]\ncopies = 2000\n[[motif.m.part]]\nfabric = \"a\"\nshape = \"disc\"\nrim = 2\nwedges = 11\n";
    let faults = Project::read(&text).unwrap_err();
    assert!(faults[0].message.contains("22,000 pieces"), "{faults:?}");
}

proptest! {
    #[test]
    fn no_text_panics(text in "\\PC{0,200}") {
        let _ = Project::read(&text);
    }

    #[test]
    fn no_damage_panics(start in 0usize..6000, drop in 0usize..60, put in "[-\\[\\]{}=\"0-9a-z.\n#]{0,6}") {
        let cut = |at: usize| (0..=at.min(HARBOUR.len())).rev().find(|&i| HARBOUR.is_char_boundary(i)).unwrap_or(0);
        let text = format!("{}{put}{}", &HARBOUR[..cut(start)], &HARBOUR[cut(start + drop)..]);
        if let Err(faults) = Project::read(&text) {
            for fault in faults {
                prop_assert!(text.get(fault.span.clone()).is_some(), "{:?}", fault);
                prop_assert!(!fault.message.is_empty() && !fault.help.is_empty());
            }
        }
    }
}

#[test]
fn the_example_can_be_made_up() {
    let harbour = Project::read(HARBOUR).unwrap();
    for motif in &harbour.motifs {
        let assembly = crate::motif::assemble(motif, &harbour.making).unwrap();
        assert!(assembly.remarks.is_empty(), "{:?}", assembly.remarks);
    }
}

#[test]
fn codes_of_motifs_are_told_apart() {
    let with = |tide: &str, breakwater: &str| {
        HARBOUR
            .replace(
                "copies = 20\n",
                &format!("copies = 20\ncode = \"{tide}\"\n"),
            )
            .replace(
                "copies = 4\n",
                &format!("copies = 4\ncode = \"{breakwater}\"\n"),
            )
    };
    let read = Project::read(&with("TD", "TE")).unwrap();
    let codes: Vec<Option<&str>> = read.motifs.iter().map(|m| m.code.as_deref()).collect();
    assert_eq!(codes, [Some("W"), Some("TD"), Some("TE")]);
    for (tide, breakwater, marked, word) in [
        ("W", "B", "\"W\"", "of another motif"),
        ("WH", "B", "\"WH\"", "mistaken for \"W\""),
        ("TD", "T", "\"T\"", "mistaken for \"TD\""),
    ] {
        let text = with(tide, breakwater);
        let faults = Project::read(&text).unwrap_err();
        assert_eq!(faults.len(), 1, "{faults:?}");
        assert_eq!(&text[faults[0].span.clone()], marked);
        assert!(faults[0].message.contains(word), "{}", faults[0].message);
        assert!(faults[0].help.contains("letters of its own"));
    }
}
