//! When to stop: Ctrl-C once ends the search, twice ends the program; a clock ends
//! the search too.

use crate::output;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError, mpsc};
use std::time::Duration;

/// The status of a program ended by Ctrl-C, by the custom of shells.
const ENDED_STATUS: i32 = 130;

/// What to remove if the program is ended at once.
static LEAVINGS: Mutex<Option<PathBuf>> = Mutex::new(None);

/// Names what must not stay behind if the program is ended at once.
pub(crate) fn remove_if_ended(path: Option<PathBuf>) {
    *LEAVINGS.lock().unwrap_or_else(PoisonError::into_inner) = path;
}

/// The signals to stop, shared with the search.
#[derive(Debug, Clone)]
pub(crate) struct Stop {
    /// Set when the search is to end.
    pub(crate) flag: Arc<AtomicBool>,
    interrupted: Arc<AtomicBool>,
}

impl Stop {
    /// Listens for Ctrl-C from now on.
    pub(crate) fn listen() -> Self {
        let stop = Self {
            flag: Arc::default(),
            interrupted: Arc::default(),
        };
        let heard = stop.clone();
        let listening = ctrlc::set_handler(move || heard.on_interrupt());
        if listening.is_err() {
            output::tell("Ctrl-C cannot be caught here: it will end the program at once.");
        }
        stop
    }

    fn on_interrupt(&self) {
        if self.interrupted.swap(true, Ordering::SeqCst) {
            let leavings = LEAVINGS.lock().unwrap_or_else(PoisonError::into_inner);
            if let Some(path) = leavings.as_ref() {
                let _ = std::fs::remove_dir_all(path);
            }
            // Asked for twice: nothing else may delay it.
            std::process::exit(ENDED_STATUS);
        }
        self.flag.store(true, Ordering::SeqCst);
    }

    /// Whether a person asked to stop.
    pub(crate) fn is_interrupted(&self) -> bool {
        self.interrupted.load(Ordering::SeqCst)
    }

    /// Ends the search after so long, unless the guard is dropped first.
    pub(crate) fn after(&self, seconds: Option<f64>) -> Timer {
        let (alive, gone) = mpsc::channel::<()>();
        if let Some(seconds) = seconds {
            let flag = self.flag.clone();
            std::thread::spawn(move || {
                let waited = gone.recv_timeout(Duration::from_secs_f64(seconds));
                if waited == Err(mpsc::RecvTimeoutError::Timeout) {
                    flag.store(true, Ordering::SeqCst);
                }
            });
        }
        Timer { _alive: alive }
    }
}

/// A clock that runs while this lives.
#[derive(Debug)]
pub(crate) struct Timer {
    _alive: mpsc::Sender<()>,
}
