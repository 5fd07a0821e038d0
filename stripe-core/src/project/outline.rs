//! `points` of a drawn part: a simple polygon, counter-clockwise.

use super::limits::{CORNERS, MIN_SIZE_MM, PLACES_MM};
use super::section::{Section, Value};
use crate::length::{Length, Unit};
use crate::shape::{Point, cross, distance, point};
use std::ops::Range;
use toml::de::DeValue;

pub(super) fn read_outline(section: &Section<'_, '_>) -> Option<Vec<Point>> {
    let Some((entries, place)) = section.list("points") else {
        if section.get("points").is_none() {
            let help = "list its corners in order: points = [[0, 0], [3, 0], [3, 2]]";
            section.missing("points", help);
        }
        return None;
    };
    corners_of(section, &section.what, entries, place)
}

/// The outline that a list of corners encloses, counter-clockwise; two corners are opposite
/// ones of a rectangle.
pub(super) fn read_corners(
    section: &Section<'_, '_>,
    what: &str,
    list: &Value<'_>,
) -> Option<Vec<Point>> {
    let DeValue::Array(entries) = list.get_ref() else {
        let help = "list its corners, or two opposite ones: [[3, 4], [5, 6]]";
        section.fault(list.span(), format!("{what} is a list of corners"), help);
        return None;
    };
    if let [one, other] = &**entries {
        let (a, b) = (read_point(section, one)?, read_point(section, other)?);
        if a.x == b.x || a.y == b.y {
            let help = "its two corners lie opposite each other, not side by side";
            section.fault(list.span(), format!("{what} holds no fabric"), help);
            return None;
        }
        let (low, high) = (
            point(a.x.min(b.x), a.y.min(b.y)),
            point(a.x.max(b.x), a.y.max(b.y)),
        );
        return Some(vec![low, point(high.x, low.y), high, point(low.x, high.y)]);
    }
    corners_of(section, what, entries, list.span())
}

