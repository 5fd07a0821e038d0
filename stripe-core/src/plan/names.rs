//! The short names that stand for motifs on maps.

/// A letter or a few for each motif, all different: the first letter of its name, or
/// as many as it takes to tell it from the motifs before it.
pub(super) fn motif_letters(names: &[&str]) -> Vec<String> {
    let mut taken: Vec<String> = vec![];
    for name in names {
        let letters: Vec<char> = name.chars().filter(|c| c.is_alphabetic()).collect();
        let base = match letters.first() {
            Some(first) => capitalised(&[*first]),
            None => "M".to_owned(),
        };
        // Names of which one begins the other: numbered with a point, since a bare
        // number is the copy's.
        let short = (1..=letters.len())
            .map(|n| capitalised(&letters[..n]))
            .chain(std::iter::once(base.clone()))
            .chain((2..).map(|n| format!("{base}.{n}.")))
            .find(|short| !taken.contains(short))
            .expect("the numbers do not end");
        taken.push(short);
    }
    taken
}

fn capitalised(letters: &[char]) -> String {
    let mut text = String::new();
    for (i, c) in letters.iter().enumerate() {
        if i == 0 {
            text.extend(c.to_uppercase());
        } else {
            text.extend(c.to_lowercase());
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_motif_has_letters_of_its_own() {
        assert_eq!(
            motif_letters(&["wheel", "wave", "Wharf", "tide"]),
            ["W", "Wa", "Wh", "T"]
        );
        assert_eq!(
            motif_letters(&["w", "w2", "7", "w"]),
            ["W", "W.2.", "M", "W.3."]
        );
    }
}
