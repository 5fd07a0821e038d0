//! Names one after the other.

/// `a, b and c`.
pub fn listed<S: std::borrow::Borrow<str>>(names: &[S]) -> String {
    match names {
        [] => String::new(),
        [one] => one.borrow().to_owned(),
        [most @ .., last] => format!("{} and {}", most.join(", "), last.borrow()),
    }
}
