//! Codes that a maker gives: `W3b`, or a pattern like `W2*`.

use super::RecutError;
use crate::record::{PlacedPiece, Plan};
use std::collections::BTreeSet;

/// The codes of all pieces that some codes or patterns mean; a `*` stands for any letters.
///
/// # Errors
/// [`RecutError::NoCode`] for one that means no piece.
pub(super) fn select(plan: &Plan, wanted: &[String]) -> Result<BTreeSet<String>, RecutError> {
    let known: Vec<&str> = pieces(plan).map(|piece| piece.label.as_str()).collect();
    let mut found = BTreeSet::new();
    for pattern in wanted {
        let before = found.len();
        let meant = known.iter().filter(|code| matches(pattern, code));
        let mut any = false;
        for code in meant {
            any = true;
            found.insert((*code).to_owned());
        }
        if !any && found.len() == before {
            let nearest = known.iter().min_by_key(|code| distance(pattern, code));
            return Err(RecutError::NoCode {
                code: pattern.clone(),
                near: nearest.map_or_else(String::new, |code| (*code).to_owned()),
            });
        }
    }
    Ok(found)
}

/// Every piece of a plan.
pub(super) fn pieces(plan: &Plan) -> impl Iterator<Item = &PlacedPiece> {
    plan.fabrics.iter().flat_map(|fabric| &fabric.placements)
}

/// Whether a pattern means a code, small and capital letters alike where nothing else is meant.
fn matches(pattern: &str, code: &str) -> bool {
    let mut parts = pattern.split('*');
    let Some(mut rest) = parts.next().and_then(|first| code.strip_prefix(first)) else {
        return false;
    };
    let mut last = None;
    for part in parts {
        last = Some(part);
        match rest.find(part) {
            Some(at) => rest = &rest[at + part.len()..],
            None => return false,
        }
    }
    match last {
        // Without a star all of it has to be used up; behind the last star its end may come later.
        None => rest.is_empty(),
        Some("") => true,
        Some(end) => code.ends_with(end),
    }
}

/// How many letters differ, about: for the nearest code.
fn distance(a: &str, b: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().take(20).collect(), b.chars().collect());
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.iter().enumerate() {
        let mut corner = row[0];
        row[0] = i + 1;
        for (j, y) in b.iter().enumerate() {
            let next = (corner + usize::from(x != y))
                .min(row[j] + 1)
                .min(row[j + 1] + 1);
            corner = std::mem::replace(&mut row[j + 1], next);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stars_stand_for_any_letters() {
        for (pattern, code, means) in [
            ("W3b", "W3b", true),
            ("W3b", "W3", false),
            ("W3", "W3b", false),
            ("W3*", "W3b", true),
            ("W*b", "W13b", true),
            ("W*b", "W13a", false),
            ("*", "T1", true),
            ("T*1*", "T21c", true),
        ] {
            assert_eq!(matches(pattern, code), means, "{pattern} {code}");
        }
        assert_eq!(distance("W3b", "W3c"), 1);
        assert_eq!(distance("", "W3c"), 3);
    }
}
