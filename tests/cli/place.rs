//! A folder of one test's own, and the program run in it.

use std::path::PathBuf;
use std::process::{Command, Output};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};

static NEXT: AtomicUsize = AtomicUsize::new(0);

/// A folder that is removed when the test ends.
pub struct Place(pub PathBuf);

impl Place {
    pub fn new() -> Self {
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        let name = format!("stripelay-cli-{}-{number}", std::process::id());
        let path = std::env::temp_dir().join(name);
        std::fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }

    pub fn write(&self, name: &str, bytes: impl AsRef<[u8]>) {
        std::fs::write(self.path(name), bytes).unwrap();
    }

    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }

    /// All names in the folder, hidden ones too.
    pub fn names(&self) -> Vec<String> {
        self.names_in("")
    }

    /// Those in a folder inside it.
    pub fn names_in(&self, folder: &str) -> Vec<String> {
        let mut names: Vec<String> = std::fs::read_dir(self.path(folder))
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    /// The program, about to run in this folder.
    pub fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_stripelay"));
        command.current_dir(&self.0).args(args);
        command
    }

    /// Runs the program to its end.
    pub fn run(&self, args: &[&str]) -> Ran {
        Ran::from(self.command(args).output().unwrap())
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// What a run left to see.
#[derive(Debug)]
pub struct Ran {
    pub status: i32,
    pub out: String,
    pub err: String,
}

impl From<Output> for Ran {
    fn from(output: Output) -> Self {
        Self {
            status: output.status.code().unwrap_or(-1),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

impl Ran {
    /// The run, which must have ended with this status.
    #[track_caller]
    pub fn with_status(self, status: i32) -> Self {
        assert_eq!(self.status, status, "{}{}", self.out, self.err);
        self
    }
}

/// The example project.
pub const HARBOUR: &str = include_str!("../../data/harbour/harbour.toml");

/// The plan of the example, made once for all tests.
pub fn quick_plan() -> &'static str {
    static PLAN: OnceLock<String> = OnceLock::new();
    PLAN.get_or_init(|| {
        let place = Place::new();
        place.write("a.toml", HARBOUR);
        let args = ["lay", "a.toml", "--out", "out", "--effort", "quick"];
        place.run(&args).with_status(0);
        place.read("out/plan.json")
    })
}
