//! The plan file `plan.json`: UTF-8, lengths in mm, angles in degrees
//! counter-clockwise. Rings are open: their first point is not repeated.

use super::buy::Buy;
use super::likely::LikelyNote;
use super::quilt::QuiltNote;
use crate::colour::Colour;
use crate::fabric::{Nap, Picture, Stripe};
use crate::length::Unit;
use crate::matching::Exactness;
use crate::motif::{Making, Role};
use crate::num::wrap;
use crate::shape::{Point, Region, Rigid, dot, point, unit};
use serde::{Deserialize, Serialize};

/// The format's name and version, the first entry of every plan.
pub const FORMAT: &str = "stripelay-plan/2";

/// So near (mm) to where a repeat begins a point lies in that repeat.
const ON_BORDER_MM: f64 = 0.05;

/// A whole plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Plan {
    /// [`FORMAT`].
    pub format: String,
    /// The version of the program that made it.
    pub made_by: String,
    /// The project's title.
    pub title: String,
    /// A digest of the project file's text, hexadecimal.
    pub project_digest: String,
    /// The unit in which lengths are shown to people.
    pub unit: Unit,
    /// What money is called.
    pub money: String,
    /// The seed of the search.
    pub seed: u64,
    /// How hard it was searched: `quick`, `steady`, `patient`.
    pub effort: String,
    /// So many quilts are cut at once; copies of motifs are those of all.
    #[serde(skip_serializing_if = "is_one", default = "one")]
    pub kits: usize,
    /// How pieces are made up.
    pub making: Making,
    /// What was asked for: every motif with its pieces.
    pub motifs: Vec<MotifNote>,
    /// One lay a fabric.
    pub fabrics: Vec<FabricPlan>,
    /// Every joint of every motif copy, worst step first.
    pub joints: Vec<JointNote>,
    /// How likely they are to match once fabric and hands are a little off, where any do.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub likely: Option<LikelyNote>,
    /// The quilt around the motifs, if the project has one.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub quilt: Option<QuiltNote>,
    /// What a maker should know before cutting, in words.
    pub warnings: Vec<String>,
    /// How many more of each piece the fabric has room for.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub spares: Vec<SpareNote>,
    /// What striped fabrics look like, for those of which there is a picture.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub pictures: Vec<PictureNote>,
    /// Where this plan goes on from another one, after some pieces were spoilt.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub recut: Option<RecutNote>,
}

fn one() -> usize {
    1
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks for it so")]
fn is_one(kits: &usize) -> bool {
    *kits == 1
}

/// What a striped fabric looks like.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PictureNote {
    /// The fabric.
    pub fabric: String,
    /// One repeat of its stripe.
    pub picture: Picture,
}

/// Places to spare for one kind of piece.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SpareNote {
    /// The fabric.
    pub fabric: String,
    /// The motif.
    pub motif: String,
    /// The piece within it.
    pub piece: String,
    /// How many more of it could be cut, of this kind alone; 6 where there may be more.
    pub places: usize,
}

/// How a plan follows from the one before it; pieces by their codes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RecutNote {
    /// A digest of the plan file before, hexadecimal.
    pub parent: String,
    /// What is cut anew.
    pub spoilt: Vec<String>,
    /// What else lies elsewhere now.
    pub moved: Vec<String>,
    /// What has no place on the fabric that is left.
    pub lacking: Vec<String>,
    /// Names of fabrics that were measured again: what was cut before was laid by other figures.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub measured: Vec<String>,
}

impl Plan {
    /// Which kit a piece belongs to, from 1.
    pub fn kit_of(&self, piece: &PlacedPiece) -> usize {
        let motif = self.motifs.iter().find(|motif| motif.name == piece.motif);
        let copies = motif.map_or(1, |motif| motif.copies);
        let each = (copies / self.kits.max(1)).max(1);
        piece.copy.saturating_sub(1) / each + 1
    }

    /// Whether a piece of that fabric was cut before the fabric was measured anew, so that it
    /// need not lie on the stripe as the plan has it now.
    pub fn is_cut_before_measuring(&self, fabric: &FabricPlan, piece: &PlacedPiece) -> bool {
        let measured = self.recut.iter().flat_map(|note| &note.measured);
        piece.is_cut && measured.into_iter().any(|name| name == fabric.fabric())
    }
}

