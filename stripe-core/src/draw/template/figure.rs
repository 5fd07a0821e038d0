//! What stands on a template sheet: the template of a piece, or a motif as a whole.

use super::face::{Face, ROLES};
use super::guide::Guide;
use super::kind::Kind;
use super::legend::{Key, Keys};
use super::method::Method;
use super::pose::Pose;
use super::ticks::Tick;
use super::words::named;
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

    pub(super) fn motif(&self) -> &str {
        match self {
            Self::Piece(face) => &face.kind.name[0],
            Self::Motif(guide) => &guide.motif.name,
        }
    }

    pub(super) fn piece(&self) -> &str {
        match self {
            Self::Piece(face) => &face.kind.name[1],
            Self::Motif(_) => "the whole motif",
        }
    }

    /// The fabric that it is cut from; a whole motif is none.
    pub(super) fn fabric(&self) -> &'a str {
        match self {
            Self::Piece(face) => face.kind.fabric.fabric(),
            Self::Motif(_) => "",
        }
    }

    /// How many are cut by it; by a whole motif nothing is cut.
    pub(super) fn count(&self) -> usize {
        match self {
            Self::Piece(face) => face.kind.count(),
            Self::Motif(_) => 0,
        }
    }

    pub(super) fn face_down(&self) -> usize {
        match self {
            Self::Piece(face) => face.kind.reversed(),
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
            Self::Piece(face) => caption(face),
            Self::Motif(guide) => guide.caption(),
        }
    }

    /// Points that lines and marks reach beyond the outlines.
    pub(super) fn tips(&self) -> Vec<Point> {
        match self {
            // One for any stripe has no measured points.
            Self::Piece(face) if face.line.is_some() => Vec::new(),
            Self::Piece(face) => face.arrow_tips(),
            Self::Motif(_) => Vec::new(),
        }
    }

    /// Whether it is a whole motif, by which nothing is cut.
    pub(super) fn is_whole(&self) -> bool {
        matches!(self, Self::Motif(_))
    }

    /// The names of all pieces that are cut by it; a whole motif is cut from nothing.
    pub(super) fn labels(&self) -> String {
        match self {
            Self::Piece(face) => face.kind.labels(false),
            Self::Motif(_) => String::new(),
        }
    }

    /// The kinds of lines and marks that it has.
    pub(super) fn keys(&self) -> Keys {
        let faces = match self {
            Self::Piece(face) => std::slice::from_ref(&**face),
            Self::Motif(guide) => &guide.faces[..],
        };
        let roles = ROLES.into_iter().filter(|&role| {
            let mut has = faces.iter().map(|face| !face.finished_of(role).is_empty());
            has.any(|has| has)
        });
        let mut keys: Keys = roles.map(Key::of).collect();
        if faces.iter().any(|face| !face.ticks.is_empty()) {
            keys.insert(Key::Bands);
        }
        match self {
            Self::Piece(face) => {
                keys.insert(Key::Cut);
                if face.method == Method::FusibleWeb && keys.remove(&Key::Turned) {
                    keys.insert(Key::Fused);
                }
                let arrows = face.kind.fabric.shows_direction();
                match face.line {
                    None if arrows => keys.extend([Key::Mark]),
                    None => keys.extend([Key::Point]),
                    Some((_, line)) => keys.extend(line.map(|_| Key::Line)),
                }
                keys.extend((!face.clips().is_empty()).then_some(Key::Clip));
                keys.extend((!face.bias().is_empty()).then_some(Key::Bias));
                let lined = face.line.is_some_and(|(_, line)| line.is_some());
                let grain = face.kind.grain().filter(|_| !lined);
                keys.extend(grain.map(|_| Key::Grain));
            }
            Self::Motif(_) => {
                if keys.remove(&Key::Turned) {
                    keys.insert(Key::Edge);
                }
                keys.insert(Key::Centre);
            }
        }
        keys
    }
}

/// What stands under the template of a piece.
fn caption(face: &Face<'_>) -> String {
    let (kind, blank): (&Kind<'_>, bool) = (&face.kind, face.blank);
    let [motif, piece] = &kind.name;
    let mut words = format!(
        "{}: {}. Cut {} from {}: {}.",
        kind.short,
        named(motif, piece),
        kind.count(),
        kind.fabric.fabric(),
        kind.labels(false)
    );
    if let Some((unit, line)) = face.line {
        let words = line.map_or(String::new(), |line| format!(" {}", line.sentence(unit)));
        let [motif, piece] = &kind.name;
        return format!(
            "{}: {}. Cut {} from fabric {}.{words}",
            kind.short,
            named(motif, piece),
            kind.count(),
            kind.fabric.fabric(),
        );
    }
    match kind.reversed() {
        0 => {}
        all if all == kind.count() => {
            words.push_str(
                " All are reversed: flip the template; the wrong side of the fabric will show.",
            );
        }
        _ => words.push_str(&format!(
            " Reversed: {}. Flip the template for these; the wrong side of the fabric will show.",
            kind.labels(true)
        )),
    }
    if kind.grain().is_none() {
        words.push_str(" The grain differs: lay each as the cutting map shows.");
    } else if blank && kind.fabric.stripe.is_some() {
        words.push_str(" Lay each as the cutting map shows.");
    }
    words
}
