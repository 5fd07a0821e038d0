//! Plane geometry: points ([`point`]), outlines, arcs, rigid maps. Millimetres, `f64`, y up,
//! angles counter-clockwise.

#[doc(hidden)]
pub mod arc;
#[doc(hidden)]
pub mod offset;
mod rigid;
#[doc(hidden)]
pub mod ring;
pub(crate) mod room;

pub use rigid::Rigid;

/// A point or a vector, in millimetres.
pub type Point = geo_types::Coord<f64>;
/// A region with straight edges: outer ring counter-clockwise, holes clockwise.
pub type Region = geo_types::Polygon<f64>;

/// A point from its coordinates.
pub const fn point(x: f64, y: f64) -> Point {
    Point { x, y }
}

/// The unit vector at `rad` counter-clockwise from the x axis.
pub fn unit(rad: f64) -> Point {
    point(rad.cos(), rad.sin())
}

/// `a . b`.
pub fn dot(a: Point, b: Point) -> f64 {
    a.x * b.x + a.y * b.y
}

/// The z part of `a x b`: positive where `b` turns left of `a`.
pub fn cross(a: Point, b: Point) -> f64 {
    a.x * b.y - a.y * b.x
}

/// The distance between two points.
pub fn distance(a: Point, b: Point) -> f64 {
    (a.x - b.x).hypot(a.y - b.y)
}

/// The lowest and the highest coordinates of points, as two corners.
pub(crate) fn corners_of<'a>(points: impl IntoIterator<Item = &'a Point>) -> [Point; 2] {
    let start = [
        point(f64::INFINITY, f64::INFINITY),
        point(f64::NEG_INFINITY, f64::NEG_INFINITY),
    ];
    points.into_iter().fold(start, |[low, high], p| {
        [
            point(low.x.min(p.x), low.y.min(p.y)),
            point(high.x.max(p.x), high.y.max(p.y)),
        ]
    })
}
