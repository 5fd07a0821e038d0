//! Names one after the other.

/// `a, b and c`.
pub fn listed<S: std::borrow::Borrow<str>>(names: &[S]) -> String {
    match names {
        [] => String::new(),
        [one] => one.borrow().to_owned(),
        [most @ .., last] => format!("{} and {}", most.join(", "), last.borrow()),
    }
}

/// Names as they come; three or more of one kind whose numbers follow each other are told by the
/// first and the last: `fat quarters 1 to 8, cut-off`.
pub(super) fn numbered(names: &[&str]) -> String {
    let parted = |name: &str| {
        let (kind, number) = name.rsplit_once(' ')?;
        Some((kind.to_owned(), number.parse::<usize>().ok()?))
    };
    let follow = |a: &&str, b: &&str| match (parted(a), parted(b)) {
        (Some((kind, n)), Some((other, m))) => kind == other && n.checked_add(1) == Some(m),
        _ => false,
    };
    let told = names.chunk_by(follow).map(|run| match run {
        [first, _, .., last] => match (parted(first), parted(last)) {
            (Some((kind, from)), Some((_, to))) => format!("{kind}s {from} to {to}"),
            _ => run.join(", "),
        },
        few => few.join(", "),
    });
    told.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_with_numbers_are_told_as_a_range() {
        assert_eq!(listed(&["a", "b", "c"]), "a, b and c");
        let names = ["fat quarter 1", "fat quarter 2", "fat quarter 3", "cut-off"];
        assert_eq!(numbered(&names), "fat quarters 1 to 3, cut-off");
        assert_eq!(
            numbered(&names[1..]),
            "fat quarter 2, fat quarter 3, cut-off"
        );
        assert_eq!(numbered(&["x 1", "x 3", "x 4"]), "x 1, x 3, x 4");
    }
}
