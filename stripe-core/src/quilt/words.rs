//! Small words of messages.

use crate::length::{INCH_MM, Length, Unit};

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

/// `, and so do seven more pairs`; nothing where there are none.
pub(super) fn so_do(more: usize, one: &str, many: &str) -> String {
    match more {
        0 => String::new(),
        1 => format!(", and so does one more{one}"),
        n => format!(", and so do {} more{many}", number(n)),
    }
}

/// The least step in which lengths are said (mm).
fn grain(unit: Unit) -> f64 {
    match unit {
        Unit::Inch => INCH_MM / 16.0,
        Unit::Centimetre | Unit::Millimetre => 0.1,
    }
}

/// What is left of a length (mm) once it has been said and read again.
pub(super) fn as_said(mm: f64, unit: Unit) -> f64 {
    (mm / grain(unit)).round() * grain(unit)
}

/// A length that must not be exceeded, so rounded down.
pub(super) fn down(mm: f64, unit: Unit) -> String {
    let grains = (mm / grain(unit) + 1e-3).floor();
    Length::from_mm(grains * grain(unit)).shown(unit)
}

/// A length that must suffice, so rounded up.
pub(super) fn up(mm: f64, unit: Unit) -> String {
    Length::from_mm(mm).shown_up(unit)
}

pub(super) fn mm(mm: f64, unit: Unit) -> String {
    Length::from_mm(mm).shown(unit)
}
