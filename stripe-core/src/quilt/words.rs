//! Small words of messages.

use crate::length::{Length, Unit};

/// `one`, `two`, .. `twelve`, then figures.
pub(super) fn number(n: usize) -> String {
    const WORDS: [&str; 13] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    WORDS
        .get(n)
        .map_or_else(|| n.to_string(), |&w| w.to_owned())
}

/// `six units`, `one unit`.
pub(super) fn count(n: usize, one: &str, many: &str) -> String {
    format!("{} {}", number(n), if n == 1 { one } else { many })
}

pub(super) fn mm(mm: f64, unit: Unit) -> String {
    Length::from_mm(mm).shown(unit)
}
