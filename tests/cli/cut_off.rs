//! Runs that are cut off: the older result or the newer one is there, whole, and no draft
//! stays. After SIGKILL, which nobody can hear, the next run sees to that, and says so.
//!
//! `STRIPELAY_KILLS` is the number of runs that are killed, and interrupted, in a run of its own.

use crate::place::{Place, Ran};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::OnceLock;
use std::time::{Duration, Instant};
use stripe_core::internals::rng::Rng;

/// A small project on fabrics of these names: it is planned in a moment.
fn project(fabrics: &[&str]) -> String {
    let mut text = "unit = \"cm\"\n".to_owned();
    for name in fabrics {
        text += &format!(
            "[fabric.{name}]\nwidth = 40\n[fabric.{name}.stripe]\nbands = [{{ name = \"x\", width = 2, \
             colour = \"#334455\" }}, {{ name = \"y\", width = 1, colour = \"#eeddcc\" }}]\n\
             [motif.{name}]\ncopies = 2\n[[motif.{name}.part]]\nfabric = \"{name}\"\n\
             shape = \"outline\"\npoints = [[0, 0], [6, 0], [6, 6], [0, 6]]\n"
        );
    }
    text
}

type Files = BTreeMap<String, Vec<u8>>;

fn files(folder: &Path) -> Files {
    let Ok(entries) = fs::read_dir(folder) else {
        return Files::new();
    };
    let read = |path: &Path| {
        let is_dir = path.is_dir();
        if is_dir {
            b"folder".to_vec()
        } else {
            fs::read(path).unwrap()
        }
    };
    entries
        .map(|entry| entry.unwrap())
        .map(|entry| {
            (
                entry.file_name().into_string().unwrap(),
                read(&entry.path()),
            )
        })
        .collect()
}

fn put(files: &Files, folder: &Path) {
    let _ = fs::remove_dir_all(folder);
    fs::create_dir(folder).unwrap();
    for (name, bytes) in files {
        fs::write(folder.join(name), bytes).unwrap();
    }
}

const ARGS: [&str; 8] = [
    "lay",
    "new.toml",
    "--out",
    "out",
    "--force",
    "--effort",
    "quick",
    "--threads=1",
];

/// The older result, the newer one in its place, and how long that one takes.
fn results() -> &'static (Files, Files, Duration) {
    static RESULTS: OnceLock<(Files, Files, Duration)> = OnceLock::new();
    RESULTS.get_or_init(|| {
        let place = place();
        let mut older = ARGS;
        older[1] = "old.toml";
        place.run(&older).with_status(0);
        // Somebody's own file stays whatever happens.
        place.write("out/notes.txt", "mine");
        let old = files(&place.path("out"));
        let began = Instant::now();
        let ran = place.run(&ARGS).with_status(0);
        let took = began.elapsed();
        assert!(ran.err.contains("Removed from out"), "{}", ran.err);
        let new = files(&place.path("out"));
        assert!(old.contains_key("map-a.png") && !new.contains_key("map-a.png"));
        assert!(new.contains_key("map-b.png") && new.contains_key("map-c.png"));
        assert_eq!(new["notes.txt"], b"mine");
        (old, new, took)
    })
}

fn place() -> Place {
    let place = Place::new();
    place.write("old.toml", project(&["a", "b"]));
    place.write("new.toml", project(&["b", "c"]));
    place
}

fn start(place: &Place) -> Child {
    let mut command = place.command(&ARGS);
    command.stdout(Stdio::piped()).stderr(Stdio::piped());
    command.spawn().unwrap()
}

fn signal(child: &Child, name: &str) {
    let id = child.id().to_string();
    // It may have ended by itself.
    let _ = Command::new("kill")
        .args([name, &id])
        .stderr(Stdio::null())
        .status();
}

/// What the folder holds must be one of the two results, and nothing else.
#[track_caller]
fn assert_whole(place: &Place, case: &str) -> bool {
    let (old, new, _) = results();
    let now = files(&place.path("out"));
    let names = |files: &Files| files.keys().cloned().collect::<Vec<_>>();
    assert!(
        now == *old || now == *new,
        "{case}: neither the older result nor the newer: {:?}",
        names(&now)
    );
    assert_eq!(place.names(), ["new.toml", "old.toml", "out"], "{case}");
    now == *new
}

/// Waits until the run in `place` has begun to move its files.
fn wait_for_steps(place: &Place, child: &mut Child) {
    while child.try_wait().unwrap().is_none() {
        let entries = fs::read_dir(place.path("out")).unwrap();
        let drafts = entries.filter_map(|entry| Some(entry.ok()?.path()));
        let mut drafts = drafts.filter(|path| path.extension().is_some_and(|e| e == "draft"));
        if drafts.any(|draft| draft.join("steps").exists() || draft.join("steps.part").exists()) {
            return;
        }
    }
}

