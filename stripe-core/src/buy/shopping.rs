//! What a quilt takes of each cloth, and of batting.

use super::straight::{Cuts, StraightError, cut_straight};
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
    let mut all = straight_pieces(quilt);
    all.extend(sheets(quilt, layout, width_of));
    let mut cuts = Vec::new();
    for cloth in cloths {
        let pieces: Vec<StraightPiece> = all
            .iter()
            .filter(|p| p.cloth == cloth.name)
            .cloned()
            .collect();
        if pieces.is_empty() {
            continue;
        }
        let done =
            cut_straight(&pieces, cloth.width_mm).map_err(|fault| (cloth.name.clone(), fault))?;
        cuts.push(ClothCuts {
            cloth: cloth.name.clone(),
            width_mm: cloth.width_mm,
            pieces,
            cuts: done,
        });
    }
    Ok(cuts)
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
