//! A sign of life on a terminal, and silence anywhere else.

use crate::output;
use indicatif::{ProgressBar, ProgressStyle};
use std::collections::BTreeMap;
use std::io::IsTerminal;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};
use stripe_core::length::{Length, Unit};

/// What turns now, for whoever hears Ctrl-C.
static TURNING: Mutex<Option<ProgressBar>> = Mutex::new(None);

fn turning() -> MutexGuard<'static, Option<ProgressBar>> {
    TURNING.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Says at once that Ctrl-C was heard: what is begun may take a while to end.
pub(crate) fn stopping() {
    const WORDS: &str = "what is found so far is made ready; press Ctrl-C again to give up";
    match &*turning() {
        Some(bar) => bar.set_message(format!("(stopping: {WORDS})")),
        None => output::tell(&format!("Stopping: {WORDS}.")),
    }
}

/// Turns while a search runs.
#[derive(Debug)]
pub(crate) struct Spinner(Option<ProgressBar>);

impl Spinner {
    /// Starts turning, if anybody is looking.
    pub(crate) fn start(doing: &str, hint: &str) -> Self {
        if !std::io::stderr().is_terminal() {
            return Self(None);
        }
        let bar = ProgressBar::new_spinner();
        if let Ok(style) = ProgressStyle::with_template("{spinner} {prefix}, {elapsed} {msg}") {
            bar.set_style(style);
        }
        bar.set_prefix(doing.to_owned());
        bar.set_message(format!("({hint})"));
        bar.enable_steady_tick(Duration::from_millis(120));
        *turning() = Some(bar.clone());
        Self(Some(bar))
    }

    /// Says how far it has come: so many of all are done.
    pub(crate) fn done(&self, count: usize, all: usize) {
        if let Some(bar) = &self.0 {
            bar.set_prefix(so_far(count, all));
        }
    }

    /// Says how many of all layouts are made.
    pub(crate) fn laid(&self, count: usize, all: usize) {
        if let Some(bar) = &self.0 {
            bar.set_prefix(format!("{count} of {all} layouts made"));
        }
    }

    /// Shows how long the layouts are by now.
    pub(crate) fn lengths(&self, words: &str) {
        if let Some(bar) = &self.0 {
            bar.set_prefix(format!("So far: {words}"));
        }
    }

    /// Says something that stays, above the line that turns.
    pub(crate) fn tell(&self, words: &str) {
        match &self.0 {
            Some(bar) => bar.suspend(|| output::tell(words)),
            None => output::tell(words),
        }
    }

    /// Takes the line away.
    pub(crate) fn finish(self) {
        if let Some(bar) = self.0 {
            *turning() = None;
            bar.finish_and_clear();
        }
    }
}

/// The shortest layouts so far, fabric by fabric, and what each minute brought.
#[derive(Debug)]
pub(crate) struct Lengths {
    began: Instant,
    unit: Unit,
    so_far: Mutex<SoFar>,
}

#[derive(Debug, Default)]
struct SoFar {
    /// Shortest length (mm) by now, and when it was last told.
    fabrics: BTreeMap<String, (f64, Option<f64>)>,
    minutes: u64,
}

impl Lengths {
    pub(crate) fn new(unit: Unit) -> Self {
        Self {
            began: Instant::now(),
            unit,
            so_far: Mutex::default(),
        }
    }

    /// A fabric's layout is so long (mm) now: what there is to show of all, and, at the end
    /// of a minute, what it brought.
    pub(crate) fn take(&self, fabric: &str, length_mm: f64) -> (String, Option<String>) {
        let minutes = self.began.elapsed().as_secs() / 60;
        let mut so_far = self.so_far.lock().unwrap_or_else(PoisonError::into_inner);
        so_far.take(fabric, length_mm, minutes, self.unit)
    }
}

impl SoFar {
    fn take(
        &mut self,
        fabric: &str,
        length_mm: f64,
        minutes: u64,
        unit: Unit,
    ) -> (String, Option<String>) {
        let known = self.fabrics.entry(fabric.to_owned());
        let known = known.or_insert((length_mm, None));
        known.0 = known.0.min(length_mm);
        let shown = |mm: f64| Length::from_mm(mm).shown_up(unit);
        let now = self
            .fabrics
            .iter()
            .map(|(name, known)| format!("{name} {}", shown(known.0)));
        let now = now.collect::<Vec<_>>().join(", ");
        if minutes == self.minutes {
            return (now, None);
        }
        self.minutes = minutes;
        let fabrics =
            self.fabrics
                .iter_mut()
                .map(|(name, (length, told))| match told.replace(*length) {
                    Some(before) if shown(before) != shown(*length) => {
                        format!("{name} {} (was {})", shown(*length), shown(before))
                    }
                    Some(_) => format!("{name} {} (as before)", shown(*length)),
                    None => format!("{name} {}", shown(*length)),
                });
        let fabrics = fabrics.collect::<Vec<_>>().join(", ");
        (now, Some(format!("After {minutes} min: {fabrics}")))
    }
}

/// `2 of 6 choices done`.
fn so_far(count: usize, all: usize) -> String {
    format!("{count} of {all} choices done")
}

#[cfg(test)]
mod tests {
    use super::SoFar;
    use stripe_core::length::Unit;

    /// Each minute is told once, beside what was told before; a longer layout is none.
    #[test]
    fn minutes_say_what_they_brought() {
        let mut so_far = SoFar::default();
        let unit = Unit::Millimetre;
        let first = so_far.take("deck", 900.0, 0, unit);
        assert_eq!(first, ("deck 900 mm".to_owned(), None));
        so_far.take("awning", 300.0, 0, unit);
        let told = so_far.take("deck", 950.0, 1, unit);
        let now = "awning 300 mm, deck 900 mm";
        assert_eq!(told, (now.to_owned(), Some(format!("After 1 min: {now}"))));
        assert_eq!(so_far.take("deck", 880.0, 1, unit).1, None);
        let told = so_far.take("awning", 300.0, 3, unit).1;
        let words = "After 3 min: awning 300 mm (as before), deck 880 mm (was 900 mm)";
        assert_eq!(told.as_deref(), Some(words));
    }

    #[test]
    fn choices_are_counted() {
        assert_eq!(super::so_far(2, 6), "2 of 6 choices done");
    }
}
