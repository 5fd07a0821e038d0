//! Cutting order in a maker's words.

use super::slants::slant_steps;
use super::{Band, Cell, Column, Cuts, Pocket, Row};
use crate::length::{Length, Unit};
use crate::quilt::StraightPiece;

/// What is left of a band is named from this size on (mm, 4 in): smaller is for the
/// scrap bag.
const WORTH_KEEPING_MM: f64 = 101.6;

/// The cuts as steps, in the order in which they are made: longest bands first.
///
/// `Cut 3 strips 4 1/2 in deep, from selvage to selvage; from each cut 4 border units
/// 8 1/2 in wide.`
///
/// Where a pocket is used, its stretch comes first: the lay begins with it. What is cut
/// again with a slant comes last.
pub fn steps(
    cuts: &Cuts,
    pieces: &[StraightPiece],
    cloth_mm: f64,
    pocket: Option<&Pocket>,
    unit: Unit,
) -> Vec<String> {
    let mut steps = straight_steps(cuts, pieces, cloth_mm, pocket, unit);
    steps.extend(slant_steps(pieces, unit));
    steps
}

fn straight_steps(
    cuts: &Cuts,
    pieces: &[StraightPiece],
    cloth_mm: f64,
    pocket: Option<&Pocket>,
    unit: Unit,
) -> Vec<String> {
    let mm = |length: f64| Length::from_mm(length).shown(unit);
    let ground = Ground {
        width_mm: cloth_mm,
        across: "from selvage to selvage",
    };
    let Some(pocket) = pocket else {
        let bands = cuts.bands.iter();
        return bands
            .map(|band| band_step(band, pieces, &ground, &mm))
            .collect();
    };
    let left = Ground {
        width_mm: pocket.slit_mm,
        across: "from the left selvage to the slit",
    };
    let mut steps = vec![format!(
        "Cut a length of {}, with which the cutting map begins, and slit it along the selvages, {} from the left one. The \
         part right of the slit, {} wide, is for motif pieces, as the map shows.",
        mm(pocket.length_mm),
        mm(pocket.slit_mm),
        mm(cloth_mm - pocket.slit_mm)
    )];
    for &band in &pocket.bands {
        let step = band_step(&cuts.bands[band], pieces, &left, &mm);
        // A band as long as the stretch is cut off already.
        let whole = format!("Cut a length of {}; from it cut", mm(pocket.length_mm));
        steps.push(match step.strip_prefix(&whole) {
            Some(rest) => format!("From the part left of the slit cut{rest}"),
            None => format!("From the part left of the slit: {}", lower(&step)),
        });
    }
    for (i, band) in cuts.bands.iter().enumerate() {
        if !pocket.bands.contains(&i) {
            let step = band_step(band, pieces, &ground, &mm);
            steps.push(format!("After the motif pieces: {}", lower(&step)));
        }
    }
    steps
}

/// What bands are cut from.
struct Ground {
    width_mm: f64,
    /// From where to where a band goes.
    across: &'static str,
}

/// `Cut 3 strips` to `cut 3 strips`.
fn lower(step: &str) -> String {
    step.replacen("Cut", "cut", 1)
}