/// A motif as asked for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct MotifNote {
    /// Its name.
    pub name: String,
    /// A letter or two that stand for it on maps.
    pub letter: String,
    /// How many are wanted.
    pub copies: usize,
    /// Its pieces, bottom layer first.
    pub pieces: Vec<PieceNote>,
    /// Directions (degrees) of the background's seams that run out from its centre.
    pub seams_deg: Vec<f64>,
    /// How exact its striped pieces must be cut, where they meet each other.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub exactness: Option<Exactness>,
}

/// A piece as asked for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PieceNote {
    /// Its name, unique within the motif: part and wedge, `outer wheel a`.
    pub piece: String,
    /// The part that it belongs to.
    pub part: String,
    /// Its fabric.
    pub fabric: String,
    /// Its layer, 0 at the bottom.
    pub layer: usize,
    /// The letters that stand for it on maps, unique within the motif.
    pub mark: String,
}

/// The lay on one fabric.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FabricPlan {
    /// The fabric's name.
    pub name: String,
    /// Usable width.
    #[serde(rename = "width")]
    pub width_mm: f64,
    /// Length used.
    #[serde(rename = "length")]
    pub length_mm: f64,
    /// Length of the same pieces laid by hand, as a careful person does it.
    #[serde(rename = "by_hand_length")]
    pub by_hand_length_mm: f64,
    /// In which way: the one of two that takes less.
    #[serde(default)]
    pub by_hand: ByHand,
    /// Where several kits are cut at once: the length of one of them, laid by itself with the
    /// same effort.
    #[serde(
        rename = "one_kit_length",
        skip_serializing_if = "Option::is_none",
        default
    )]
    pub one_kit_mm: Option<f64>,
    /// What the length cannot be below.
    pub bound: LeastLength,
    /// What to ask for in the shop.
    pub buy: Buy,
    /// The stripe; plain fabric has none.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub stripe: Option<Stripe>,
    /// The colour of plain fabric.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub colour: Option<Colour>,
    /// Whether either face may show.
    pub both_faces: bool,
    /// Whether no piece may be turned about.
    pub one_way: bool,
    /// Turns allowed on plain fabric.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub may_rotate_deg: Vec<f64>,
    /// How the look of plain fabric depends on its direction.
    #[serde(skip_serializing_if = "is_without_nap", default)]
    pub nap: Nap,
    /// Where the layout begins beside straight cuts of the same fabric.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub beside: Option<BesideNote>,
    /// What is left of the fabric that is bought, where motifs alone are cut from it.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub leftover: Option<Leftover>,
    /// Where this is a piece of fabric that the maker has already: nothing of it is bought,
    /// its width and length are those of its outline.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub in_hand: Option<InHandNote>,
    /// Where nothing is cut: holes, stains, spoilt fabric; outlines in the fabric frame, open.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub avoid: Vec<Vec<[f64; 2]>>,
    /// Every piece cut from it.
    pub placements: Vec<PlacedPiece>,
}

/// A piece of a fabric in hand.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct InHandNote {
    /// The fabric that it is a piece of.
    pub fabric: String,
    /// Its outline in the fabric frame, counter-clockwise, open.
    pub outline: Vec<[f64; 2]>,
}

/// A stretch at the beginning of a layout that is slit along the selvages: straight pieces
/// are cut from what is left of the slit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct BesideNote {
    /// From the left selvage to the slit.
    #[serde(rename = "slit")]
    pub slit_mm: f64,
    /// From the cut end to the end of the stretch; counted in the layout's length.
    #[serde(rename = "length")]
    pub length_mm: f64,
    /// How many shaped pieces lie right of the slit.
    pub pieces: usize,
    /// Length of fabric that this saves.
    #[serde(rename = "saved")]
    pub saved_mm: f64,
}

fn is_without_nap(nap: &Nap) -> bool {
    !nap.matters()
}

impl FabricPlan {
    /// The name of the fabric that motifs ask for: its own, or that of which it is a piece
    /// in hand.
    pub fn fabric(&self) -> &str {
        self.in_hand.as_ref().map_or(&self.name, |one| &one.fabric)
    }

    /// Whether the fabric shows which way a piece lies on it: by its stripe or its nap.
    pub fn shows_direction(&self) -> bool {
        self.stripe.is_some() || self.nap.matters()
    }

