//! What each kind of line on a sheet means: shortly on every sheet, in a sentence on the
//! first one. Only what is there is told.

use super::face::{bias_stroke, clip_stroke, cut_stroke, stroke_of, tick_stroke};
use super::guide::edge_stroke;
use super::mark::{Arrow, sign};
use super::method::Method;
use crate::draw::lettering::{CAPITAL, wrap};
use crate::draw::scene::{Fill, GREY, Item, PAPER, Path, Stroke, Text};
use crate::motif::Role;
use crate::shape::{Point, point};
use std::collections::BTreeSet;

/// A kind of line or mark, in the order in which they are told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::draw) enum Key {
    Cut,
    Edge,
    Turned,
    /// The same edge where fabric is fused and not turned under.
    Fused,
    Seamed,
    Covered,
    Bands,
    Clip,
    Bias,
    Grain,
    /// On a template for any stripe.
    Line,
    /// A measured point with its arrow, and one without.
    Mark,
    Point,
    Centre,
    Join,
}

/// Every kind, in the order in which they are told.
pub(in crate::draw) const ALL: [Key; 15] = [
    Key::Cut,
    Key::Edge,
    Key::Turned,
    Key::Fused,
    Key::Seamed,
    Key::Covered,
    Key::Bands,
    Key::Clip,
    Key::Bias,
    Key::Grain,
    Key::Line,
    Key::Mark,
    Key::Point,
    Key::Centre,
    Key::Join,
];

/// All that stands on a sheet.
pub(super) type Keys = BTreeSet<Key>;

/// Size of the words (mm): 7 points.
const SIZE_MM: f64 = 2.47;
const ROW_MM: f64 = 3.5;
const COLUMN_MM: f64 = 38.0;
/// Rows of the legend at the foot of a sheet.
const ROWS: usize = 5;
/// From the sample to the words (mm).
const SAMPLE_MM: f64 = 8.2;
/// How large the sign of a measured point is here.
const SIGN: f64 = 0.55;
/// Rows of the sentences on the first sheet (mm).
const SENTENCE_ROW_MM: f64 = 3.9;

impl Key {
    /// The key of a finished line with that role.
    pub(super) fn of(role: Role) -> Self {
        match role {
            Role::Turned => Self::Turned,
            Role::Seamed => Self::Seamed,
            Role::Covered | Role::Lapped => Self::Covered,
        }
    }

    /// In a word or three.
    pub(in crate::draw) fn shortly(self) -> &'static str {
        match self {
            Self::Cut => "cut",
            Self::Edge | Self::Fused => "finished edge",
            Self::Turned => "turn under",
            Self::Seamed => "sew (seam)",
            Self::Covered => "covered",
            Self::Bands => "two bands meet",
            Self::Clip => "clip to here",
            Self::Bias => "bias, stretches",
            Self::Grain => "lengthwise grain",
            Self::Line => "stripe line",
            Self::Mark | Self::Point => "measured point",
            Self::Centre => "motif's centre",
            Self::Join => "join two sheets",
        }
    }

    /// In a sentence, for that way of working.
    pub(super) fn sentence(self, method: Method) -> &'static str {
        match (self, method) {
            (Self::Cut, Method::FusibleWeb) => {
                "Trace and cut on this line only where another piece covers the edge, or the edge lies in a seam."
            }
            (Self::Fused, _) => "Trace and cut on this line: a fused edge is not turned under.",
            (Self::Cut, Method::PaperOnWrongSide | Method::PrintAgainstWrongSide) => {
                "Cut the fabric on this line. The allowances are included."
            }
            (Self::Turned, Method::PaperOnWrongSide) => {
                "Cut the paper on this line, and press the edge of the fabric over it."
            }
            (Self::Turned, Method::PrintAgainstWrongSide) => {
                "Cut the paper on this line, and iron the edge of the fabric onto it."
            }
            (Self::Cut, _) => "Cut on this line. The allowances are included.",
            (Self::Edge, _) => "The finished edge of the motif. Place the pieces to it.",
            (Self::Turned, _) => "Turn the edge under on this line.",
            (Self::Seamed, _) => {
                "Sew on this line: a seam between two pieces, or a seam of the background."
            }
            (Self::Covered, _) => "Leave this edge flat: another piece covers it.",
            (Self::Bands, _) => "Lay this tick where two bands of the stripe meet.",
            (Self::Clip, _) => "Clip from the cut line to the end of this stroke, no further.",
            (Self::Bias, _) => "Handle this edge gently: it lies on the bias and stretches.",
            (Self::Line, _) => {
                "Lay this line along your stripe, its arrow up, at the distance shown, right (R) or left (L) of a centre line."
            }
            (Self::Grain, _) => "Lay this arrow along the selvages.",
            (Self::Mark, _) => {
                "Lay this cross on the point marked for the piece, and turn the template until its arrow points the same way as the arrow on the cutting map. Where there are several, each says which pieces it is for."
            }
            (Self::Point, _) => {
                "Lay this cross on the point marked for the piece, and turn the template as the cutting map shows it."
            }
            (Self::Centre, _) => "The motif's centre, its arrow towards the motif's top.",
            (Self::Join, _) => {
                "Overlap two sheets so that the diamonds of one name meet, and tape them."
            }
        }
    }

    /// A sample of it, its middle line at that height, 7 mm wide.
    fn sample(self, at: Point) -> Vec<Item> {
        let level = |stroke: Stroke| -> Vec<Item> {
            vec![Path::segments([[at, point(at.x + 7.0, at.y)]], stroke).into()]
        };
        let upright = |stroke: Stroke| -> Vec<Item> {
            let x = at.x + 3.5;
            vec![Path::segments([[point(x, at.y - 1.4), point(x, at.y + 1.4)]], stroke).into()]
        };
        match self {
            Self::Cut => level(cut_stroke()),
            Self::Edge => level(edge_stroke()),
            Self::Turned | Self::Fused => level(stroke_of(Role::Turned)),
            Self::Seamed => level(stroke_of(Role::Seamed)),
            Self::Covered => level(stroke_of(Role::Covered)),
            Self::Bands => upright(tick_stroke()),
            Self::Clip => {
                let mut items = level(cut_stroke());
                let x = at.x + 3.5;
                let clip = [point(x, at.y), point(x, at.y + 1.7)];
                items.push(Path::segments([clip], clip_stroke()).into());
                items
            }
            Self::Bias => {
                let strokes = (0..3).map(|i| {
                    let x = at.x + 1.0 + 2.4 * f64::from(i);
                    [point(x, at.y + 0.5), point(x + 0.85, at.y - 0.5)]
                });
                vec![Path::segments(strokes, bias_stroke()).into()]
            }
            Self::Grain => {
                let [a, b] = [point(at.x + 0.3, at.y), point(at.x + 6.7, at.y)];
                let mut ends = vec![[a, b]];
                for (tip, way) in [(a, 1.0), (b, -1.0)] {
                    ends.extend([-0.8, 0.8].map(|v| [tip, point(tip.x + way * 1.6, tip.y + v)]));
                }
                vec![Path::segments(ends, Stroke::ink(0.3)).into()]
            }
            Self::Line => {
                let [a, tip] = [point(at.x + 0.3, at.y), point(at.x + 6.7, at.y)];
                let mut ends = vec![[a, tip]];
                ends.extend([-1.0, 1.0].map(|v| [tip, point(tip.x - 2.0, tip.y + v)]));
                vec![Path::segments(ends, Stroke::ink(0.45)).into()]
            }
            // The sign of the sheet, at half its size.
            Self::Mark | Self::Centre => {
                let arrow = Some(Arrow::ahead(point(1.0, 0.0)));
                vec![sign(point(at.x + 2.2, at.y), arrow, SIGN)]
            }
            Self::Point => vec![sign(point(at.x + 3.5, at.y), None, SIGN)],
            Self::Join => {
                let mut items = level(join_stroke());
                items.push(diamond(point(at.x + 3.5, at.y), 1.4));
                items
            }
        }
    }
}

