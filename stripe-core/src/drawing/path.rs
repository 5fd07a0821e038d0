//! The outlines of SVG shapes, curves flattened in millimetres.
//!
//! # Source
//! SVG 2, W3C, chapter 9 "Paths" and 10 "Basic shapes"; arcs: kurbo's conversion of appendix B.2.

use crate::num::CHORD_TOL_MM;
use crate::shape::{Point, point};
use kurbo::{
    Affine, Arc, BezPath, Circle, Ellipse, PathEl, Rect, RoundedRect, Shape, SvgArc, Vec2,
};
use svgtypes::{PathParser, PathSegment, PointsParser};

/// One line of a path: its points, and whether it returns to its first.
#[derive(Debug)]
pub(super) struct Line {
    pub(super) points: Vec<Point>,
    pub(super) is_closed: bool,
}

/// More points than this are not gathered (of one path).
const MAX_POINTS: usize = 20_000;

/// The lines of a shape, or what is wrong with it.
pub(super) fn lines(node: roxmltree::Node<'_, '_>, map: Affine) -> Result<Vec<Line>, &'static str> {
    // How much a unit may grow: what bounds the error of arcs.
    let [a, b, c, d, _, _] = map.as_coeffs();
    let scale = a.hypot(b).max(c.hypot(d)) * std::f64::consts::SQRT_2;
    if !(scale.is_finite() && scale > 1e-9) {
        return Err("its transform leaves no size");
    }
    let tol = CHORD_TOL_MM / 10.0 / scale;
    let path = outline(node, tol)?;
    if path.elements().len() > MAX_POINTS {
        return Err("it has too many points");
    }
    let mut lines: Vec<Line> = vec![];
    let mut count = 0;
    kurbo::flatten(map * path, CHORD_TOL_MM * 0.9, |element| {
        count += 1;
        if count > MAX_POINTS {
            return;
        }
        match element {
            PathEl::MoveTo(p) => lines.push(Line {
                points: vec![point(p.x, p.y)],
                is_closed: false,
            }),
            PathEl::LineTo(p) => {
                if let Some(line) = lines.last_mut() {
                    line.points.push(point(p.x, p.y));
                }
            }
            PathEl::ClosePath => {
                if let Some(line) = lines.last_mut() {
                    line.is_closed = true;
                }
            }
            PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
        }
    });
    if count > MAX_POINTS {
        return Err("it has too many points");
    }
    // A move that draws nothing is no line.
    lines.retain(|line| line.points.len() > 1);
    Ok(lines)
}

fn outline(node: roxmltree::Node<'_, '_>, tol: f64) -> Result<BezPath, &'static str> {
    let number = |key: &str, usual: f64| match node.attribute(key) {
        None => Ok(usual),
        Some(text) => match text.trim().trim_end_matches("px").parse::<f64>() {
            Ok(n) if n.is_finite() && n.abs() < 1e9 => Ok(n),
            _ => Err("a number of it is none (use plain numbers, without a unit)"),
        },
    };
    match node.tag_name().name() {
        "path" => path(node.attribute("d").unwrap_or(""), tol),
        "rect" => {
            let (x, y) = (number("x", 0.0)?, number("y", 0.0)?);
            let (w, h) = (number("width", 0.0)?, number("height", 0.0)?);
            if !(w > 0.0 && h > 0.0) {
                return Err("it has no width or no height");
            }
            let (rx, ry) = (number("rx", f64::NAN)?, number("ry", f64::NAN)?);
            let rect = Rect::new(x, y, x + w, y + h);
            let rx_or = if rx.is_nan() { ry } else { rx };
            let ry_or = if ry.is_nan() { rx } else { ry };
            if rx_or.is_nan() || rx_or <= 0.0 || ry_or <= 0.0 {
                return Ok(rect.to_path(tol));
            }
            let (rx, ry) = (rx_or.min(w / 2.0), ry_or.min(h / 2.0));
            // Elliptic corners are round ones of a squeezed rectangle.
            let squeeze = Affine::scale_non_uniform(1.0, ry / rx);
            let round = RoundedRect::new(x, y * rx / ry, x + w, (y + h) * rx / ry, rx);
            Ok(squeeze * round.to_path(tol.min(tol * rx / ry)))
        }
        "circle" => {
            let r = number("r", 0.0)?;
            if r <= 0.0 {
                return Err("it has no radius");
            }
            Ok(Circle::new((number("cx", 0.0)?, number("cy", 0.0)?), r).to_path(tol))
        }
        "ellipse" => {
            let (rx, ry) = (number("rx", 0.0)?, number("ry", 0.0)?);
            if !(rx > 0.0 && ry > 0.0) {
                return Err("it has no radius");
            }
            let centre = (number("cx", 0.0)?, number("cy", 0.0)?);
            Ok(Ellipse::new(centre, (rx, ry), 0.0).to_path(tol))
        }
        _ => {
            let text = node.attribute("points").unwrap_or("");
            let mut path = BezPath::new();
            for (i, (x, y)) in PointsParser::from(text).take(MAX_POINTS + 1).enumerate() {
                finite(x, y)?;
                if i == 0 {
                    path.move_to((x, y));
                } else {
                    path.line_to((x, y));
                }
            }
            if node.tag_name().name() == "polygon" && !path.elements().is_empty() {
                path.close_path();
            }
            Ok(path)
        }
    }
}

