//! The library as others build on it: two crates outside of the workspace, which know its
//! public surface alone, are built without a network and run. Each builds the library and what
//! it needs anew, some minutes on a new machine, so `.ci/run` asks for them after all else. They
//! are built with debug assertions, which is how an overflow shows.

#![allow(
    clippy::unwrap_used,
    reason = "a failed test is meant to stop and say so"
)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn home() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Runs cargo on one of the crates of `tests/outside`, with the workspace's versions and the
/// workspace's target folder, where most of what it needs is built already.
fn cargo(name: &str, command: &[&str]) -> Output {
    let folder = home().join("tests/outside").join(name);
    std::fs::copy(home().join("Cargo.lock"), folder.join("Cargo.lock")).unwrap();
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let target =
        std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| home().join("target"), PathBuf::from);
    let output = Command::new(cargo)
        .args(command)
        .arg("--offline")
        .arg("--manifest-path")
        .arg(folder.join("Cargo.toml"))
        .env("CARGO_TARGET_DIR", target)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{name}: {said}");
    output
}

fn words(output: Output) -> String {
    String::from_utf8(output.stdout).unwrap()
}

#[test]
#[ignore = "builds the library anew; .ci/run runs it"]
fn a_motif_built_in_code_is_laid_and_drawn() {
    let drawing = words(cargo("drawing", &["run", "--quiet"]));
    assert!(drawing.starts_with("<svg") && drawing.trim_end().ends_with("</svg>"));
    // Three motifs of two wedges, each with its code.
    for code in ["T1a", "T1b", "T2a", "T2b", "T3a", "T3b"] {
        assert!(drawing.contains(code), "{code} is not on the map");
    }
}

#[test]
#[ignore = "builds the library anew; .ci/run runs it"]
fn laying_alone_builds_nothing_that_draws() {
    let said = words(cargo("laying", &["run", "--quiet"]));
    assert_eq!(said, "moss: 5 pieces\nrose: 5 pieces\n");
    let tree = words(cargo(
        "laying",
        &["tree", "--edges", "normal", "--prefix", "none"],
    ));
    for name in ["resvg", "krilla", "krilla-svg", "maud", "ttf-parser", "png"] {
        let is_there = tree
            .lines()
            .any(|line| line.split(' ').next() == Some(name));
        assert!(!is_there, "{name} is built");
    }
}
