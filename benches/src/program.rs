//! The program itself, as a maker waits for it: what it takes on the demo, beside what is
//! wanted. To be run on a machine that does nothing else.

use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// Every row is the middle of so many runs.
const RUNS: usize = 5;
/// Search before Ctrl-C is pressed.
const BEFORE_STOP: Duration = Duration::from_secs(3);

/// Prints a row for everything that somebody waits for.
///
/// # Errors
/// The first run that failed, in words.
pub fn program(stripelay: &Path, say: &dyn Fn(&str)) -> Result<(), String> {
    let place = Place::new()?;
    say(&format!(
        "{:<28} {:>9} {:>9}",
        "program", "seconds", "wanted"
    ));
    let rows: [(&str, f64, &[&str]); 6] = [
        ("--help", 0.02, &["--help"]),
        (
            "lay --effort quick",
            1.5,
            &[
                "lay", HARBOUR, "--effort", "quick", "--out", "plan", "--force",
            ],
        ),
        (
            "lay --effort steady",
            8.0,
            &["lay", HARBOUR, "--out", "plan", "--force"],
        ),
        (
            "draw map",
            1.5,
            &["draw", "map", "plan/plan.json", "--out", "again", "--force"],
        ),
        (
            "draw templates",
            1.5,
            &[
                "draw",
                "templates",
                "plan/plan.json",
                "--out",
                "again",
                "--force",
            ],
        ),
        (
            "draw booklet",
            1.5,
            &[
                "draw",
                "booklet",
                "plan/plan.json",
                "--out",
                "again",
                "--force",
            ],
        ),
    ];
    for (name, wanted, args) in rows {
        let run = || {
            let began = Instant::now();
            let child = place.start(stripelay, args)?;
            ended(child, began)
        };
        say(&row(name, middle(run)?, wanted));
    }
    let stopped = || {
        let args = [
            "lay", HARBOUR, "--effort", "patient", "--out", "plan", "--force",
        ];
        let child = place.start(stripelay, &args)?;
        std::thread::sleep(BEFORE_STOP);
        let began = Instant::now();
        let sent = Command::new("kill")
            .args(["-INT", &child.id().to_string()])
            .status();
        sent.map_err(|e| format!("kill: {e}"))?;
        ended(child, began)
    };
    say(&row("Ctrl-C to the end", middle(stopped)?, 1.0));
    Ok(())
}

const HARBOUR: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../data/harbour/harbour.toml");

fn row(name: &str, seconds: f64, wanted: f64) -> String {
    format!("{name:<28} {seconds:>9.3} {wanted:>9.2}")
}

fn middle(run: impl Fn() -> Result<f64, String>) -> Result<f64, String> {
    let mut times = (0..RUNS).map(|_| run()).collect::<Result<Vec<_>, _>>()?;
    times.sort_by(f64::total_cmp);
    Ok(times[RUNS / 2])
}

fn ended(mut child: Child, began: Instant) -> Result<f64, String> {
    let status = child.wait().map_err(|e| e.to_string())?;
    let seconds = began.elapsed().as_secs_f64();
    if status.success() {
        Ok(seconds)
    } else {
        Err(format!("the program ended with {status}"))
    }
}

/// A folder of one's own, removed afterwards.
struct Place(PathBuf);

impl Place {
    fn new() -> Result<Self, String> {
        let path = std::env::temp_dir().join(format!("stripelay-benches-{}", std::process::id()));
        std::fs::create_dir_all(&path).map_err(|e| format!("{}: {e}", path.display()))?;
        Ok(Self(path))
    }

    fn start(&self, stripelay: &Path, args: &[&str]) -> Result<Child, String> {
        let program = stripelay.canonicalize();
        let program = program.map_err(|e| format!("{}: {e}", stripelay.display()))?;
        Command::new(program)
            .args(args)
            .current_dir(&self.0)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .map_err(|e| e.to_string())
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}