fn finite(x: f64, y: f64) -> Result<(), &'static str> {
    if x.is_finite() && y.is_finite() && x.abs() < 1e9 && y.abs() < 1e9 {
        Ok(())
    } else {
        Err("a number of it is too large")
    }
}

/// The path of `d`, its arcs no further than `tol` units off.
fn path(d: &str, tol: f64) -> Result<BezPath, &'static str> {
    let mut path = BezPath::new();
    let (mut at, mut start) = (Vec2::ZERO, Vec2::ZERO);
    // The last control point, mirrored by a smooth curve of the same kind.
    let (mut cubic, mut quad): (Option<Vec2>, Option<Vec2>) = (None, None);
    let mut closed = false;
    for (count, segment) in PathParser::from(d).enumerate() {
        let segment = segment.map_err(|_| "its `d` cannot be read")?;
        if count > MAX_POINTS {
            return Err("it has too many points");
        }
        let from = |abs: bool, x: f64, y: f64| Vec2::new(x, y) + if abs { Vec2::ZERO } else { at };
        let is_move = matches!(segment, PathSegment::MoveTo { .. });
        if closed && !is_move && !matches!(segment, PathSegment::ClosePath { .. }) {
            path.move_to(start.to_point());
        }
        closed = false;
        let (mut next_cubic, mut next_quad) = (None, None);
        let to = match segment {
            PathSegment::MoveTo { abs, x, y } => {
                start = from(abs, x, y);
                path.move_to(start.to_point());
                start
            }
            PathSegment::LineTo { abs, x, y } => line(&mut path, from(abs, x, y)),
            PathSegment::HorizontalLineTo { abs, x } => {
                line(&mut path, Vec2::new(if abs { x } else { at.x + x }, at.y))
            }
            PathSegment::VerticalLineTo { abs, y } => {
                line(&mut path, Vec2::new(at.x, if abs { y } else { at.y + y }))
            }
            PathSegment::CurveTo {
                abs,
                x1,
                y1,
                x2,
                y2,
                x,
                y,
            } => {
                let (p, q, to) = (from(abs, x1, y1), from(abs, x2, y2), from(abs, x, y));
                path.curve_to(p.to_point(), q.to_point(), to.to_point());
                next_cubic = Some(q);
                to
            }
            PathSegment::SmoothCurveTo { abs, x2, y2, x, y } => {
                let p = cubic.map_or(at, |c| at * 2.0 - c);
                let (q, to) = (from(abs, x2, y2), from(abs, x, y));
                path.curve_to(p.to_point(), q.to_point(), to.to_point());
                next_cubic = Some(q);
                to
            }
            PathSegment::Quadratic { abs, x1, y1, x, y } => {
                let (p, to) = (from(abs, x1, y1), from(abs, x, y));
                path.quad_to(p.to_point(), to.to_point());
                next_quad = Some(p);
                to
            }
            PathSegment::SmoothQuadratic { abs, x, y } => {
                let p = quad.map_or(at, |c| at * 2.0 - c);
                let to = from(abs, x, y);
                path.quad_to(p.to_point(), to.to_point());
                next_quad = Some(p);
                to
            }
            PathSegment::EllipticalArc {
                abs,
                rx,
                ry,
                x_axis_rotation,
                large_arc,
                sweep,
                x,
                y,
            } => {
                let to = from(abs, x, y);
                finite(rx, ry)?;
                finite(to.x, to.y)?;
                let said = SvgArc {
                    from: at.to_point(),
                    to: to.to_point(),
                    radii: Vec2::new(rx, ry),
                    x_rotation: x_axis_rotation.to_radians(),
                    large_arc,
                    sweep,
                };
                match Arc::from_svg_arc(&said) {
                    Some(arc) => {
                        for element in arc.append_iter(tol) {
                            path.push(element);
                        }
                        // The arc ends where the file says, to the last digit.
                        if let Some(PathEl::CurveTo(_, _, end)) = path.elements_mut().last_mut() {
                            *end = to.to_point();
                        }
                    }
                    None => {
                        line(&mut path, to);
                    }
                }
                to
            }
            PathSegment::ClosePath { .. } => {
                path.close_path();
                closed = true;
                start
            }
        };
        finite(to.x, to.y)?;
        (at, cubic, quad) = (to, next_cubic, next_quad);
    }
    Ok(path)
}

fn line(path: &mut BezPath, to: Vec2) -> Vec2 {
    path.line_to(to.to_point());
    to
}
