//! Programs from outside, where the machine has them.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Whether a program is there; says so where it is not.
pub fn has(program: &str) -> bool {
    let there = Command::new(program)
        .arg("--version")
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .is_ok();
    if !there {
        println!("skipped: {program} is not installed");
    }
    there
}

/// An empty folder of one's own below cargo's folder for tests.
pub fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

/// Runs a command to its end, for a minute at most; what it said on both outputs.
pub fn run(command: &mut Command) -> (String, String) {
    let log = folder(&format!("run-{}", std::process::id() as u64 + counter()));
    let (out, err) = (log.join("out"), log.join("err"));
    let mut child = command
        .stdin(Stdio::null())
        .stdout(std::fs::File::create(&out).unwrap())
        .stderr(std::fs::File::create(&err).unwrap())
        .spawn()
        .unwrap();
    let begin = Instant::now();
    loop {
        if let Some(status) = child.try_wait().unwrap() {
            let said = |path| String::from_utf8_lossy(&std::fs::read(path).unwrap()).into_owned();
            let (out, err) = (said(out), said(err));
            assert!(status.success(), "{status}: {err}");
            return (out, err);
        }
        if begin.elapsed() > Duration::from_secs(60) {
            child.kill().unwrap();
            panic!("it took more than a minute");
        }
        std::thread::sleep(Duration::from_millis(20));
    }
}

fn counter() -> u64 {
    use std::sync::atomic::{AtomicU64, Ordering};
    static COUNT: AtomicU64 = AtomicU64::new(0);
    COUNT.fetch_add(1_000_000, Ordering::Relaxed)
}
