//! One table of the file, read key by key: what is asked for is known, and what
//! is left over is a fault.

use super::fault::{Faults, nearest_name};
use super::limits::{from_to, name_flaw};
use crate::length::{Length, Unit};
use crate::quote::quoted;
use std::cell::RefCell;
use std::ops::{Range, RangeInclusive};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

pub(super) type Value<'t> = Spanned<DeValue<'t>>;

/// A value read from the file, with its place.
pub(super) type Placed<T> = Spanned<T>;

/// What every module of the reader carries along.
#[derive(Clone, Copy)]
pub(super) struct Context<'f> {
    pub(super) faults: &'f Faults,
    /// The unit of bare numbers.
    pub(super) unit: Unit,
    /// Where drawings are had from.
    pub(super) drawings: &'f FilesBeside<'f>,
}

/// Gives a drawing by the name that the project file has for it, or says why it cannot.
pub type FilesBeside<'d> = dyn Fn(&str) -> Result<Vec<u8>, String> + 'd;

/// Lists of tables that are written with double brackets.
const LISTED: [&str; 5] = ["part", "border", "place", "foundation", "piece"];

/// Keys that makers on the other side of the ocean spell in another way.
const OTHER_SPELLINGS: [(&str, &str); 1] = [("colour", "color")];

/// A table while it is read.
pub(super) struct Section<'t, 'f> {
    /// What it describes, for messages: `fabric deck`.
    pub(super) what: String,
    /// Its place.
    pub(super) span: Range<usize>,
    pub(super) context: Context<'f>,
    /// What stands between the brackets above it, where lists of tables may stand in it:
    /// `motif.wheel`.
    pub(super) path: String,
    table: &'t DeTable<'t>,
    asked: RefCell<Vec<&'static str>>,
}

impl<'t, 'f> Section<'t, 'f> {
    pub(super) fn new(
        what: String,
        table: &'t DeTable<'t>,
        span: Range<usize>,
        context: Context<'f>,
    ) -> Self {
        Self {
            what,
            span,
            context,
            path: String::new(),
            table,
            asked: RefCell::default(),
        }
    }

    /// A value that must be a table, as a section of its own.
    pub(super) fn of(what: String, value: &'t Value<'t>, context: Context<'f>) -> Option<Self> {
        match value.get_ref() {
            DeValue::Table(table) => Some(Self::new(what, table, value.span(), context)),
            other => {
                let found = other.type_str();
                context.faults.add(
                    value.span(),
                    format!("{what} must be a table, not {}", with_article(found)),
                    "write it as in the example that `stripelay new` makes",
                );
                None
            }
        }
    }

    /// Notes a fault.
    pub(super) fn fault(&self, span: Range<usize>, message: String, help: impl Into<String>) {
        self.context.faults.add(span, message, help);
    }

    /// The value of a key, if it is there.
    pub(super) fn get(&self, key: &'static str) -> Option<&'t Value<'t>> {
        let mut asked = self.asked.borrow_mut();
        if !asked.contains(&key) {
            asked.push(key);
        }
        let other = OTHER_SPELLINGS.iter().find(|(known, _)| *known == key);
        self.table.get(key).or_else(|| self.table.get(other?.1))
    }

    /// The place of a key that is there.
    pub(super) fn key_span(&self, key: &str) -> Range<usize> {
        self.table
            .keys()
            .find(|known| known.get_ref() == key)
            .map_or(self.span.clone(), Spanned::span)
    }

    /// Says that a key is missing.
    pub(super) fn missing(&self, key: &'static str, help: impl Into<String>) {
        let message = format!("{} has no `{key}`", self.what);
        let span = self.span.clone();
        self.context.faults.add_missing(key, span, message, help);
    }

    /// A table inside, as a section of its own.
    pub(super) fn section(&self, key: &'static str, what: String) -> Option<Section<'t, 'f>> {
        Section::of(what, self.get(key)?, self.context)
    }

    /// The named tables inside a key (`[fabric.NAME]`), in the file's order.
    pub(super) fn named(&self, key: &'static str) -> Vec<(Placed<String>, &'t Value<'t>)> {
        let Some(value) = self.get(key) else {
            return vec![];
        };
        let Some(inside) = Section::of(format!("`{key}`"), value, self.context) else {
            return vec![];
        };
        let mut entries: Vec<_> = inside
            .table
            .iter()
            .map(|(name, value)| {
                let placed = Spanned::new(name.span(), name.get_ref().clone().into_owned());
                (placed, value)
            })
            .collect();
        // The parser sorts by name; the reader keeps the maker's order.
        entries.sort_by_key(|(name, _)| name.span().start);
        entries
    }

