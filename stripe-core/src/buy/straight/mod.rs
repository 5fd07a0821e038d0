//! Straight cuts: bands from selvage to selvage, longest first, each cut into columns
//! along the cloth, the columns across into rows and the rows into pieces. Four straight
//! cuts reach every piece, three most of them: so much a person follows with a ruler.
//!
//! Which bands to cut is a whole-number program: every pattern of a band is a column of
//! it, its cost the band's length. `whole` solves it by branch and bound. The bands
//! that waste most are then cut anew by the search of edge-to-edge cuts (`edges`), and the
//! shorter is taken.

mod edges;
mod patterns;
mod pocket;
mod slants;
mod steps;
mod units;
mod whole;

pub use pocket::{Pocket, pockets};
pub use steps::steps;

use crate::quilt::{Grain, StraightPiece};
use patterns::{Pattern, Stack};

/// Equal pieces side by side in a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// Index into the pieces asked for.
    pub piece: usize,
    /// Side by side.
    pub beside: usize,
    /// Width of one (mm).
    pub across_mm: f64,
    /// Length of one along the cloth (mm); where the row is longer, it is trimmed.
    pub along_mm: f64,
}

/// Equal rows of a column, one behind another.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// How many.
    pub times: usize,
    /// Length of one along the cloth (mm).
    pub along_mm: f64,
    /// From its left side.
    pub cells: Vec<Cell>,
}

/// Equal columns of a band.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Side by side.
    pub beside: usize,
    /// Width of one (mm).
    pub across_mm: f64,
    /// From its near end; the cloth left behind them is waste.
    pub rows: Vec<Row>,
}

/// A band cut across the whole width.
#[derive(Debug, Clone, PartialEq)]
pub struct Band {
    /// Its length along the cloth (mm).
    pub along_mm: f64,
    /// From the left selvage.
    pub columns: Vec<Column>,
    /// How many bands like this one after another.
    pub times: usize,
}

impl Row {
    /// One row of some pieces, equal ones counted together, widest first.
    fn of(mut cells: Vec<Cell>) -> Self {
        cells.sort_by(|a, b| {
            b.across_mm
                .total_cmp(&a.across_mm)
                .then(b.along_mm.total_cmp(&a.along_mm))
                .then(a.piece.cmp(&b.piece))
        });
        let is_same = |a: &Cell, b: &Cell| Cell { beside: 0, ..*a } == Cell { beside: 0, ..*b };
        let cells = counted(cells, is_same, |kept, more| kept.beside += more.beside);
        Self {
            times: 1,
            along_mm: cells.iter().map(|c| c.along_mm).fold(0.0, f64::max),
            cells,
        }
    }

    fn across_mm(&self) -> f64 {
        self.cells
            .iter()
            .map(|c| c.beside as f64 * c.across_mm)
            .sum()
    }
}

impl Column {
    /// One column of some rows, equal ones counted together, longest first.
    fn of(mut rows: Vec<Row>) -> Self {
        rows.sort_by(|a, b| {
            b.along_mm
                .total_cmp(&a.along_mm)
                .then(b.across_mm().total_cmp(&a.across_mm()))
                .then(a.cells[0].piece.cmp(&b.cells[0].piece))
        });
        let is_same = |a: &Row, b: &Row| a.cells == b.cells;
        let rows = counted(rows, is_same, |kept, more| kept.times += more.times);
        Self {
            beside: 1,
            across_mm: rows.iter().map(Row::across_mm).fold(0.0, f64::max),
            rows,
        }
    }

    /// Length that its rows take (mm).
    pub fn along_mm(&self) -> f64 {
        self.rows.iter().map(|r| r.times as f64 * r.along_mm).sum()
    }

    /// The only piece of its only row, if there is no more to it.
    fn single(&self) -> Option<&Cell> {
        match self.rows.as_slice() {
            [row] if row.times == 1 => match row.cells.as_slice() {
                [cell] if cell.beside == 1 => Some(cell),
                _ => None,
            },
            _ => None,
        }
    }
}

