//! Names with stars: `petal*`, `W2*`.

/// Whether a name fits a pattern, in which a star stands for any characters, none among them.
pub(crate) fn fits(pattern: &str, name: &str) -> bool {
    let mut pieces = pattern.split('*');
    let first = pieces.next().unwrap_or("");
    let Some(mut rest) = name.strip_prefix(first) else {
        return false;
    };
    let mut pieces: Vec<&str> = pieces.collect();
    // Without a star all of the name has to be used up.
    let Some(last) = pieces.pop() else {
        return rest.is_empty();
    };
    for piece in pieces {
        match rest.find(piece) {
            Some(at) => rest = &rest[at + piece.len()..],
            None => return false,
        }
    }
    rest.ends_with(last)
}

#[cfg(test)]
mod tests {
    use super::fits;

    #[test]
    fn stars_stand_for_any_characters() {
        for (pattern, name, fit) in [
            ("W3b", "W3b", true),
            ("W3b", "W3", false),
            ("W3", "W3b", false),
            ("W3*", "W3b", true),
            ("W*b", "W13b", true),
            ("W*b", "W13a", false),
            ("*", "T1", true),
            ("*", "", true),
            ("T*1*", "T21c", true),
            ("petal*", "petal1", true),
            ("a*a", "a", false),
            ("a*b*c", "axxbyyc", true),
            ("petal", "petal1", false),
            ("*1", "petal1", true),
        ] {
            assert_eq!(fits(pattern, name), fit, "{pattern} {name}");
        }
    }
}
