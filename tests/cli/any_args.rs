//! Command lines that nobody would type, made of the real options and odd values: each ends
//! with a known status and within a moment, panics nowhere, and leaves nothing behind but
//! what a success writes.
//!
//! `STRIPELAY_FUZZ_CASES` is the number of command lines in a run of its own.

use crate::place::Place;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use std::process::Stdio;
use std::time::{Duration, Instant};

const CASES: u64 = 90;
/// What one run may take of processor time (s): how many others share the cores is no fault
/// of a command line. What waits for something without working is ended later.
const MOST_SECONDS: f64 = 5.0;
const MOST_WAIT: Duration = Duration::from_secs(60);

/// Two fabrics, a motif, a quilt: planned in some hundredths of a second.
const SMALL: &str = r##"unit = "in"
[fabric.a]
width = 42
[fabric.a.stripe]
bands = [{ name = "x", width = 2, colour = "#334455" }, { name = "y", width = 1, colour = "#eeddcc" }]
[fabric.b]
width = 42
colour = "#777777"
[motif.m]
copies = 2
[[motif.m.part]]
fabric = "a"
shape = "fan"
wedges = 3
rim = 3
[quilt.q.field]
fabric = "b"
width = 20
length = 20
[[quilt.q.place]]
motif = "m"
even = [2, 1]
"##;

/// Every option of the program, with what could be meant to follow.
const OPTIONS: [&str; 20] = [
    "--out",
    "--force",
    "--effort",
    "--size",
    "--width",
    "--stripe-tolerance",
    "--copies",
    "--may-rotate",
    "--seed",
    "--seconds",
    "--threads",
    "--json",
    "--paper",
    "--method",
    "--help",
    "--version",
    "--",
    "-",
    "--wdith",
    "-x",
];

const VALUES: [&str; 64] = [
    "",
    " ",
    "0",
    "1",
    "-1",
    "7",
    "0.01",
    "1e-9",
    "1e18",
    "1e400",
    "nan",
    "inf",
    "-inf",
    "99999999999999999999999",
    "quick",
    "steady",
    "own",
    "alike",
    "own,alike",
    "yes,no",
    "letter",
    "a4",
    "overlay",
    "q",
    "q,q",
    "nowhere",
    "a=42in",
    "a=42in,54in@22",
    "a=42 in,44 in",
    "in,44",
    "a=",
    "=42in",
    "a",
    "a=..",
    "x=..",
    "a=0",
    "a=-3cm",
    "a=1e9m",
    "a=42in@",
    "a=42in@x",
    "a=42in@-1",
    "a=@",
    "a==1",
    "a=51/4in",
    "a=42in,,44in",
    "b=30cm@1e300",
    "0,1/32in",
    "1/0in",
    "18,50",
    "½″",
    "布=42in",
    "日本語",
    "a\u{0301}=1in",
    "\u{202e}gnp.exe",
    "🧵",
    "../..",
    "out",
    "plan.json",
    "small.toml",
    "folder",
    "folder/deeper/out",
    "small.toml/out",
    "new",
    "{}",
];

const COMMANDS: [&str; 8] = ["new", "lay", "compare", "check", "draw", "help", "", "laye"];

fn word() -> impl Strategy<Value = String> {
    prop_oneof![
        8 => prop::sample::select(&VALUES[..]).prop_map(str::to_owned),
        1 => "\\PC{0,12}",
        1 => (1usize..6000).prop_map(|count| "x".repeat(count)),
        1 => (1usize..400).prop_map(|count| format!("a={}", vec!["42in"; count].join(","))),
    ]
}

/// An option with a value, one without, one glued to its value, or a word by itself.
fn piece() -> impl Strategy<Value = Vec<String>> {
    let option = prop::sample::select(&OPTIONS[..]);
    prop_oneof![
        5 => (option.clone(), word()).prop_map(|(o, w)| vec![o.to_owned(), w]),
        2 => (option.clone(), word()).prop_map(|(o, w)| vec![format!("{o}={w}")]),
        2 => option.prop_map(|o| vec![o.to_owned()]),
        1 => word().prop_map(|w| vec![w]),
    ]
}

