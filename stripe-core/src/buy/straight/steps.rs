//! Cutting order in a maker's words.

use super::{Band, Column, Cuts};
use crate::length::{Length, Unit};
use crate::quilt::StraightPiece;

/// The cuts as steps, in the order in which they are made: longest bands first.
///
/// `cut 3 strips 4 1/2 in deep, from selvage to selvage; from each cut 4 border units
/// 8 1/2 in`.
pub fn steps(cuts: &Cuts, pieces: &[StraightPiece], unit: Unit) -> Vec<String> {
    cuts.bands
        .iter()
        .map(|band| band_step(band, pieces, unit))
        .collect()
}

fn band_step(band: &Band, pieces: &[StraightPiece], unit: Unit) -> String {
    let mm = |length: f64| Length::from_mm(length).shown(unit);
    let each = if band.times > 1 {
        "from each"
    } else {
        "from it"
    };
    let is_plain = |c: &Column| c.stacked == 1 && (c.along_mm - band.along_mm).abs() < 1e-6;
    // Pieces as long as the band is deep need only cuts across the strip.
    if let [only] = band.columns.as_slice()
        && is_plain(only)
        && only.beside == 1
        && (only.across_mm - 1.0 > band.along_mm || band.times > 1)
    {
        let piece = &pieces[only.piece];
        return format!(
            "Cut {} {} deep, from selvage to selvage: {} {}, trimmed to {}.",
            strips(band.times),
            mm(band.along_mm),
            band.times,
            plural(&piece.name, band.times),
            mm(only.across_mm)
        );
    }
    let parts: Vec<String> = band
        .columns
        .iter()
        .map(|c| column_words(c, band, pieces, &mm))
        .collect();
    format!(
        "Cut {} {} deep, from selvage to selvage; {each} cut {}.",
        strips(band.times),
        mm(band.along_mm),
        parts.join(", then ")
    )
}

fn strips(n: usize) -> String {
    if n == 1 {
        "1 strip".to_owned()
    } else {
        format!("{n} strips")
    }
}

fn column_words(
    column: &Column,
    band: &Band,
    pieces: &[StraightPiece],
    mm: &impl Fn(f64) -> String,
) -> String {
    let piece = &pieces[column.piece];
    let (n, across) = (column.beside, mm(column.across_mm));
    if column.stacked == 1 {
        let trimmed = if (column.along_mm - band.along_mm).abs() < 1e-6 {
            String::new()
        } else {
            format!(", trimmed to {}", mm(column.along_mm))
        };
        return format!("{n} {} {across} wide{trimmed}", plural(&piece.name, n));
    }
    let columns = if n == 1 {
        format!("1 column {across} wide, cut into")
    } else {
        format!("{n} columns {across} wide, each cut into")
    };
    format!(
        "{columns} {} {} of {}",
        column.stacked,
        plural(&piece.name, column.stacked),
        mm(column.along_mm)
    )
}

/// `border unit` to `border units`; names that do not take an s stay as they are.
fn plural(name: &str, n: usize) -> String {
    let whole = ["top and bottom", "side by side"];
    if n == 1 || name.ends_with('s') || whole.iter().any(|w| name.ends_with(w)) {
        name.to_owned()
    } else {
        format!("{name}s")
    }
}
