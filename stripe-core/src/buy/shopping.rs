//! What a quilt takes of each cloth, and of batting.

use super::straight::{Cuts, StraightError, cut_straight, least_length_mm};
use crate::cloth::{Cloth, price_of};
use crate::quilt::{Layout, Quilt, StraightPiece, sheets, straight_pieces};

/// The straight cuts of one cloth.
#[derive(Debug, Clone, PartialEq)]
pub struct ClothCuts {
    /// The cloth's name.
    pub cloth: String,
    /// Its usable width (mm).
    pub width_mm: f64,
    /// What is cut from it.
    pub pieces: Vec<StraightPiece>,
    /// How.
    pub cuts: Cuts,
}

/// The straight cuts of a quilt, cloth by cloth in the project's order.
///
/// # Errors
/// The first piece that its cloth cannot hold, with the cloth's name.
pub fn cloth_cuts(
    quilt: &Quilt,
    layout: &Layout,
    cloths: &[Cloth],
) -> Result<Vec<ClothCuts>, (String, StraightError)> {
    let width_of = |name: &str| cloths.iter().find(|c| c.name == name).map(|c| c.width_mm);
    let sheets = sheets(quilt, layout, width_of);
    let mut all = straight_pieces(quilt);
    all.extend(sheets.pieces);
    let mut cuts = Vec::new();
    for cloth in cloths {
        let is_here = |piece: &StraightPiece| piece.cloth == cloth.name;
        let pieces: Vec<StraightPiece> = all.iter().filter(|p| is_here(p)).cloned().collect();
        let choices = sheets.choices.iter().filter(|ways| {
            let mut pieces = ways.iter().flatten();
            pieces.next().is_some_and(is_here)
        });
        // Every way of one with every way of the others.
        let lists = choices.fold(vec![pieces], |lists, ways| {
            let with = |list: &Vec<StraightPiece>| {
                let list = list.clone();
                ways.iter().map(move |way| [&list[..], &way[..]].concat())
            };
            lists.iter().flat_map(with).collect()
        });
        if let Some(cut) = shortest(cloth, lists).map_err(|fault| (cloth.name.clone(), fault))? {
            cuts.push(cut);
        }
    }
    Ok(cuts)
}

/// The list of pieces that takes least of a cloth; the first of equals.
fn shortest(
    cloth: &Cloth,
    lists: Vec<Vec<StraightPiece>>,
) -> Result<Option<ClothCuts>, StraightError> {
    let mut best: Option<ClothCuts> = None;
    let mut fault = None;
    for pieces in lists {
        if pieces.is_empty() {
            continue;
        }
        let known = best.as_ref().map_or(f64::INFINITY, |b| b.cuts.length_mm);
        if least_length_mm(&pieces, cloth.width_mm).is_ok_and(|least| least >= known - 1e-3) {
            continue;
        }
        match cut_straight(&pieces, cloth.width_mm) {
            Ok(cuts) if cuts.length_mm < known - 1e-3 => {
                best = Some(ClothCuts {
                    cloth: cloth.name.clone(),
                    width_mm: cloth.width_mm,
                    pieces,
                    cuts,
                });
            }
            Ok(_) => {}
            Err(found) => fault = fault.or(Some(found)),
        }
    }
    match (best, fault) {
        (None, Some(fault)) => Err(fault),
        (best, _) => Ok(best),
    }
}

/// The batting that a quilt takes.
#[derive(Debug, Clone, PartialEq)]
pub struct BattingNeed {
    /// From side to side, overhang counted in (mm).
    pub width_mm: f64,
    /// From top to bottom (mm).
    pub height_mm: f64,
    /// Length to buy at the width it is sold at, if known and wide enough (mm).
    pub length_mm: Option<f64>,
    /// Its price.
    pub price: Option<f64>,
}

/// Works out the batting: the shorter of both ways in which one width covers the quilt.
pub fn batting_need(quilt: &Quilt, layout: &Layout) -> Option<BattingNeed> {
    let batting = quilt.batting.as_ref()?;
    let edge = layout.edge().grown(batting.overhang_mm);
    let (width_mm, height_mm) = (edge.width(), edge.height());
    let length_mm = batting.width_mm.and_then(|sold| {
        let ways = [(width_mm, height_mm), (height_mm, width_mm)];
        ways.into_iter()
            .filter(|&(across, _)| across <= sold + 1e-6)
            .map(|(_, along)| along)
            .min_by(f64::total_cmp)
    });
    let price = batting
        .price
        .zip(length_mm)
        .map(|(price, length)| price_of(price, length, batting.per_mm));
    Some(BattingNeed {
        width_mm,
        height_mm,
        length_mm,
        price,
    })
}
