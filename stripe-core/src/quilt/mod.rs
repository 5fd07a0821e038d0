//! The quilt around the motifs: its field, borders, binding and layers, as plain
//! data, and the arithmetic that tells whether they fit.
//!
//! A [`Quilt`] is one size of a pattern, pushed to a project's `quilts`; the first of them is
//! planned. Begin with its [`Field`], then [`Border`]s, then a [`Place`] for each motif.
//! Whether it fits together is told by [`Project::validate`](crate::project::Project::validate).
//!
//! The **quilt frame** has its origin at the field's lower left finished corner,
//! x right, y up, seen as the finished quilt is seen. Lengths are in millimetres;
//! a *cut* length is measured from raw edge to raw edge, a *finished* one from seam
//! to seam.

mod backing;
mod binding;
mod fit;
mod footprint;
mod misfit;
mod order;
mod pieces;
mod quilt_top;
mod sheets;
mod slanted;
mod slanted_shape;
mod spots;
mod straight_piece;
mod words;

pub use slanted::Slanted;
pub use slanted_shape::SlantedShape;
pub use straight_piece::Grain;

pub(crate) use backing::panels;
pub(crate) use binding::{BiasStrips, bias_square, bias_width, straight_binding};
pub(crate) use fit::check;
pub(crate) use misfit::{Misfit, Narrow};
pub(crate) use order::PlaceOrder;
pub(crate) use pieces::{fabrics_of, straight_pieces};
pub(crate) use quilt_top::{PatchRole, QuiltTop, Rect, Side, lay_out};
pub(crate) use sheets::sheets;
pub(crate) use slanted::star_mm;
pub(crate) use spots::{MotifSpot, Station, share, spots};
pub(crate) use straight_piece::Slant;
pub use straight_piece::{Purpose, StraightPiece};

use crate::shape::Point;

/// One finished size of the quilt.
#[derive(Debug, Clone, PartialEq)]
pub struct Quilt {
    /// What this size is called.
    pub name: String,
    /// Seam allowance of the piecing (mm).
    pub seam_mm: f64,
    /// The middle.
    pub field: Field,
    /// The borders, from the inside out.
    pub borders: Vec<Border>,
    /// Fabric laid under thin fabric.
    pub foundations: Vec<Foundation>,
    /// Triangles and diamonds.
    pub slanted: Vec<Slanted>,
    /// Where the motifs go.
    pub places: Vec<Place>,
    /// The binding, if planned.
    pub binding: Option<Binding>,
    /// The backing, if planned.
    pub backing: Option<Backing>,
    /// The batting, if planned.
    pub batting: Option<Batting>,
}

/// The middle of the quilt.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// The fabrics of the strips in turn; one fabric for a field of one piece.
    pub fabrics: Vec<String>,
    /// How many strips stand side by side; 1 is a field of one piece.
    pub strips: usize,
    /// Cut width of one strip (mm).
    pub strip_width_mm: f64,
    /// Cut length of the strips (mm).
    pub strip_length_mm: f64,
    /// Whether the strips lie level instead of standing vertical.
    pub level: bool,
    /// Whether the strips' length must run along the selvages of their fabric.
    pub grain: Grain,
}

/// One border all round.
#[derive(Debug, Clone, PartialEq)]
pub struct Border {
    /// What it is called, for messages.
    pub name: String,
    /// How it is made up.
    pub make: Make,
    /// Cut width: how deep it is from the inner to the outer raw edge (mm).
    pub depth_mm: f64,
    /// Whether long strips must run along the selvages.
    pub grain: Grain,
}

