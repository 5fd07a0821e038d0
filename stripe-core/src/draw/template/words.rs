//! What is said on a template and below it: how many are cut, and which way up.

use super::method::Method;

/// `cut 6 from deck`, how many of them reversed, and which way up the template lies, line by
/// line.
pub(super) fn plate_words(
    method: Method,
    count: usize,
    reversed: usize,
    fabric: &str,
) -> Vec<String> {
    let [face, other] = method.faces();
    match reversed {
        0 => vec![format!("cut {count} from {fabric}"), face.to_owned()],
        all if all == count => vec![
            format!("cut {count} from {fabric}, reversed"),
            other.to_owned(),
        ],
        some => vec![
            format!("cut {count} from {fabric},"),
            format!("{some} of them reversed"),
            face.to_owned(),
            format!("(reversed: {other})"),
        ],
    }
}

/// The same in one short line.
pub(super) fn cut_shortly(count: usize, reversed: usize) -> String {
    match reversed {
        0 => format!("cut {count}"),
        all if all == count => format!("cut {count}, reversed"),
        some => format!("cut {count}, {some} of them reversed"),
    }
}

/// Motif and piece in words; once where the piece bears the motif's name.
pub(super) fn named(motif: &str, piece: &str) -> String {
    let rest = piece.strip_prefix(motif);
    if rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(',')) {
        piece.to_owned()
    } else {
        format!("{motif}, {piece}")
    }
}
