//! As many pieces on one fabric as may be, and one more.

use crate::place::Place;
#[cfg(target_os = "linux")]
use std::{process::Stdio, time::Duration};

/// 4,000 pieces on one fabric, the limit of `lay`.
pub const FULL: &str = r##"
title = "A thousand wheels"
unit = "mm"
[fabric.deck]
width = 1067
[fabric.deck.stripe]
bands = [
  { name = "navy", width = 20, colour = "#1f3a5f" },
  { name = "sail", width = 12, colour = "#f2ead8" },
  { name = "buoy", width = 7, colour = "#c8453b" },
]
[motif.wheel]
copies = 1000
[[motif.wheel.part]]
name = "wheel"
fabric = "deck"
shape = "fan"
wedges = 4
hub = 8
rim = 40
"##;

const ONE_MORE: &str = r##"
[motif.pin]
[[motif.pin.part]]
name = "pin"
fabric = "deck"
shape = "disc"
rim = 10
"##;

/// Processor time (s) and peak of memory (MB) that a process has taken so far.
#[cfg(target_os = "linux")]
pub fn taken(id: u32) -> Option<(f64, u64)> {
    let stat = std::fs::read_to_string(format!("/proc/{id}/stat")).ok()?;
    let fields: Vec<&str> = stat.rsplit_once(')')?.1.split_whitespace().collect();
    // Fields 14 and 15 of proc(5), utime and stime, in hundredths of a second; field 3
    // is the first after the name.
    let ticks: f64 = fields[11].parse::<f64>().ok()? + fields[12].parse::<f64>().ok()?;
    let status = std::fs::read_to_string(format!("/proc/{id}/status")).ok()?;
    let peak = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    let kb: u64 = peak.split_whitespace().nth(1)?.parse().ok()?;
    Some((ticks / 100.0, kb / 1024))
}

#[cfg(target_os = "linux")]
const QUICK: [&str; 2] = ["--effort", "quick"];

/// What a run took.
#[cfg(target_os = "linux")]
pub struct Took {
    /// Processor time.
    pub seconds: f64,
    peak_mb: u64,
}

#[cfg(target_os = "linux")]
impl std::fmt::Display for Took {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { seconds, peak_mb } = self;
        write!(f, "{seconds} s of processor time, {peak_mb} MB")
    }
}

/// Lays a project to its end, within so much processor time (s) and memory (MB).
#[cfg(target_os = "linux")]
#[track_caller]
pub fn run_within(
    project: &str,
    effort: &[&str],
    most_seconds: f64,
    most_mb: u64,
) -> (Place, Took) {
    let place = Place::new();
    place.write("a.toml", project);
    let mut child = place
        .command(&[&["lay", "a.toml", "--out", "out"], effort].concat())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut took = Took {
        seconds: 0.0,
        peak_mb: 0,
    };
    while child.try_wait().unwrap().is_none() {
        if let Some((seconds, peak_mb)) = taken(child.id()) {
            took = Took { seconds, peak_mb };
        }
        if took.seconds > most_seconds || took.peak_mb > most_mb {
            child.kill().unwrap();
            child.wait().unwrap();
            panic!("{took}");
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    assert!(child.wait().unwrap().success());
    (place, took)
}

/// A shared offset, and as many offsets as are tried: each has a board of its own, of which
/// two are kept and no more than one a thread are at work.
#[cfg(target_os = "linux")]
#[test]
fn boards_of_many_offsets_stay_within_their_memory() {
    let motifs = (0..40).map(|i| {
        let rim = 40 + 3 * i;
        format!(
            "[motif.m{i}]\ncopies = 3\n[[motif.m{i}.part]]\nfabric = \"deck\"\nshape = \"fan\"\nwedges = 5\n\
             hub = {}\nrim = {rim}\noffset = \"free\"\ntie = \"all\"\n",
            rim / 3
        )
    });
    let text: String = motifs.collect();
    let fabric = FULL.split("[motif.").next().unwrap();
    let (_, took) = run_within(&format!("{fabric}{text}"), &QUICK, 60.0, MOST_BOARDS_MB);
    println!("{took}");
}

/// Measured on two shared cores: 25 s of processor time and 272 MB.
#[cfg(target_os = "linux")]
const MOST_BOARDS_MB: u64 = 400;

/// Measured on two shared cores: 22 s of processor time and 246 MB from file to files.
#[cfg(target_os = "linux")]
#[test]
fn four_thousand_pieces_take_a_minute_and_half_a_gigabyte_at_most() {
    let (place, took) = run_within(FULL, &QUICK, 60.0, 500);
    println!("{took}");
    let plan: serde_json::Value =
        serde_json::from_slice(&std::fs::read(place.path("out/plan.json")).unwrap()).unwrap();
    assert_eq!(
        plan["fabrics"][0]["placements"].as_array().unwrap().len(),
        4000
    );
}

#[test]
fn one_piece_more_than_the_limit_is_said_at_once() {
    let place = Place::new();
    place.write("a.toml", format!("{FULL}{ONE_MORE}"));
    let ran = place
        .run(&["lay", "a.toml", "--out", "out", "--effort", "quick"])
        .with_status(1);
    assert_eq!(place.names(), ["a.toml"], "nothing stays behind");
    for words in [
        "`deck`",
        "4001 pieces",
        "the limit is 4000",
        "batches",
        "What to do:",
    ] {
        assert!(ran.err.contains(words), "{words}: {}", ran.err);
    }
}
