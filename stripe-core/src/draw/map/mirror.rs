//! The fabric as it lies wrong side up: the whole picture the other way around, words
//! still to be read.

use crate::draw::scene::{Anchor, Group, Item, Line, Path, Shown, Text};
use crate::shape::{Point, point};

/// What letters reach above and below their line, in sizes (as in all drawings).
const ABOVE: f64 = 0.76;
const BELOW: f64 = 0.24;

/// The items left for right on a page of that width.
pub(super) fn mirrored(items: Vec<Item>, page_mm: f64) -> Vec<Item> {
    let turn = |p: Point| point(page_mm - p.x, p.y);
    items
        .into_iter()
        .map(|item| match item {
            Item::Group(group) => Item::Group(Group {
                clip: group
                    .clip
                    .into_iter()
                    .map(|ring| ring.into_iter().map(turn).collect())
                    .collect(),
                items: mirrored(group.items, page_mm),
                ..group
            }),
            Item::Path(path) => Item::Path(Path {
                lines: path
                    .lines
                    .into_iter()
                    .map(|line| Line {
                        points: line.points.into_iter().map(turn).collect(),
                        ..line
                    })
                    .collect(),
                ..path
            }),
            Item::Text(text) => Item::Text(words(text, page_mm)),
            Item::Shown(shown) => Item::Shown(Shown {
                corner: point(page_mm - shown.corner.x - shown.width_mm, shown.corner.y),
                is_mirrored: !shown.is_mirrored,
                ..shown
            }),
        })
        .collect()
}

/// A line of words fills the mirror image of the box that it filled.
fn words(text: Text, page_mm: f64) -> Text {
    let x = page_mm - text.at.x;
    if text.rotate_deg == 0.0 {
        let anchor = match text.anchor {
            Anchor::Start => Anchor::End,
            Anchor::Middle => Anchor::Middle,
            Anchor::End => Anchor::Start,
        };
        Text {
            at: point(x, text.at.y),
            anchor,
            ..text
        }
    } else {
        // Words that stand upright reach further to one side than to the other.
        let x = x + (ABOVE - BELOW) * text.size_mm;
        Text {
            at: point(x, text.at.y),
            ..text
        }
    }
}
