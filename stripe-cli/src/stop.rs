//! When to stop: Ctrl-C once ends the search, twice ends the program; a clock ends
//! the search too.

use crate::output;
use crate::progress::stopping;
use crate::result_set::remove_draft;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError, mpsc};
use std::time::{Duration, Instant};

/// The status of a program ended by Ctrl-C, by the custom of shells.
const ENDED_STATUS: i32 = 130;

/// So often a part of the time looks whether all is to end.
const LOOK: Duration = Duration::from_millis(20);

/// What must not stay behind if the program is ended at once.
#[derive(Debug, Default)]
pub(crate) struct Leavings {
    /// A draft.
    pub(crate) draft: Option<PathBuf>,
    /// Folders made for it, innermost first, to be removed if they are empty.
    pub(crate) folders: Vec<PathBuf>,
}

static LEAVINGS: Mutex<Leavings> = Mutex::new(Leavings {
    draft: None,
    folders: vec![],
});

/// What must not stay behind. While it is held, nobody ends the program by Ctrl-C:
/// hold it for what must not be cut in two, and never for long.
pub(crate) fn hold() -> MutexGuard<'static, Leavings> {
    LEAVINGS.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A file beyond the limit of `ulimit -f` is then a fault that can be told, instead of the
/// program's sudden end.
pub(crate) fn survive_file_limits() {
    #[cfg(unix)]
    {
        let flag = Arc::new(AtomicBool::new(false));
        // Where it cannot be set, all is as it would be without.
        let _ = signal_hook::flag::register(signal_hook::consts::SIGXFSZ, flag);
    }
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
        Self::listen_with(false)
    }

    /// Ends the program at the first Ctrl-C, and leaves no draft: for what takes a moment.
    pub(crate) fn end_at_once() {
        Self::listen_with(true);
    }

    fn listen_with(interrupted: bool) -> Self {
        let stop = Self {
            flag: Arc::default(),
            interrupted: Arc::new(AtomicBool::new(interrupted)),
        };
        let heard = stop.clone();
        let listening = ctrlc::set_handler(move || heard.on_interrupt());
        if listening.is_err() {
            output::tell("Ctrl-C will end the program at once here, and nothing will be kept.");
        }
        stop
    }

    fn on_interrupt(&self) {
        if self.interrupted.swap(true, Ordering::SeqCst) {
            // Whoever moves files ends that first.
            let leavings = hold();
            if let Some(draft) = &leavings.draft {
                let _ = remove_draft(draft);
            }
            for folder in &leavings.folders {
                let _ = std::fs::remove_dir(folder);
            }
            // Still held, so that nobody writes into what was removed.
            std::process::exit(ENDED_STATUS);
        }
        self.flag.store(true, Ordering::SeqCst);
        stopping();
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

    /// One that a clock may end by itself, and that ends with this one.
    pub(crate) fn part(&self, seconds: f64) -> (Arc<AtomicBool>, Timer) {
        let (alive, gone) = mpsc::channel::<()>();
        let part: Arc<AtomicBool> = Arc::default();
        let (ended, whole) = (Arc::clone(&part), Arc::clone(&self.flag));
        let end = Instant::now() + Duration::from_secs_f64(seconds);
        std::thread::spawn(move || {
            loop {
                let left = end.saturating_duration_since(Instant::now());
                if left.is_zero() || whole.load(Ordering::SeqCst) {
                    ended.store(true, Ordering::SeqCst);
                    return;
                }
                let waited = gone.recv_timeout(left.min(LOOK));
                if waited == Err(mpsc::RecvTimeoutError::Disconnected) {
                    return;
                }
            }
        });
        (part, Timer { _alive: alive })
    }
}

/// A clock that runs while this lives.
#[derive(Debug)]
pub(crate) struct Timer {
    _alive: mpsc::Sender<()>,
}