    /// The number of the repeat that a point of the fabric lies in, counted from the left
    /// selvage; 0 before the first that begins on the fabric. Nothing on plain fabric, and
    /// where stripes do not run along the selvages.
    pub fn repeat_number(&self, at: Point) -> Option<i64> {
        let stripe = self.stripe.as_ref()?;
        let across = unit(stripe.normal_rad());
        if stripe.bands().len() < 2 || across.x.abs() < across.y.abs() {
            return None;
        }
        let repeat_mm = stripe.repeat_mm();
        // A mark on the border of two repeats lies in the second, whatever its rounding.
        let from_first = dot(across, at) - wrap(stripe.origin_mm(), repeat_mm) + ON_BORDER_MM;
        Some((from_first / repeat_mm).floor() as i64 + 1)
    }

    /// The length of the shortest layout found: the plan's own may be longer where that
    /// costs nothing and leaves more.
    pub fn shortest(&self) -> f64 {
        let longer = self.leftover.and_then(|leftover| leftover.shortest_mm);
        longer.unwrap_or(self.length_mm)
    }
}

/// The largest rectangle that is left of what is bought of a fabric.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Leftover {
    /// From the left selvage to its left side.
    #[serde(rename = "left")]
    pub left_mm: f64,
    /// From the cut end to its lower side.
    #[serde(rename = "begin")]
    pub begin_mm: f64,
    /// Its size across the fabric.
    #[serde(rename = "width")]
    pub width_mm: f64,
    /// Its size along the selvages.
    #[serde(rename = "length")]
    pub length_mm: f64,
    /// The length of the shortest layout found, where this plan's is longer: it costs the
    /// same, and this one leaves more.
    #[serde(rename = "shortest", skip_serializing_if = "Option::is_none", default)]
    pub shortest_mm: Option<f64>,
}

impl Leftover {
    /// Its area (mm²).
    pub fn area_mm2(&self) -> f64 {
        self.width_mm * self.length_mm
    }
}

/// How the layout by hand is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ByHand {
    /// Whole motifs, spread out, in rows.
    #[default]
    Motifs,
    /// Equal pieces side by side in rows, turned about where the fabric allows.
    Pieces,
    /// Largest piece first, each as near the cut end as it goes.
    Largest,
}

impl ByHand {
    /// In words, to follow "by hand:".
    pub fn words(self) -> &'static str {
        match self {
            Self::Motifs => "whole motifs in rows",
            Self::Pieces => "equal pieces side by side in rows",
            Self::Largest => "largest pieces first",
        }
    }
}

/// A length that no layout can be below.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LeastLength {
    /// The length.
    #[serde(rename = "length")]
    pub length_mm: f64,
    /// The argument.
    pub kind: BoundKind,
    /// The band that runs short, by name, where the stripe is the reason.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub band: Option<String>,
}

/// Why a layout cannot be shorter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BoundKind {
    /// Area of the pieces over the width.
    Area,
    /// A phase of the repeat is on the fabric only so many times.
    #[serde(rename = "phase-demand")]
    Phase,
    /// Pieces must stand one behind another.
    #[serde(rename = "stacking")]
    Stack,
    /// Pieces along a line of the stripe, and the gaps between them that nothing fits into.
    Gaps,
    /// One piece is that long.
    #[serde(rename = "tallest-piece")]
    Tallest,
    /// A few of the pieces take that much by themselves.
    #[serde(rename = "few-pieces")]
    Few,
}

/// How stripes run in a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum StripesRun {
    /// As if the whole part were cut from one fabric.
    Through,
    /// Out along the axis of each wedge.
    Rays,
    /// Across the axis of each wedge.
    Rings,
}

