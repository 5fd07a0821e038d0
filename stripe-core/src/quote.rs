//! A word that somebody wrote, as it is shown again in a message.

/// The text between double quotes, as it would be written in a project file: what cannot be
/// seen, and quotes themselves, with a backslash. So a name from a file or a command line can
/// move no cursor and end no line.
///
/// # Source
/// The escapes of basic strings in TOML 1.0.
pub fn quoted(text: &str) -> String {
    let mut shown = String::with_capacity(text.len() + 2);
    shown.push('"');
    for c in text.chars() {
        match c {
            '"' | '\\' => shown.extend(['\\', c]),
            '\n' => shown.push_str("\\n"),
            '\r' => shown.push_str("\\r"),
            '\t' => shown.push_str("\\t"),
            c if is_unseen(c) => shown.push_str(&format!("\\u{:04X}", u32::from(c))),
            c => shown.push(c),
        }
    }
    shown.push('"');
    shown
}

/// Signs that print nothing, or turn the way in which what follows is read.
fn is_unseen(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

#[cfg(test)]
mod tests {
    use super::quoted;

    /// What is shown is what a TOML parser reads back.
    #[test]
    fn a_quoted_word_is_read_back() {
        for text in [
            "deck",
            "fog \"grey\"",
            "a\\b",
            "two\nlines\t\r",
            "\u{1b}[2J",
            "\u{202e}kced",
            "é½",
        ] {
            let line = format!("name = {}", quoted(text));
            let table: toml::Table = line.parse().unwrap();
            assert_eq!(table["name"].as_str(), Some(text), "{line}");
            assert!(!line.contains(char::is_control), "{line}");
        }
        assert_eq!(quoted("deck"), "\"deck\"");
        assert_eq!(quoted("\u{202e}"), "\"\\u202E\"");
    }
}
