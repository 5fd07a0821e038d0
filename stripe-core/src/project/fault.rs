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
pub(super) struct Faults(RefCell<Vec<Found>>);

#[derive(Debug)]
struct Found {
    fault: Fault,
    /// The key that is missing, where that is the fault.
    missing: Option<&'static str>,
}

impl Faults {
    /// Notes a fault.
    pub(super) fn add(&self, span: Range<usize>, message: String, help: impl Into<String>) {
        self.note(None, span, message, help.into());
    }

    /// Notes that the table at `span` lacks a key.
    pub(super) fn add_missing(
        &self,
        key: &'static str,
        span: Range<usize>,
        message: String,
        help: impl Into<String>,
    ) {
        self.note(Some(key), span, message, help.into());
    }

    fn note(
        &self,
        missing: Option<&'static str>,
        span: Range<usize>,
        message: String,
        help: String,
    ) {
        let fault = Fault {
            span,
            message,
            help,
        };
        self.0.borrow_mut().push(Found { fault, missing });
    }

    /// Takes back that the table at `span` lacks a key: another fault explains it better.
    pub(super) fn withdraw_missing(&self, key: &str, span: &Range<usize>) {
        let is_other = |one: &Found| one.fault.span != *span || one.missing != Some(key);
        self.0.borrow_mut().retain(is_other);
    }

    /// All of them in the order of the file.
    pub(super) fn into_sorted(self) -> Vec<Fault> {
        let found = self.0.into_inner().into_iter();
        let mut all: Vec<Fault> = found.map(|one| one.fault).collect();
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
