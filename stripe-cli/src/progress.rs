//! A sign of life on a terminal, and silence anywhere else.

use indicatif::{ProgressBar, ProgressStyle};
use std::io::IsTerminal;
use std::time::Duration;

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
        Self(Some(bar))
    }

    /// Says how far it has come: so many of all are done.
    pub(crate) fn done(&self, count: usize, all: usize) {
        if let Some(bar) = &self.0 {
            bar.set_prefix(so_far(count, all));
        }
    }

    /// Takes the line away.
    pub(crate) fn finish(self) {
        if let Some(bar) = self.0 {
            bar.finish_and_clear();
        }
    }
}

/// `2 of 6 choices done`.
fn so_far(count: usize, all: usize) -> String {
    format!("{count} of {all} choices done")
}

#[cfg(test)]
mod tests {
    #[test]
    fn choices_are_counted() {
        assert_eq!(super::so_far(2, 6), "2 of 6 choices done");
    }
}
