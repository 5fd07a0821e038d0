//! What to ask for in the shop.

use serde::{Deserialize, Serialize};

/// What to ask for in the shop, for all that is cut from a fabric.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Buy {
    /// The length to buy.
    #[serde(rename = "length")]
    pub length_mm: f64,
    /// The same in words: `1 5/8 yd`.
    pub shown: String,
    /// What it costs.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub price: Option<f64>,
    /// What of it is for squaring up and shrinkage, in words; empty where nothing is.
    #[serde(skip_serializing_if = "String::is_empty", default)]
    pub counted_in: String,
    /// What there is of it for motifs once it is squared up and washed, where nothing else is
    /// cut from it.
    #[serde(rename = "room", skip_serializing_if = "Option::is_none", default)]
    pub room_mm: Option<f64>,
    /// How much less would have to be cut for a step less to be bought.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub less: Option<LessNote>,
}

impl Buy {
    /// Nothing: the fabric is there already.
    pub(crate) fn in_hand() -> Self {
        Self {
            length_mm: 0.0,
            shown: "in hand".to_owned(),
            price: None,
            counted_in: String::new(),
            room_mm: None,
            less: None,
        }
    }
}

/// What a shorter layout would save in the shop.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LessNote {
    /// By how much less is cut.
    #[serde(rename = "by")]
    pub by_mm: f64,
    /// How much less is bought then, in words: `1/8 yd`.
    pub saves: String,
}
