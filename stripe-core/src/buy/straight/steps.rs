//! Cutting order in a maker's words.

use super::plural::plural;
use super::slants::slant_steps;
use super::{Cell, CutBand, CutColumn, CutPart, Cuts, Remnant, Row};
use crate::length::{Length, Unit};
use crate::motif::letters;
use crate::quilt::StraightPiece;

/// What is said of the map in a step, so that a pattern, which has none, can leave it out.
pub const START_OF_MAP: &str = ", the start of the cutting map";
/// See [`START_OF_MAP`].
pub const ON_MAP: &str = "the motif pieces that the map shows";

/// What is left of a band is named from this size on (mm, 4 in): smaller is for the
/// scrap bag.
const WORTH_KEEPING_MM: f64 = 101.6;

/// One step of cutting straight pieces.
enum Step<'a> {
    /// Cuts off a stretch and slits it: the layout begins beside it.
    Slit(&'a Remnant),
    /// Cuts bands, each into its pieces.
    Bands(&'a CutBand, Source),
    /// Cuts a block again, so many of it.
    Block(&'a Cell, usize),
}

/// What bands are cut from.
#[derive(Clone, Copy)]
enum Source {
    /// The fabric, from selvage to selvage.
    Fabric,
    /// The fabric that the motif pieces leave.
    AfterMotifs,
    /// What is left of the slit, or all of it where the band is as long as the stretch.
    LeftOfSlit { slit_mm: f64, is_all: bool },
}

/// The steps in the order in which they are made: longest bands first.
///
/// Where a remnant is used, its stretch comes first: the layout begins with it.
fn order<'a>(
    cuts: &'a Cuts,
    blocks: &[(&'a Cell, usize)],
    remnant: Option<&'a Remnant>,
) -> Vec<Step<'a>> {
    let mut steps = vec![];
    let in_pocket = |i: usize| remnant.is_some_and(|remnant| remnant.bands.contains(&i));
    if let Some(remnant) = remnant {
        steps.push(Step::Slit(remnant));
        steps.extend(remnant.bands.iter().map(|&i| {
            let band = &cuts.bands[i];
            let is_all = band.times == 1 && (band.along_mm - remnant.length_mm).abs() < 1e-6;
            let slit_mm = remnant.slit_mm;
            Step::Bands(band, Source::LeftOfSlit { slit_mm, is_all })
        }));
    }
    let from = match remnant {
        Some(_) => Source::AfterMotifs,
        None => Source::Fabric,
    };
    let others = cuts
        .bands
        .iter()
        .enumerate()
        .filter(|&(i, _)| !in_pocket(i));
    steps.extend(others.map(|(_, band)| Step::Bands(band, from)));
    steps.extend(blocks.iter().map(|&(cell, n)| Step::Block(cell, n)));
    steps
}

/// The cuts in words, step by step; what is cut again with a slant comes last.
///
/// `Cut 3 strips 4 1/2 in by the width of the fabric; from each cut 4 border units 8 1/2 in
/// wide.`
pub fn steps(
    cuts: &Cuts,
    pieces: &[StraightPiece],
    fabric_mm: f64,
    remnant: Option<&Remnant>,
    unit: Unit,
) -> Vec<String> {
    let teller = Teller::new(cuts, pieces, unit);
    let order = order(cuts, &teller.blocks, remnant);
    let told = order.iter().map(|step| teller.told(step, fabric_mm));
    told.chain(slant_steps(pieces, unit)).collect()
}

/// Tells cuts in the words of one project.
struct Teller<'a> {
    pieces: &'a [StraightPiece],
    unit: Unit,
    /// Every block that is cut again, once, and how often it is cut.
    blocks: Vec<(&'a Cell, usize)>,
}

impl<'a> Teller<'a> {
    fn new(cuts: &'a Cuts, pieces: &'a [StraightPiece], unit: Unit) -> Self {
        let mut blocks: Vec<(&Cell, usize)> = Vec::new();
        for band in &cuts.bands {
            for (n, cell) in band.parts() {
                if !matches!(cell.part, CutPart::Block(_)) {
                    continue;
                }
                match blocks.iter_mut().find(|(b, _)| b.part == cell.part) {
                    Some((_, known)) => *known += band.times * n,
                    None => blocks.push((cell, band.times * n)),
                }
            }
        }
        Self {
            pieces,
            unit,
            blocks,
        }
    }

    fn told(&self, step: &Step<'_>, fabric_mm: f64) -> String {
        match step {
            Step::Slit(remnant) => format!(
                "Cut 1 length of {}{START_OF_MAP}. Cut it in two, parallel to the selvages, {} from the left \
                 one. Keep the right-hand part, {} wide, for {ON_MAP}.",
                self.mm(remnant.length_mm),
                self.mm(remnant.slit_mm),
                self.mm(fabric_mm - remnant.slit_mm)
            ),
            Step::Bands(band, from) => self.bands_words(band, *from, fabric_mm),
            Step::Block(cell, n) => self.block_words(cell, *n),
        }
    }

    fn mm(&self, length: f64) -> String {
        Length::from_mm(length).shown(self.unit)
    }

    fn name(&self, piece: usize, n: usize) -> String {
        plural(&self.pieces[piece].name, n)
    }

    /// `tiles`, or `block B`.
    fn part_name(&self, cell: &Cell) -> String {
        match &cell.part {
            CutPart::Piece(piece) => self.name(*piece, cell.beside),
            part => {
                let known = self.blocks.iter().position(|(b, _)| b.part == *part);
                let letter = letters(known.unwrap_or_default()).to_uppercase();
                format!("{} {letter}", plural("block", cell.beside))
            }
        }
    }

    /// `Cut block A, 9 in wide and 12 in long, across into 2 units of 4 in and 1 unit of 3 in.`
    fn block_words(&self, cell: &Cell, n: usize) -> String {
        let one = Cell {
            beside: 1,
            ..cell.clone()
        };
        let name = self.part_name(&one);
        let what = match n {
            1 => name,
            n => format!("each of the {n} {}", name.replacen("block", "blocks", 1)),
        };
        let CutPart::Block(rows) = &cell.part else {
            return what;
        };
        format!(
            "Cut {what}, {} wide and {} long, across into {}.",
            self.mm(cell.across_mm),
            self.mm(cell.along_mm),
            self.rows_words(rows, cell.across_mm)
        )
    }

    fn bands_words(&self, band: &CutBand, from: Source, fabric_mm: f64) -> String {
        let (width_mm, across) = match from {
            Source::LeftOfSlit { slit_mm, .. } => (slit_mm, " by its full width"),
            Source::Fabric | Source::AfterMotifs => (fabric_mm, " by the width of the fabric"),
        };
        let (n, depth) = (band.times, self.mm(band.along_mm));
        // What is half as long as the fabric is wide is cut off the bolt as a length.
        let is_length = band.along_mm > width_mm / 2.0;
        // The number and the length apart: "2 63 1/2 in lengths" reads as one figure.
        let bands = match (is_length, n) {
            (true, 1) => format!("1 length of {depth}"),
            (true, _) => format!("{n} lengths of {depth}"),
            (false, 1) => format!("1 strip {depth}{across}"),
            (false, _) => format!("{n} strips {depth}{across}"),
        };
        let cut = match from {
            Source::Fabric => format!("Cut {bands}"),
            Source::AfterMotifs => format!("After the motif pieces: cut {bands}"),
            Source::LeftOfSlit { .. } => format!("From the left-hand part cut {bands}"),
        };
        if let [column] = band.columns.as_slice()
            && column.beside == 1
            && let Some((piece, only)) = column.single()
            && (only.along_mm - band.along_mm).abs() < 1e-6
        {
            let name = self.name(piece, n);
            let trimmed = if only.across_mm < width_mm - 0.5 {
                format!(", trimmed to {} wide", self.mm(only.across_mm))
            } else {
                String::new()
            };
            return format!("{cut}: {n} {name}{trimmed}.");
        }
        let along = if is_length {
            ", parallel to the selvages,"
        } else {
            ""
        };
        let opening = match (from, n) {
            // A band as long as the stretch is cut off already.
            (Source::LeftOfSlit { is_all: true, .. }, _) if is_length => {
                "From the left-hand part cut".to_owned()
            }
            (_, 1) => format!("{cut}. From it cut"),
            _ => format!("{cut}. From each cut"),
        };
        let columns = band.columns.iter();
        let parts: Vec<String> = columns.map(|c| self.column_words(c, band)).collect();
        let rest_mm = width_mm - band.used_mm();
        let rest = if rest_mm.min(band.along_mm) >= WORTH_KEEPING_MM {
            let piece = format!("{} by {depth}", self.mm(rest_mm));
            if n == 1 {
                format!(" Save the leftover {piece}.")
            } else {
                format!(" Each leaves {piece}: save it.")
            }
        } else {
            String::new()
        };
        format!("{opening}{along} {}.{rest}", parts.join(", then "))
    }

    fn column_words(&self, column: &CutColumn, band: &CutBand) -> String {
        let (n, across) = (column.beside, self.mm(column.across_mm));
        if let Some((piece, only)) = column.single() {
            let trimmed = self.trimmed_words(only, band.along_mm, n);
            return format!("{n} {} {across} wide{trimmed}", self.name(piece, n));
        }
        let columns = if n == 1 {
            format!("1 column {across} wide, cut into")
        } else {
            format!("{n} columns {across} wide, each cut into")
        };
        format!(
            "{columns} {}",
            self.rows_words(&column.rows, column.across_mm)
        )
    }

    fn rows_words(&self, rows: &[Row], across_mm: f64) -> String {
        let rows: Vec<String> = rows
            .iter()
            .map(|row| self.row_words(row, across_mm))
            .collect();
        rows.join(" and ")
    }

    /// `4 border units of 7 1/2 in`, or `2 lengths of 7 1/2 in, each cut side by side into 3 tiles
    /// 3 in wide`.
    fn row_words(&self, row: &Row, across_mm: f64) -> String {
        let (n, along) = (row.times, self.mm(row.along_mm));
        if let Some((piece, only)) = row.single() {
            let trimmed = if only.across_mm < across_mm - 1e-6 {
                format!(" (trimmed to {} wide)", self.mm(only.across_mm))
            } else {
                String::new()
            };
            return format!("{n} {} of {along}{trimmed}", self.name(piece, n));
        }
        let cells: Vec<String> = row
            .cells
            .iter()
            .map(|cell| {
                format!(
                    "{} {} {} wide{}",
                    cell.beside,
                    self.part_name(cell),
                    self.mm(cell.across_mm),
                    self.trimmed_words(cell, row.along_mm, cell.beside)
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
    fn trimmed_words(&self, cell: &Cell, from_mm: f64, n: usize) -> String {
        if (cell.along_mm - from_mm).abs() < 1e-6 {
            return String::new();
        }
        let each = if n == 1 { "" } else { "each " };
        format!(
            ", {each}trimmed from {} to {} long",
            self.mm(from_mm),
            self.mm(cell.along_mm)
        )
    }
}