/// One piece on the fabric.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PlacedPiece {
    /// Unique in the plan: `motif 3: part a`.
    pub id: String,
    /// The short name on maps, unique in the plan: `H3a`.
    pub label: String,
    /// The motif's name.
    pub motif: String,
    /// Which copy of it, from 1.
    pub copy: usize,
    /// The piece's name within the motif.
    pub piece: String,
    /// The part of the motif that it belongs to.
    pub part: String,
    /// How the stripes run in its part; plain fabric has none.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub stripes: Option<StripesRun>,
    /// The phase at the stripes's reference, in `[0, repeat)`.
    #[serde(rename = "offset", skip_serializing_if = "Option::is_none", default)]
    pub offset_mm: Option<f64>,
    /// Direction across the stripes in the motif frame: the finished piece is to
    /// show phase `(m.q + phase_at_centre) mod repeat` at `q`, `m` this direction.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub normal_deg: Option<f64>,
    /// The phase that the piece's stripe frame has at the motif's centre.
    #[serde(
        rename = "phase_at_centre",
        skip_serializing_if = "Option::is_none",
        default
    )]
    pub phase_at_centre_mm: Option<f64>,
    /// Where the second repeat of the fabric lies at the motif's centre, where there is one.
    #[serde(
        rename = "along_at_centre",
        skip_serializing_if = "Option::is_none",
        default
    )]
    pub along_at_centre_mm: Option<f64>,
    /// Direction of the piece's middle line in the motif frame: on plain fabric the
    /// grain runs along it, turned only as the fabric allows.
    pub axis_deg: f64,
    /// Where the grain of plain fabric runs instead, where the part or a nap says so: the
    /// fabric's length from the cut end on.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub grain_deg: Option<f64>,
    /// The finished line, counter-clockwise, motif frame.
    pub finished: Vec<[f64; 2]>,
    /// Holes in it, clockwise.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub finished_holes: Vec<Vec<[f64; 2]>>,
    /// What is done with each edge: outer ring first, then the holes, one entry an
    /// edge, each edge named by its first point.
    pub roles: Vec<Role>,
    /// The cut line, counter-clockwise, motif frame.
    pub cut: Vec<[f64; 2]>,
    /// Holes in it, clockwise.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub cut_holes: Vec<Vec<[f64; 2]>>,
    /// Clips and snips: from the cut line in to just short of the finished line.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub clips: Vec<[[f64; 2]; 2]>,
    /// A point of the piece, motif frame, whose place on the fabric is measured out.
    pub mark: [f64; 2],
    /// From the motif frame to the fabric frame.
    pub to_fabric: ToFabric,
    /// Where on the same fabric it lay in the plan before this one, if it was laid anew.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub was: Option<ToFabric>,
    /// Whether it is cut already: it stays where it was.
    #[serde(skip_serializing_if = "is_not", default)]
    pub is_cut: bool,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks so")]
fn is_not(value: &bool) -> bool {
    !value
}

/// A rigid map: mirror (x to -x) first, then rotate, then move.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ToFabric {
    /// Rotation.
    pub rotate_deg: f64,
    /// Whether the piece lies wrong side up.
    pub mirror: bool,
    /// Translation along x.
    #[serde(rename = "dx")]
    pub dx_mm: f64,
    /// Translation along y.
    #[serde(rename = "dy")]
    pub dy_mm: f64,
}

/// How well one joint meets.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct JointNote {
    /// Id of the one piece.
    pub a: String,
    /// Id of the other.
    pub b: String,
    /// The shared line, motif frame.
    pub line: [[f64; 2]; 2],
    /// By how much a stripe misses itself, across the stripe (mm).
    #[serde(rename = "step")]
    pub step_mm: f64,
    /// Share of the joint, 0 to 1, on which the colours differ.
    pub mismatch: f64,
}

impl ToFabric {
    /// The map itself.
    pub fn to_rigid(self) -> Rigid {
        Rigid {
            rotate_rad: self.rotate_deg.to_radians(),
            mirror: self.mirror,
            shift: point(self.dx_mm, self.dy_mm),
        }
    }
}

impl PlacedPiece {
    /// The finished region, motif frame.
    pub fn finished_region(&self) -> Region {
        region(&self.finished, &self.finished_holes)
    }

    /// The cut region, motif frame.
    pub fn cut_region(&self) -> Region {
        region(&self.cut, &self.cut_holes)
    }

    /// The reference mark on the fabric.
    pub fn mark_on_fabric(&self) -> Point {
        let [x, y] = self.mark;
        self.to_fabric.to_rigid().apply(point(x, y))
    }
}

fn region(outer: &[[f64; 2]], holes: &[Vec<[f64; 2]>]) -> Region {
    let ring = |points: &[[f64; 2]]| points.iter().map(|&[x, y]| point(x, y)).collect();
    Region::new(ring(outer), holes.iter().map(|hole| ring(hole)).collect())
}