/// How a border is made up.
#[derive(Debug, Clone, PartialEq)]
pub enum Make {
    /// Four strips.
    Plain {
        /// The fabric.
        fabric: String,
        /// What happens at the corners.
        corners: Corners,
        /// Cut length of the left and right strips where the maker has set it (mm).
        side_length_mm: Option<f64>,
        /// Cut length of the top and bottom strips where the maker has set it (mm).
        end_length_mm: Option<f64>,
    },
    /// Units joined end to end, with a corner unit at each corner.
    Units {
        /// The fabrics of the units in turn.
        fabrics: Vec<String>,
        /// Cut length of one unit along the border (mm).
        unit_mm: f64,
        /// Units along the top, and along the bottom.
        across: usize,
        /// Units along the left side, and along the right.
        along: usize,
        /// The corner units' fabric.
        corner: String,
    },
}

/// The corners of a plain border.
#[derive(Debug, Clone, PartialEq)]
pub enum Corners {
    /// The side strips first, then top and bottom over the whole width.
    SidesFirst,
    /// Top and bottom first, then the sides over the whole length.
    EndsFirst,
    /// A square of this fabric at each corner.
    Squares(String),
    /// Mitred at 45 degrees: each strip is as long as the outer edge.
    Mitred,
}

/// Fabric laid under every straight piece of a thin fabric: the same size, plus ease
/// along the length, trimmed later.
#[derive(Debug, Clone, PartialEq)]
pub struct Foundation {
    /// The thin fabric.
    pub under: String,
    /// The fabric that is laid under it.
    pub fabric: String,
    /// Added to the length of each piece (mm).
    pub extra_length_mm: f64,
}

/// A motif's place, or a row of places.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// The motif's name.
    pub motif: String,
    /// Where.
    pub site: Site,
    /// Turned by this on top of what the site asks for (degrees counter-clockwise).
    pub rotate_deg: f64,
    /// Which of the site's places it takes, counted from 0 as they stand: the field row by row
    /// from the top left, borders clockwise from the top left. `None` for all of them. Motifs
    /// that share a site have a `Place` each.
    pub only: Option<Vec<usize>>,
}

/// Where motifs go.
#[derive(Debug, Clone, PartialEq)]
pub enum Site {
    /// At points of the field, from its lower left finished corner (mm).
    At(Vec<Point>),
    /// Evenly over the field: each in the middle of its share of it.
    Even {
        /// Side by side.
        columns: usize,
        /// One above the other.
        rows: usize,
    },
    /// Half motifs on the seams between the units of a border (index), centred on
    /// the border's inner seam.
    Seams {
        /// Which border, from the inside, counted from 0.
        border: usize,
        /// On every seam (1), or on every other one (2): then each motif has its two
        /// units to itself.
        every: usize,
    },
    /// Three-quarter motifs about the inner corners of a border (index).
    Corners {
        /// Which border, from the inside, counted from 0.
        border: usize,
    },
}

/// The binding.
#[derive(Debug, Clone, PartialEq)]
pub struct Binding {
    /// Its fabric.
    pub fabric: String,
    /// Cut width of its strips (mm).
    pub strip_mm: f64,
    /// Added to the way round the quilt for corners and closing (mm).
    pub extra_mm: f64,
    /// Whether it is cut on the bias.
    pub bias: bool,
}

/// The backing.
#[derive(Debug, Clone, PartialEq)]
pub struct Backing {
    /// Its fabric.
    pub fabric: String,
    /// How far it stands out on every side of the top (mm).
    pub overhang_mm: f64,
    /// Which way its seams run, or `None` for whichever takes less fabric.
    pub seams: Option<SeamRun>,
}

/// Which way the backing's seams run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SeamRun {
    /// From top to bottom.
    Vertical,
    /// From side to side.
    Horizontal,
}

/// The batting.
#[derive(Debug, Clone, PartialEq)]
pub struct Batting {
    /// What it is.
    pub name: String,
    /// How far it stands out on every side of the top (mm).
    pub overhang_mm: f64,
    /// The width it is sold at (mm), if known.
    pub width_mm: Option<f64>,
    /// Price of one `per_mm` of length at that width.
    pub price: Option<f64>,
    /// The length that the price is for (mm).
    pub per_mm: f64,
}

/// The most strips, or units on one side, that a quilt may have.
pub const MAX_UNITS: usize = 400;

#[cfg(test)]
mod tests;
