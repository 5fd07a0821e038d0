//! Straight cuts: bands from selvage to selvage, longest first, each cut into columns
//! along the fabric, the columns across into rows and the rows into pieces. Four straight
//! cuts reach a piece, three most of them: so much a person follows with a ruler. Where it
//! saves more than a little, a row holds blocks too, which are cut again as columns are.
//!
//! Which bands to cut is a whole-number program: every pattern of a band is a column of
//! it, its cost the band's length. `whole` solves it by branch and bound. The bands
//! that waste most are then cut anew by the search of edge-to-edge cuts (`edges`), and the
//! shorter is taken.

mod bands;
mod edges;
mod patterns;
mod plural;
mod remnant;
mod slants;
mod steps;
mod units;
mod whole;

pub use bands::{Cell, CutBand, CutColumn, CutPart, Row};
pub use plural::plural;
pub use remnant::{Remnant, remnants};
pub use steps::{ON_MAP, START_OF_MAP, steps};

use crate::quilt::{Grain, StraightPiece};
use bands::merge;
use patterns::{Pattern, Stack};

/// All straight cuts of one fabric.
#[derive(Debug, Clone, PartialEq)]
pub struct Cuts {
    /// Longest first.
    pub bands: Vec<CutBand>,
    /// Length of fabric that they take (mm).
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
    #[error("{name}: cut {length_mm} x {width_mm} mm, the fabric is {fabric_mm} mm wide")]
    TooWide {
        /// The piece.
        name: String,
        /// Its cut length.
        length_mm: f64,
        /// Its cut width.
        width_mm: f64,
        /// The fabric's width.
        fabric_mm: f64,
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

/// The most straight pieces of one fabric.
pub const MAX_PIECES: usize = 20_000;

/// The ways in which a piece may lie: width across the fabric, length along it.
fn ways(piece: &StraightPiece, fabric_mm: f64) -> Vec<(f64, f64)> {
    let along = (piece.width_mm, piece.length_mm);
    let across = (piece.length_mm, piece.width_mm);
    let mut ways = match piece.grain {
        Grain::Along => vec![along],
        Grain::Across => vec![across],
        Grain::Any => vec![across, along],
    };
    ways.dedup();
    ways.retain(|&(width, _)| width <= fabric_mm + 1e-6);
    ways
}

/// Plans the straight cuts of one fabric of usable width `fabric_mm`.
///
/// # Errors
/// See [`StraightError`].
pub fn cut_straight(pieces: &[StraightPiece], fabric_mm: f64) -> Result<Cuts, StraightError> {
    sane(pieces, fabric_mm)?;
    let units = units::Units::new(pieces, fabric_mm);
    let least_mm = units.least() as f64 * units.mm;
    let patterns = patterns::patterns(pieces, fabric_mm);
    let demand: Vec<usize> = pieces.iter().map(|p| p.count).collect();
    let times = whole::cover(&patterns, &demand, least_mm);
    let mut bands = arrange(&patterns, &times, &demand);
    let bound_mm = edges::recut(&mut bands, pieces, &units, fabric_mm, least_mm);
    merge(&mut bands);
    let length_mm = bands.iter().map(|b| b.along_mm * b.times as f64).sum();
    Ok(Cuts {
        bands,
        length_mm,
        // Above the length by a rounding it is the length; by more it would be wrong, and is
        // left to be seen.
        bound_mm: if bound_mm <= length_mm + 1e-3 {
            bound_mm.min(length_mm)
        } else {
            bound_mm
        },
    })
}

/// A length that no cutting of the pieces is shorter than, without looking for one (mm).
///
/// # Errors
/// See [`StraightError`].
pub fn least_length_mm(pieces: &[StraightPiece], fabric_mm: f64) -> Result<f64, StraightError> {
    sane(pieces, fabric_mm)?;
    let units = units::Units::new(pieces, fabric_mm);
    Ok(units.least() as f64 * units.mm)
}

fn sane(pieces: &[StraightPiece], fabric_mm: f64) -> Result<(), StraightError> {
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
        if ways(piece, fabric_mm).is_empty() {
            return Err(StraightError::TooWide {
                name: piece.name.clone(),
                length_mm: piece.length_mm,
                width_mm: piece.width_mm,
                fabric_mm,
                fits_along: piece.width_mm.min(piece.length_mm) <= fabric_mm,
            });
        }
    }
    Ok(())
}

/// Turns the chosen counts into bands, longest first, and leaves out what is beyond
/// the demand, from the last bands on.
fn arrange(patterns: &[Pattern], times: &[usize], demand: &[usize]) -> Vec<CutBand> {
    let mut left = demand.to_vec();
    let mut order: Vec<usize> = (0..patterns.len()).filter(|&p| times[p] > 0).collect();
    order.sort_by(|&a, &b| {
        patterns[b]
            .along_mm
            .total_cmp(&patterns[a].along_mm)
            .then(a.cmp(&b))
    });
    let mut bands: Vec<CutBand> = Vec::new();
    for p in order {
        for _ in 0..times[p] {
            let stacks = patterns[p].stacks.iter();
            let columns: Vec<CutColumn> = stacks
                .flat_map(|stack| trim(stack, &mut left[stack.piece]))
                .collect();
            if !columns.is_empty() {
                // A band may be shorter than its pattern once the surplus is left out.
                bands.push(CutBand::of(columns));
            }
        }
    }
    merge(&mut bands);
    bands
}

/// As much of a stack as is still wanted: full columns, then one with the rest.
fn trim(stack: &Stack, left: &mut usize) -> Vec<CutColumn> {
    let column = |beside: usize, stacked: usize| CutColumn {
        beside,
        across_mm: stack.across_mm,
        rows: vec![Row {
            times: stacked,
            along_mm: stack.along_mm,
            cells: vec![Cell {
                part: CutPart::Piece(stack.piece),
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
