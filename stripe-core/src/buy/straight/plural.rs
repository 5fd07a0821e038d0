//! One or more of a piece.

/// `border unit` to `border units`, `foundation under a` to `foundations under as`, `frame top and
/// bottom` to `frame strips for top and bottom`; names that do not take an s stay as they are.
pub fn plural(name: &str, n: usize) -> String {
    if let Some(border) = name.strip_suffix("top and bottom") {
        return match n {
            1 => format!("{border}strip for top or bottom"),
            _ => format!("{border}strips for top and bottom"),
        };
    }
    if let Some((one, other)) = name.split_once(" under ") {
        return format!("{} under {}", plural(one, n), plural(other, n));
    }
    if n == 1 || name.ends_with('s') || name.ends_with("side by side") {
        name.to_owned()
    } else {
        format!("{name}s")
    }
}

#[cfg(test)]
mod tests {
    use super::plural;

    /// As a person who counts them would say it.
    #[test]
    fn one_and_more_of_a_piece() {
        for (name, one, more) in [
            ("quay unit", "quay unit", "quay units"),
            (
                "foundation under quay unit",
                "foundation under quay unit",
                "foundations under quay units",
            ),
            (
                "frame top and bottom",
                "frame strip for top or bottom",
                "frame strips for top and bottom",
            ),
            ("grass", "grass", "grass"),
        ] {
            assert_eq!([plural(name, 1), plural(name, 2)], [one, more]);
        }
    }
}
