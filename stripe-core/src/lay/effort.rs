//! How long to look, and how to be told to stop.

use std::sync::atomic::{AtomicBool, Ordering};

/// Other first layouts than those of a race may cost this part of what the race may, and this one
/// of a search without an end, which is to begin soon.
const OTHERS_PART: u64 = 4;
const OTHERS_PART_ENDLESS: u64 = 16;

/// A search without an end begins with a race of so many rounds' work: nobody knows how long it
/// will be, and one of some seconds is to get beyond.
const RACE_ENDLESS: u64 = 4;

/// How much looking a layout is worth.
///
/// A budget is a count of work, not of seconds: on one machine the same effort gives
/// the same layout, however busy it is and on any number of threads. On another machine
/// the last digits of sines and powers may differ, and with them a layout.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Where chance begins.
    pub seed: u64,
    /// Searches that run side by side and exchange what they find.
    pub streams: usize,
    /// How often they exchange.
    pub rounds: usize,
    /// Interval visits a stream makes in a round: some hundred million a second.
    pub work: u64,
}

impl Effort {
    /// This effort, or [`Self::quick`] where that is less: for what is only tried.
    pub(crate) fn quick_at_most(&self) -> Self {
        let quick = Self::quick(self.seed);
        if self.search_work() < quick.search_work() {
            *self
        } else {
            quick
        }
    }

    /// A first impression: about a second a fabric.
    pub const fn quick(seed: u64) -> Self {
        Self {
            seed,
            streams: 2,
            rounds: 5,
            work: 3_700_000,
        }
    }

    /// What a plan is usually made with: some seconds a fabric.
    pub const fn steady(seed: u64) -> Self {
        Self {
            seed,
            streams: 2,
            rounds: 20,
            work: 11_000_000,
        }
    }

    /// For dear fabric: up to a minute a fabric.
    pub const fn patient(seed: u64) -> Self {
        Self {
            seed,
            streams: 2,
            rounds: 30,
            work: 45_000_000,
        }
    }

    /// What the search after a race costs.
    fn search_work(&self) -> u64 {
        let visits = self.work.saturating_mul(self.rounds as u64);
        visits.saturating_mul(self.streams.max(1) as u64)
    }

    /// What a race may cost: as much as the search that follows, for what the one finds the other
    /// does not (`benches/README.md`).
    pub(crate) fn race_work(&self) -> u64 {
        if self.is_endless() {
            self.work.saturating_mul(RACE_ENDLESS)
        } else {
            self.search_work()
        }
    }

    /// The part of the effort that goes into the race, before the search (0 to 1).
    pub(crate) fn race_share(&self) -> f64 {
        if self.is_endless() { 0.0 } else { 0.5 }
    }

    /// What other layouts to begin with may cost, before the search.
    pub(crate) fn first_work(&self) -> u64 {
        let part = if self.is_endless() {
            OTHERS_PART_ENDLESS
        } else {
            OTHERS_PART
        };
        self.race_work() / part
    }

    /// Whether only the stop flag ends it.
    pub(super) fn is_endless(&self) -> bool {
        self.rounds == usize::MAX
    }

    /// No end but the stop flag.
    pub const fn endless(seed: u64, streams: usize) -> Self {
        Self {
            seed,
            streams,
            rounds: usize::MAX,
            work: 60_000_000,
        }
    }
}

/// How far a search has come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress<'a> {
    /// What is laid, where several searches run: left empty by [`super::lay()`] itself.
    pub what: &'a str,
    /// Share of the effort that is spent, 0 to 1.
    pub share: f64,
    /// Length of the best layout so far (mm).
    pub length_mm: f64,
    /// Moves so far, of all streams: none before the search.
    pub moves: u64,
}

/// The caller's hands on a search: both may be left out.
#[derive(Clone, Copy, Default)]
pub struct Control<'a> {
    /// Once true, the best layout so far comes back within a moment.
    pub stop: Option<&'a AtomicBool>,
    /// Called after every round of the search, and of the race before it.
    pub progress: Option<&'a (dyn Fn(Progress<'_>) + Sync)>,
}

impl std::fmt::Debug for Control<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Control")
            .field("stop", &self.stop)
            .field("progress", &self.progress.is_some())
            .finish()
    }
}

impl Control<'_> {
    /// Whether the caller wants to stop: then nothing further is worth beginning.
    pub fn is_stopped(&self) -> bool {
        self.stop.is_some_and(|s| s.load(Ordering::Relaxed))
    }
}
