//! A fault beside the line that it stands on.

use anstyle::{AnsiColor, Style};
use std::fmt::Write;
use std::ops::Range;
use stripe_core::project::Fault;

/// So many faults are shown in full; the rest is only counted.
const MOST_SHOWN: usize = 20;
/// Before the line, so that it stands apart from what is said of it.
const INDENT: &str = "    ";
/// A longer line is shown in part.
const MOST_CHARS: usize = 100;

const ERROR: Style = AnsiColor::Red.on_default().bold();
const MARK: Style = AnsiColor::Red.on_default();
const HELP: Style = AnsiColor::Green.on_default();

/// Head line of a message.
pub(crate) fn head(message: &str) -> String {
    format!("{ERROR}error:{ERROR:#} {message}\n")
}

/// What to do.
pub(crate) fn help(text: &str) -> String {
    format!("{HELP}What to do:{HELP:#} {text}\n")
}

/// All faults of a file as text for a person.
pub(crate) fn show(file: &str, text: &str, faults: &[Fault]) -> String {
    let mut out = String::new();
    for fault in faults.iter().take(MOST_SHOWN) {
        out += &excerpt(file, text, fault.span.clone());
        out += &format!("{ERROR}{}{ERROR:#}\n", capital(&fault.message));
        out += &help(&fault.help);
        out.push('\n');
    }
    let count = faults.len();
    let things = if count == 1 { "fault" } else { "faults" };
    let _ = write!(out, "{count} {things} in {file}");
    if count > MOST_SHOWN {
        let _ = write!(out, ", the first {MOST_SHOWN} shown");
    }
    out.push('\n');
    out
}

fn excerpt(file: &str, text: &str, span: Range<usize>) -> String {
    let start = floor(text, span.start);
    let end = floor(text, span.end).max(start);
    let line_start = text[..start].rfind('\n').map_or(0, |at| at + 1);
    let line_end = text[start..].find('\n').map_or(text.len(), |at| start + at);
    let line = text[..start].matches('\n').count() + 1;
    let column = text[line_start..start].chars().count();
    // What runs over the line's end is marked to its end.
    let marked = text[start..end.min(line_end)].chars().count().max(1);

    // Of a long line, the part about the fault.
    let skipped = column.saturating_sub(MOST_CHARS / 2);
    let shown: String = text[line_start..line_end]
        .chars()
        .skip(skipped)
        .take(MOST_CHARS)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    let marked = marked.min(MOST_CHARS - (column - skipped).min(MOST_CHARS - 1));
    let indent = " ".repeat(column - skipped);
    let carets = "^".repeat(marked);
    format!(
        "Line {line} of {file}:\n{INDENT}{}\n{INDENT}{indent}{MARK}{carets}{MARK:#}\n",
        shown.trim_end()
    )
}

/// A sentence's first letter; a name in quotes stays as it is.
fn capital(message: &str) -> String {
    let mut chars = message.chars();
    match chars.next() {
        Some(first) if message.split(' ').next().is_some_and(is_word) => {
            first.to_uppercase().chain(chars).collect()
        }
        _ => message.to_owned(),
    }
}

/// Whether this can be no name of the maker's own, which keeps its letters.
fn is_word(word: &str) -> bool {
    const WORDS: [&str; 12] = [
        "a", "fabric", "here", "motif", "part", "quilt", "the", "there", "these", "this", "what",
        "band",
    ];
    WORDS.contains(&word)
}

/// The nearest place at or before `at` where a character begins.
fn floor(text: &str, at: usize) -> usize {
    let at = at.min(text.len());
    (0..=at)
        .rev()
        .find(|&i| text.is_char_boundary(i))
        .unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(text: &str, span: Range<usize>) -> String {
        anstream::adapter::strip_str(&excerpt("a.toml", text, span)).to_string()
    }

    #[test]
    fn marks_the_place() {
        let shown = plain("unit = 1\nwidth = 0 # nothing\n", 17..18);
        assert_eq!(
            shown,
            "Line 2 of a.toml:\n    width = 0 # nothing\n            ^\n"
        );
    }

    #[test]
    fn keeps_to_the_line_and_to_characters() {
        let text = "a = \"ü½\"\nb";
        assert!(plain(text, 4..99).ends_with("\n        ^^^^\n"));
        assert!(plain(text, 6..7).starts_with("Line 1 of a.toml:"));
        assert!(plain(text, 99..200).starts_with("Line 2 of a.toml:"));
        assert!(plain("", 0..0).starts_with("Line 1 of a.toml:"));
    }

    #[test]
    fn long_lines_are_shown_in_part() {
        let text = "x".repeat(5000);
        let shown = plain(&text, 4000..5000);
        assert!(shown.lines().all(|line| line.len() < 130), "{shown}");
        assert!(shown.contains("^^^^"));
    }

    #[test]
    fn sentences_begin_with_a_capital_and_names_do_not() {
        assert_eq!(capital("the project knows"), "The project knows");
        assert_eq!(
            capital("tide 1 and tide 2 overlap"),
            "tide 1 and tide 2 overlap"
        );
        assert_eq!(capital("`width` of"), "`width` of");
        assert_eq!(capital(""), "");
    }
}
