//! Whatever is wrong with a file or folder is said, with its place and what to do,
//! and nothing stays behind.

use crate::place::{HARBOUR, Place};

/// Lays the harbour with one text for another: it must fail and leave nothing.
#[track_caller]
fn lay_with(old: &str, new: &str) -> String {
    let place = Place::new();
    assert!(HARBOUR.contains(old), "{old}");
    place.write("a.toml", HARBOUR.replacen(old, new, 1));
    let ran = place.run(&["lay", "a.toml", "--out", "out"]).with_status(1);
    assert_eq!(ran.out, "");
    assert_eq!(place.names(), ["a.toml"], "nothing stays behind");
    assert!(ran.err.contains("What to do:"), "{}", ran.err);
    assert!(!ran.err.contains('\u{1b}'), "no colours where nobody looks");
    ran.err
}

#[test]
fn faults_are_shown_in_their_line() {
    let err = lay_with("width = \"42 in\"         #", "widht = \"42 in\"         #");
    let line = HARBOUR
        .lines()
        .position(|l| l.starts_with("width ="))
        .unwrap()
        + 1;
    // The place, the line as it is, carets beneath, what is wrong, what to do: and no box.
    let place = format!("Line {line} of a.toml:");
    let lines: Vec<&str> = err.lines().skip_while(|l| *l != place).collect();
    assert!(lines[1].starts_with("    widht = \"42 in\""), "{err}");
    assert_eq!(lines[2], "    ^^^^^");
    assert_eq!(lines[3], "Fabric `deck` has no setting called `widht`");
    assert_eq!(lines[4], "What to do: did you mean `width`?");
    assert!(!err.contains("-->") && !err.contains('|'), "{err}");
}

#[test]
fn every_fault_of_a_project_names_its_place() {
    for (old, new, said) in [
        ("\"42 in\"", "\"42 furlongs\"", "not a unit"),
        ("\"42 in\"", "0", "is zero"),
        ("\"42 in\"", "-42", "below zero"),
        ("\"42 in\"", "nan", "not a length"),
        ("\"42 in\"", "\"2 in\"", "wider than the fabric"),
        ("copies = 6 ", "copies = 1000000000 ", "1000000000"),
        ("hub = \"1 1/2 in\"", "hub = \"9 in\"", "rim"),
        (
            "fabric = \"deck\"",
            "fabric = \"dock\"",
            "did you mean \"deck\"",
        ),
        ("[[motif.wheel.part]]", "[[motif.wheel.prat]]", "part"),
        ("unit = \"in\"", "unit = ", "cannot be read"),
    ] {
        let err = lay_with(old, new);
        assert!(
            err.contains(said) && err.contains(" of a.toml:\n"),
            "{new}: {err}"
        );
    }
}

/// What follows from a number that is at fault is not told as a fault of its own.
#[test]
fn one_number_at_fault_is_one_fault() {
    let err = lay_with("copies = 6 ", "copies = 0 ");
    assert!(
        err.contains("cannot be 0") && err.contains("1 fault in"),
        "{err}"
    );
}

#[test]
fn a_piece_wider_than_its_fabric() {
    // The outer wheel's pieces are quarter wheels, 5 1/2 in and more across.
    let place = Place::new();
    place.write(
        "a.toml",
        HARBOUR.replacen("width = \"42 in\"", "width = \"5 in\"", 1),
    );
    let ran = place.run(&["lay", "a.toml", "--out", "out"]).with_status(1);
    let line = HARBOUR
        .lines()
        .position(|l| l.starts_with("width ="))
        .unwrap()
        + 1;
    let place_of_width = format!("Line {line} of a.toml:");
    assert!(ran.err.contains(&place_of_width), "{}", ran.err);
    assert!(ran.err.contains("too wide"), "{}", ran.err);
    assert_eq!(place.names(), ["a.toml"]);
}

#[test]
fn a_drawn_shape_that_crosses_itself() {
    let place = Place::new();
    place.write(
        "a.toml",
        "[fabric.a]\nwidth = 40\ncolour = \"#777777\"\n[motif.m]\n[[motif.m.part]]\nfabric = \"a\"\n\
         shape = \"outline\"\npoints = [[0, 0], [3, 3], [3, 0], [0, 3]]\n",
    );
    let ran = place.run(&["lay", "a.toml", "--out", "out"]).with_status(1);
    assert!(
        ran.err.contains("crosses itself") && ran.err.contains("Line 8 of a.toml:"),
        "{}",
        ran.err
    );
}

#[test]
fn a_motif_with_no_parts() {
    let place = Place::new();
    place.write(
        "a.toml",
        "[fabric.a]\nwidth = 40\ncolour = \"#777777\"\n[motif.m]\ncopies = 3\n",
    );
    let ran = place.run(&["lay", "a.toml", "--out", "out"]).with_status(1);
    assert!(
        ran.err.contains("no parts") && ran.err.contains("Line 4 of a.toml:"),
        "{}",
        ran.err
    );
}