/// The look of the line on which two sheets are joined.
pub(super) fn join_stroke() -> Stroke {
    Stroke::ink(0.2).coloured(GREY)
}

/// A diamond with a cross in it: a mark that must meet another.
pub(super) fn diamond(at: Point, size: f64) -> Item {
    let corners = [(0.0, -size), (size, 0.0), (0.0, size), (-size, 0.0)]
        .map(|(x, y)| point(at.x + x, at.y + y));
    let cross = [[corners[3], corners[1]], [corners[0], corners[2]]];
    let paper = Some(Fill::solid(PAPER));
    let items = vec![
        Path::rings(vec![corners.to_vec()], paper, Some(Stroke::ink(0.25))).into(),
        Path::segments(cross, Stroke::ink(0.15)).into(),
    ];
    crate::draw::scene::Group {
        items,
        ..Default::default()
    }
    .into()
}

/// The legend at the foot of a sheet, its first line at that corner.
pub(super) fn legend(corner: Point, keys: &Keys) -> Vec<Item> {
    let mut items = Vec::new();
    let rows = keys.len().div_ceil(2).max(ROWS);
    let row_mm = ROW_MM * ROWS as f64 / rows as f64;
    for (i, key) in keys.iter().enumerate() {
        let at = point(
            corner.x + COLUMN_MM * (i / rows) as f64,
            corner.y + row_mm * (i % rows) as f64,
        );
        items.extend(key.sample(at));
        items.push(words_at(at, key.shortly()));
    }
    items
}

fn words_at(at: Point, words: &str) -> Item {
    let from = point(at.x + SAMPLE_MM, at.y + SIZE_MM * CAPITAL / 2.0);
    Text::new(from, SIZE_MM, words).into()
}

/// How high the sentences stand (mm).
pub(super) fn sentences_height(keys: &Keys, method: Method, width_mm: f64) -> f64 {
    lines(keys, method, width_mm)
        .iter()
        .map(|(_, lines)| lines.len())
        .sum::<usize>() as f64
        * SENTENCE_ROW_MM
}

fn lines(keys: &Keys, method: Method, width_mm: f64) -> Vec<(Key, Vec<String>)> {
    let wide = width_mm - SAMPLE_MM - 2.0;
    keys.iter()
        .map(|&key| (key, wrap(key.sentence(method), SIZE_MM, false, wide)))
        .collect()
}

/// Every kind of line with its sentence.
pub(super) fn sentences(corner: Point, keys: &Keys, method: Method, width_mm: f64) -> Vec<Item> {
    let mut items = Vec::new();
    let mut down = corner.y;
    for (key, lines) in lines(keys, method, width_mm) {
        items.extend(key.sample(point(corner.x, down)));
        for line in lines {
            items.push(words_at(point(corner.x, down), &line));
            down += SENTENCE_ROW_MM;
        }
    }
    items
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::lettering::width_mm;

    #[test]
    fn words_fit_their_column() {
        for key in ALL {
            let wide = width_mm(key.shortly(), SIZE_MM, false);
            assert!(SAMPLE_MM + wide < COLUMN_MM, "{key:?}: {wide}");
        }
    }
}
