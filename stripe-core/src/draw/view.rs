//! From a frame with y up to a page with y down, at a scale.

use crate::shape::{Point, Region, Rigid, point};
use geo::{LineString, Simplify};

/// What an outline may be off on the page (mm): a tenth of a thin line's width. Arcs that are
/// flattened for cutting have far more corners than a small map can show, and each costs time
/// in every file that is drawn.
const OFF_MM: f64 = 0.02;

/// How a fabric or a motif is shown on the page.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// Millimetres of paper for one of the frame.
    pub scale: f64,
    /// Where on the page the frame's `origin` is shown.
    pub at: Point,
    /// The frame's point that is shown there.
    pub origin: Point,
}

impl View {
    /// Where a point of the frame is shown.
    pub fn apply(&self, p: Point) -> Point {
        point(
            self.at.x + (p.x - self.origin.x) * self.scale,
            self.at.y - (p.y - self.origin.y) * self.scale,
        )
    }

    /// Where a direction of the frame points on the page.
    pub fn turn(&self, v: Point) -> Point {
        point(v.x * self.scale, -v.y * self.scale)
    }

    /// Rings of a frame on the page, with as few corners as show them there.
    pub fn rings(&self, rings: &[Vec<Point>]) -> Vec<Vec<Point>> {
        rings.iter().map(|ring| self.ring(ring)).collect()
    }

    fn ring(&self, ring: &[Point]) -> Vec<Point> {
        let mut corners: LineString = ring.iter().map(|&p| self.apply(p)).collect();
        corners.close();
        let mut shown = corners.simplify(OFF_MM).into_inner();
        shown.pop();
        // What is smaller than a line is wide keeps the corners that it has.
        if shown.len() < 3 {
            shown = corners.into_inner();
            shown.pop();
        }
        shown
    }
}

/// The rings of a piece's region where the piece lies.
pub fn laid(region: &Region, map: &Rigid) -> Vec<Vec<Point>> {
    super::scene::rings_of(region)
        .into_iter()
        .map(|ring| ring.into_iter().map(|p| map.apply(p)).collect())
        .collect()
}
