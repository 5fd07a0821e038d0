//! What is said on a template and below it: how many are cut, and which way up.

use super::kind::Kind;
use super::method::Method;

/// `cut 6 of deck, 3 of them reversed`, and which way up the template lies.
pub(super) fn cut_words(method: Method, count: usize, reversed: usize, fabric: &str) -> [String; 2] {
    let [face, other] = method.faces();
    let cut = format!("cut {count} of {fabric}");
    match reversed {
        0 => [cut, face.to_owned()],
        all if all == count => [format!("{cut}, reversed"), other.to_owned()],
        some => [
            format!("{cut}, {some} of them reversed"),
            format!("{face}; reversed: {other}"),
        ],
    }
}

/// What stands under the template of a piece.
pub(super) fn caption(kind: &Kind<'_>, blank: bool) -> String {
    let [motif, piece] = &kind.name;
    let mut words = format!(
        "{}: {motif}, {piece}. Cut {} of {}: {}.",
        kind.short,
        kind.count(),
        kind.fabric.name,
        kind.labels(false)
    );
    match kind.reversed() {
        0 => {}
        all if all == kind.count() => {
            words.push_str(" All are reversed: flip the template; the back of the fabric will show.");
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
