//! Codes that a maker gives: `W3b`, or a pattern like `W2*`.

use super::RecutError;
use crate::record::{PlacedPiece, Plan};
use crate::star::fits;
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
        let meant = known.iter().filter(|code| fits(pattern, code));
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
    fn letters_that_differ_are_counted() {
        assert_eq!(distance("W3b", "W3c"), 1);
        assert_eq!(distance("", "W3c"), 3);
    }
}
