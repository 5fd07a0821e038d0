//! Faults of a project file, each with its place.

use std::cell::RefCell;
use std::ops::Range;

/// One thing that is wrong in a project file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Where in the text, in bytes.
    pub span: Range<usize>,
    /// What is wrong.
    pub message: String,
    /// What to do about it.
    pub help: String,
}

/// All faults found so far: reading goes on after each, so that one run names all.
#[derive(Debug, Default)]
pub(super) struct Faults(RefCell<Vec<Fault>>);

impl Faults {
    /// Notes a fault.
    pub(super) fn add(&self, span: Range<usize>, message: String, help: impl Into<String>) {
        self.0.borrow_mut().push(Fault {
            span,
            message,
            help: help.into(),
        });
    }

    /// Takes back a fault that another explains better.
    pub(super) fn withdraw(&self, span: &Range<usize>, message: &str) {
        let is_other = |fault: &Fault| fault.span != *span || fault.message != message;
        self.0.borrow_mut().retain(is_other);
    }

    /// All of them in the order of the file.
    pub(super) fn into_sorted(self) -> Vec<Fault> {
        let mut all = self.0.into_inner();
        all.sort_by_key(|fault| (fault.span.start, fault.span.end));
        all
    }
}

/// The name among `known` that `word` was most likely meant to be.
pub(super) fn nearest_name<'n>(
    word: &str,
    known: impl IntoIterator<Item = &'n str>,
) -> Option<&'n str> {
    let word = word.to_lowercase();
    known
        .into_iter()
        .map(|name| {
            (
                strsim::damerau_levenshtein(&word, &name.to_lowercase()),
                name,
            )
        })
        .filter(|(steps, name)| *steps <= 1 + name.chars().count() / 3)
        .min_by_key(|(steps, _)| *steps)
        .map(|(_, name)| name)
}
