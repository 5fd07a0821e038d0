//! Starting: help, version, wrong usage, `new`.

use crate::place::Place;

#[test]
fn help_names_every_command() {
    let ran = Place::new().run(&["--help"]).with_status(0);
    for command in ["new", "lay", "check", "draw", "swatch"] {
        assert!(ran.out.contains(&format!("\n  {command} ")), "{}", ran.out);
    }
    assert_eq!(ran.err, "");
    let version = Place::new().run(&["--version"]).with_status(0);
    assert!(version.out.starts_with("stripelay "));
}

#[test]
fn wrong_usage_is_two() {
    for args in [&["sew"][..], &[], &["new"], &["new", "a", "--colour"]] {
        let ran = Place::new().run(args).with_status(2);
        assert_eq!(ran.out, "");
        assert!(!ran.err.is_empty());
    }
}

#[test]
fn new_starts_a_project_once() {
    let place = Place::new();
    let ran = place.run(&["new", "harbour"]).with_status(0);
    assert!(ran.out.contains("Next: stripelay lay"), "{}", ran.out);
    assert_eq!(place.names(), ["harbour"]);
    assert!(place.read("harbour/harbour.toml").contains("[motif.wheel]"));

    place.write("harbour/harbour.toml", "mine");
    let again = place.run(&["new", "harbour"]).with_status(1);
    assert!(
        again.err.contains("not empty") && again.err.contains("--force"),
        "{}",
        again.err
    );
    assert_eq!(place.read("harbour/harbour.toml"), "mine");
    place.run(&["new", "harbour", "--force"]).with_status(0);
    assert_ne!(place.read("harbour/harbour.toml"), "mine");
}

#[test]
fn new_where_a_file_stands() {
    let place = Place::new();
    place.write("harbour", "a file");
    let ran = place.run(&["new", "harbour"]).with_status(1);
    assert!(ran.err.contains("is a file"), "{}", ran.err);
    assert_eq!(place.read("harbour"), "a file");
    let inside = place.run(&["new", "harbour/deep"]).with_status(1);
    assert!(inside.err.contains("What to do"), "{}", inside.err);
    assert_eq!(place.names(), ["harbour"]);
}
