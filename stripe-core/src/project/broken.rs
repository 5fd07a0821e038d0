//! What a parser of TOML cannot say of a broken line: lengths without quotes, curly quotes,
//! decimal commas, a table that is there twice.

use super::fault::Faults;
use crate::length::{Length, Unit};
use std::ops::Range;
use toml::de::Error;

/// Tables of which there may be several, each with double brackets.
const LISTS: [&str; 5] = ["part", "border", "place", "foundation", "piece"];

/// Reports what the parser found, once a line: what follows on a broken line is its echo.
pub(super) fn report_broken(text: &str, broken: &[Error], faults: &Faults) {
    let mut told: Vec<usize> = Vec::new();
    // The keys of a table that is there twice are there twice as well.
    let mut echo_end = 0;
    for error in broken {
        let at = error.span().unwrap_or(0..0);
        let line = Line::of(text, at.start);
        let is_twice = error.message().contains("duplicate key");
        if told.contains(&line.number) || (is_twice && line.start < echo_end) {
            continue;
        }
        told.push(line.number);
        let known = if is_twice {
            if line.text.trim_start().starts_with('[') {
                let next = text[line.start..].find("\n[");
                echo_end = next.map_or(text.len(), |at| line.start + at + 1);
            }
            twice(text, &line)
        } else {
            value_fault(&line)
        };
        let (span, message, help) = known.unwrap_or_else(|| {
            (
                at,
                format!("this line cannot be read: {}", error.message()),
                "fix this line first: the lines after it may be misread because of it".to_owned(),
            )
        });
        faults.add(span, message, help);
    }
}

type Told = (Range<usize>, String, String);

/// One line of a file, without its end and its comment.
struct Line<'t> {
    /// From 1.
    number: usize,
    start: usize,
    text: &'t str,
}

impl<'t> Line<'t> {
    fn of(text: &'t str, at: usize) -> Self {
        let at = (0..=at.min(text.len()))
            .rev()
            .find(|&i| text.is_char_boundary(i))
            .unwrap_or(0);
        let start = text[..at].rfind('\n').map_or(0, |end| end + 1);
        let end = text[start..].find('\n').map_or(text.len(), |n| start + n);
        Self {
            number: text[..start].matches('\n').count() + 1,
            start,
            text: without_comment(&text[start..end]),
        }
    }

    /// Key and value, and where the value stands in the file.
    fn entry(&self) -> Option<(&'t str, &'t str, Range<usize>)> {
        let (key, value) = self.text.split_once('=')?;
        let start = self.start + key.len() + 1 + (value.len() - value.trim_start().len());
        let value = value.trim();
        (!value.is_empty()).then(|| (key.trim(), value, start..start + value.len()))
    }
}

/// A colour begins with the sign of a comment, so one within quotes is none.
fn without_comment(line: &str) -> &str {
    let mut is_quoted = false;
    let end = line.char_indices().find(|&(_, c)| {
        is_quoted ^= c == '"';
        c == '#' && !is_quoted
    });
    line[..end.map_or(line.len(), |(at, _)| at)].trim_end()
}

/// What is wrong with the value after the equals sign.
fn value_fault(line: &Line<'_>) -> Option<Told> {
    const CURLY: [char; 6] = ['“', '”', '„', '‟', '‘', '’'];
    let (key, value, span) = line.entry()?;
    let is_quoted = value.starts_with(['"', '\'', '[', '{']);
    if value.starts_with(CURLY) || (value.ends_with(CURLY) && !is_quoted) {
        let inside = value.trim_matches(|c: char| CURLY.contains(&c) || c == '"');
        return Some((
            span,
            "these quotes are curly, as a word processor makes them".to_owned(),
            format!("use straight ones: {key} = \"{inside}\""),
        ));
    }
    if let Some((whole, part)) = value.split_once(',')
        && !whole.is_empty()
        && !part.is_empty()
        && [whole, part]
            .iter()
            .all(|t| t.bytes().all(|b| b.is_ascii_digit()))
    {
        return Some((
            span,
            format!("`{value}` has a comma, and a number has a point"),
            format!("write {key} = {whole}.{part}"),
        ));
    }
    if let Some(number) = value.trim_matches('"').strip_prefix(['$', '€', '£'])
        && number.trim().parse::<f64>().is_ok()
    {
        return Some((
            span,
            format!("`{value}` has a sign of money, and a price is a number alone"),
            format!("write {key} = {}", number.trim()),
        ));
    }
    if value.starts_with(char::is_alphabetic)
        && value.chars().all(|c| c.is_alphabetic() || c == ' ')
    {
        return Some((
            span,
            format!("`{value}` is a word without quotes"),
            // A word in full would be the next thing that is not understood.
            match key {
                "unit" => "write unit = \"in\", \"cm\" or \"mm\"".to_owned(),
                _ => format!("put it in quotes: {key} = \"{value}\""),
            },
        ));
    }
    if !is_quoted && value.len() <= 60 && Length::read(value, Unit::Inch).is_ok() {
        return Some((
            span,
            format!("`{value}` is a length without quotes"),
            format!(
                "put it in quotes: {key} = \"{}\"",
                value.replace('"', " in").replace("  ", " ")
            ),
        ));
    }
    None
}

