//! A motif from an SVG drawing of true size.
//!
//! Each closed path is a piece, named by its `id`; what is drawn later lies above. A path named
//! `ground` is no piece: pieces are sewn into a seam along it. Nothing is opened, followed or run.

mod faults;
pub mod limits;
mod path;
mod size;
mod snap;
#[cfg(test)]
mod tests;
mod tree;

pub use faults::DrawingFault;
pub use snap::{Apart, Snapped};

use crate::motif::outline_ring;
use crate::shape::{Point, distance};
use faults::Noted;
use limits::{MAX_CORNERS, MAX_DRAWING_BYTES, MAX_NODES, MAX_SIZE_MM, SNAP_TOL_MM};
use tree::{Drawn, called, shapes};

/// What a drawing says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drawing {
    /// Its pieces, bottom layer first: name, and corners in the motif's frame (mm, y up, origin
    /// in the middle of the page), counter-clockwise, the end not repeated.
    pub pieces: Vec<(String, Vec<Point>)>,
    /// The seam lines of the background, edge by edge (mm).
    pub ground: Vec<[Point; 2]>,
    /// Where edges of neighbours were brought together.
    pub snapped: Vec<Snapped>,
    /// Where they run along each other a little further apart, and were left so.
    pub apart: Vec<Apart>,
}

/// The name of the path that gives the seam lines.
pub const GROUND: &str = "ground";
/// Ends of a line that lie no further apart than this meet (mm).
const CLOSED_MM: f64 = 0.01;

/// Reads a drawing.
///
/// # Errors
/// Every fault of it (at most 30), each with its line.
pub fn read(bytes: &[u8]) -> Result<Drawing, Vec<DrawingFault>> {
    if bytes.len() > MAX_DRAWING_BYTES {
        return Err(whole(
            1,
            "the drawing is larger than 4 MB",
            "take out what is not a piece",
        ));
    }
    let Ok(text) = std::str::from_utf8(bytes) else {
        let help = "save it as plain SVG, not compressed, in UTF-8";
        return Err(whole(1, "the drawing is not UTF-8 text", help));
    };
    let mut noted = Noted::of(text);
    // Entities multiply: a few bytes may stand for gigabytes.
    if let Some(at) = text.find("<!ENTITY") {
        noted.add(
            at..at,
            "the drawing declares an entity (`<!ENTITY`)".into(),
            "save it as plain SVG",
        );
        return Err(noted.into_all());
    }
    let options = roxmltree::ParsingOptions {
        allow_dtd: true,
        nodes_limit: MAX_NODES,
        ..Default::default()
    };
    let document =
        roxmltree::Document::parse_with_options(text, options).map_err(|error| match error {
            roxmltree::Error::NodesLimitReached => whole(
                1,
                &format!("the drawing has more than {MAX_NODES} elements"),
                "take out what is not a piece",
            ),
            other => whole(
                other.pos().row as usize,
                &format!("the drawing cannot be read: {other}"),
                "open it in your drawing program and save it as plain SVG",
            ),
        })?;
    let root = document.root_element();
    if !root.has_tag_name(("http://www.w3.org/2000/svg", "svg")) {
        let message = "the file is no SVG drawing: it does not begin with <svg xmlns=\"http://www.w3.org/2000/svg\">";
        return Err(whole(1, message, "save the drawing as plain SVG"));
    }
    for key in ["transform", "clip-path", "mask"] {
        if root.attribute(key).is_some() {
            noted.add(
                root.range(),
                format!("the drawing as a whole has a `{key}`"),
                "put it on a group inside",
            );
        }
    }
    match size::page(root) {
        Ok(page) => {
            let drawn = shapes(root, page.to_motif, &mut noted);
            let drawing = gather(drawn, &mut noted);
            let faults = noted.into_all();
            if faults.is_empty() {
                Ok(drawing)
            } else {
                Err(faults)
            }
        }
        Err((message, help)) => {
            noted.add(root.range(), message, &help);
            Err(noted.into_all())
        }
    }
}

fn whole(line: usize, message: &str, help: &str) -> Vec<DrawingFault> {
    vec![DrawingFault {
        line,
        message: message.to_owned(),
        help: help.to_owned(),
    }]
}

