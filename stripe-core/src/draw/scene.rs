//! A drawing as plain data: paths and words on a sheet of known size.
//!
//! The **page frame** has its origin at the top left corner of the sheet, x right,
//! y down, in millimetres of paper. One scene becomes SVG, PNG and PDF alike.

use crate::colour::Colour;
use crate::shape::{Point, Region, point};
use std::sync::Arc;

/// A drawing on a sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Scene {
    /// Width of the sheet (mm).
    pub width_mm: f64,
    /// Height of the sheet (mm).
    pub height_mm: f64,
    /// What it is, in a few words: read out in place of the picture.
    pub title: String,
    /// What it shows, in a sentence or two.
    pub about: String,
    /// What is drawn, from the bottom up.
    pub items: Vec<Item>,
}

/// One thing in a drawing.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// Several things together.
    Group(Group),
    /// Lines and areas.
    Path(Path),
    /// A line of words.
    Text(Text),
    /// A picture made of pixels.
    Shown(Shown),
}

/// A picture made of pixels, in an upright rectangle.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// The rectangle's top left corner.
    pub corner: Point,
    /// Its width (mm).
    pub width_mm: f64,
    /// Its height (mm).
    pub height_mm: f64,
    /// The picture, a JPEG file.
    pub jpeg: Arc<Vec<u8>>,
    /// Whether it is shown left for right.
    pub is_mirrored: bool,
}

/// Several things, under a name or cut off at an outline.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Group {
    /// The group's name in the file; letters, digits and hyphens.
    pub name: Option<String>,
    /// Rings that cut off what lies outside of them (even-odd).
    pub clip: Vec<Vec<Point>>,
    /// What is in it.
    pub items: Vec<Item>,
}

/// Lines and areas of one look. Areas follow the even-odd rule.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Path {
    /// The lines.
    pub lines: Vec<Line>,
    /// The inside, if it is filled.
    pub fill: Option<Fill>,
    /// The line itself, if it is drawn.
    pub stroke: Option<Stroke>,
}

/// A line through points.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// The points; the first is not repeated where the line is closed.
    pub points: Vec<Point>,
    /// Whether it returns to its first point.
    pub closed: bool,
}

/// How an area is filled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fill {
    /// The colour.
    pub colour: Colour,
    /// 0 for clear to 1 for solid.
    pub opacity: f64,
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// The colour.
    pub colour: Colour,
    /// The width (mm).
    pub width_mm: f64,
    /// Solid or broken.
    pub dash: Dash,
}

/// Lines are told apart by how they are broken, never by hue alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dash {
    /// Unbroken.
    Solid,
    /// Dashes.
    Dashed,
    /// Dots.
    Dotted,
    /// A dash and a dot by turns.
    DashDot,
}

/// A line of words.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// Where the baseline begins, or its middle or end as `anchor` says.
    pub at: Point,
    /// What it says.
    pub words: String,
    /// Size of the letters (mm).
    pub size_mm: f64,
    /// What `at` is.
    pub anchor: Anchor,
    /// Whether it is bold.
    pub bold: bool,
    /// Turned about `at` (degrees clockwise, as it looks on the page).
    pub rotate_deg: f64,
    /// The colour.
    pub colour: Colour,
}

/// Which part of a line of words stands at its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// The colour of lines and words.
pub const INK: Colour = Colour::new(0x1a, 0x1a, 0x1a);
/// The colour of the sheet, of halos and plates.
pub const PAPER: Colour = Colour::new(0xff, 0xff, 0xff);
/// Lines and words that should stand back; 5.7 to 1 on paper, enough for small words.
pub const GREY: Colour = Colour::new(0x66, 0x66, 0x66);

impl Scene {
    /// The same sheet, cut off a little below the last thing drawn on it.
    pub fn trimmed(&self, edge_mm: f64) -> Self {
        Self {
            height_mm: (lowest(&self.items) + edge_mm).min(self.height_mm),
            ..self.clone()
        }
    }
}

/// How far down a sheet things reach (mm).
fn lowest(items: &[Item]) -> f64 {
    let reach = |item: &Item| match item {
        Item::Group(group) if group.clip.is_empty() => lowest(&group.items),
        Item::Group(group) => group.clip.iter().flatten().map(|p| p.y).fold(0.0, f64::max),
        Item::Path(path) => {
            let points = path.lines.iter().flat_map(|line| &line.points);
            points.map(|p| p.y).fold(0.0, f64::max)
        }
        Item::Text(text) => text.at.y + 0.3 * text.size_mm,
        Item::Shown(shown) => shown.corner.y + shown.height_mm,
    };
    items.iter().map(reach).fold(0.0, f64::max)
}

impl Stroke {
    /// A solid line in ink.
    pub fn ink(width_mm: f64) -> Self {
        Self {
            colour: INK,
            width_mm,
            dash: Dash::Solid,
        }
    }

    /// The same broken otherwise.
    pub fn broken(self, dash: Dash) -> Self {
        Self { dash, ..self }
    }

    /// The same in another colour.
    pub fn coloured(self, colour: Colour) -> Self {
        Self { colour, ..self }
    }
}

impl Fill {
    /// A solid area.
    pub fn solid(colour: Colour) -> Self {
        Self {
            colour,
            opacity: 1.0,
        }
    }
}

impl Path {
    /// Straight lines from point to point.
    pub fn open(points: Vec<Point>, stroke: Stroke) -> Self {
        Self {
            lines: vec![Line {
                points,
                closed: false,
            }],
            fill: None,
            stroke: Some(stroke),
        }
    }

