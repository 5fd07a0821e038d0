//! Small tables of text: the first column to the left, numbers to the right.

/// Rows as aligned text; every row has as many cells as the first.
pub(crate) fn aligned(rows: &[Vec<String>]) -> String {
    let columns = rows.first().map_or(0, Vec::len);
    let width = |column: usize| {
        let cells = rows.iter().filter_map(|row| row.get(column));
        cells.map(|cell| cell.chars().count()).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..columns).map(width).collect();
    let mut text = String::new();
    for row in rows {
        let mut line = String::new();
        for (column, cell) in row.iter().enumerate() {
            let pad = " ".repeat(widths[column].saturating_sub(cell.chars().count()));
            if column == 0 {
                line += &format!("{cell}{pad}");
            } else {
                line += &format!("   {pad}{cell}");
            }
        }
        text += line.trim_end();
        text.push('\n');
    }
    text
}

/// A number with so many decimals, without a sign where nothing but zeros is left of it.
pub(crate) fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| matches!(c, '0' | '.')) => rest.to_owned(),
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn nothing_has_no_sign() {
        use super::fixed;
        assert_eq!(fixed(-0.004, 2), "0.00");
        assert_eq!(fixed(-0.0, 1), "0.0");
        assert_eq!(fixed(-0.006, 2), "-0.01");
        assert_eq!(fixed(-10.0, 1), "-10.0");
        assert_eq!(fixed(1060.0, 2), "1060.00");
    }

    #[test]
    fn columns_stand_under_each_other() {
        let rows = [
            vec!["fabric".into(), "buy".into()],
            vec!["é".into(), "1 1/8 yd".into()],
        ];
        assert_eq!(
            super::aligned(&rows),
            "fabric        buy\né        1 1/8 yd\n"
        );
    }
}
