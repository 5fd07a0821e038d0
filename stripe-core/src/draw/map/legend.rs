//! What the lines of a map mean, each with a sample.

use super::hatch::hatch;
use super::labels::{SMALL_MM, small_mm};
use super::outline::crossed_out;
use super::pieces;
use crate::draw::lettering::CAPITAL;
use crate::draw::scene::{Dash, GREY, Item, Path, Stroke, Text};
use crate::shape::{Point, point};

/// From row to row (mm).
const ROW_MM: f64 = 4.2;

/// What a sheet has to explain.
#[derive(Debug, Clone, Copy)]
pub(super) struct Legend {
    /// Finished lines.
    pub details: bool,
    /// Clips.
    pub clips: bool,
    /// Crosses to measure out.
    pub crosses: bool,
    /// Whether they have an arrow.
    pub arrows: bool,
    /// Pieces of other sheets.
    pub others: bool,
    /// Pieces that lie wrong side up.
    pub hatched: bool,
    /// Holes, stains, what is spoilt.
    pub avoided: bool,
    /// Pieces that are cut already.
    pub cut_already: bool,
    /// Pieces that lay elsewhere before.
    pub moved: bool,
}

/// What each kind of line on a map is called.
pub(in crate::draw) const WORDS: [&str; 10] = [
    CUT,
    FINISHED,
    CLIP,
    REVERSED,
    MEASURED,
    WITH_ARROW,
    OTHER_SHEET,
    AVOIDED,
    CUT_ALREADY,
    BEFORE,
];
const CUT: &str = "cut here";
const FINISHED: &str = "finished edge";
const CLIP: &str = "clip";
const REVERSED: &str =
    "reversed: flip the template, so that the wrong side of the fabric will show";
const MEASURED: &str = "measured point";
const WITH_ARROW: &str = "measured point; arrow: top of the motif";
const AVOIDED: &str = "not usable";
const BEFORE: &str = "where a piece lay before";
const CUT_ALREADY: &str = "cut already";
const OTHER_SHEET: &str = "piece on another sheet";

struct Entry {
    sample: Box<dyn Fn(Point) -> Vec<Item>>,
    sample_mm: f64,
    words: &'static str,
}

impl Legend {
    fn entries(self) -> Vec<Entry> {
        let line = |stroke: Stroke, words| Entry {
            sample: Box::new(move |at| {
                vec![Path::open(vec![at, point(at.x + 8.0, at.y)], stroke).into()]
            }),
            sample_mm: 8.0,
            words,
        };
        let mut entries = vec![line(pieces::cut_stroke(), CUT)];
        if self.details {
            entries.push(line(pieces::finished_stroke(), FINISHED));
        }
        if self.clips {
            entries.push(Entry {
                sample: Box::new(|at| {
                    let ends = [point(at.x, at.y + 1.0), point(at.x + 1.0, at.y - 1.0)];
                    vec![Path::open(ends.to_vec(), pieces::clip_stroke()).into()]
                }),
                sample_mm: 1.4,
                words: CLIP,
            });
        }
        if self.hatched {
            entries.push(Entry {
                sample: Box::new(|at| {
                    let ring = [(0.0, -1.3), (8.0, -1.3), (8.0, 1.3), (0.0, 1.3)];
                    let ring = ring.map(|(x, y)| point(at.x + x, at.y + y)).to_vec();
                    let mut items = hatch(std::slice::from_ref(&ring));
                    let edge = Some(pieces::cut_stroke());
                    items.push(Path::rings(vec![ring], None, edge).into());
                    items
                }),
                sample_mm: 8.0,
                words: REVERSED,
            });
        }
        let box_at = |at: Point| {
            let ring = [(0.0, -1.3), (8.0, -1.3), (8.0, 1.3), (0.0, 1.3)];
            ring.map(|(x, y)| point(at.x + x, at.y + y)).to_vec()
        };
        if self.avoided {
            entries.push(Entry {
                sample: Box::new(move |at| crossed_out(box_at(at))),
                sample_mm: 8.0,
                words: AVOIDED,
            });
        }
        if self.cut_already {
            entries.push(Entry {
                sample: Box::new(move |at| pieces::cut_already(vec![box_at(at)])),
                sample_mm: 8.0,
                words: CUT_ALREADY,
            });
        }
        if self.moved {
            entries.push(line(pieces::before_stroke(), BEFORE));
        }
        if self.crosses {
            entries.push(Entry {
                sample: Box::new(move |at| {
                    let at = point(at.x + 1.2, at.y);
                    vec![pieces::cross(pieces::strokes(
                        at,
                        point(1.0, 0.0),
                        self.arrows,
                    ))]
                }),
                sample_mm: if self.arrows { 4.2 } else { 2.4 },
                words: if self.arrows { WITH_ARROW } else { MEASURED },
            });
        }
        if self.crosses && self.others {
            let stroke = Stroke::ink(0.2).coloured(GREY).broken(Dash::Dotted);
            entries.push(line(stroke, OTHER_SHEET));
        }
        entries
    }

    /// The rows, from `at` on, and how high they are together.
    pub(super) fn draw(self, at: Point, room_mm: f64) -> (Vec<Item>, f64) {
        let mut items = Vec::new();
        let (mut x, mut y) = (at.x, at.y);
        for entry in self.entries() {
            let width = entry.sample_mm + 1.2 + small_mm(entry.words);
            if x > at.x && x + width > at.x + room_mm {
                (x, y) = (at.x, y + ROW_MM);
            }
            items.extend((entry.sample)(point(x, y)));
            let baseline = y + SMALL_MM * CAPITAL / 2.0;
            let words = Text::new(
                point(x + entry.sample_mm + 1.2, baseline),
                SMALL_MM,
                entry.words,
            );
            items.push(words.into());
            x += width + 4.0;
        }
        (items, y - at.y + ROW_MM)
    }

    /// How high the rows are (mm).
    pub(super) fn height_mm(self, room_mm: f64) -> f64 {
        self.draw(point(0.0, 0.0), room_mm).1
    }
}
