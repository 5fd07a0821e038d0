//! What the designer says of a motif: plain data.

use crate::length::INCH_MM;
use crate::shape::Point;
use serde::{Deserialize, Serialize};

/// How pieces are made up: one set of habits for a whole project (mm).
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Making {
    /// Turn-under: what is turned to the back at an appliquéd edge.
    #[serde(rename = "turn_under")]
    pub turn_under_mm: f64,
    /// Seam allowance.
    #[serde(rename = "seam")]
    pub seam_mm: f64,
    /// How far a covered edge runs on under the piece above it (0: cut flush).
    #[serde(rename = "tuck_under")]
    pub tuck_under_mm: f64,
    /// Least gap between two cut lines on the fabric.
    #[serde(rename = "gap")]
    pub gap_mm: f64,
    /// By how much a stripe may miss where that saves fabric.
    #[serde(rename = "stripe_tolerance")]
    pub stripe_tolerance_mm: f64,
}

impl Default for Making {
    /// Turn-under 3/16 in and seam 1/4 in, cut lines 1/16 in apart, stripes that meet.
    ///
    /// # Source
    /// Rows D-03, P-01 and Y-05 of the trade facts: pages agree.
    fn default() -> Self {
        Self {
            turn_under_mm: 3.0 / 16.0 * INCH_MM,
            seam_mm: INCH_MM / 4.0,
            tuck_under_mm: 0.0,
            gap_mm: INCH_MM / 16.0,
            stripe_tolerance_mm: 0.0,
        }
    }
}

/// A motif and how many of it are wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct Motif {
    /// Its name.
    pub name: String,
    /// The capitals that stand for it in codes, where the designer wrote them.
    pub code: Option<String>,
    /// How many are used.
    pub copies: usize,
    /// Its parts, bottom layer first.
    pub parts: Vec<Part>,
    /// What its drawing says beside its pieces; nothing where it has none.
    pub ground: Ground,
}

/// What a drawing says of a motif beside its pieces.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ground {
    /// Seam lines of the background, edge by edge (mm): edges along them are sewn.
    pub seams: Vec<[Point; 2]>,
    /// Neighbours whose edges were brought together: the one that stays, the one that was
    /// moved, and the widest gap that was closed (mm).
    pub snapped: Vec<(String, String, f64)>,
    /// Neighbours with a narrow gap between them, and how wide it is at most (mm).
    pub apart: Vec<(String, String, f64)>,
}

impl Motif {
    /// So many copies of a motif that has no part yet.
    pub fn new(name: impl Into<String>, copies: usize) -> Self {
        Self {
            name: name.into(),
            code: None,
            copies,
            parts: vec![],
            ground: Ground::default(),
        }
    }

    /// The same with one part more, on top of those before.
    #[must_use]
    pub fn with_part(mut self, part: Part) -> Self {
        self.parts.push(part);
        self
    }
}

/// One layer of a motif: a fan, a disc, a ring or a drawn shape, from one fabric.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Its name, unique within the motif.
    pub name: String,
    /// The name of its fabric.
    pub fabric: String,
    /// Its shape.
    pub form: Form,
    /// Turned about the motif's centre by this much (degrees counter-clockwise).
    pub rotate_deg: f64,
    /// How its wedges meet each other.
    pub meet: Meet,
    /// What its two straight ends are, where it does not go all the way round.
    pub ends: Ends,
    /// How stripes pass through it; ignored on plain fabric.
    pub stripes: PartStripes,
    /// Where the lengthwise grain of plain fabric is to run in the finished motif (degrees
    /// counter-clockwise from upright). `None`: along the middle of each wedge, or upright on
    /// fabric with a nap.
    pub grain_deg: Option<f64>,
    /// The phase that the stripes show at their reference (mm), or `None` where the
    /// lay may choose: the motif's centre (`Through`), the wedges' axes (`Rays`) or
    /// the middle line at a radius (`Rings`).
    pub phase_mm: Option<f64>,
    /// Where a second repeat along the stripes is to lie at the motif's centre (mm, 0 for
    /// the middle of a printed figure); only asked of fabric that has one.
    pub along_mm: f64,
    /// Whether all copies share one free phase, or each has its own.
    pub copies: Copies,
    /// Parts with the same tie share one free phase (within a copy if `Own`).
    pub tie: Option<String>,
}

