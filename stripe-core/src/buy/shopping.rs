//! What a quilt takes of each fabric, and of batting.

use super::straight::{Cuts, StraightError, cut_straight, least_length_mm};
use crate::fabric::Fabric;
use crate::quilt::{Quilt, QuiltTop, StraightPiece, sheets, straight_pieces};

/// The straight cuts of one fabric.
#[derive(Debug, Clone, PartialEq)]
pub struct FabricCuts {
    /// The fabric's name.
    pub fabric: String,
    /// Its usable width (mm).
    pub width_mm: f64,
    /// What is cut from it.
    pub pieces: Vec<StraightPiece>,
    /// How.
    pub cuts: Cuts,
}

/// The straight cuts of so many equal quilts, fabric by fabric in the project's order.
///
/// # Errors
/// The first piece that its fabric cannot hold, with the fabric's name.
pub fn fabric_cuts(
    quilt: &Quilt,
    quilt_top: &QuiltTop,
    fabrics: &[Fabric],
    quilts: usize,
) -> Result<Vec<FabricCuts>, (String, StraightError)> {
    let width_of = |name: &str| fabrics.iter().find(|c| c.name == name).map(|c| c.width_mm);
    let sheets = sheets(quilt, quilt_top, width_of);
    let mut all = straight_pieces(quilt);
    all.extend(sheets.pieces);
    let mut cuts = Vec::new();
    for fabric in fabrics {
        let is_here = |piece: &StraightPiece| piece.fabric == fabric.name;
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
        let lists = lists.into_iter().map(|list: Vec<StraightPiece>| {
            let times = list.into_iter().map(|piece| piece.times(quilts));
            times.collect()
        });
        let lists = lists.collect();
        if let Some(cut) = shortest(fabric, lists).map_err(|fault| (fabric.name.clone(), fault))? {
            cuts.push(cut);
        }
    }
    Ok(cuts)
}

/// The list of pieces that takes least of a fabric; the first of equals.
fn shortest(
    fabric: &Fabric,
    lists: Vec<Vec<StraightPiece>>,
) -> Result<Option<FabricCuts>, StraightError> {
    let mut best: Option<FabricCuts> = None;
    let mut fault = None;
    for pieces in lists {
        if pieces.is_empty() {
            continue;
        }
        let known = best.as_ref().map_or(f64::INFINITY, |b| b.cuts.length_mm);
        if least_length_mm(&pieces, fabric.width_mm).is_ok_and(|least| least >= known - 1e-3) {
            continue;
        }
        match cut_straight(&pieces, fabric.width_mm) {
            Ok(cuts) if cuts.length_mm < known - 1e-3 => {
                best = Some(FabricCuts {
                    fabric: fabric.name.clone(),
                    width_mm: fabric.width_mm,
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
    /// The length that is needed at the width it is sold at, if known and wide enough (mm).
    pub length_mm: Option<f64>,
}

/// Works out the batting: the shorter of both ways in which one width covers the quilt.
pub fn batting_need(quilt: &Quilt, quilt_top: &QuiltTop) -> Option<BattingNeed> {
    let batting = quilt.batting.as_ref()?;
    let edge = quilt_top.edge().grown(batting.overhang_mm);
    let (width_mm, height_mm) = (edge.width(), edge.height());
    let length_mm = batting.width_mm.and_then(|sold| {
        let ways = [(width_mm, height_mm), (height_mm, width_mm)];
        ways.into_iter()
            .filter(|&(across, _)| across <= sold + 1e-6)
            .map(|(_, along)| along)
            .min_by(f64::total_cmp)
    });
    Some(BattingNeed {
        width_mm,
        height_mm,
        length_mm,
    })
}