#[test]
fn files_that_cannot_be_read() {
    let place = Place::new();
    place.write("latin.toml", b"title = \"a\"\n# caf\xe9\n");
    std::fs::create_dir(place.path("folder")).unwrap();
    // A sparse file: large without holding anything.
    let large = std::fs::File::create(place.path("large.toml")).unwrap();
    large.set_len(50 << 20).unwrap();
    for (name, said) in [
        ("none.toml", "there is no file none.toml"),
        ("latin.toml", "line 2 of latin.toml is not UTF-8"),
        ("folder", "is a folder"),
        ("large.toml", "larger than 4 MB"),
    ] {
        for command in [&["lay", name, "--out", "out"][..], &["check", name]] {
            if command[0] == "check" && name == "large.toml" {
                continue;
            }
            let ran = place.run(command).with_status(1);
            assert!(ran.err.contains(said), "{command:?}: {}", ran.err);
            assert!(ran.err.contains("What to do:"), "{}", ran.err);
        }
    }
    assert_eq!(place.names(), ["folder", "large.toml", "latin.toml"]);
}

#[test]
fn folders_that_cannot_be_written() {
    let place = Place::new();
    place.write("a.toml", HARBOUR);
    place.write("file", "mine");
    std::fs::create_dir(place.path("full")).unwrap();
    place.write("full/mine.txt", "mine");
    for (out, said) in [
        ("file", "is a file, not a folder"),
        ("file/deeper", "cannot"),
        ("full", "not empty"),
    ] {
        let ran = place.run(&["lay", "a.toml", "--out", out]).with_status(1);
        assert!(ran.err.contains(said), "{out}: {}", ran.err);
    }
    assert_eq!(place.names(), ["a.toml", "file", "full"]);
    assert_eq!(place.read("full/mine.txt"), "mine");
}

#[cfg(unix)]
#[test]
fn a_folder_without_leave_to_write() {
    use std::os::unix::fs::PermissionsExt;
    let place = Place::new();
    place.write("a.toml", HARBOUR);
    let locked = place.path("locked");
    std::fs::create_dir(&locked).unwrap();
    std::fs::set_permissions(&locked, std::fs::Permissions::from_mode(0o555)).unwrap();
    if std::fs::write(locked.join("probe"), "").is_ok() {
        println!("skipped: this user may write anywhere");
        return;
    }
    let ran = place
        .run(&["lay", "a.toml", "--out", "locked/out"])
        .with_status(1);
    assert!(ran.err.contains("cannot write to"), "{}", ran.err);
}

#[test]
fn plans_that_are_none() {
    let place = Place::new();
    place.write(
        "a.json",
        "{\"format\": \"stripelay-plan/2\",\n \"made_by\": 3}",
    );
    let ran = place.run(&["check", "a.json"]).with_status(1);
    assert!(
        ran.err.contains("Line 2 of a.json:") && ran.err.contains("not a plan"),
        "{}",
        ran.err
    );
    place.write("b.json", "[");
    place.run(&["check", "b.json"]).with_status(1);
    place.write("c.json", "");
    place.run(&["draw", "map", "c.json"]).with_status(1);
    assert_eq!(place.names(), ["a.json", "b.json", "c.json"]);
}

#[test]
fn numbers_on_the_command_line() {
    let place = Place::new();
    place.write("a.toml", HARBOUR);
    for wrong in [
        ["--seconds", "0"],
        ["--seconds", "nan"],
        ["--threads", "0"],
        ["--seed", "-1"],
        ["--effort", "wild"],
    ] {
        let mut args = vec!["lay", "a.toml", "--out", "out"];
        args.extend(wrong);
        let ran = place.run(&args).with_status(2);
        assert!(ran.err.contains(wrong[0]), "{}", ran.err);
    }
}

/// What a maker most likely meant, said in one fault.
#[test]
fn messages_say_what_was_meant() {
    for (old, new, said, cure) in [
        (
            "width = \"42 in\"",
            "width = 5 1/4 in",
            "a length without quotes",
            "width = \"5 1/4 in\"",
        ),
        (
            "width = \"42 in\"",
            "width = “42 in”",
            "curly",
            "width = \"42 in\"",
        ),
        (
            "width = \"42 in\"",
            "width = 18,50",
            "a comma",
            "width = 18.50",
        ),
        ("\"42 in\"", "\"18,50\"", "has a comma: write 18.50", ""),
        ("\"42 in\"", "\"51/4 in\"", "did you mean 5 1/4?", ""),
        (
            "[motif.wheel]",
            "[motf.wheel]",
            "no table called `motf`",
            "did you mean `motif`?",
        ),
        (
            "[motif.tide]",
            "[motif.wheel]",
            "[motif.wheel] is here a second time: it stands at line ",
            "rename one",
        ),
    ] {
        let err = lay_with(old, new);
        assert!(err.contains(said) && err.contains(cure), "{new}: {err}");
        assert_eq!(err.matches("What to do:").count(), 1, "{new}: {err}");
    }
    let place = Place::new();
    place.write(
        "a.toml",
        "[fabric.a]\nwidth = 40\ncolour = \"#777777\"\n[motif.m]\n[motif.m.part]\nfabric = \"a\"\n\
         shape = \"disc\"\nrim = 2\n",
    );
    let ran = place.run(&["lay", "a.toml", "--out", "out"]).with_status(1);
    assert!(ran.err.contains("write [[motif.m.part]]"), "{}", ran.err);
    assert_eq!(ran.err.matches("What to do:").count(), 1, "{}", ran.err);
}