/// A command line: half of them with all that their command cannot do without.
fn line() -> impl Strategy<Value = Vec<String>> {
    let begun = prop_oneof![
        3 => Just(vec!["lay", "small.toml", "--out", "out", "--effort", "quick"]),
        3 => Just(vec!["compare", "small.toml"]),
        1 => Just(vec!["compare", "small.toml", "--out", "out"]),
        1 => Just(vec!["new", "made"]),
        1 => Just(vec!["check", "small.toml"]),
        1 => Just(vec!["draw", "map", "small.toml"]),
        2 => prop::sample::select(&COMMANDS[..]).prop_map(|c| vec![c]),
    ];
    (begun, prop::collection::vec(piece(), 0..4)).prop_map(|(begun, pieces)| {
        let mut args: Vec<String> = begun.into_iter().map(str::to_owned).collect();
        args.extend(pieces.into_iter().flatten());
        // No file system takes the one, no argument the other.
        args.retain(|arg| !arg.contains('\0'));
        args
    })
}

/// Runs a command line; what is wrong with how it ended.
fn fault_of(args: &[String]) -> Result<i32, String> {
    let place = Place::new();
    place.write("small.toml", SMALL);
    std::fs::create_dir(place.path("folder")).unwrap();
    let before = everything(&place);
    // Above it is nobody's folder: what climbs out of it must find this one.
    let words: Vec<&str> = args.iter().map(String::as_str).collect();
    let began = Instant::now();
    let mut child = place
        .command(&words)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(|error| error.to_string())?;
    // Read while it runs: a full pipe would stop it.
    let (out, err) = (child.stdout.take().unwrap(), child.stderr.take().unwrap());
    let read = |mut from: Box<dyn std::io::Read + Send>| {
        std::thread::spawn(move || {
            let mut bytes = Vec::new();
            let _ = from.read_to_end(&mut bytes);
            String::from_utf8_lossy(&bytes).into_owned()
        })
    };
    let (out, err) = (read(Box::new(out)), read(Box::new(err)));
    let status = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break status.code();
        }
        #[cfg(target_os = "linux")]
        let busy = crate::limit::taken(child.id()).map_or(0.0, |(seconds, _)| seconds);
        #[cfg(not(target_os = "linux"))]
        let busy = 0.0;
        if busy > MOST_SECONDS || began.elapsed() > MOST_WAIT {
            let _ = child.kill();
            let _ = child.wait();
            return Err(format!(
                "not done after {busy} s of work, {:?}",
                began.elapsed()
            ));
        }
        std::thread::sleep(Duration::from_millis(2));
    };
    let (out, err) = (out.join().unwrap(), err.join().unwrap());
    if err.contains("panicked") || out.contains("panicked") {
        return Err(format!("a panic: {err}"));
    }
    let status = match status {
        Some(status @ 0..=2) => status,
        other => return Err(format!("status {other:?}: {err}")),
    };
    let after = everything(&place);
    if status != 0 && after != before {
        return Err(format!("status {status} left {after:?}: {err}"));
    }
    if status != 0 && err.trim().is_empty() {
        return Err(format!("status {status} without a word"));
    }
    if let Some(draft) = after.iter().find(|name| name.contains(".draft")) {
        return Err(format!("{draft} stays behind"));
    }
    Ok(status)
}

/// The names of all files and folders below a place.
fn everything(place: &Place) -> Vec<String> {
    let mut names = vec![];
    let mut folders = vec![place.0.clone()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            names.push(path.strip_prefix(&place.0).unwrap().display().to_string());
            if path.is_dir() {
                folders.push(path);
            }
        }
    }
    names.sort();
    names
}

#[test]
fn no_command_line_is_too_odd() {
    let cases = stripe_tests::asked("STRIPELAY_FUZZ_CASES", CASES) as u32;
    let config = Config {
        cases,
        failure_persistence: None,
        ..Config::default()
    };
    // The same command lines on every run.
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let mut runner = TestRunner::new_with_rng(config, rng);
    let ends = std::cell::RefCell::new([0; 3]);
    let ran = runner.run(&line(), |args| {
        // What would climb out of the folder is not this test's to write.
        prop_assume!(
            !args
                .iter()
                .any(|arg| arg.contains("..") && !arg.contains("=.."))
        );
        prop_assume!(
            !args
                .iter()
                .any(|arg| arg.starts_with('/') || arg.contains("=/"))
        );
        match fault_of(&args) {
            Ok(status) => {
                ends.borrow_mut()[status as usize] += 1;
                Ok(())
            }
            Err(fault) => Err(TestCaseError::fail(format!("{args:?}: {fault}"))),
        }
    });
    let ends = ends.into_inner();
    println!(
        "{cases} command lines: {} done, {} at fault, {} wrong",
        ends[0], ends[1], ends[2]
    );
    if let Err(fault) = ran {
        panic!("{fault}");
    }
    assert!(ends.iter().all(|&count| count * 20 > cases), "{ends:?}");
}
