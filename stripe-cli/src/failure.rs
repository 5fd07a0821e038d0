//! What can go wrong, said so that a maker knows what to do.

use std::io;
use std::path::Path;
use stripe_core::project::Fault;

/// A reason to stop.
#[derive(Debug)]
pub(crate) enum Failure {
    /// Whoever read our output went away: that is no failure.
    ClosedPipe,
    /// Faults in a file, each with its place.
    Faults {
        /// The file's name as it was given.
        file: String,
        /// Its text.
        text: String,
        /// What is wrong in it.
        faults: Vec<Fault>,
    },
    /// Anything else: what, and what to do.
    Plain {
        /// What went wrong.
        message: String,
        /// What to do about it.
        help: String,
    },
    /// A check that failed; what it found is on stdout already.
    Unsound {
        /// How many things it found.
        count: usize,
    },
}

impl Failure {
    /// A failure with what to do about it.
    pub(crate) fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self::Plain {
            message: message.into(),
            help: help.into(),
        }
    }

    /// The same failure, with something else to do about it.
    pub(crate) fn with_help(self, help: String) -> Self {
        match self {
            Self::Plain { message, .. } => Self::Plain { message, help },
            other => other,
        }
    }

    /// A file or folder that could not be read or written.
    pub(crate) fn io(doing: &str, path: &Path, error: &io::Error) -> Self {
        let help = match error.kind() {
            io::ErrorKind::NotFound if doing == "read" => {
                return Self::new(
                    format!("there is no file {}", path.display()),
                    "check the spelling, and that you are in the right folder",
                );
            }
            io::ErrorKind::NotFound => "check the name, and that its folder is there",
            io::ErrorKind::PermissionDenied => "choose a folder where you may read and write",
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
                "free some space on the disk"
            }
            io::ErrorKind::FileTooLarge => {
                "allow larger files (`ulimit -f`), or choose another disk"
            }
            _ => "check the name and the disk",
        };
        Self::new(format!("cannot {doing} {}: {error}", path.display()), help)
    }

    /// The exit status.
    pub(crate) fn status(&self) -> u8 {
        match self {
            Self::ClosedPipe => 0,
            Self::Faults { .. } | Self::Plain { .. } | Self::Unsound { .. } => 1,
        }
    }
}
