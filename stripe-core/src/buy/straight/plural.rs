//! One or more of a piece.

/// `border unit` to `border units`; names that do not take an s stay as they are.
pub fn plural(name: &str, n: usize) -> String {
    let whole = ["top and bottom", "side by side"];
    if n == 1 || name.ends_with('s') || whole.iter().any(|w| name.ends_with(w)) {
        name.to_owned()
    } else {
        format!("{name}s")
    }
}
