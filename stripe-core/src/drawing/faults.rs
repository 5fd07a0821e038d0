//! What is wrong with a drawing, and where.

use std::ops::Range;

/// One thing that keeps a drawing from being a motif.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {message}")]
pub struct DrawingFault {
    /// The line of the drawing, counted from 1.
    pub line: usize,
    /// What is wrong.
    pub message: String,
    /// What to do about it.
    pub help: String,
}

/// Faults in the order in which they are found.
pub(super) struct Noted<'t> {
    text: &'t str,
    all: Vec<DrawingFault>,
}

/// More faults than this help nobody.
const MAX_FAULTS: usize = 30;

impl<'t> Noted<'t> {
    pub(super) fn of(text: &'t str) -> Self {
        Self { text, all: vec![] }
    }

    pub(super) fn add(&mut self, place: Range<usize>, message: String, help: &str) {
        if self.all.len() < MAX_FAULTS {
            let before = &self.text.as_bytes()[..place.start.min(self.text.len())];
            self.all.push(DrawingFault {
                line: before.iter().filter(|&&byte| byte == b'\n').count() + 1,
                message,
                help: help.to_owned(),
            });
        }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.all.is_empty()
    }

    pub(super) fn is_full(&self) -> bool {
        self.all.len() == MAX_FAULTS
    }

    pub(super) fn into_all(self) -> Vec<DrawingFault> {
        self.all
    }
}