/// Pieces and seam lines, neighbours brought together.
fn gather(drawn: Vec<Drawn>, noted: &mut Noted<'_>) -> Drawing {
    let mut drawing = Drawing::default();
    let mut places = vec![];
    for shape in drawn {
        let what = called("path", &shape.name);
        let is_far = |p: &Point| !(p.x.abs() <= MAX_SIZE_MM && p.y.abs() <= MAX_SIZE_MM);
        if shape.lines.iter().flat_map(|line| &line.points).any(is_far) {
            noted.add(
                shape.place,
                format!("{what} reaches too far"),
                "check its size and its transforms",
            );
            continue;
        }
        if shape.name == GROUND {
            for line in &shape.lines {
                drawing
                    .ground
                    .extend(line.points.windows(2).map(|pair| [pair[0], pair[1]]));
                if let (true, Some(&last), Some(&first)) =
                    (line.is_closed, line.points.last(), line.points.first())
                {
                    drawing.ground.push([last, first]);
                }
            }
            continue;
        }
        if shape.name.is_empty() {
            noted.add(
                shape.place,
                "a piece has no name: its shape has no id".to_owned(),
                "give it an id in your drawing program: pieces are known by it",
            );
            continue;
        }
        if shape.name.chars().count() > 40 || shape.name.chars().any(char::is_control) {
            noted.add(
                shape.place,
                format!("the id {what} is too long"),
                "use at most 40 characters",
            );
            continue;
        }
        if drawing.pieces.iter().any(|(name, _)| *name == shape.name) {
            noted.add(
                shape.place,
                format!("two pieces are named {what}"),
                "give each path an id of its own",
            );
            continue;
        }
        let [line] = shape.lines.as_slice() else {
            let (message, help) = if shape.lines.is_empty() {
                (format!("{what} draws nothing"), "take it out")
            } else {
                several(&what, &shape.lines)
            };
            noted.add(shape.place, message, help);
            continue;
        };
        let ends_meet = distance(line.points[0], line.points[line.points.len() - 1]) <= CLOSED_MM;
        if !line.is_closed && !ends_meet {
            noted.add(
                shape.place,
                format!("{what} is open: its line does not return to its start"),
                "close the path",
            );
            continue;
        }
        if line.points.len() > MAX_CORNERS {
            let message = format!(
                "{what} has {} corners, its curves flattened",
                line.points.len()
            );
            noted.add(shape.place, message, "use at most 1,000: simplify the path");
            continue;
        }
        let mut points = line.points.clone();
        if !line.is_closed {
            points.pop();
        }
        match ring_of(&points) {
            Ok(ring) => {
                drawing.pieces.push((shape.name, ring));
                places.push(shape.place);
            }
            Err(why) => noted.add(
                shape.place,
                format!("{what}: {why}"),
                "mend it in your drawing program",
            ),
        }
    }
    if drawing.pieces.is_empty() && noted.is_empty() {
        noted.add(
            0..0,
            "the drawing has no piece".into(),
            "draw each piece as a closed path with an id",
        );
    }
    bring_together(&mut drawing);
    for ((name, ring), place) in drawing.pieces.iter_mut().zip(places) {
        match ring_of(ring) {
            Ok(_) => {}
            Err(why) => noted.add(
                place,
                format!("`{name}`: once edges within {SNAP_TOL_MM} mm of a neighbour are brought together, {why}"),
                "let neighbours share one edge exactly, or draw them further apart",
            ),
        }
    }
    drawing
}

/// Why a path of several outlines is no piece: pieces are laid and cut by one outline, and a
/// hole that is filled in silence would hide what was to show through it.
fn several(what: &str, lines: &[path::Line]) -> (String, &'static str) {
    let inside = |p: Point, ring: &[Point]| {
        let crossed = crate::shape::ring::edges(ring).filter(|(a, b)| {
            (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)
        });
        crossed.count() % 2 == 1
    };
    let holes = lines.iter().enumerate().filter(|(i, line)| {
        let others = lines.iter().enumerate().filter(|(j, _)| j != i);
        others
            .into_iter()
            .any(|(_, other)| inside(line.points[0], &other.points))
    });
    match (lines.len() > 100, holes.count()) {
        (false, 1) if lines.len() == 2 => (
            format!("{what} has a hole, and a piece has one outline"),
            "draw what shows in the hole as a piece above it, or cut the shape open into two pieces that meet",
        ),
        _ => (
            format!("{what} has {} outlines, and a piece has one", lines.len()),
            "break it apart; a hole is covered by a piece above it",
        ),
    }
}

fn ring_of(points: &[Point]) -> Result<Vec<Point>, String> {
    let ring = outline_ring(points).map_err(|error| error.to_string())?;
    let doubled: f64 = crate::shape::ring::edges(&ring)
        .map(|(a, b)| crate::shape::cross(a, b))
        .sum();
    if doubled < 0.5 {
        return Err("it holds no fabric".to_owned());
    }
    Ok(ring)
}

/// Neighbours share one edge where they all but touch.
fn bring_together(drawing: &mut Drawing) {
    for i in 1..drawing.pieces.len() {
        let (before, rest) = drawing.pieces.split_at_mut(i);
        let (name, ring) = &mut rest[0];
        for (other_name, other) in before {
            let gap_mm = snap::snap(other, ring);
            if gap_mm > 1e-3 {
                drawing.snapped.push(Snapped {
                    stays: other_name.clone(),
                    moved: name.clone(),
                    gap_mm,
                });
            } else if let Some(gap_mm) = snap::gap(other, ring) {
                drawing.apart.push(Apart {
                    one: other_name.clone(),
                    other: name.clone(),
                    gap_mm,
                });
            }
        }
    }
}
