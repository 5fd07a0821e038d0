//! What stands on a template sheet: the template of a piece, or a motif as a whole.

use super::face::Face;
use super::guide::Guide;
use super::kind::Kind;
use super::pose::Pose;
use super::ticks::Tick;
use crate::draw::scene::Item;
use crate::shape::Point;

/// One thing that is drawn at true size.
pub(super) enum Figure<'a> {
    Piece(Box<Face<'a>>),
    Motif(Guide<'a>),
}

impl<'a> Figure<'a> {
    /// The rings that it lies within, motif frame.
    pub(super) fn outlines(&self) -> &[Vec<Point>] {
        match self {
            Self::Piece(face) => &face.cut,
            Self::Motif(guide) => &guide.outlines,
        }
    }

    pub(super) fn draw(&self, pose: &Pose) -> Vec<Item> {
        match self {
            Self::Piece(face) => face.draw(pose),
            Self::Motif(guide) => guide.draw(pose),
        }
    }

    /// Its short name: the motif's letter, and the piece's.
    pub(super) fn name(&self) -> &str {
        match self {
            Self::Piece(face) => &face.kind.short,
            Self::Motif(guide) => &guide.motif.letter,
        }
    }

    pub(super) fn motif(&self) -> &'a str {
        match self {
            Self::Piece(face) => &face.kind.piece.motif,
            Self::Motif(guide) => &guide.motif.name,
        }
    }

    pub(super) fn piece(&self) -> &'a str {
        match self {
            Self::Piece(face) => &face.kind.piece.piece,
            Self::Motif(_) => "the whole motif",
        }
    }

    /// The fabric that it is cut from; a whole motif is none.
    pub(super) fn fabric(&self) -> &'a str {
        match self {
            Self::Piece(face) => &face.kind.fabric.name,
            Self::Motif(_) => "",
        }
    }

    /// How many are cut by it, or how often the motif is made.
    pub(super) fn count(&self) -> usize {
        match self {
            Self::Piece(face) => face.kind.count(),
            Self::Motif(guide) => guide.motif.copies,
        }
    }

    pub(super) fn face_down(&self) -> usize {
        match self {
            Self::Piece(face) => face.kind.face_down.len(),
            Self::Motif(_) => 0,
        }
    }

    pub(super) fn ticks(&self) -> &[Tick] {
        match self {
            Self::Piece(face) => &face.ticks,
            Self::Motif(_) => &[],
        }
    }

    /// The id of the placement that it is drawn from.
    pub(super) fn drawn_from(&self) -> &'a str {
        match self {
            Self::Piece(face) => &face.kind.piece.id,
            Self::Motif(guide) => guide.drawn_from(),
        }
    }

    /// What stands under it.
    pub(super) fn caption(&self) -> String {
        match self {
            Self::Piece(face) => caption(&face.kind),
            Self::Motif(guide) => guide.caption(),
        }
    }
}

/// What stands under the template of a piece.
fn caption(kind: &Kind<'_>) -> String {
    let mut words = format!(
        "{}: {}, {}; cut {} of {}: {}.",
        kind.short,
        kind.piece.motif,
        kind.piece.piece,
        kind.count(),
        kind.fabric.name,
        shortly(kind.names.iter().copied())
    );
    if !kind.face_down.is_empty() {
        words.push_str(&format!(
            " Turned over, so that the back of the fabric will show: {}.",
            shortly(kind.face_down.iter().copied())
        ));
    }
    words
}

/// At most eight names, then how many more.
fn shortly<'a>(names: impl Iterator<Item = &'a str>) -> String {
    let names: Vec<&str> = names.collect();
    if names.len() <= 8 {
        names.join(", ")
    } else {
        format!("{} and {} more", names[..7].join(", "), names.len() - 7)
    }
}
