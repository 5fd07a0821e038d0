//! A motif worked out: its pieces, and where they meet.

use super::remarks::Remark;
use super::roles::Role;
use crate::shape::{Point, Region};

/// One piece of a motif.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// Unique within the motif, in words: the part's name, and `wedge 2 of 4` where it has
    /// several.
    pub name: String,
    /// Index into [`Motif::parts`](super::Motif::parts); higher lies above.
    pub part: usize,
    /// Which wedge of its part, counter-clockwise from 0.
    pub wedge: usize,
    /// Direction of the wedge's middle line (radians); vertical for drawn shapes and
    /// parts in one piece.
    pub axis_rad: f64,
    /// The finished line, split where roles change.
    pub finished: Region,
    /// What is done with each edge, ring by ring.
    pub roles: Vec<Role>,
    /// The cut line.
    pub cut: Region,
    /// Clips and snips, each from the cut line in.
    pub clips: Vec<[Point; 2]>,
    /// The point from which its place on the fabric is measured.
    pub mark: Point,
}

/// Where two pieces that are striped as one meet in the finished work.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    /// Index of one piece: of a fan, the one before the joint counter-clockwise; of a drawing,
    /// the lower one.
    pub a: usize,
    /// Index of the other.
    pub b: usize,
    /// The visible part of the line where they meet, the end nearer to the centre first. Of a
    /// curve the chord: both its ends lie on the curve.
    pub line: [Point; 2],
}

/// A motif worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct Assembly {
    /// All pieces, bottom layer first, counter-clockwise within a part.
    pub pieces: Vec<Piece>,
    /// All joints that can be seen.
    pub joints: Vec<Joint>,
    /// Directions of the background's seams from the centre (radians).
    pub seams_rad: Vec<f64>,
    /// What the designer should know.
    pub remarks: Vec<Remark>,
}