impl Part {
    /// A part whose edges are all turned under, its stripes standing vertical as if it were
    /// one piece, at an offset that the layout may choose and all copies share.
    ///
    /// What is to be otherwise is set in the fields:
    ///
    /// ```
    /// use stripe_core::motif::{Fan, Meet, Part, PartStripes};
    ///
    /// let rim = Part {
    ///     meet: Meet::Seam,
    ///     stripes: PartStripes::Rays,
    ///     ..Part::new("rim", "deck", Fan::ring(50.0, 100.0).with_wedges(4))
    /// };
    /// assert_eq!(rim.phase_mm, None);
    /// ```
    pub fn new(name: impl Into<String>, fabric: impl Into<String>, form: impl Into<Form>) -> Self {
        Self {
            name: name.into(),
            fabric: fabric.into(),
            form: form.into(),
            rotate_deg: 0.0,
            meet: Meet::BothTurnedUnder,
            ends: Ends::TurnedUnder,
            stripes: PartStripes::Through { normal_deg: 0.0 },
            grain_deg: None,
            phase_mm: None,
            along_mm: 0.0,
            copies: Copies::Alike,
            tie: None,
        }
    }
}

/// The shape of a part.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Form {
    /// Wedges about the centre: fans with or without spokes, discs, rings.
    Fan(Fan),
    /// A drawn outline (mm, motif frame), its end not repeated.
    Outline(Vec<Point>),
}

/// Wedges about the motif's centre.
///
/// A disc is a fan with no hub and no spokes, a ring one with a hub.
#[derive(Debug, Clone, PartialEq)]
pub struct Fan {
    /// Where the first wedge begins (degrees counter-clockwise from x).
    pub from_deg: f64,
    /// How far round it goes (degrees, up to 360).
    pub sweep_deg: f64,
    /// Into how many wedges it is cut.
    pub wedges: usize,
    /// Radius of the hole in the middle (mm); 0 for none.
    pub hub_mm: f64,
    /// Radius of the outer edge, or of the spokes' tips (mm).
    pub rim_mm: f64,
    /// Spokes, or none for a plain ring sector.
    pub spokes: Option<Spokes>,
}

impl Fan {
    /// A disc in one piece.
    pub const fn disc(rim_mm: f64) -> Self {
        Self::ring(0.0, rim_mm)
    }

    /// A ring in one piece, from its hole to its outer edge.
    pub const fn ring(hub_mm: f64, rim_mm: f64) -> Self {
        Self {
            from_deg: 0.0,
            sweep_deg: 360.0,
            wedges: 1,
            hub_mm,
            rim_mm,
            spokes: None,
        }
    }

    /// The same cut into so many wedges.
    #[must_use]
    pub const fn with_wedges(mut self, wedges: usize) -> Self {
        self.wedges = wedges;
        self
    }

    /// The same going round only so far, from so far on (degrees counter-clockwise from x).
    #[must_use]
    pub const fn with_sweep(mut self, from_deg: f64, sweep_deg: f64) -> Self {
        (self.from_deg, self.sweep_deg) = (from_deg, sweep_deg);
        self
    }

    /// The same with spokes.
    #[must_use]
    pub const fn with_spokes(mut self, spokes: Spokes) -> Self {
        self.spokes = Some(spokes);
        self
    }
}

impl From<Fan> for Form {
    fn from(fan: Fan) -> Self {
        Self::Fan(fan)
    }
}

impl From<Vec<Point>> for Form {
    fn from(corners: Vec<Point>) -> Self {
        Self::Outline(corners)
    }
}

/// The spokes of a fan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spokes {
    /// How many each wedge has.
    pub per_wedge: usize,
    /// Radius of the body that they stand on (mm), between hub and rim.
    pub root_mm: f64,
    /// Width where they leave the body (mm).
    pub root_width_mm: f64,
    /// Width at the tip (mm); where the taper of a point begins.
    pub tip_width_mm: f64,
    /// The form of the tip.
    pub tip: Tip,
}

/// How a spoke ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tip {
    /// Straight across.
    Flat,
    /// A half circle of the tip's width.
    Round,
    /// A right-angled point.
    Pointed,
}

/// How neighbouring wedges of one fan meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meet {
    /// On a seam of the background: each takes the seam allowance.
    Seam,
    /// Edge to edge: each is turned.
    BothTurnedUnder,
    /// One runs flat under the other, which is turned.
    OneOverOther,
}

/// What the straight ends of a fan are that does not go all the way round.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ends {
    /// They lie in a seam.
    Seam,
    /// They are turned under like any outer edge.
    TurnedUnder,
}

/// How stripes pass through a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PartStripes {
    /// As if the whole part were cut from one fabric: `normal_deg` is the direction
    /// across the stripes in the motif (0: the stripes stand vertical), whatever the
    /// part's own turn.
    Through {
        /// Direction of the stripe's normal in the motif frame (degrees).
        normal_deg: f64,
    },
    /// Out along the axis of each wedge.
    Rays,
    /// Across the axis of each wedge, the phase given at this radius.
    Rings {
        /// Where the phase is given (mm).
        radius_mm: f64,
    },
}

/// Whether copies share their offset.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Copies {
    /// All copies look alike.
    Alike,
    /// Each copy has its own offset.
    Own,
}
