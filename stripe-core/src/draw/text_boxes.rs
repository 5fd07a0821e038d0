//! Where the words of a drawing stand: what a test needs to tell that none lies on another.

use super::lettering::{CAPITAL, width_mm};
use super::scene::{Anchor, Item, Scene, Text};
use crate::shape::room::inside;
use crate::shape::{Point, dot, point, unit};

/// How far letters such as `g` reach below their line, in sizes of the font.
const DESCENT: f64 = 0.236;
/// Letters and signs that reach below their line.
const DEEP: &str = "gjpqyQ,;()[]{}/|_$@";

/// The box of a line of words, by the metrics of the font that it is drawn in.
#[derive(Debug, Clone, PartialEq)]
pub struct TextBox {
    /// What it says.
    pub words: String,
    /// Size of the letters (mm).
    pub size_mm: f64,
    /// The corners, one after another (page frame, mm).
    pub corners: [Point; 4],
}

/// The corners of a line of words that reaches so far (mm) above and below its baseline.
pub(super) fn corners(text: &Text, above_mm: f64, below_mm: f64) -> [Point; 4] {
    let width = width_mm(&text.words, text.size_mm, text.bold);
    let before = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => width / 2.0,
        Anchor::End => width,
    };
    let along = unit(text.rotate_deg.to_radians());
    let down = point(-along.y, along.x);
    let at = |s: f64, d: f64| {
        point(
            text.at.x + s * along.x + d * down.x,
            text.at.y + s * along.y + d * down.y,
        )
    };
    [
        at(-before, -above_mm),
        at(width - before, -above_mm),
        at(width - before, below_mm),
        at(-before, below_mm),
    ]
}

impl TextBox {
    fn new(text: &Text) -> Self {
        let deep = text.words.contains(|c| DEEP.contains(c));
        let below = if deep { DESCENT * text.size_mm } else { 0.0 };
        Self {
            words: text.words.clone(),
            size_mm: text.size_mm,
            corners: corners(text, CAPITAL * text.size_mm, below),
        }
    }

    /// Whether the two cover each other by more than `slack_mm` in every direction.
    ///
    /// # Source
    /// Two convex shapes lie apart if and only if they do so seen along the normal of one
    /// of their sides (the theorem of the separating axis).
    pub fn overlaps(&self, other: &Self, slack_mm: f64) -> bool {
        let axes = [self, other].into_iter().flat_map(|one| {
            let [a, b, _, d] = one.corners;
            [b - a, d - a]
        });
        let mut axes = axes.filter(|axis| dot(*axis, *axis) > 0.0);
        axes.all(|axis| {
            let long = dot(axis, axis).sqrt();
            let [mine, yours] = [self, other].map(|one| {
                let along = one.corners.map(|corner| dot(corner, axis) / long);
                let low = along.into_iter().fold(f64::INFINITY, f64::min);
                let high = along.into_iter().fold(f64::NEG_INFINITY, f64::max);
                (low, high)
            });
            mine.1.min(yours.1) - mine.0.max(yours.0) > slack_mm
        })
    }

    /// Whether it lies on a sheet of that size, wholly.
    pub fn is_within(&self, width_mm: f64, height_mm: f64) -> bool {
        let inside = |p: &Point| p.x >= 0.0 && p.y >= 0.0 && p.x <= width_mm && p.y <= height_mm;
        self.corners.iter().all(inside)
    }
}

impl Scene {
    /// The boxes of all words; not of those that a group cuts off.
    pub fn text_boxes(&self) -> Vec<TextBox> {
        fn visit(items: &[Item], clips: &mut Vec<Vec<Vec<Point>>>, boxes: &mut Vec<TextBox>) {
            for item in items {
                match item {
                    Item::Text(text) if !text.words.is_empty() => {
                        let found = TextBox::new(text);
                        let [a, _, c, _] = found.corners;
                        let middle = point((a.x + c.x) / 2.0, (a.y + c.y) / 2.0);
                        if clips.iter().all(|clip| inside(clip, middle)) {
                            boxes.push(found);
                        }
                    }
                    Item::Group(group) => {
                        if !group.clip.is_empty() {
                            clips.push(group.clip.clone());
                        }
                        visit(&group.items, clips, boxes);
                        if !group.clip.is_empty() {
                            clips.pop();
                        }
                    }
                    Item::Text(_) | Item::Path(_) | Item::Shown(_) => {}
                }
            }
        }
        let mut boxes = Vec::new();
        visit(&self.items, &mut Vec::new(), &mut boxes);
        boxes
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn boxes_turn_with_their_words() {
        let level = TextBox::new(&Text::new(point(10.0, 10.0), 4.0, "level"));
        let wide = width_mm("level", 4.0, false);
        assert!((level.corners[2].x - 10.0 - wide).abs() < 1e-9);
        assert!((level.corners[0].y - (10.0 - 4.0 * CAPITAL)).abs() < 1e-9);
        // Turned up the page, beginning at the same point, they run upwards.
        let upwards = TextBox::new(&Text::new(point(10.0, 10.0), 4.0, "level").turned(-90.0));
        assert!((upwards.corners[1].y - (10.0 - wide)).abs() < 1e-9);
        assert!(!upwards.overlaps(&level, 0.0));
        let across = TextBox::new(&Text::new(point(12.0, 12.0), 4.0, "level").turned(-45.0));
        assert!(across.overlaps(&level, 0.0) && level.overlaps(&across, 0.0));
        assert!(level.is_within(40.0, 10.5) && !level.is_within(40.0, 9.9));
    }
}