    /// The entries of a list.
    pub(super) fn list(&self, key: &'static str) -> Option<(&'t [Value<'t>], Range<usize>)> {
        let value = self.get(key)?;
        match value.get_ref() {
            DeValue::Array(array) => Some((&**array, value.span())),
            DeValue::Table(_) if LISTED.contains(&key) => {
                let message = format!(
                    "`{key}` of {} may be there several times, so it wants double brackets",
                    self.what
                );
                let help = format!("write [[{}.{key}]]", self.path);
                self.fault(self.key_span(key), message, help);
                None
            }
            other => {
                let message = format!(
                    "`{key}` of {} must be a list, not {}",
                    self.what,
                    with_article(other.type_str())
                );
                self.fault(value.span(), message, "put it between [ and ]");
                None
            }
        }
    }

    /// A text.
    pub(super) fn text(&self, key: &'static str, most_chars: usize) -> Option<Placed<String>> {
        let value = self.get(key)?;
        let span = value.span();
        let Some(text) = value.get_ref().as_str() else {
            let message = format!(
                "`{key}` of {} must be a text, not {}",
                self.what,
                with_article(value.get_ref().type_str())
            );
            self.fault(span, message, "put it between double quotes");
            return None;
        };
        check_name(
            self.context.faults,
            &format!("`{key}`"),
            text,
            most_chars,
            span.clone(),
        )
        .then(|| Spanned::new(span, text.trim().to_owned()))
    }

    /// One of a few words.
    pub(super) fn choice<T: Copy>(
        &self,
        key: &'static str,
        words: &[(&'static str, T)],
    ) -> Option<Placed<T>> {
        let value = self.get(key)?;
        let span = value.span();
        let list = || {
            let quoted: Vec<String> = words.iter().map(|(word, _)| quoted(word)).collect();
            format!("write one of {}", quoted.join(", "))
        };
        let Some(text) = value.get_ref().as_str() else {
            let message = format!(
                "`{key}` of {} must be a word between double quotes",
                self.what
            );
            self.fault(span, message, list());
            return None;
        };
        if let Some((_, chosen)) = words.iter().find(|(word, _)| *word == text) {
            return Some(Spanned::new(span, *chosen));
        }
        let help = match nearest_name(text, words.iter().map(|(word, _)| *word)) {
            Some(near) => format!("did you mean {}? {}", quoted(near), list()),
            None => list(),
        };
        let message = format!("`{key}` of {} cannot be {}", self.what, quoted(text));
        self.fault(span, message, help);
        None
    }

    /// Yes or no.
    pub(super) fn yes(&self, key: &'static str) -> Option<bool> {
        let value = self.get(key)?;
        let answer = value.get_ref().as_bool();
        if answer.is_none() {
            let message = format!("`{key}` of {} must be true or false", self.what);
            self.fault(value.span(), message, "write true or false, without quotes");
        }
        answer
    }

    /// A whole number in a range.
    pub(super) fn count(
        &self,
        key: &'static str,
        range: RangeInclusive<usize>,
    ) -> Option<Placed<usize>> {
        let value = self.get(key)?;
        let span = value.span();
        let help = format!(
            "write a whole number from {} to {}",
            range.start(),
            thousands(*range.end())
        );
        let DeValue::Integer(written) = value.get_ref() else {
            let message = format!("`{key}` of {} must be a whole number", self.what);
            self.fault(span, message, help);
            return None;
        };
        let number = i128::from_str_radix(written.as_str(), written.radix()).ok();
        match number.and_then(|n| usize::try_from(n).ok()) {
            Some(n) if range.contains(&n) => Some(Spanned::new(span, n)),
            _ => {
                let message = format!("`{key}` of {} cannot be {}", self.what, written.as_str());
                self.fault(span, message, help);
                None
            }
        }
    }

    /// A number in a range: degrees, a price.
    pub(super) fn number(
        &self,
        key: &'static str,
        range: RangeInclusive<f64>,
        unit: &str,
    ) -> Option<Placed<f64>> {
        let value = self.get(key)?;
        let number = self.to_number(key, value, range, unit)?;
        Some(Spanned::new(value.span(), number))
    }

    /// One value as a number in a range.
    pub(super) fn to_number(
        &self,
        key: &str,
        value: &Value<'_>,
        range: RangeInclusive<f64>,
        unit: &str,
    ) -> Option<f64> {
        let help = format!("write a number {}{unit}", from_to(&range));
        match bare_number(value.get_ref()) {
            Some(number) if range.contains(&number) => Some(number),
            Some(number) => {
                let message = format!("`{key}` of {} cannot be {number}", self.what);
                self.fault(value.span(), message, help);
                None
            }
            None => {
                let message = format!(
                    "`{key}` of {} must be a number, not {}",
                    self.what,
                    with_article(value.get_ref().type_str())
                );
                let written = value
                    .get_ref()
                    .as_str()
                    .map(|text| text.trim().replace(',', "."));
                let help = match written {
                    Some(text) if text.parse::<f64>().is_ok_and(f64::is_finite) => {
                        format!("write {text}, without quotes")
                    }
                    _ => help,
                };
                self.fault(value.span(), message, help);
                None
            }
        }
    }

    /// A length, in mm, in a range.
    pub(super) fn length(
        &self,
        key: &'static str,
        range: RangeInclusive<f64>,
    ) -> Option<Placed<f64>> {
        let value = self.get(key)?;
        let mm = self.to_length(key, value, range)?;
        Some(Spanned::new(value.span(), mm))
    }

    /// One value as a length in a range.
    pub(super) fn to_length(
        &self,
        key: &str,
        value: &Value<'_>,
        range: RangeInclusive<f64>,
    ) -> Option<f64> {
        let unit = self.context.unit;
        let of = format!("`{key}` of {}", self.what);
        let read = match value.get_ref() {
            DeValue::String(text) => Length::read(text, unit).map_err(|wrong| wrong.to_string()),
            other => match bare_number(other) {
                Some(number) if number.is_finite() => Ok(Length::of(number, unit)),
                Some(number) => Err(format!("{number} is not a length")),
                None => Err(format!("{} stands here", with_article(other.type_str()))),
            },
        };
        let mm = match read {
            Ok(length) => length.to_mm(),
            Err(wrong) => {
                let help = "write a length such as \"12 1/2 in\", \"31.75 cm\" or \"1 5/8 yd\"";
                self.fault(
                    value.span(),
                    format!("{of} must be a length: {wrong}"),
                    help,
                );
                return None;
            }
        };
        if range.contains(&mm) {
            return Some(mm);
        }
        let shown = |mm: f64| Length::from_mm(mm).shown(unit);
        let message = if mm < 0.0 && *range.start() >= 0.0 {
            format!("{of} is below zero")
        } else if mm == 0.0 {
            format!("{of} is zero")
        } else if mm < *range.start() {
            format!("{of} is too small: {}", shown(mm))
        } else {
            format!("{of} is too large: {}", shown(mm))
        };
        let least = match *range.start() {
            // Shown as less than a ruler has, or as about nothing.
            mm if mm > 0.0 && mm < 1.0 => "of more than 0".to_owned(),
            mm => format!("from {}", shown(mm)),
        };
        let most = Length::from_mm(*range.end()).down(unit).shown(unit);
        let help = format!("write a length {least}, up to {most}");
        self.fault(value.span(), message, help);
        None
    }

    /// Names every key that nothing asked for.
    pub(super) fn close(self) {
        let asked = self.asked.borrow();
        for key in self.table.keys() {
            let word = key.get_ref().as_ref();
            let other = OTHER_SPELLINGS.iter().find(|(_, other)| *other == word);
            let known = other.map_or(word, |(known, _)| known);
            if asked.contains(&known) && (known == word || !self.table.contains_key(known)) {
                continue;
            }
            let help = match nearest_name(word, asked.iter().copied()) {
                Some(near) => {
                    // A misspelt key is one fault, not a missing one as well.
                    self.context.faults.withdraw_missing(near, &self.span);
                    // What has neither stripe nor colour is said to lack a colour.
                    if near == "stripe" {
                        self.context.faults.withdraw_missing("colour", &self.span);
                    }
                    format!("did you mean `{near}`?")
                }
                None => format!("it has: {}", asked.join(", ")),
            };
            let message = format!("{} has no setting called `{}`", self.what, shorten(word));
            self.fault(key.span(), message, help);
        }
    }
}

/// Whether a name can be printed on a map.
pub(super) fn check_name(
    faults: &Faults,
    what: &str,
    name: &str,
    most_chars: usize,
    span: Range<usize>,
) -> bool {
    let flaw = name_flaw(what, name, most_chars);
    let is_sound = flaw.is_none();
    if let Some((message, help)) = flaw {
        faults.add(span, message, help);
    }
    is_sound
}

/// A whole or decimal number, as `f64`; may be infinite or no number at all.
fn bare_number(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(written) => i128::from_str_radix(written.as_str(), written.radix())
            .map_or(Some(f64::INFINITY), |n| Some(n as f64)),
        DeValue::Float(written) => written.as_str().parse().ok(),
        _ => None,
    }
}

fn with_article(kind: &str) -> String {
    match kind {
        "string" => "a text".to_owned(),
        "array" => "a list".to_owned(),
        "boolean" => "true or false".to_owned(),
        "integer" | "float" => "a number".to_owned(),
        other => format!("a {other}"),
    }
}

fn shorten(word: &str) -> String {
    let mut short: String = word
        .chars()
        .take(40)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if word.chars().count() > 40 {
        short.push('…');
    }
    short
}

/// A name as a key of the file: bare where that may be, else between quotes.
pub(super) fn written_key(name: &str) -> String {
    let is_bare = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    if !name.is_empty() && name.chars().all(is_bare) {
        name.to_owned()
    } else {
        quoted(name)
    }
}

/// `20,000`.
pub(super) fn thousands(n: usize) -> String {
    let digits = n.to_string();
    let mut text = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}
