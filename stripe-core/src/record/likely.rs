//! How likely joints are to match once fabric and hands are a little off.

use serde::{Deserialize, Serialize};

/// What small errors do to a plan's matched joints. Shares are from 0 to 1.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LikelyNote {
    /// The errors that were thrown.
    pub errors: ErrorsNote,
    /// How often they were thrown.
    pub trials: usize,
    /// Stripes out of line by more than this are noticed.
    #[serde(rename = "noticed")]
    pub noticed_mm: f64,
    /// How many joints were asked about: all that match in the plan itself.
    pub joints: usize,
    /// The share of them that will be noticed where each template is laid on the stripe that
    /// shows on the fabric.
    pub by_stripe: Missed,
    /// The same where each place is measured from the selvage and the cut end.
    pub by_ruler: Missed,
    /// Motif by motif.
    pub motifs: Vec<MotifMissed>,
    /// The joints that are noticed most often, each with its worst copy, worst first.
    pub delicate: Vec<DelicateNote>,
    /// By how much two cut lines that lie `gap` apart may come nearer, laid by the stripe.
    #[serde(rename = "nearer")]
    pub nearer_mm: f64,
    /// The least `gap` that then still leaves room for scissors.
    #[serde(rename = "safe_gap")]
    pub safe_gap_mm: f64,
}

/// The greatest errors that are thrown; each is uniform from minus to plus this.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ErrorsNote {
    /// Of a fabric's repeat, as a share of it.
    pub repeat: f64,
    /// Of a fabric's squareness: by how much the stripe leans, over the length along it.
    pub skew: f64,
    /// Of one piece, across the stripe.
    #[serde(rename = "laying")]
    pub laying_mm: f64,
}

/// The share of joints that will be noticed.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Missed {
    /// Where the repeat alone is off.
    pub repeat: f64,
    /// Where the fabric alone is off square.
    pub skew: f64,
    /// Where pieces alone are laid off.
    pub laying: f64,
    /// All three together.
    pub all: f64,
}

/// The share of one motif's joints that will be noticed, all errors together.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct MotifMissed {
    /// The motif's name.
    pub motif: String,
    /// How many joints its copies have, of those that match in the plan.
    pub joints: usize,
    /// Laid by the stripe.
    pub by_stripe: f64,
    /// Laid by the ruler.
    pub by_ruler: f64,
}

/// A joint that asks for care, all errors together.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct DelicateNote {
    /// The motif's name.
    pub motif: String,
    /// The code of the one piece.
    pub a: String,
    /// The code of the other.
    pub b: String,
    /// How often it is noticed, laid by the stripe.
    pub by_stripe: f64,
    /// The same, laid by the ruler.
    pub by_ruler: f64,
}
