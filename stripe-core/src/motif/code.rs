//! The letters that codes of pieces are made of.

/// All small letters but `i`, `j`, `l` and `o`, which are read as one another and as 1 and 0.
const LETTERS: &[u8] = b"abcdefghkmnpqrstuvwxyz";

/// `a`, `b`, … `z`, then `aa`, `ab`, …, in the letters of codes: how the pieces of a motif
/// are told apart in writing.
pub fn letters(mut n: usize) -> String {
    let mut text = vec![];
    loop {
        text.push(LETTERS[n % LETTERS.len()]);
        n /= LETTERS.len();
        if n == 0 {
            break;
        }
        n -= 1;
    }
    text.reverse();
    text.into_iter().map(char::from).collect()
}

/// The capital letters that may stand for a motif.
pub fn code_capitals() -> impl DoubleEndedIterator<Item = char> + Clone {
    LETTERS
        .iter()
        .map(|&letter| char::from(letter.to_ascii_uppercase()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_after_z_without_those_that_are_mistaken() {
        assert_eq!(
            [0, 8, 9, 10, 11, 12, 21, 22, 43, 44].map(letters),
            ["a", "k", "m", "n", "p", "q", "z", "aa", "az", "ba"]
        );
        let many: String = (0..2000).map(letters).collect();
        assert!(!many.contains(['i', 'j', 'l', 'o']));
        assert!(code_capitals().all(|c| !"IJLO".contains(c)));
        assert_eq!(code_capitals().count(), 22);
    }
}
