//! `[[fabric.NAME.in_hand]]`: pieces of a fabric that the maker has already.

use super::limits::{DISTANCES_MM, IN_HAND, MAX_NAME_CHARS, MIN_SIZE_MM, PLACES_MM, SIZES_MM};
use super::outline::{read_corners, read_outline};
use super::section::{Section, Value};
use crate::fabric::{Fabric, InHand, ReadyCut, Stripe};
use crate::length::{Length, Unit};
use crate::quote::quoted;
use crate::shape::ring::extent;
use crate::shape::{Point, point};
use geo::Contains;
use geo_types::{LineString, Polygon};
use std::ops::Range;
use toml::Spanned;

/// All pieces in hand of a fabric whose width and stripe are known; those at fault are left out.
pub(super) fn read_in_hand(section: &Section<'_, '_>, fabric: &Fabric) -> Vec<InHand> {
    let Some((entries, place)) = section.list("in_hand") else {
        return vec![];
    };
    let mut read: Vec<InHand> = vec![];
    for (i, entry) in entries.iter().enumerate() {
        let what = format!("piece in hand {} of fabric `{}`", i + 1, fabric.name);
        let Some((one, count)) = read_one(section, entry, what, fabric) else {
            continue;
        };
        if read.len() + count > *IN_HAND.end() {
            let message = format!(
                "{} has more than {} pieces in hand",
                IN_HAND.end(),
                section.what
            );
            let help = format!("list the {} largest of them", IN_HAND.end());
            section.fault(place, message, help);
            return read;
        }
        for number in 1..=count {
            let name = if count > 1 {
                format!("{} {number}", one.name)
            } else {
                one.name.clone()
            };
            read.push(InHand {
                name,
                ..one.clone()
            });
        }
    }
    // Each has a map of its own: two of one name are told apart by numbers.
    for i in 0..read.len() {
        let name = read[i].name.clone();
        let same = read[..i].iter().filter(|one| one.name == name).count();
        if same > 0 {
            read[i].name = format!("{name} ({})", same + 1);
        }
    }
    read
}

fn read_one(
    parent: &Section<'_, '_>,
    entry: &Value<'_>,
    what: String,
    fabric: &Fabric,
) -> Option<(InHand, usize)> {
    let section = Section::of(what, entry, parent.context)?;
    let name = section.text("name", MAX_NAME_CHARS);
    let count = section.count("count", IN_HAND);
    let size = read_size(&section, fabric);
    let squaring_mm = section
        .length("squaring", DISTANCES_MM)
        .map_or(0.0, Spanned::into_inner);
    let starts = [
        read_start(&section, fabric, "start"),
        read_start(&section, fabric, "start_along"),
    ];
    let (known, outline) = size?;
    let (shift, mut outline) = to_corner(outline);
    if squaring_mm > 0.0 && !squared(&section, &mut outline, squaring_mm) {
        return None;
    }
    let avoid = read_avoid(&section, &outline, shift)?;
    section.close();
    let [origin_mm, origin_along_mm] = starts;
    let one = InHand {
        name: name.map_or_else(|| known.to_owned(), Spanned::into_inner),
        outline,
        avoid,
        origin_mm: origin_mm?,
        origin_along_mm: origin_along_mm?,
    };
    Some((one, count.map_or(1, Spanned::into_inner)))
}

/// What a piece is called if nobody names it, and its outline.
fn read_size(section: &Section<'_, '_>, fabric: &Fabric) -> Option<(&'static str, Vec<Point>)> {
    let [have, width, length, points] =
        ["have", "width", "length", "points"].map(|key| section.get(key).is_some());
    let rectangle = |(x, y): (f64, f64)| {
        [(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)]
            .map(|(x, y)| point(x, y))
            .to_vec()
    };
    match (have, width || length, points) {
        (true, false, false) => {
            let value = section.get("have")?;
            let ready = [
                ("fat quarter", ReadyCut::FatQuarter),
                ("fat eighth", ReadyCut::FatEighth),
            ];
            let text = value.get_ref().as_str().unwrap_or_default();
            if let Some(&(name, cut)) = ready.iter().find(|(name, _)| *name == text) {
                let is_imperial = section.context.unit == Unit::Inch;
                return Some((name, rectangle(cut.size_mm(fabric.width_mm, is_imperial))));
            }
            if text.starts_with("fat") {
                let help = "write have = \"fat quarter\", have = \"fat eighth\", or a length such as \"3/4 yd\"";
                let message = format!("there is no ready cut called {}", quoted(text));
                section.fault(value.span(), message, help);
                return None;
            }
            let length = section.length("have", SIZES_MM)?.into_inner();
            Some(("length", rectangle((fabric.width_mm, length))))
        }
        (false, true, false) => {
            let size = |key, example: &str| {
                if section.get(key).is_none() {
                    section.missing(key, format!("give both sides: {key} = {example}"));
                }
                section.length(key, SIZES_MM).map(Spanned::into_inner)
            };
            let (width, length) = (size("width", "\"13 in\""), size("length", "\"20 in\""));
            Some(("remnant", rectangle((width?, length?))))
        }
        (false, false, true) => Some(("remnant", read_outline(section)?)),
        (false, false, false) => {
            let help = "write have = \"3/4 yd\" or have = \"fat quarter\", a width and a length, or its corners as points";
            section.missing("have", help);
            None
        }
        _ => {
            let message = format!("{} is measured in two ways", section.what);
            let help = "keep one: have, or width and length, or points";
            section.fault(section.span.clone(), message, help);
            None
        }
    }
}