    /// The segments given, each by its two ends.
    pub fn segments(ends: impl IntoIterator<Item = [Point; 2]>, stroke: Stroke) -> Self {
        let lines = ends
            .into_iter()
            .map(|ends| Line {
                points: ends.to_vec(),
                closed: false,
            })
            .collect();
        Self {
            lines,
            fill: None,
            stroke: Some(stroke),
        }
    }

    /// Closed rings.
    pub fn rings(rings: Vec<Vec<Point>>, fill: Option<Fill>, stroke: Option<Stroke>) -> Self {
        let lines = rings
            .into_iter()
            .map(|points| Line {
                points,
                closed: true,
            })
            .collect();
        Self {
            lines,
            fill,
            stroke,
        }
    }

    /// An vertical rectangle from its top left corner.
    pub fn rect(
        corner: Point,
        width_mm: f64,
        height_mm: f64,
        fill: Option<Fill>,
        stroke: Option<Stroke>,
    ) -> Self {
        let (x, y) = (corner.x, corner.y);
        let ring = vec![
            point(x, y),
            point(x + width_mm, y),
            point(x + width_mm, y + height_mm),
            point(x, y + height_mm),
        ];
        Self::rings(vec![ring], fill, stroke)
    }

    /// A circle, as a ring of short chords.
    pub fn circle(
        centre: Point,
        radius_mm: f64,
        fill: Option<Fill>,
        stroke: Option<Stroke>,
    ) -> Self {
        let chords = 64;
        let ring = (0..chords)
            .map(|i| {
                let turn = std::f64::consts::TAU * f64::from(i) / f64::from(chords);
                point(
                    centre.x + radius_mm * turn.cos(),
                    centre.y + radius_mm * turn.sin(),
                )
            })
            .collect();
        Self::rings(vec![ring], fill, stroke)
    }
}

impl Text {
    /// Words in ink from `at` on.
    pub fn new(at: Point, size_mm: f64, words: impl Into<String>) -> Self {
        Self {
            at,
            words: words.into(),
            size_mm,
            anchor: Anchor::Start,
            bold: false,
            rotate_deg: 0.0,
            colour: INK,
        }
    }

    /// The same words in bold.
    pub fn bold(self) -> Self {
        Self { bold: true, ..self }
    }

    /// The same words held elsewhere.
    pub fn anchored(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }

    /// The same words turned (degrees clockwise on the page).
    pub fn turned(self, rotate_deg: f64) -> Self {
        Self { rotate_deg, ..self }
    }

    /// The same words in another colour.
    pub fn coloured(self, colour: Colour) -> Self {
        Self { colour, ..self }
    }
}

impl Group {
    /// A group with a name in the file.
    pub fn named(name: &str, items: Vec<Item>) -> Self {
        Self {
            name: Some(name.to_owned()),
            clip: Vec::new(),
            items,
        }
    }

    /// A group cut off at rings.
    pub fn clipped(rings: Vec<Vec<Point>>, items: Vec<Item>) -> Self {
        Self {
            name: None,
            clip: rings,
            items,
        }
    }
}

impl Item {
    /// The same thing elsewhere on the sheet.
    pub fn moved(self, by: Point) -> Self {
        match self {
            Self::Group(group) => Self::Group(Group {
                clip: group
                    .clip
                    .into_iter()
                    .map(|ring| ring.into_iter().map(|p| p + by).collect())
                    .collect(),
                items: group.items.into_iter().map(|item| item.moved(by)).collect(),
                ..group
            }),
            Self::Path(path) => Self::Path(Path {
                lines: path
                    .lines
                    .into_iter()
                    .map(|line| Line {
                        points: line.points.into_iter().map(|p| p + by).collect(),
                        ..line
                    })
                    .collect(),
                ..path
            }),
            Self::Text(text) => Self::Text(Text {
                at: text.at + by,
                ..text
            }),
            Self::Shown(shown) => Self::Shown(Shown {
                corner: shown.corner + by,
                ..shown
            }),
        }
    }
}

impl From<Path> for Item {
    fn from(path: Path) -> Self {
        Self::Path(path)
    }
}

impl From<Text> for Item {
    fn from(text: Text) -> Self {
        Self::Text(text)
    }
}

impl From<Group> for Item {
    fn from(group: Group) -> Self {
        Self::Group(group)
    }
}

/// The rings of a region, outer first, none closed by a repeated point.
pub fn rings_of(region: &Region) -> Vec<Vec<Point>> {
    std::iter::once(region.exterior())
        .chain(region.interiors())
        .map(|ring| {
            let mut points = ring.0.clone();
            if points.len() > 1 && points.first() == points.last() {
                points.pop();
            }
            points
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn trimmed_to_what_is_drawn() {
        let square = |y: f64| Path::rect(point(1.0, y), 5.0, 5.0, None, Some(Stroke::ink(0.2)));
        let window = vec![point(0.0, 0.0), point(9.0, 0.0), point(9.0, 30.0)];
        let sheet = Scene {
            width_mm: 50.0,
            height_mm: 100.0,
            title: String::new(),
            about: String::new(),
            items: vec![
                square(10.0).into(),
                Group::clipped(vec![window], vec![square(60.0).into()]).into(),
            ],
        };
        // What a clip hides does not count.
        assert_eq!(sheet.trimmed(4.0).height_mm, 34.0);
        assert_eq!(sheet.trimmed(90.0).height_mm, 100.0);
    }
}