fn band_step(
    band: &Band,
    pieces: &[StraightPiece],
    ground: &Ground,
    mm: &impl Fn(f64) -> String,
) -> String {
    let Ground {
        width_mm: cloth_mm,
        across,
    } = *ground;
    let (n, depth) = (band.times, mm(band.along_mm));
    // What is half as long as the cloth is wide is cut off the bolt as a length.
    let is_length = band.along_mm > cloth_mm / 2.0;
    let cut = match (is_length, n) {
        (true, 1) => format!("Cut a length of {depth}"),
        (true, _) => format!("Cut {n} lengths of {depth}"),
        (false, 1) => format!("Cut 1 strip {depth} deep, {across}"),
        (false, _) => format!("Cut {n} strips {depth} deep, {across}"),
    };
    if let [column] = band.columns.as_slice()
        && column.beside == 1
        && let Some(only) = column.single()
        && (only.along_mm - band.along_mm).abs() < 1e-6
    {
        let name = plural(&pieces[only.piece].name, n);
        let trimmed = if only.across_mm < cloth_mm - 0.5 {
            format!(", trimmed to {}", mm(only.across_mm))
        } else {
            String::new()
        };
        return format!("{cut}: {n} {name}{trimmed}.");
    }
    let from = match (is_length, n) {
        (true, 1) => "from it cut, along the selvages,",
        (true, _) => "from each cut, along the selvages,",
        (false, 1) => "from it cut",
        (false, _) => "from each cut",
    };
    let parts: Vec<String> = band
        .columns
        .iter()
        .map(|c| column_words(c, band, pieces, mm))
        .collect();
    let rest_mm = cloth_mm - band.used_mm();
    let rest = if rest_mm.min(band.along_mm) >= WORTH_KEEPING_MM {
        let piece = format!("{} by {depth}", mm(rest_mm));
        let each = if n == 1 { "" } else { " of each" };
        format!(" Beside them {piece}{each} is left: keep it.")
    } else {
        String::new()
    };
    format!("{cut}; {from} {}.{rest}", parts.join(", then "))
}

fn column_words(
    column: &Column,
    band: &Band,
    pieces: &[StraightPiece],
    mm: &impl Fn(f64) -> String,
) -> String {
    let (n, across) = (column.beside, mm(column.across_mm));
    if let Some(only) = column.single() {
        let trimmed = trimmed_words(only, band.along_mm, n, mm);
        return format!(
            "{n} {} {across} wide{trimmed}",
            plural(&pieces[only.piece].name, n)
        );
    }
    let columns = if n == 1 {
        format!("1 column {across} wide, cut into")
    } else {
        format!("{n} columns {across} wide, each cut into")
    };
    let rows: Vec<String> = column
        .rows
        .iter()
        .map(|row| row_words(row, column, pieces, mm))
        .collect();
    format!("{columns} {}", rows.join(" and "))
}

/// `4 border units of 7 1/2 in`, or `2 lengths of 7 1/2 in, each cut side by side into 3 tiles
/// 3 in wide`.
fn row_words(
    row: &Row,
    column: &Column,
    pieces: &[StraightPiece],
    mm: &impl Fn(f64) -> String,
) -> String {
    let (n, along) = (row.times, mm(row.along_mm));
    if let [only] = row.cells.as_slice()
        && only.beside == 1
    {
        let trimmed = if only.across_mm < column.across_mm - 1e-6 {
            format!(" (trimmed to {} wide)", mm(only.across_mm))
        } else {
            String::new()
        };
        return format!(
            "{n} {} of {along}{trimmed}",
            plural(&pieces[only.piece].name, n)
        );
    }
    let cells: Vec<String> = row
        .cells
        .iter()
        .map(|cell| {
            format!(
                "{} {} {} wide{}",
                cell.beside,
                plural(&pieces[cell.piece].name, cell.beside),
                mm(cell.across_mm),
                trimmed_words(cell, row.along_mm, cell.beside, mm)
            )
        })
        .collect();
    let rows = match n {
        1 => format!("1 length of {along} (this one into"),
        _ => format!("{n} lengths of {along} (each of these into"),
    };
    format!("{rows} {})", cells.join(" and "))
}

/// What is said of pieces that are shorter than what they are cut from.
fn trimmed_words(cell: &Cell, from_mm: f64, n: usize, mm: &impl Fn(f64) -> String) -> String {
    if (cell.along_mm - from_mm).abs() < 1e-6 {
        return String::new();
    }
    let each = if n == 1 { "" } else { "each " };
    format!(
        ", {each}then trimmed from {} to {} long",
        mm(from_mm),
        mm(cell.along_mm)
    )
}

/// `border unit` to `border units`; names that do not take an s stay as they are.
pub(super) fn plural(name: &str, n: usize) -> String {
    let whole = ["top and bottom", "side by side"];
    if n == 1 || name.ends_with('s') || whole.iter().any(|w| name.ends_with(w)) {
        name.to_owned()
    } else {
        format!("{name}s")
    }
}
