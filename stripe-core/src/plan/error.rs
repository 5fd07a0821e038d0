//! Why no plan could be made.

use crate::check::Finding;
use crate::lay::LayError;
use crate::motif::MotifError;
use crate::project::Unfit;

/// Why no plan could be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// A project beyond the limits, or one that does not fit together.
    #[error("{}", unfit(.0))]
    Project(Vec<Unfit>),
    /// A motif that cannot be drawn.
    #[error(transparent)]
    Motif(#[from] MotifError),
    /// A part asks for a fabric that is not there.
    #[error(
        "motif `{motif}`, part `{part}` is to be cut from `{fabric}`, but there is no such fabric"
    )]
    NoFabric {
        /// The motif's name.
        motif: String,
        /// The part's name.
        part: String,
        /// The fabric that is asked for.
        fabric: String,
    },
    /// A run of stripes that fabric with a second repeat cannot have.
    #[error(
        "motif `{motif}`, part `{part}`: `{fabric}` repeats along its stripes as well, so only stripes = \"through\" can match on it"
    )]
    StripesOnLattice {
        /// The motif's name.
        motif: String,
        /// The part's name.
        part: String,
        /// The fabric's name.
        fabric: String,
    },
    /// None of a motif's fabrics is in hand.
    #[error("motif `{motif}` is cut from no fabric that you have listed as in hand")]
    NotInHand {
        /// The motif's name.
        motif: String,
    },
    /// There is no piece at all.
    #[error("there is nothing to cut: no motif is used")]
    NothingToCut,
    /// A piece wider than its fabric.
    #[error(
        "`{piece}` of motif `{motif}` does not fit on fabric `{fabric}`: it is {over} too wide, so a usable width of {needed} \
         would do; use a wider fabric or a smaller motif"
    )]
    TooWide {
        /// The fabric's name.
        fabric: String,
        /// The motif's name.
        motif: String,
        /// The piece's name.
        piece: String,
        /// By how much, in the project's unit.
        over: String,
        /// The width that would do, in the project's unit.
        needed: String,
    },
    /// A piece whose stripe never comes by where the fabric has room for the piece.
    #[error(
        "`{piece}` of motif `{motif}` finds no place on fabric `{fabric}`: the part of the stripe (or the figure) that it must \
         show is never where the whole piece would fit between the selvages; use a wider fabric or a smaller motif, or set \
         the part's offset to \"free\""
    )]
    NoPlace {
        /// The fabric's name.
        fabric: String,
        /// The motif's name.
        motif: String,
        /// The piece's name.
        piece: String,
    },
    /// A straight piece that its fabric cannot hold.
    #[error("fabric `{fabric}`: {words}")]
    Straight {
        /// The fabric's name.
        fabric: String,
        /// What is wrong and what to do, in the project's unit.
        words: String,
    },
    /// The lay of one fabric failed.
    #[error("fabric `{fabric}`: {fault}")]
    Layout {
        /// The fabric's name.
        fabric: String,
        /// What is wrong.
        fault: LayError,
    },
    /// The finished plan did not pass the verifier: a fault of this program.
    #[error("the plan did not pass its own check, so it was not written; please report this: {}", words(.0))]
    Unverified(Vec<Finding>),
}

fn unfit(found: &[Unfit]) -> String {
    let first: Vec<String> = found.iter().take(3).map(Unfit::to_string).collect();
    first.join(". ")
}

fn words(findings: &[Finding]) -> String {
    let first: Vec<&str> = findings.iter().take(3).map(|f| f.words.as_str()).collect();
    first.join("; ")
}