/// A table or a key that is there already.
fn twice(text: &str, line: &Line<'_>) -> Option<Told> {
    let here = line.text.trim();
    let before = || text[..line.start].lines().enumerate();
    let span = line.start..line.start + line.text.len();
    if let Some(name) = here.strip_prefix('[').and_then(|t| t.strip_suffix(']')) {
        let name = name.trim_matches(['[', ']']);
        let is_single = !here.starts_with("[[");
        let (at, first) = before()
            .map(|(i, earlier)| (i, without_comment(earlier).trim()))
            .find(|(_, earlier)| {
                earlier.starts_with('[') && earlier.trim_matches(['[', ']']) == name
            })?;
        let last = name.rsplit('.').next().unwrap_or(name);
        if !is_single && !first.starts_with("[[") && LISTS.contains(&last) {
            return Some((
                span,
                format!(
                    "[{name}] at line {} has single brackets, so there can be no second one here",
                    at + 1
                ),
                format!("write [[{name}]] there, as here"),
            ));
        }
        if is_single && (first.starts_with("[[") || LISTS.contains(&last)) {
            return Some((
                span,
                format!(
                    "[{name}] is here again, after line {}: there may be several, each in double brackets",
                    at + 1
                ),
                format!("write [[{name}]] each time"),
            ));
        }
        return Some((
            span,
            format!(
                "{here} is here a second time: it stands at line {} already",
                at + 1
            ),
            "rename one of the two, or put their lines together".to_owned(),
        ));
    }
    let (key, ..) = line.entry()?;
    // The same key since the table began.
    let mut found = None;
    for (i, earlier) in before() {
        let earlier = without_comment(earlier).trim();
        if earlier.starts_with('[') {
            found = None;
        } else if earlier
            .split_once('=')
            .is_some_and(|(k, _)| k.trim() == key)
        {
            found = Some(i + 1);
        }
    }
    Some((
        line.start..line.start + key.len(),
        format!(
            "`{key}` is here a second time: it stands at line {} already",
            found?
        ),
        "keep one of the two".to_owned(),
    ))
}

#[cfg(test)]
mod tests {
    use crate::project::Project;

    /// The faults of a small project with these lines in its fabric and at its end.
    fn faults(fabric: &str, end: &str) -> Vec<(String, String, String)> {
        let text = format!(
            "unit = \"in\"\n[fabric.a]\n{fabric}\ncolour = \"#777777\"\n[motif.m]\n\
             [[motif.m.part]]\nfabric = \"a\"\nshape = \"disc\"\nrim = 2\n{end}"
        );
        let faults = Project::read(&text).unwrap_err();
        faults
            .into_iter()
            .map(|f| (text[f.span].to_owned(), f.message, f.help))
            .collect()
    }

    #[test]
    fn one_fault_says_what_was_meant() {
        for (fabric, end, marked, said, help) in [
            (
                "width = 5 1/4 in",
                "",
                "5 1/4 in",
                "without quotes",
                "width = \"5 1/4 in\"",
            ),
            (
                "width = 42 in # usable",
                "",
                "42 in",
                "without quotes",
                "width = \"42 in\"",
            ),
            (
                "width = 1.2m",
                "",
                "1.2m",
                "without quotes",
                "width = \"1.2m\"",
            ),
            (
                "width = “42 in”",
                "",
                "“42 in”",
                "curly",
                "width = \"42 in\"",
            ),
            ("width = 18,50", "", "18,50", "comma", "width = 18.50"),
            ("width = $18.50", "", "$18.50", "money", "width = 18.50"),
            (
                "faces = both",
                "",
                "both",
                "without quotes",
                "faces = \"both\"",
            ),
            ("width = \"18,50\"", "", "\"18,50\"", "write 18.50", ""),
            (
                "width = \"51/4 in\"",
                "",
                "\"51/4 in\"",
                "did you mean 5 1/4?",
                "",
            ),
            (
                "width = 42\nwidth = 44",
                "",
                "width",
                "line 3 already",
                "keep one",
            ),
            (
                "width = 42",
                "[fabric.a]\nwidth = 44\n",
                "[fabric.a]",
                "line 2 already",
                "rename",
            ),
            (
                "width = 42",
                "[motif.m.part]\nfabric = \"a\"\n",
                "[motif.m.part]",
                "double brackets",
                "[[motif.m.part]]",
            ),
        ] {
            let found = faults(fabric, end);
            assert_eq!(found.len(), 1, "{fabric}{end}: {found:?}");
            let (text, message, advice) = &found[0];
            assert_eq!(text, marked, "{found:?}");
            assert!(message.contains(said) && advice.contains(help), "{found:?}");
        }
    }

    #[test]
    fn a_list_with_single_brackets() {
        let text = "[fabric.a]\nwidth = 40\ncolour = \"#777777\"\n[motif.m]\n[motif.m.part]\n\
                    fabric = \"a\"\nshape = \"disc\"\nrim = 2\n";
        let found = Project::read(text).unwrap_err();
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(found[0].help.contains("[[motif.m.part]]"), "{found:?}");
        // With a second one after it, it is the first that is to be changed.
        let second = "[[motif.m.part]]\nfabric = \"a\"\nshape = \"disc\"\nrim = 1\n";
        let found = Project::read(&format!("{text}{second}")).unwrap_err();
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(
            found[0].message.contains("at line 5 has single brackets"),
            "{found:?}"
        );
    }

    // The quilt has six places for it, and the right table says nothing of copies.
    #[test]
    fn a_misspelt_table_is_blamed_alone() {
        let harbour = include_str!("../../../data/harbour/harbour.toml");
        let text = harbour.replacen("[motif.wheel]", "[motf.wheel]", 1);
        assert_ne!(text, harbour);
        let found = Project::read(&text).unwrap_err();
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(&text[found[0].span.clone()], "motf");
        assert_eq!(found[0].help, "did you mean `motif`?");
    }
}