fn corners_of(
    section: &Section<'_, '_>,
    what: &str,
    entries: &[Value<'_>],
    place: Range<usize>,
) -> Option<Vec<Point>> {
    if entries.len() > *CORNERS.end() {
        let message = format!("{what} has {} corners", entries.len());
        section.fault(place, message, format!("use at most {}", CORNERS.end()));
        return None;
    }
    let read: Vec<Option<Point>> = entries
        .iter()
        .map(|entry| read_point(section, entry))
        .collect();
    let mut corners: Vec<Point> = read.into_iter().collect::<Option<_>>()?;
    // The way back to the first corner goes without saying, but may be said.
    if corners.len() > 1 && corners.first() == corners.last() {
        corners.pop();
    }
    if let Some(flaw) = flaw(what, section.context.unit, &corners, MIN_SIZE_MM) {
        let place = flaw.corner.map_or(place, |corner| entries[corner].span());
        section.fault(place, flaw.message, flaw.help);
        return None;
    }
    if doubled_area(&corners) < 0.0 {
        corners.reverse();
    }
    Some(corners)
}

fn read_point(section: &Section<'_, '_>, entry: &Value<'_>) -> Option<Point> {
    let DeValue::Array(pair) = entry.get_ref() else {
        let message = format!("a corner of {} is a pair of lengths", section.what);
        section.fault(entry.span(), message, "write it as [x, y]");
        return None;
    };
    let [x, y] = &**pair else {
        let message = format!("a corner of {} has {} lengths", section.what, pair.len());
        section.fault(entry.span(), message, "write it as [x, y]");
        return None;
    };
    let read = |value| section.to_length("points", value, PLACES_MM);
    let (x, y) = (read(x), read(y));
    Some(point(x?, y?))
}

/// What keeps corners from making a shape that can be cut.
pub(super) struct Flaw {
    /// The corner that it is found at, counted from 0, if it is one.
    corner: Option<usize>,
    pub(super) message: String,
    pub(super) help: String,
}

impl Flaw {
    fn of_all(message: String, help: &str) -> Option<Self> {
        Some(Self {
            corner: None,
            message,
            help: help.to_owned(),
        })
    }

    fn at(corner: usize, message: String, help: impl Into<String>) -> Option<Self> {
        Some(Self {
            corner: Some(corner),
            message,
            help: help.into(),
        })
    }
}

/// The first flaw of the corners of `what`, whose lengths are shown in `unit`; corners less
/// than `apart_mm` apart are one.
pub(super) fn flaw(what: &str, unit: Unit, corners: &[Point], apart_mm: f64) -> Option<Flaw> {
    if corners.len() > *CORNERS.end() {
        let message = format!("{what} has {} corners", corners.len());
        return Flaw::of_all(message, &format!("use at most {}", CORNERS.end()));
    }
    let is_far = |p: &Point| !(PLACES_MM.contains(&p.x) && PLACES_MM.contains(&p.y));
    if let Some(corner) = corners.iter().position(is_far) {
        let message = format!("a corner of {what} is too far away");
        return Flaw::at(corner, message, "check its unit");
    }
    if corners.len() < *CORNERS.start() {
        let message = format!("{what} has {} corners", corners.len());
        return Flaw::of_all(message, "a drawn outline needs at least three");
    }
    if let Some(flaw) = crossing(what, unit, corners, apart_mm) {
        return Some(flaw);
    }
    if doubled_area(corners).abs() < MIN_SIZE_MM * MIN_SIZE_MM {
        let message = format!("the outline of {what} holds no fabric");
        return Flaw::of_all(message, "its corners must not lie on one line");
    }
    None
}

/// Two sides that touch though they do not follow each other; the first crossing is named
/// by its corners, counted from 1.
fn crossing(what: &str, unit: Unit, corners: &[Point], apart_mm: f64) -> Option<Flaw> {
    let n = corners.len();
    for i in 0..n {
        let (a, b) = (corners[i], corners[(i + 1) % n]);
        if distance(a, b) < apart_mm {
            let message = format!(
                "corners {} and {} of {what} are one",
                i + 1,
                (i + 1) % n + 1
            );
            let help = format!("corners lie at least {apart_mm} mm apart");
            return Flaw::at(i, message, help);
        }
        if folds_back(a, b, corners[(i + 2) % n]) {
            let message = format!("the outline of {what} runs back upon itself");
            return Flaw::at((i + 1) % n, message, "take this corner out");
        }
        for j in i + 2..n {
            if (j + 1) % n == i {
                continue;
            }
            let (c, d) = (corners[j], corners[(j + 1) % n]);
            if sides_touch(a, b, c, d) {
                let shown = |p: Point| {
                    let show = |mm| Length::from_mm(mm).shown(unit);
                    format!("({}, {})", show(p.x), show(p.y))
                };
                let message = format!(
                    "the outline of {what} crosses itself: the side from {} to {} meets the side from {} to {}",
                    shown(a),
                    shown(b),
                    shown(c),
                    shown(d)
                );
                let help = "list the corners in the order in which you would walk round the shape";
                return Flaw::at(j, message, help);
            }
        }
    }
    None
}

/// Whether the way from `b` to `c` returns along the way from `a` to `b`.
fn folds_back(a: Point, b: Point, c: Point) -> bool {
    let (there, back) = (b - a, c - b);
    cross(there, back).abs() < 1e-9 && there.x * back.x + there.y * back.y < 0.0
}

fn sides_touch(a: Point, b: Point, c: Point, d: Point) -> bool {
    let side = |p: Point, q: Point, r: Point| cross(q - p, r - p);
    let (c_side, d_side) = (side(a, b, c), side(a, b, d));
    let (a_side, b_side) = (side(c, d, a), side(c, d, b));
    if c_side * d_side < 0.0 && a_side * b_side < 0.0 {
        return true;
    }
    let within = |p: Point, q: Point, r: Point| {
        (p.x.min(q.x)..=p.x.max(q.x)).contains(&r.x) && (p.y.min(q.y)..=p.y.max(q.y)).contains(&r.y)
    };
    (c_side == 0.0 && within(a, b, c))
        || (d_side == 0.0 && within(a, b, d))
        || (a_side == 0.0 && within(c, d, a))
        || (b_side == 0.0 && within(c, d, b))
}

/// Twice the area, positive where the corners run counter-clockwise.
pub(super) fn doubled_area(corners: &[Point]) -> f64 {
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).map(|(&a, &b)| cross(a, b)).sum()
}
