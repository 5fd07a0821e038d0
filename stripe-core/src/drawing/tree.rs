//! The elements of a drawing, in drawn order: what is a piece, what is passed over, what is refused.

use super::faults::Noted;
use super::limits::{MAX_DEPTH, MAX_PIECES};
use super::path::{Line, lines};
use super::size::short;
use kurbo::Affine;
use roxmltree::Node;
use std::ops::Range;
use std::str::FromStr;

/// A shape as it is drawn.
#[derive(Debug)]
pub(super) struct Drawn {
    pub(super) name: String,
    pub(super) lines: Vec<Line>,
    pub(super) place: Range<usize>,
}

const SVG: &str = "http://www.w3.org/2000/svg";
const SHAPES: [&str; 7] = [
    "path", "rect", "circle", "ellipse", "polygon", "polyline", "line",
];
/// What draws nothing by itself.
const PASSED_OVER: [&str; 13] = [
    "title",
    "desc",
    "metadata",
    "defs",
    "linearGradient",
    "radialGradient",
    "pattern",
    "marker",
    "filter",
    "view",
    "clipPath",
    "mask",
    "symbol",
];

/// Why an element is refused, and what to do.
fn refusal(element: &str) -> (&'static str, &'static str) {
    match element {
        "text" | "tspan" | "textPath" => (
            "text cannot be cut as a piece",
            "turn it into paths, or take it out",
        ),
        "image" => (
            "an embedded picture cannot be cut as a piece, and is not opened",
            "take it out, or draw its outline as a path",
        ),
        "use" => (
            "a clone (`use`) is not followed",
            "turn clones into paths in your drawing program",
        ),
        "script" => ("a script is not run", "take it out"),
        "a" => (
            "a link is not followed",
            "take its contents out of the link",
        ),
        "svg" => (
            "a drawing within the drawing has a size of its own",
            "put its paths into the outer drawing",
        ),
        "foreignObject" => ("what is foreign to SVG cannot be cut", "take it out"),
        "switch" => (
            "a `switch` draws one thing or another",
            "keep the one that you mean",
        ),
        "animate" | "animateTransform" | "animateMotion" | "set" => {
            ("fabric does not move", "take the animation out")
        }
        _ => (
            "nobody knows what it draws",
            "take it out, or turn it into paths",
        ),
    }
}

/// All shapes of a drawing.
pub(super) fn shapes(root: Node<'_, '_>, map: Affine, noted: &mut Noted<'_>) -> Vec<Drawn> {
    let mut found = vec![];
    // Kept on a list of its own, not on the stack: nests may be deep.
    let mut open = vec![(root.children(), map, 1)];
    while let Some((children, map, depth)) = open.last_mut() {
        let Some(node) = children.next() else {
            open.pop();
            continue;
        };
        let (map, depth) = (*map, *depth);
        if noted.is_full() {
            break;
        }
        if !node.is_element() || node.tag_name().namespace() != Some(SVG) {
            continue;
        }
        let element = node.tag_name().name();
        if PASSED_OVER.contains(&element) || is_hidden(node) {
            continue;
        }
        if element == "style" {
            let text = node.text().unwrap_or("");
            if let Some(word) = moves(text) {
                let message = format!("a style sheet with `{word}` is not followed");
                noted.add(
                    node.range(),
                    message,
                    "write it as attributes (\"plain SVG\") in your drawing program",
                );
            }
            continue;
        }
        let is_group = element == "g";
        if !is_group && !SHAPES.contains(&element) {
            let (why, help) = refusal(element);
            noted.add(node.range(), format!("`{}`: {why}", short(element)), help);
            continue;
        }
        let Some(map) = own_map(node, map, noted) else {
            continue;
        };
        if is_group {
            if depth >= MAX_DEPTH {
                let message = format!("groups lie more than {MAX_DEPTH} deep in each other");
                noted.add(node.range(), message, "ungroup them");
                continue;
            }
            open.push((node.children(), map, depth + 1));
            continue;
        }
        let name = node.attribute("id").unwrap_or("").trim().to_owned();
        match lines(node, map) {
            Ok(lines) => found.push(Drawn {
                name,
                lines,
                place: node.range(),
            }),
            Err(why) => {
                let message = format!("{}: {why}", called(element, &name));
                noted.add(
                    node.range(),
                    message,
                    "mend it in your drawing program, or take it out",
                );
            }
        }
        if found.len() > MAX_PIECES + 1 {
            let message = format!("the drawing has more than {MAX_PIECES} pieces");
            noted.add(node.range(), message, "draw it as two motifs");
            break;
        }
    }
    found
}

pub(super) fn called(element: &str, name: &str) -> String {
    if name.is_empty() {
        format!("a `{element}` without an id")
    } else {
        format!("`{}`", short(name))
    }
}

fn is_hidden(node: Node<'_, '_>) -> bool {
    let style: String = node
        .attribute("style")
        .unwrap_or("")
        .split_whitespace()
        .collect();
    node.attribute("display") == Some("none") || style.contains("display:none")
}

/// A word of a style that changes what is seen in a way that is not followed here.
fn moves(style: &str) -> Option<&'static str> {
    ["clip-path", "mask", "transform", "@import", "url("]
        .into_iter()
        .find(|word| style.contains(word))
}

/// The map of an element, its own transform included.
fn own_map(node: Node<'_, '_>, map: Affine, noted: &mut Noted<'_>) -> Option<Affine> {
    for key in ["clip-path", "mask"] {
        if node
            .attribute(key)
            .is_some_and(|value| value.trim() != "none")
        {
            let message = format!(
                "{} has a `{key}`, which is not followed",
                called(node.tag_name().name(), node.attribute("id").unwrap_or(""))
            );
            noted.add(
                node.range(),
                message,
                "cut the path itself to the shape that you mean",
            );
            return None;
        }
    }
    if let Some(word) = node.attribute("style").and_then(|style| {
        ["clip-path", "mask", "transform"]
            .into_iter()
            .find(|word| style.contains(word))
    }) {
        noted.add(
            node.range(),
            format!("a style with `{word}` is not followed"),
            "write it as an attribute, or cut the path itself",
        );
        return None;
    }
    let Some(text) = node.attribute("transform") else {
        return Some(map);
    };
    match svgtypes::Transform::from_str(text) {
        Ok(t) if [t.a, t.b, t.c, t.d, t.e, t.f].iter().all(|n| n.is_finite()) => {
            Some(map * Affine::new([t.a, t.b, t.c, t.d, t.e, t.f]))
        }
        _ => {
            noted.add(
                node.range(),
                format!("the transform `{}` cannot be read", short(text)),
                "mend it in your drawing program",
            );
            None
        }
    }
}
