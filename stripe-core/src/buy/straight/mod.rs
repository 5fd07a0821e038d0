//! Straight cuts: bands from selvage to selvage, longest first, each cut into columns
//! along the cloth and the columns into pieces. Three straight cuts reach every piece.
//!
//! Which bands to cut is a whole-number program: every pattern of a band is a column of
//! it, its cost the band's length. `whole` solves it by branch and bound.

mod patterns;
mod pocket;
mod slants;
mod steps;
mod whole;

pub use pocket::{Pocket, pockets};
pub use steps::steps;

use crate::quilt::{Grain, StraightPiece};

/// Equal columns of a band: so many side by side, each cut into pieces of one kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Column {
    /// Index into the pieces asked for.
    pub piece: usize,
    /// Side by side.
    pub beside: usize,
    /// Pieces in each, one behind another.
    pub stacked: usize,
    /// Width of one (mm).
    pub across_mm: f64,
    /// Length of one piece along the cloth (mm).
    pub along_mm: f64,
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

impl Band {
    /// Width that its columns take (mm).
    pub fn used_mm(&self) -> f64 {
        self.columns
            .iter()
            .map(|c| c.beside as f64 * c.across_mm)
            .sum()
    }
}

/// All straight cuts of one cloth.
#[derive(Debug, Clone, PartialEq)]
pub struct Cuts {
    /// Longest first.
    pub bands: Vec<Band>,
    /// Length of cloth that they take (mm).
    pub length_mm: f64,
    /// No choice of bands takes less (mm).
    pub bound_mm: f64,
}

impl Cuts {
    /// Whether no choice of bands is shorter.
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
    let patterns = patterns::patterns(pieces, cloth_mm);
    let demand: Vec<usize> = pieces.iter().map(|p| p.count).collect();
    let chosen = whole::cover(&patterns, &demand);
    Ok(arrange(&patterns, &chosen, &demand))
}

/// Turns the chosen counts into bands, longest first, and leaves out what is beyond
/// the demand, from the last bands on.
fn arrange(patterns: &[Band], chosen: &whole::Chosen, demand: &[usize]) -> Cuts {
    let mut left = demand.to_vec();
    let mut order: Vec<usize> = (0..patterns.len())
        .filter(|&p| chosen.times[p] > 0)
        .collect();
    order.sort_by(|&a, &b| {
        patterns[b]
            .along_mm
            .total_cmp(&patterns[a].along_mm)
            .then(a.cmp(&b))
    });
    let mut bands: Vec<Band> = Vec::new();
    for p in order {
        for _ in 0..chosen.times[p] {
            let mut band = patterns[p].clone();
            band.times = 1;
            band.columns = band
                .columns
                .iter()
                .flat_map(|&column| trim(column, &mut left[column.piece]))
                .collect();
            match bands.last_mut() {
                Some(last) if last.along_mm == band.along_mm && last.columns == band.columns => {
                    last.times += 1;
                }
                _ if band.columns.is_empty() => {}
                _ => bands.push(band),
            }
        }
    }
    // A band may be shorter than its pattern once the surplus is left out.
    for band in &mut bands {
        band.along_mm = band
            .columns
            .iter()
            .map(|c| c.stacked as f64 * c.along_mm)
            .fold(0.0, f64::max);
    }
    bands.sort_by(|a, b| b.along_mm.total_cmp(&a.along_mm));
    let length_mm = bands.iter().map(|b| b.along_mm * b.times as f64).sum();
    Cuts {
        bands,
        length_mm,
        bound_mm: chosen.bound_mm.min(length_mm),
    }
}

/// As much of a column as is still wanted: full columns, then one with the rest.
fn trim(column: Column, left: &mut usize) -> Vec<Column> {
    let full = (*left / column.stacked).min(column.beside);
    *left -= full * column.stacked;
    let mut columns = Vec::new();
    if full > 0 {
        columns.push(Column {
            beside: full,
            ..column
        });
    }
    if full < column.beside && *left > 0 {
        columns.push(Column {
            beside: 1,
            stacked: *left,
            ..column
        });
        *left = 0;
    }
    columns
}

#[cfg(test)]
mod tests;