impl Band {
    /// One band of some columns, equal ones counted together, widest first.
    fn of(columns: Vec<Column>) -> Self {
        // A column of one row only is as many columns as there are pieces in it.
        let mut columns: Vec<Column> = columns
            .into_iter()
            .flat_map(|column| match column.rows.as_slice() {
                [row] if row.times == 1 => {
                    let alone = |cell: &Cell| Column {
                        beside: column.beside * cell.beside,
                        ..Column::of(vec![Row::of(vec![Cell { beside: 1, ..*cell }])])
                    };
                    row.cells.iter().map(alone).collect()
                }
                _ => vec![column],
            })
            .collect();
        columns.sort_by(|a, b| {
            b.across_mm
                .total_cmp(&a.across_mm)
                .then(b.along_mm().total_cmp(&a.along_mm()))
                .then(a.rows[0].cells[0].piece.cmp(&b.rows[0].cells[0].piece))
        });
        let is_same = |a: &Column, b: &Column| a.rows == b.rows;
        let columns = counted(columns, is_same, |kept, more| kept.beside += more.beside);
        Self {
            along_mm: columns.iter().map(Column::along_mm).fold(0.0, f64::max),
            columns,
            times: 1,
        }
    }

    /// Width that its columns take (mm).
    pub fn used_mm(&self) -> f64 {
        self.columns
            .iter()
            .map(|c| c.beside as f64 * c.across_mm)
            .sum()
    }

    /// Every piece in one of them, and how often.
    fn cells(&self) -> impl Iterator<Item = (usize, &Cell)> {
        let rows = self
            .columns
            .iter()
            .flat_map(|column| column.rows.iter().map(move |row| (column.beside, row)));
        rows.flat_map(|(beside, row)| {
            let cells = row.cells.iter();
            cells.map(move |cell| (beside * row.times * cell.beside, cell))
        })
    }

    /// How many pieces of a kind one of them gives.
    pub fn made(&self, piece: usize) -> usize {
        let cells = self.cells().filter(|(_, cell)| cell.piece == piece);
        cells.map(|(n, _)| n).sum()
    }

    /// How many pieces one of them gives.
    fn pieces(&self) -> usize {
        self.cells().map(|(n, _)| n).sum()
    }

    fn area_mm2(&self) -> f64 {
        let area = |(n, cell): (usize, &Cell)| n as f64 * cell.across_mm * cell.along_mm;
        self.cells().map(area).sum()
    }
}

/// Things without repetition; `add` counts one that is the same into the one kept.
fn counted<T>(all: Vec<T>, is_same: impl Fn(&T, &T) -> bool, add: impl Fn(&mut T, &T)) -> Vec<T> {
    let mut kept: Vec<T> = Vec::new();
    for one in all {
        match kept.iter_mut().find(|k| is_same(k, &one)) {
            Some(known) => add(known, &one),
            None => kept.push(one),
        }
    }
    kept
}

/// Counts equal bands together, longest first.
fn merge(bands: &mut Vec<Band>) {
    let is_same = |a: &Band, b: &Band| a.columns == b.columns;
    let all = std::mem::take(bands);
    *bands = counted(all, is_same, |kept, more| kept.times += more.times);
    bands.sort_by(|a, b| {
        b.along_mm
            .total_cmp(&a.along_mm)
            .then(b.used_mm().total_cmp(&a.used_mm()))
    });
}

/// All straight cuts of one cloth.
#[derive(Debug, Clone, PartialEq)]
pub struct Cuts {
    /// Longest first.
    pub bands: Vec<Band>,
    /// Length of cloth that they take (mm).
    pub length_mm: f64,
    /// No straight cuts at all take less, whichever way pieces are cut (mm).
    pub bound_mm: f64,
}

impl Cuts {
    /// Whether no straight cuts are shorter.
    pub fn is_optimal(&self) -> bool {
        self.length_mm <= self.bound_mm + 1e-3
    }
}

/// Why straight pieces cannot be cut.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum StraightError {
    /// A piece that no way of lying fits between the selvages.
    #[error("{name}: cut {length_mm} x {width_mm} mm, the cloth is {cloth_mm} mm wide")]
    TooWide {
        /// The piece.
        name: String,
        /// Its cut length.
        length_mm: f64,
        /// Its cut width.
        width_mm: f64,
        /// The cloth's width.
        cloth_mm: f64,
        /// Whether it would fit with its length along the selvages.
        fits_along: bool,
    },
    /// A piece with a side that is no length.
    #[error("{name}: both sides of a piece must be above zero and below 1 km")]
    Side {
        /// The piece.
        name: String,
    },
    /// More pieces than anybody cuts.
    #[error("{0} straight pieces are too many to plan (at most {MAX_PIECES})")]
    TooMany(usize),
}

/// The most straight pieces of one cloth.
pub const MAX_PIECES: usize = 20_000;

