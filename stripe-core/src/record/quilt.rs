//! The quilt's part of the plan file. Lengths in mm, in the quilt frame: origin at the
//! field's lower left finished corner, x right, y up.

use super::buy::LessNote;
use crate::colour::Colour;
use crate::fabric::Stripe;
use serde::{Deserialize, Serialize};

/// The quilt around the motifs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct QuiltNote {
    /// What this size is called.
    pub name: String,
    /// Finished width and height.
    #[serde(rename = "size")]
    pub size_mm: [f64; 2],
    /// Finished field: left, bottom, right, top.
    #[serde(rename = "field")]
    pub field_mm: [f64; 4],
    /// Finished edge of the whole top: left, bottom, right, top.
    #[serde(rename = "edge")]
    pub edge_mm: [f64; 4],
    /// How the fabrics of the straight pieces look.
    pub fabrics: Vec<LookNote>,
    /// Every straight piece of the top, as it lies when sewn.
    pub patches: Vec<PatchNote>,
    /// Every seam of the top once.
    pub seams: Vec<[[f64; 2]; 2]>,
    /// The creases that the placement guide measures from, in the order of folding.
    pub creases: Vec<CreaseNote>,
    /// Where every motif goes.
    pub spots: Vec<SpotNote>,
    /// The straight cuts, fabric by fabric.
    pub cuts: Vec<CutsNote>,
    /// What to buy.
    pub shopping: Vec<ShoppingNote>,
    /// Price of all of it, where every price is known.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub total: Option<f64>,
    /// What is done in which order.
    pub order: Vec<String>,
    /// The pattern's other sizes.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub other_sizes: Vec<SizeNote>,
}

/// How a fabric looks.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LookNote {
    /// Its name.
    pub name: String,
    /// The colour of plain fabric.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub colour: Option<Colour>,
    /// The stripe of striped fabric.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub stripe: Option<Stripe>,
}

/// One straight piece of the top, finished.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PatchNote {
    /// What it is: `strip 2`, `quay, top, unit 3`.
    pub what: String,
    /// Its fabric.
    pub fabric: String,
    /// Left, bottom, right, top.
    #[serde(rename = "rect")]
    pub rect_mm: [f64; 4],
    /// Whether its ends are mitred: the rectangle is then its longest extent.
    #[serde(skip_serializing_if = "std::ops::Not::not", default)]
    pub mitred: bool,
}

/// A crease to fold.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CreaseNote {
    /// Which one.
    pub name: Crease,
    /// Whether it stands vertical.
    pub vertical: bool,
    /// Its distance from the field's left seam (vertical) or lower seam (level).
    #[serde(rename = "at")]
    pub at_mm: f64,
    /// How to fold it.
    pub fold: String,
}

/// The creases that a field is folded to, by their names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Crease {
    /// From top to bottom through the middle.
    #[serde(rename = "vertical half crease")]
    VerticalHalf,
    /// From side to side through the middle.
    #[serde(rename = "horizontal half crease")]
    HorizontalHalf,
    /// Half way between the raw left edge and the middle.
    #[serde(rename = "left quarter crease")]
    LeftQuarter,
    /// The same at the right.
    #[serde(rename = "right quarter crease")]
    RightQuarter,
    /// Half way between the raw lower edge and the middle.
    #[serde(rename = "lower quarter crease")]
    LowerQuarter,
    /// The same above.
    #[serde(rename = "upper quarter crease")]
    UpperQuarter,
}

impl Crease {
    /// Its name in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::VerticalHalf => "vertical half crease",
            Self::HorizontalHalf => "horizontal half crease",
            Self::LeftQuarter => "left quarter crease",
            Self::RightQuarter => "right quarter crease",
            Self::LowerQuarter => "lower quarter crease",
            Self::UpperQuarter => "upper quarter crease",
        }
    }
}

impl std::fmt::Display for Crease {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.words())
    }
}

/// Where one copy of a motif goes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SpotNote {
    /// The motif's name.
    pub motif: String,
    /// Which copy of it, from 1.
    pub copy: usize,
    /// A short name, as on the drawing: `W3`.
    pub label: String,
    /// Its centre.
    #[serde(rename = "centre")]
    pub centre_mm: [f64; 2],
    /// How far it is turned (degrees counter-clockwise).
    pub rotate_deg: f64,
    /// What it goes on.
    pub on: SpotOn,
    /// How to find the centre, in words.
    pub guide: String,
}

/// What a motif goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum SpotOn {
    /// The field.
    Field,
    /// A seam between two units of a border.
    Seam,
    /// A corner of a border.
    Corner,
}

/// The straight cuts of one fabric.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CutsNote {
    /// The fabric's name.
    pub fabric: String,
    /// Its usable width.
    #[serde(rename = "width")]
    pub width_mm: f64,
    /// Length that the straight cuts take.
    #[serde(rename = "length")]
    pub length_mm: f64,
    /// No straight cuts take less, whichever way they are made.
    #[serde(rename = "bound")]
    pub bound_mm: f64,
    /// What is cut.
    pub pieces: Vec<PieceCountNote>,
    /// How, in order.
    pub steps: Vec<String>,
}

/// Some equal straight pieces.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PieceCountNote {
    /// What they are.
    pub name: String,
    /// How many.
    pub count: usize,
    /// Cut length.
    #[serde(rename = "length")]
    pub length_mm: f64,
    /// Cut width.
    #[serde(rename = "width")]
    pub width_mm: f64,
}

/// One line of the buying list.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ShoppingNote {
    /// The fabric, or the batting.
    pub name: String,
    /// Width that is reckoned with.
    #[serde(rename = "width", skip_serializing_if = "Option::is_none", default)]
    pub width_mm: Option<f64>,
    /// Length that is used.
    #[serde(rename = "length")]
    pub length_mm: f64,
    /// Length to buy.
    #[serde(rename = "buy")]
    pub buy_mm: f64,
    /// The same in words.
    pub shown: String,
    /// What it costs.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub price: Option<f64>,
    /// How much less would have to be cut for a step less to be bought.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub less: Option<LessNote>,
    /// Which parts use how much.
    pub why: String,
}

/// Another size of the same pattern.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SizeNote {
    /// What it is called.
    pub name: String,
    /// Finished width and height.
    #[serde(rename = "size")]
    pub size_mm: [f64; 2],
    /// How many of each motif it takes.
    pub motifs: Vec<(String, usize)>,
    /// Its straight cuts.
    pub cuts: Vec<CutsNote>,
}
