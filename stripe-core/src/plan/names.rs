//! The letters that stand for motifs in codes: `W` in `W4c`.

use crate::motif::code_capitals;

/// The letters of each motif, all different, and none the beginning of another's.
///
/// `given` holds what the designer wrote. Every other motif has one letter as long as the
/// alphabet lasts: the first of its name, else another of its name, else any that is free.
/// Beyond that, motifs have two letters, of which the first is nobody's own.
pub(super) fn motif_letters(names: &[&str], given: &[Option<&str>]) -> Vec<String> {
    let mut free: Vec<char> = code_capitals()
        .filter(|&c| !given.iter().flatten().any(|code| code.starts_with(c)))
        .collect();
    let wanting = given.iter().filter(|code| code.is_none()).count();
    // First letters of pairs are taken from the end, where few names begin.
    let mut pairs = Vec::new();
    while wanting > free.len() + pairs.len()
        && let Some(first) = free.pop()
    {
        pairs.extend(code_capitals().map(|second| format!("{first}{second}")));
    }
    let alone = |first: char| !given.contains(&Some(first.to_string().as_str()));
    let all = || code_capitals().flat_map(|a| code_capitals().map(move |b| [a, b]));
    let rest = all().filter(|pair| alone(pair[0])).chain(all());
    let mut codes: Vec<Option<String>> = given.iter().map(|code| code.map(str::to_owned)).collect();
    // Who has a name that begins with a free letter comes before who does not.
    for letters_of_name in [1, usize::MAX] {
        for (name, code) in names.iter().zip(&mut codes) {
            let letters = name.chars().flat_map(char::to_uppercase);
            let mut letters = letters.filter(|c| c.is_alphabetic()).take(letters_of_name);
            if code.is_none() {
                let at = letters.find_map(|c| free.iter().position(|&letter| letter == c));
                *code = at.map(|at| free.remove(at).to_string());
            }
        }
    }
    let pairs = pairs.into_iter().chain(rest.map(String::from_iter));
    let others: Vec<String> = free.into_iter().map(String::from).chain(pairs).collect();
    let mut taken = Vec::with_capacity(names.len());
    taken.extend(codes.iter().flatten().cloned());
    for code in codes.iter_mut().filter(|code| code.is_none()) {
        let next = others.iter().find(|&other| !taken.contains(other));
        let next = next.expect("there are more pairs than motifs").clone();
        taken.push(next.clone());
        *code = Some(next);
    }
    codes.into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(names: &[&str]) -> Vec<String> {
        motif_letters(names, &vec![None; names.len()])
    }

    #[test]
    fn every_motif_has_a_letter_of_its_own() {
        assert_eq!(all(&["capstan", "compass", "crane"]), ["C", "M", "R"]);
        assert_eq!(all(&["lamp", "anchor"]), ["M", "A"]);
        assert_eq!(
            all(&["wheel", "wave", "Wharf", "tide"]),
            ["W", "A", "H", "T"]
        );
        // Letters that are mistaken for others are passed over, and names without letters.
        assert_eq!(all(&["oil jolio", "w", "7", "w"]), ["A", "W", "B", "C"]);
        assert_eq!(all(&["lantern", "buoy"]), ["A", "B"]);
    }

    #[test]
    fn what_the_designer_wrote_stays() {
        let codes = motif_letters(
            &["wheel", "wave", "tide", "wall"],
            &[None, Some("W"), Some("HE"), None],
        );
        assert_eq!(codes, ["E", "W", "HE", "A"]);
        // Even where every letter is somebody's first.
        let given: Vec<String> = code_capitals().map(|c| format!("{c}Z")).collect();
        let mut given: Vec<Option<&str>> = given.iter().map(|code| Some(code.as_str())).collect();
        given.push(None);
        assert_eq!(motif_letters(&["m"; 23], &given)[22], "AA");
    }

    /// Whatever the names, no code begins another: `C1b` never stands beside `CO1b`.
    #[test]
    fn beyond_the_alphabet_there_are_two_letters() {
        for count in [22, 23, 43, 44, 100] {
            let names: Vec<String> = (0..count).map(|i| format!("wheel {i}")).collect();
            let names: Vec<&str> = names.iter().map(String::as_str).collect();
            let codes = all(&names);
            for (i, a) in codes.iter().enumerate() {
                assert!((1..=2).contains(&a.len()) && !a.contains(['I', 'J', 'L', 'O']));
                assert!(a.chars().all(|c| c.is_ascii_uppercase()), "{a}");
                for b in &codes[i + 1..] {
                    assert!(
                        !a.starts_with(b.as_str()) && !b.starts_with(a.as_str()),
                        "{a} {b}"
                    );
                }
            }
            let pairs = codes.iter().filter(|code| code.len() == 2).count();
            assert_eq!(pairs == 0, count == 22, "{codes:?}");
        }
    }
}
