//! Why no plan could be made.

use crate::check::Finding;
use crate::lay::LayError;
use crate::motif::MotifError;

/// Why no plan could be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// A motif that cannot be drawn.
    #[error(transparent)]
    Motif(#[from] MotifError),
    /// A part asks for a cloth that is not there.
    #[error(
        "motif `{motif}`, part `{part}` is to be cut from `{cloth}`, but there is no such cloth"
    )]
    NoCloth {
        /// The motif's name.
        motif: String,
        /// The part's name.
        part: String,
        /// The cloth that is asked for.
        cloth: String,
    },
    /// A course that cloth with a second repeat cannot have.
    #[error(
        "motif `{motif}`, part `{part}`: `{cloth}` repeats along its stripes as well, so nothing but course \"through\" can meet on it"
    )]
    CourseOnLattice {
        /// The motif's name.
        motif: String,
        /// The part's name.
        part: String,
        /// The cloth's name.
        cloth: String,
    },
    /// There is no piece at all.
    #[error("there is nothing to cut: no motif is used")]
    NothingToCut,
    /// A piece wider than its cloth.
    #[error(
        "`{piece}` of motif `{motif}` does not fit on cloth `{cloth}`: it is {over} too wide, so a usable width of {needed} \
         would do; use a wider cloth or a smaller motif"
    )]
    TooWide {
        /// The cloth's name.
        cloth: String,
        /// The motif's name.
        motif: String,
        /// The piece's name.
        piece: String,
        /// By how much, in the project's unit.
        over: String,
        /// The width that would do, in the project's unit.
        needed: String,
    },
    /// A piece whose stripe never comes by where the cloth has room for the piece.
    #[error(
        "`{piece}` of motif `{motif}` finds no place on cloth `{cloth}`: the stripe or figure that it must show never comes \
         by where the piece would lie within the selvages; use a wider cloth or a smaller motif, or leave the part's \
         offset free"
    )]
    NoPlace {
        /// The cloth's name.
        cloth: String,
        /// The motif's name.
        motif: String,
        /// The piece's name.
        piece: String,
    },
    /// A straight piece that its cloth cannot hold.
    #[error("cloth `{cloth}`: {words}")]
    Straight {
        /// The cloth's name.
        cloth: String,
        /// What is wrong and what to do, in the project's unit.
        words: String,
    },
    /// The lay of one cloth failed.
    #[error("cloth `{cloth}`: {fault}")]
    Lay {
        /// The cloth's name.
        cloth: String,
        /// What is wrong.
        fault: LayError,
    },
    /// The finished plan did not pass the witness: a fault of this program.
    #[error("the plan did not pass its own check, so it was not written; please report this: {}", words(.0))]
    Witness(Vec<Finding>),
}

fn words(findings: &[Finding]) -> String {
    let first: Vec<&str> = findings.iter().take(3).map(|f| f.words.as_str()).collect();
    first.join("; ")
}
