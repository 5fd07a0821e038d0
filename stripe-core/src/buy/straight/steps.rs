//! Cutting order in a maker's words.

use super::plural::plural;
use super::slants::slant_steps;
use super::{Cell, CutBand, CutColumn, CutPart, Cuts, Pocket, Row};
use crate::length::{Length, Unit};
use crate::motif::letters;
use crate::quilt::StraightPiece;

/// What is left of a band is named from this size on (mm, 4 in): smaller is for the
/// scrap bag.
const WORTH_KEEPING_MM: f64 = 101.6;

/// The cuts as steps, in the order in which they are made: longest bands first.
///
/// `Cut 3 strips 4 1/2 in by the width of the fabric; from each cut 4 border units 8 1/2 in
/// wide.`
///
/// Where a pocket is used, its stretch comes first: the layout begins with it. What is cut
/// again with a slant comes last.
pub fn steps(
    cuts: &Cuts,
    pieces: &[StraightPiece],
    fabric_mm: f64,
    pocket: Option<&Pocket>,
    unit: Unit,
) -> Vec<String> {
    let mut steps = straight_steps(cuts, pieces, fabric_mm, pocket, unit);
    steps.extend(slant_steps(pieces, unit));
    steps
}

fn straight_steps(
    cuts: &Cuts,
    pieces: &[StraightPiece],
    fabric_mm: f64,
    pocket: Option<&Pocket>,
    unit: Unit,
) -> Vec<String> {
    let teller = Teller::new(cuts, pieces, unit);
    let mm = |length: f64| teller.mm(length);
    let ground = Ground {
        width_mm: fabric_mm,
        across: " by the width of the fabric",
    };
    let Some(pocket) = pocket else {
        let bands = cuts.bands.iter();
        let steps = bands.map(|band| teller.band_step(band, &ground));
        return steps.chain(teller.block_steps()).collect();
    };
    let left = Ground {
        width_mm: pocket.slit_mm,
        across: ", from the left selvage to the slit",
    };
    let mut steps = vec![format!(
        "Cut a length of {}, with which the cutting map begins, and slit it along the selvages, {} from the left one. The \
         part right of the slit, {} wide, is for motif pieces, as the map shows.",
        mm(pocket.length_mm),
        mm(pocket.slit_mm),
        mm(fabric_mm - pocket.slit_mm)
    )];
    for &band in &pocket.bands {
        let step = teller.band_step(&cuts.bands[band], &left);
        // A band as long as the stretch is cut off already.
        let whole = format!("Cut a length of {}; from it cut", mm(pocket.length_mm));
        steps.push(match step.strip_prefix(&whole) {
            Some(rest) => format!("From the part left of the slit cut{rest}"),
            None => format!("From the part left of the slit: {}", lower(&step)),
        });
    }
    for (i, band) in cuts.bands.iter().enumerate() {
        if !pocket.bands.contains(&i) {
            let step = teller.band_step(band, &ground);
            steps.push(format!("After the motif pieces: {}", lower(&step)));
        }
    }
    steps.extend(teller.block_steps());
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
    fn block_steps(&self) -> impl Iterator<Item = String> {
        self.blocks.iter().map(|(cell, n)| {
            let one = Cell {
                beside: 1,
                ..(*cell).clone()
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
        })
    }

    fn band_step(&self, band: &CutBand, ground: &Ground) -> String {
        let mm = |length: f64| self.mm(length);
        let Ground {
            width_mm: fabric_mm,
            across,
        } = *ground;
        let (n, depth) = (band.times, mm(band.along_mm));
        // What is half as long as the fabric is wide is cut off the bolt as a length.
        let is_length = band.along_mm > fabric_mm / 2.0;
        let cut = match (is_length, n) {
            (true, 1) => format!("Cut a length of {depth}"),
            (true, _) => format!("Cut {n} lengths of {depth}"),
            (false, 1) => format!("Cut 1 strip {depth}{across}"),
            (false, _) => format!("Cut {n} strips {depth}{across}"),
        };
        if let [column] = band.columns.as_slice()
            && column.beside == 1
            && let Some((piece, only)) = column.single()
            && (only.along_mm - band.along_mm).abs() < 1e-6
        {
            let name = self.name(piece, n);
            let trimmed = if only.across_mm < fabric_mm - 0.5 {
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
            .map(|c| self.column_words(c, band))
            .collect();
        let rest_mm = fabric_mm - band.used_mm();
        let rest = if rest_mm.min(band.along_mm) >= WORTH_KEEPING_MM {
            let piece = format!("{} by {depth}", mm(rest_mm));
            let each = if n == 1 { "" } else { " of each" };
            format!(" Beside them {piece}{each} is left: keep it.")
        } else {
            String::new()
        };
        format!("{cut}; {from} {}.{rest}", parts.join(", then "))
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