/// The ways in which a piece may lie: width across the cloth, length along it.
fn ways(piece: &StraightPiece, cloth_mm: f64) -> Vec<(f64, f64)> {
    let along = (piece.width_mm, piece.length_mm);
    let across = (piece.length_mm, piece.width_mm);
    let mut ways = match piece.grain {
        Grain::Along => vec![along],
        Grain::Across => vec![across],
        Grain::Any => vec![across, along],
    };
    ways.dedup();
    ways.retain(|&(width, _)| width <= cloth_mm + 1e-6);
    ways
}

/// Plans the straight cuts of one cloth of usable width `cloth_mm`.
///
/// # Errors
/// See [`StraightError`].
pub fn cut_straight(pieces: &[StraightPiece], cloth_mm: f64) -> Result<Cuts, StraightError> {
    sane(pieces, cloth_mm)?;
    let units = units::Units::new(pieces, cloth_mm);
    let least_mm = units.least() as f64 * units.mm;
    let patterns = patterns::patterns(pieces, cloth_mm);
    let demand: Vec<usize> = pieces.iter().map(|p| p.count).collect();
    let times = whole::cover(&patterns, &demand, least_mm);
    let mut bands = arrange(&patterns, &times, &demand);
    let bound_mm = edges::recut(&mut bands, pieces, &units, cloth_mm, least_mm);
    merge(&mut bands);
    let length_mm = bands.iter().map(|b| b.along_mm * b.times as f64).sum();
    Ok(Cuts {
        bands,
        length_mm,
        bound_mm: bound_mm.min(length_mm),
    })
}

/// A length that no cutting of the pieces is shorter than, without looking for one (mm).
///
/// # Errors
/// See [`StraightError`].
pub fn least_length_mm(pieces: &[StraightPiece], cloth_mm: f64) -> Result<f64, StraightError> {
    sane(pieces, cloth_mm)?;
    let units = units::Units::new(pieces, cloth_mm);
    Ok(units.least() as f64 * units.mm)
}

fn sane(pieces: &[StraightPiece], cloth_mm: f64) -> Result<(), StraightError> {
    let total: usize = pieces.iter().map(|p| p.count).sum();
    if total > MAX_PIECES {
        return Err(StraightError::TooMany(total));
    }
    for piece in pieces {
        let is_sane = |side: f64| side > 0.0 && side < 1e6;
        if !is_sane(piece.length_mm) || !is_sane(piece.width_mm) {
            return Err(StraightError::Side {
                name: piece.name.clone(),
            });
        }
        if ways(piece, cloth_mm).is_empty() {
            return Err(StraightError::TooWide {
                name: piece.name.clone(),
                length_mm: piece.length_mm,
                width_mm: piece.width_mm,
                cloth_mm,
                fits_along: piece.width_mm.min(piece.length_mm) <= cloth_mm,
            });
        }
    }
    Ok(())
}

/// Turns the chosen counts into bands, longest first, and leaves out what is beyond
/// the demand, from the last bands on.
fn arrange(patterns: &[Pattern], times: &[usize], demand: &[usize]) -> Vec<Band> {
    let mut left = demand.to_vec();
    let mut order: Vec<usize> = (0..patterns.len()).filter(|&p| times[p] > 0).collect();
    order.sort_by(|&a, &b| {
        patterns[b]
            .along_mm
            .total_cmp(&patterns[a].along_mm)
            .then(a.cmp(&b))
    });
    let mut bands: Vec<Band> = Vec::new();
    for p in order {
        for _ in 0..times[p] {
            let stacks = patterns[p].stacks.iter();
            let columns: Vec<Column> = stacks
                .flat_map(|stack| trim(stack, &mut left[stack.piece]))
                .collect();
            if !columns.is_empty() {
                // A band may be shorter than its pattern once the surplus is left out.
                bands.push(Band::of(columns));
            }
        }
    }
    merge(&mut bands);
    bands
}

/// As much of a stack as is still wanted: full columns, then one with the rest.
fn trim(stack: &Stack, left: &mut usize) -> Vec<Column> {
    let column = |beside: usize, stacked: usize| Column {
        beside,
        across_mm: stack.across_mm,
        rows: vec![Row {
            times: stacked,
            along_mm: stack.along_mm,
            cells: vec![Cell {
                piece: stack.piece,
                beside: 1,
                across_mm: stack.across_mm,
                along_mm: stack.along_mm,
            }],
        }],
    };
    let full = (*left / stack.stacked).min(stack.beside);
    *left -= full * stack.stacked;
    let mut columns = Vec::new();
    if full > 0 {
        columns.push(column(full, stack.stacked));
    }
    if full < stack.beside && *left > 0 {
        columns.push(column(1, *left));
        *left = 0;
    }
    columns
}

#[cfg(test)]
mod tests;
