//! Bands cut anew from edge to edge, in more stages than columns of one kind have.

use super::bands::merge;
use super::units::Units;
use super::{Cell, CutBand, CutColumn, CutPart, Row};
use crate::buy::guillotine::{Cut, Order, Rectangle, Turn, guillotine};
use crate::quilt::StraightPiece;

/// The most pieces that are arranged anew at once.
const MOST_PIECES: usize = 72;
/// Groups of bands that are tried.
const MOST_GROUPS: usize = 4;
/// The share of the length that cutting in more than four stages has to save.
const WORTH_BLOCKS: f64 = 0.01;
/// Work of each walk of the search, and of the proof: half a second for many kinds.
const TRIES: u64 = 200_000;
const PROOF: u64 = 100_000;

/// Cuts bands anew where that is shorter: all of them where the pieces are few, else those
/// that waste most together. `least_mm` is a length that nothing is shorter than; returns
/// a better one where the search proves it for all pieces.
pub(super) fn recut(
    bands: &mut Vec<CutBand>,
    pieces: &[StraightPiece],
    units: &Units,
    fabric_mm: f64,
    least_mm: f64,
) -> f64 {
    let mut least_mm = least_mm;
    let mut tried: Vec<Vec<CutBand>> = Vec::new();
    for _ in 0..MOST_GROUPS {
        if length(bands) <= least_mm + 1e-3 {
            break;
        }
        let (group, rest) = worst(bands, fabric_mm);
        if group.is_empty() || tried.contains(&group) {
            break;
        }
        let Some(found) = arrange(&group, pieces, units) else {
            break;
        };
        if rest.is_empty() {
            least_mm = least_mm.max(found.least_mm);
        }
        // Blocks are more work: they have to save more than a hair.
        let is_plain = !found.bands.iter().any(CutBand::has_blocks);
        let worth = if is_plain { 0.0 } else { WORTH_BLOCKS };
        if length(&found.bands) < length(&group) * (1.0 - worth) - 1e-3 {
            *bands = rest;
            bands.extend(found.bands);
        } else {
            tried.push(group);
        }
    }
    least_mm
}

fn length(bands: &[CutBand]) -> f64 {
    bands.iter().map(|b| b.along_mm * b.times as f64).sum()
}

/// The bands that waste most, as many as hold no more than `MOST_PIECES`, and the rest.
fn worst(bands: &[CutBand], fabric_mm: f64) -> (Vec<CutBand>, Vec<CutBand>) {
    let mut order: Vec<&CutBand> = bands.iter().collect();
    let waste = |band: &CutBand| 1.0 - band.area_mm2() / (band.along_mm * fabric_mm);
    order.sort_by(|a, b| waste(b).total_cmp(&waste(a)));
    let (mut group, mut rest) = (Vec::new(), Vec::new());
    let mut left = MOST_PIECES;
    for band in order {
        let times = (left / band.count().max(1)).min(band.times);
        left -= times * band.count();
        for (list, times) in [(&mut group, times), (&mut rest, band.times - times)] {
            if times > 0 {
                list.push(CutBand {
                    times,
                    ..band.clone()
                });
            }
        }
    }
    (group, rest)
}

struct Found {
    bands: Vec<CutBand>,
    /// Nothing shorter holds these pieces (mm).
    least_mm: f64,
}

/// The pieces of some bands, arranged anew.
fn arrange(bands: &[CutBand], pieces: &[StraightPiece], units: &Units) -> Option<Found> {
    let mut kinds = Vec::new();
    for (kind, ways) in units.ways.iter().enumerate() {
        let n: usize = bands.iter().map(|b| b.times * b.made(kind)).sum();
        kinds.extend(std::iter::repeat_n((kind, ways), n));
    }
    let rects: Vec<Rectangle> = kinds
        .iter()
        .map(|(_, ways)| Rectangle {
            across: ways[0].0,
            along: ways[0].1,
        })
        .collect();
    let turns: Vec<bool> = kinds.iter().map(|(_, ways)| ways.len() > 1).collect();
    let cutting = guillotine(&Order {
        rects: &rects,
        width: units.width,
        turn: if turns.iter().all(|&may| may) {
            Turn::All
        } else {
            Turn::Each(&turns)
        },
        seed: 1,
        tries: TRIES,
        proof: PROOF,
        stop: &|| false,
    })
    .ok()?;
    let cell = |rect: usize, turned: bool| {
        let (piece, _) = kinds[rect];
        let sides = super::ways(&pieces[piece], f64::INFINITY);
        // The first way that fits the fabric is the one that is not turned.
        let (across_mm, along_mm) = sides.into_iter().find(|&(across, along)| {
            let way = if turned {
                (rects[rect].along, rects[rect].across)
            } else {
                (rects[rect].across, rects[rect].along)
            };
            (across / units.mm - way.0 as f64).abs() < 1.0
                && (along / units.mm - way.1 as f64).abs() < 1.0
        })?;
        Some(Cell {
            part: CutPart::Piece(piece),
            beside: 1,
            across_mm,
            along_mm,
        })
    };
    Some(Found {
        bands: read(&cutting.pattern.cut, &cell)?,
        least_mm: cutting.bound as f64 * units.mm,
    })
}

/// The parts of a chain of cuts of one direction.
fn chain(cut: &Cut, is_across: bool) -> Vec<&Cut> {
    let mut parts = Vec::new();
    let mut open = vec![cut];
    while let Some(cut) = open.pop() {
        match cut {
            Cut::Across { near, far, .. } if is_across => open.extend([&**far, &**near]),
            Cut::Along { left, right, .. } if !is_across => open.extend([&**right, &**left]),
            _ => parts.push(cut),
        }
    }
    parts
}

/// Bands, columns and rows; what lies deeper is blocks. `None` where a piece is not known.
fn read(cut: &Cut, cell: &impl Fn(usize, bool) -> Option<Cell>) -> Option<Vec<CutBand>> {
    let bands = chain(cut, true).into_iter().map(|band| {
        let columns = chain(band, false)
            .into_iter()
            .map(|column| Some(CutColumn::of(read_rows(column, cell)?)));
        Some(CutBand::of(columns.collect::<Option<_>>()?))
    });
    let mut bands: Vec<CutBand> = bands.collect::<Option<_>>()?;
    merge(&mut bands);
    Some(bands)
}

/// The rows of a column or a block. As deep as the pattern, which holds few pieces.
fn read_rows(cut: &Cut, cell: &impl Fn(usize, bool) -> Option<Cell>) -> Option<Vec<Row>> {
    let rows = chain(cut, true).into_iter().map(|row| {
        let cells = chain(row, false).into_iter().map(|part| match part {
            Cut::Piece { rect, turned } => cell(*rect, *turned),
            _ => Some(Cell::block(read_rows(part, cell)?)),
        });
        Some(Row::of(cells.collect::<Option<_>>()?))
    });
    rows.collect()
}
