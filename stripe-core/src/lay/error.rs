//! Why a job cannot be laid.

/// The most pieces that are laid on one fabric.
///
/// Each stream of the search keeps a weight for every pair of pieces: at this limit
/// 64 MB.
pub const MAX_ITEMS: usize = 4000;

/// The most points that one outline may have.
pub const MAX_POINTS: usize = 4000;

impl LayError {
    /// How much wider the fabric would have to be (mm), for this fault not to be; nothing
    /// helps against any other.
    pub(crate) fn lacks_mm(&self) -> f64 {
        match self {
            Self::TooWide { too_wide_mm, .. } => *too_wide_mm,
            _ => f64::INFINITY,
        }
    }
}

/// Why a job cannot be laid.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum LayError {
    /// There are no pieces.
    #[error("there is nothing to lay on this fabric")]
    NothingToLay,
    /// More pieces than [`MAX_ITEMS`].
    #[error(
        "{items} pieces are to be laid on one fabric, and the limit is {limit}: lay them in batches"
    )]
    TooMany {
        /// How many there are.
        items: usize,
        /// How many there may be.
        limit: usize,
    },
    /// An outline with more points than [`MAX_POINTS`], or a lock with more
    /// lines than can be kept.
    #[error("{what} is too fine to be laid: {count}, and the limit is {limit}")]
    TooFine {
        /// What is too fine.
        what: &'static str,
        /// How much there is of it.
        count: usize,
        /// How much there may be.
        limit: usize,
    },
    /// A number that is no number, or a size that is not positive.
    #[error("{what} is not a usable number: {value}")]
    NotUsable {
        /// Which number.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// An index that points at nothing, a kind without poses, an empty outline.
    #[error("the job does not hang together: {what}")]
    Broken {
        /// What is missing.
        what: &'static str,
    },
    /// A piece that fits nowhere on the fabric.
    #[error(
        "a piece (kind {kind}) is {too_wide_mm:.1} mm too wide for the fabric: it needs a usable width of {width_mm:.1} mm"
    )]
    TooWide {
        /// Index of the first such item.
        item: usize,
        /// Index of its kind.
        kind: usize,
        /// By how much the fabric is too narrow (mm).
        too_wide_mm: f64,
        /// The usable width that would do (mm).
        width_mm: f64,
    },
    /// A piece that the fabric is wide enough for, but for which no line or printed
    /// figure comes by where it could lie.
    #[error(
        "a piece (kind {kind}) finds no place: its stripe or figure never comes by where the fabric has room for it"
    )]
    NoPlace {
        /// Index of the first such item.
        item: usize,
        /// Index of its kind.
        kind: usize,
    },
}