#[test]
fn killed_at_any_moment() {
    let (old, _, took) = results();
    let mut rng = Rng::new(1);
    let place = place();
    let (mut newer, mut drafts, mut told) = (0_u64, 0, 0);
    let kills = stripe_tests::asked("STRIPELAY_KILLS", 24);
    for turn in 0..kills {
        put(old, &place.path("out"));
        let mut child = start(&place);
        // Half of them while files are moved, which takes a moment only.
        if turn % 2 == 0 {
            wait_for_steps(&place, &mut child);
            std::thread::sleep(Duration::from_secs_f64(rng.real(0.0, 1e-3)));
        } else {
            std::thread::sleep(took.mul_f64(rng.real(0.0, 1.1)));
        }
        let _ = child.kill();
        child.wait().unwrap();
        let had_draft = files(&place.path("out"))
            .keys()
            .any(|name| name.ends_with(".draft"));
        let next = place.run(&["check", "out/plan.json"]).with_status(0);
        let is_new = assert_whole(&place, &format!("turn {turn}"));
        let said = next.err.contains("cut off");
        assert!(!said || had_draft, "turn {turn}: {}", next.err);
        newer += u64::from(is_new);
        drafts += usize::from(had_draft);
        told += usize::from(said);
    }
    println!("{kills} killed: {newer} newer results, {drafts} drafts found, {told} told of");
    assert!(
        newer > 0 && newer < kills,
        "{newer} of {kills} moments are no test"
    );
    assert!(told > 0, "no draft was swept up");
}

#[test]
fn interrupted_at_any_moment() {
    let (old, _, took) = results();
    let mut rng = Rng::new(2);
    let place = place();
    let (mut newer, mut ended) = (0, 0);
    let signals = stripe_tests::asked("STRIPELAY_KILLS", 12);
    for turn in 0..signals {
        put(old, &place.path("out"));
        let mut child = start(&place);
        if turn % 4 == 0 {
            wait_for_steps(&place, &mut child);
        } else {
            // Before the first moment nobody listens: a plain end, with nothing begun.
            std::thread::sleep(took.mul_f64(rng.real(0.05, 1.1)));
        }
        signal(&child, "-INT");
        if turn % 2 == 0 {
            signal(&child, "-INT");
        }
        let ran = Ran::from(child.wait_with_output().unwrap());
        // -1: before it listened.
        assert!(
            [0, 130, -1].contains(&ran.status),
            "{}: {}",
            ran.status,
            ran.err
        );
        ended += usize::from(ran.status == 130);
        newer += usize::from(assert_whole(&place, &format!("turn {turn}: {}", ran.err)));
    }
    println!("{signals} interrupted: {newer} newer results, {ended} ended at once");
    assert!(newer > 0);
}

/// `ulimit -f` stands in for a disk that fills up, at every file and at none.
#[test]
fn no_room_for_the_files() {
    let (old, new, _) = results();
    let place = place();
    let mut failed = 0;
    let largest = new.values().map(Vec::len).max().unwrap();
    let blocks = largest / 512 + 1;
    for share in [0.0, 0.01, 0.05, 0.1, 0.3, 0.6, 0.9, 1.1] {
        put(old, &place.path("out"));
        let limit = (blocks as f64 * share) as usize;
        let program = env!("CARGO_BIN_EXE_stripelay");
        // POSIX counts in blocks of 512 bytes, bash in 1024: either will do.
        let line = format!("ulimit -f {limit} && exec {program} {}", ARGS.join(" "));
        let mut shell = Command::new("sh");
        let output = shell
            .args(["-c", &line])
            .current_dir(&place.0)
            .output()
            .unwrap();
        let ran = Ran::from(output);
        let is_new = assert_whole(&place, &format!("limit {limit}: {}", ran.err));
        assert_eq!(ran.status, i32::from(!is_new), "limit {limit}: {}", ran.err);
        if !is_new {
            failed += 1;
            assert!(ran.err.contains("cannot write out/"), "{}", ran.err);
            assert!(ran.err.contains("ulimit -f"), "{}", ran.err);
        }
    }
    println!("8 limits: {failed} runs without room");
    assert!((4..8).contains(&failed), "{failed}");
}

#[test]
fn a_folder_that_is_there_and_empty() {
    let place = place();
    for folder in ["here", "there"] {
        fs::create_dir(place.path(folder)).unwrap();
    }
    let mut new = place.command(&["new", "."]);
    new.current_dir(place.path("here"));
    Ran::from(new.output().unwrap()).with_status(0);
    let mut lay = place.command(&["lay", "../new.toml", "--out", ".", "--effort", "quick"]);
    lay.current_dir(place.path("there"));
    Ran::from(lay.output().unwrap()).with_status(0);
    assert_eq!(files(&place.path("here")).len(), 1);
    assert!(files(&place.path("there")).contains_key("plan.json"));
}
