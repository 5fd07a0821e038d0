//! What is said on a template and below it: how many are cut, and which way up.

use super::kind::Kind;
use super::method::Method;

/// `cut 6 of deck`, how many of them reversed, and which way up the template lies, line by
/// line.
pub(super) fn plate_words(
    method: Method,
    count: usize,
    reversed: usize,
    fabric: &str,
) -> Vec<String> {
    let [face, other] = method.faces();
    match reversed {
        0 => vec![format!("cut {count} of {fabric}"), face.to_owned()],
        all if all == count => vec![
            format!("cut {count} of {fabric}, reversed"),
            other.to_owned(),
        ],
        some => vec![
            format!("cut {count} of {fabric},"),
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

/// What stands under the template of a piece.
pub(super) fn caption(kind: &Kind<'_>, blank: bool) -> String {
    let [motif, piece] = &kind.name;
    let mut words = format!(
        "{}: {}. Cut {} of {}: {}.",
        kind.short,
        named(motif, piece),
        kind.count(),
        kind.fabric.name,
        kind.labels(false)
    );
    match kind.reversed() {
        0 => {}
        all if all == kind.count() => {
            words.push_str(
                " All are reversed: flip the template; the back of the fabric will show.",
            );
        }
        _ => words.push_str(&format!(
            " Reversed: {}. Flip the template for these; the back of the fabric will show.",
            kind.labels(true)
        )),
    }
    if kind.grain().is_none() {
        words.push_str(" The grain differs: lay each as the cutting map shows.");
    } else if blank && kind.fabric.stripe.is_some() {
        words.push_str(" Lay each as the cutting map shows.");
    }
    words
}