/// Corners with the leftmost at 0 and the lowest at 0, and by how much they were moved.
fn to_corner(outline: Vec<Point>) -> (Point, Vec<Point>) {
    let (low, _) = extent(outline.iter().copied());
    let moved = outline.into_iter().map(|p| p - low).collect();
    (low, moved)
}

/// Takes what squaring up costs off the length; whether that can be.
fn squared(section: &Section<'_, '_>, outline: &mut [Point], squaring_mm: f64) -> bool {
    let (_, high) = extent(outline.iter().copied());
    let is_upright = outline.len() == 4
        && outline
            .iter()
            .all(|p| (p.x == 0.0 || p.x == high.x) && (p.y == 0.0 || p.y == high.y));
    let place = section.key_span("squaring");
    if !is_upright {
        let message = format!("{} has corners, and `squaring`", section.what);
        section.fault(
            place,
            message,
            "give the corners of what can be used, and take `squaring` out",
        );
        return false;
    }
    if squaring_mm > high.y - MIN_SIZE_MM {
        let message = format!("squaring up {} leaves nothing of it", section.what);
        section.fault(place, message, "check its length, or give less squaring");
        return false;
    }
    for p in outline.iter_mut().filter(|p| p.y > 0.0) {
        p.y -= squaring_mm;
    }
    true
}

/// `start` or `start_along`: no further than a repeat. Without it as on the whole fabric.
fn read_start(section: &Section<'_, '_>, fabric: &Fabric, key: &'static str) -> Option<f64> {
    let along = key == "start_along";
    let stripe = fabric.stripe();
    let repeats = stripe.and_then(|stripe| match (along, stripe.along()) {
        (false, _) => Some((stripe.repeat_mm(), stripe.origin_mm())),
        (true, Some(along)) => Some((along.repeat_mm, along.start_mm)),
        (true, None) => None,
    });
    let Some((repeat_mm, origin_mm)) = repeats else {
        if section.get(key).is_some() {
            let message = format!(
                "{} has a `{key}`, but its fabric has nothing that repeats there",
                section.what
            );
            section.fault(section.key_span(key), message, "take this line out");
            return None;
        }
        return Some(0.0);
    };
    if section.get(key).is_none() {
        return Some(origin_mm);
    }
    let start = section.length(key, PLACES_MM)?;
    if start.get_ref().abs() > repeat_mm {
        let shown = |mm| Length::from_mm(mm).shown(section.context.unit);
        let message = format!(
            "the stripe of {} begins {} from its edge, but repeats every {}",
            section.what,
            shown(*start.get_ref()),
            shown(repeat_mm)
        );
        let help = format!(
            "measure to the first {} that begins on it",
            first_band(stripe)
        );
        section.fault(section.key_span(key), message, help);
        return None;
    }
    Some(start.into_inner())
}

fn first_band(stripe: Option<&Stripe>) -> String {
    stripe.map_or_else(
        || "band".to_owned(),
        |stripe| format!("{:?} band", stripe.bands()[0].name),
    )
}

/// Holes and stains: lists of corners, two of which are opposite corners of a rectangle.
fn read_avoid(
    section: &Section<'_, '_>,
    outline: &[Point],
    shift: Point,
) -> Option<Vec<Vec<Point>>> {
    let Some((entries, place)) = section.list("avoid") else {
        return Some(vec![]);
    };
    if entries.len() > *IN_HAND.end() {
        let message = format!("{} has {} places to avoid", section.what, entries.len());
        section.fault(place, message, format!("use at most {}", IN_HAND.end()));
        return None;
    }
    let whole = region(outline);
    let read: Vec<Option<Vec<Point>>> = entries
        .iter()
        .map(|entry| {
            let what = format!("a hole or stain of {}", section.what);
            let corners = read_corners(section, &what, entry)?;
            let corners: Vec<Point> = corners.into_iter().map(|p| p - shift).collect();
            keep_inside(section, &whole, corners, entry.span())
        })
        .collect();
    read.into_iter().collect()
}

fn keep_inside(
    section: &Section<'_, '_>,
    whole: &Polygon<f64>,
    corners: Vec<Point>,
    place: Range<usize>,
) -> Option<Vec<Point>> {
    // Stains may reach over the edge, but one that lies beside the piece is a slip.
    if corners.iter().any(|p| whole.contains(p))
        || region(&corners).contains(&whole.exterior().0[0])
    {
        return Some(corners);
    }
    let message = format!("a hole or stain lies outside {}", section.what);
    let help = "measure it from the left edge and from the lower edge of the piece";
    section.fault(place, message, help);
    None
}

fn region(corners: &[Point]) -> Polygon<f64> {
    Polygon::new(LineString(corners.to_vec()), vec![])
}
