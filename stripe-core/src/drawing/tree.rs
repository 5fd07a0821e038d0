//! The elements of a drawing, in drawn order: what is a piece, what is passed over, what is refused.

use super::faults::Noted;
use super::limits::{MAX_CLONED, MAX_DEPTH, MAX_PIECES};
use super::path::{Line, lines};
use super::size::short;
use kurbo::Affine;
use roxmltree::Node;
use std::collections::HashMap;
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
    let mut cloned = 0;
    let ids: HashMap<&str, Node<'_, '_>> = root
        .descendants()
        .filter_map(|node| Some((node.attribute("id")?.trim(), node)))
        .collect();
    // Kept on a list of its own, not on the stack: nests may be deep.
    let mut open = vec![Level {
        rest: Rest::Children(root.children()),
        map,
        depth: 1,
        clone: None,
    }];
    while let Some(level) = open.last_mut() {
        let Some(node) = level.rest.next() else {
            open.pop();
            continue;
        };
        let (map, depth, clone) = (level.map, level.depth, level.clone.clone());
        if clone.is_some() {
            cloned += 1;
            if cloned > MAX_CLONED {
                let message = format!("copies (`use`) draw more than {MAX_CLONED} elements");
                let help = "turn copies into paths of their own in your drawing program";
                noted.add(node.range(), message, help);
                break;
            }
        }
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
                    "write it as attributes of the shapes, and save it as plain SVG",
                );
            }
            continue;
        }
        if element == "use" {
            let Some(map) = own_map(node, map, noted) else {
                continue;
            };
            match original(node, &ids) {
                Ok(_) if depth >= MAX_DEPTH => {
                    let message =
                        format!("copies (`use`) lie more than {MAX_DEPTH} deep in each other");
                    let help = "turn copies into paths of their own in your drawing program";
                    noted.add(node.range(), message, help);
                    break;
                }
                Ok((of, by)) => open.push(Level {
                    rest: Rest::One(Some(of)),
                    map: map * by,
                    depth: depth + 1,
                    clone: Some(Cloned {
                        name: joined(clone.as_ref(), node.attribute("id")),
                        is_whole: SHAPES.contains(&of.tag_name().name()),
                    }),
                }),
                Err((why, help)) => {
                    noted.add(node.range(), format!("a copy (`use`): {why}"), help);
                }
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
            open.push(Level {
                rest: Rest::Children(node.children()),
                map,
                depth: depth + 1,
                clone,
            });
            continue;
        }
        let own = node.attribute("id").unwrap_or("").trim();
        let name = match &clone {
            Some(clone) if clone.is_whole && !clone.name.is_empty() => clone.name.clone(),
            _ => joined(clone.as_ref(), Some(own)),
        };
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

/// What is drawn in a group, a copy (`use`), or the drawing.
struct Level<'a, 'i> {
    rest: Rest<'a, 'i>,
    map: Affine,
    depth: usize,
    clone: Option<Cloned>,
}

enum Rest<'a, 'i> {
    Children(roxmltree::Children<'a, 'i>),
    One(Option<Node<'a, 'i>>),
}

impl<'a, 'i> Rest<'a, 'i> {
    fn next(&mut self) -> Option<Node<'a, 'i>> {
        match self {
            Self::Children(children) => children.next(),
            Self::One(node) => node.take(),
        }
    }
}

/// A copy that is being drawn: a piece of it is known by the copy's id, and where it shows a
/// group, by its own id besides.
#[derive(Clone)]
struct Cloned {
    name: String,
    is_whole: bool,
}

fn joined(clone: Option<&Cloned>, id: Option<&str>) -> String {
    let outer = clone.map_or("", |clone| clone.name.as_str());
    let words = [outer, id.unwrap_or("").trim()];
    // A nest of long ids is no name, and must not grow without end.
    let both: String = words.join(" ").trim().chars().take(200).collect();
    both
}

/// What a copy shows, and by how much it is moved.
///
/// # Source
/// SVG 2, W3C, 5.5: `x` and `y` are a translation that is added at the right end of `transform`.
fn original<'a, 'i>(
    clone: Node<'_, '_>,
    ids: &HashMap<&str, Node<'a, 'i>>,
) -> Result<(Node<'a, 'i>, Affine), (String, &'static str)> {
    const HELP: &str = "turn copies into paths of their own in your drawing program";
    let xlink = ("http://www.w3.org/1999/xlink", "href");
    let href = clone.attribute("href").or(clone.attribute(xlink));
    let href = href.unwrap_or("").trim();
    let Some(id) = href.strip_prefix('#') else {
        let why = match href {
            "" => "it names nothing that it shows".to_owned(),
            _ => format!(
                "`{}` is not in this drawing, and is not followed",
                short(href)
            ),
        };
        return Err((why, HELP));
    };
    let Some(&of) = ids.get(id) else {
        return Err((format!("there is no `{}`", short(id)), HELP));
    };
    let element = of.tag_name().name();
    if !(element == "g" || element == "use" || SHAPES.contains(&element)) {
        let why = format!(
            "it shows a `{}`, which has a size of its own",
            short(element)
        );
        return Err((why, HELP));
    }
    let number = |key: &str| match clone.attribute(key) {
        None => Some(0.0),
        Some(text) => {
            let number = text.trim().trim_end_matches("px").parse::<f64>();
            number.ok().filter(|n| n.abs() < 1e9)
        }
    };
    match (number("x"), number("y")) {
        (Some(x), Some(y)) => Ok((of, Affine::translate((x, y)))),
        _ => Err(("its x or y is no plain number".to_owned(), HELP)),
    }
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
