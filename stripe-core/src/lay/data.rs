//! What is to be laid, and where it lies: plain data, no method of laying.

use crate::shape::{Point, Region, dot, point, unit};

/// The fabric as the layout sees it: a strip of fixed width, as long as need be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Usable width, from selvage to selvage (mm).
    pub width_mm: f64,
    /// Direction of the stripes' normal `n` in the fabric frame (radians
    /// counter-clockwise from x): 0 for lengthwise stripes, a quarter turn for
    /// crosswise ones, a little off either for a lean.
    pub normal_rad: f64,
    /// How far a (grown) outline may reach over the selvages and the cut ends:
    /// half the clear gap, since there is no neighbour there to keep clear of.
    pub margin_mm: f64,
}

impl Window {
    /// The fabric point of a point in the stripe's frame.
    pub fn to_fabric(&self, uv: Point) -> Point {
        let n = unit(self.normal_rad);
        point(uv.x * n.x - uv.y * n.y, uv.x * n.y + uv.y * n.x)
    }

    /// The point in the stripe's frame of a fabric point.
    pub fn to_stripe(&self, xy: Point) -> Point {
        let n = unit(self.normal_rad);
        point(dot(n, xy), dot(point(-n.y, n.x), xy))
    }
}

/// The translations that a placement may take on its fabric.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lock {
    /// Plain fabric: any translation.
    Plane,
    /// Striped fabric: one line a repeat across, free along.
    Lines {
        /// The repeat, measured across the stripes (mm, positive).
        repeat_mm: f64,
    },
    /// Checks, plaids, printed figures: a lattice. Line `k` across is at
    /// `u = residue + k across`, and on it `v = along + k shear + j along_repeat`.
    Points {
        /// Distance between the lattice's lines (mm, positive).
        across_mm: f64,
        /// Distance between lattice points on one line (mm, positive).
        along_mm: f64,
        /// By how much the points of each line stand further along than those of
        /// the line before it (mm): half `along_mm` for a half-drop.
        shear_mm: f64,
    },
}

/// An outline as it is laid: in the stripe's frame, already turned and mirrored
/// as its pose asks, grown by half the clear gap. Two shapes may touch.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    /// The region that no other shape may enter; holes may be laid in.
    pub outline: Region,
}

/// One way in which a kind of piece may be turned on its fabric.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    /// Index into [`Job::shapes`].
    pub shape: usize,
    /// The translation's `u` is `residue + sign * offset` modulo the lock's
    /// repeat, where `offset` is that of the item's group (0 without a group).
    pub residue_mm: f64,
    /// The same along the stripes; used by [`Lock::Points`] alone.
    pub along_mm: f64,
    /// +1, or -1 where the pose turns the stripe about.
    pub sign: f64,
}

/// A kind of piece: all copies have the same poses.
#[derive(Debug, Clone, PartialEq)]
pub struct Kind {
    /// How the piece may lie; the first is how it lies by nature. Not empty.
    pub poses: Vec<Pose>,
}

/// One piece to be laid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Item {
    /// Index into [`Job::kinds`].
    pub kind: usize,
    /// Items of one group share one free offset, to be chosen by the layout;
    /// without a group the offset is fixed (already in the poses' residues).
    pub group: Option<usize>,
    /// The motif copy that the piece belongs to: by hand, a block is laid as one.
    pub block: usize,
}

/// Where nothing may lie: beside a piece of fabric that is less than the window, in holes and
/// stains, and where pieces are cut already.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Obstacles {
    /// In the fabric's frame (mm); holes in them may be laid in. No outline that is laid
    /// enters one, grown by half the gap as it is.
    pub regions: Vec<Region>,
    /// From here on (mm from the cut end) obstacles are no others than strips along the selvages.
    pub end_mm: f64,
}

/// What is to be laid on one fabric.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// The fabric.
    pub window: Window,
    /// What of it is not there to be laid on.
    pub obstacles: Obstacles,
    /// What its pattern asks of every placement.
    pub lock: Lock,
    /// By how much `u` may depart from its line where that saves length (mm).
    pub deviate_mm: f64,
    /// All distinct outlines.
    pub shapes: Vec<Shape>,
    /// All kinds of pieces.
    pub kinds: Vec<Kind>,
    /// All pieces.
    pub items: Vec<Item>,
    /// So many times over the items are the same kinds, lot by lot: 1 where they are not.
    pub lots: usize,
    /// How many groups with a free offset there are.
    pub groups: usize,
}

/// Where one item lies: the translation of its pose's outline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placement {
    /// Index into the kind's poses.
    pub pose: usize,
    /// Translation across the stripes (mm).
    pub u_mm: f64,
    /// Translation along the stripes (mm).
    pub v_mm: f64,
}

/// A layout: one spot an item, in the items' order.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// The length of fabric used, from the cut end (mm): every outline lies within
    /// `-margin ..= length + margin` along the fabric.
    pub length_mm: f64,
    /// One spot an item.
    pub placements: Vec<Placement>,
    /// The offset chosen for each group (mm).
    pub offsets: Vec<f64>,
}
