//! What the edges of a fabric are called on its map: selvages and cut end, or where a piece in
//! hand has none, its leftmost and lowest points.

use crate::plan::FabricPlan;

/// Words for the edges of one fabric.
#[derive(Debug, Clone, Copy)]
pub(super) struct EdgeWords {
    pub left: &'static str,
    pub right: &'static str,
    pub lower: &'static str,
    /// The lower edge as it lies.
    pub nearest: &'static str,
    /// What comes below a sheet that shows only a part.
    pub towards: &'static str,
    /// What places are measured from.
    pub measure: &'static str,
}

const BOUGHT: EdgeWords = EdgeWords {
    left: "left selvage",
    right: "right selvage",
    lower: "cut end",
    nearest: "cut end, nearest to you",
    towards: "the fabric goes on towards the cut end",
    measure: "Measure to each cross from the inside edge of the left selvage and from the squared cut end",
};

const IN_HAND: EdgeWords = EdgeWords {
    left: "left edge",
    right: "right edge",
    lower: "lower edge",
    nearest: "lower edge, nearest to you",
    towards: "the fabric goes on towards the lower edge",
    measure: "Measure to each cross from the left edge and from the lower edge",
};

const CORNERS: EdgeWords = EdgeWords {
    measure: "Measure to each cross from the leftmost and from the lowest point of the piece",
    ..IN_HAND
};

/// The words for a fabric.
pub(super) fn edge_words(fabric: &FabricPlan) -> EdgeWords {
    match &fabric.in_hand {
        None => BOUGHT,
        Some(_) if is_rectangle(fabric) => IN_HAND,
        Some(_) => CORNERS,
    }
}

/// Whether a fabric fills its width and length.
pub(super) fn is_rectangle(fabric: &FabricPlan) -> bool {
    let on_edge = |&[x, y]: &[f64; 2]| {
        let at = |value: f64, most: f64| value.abs() < 1e-6 || (value - most).abs() < 1e-6;
        at(x, fabric.width_mm) && at(y, fabric.length_mm)
    };
    fabric
        .in_hand
        .as_ref()
        .is_none_or(|one| one.outline.iter().all(on_edge))
}