/// Plans where projects are wanted and the other way round: a sentence each.
#[test]
fn a_plan_is_no_project_and_a_project_no_plan() {
    let place = Place::new();
    place.write("plan.json", crate::place::quick_plan());
    place.write("a.toml", HARBOUR);
    let ran = place
        .run(&["lay", "plan.json", "--out", "out"])
        .with_status(1);
    assert!(ran.err.contains("is a plan, not a project"), "{}", ran.err);
    assert_eq!(ran.err.lines().count(), 2, "{}", ran.err);
    for command in [&["check", "a.toml"][..], &["draw", "map", "a.toml"]] {
        let ran = place.run(command).with_status(1);
        assert!(
            ran.err.contains("a.toml is a project file, not a plan"),
            "{}",
            ran.err
        );
        assert!(ran.err.contains("stripelay lay a.toml"), "{}", ran.err);
        assert_eq!(ran.err.lines().count(), 2, "{}", ran.err);
    }
}

/// 720 half circles in each other's way: one fault with their count and what would do.
#[test]
fn the_same_fault_is_told_once_with_its_count() {
    let slipway = include_str!("../../data/slipway/slipway.toml");
    let many = slipway.replacen("units_across = 6", "units_across = 360", 1);
    assert_ne!(many, slipway);
    let place = Place::new();
    place.write("a.toml", many);
    let ran = place.run(&["lay", "a.toml", "--out", "out"]).with_status(1);
    let told = ran.err.matches(" overlap by ").count();
    assert_eq!(told, 1, "{}", ran.err);
    assert!(
        ran.err.contains(", and so do more than 4999 pairs"),
        "{}",
        ran.err
    );
    assert!(
        ran.err.contains("set their centres at least 6 in apart"),
        "{}",
        ran.err
    );
    assert!(ran.err.matches("What to do:").count() < 8, "{}", ran.err);
}

#[test]
fn spaces_that_the_shell_took_for_ends() {
    let place = Place::new();
    place.write("a.toml", HARBOUR);
    let ran = place
        .run(&["compare", "a.toml", "--width", "deck=42", "in,44", "in"])
        .with_status(2);
    assert!(
        ran.err
            .contains("What has spaces needs quotes: \"deck=42 in,44 in\""),
        "{}",
        ran.err
    );
    let ran = place.run(&["lay", "a.toml", "b.toml"]).with_status(2);
    assert!(!ran.err.contains("needs quotes"), "{}", ran.err);
}

/// Two parts of one motif that share an offset, each nearly as wide as the fabric: where the
/// one fits, the other does not: it takes 13 in for both (at an offset at which the first touches the
/// left selvage, the second reaches 4 1/2 + 8 1/2 in). Said in words, whether copies are alike or not.
#[test]
fn parts_that_share_no_offset() {
    let project = |look: &str| {
        format!(
            "unit = \"in\"\n[making]\nturn_under = 0\ngap = 0\n\
             [fabric.a]\nwidth = 10\none_way = true\n[fabric.a.stripe]\n\
             bands = [{{ width = 5, colour = \"#000000\" }}, {{ width = 3, colour = \"#ffffff\" }}]\n\
             [motif.m]\ncopies = 2\n\
             [[motif.m.part]]\nfabric = \"a\"\nshape = \"outline\"\npoints = [[-4.5, 0], [4.5, 0], [4.5, 3], [-4.5, 3]]\n\
             tie = \"one\"\ncopies_look = \"{look}\"\n\
             [[motif.m.part]]\nfabric = \"a\"\nshape = \"outline\"\npoints = [[-0.5, 4], [8.5, 4], [8.5, 7], [-0.5, 7]]\n\
             tie = \"one\"\ncopies_look = \"{look}\"\n"
        )
    };
    for look in ["alike", "own"] {
        let place = Place::new();
        place.write("a.toml", project(look));
        let ran = place
            .run(&["lay", "a.toml", "--out", "out", "--effort", "quick"])
            .with_status(1);
        let would_do = "a usable width of 13 in would do";
        assert!(ran.err.contains(would_do), "{look}: {}", ran.err);
        assert_eq!(place.names(), ["a.toml"]);
    }
}
