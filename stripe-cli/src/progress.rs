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

    /// Takes the line away.
    pub(crate) fn finish(self) {
        if let Some(bar) = self.0 {
            bar.finish_and_clear();
        }
    }
}
