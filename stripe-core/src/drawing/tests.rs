//! Closed forms and hostile drawings.

use super::*;
use crate::shape::cross;
use crate::shape::ring::edges;

fn drawn(head: &str, body: &str) -> Result<Drawing, Vec<DrawingFault>> {
    let text = format!("<svg xmlns=\"http://www.w3.org/2000/svg\" {head}>\n{body}\n</svg>");
    read(text.as_bytes())
}

const PAGE: &str = "width=\"100mm\" height=\"100mm\" viewBox=\"0 0 100 100\"";

fn area(drawing: &Drawing, i: usize) -> f64 {
    edges(&drawing.pieces[i].1)
        .map(|(a, b)| cross(a, b))
        .sum::<f64>()
        / 2.0
}

/// CSS Values 3, 5.2: 1 in = 2.54 cm = 25.4 mm = 72 pt = 6 pc.
#[test]
fn units_and_view_boxes_give_true_size() {
    for (side, mm) in [
        ("2in", 50.8),
        ("5.08cm", 50.8),
        ("144pt", 50.8),
        ("12pc", 50.8),
        ("7mm", 7.0),
    ] {
        let head = format!("width=\"{side}\" height=\"{side}\" viewBox=\"0 0 10 10\"");
        let one = drawn(&head, "<rect id=\"a\" width=\"10\" height=\"10\"/>").unwrap();
        assert!((area(&one, 0) - mm * mm).abs() < 1e-9 * mm * mm, "{side}");
    }
}

/// SVG 2, 8.7: xMidYMid meet is the usual; a page of 200 by 100 leaves 50 mm at either side.
#[test]
fn preserve_aspect_ratio_is_honoured() {
    let left = |said: &str| {
        let head = format!("width=\"200mm\" height=\"100mm\" viewBox=\"0 0 100 100\" {said}");
        let one = drawn(&head, "<rect id=\"a\" width=\"10\" height=\"10\"/>").unwrap();
        let xs = one.pieces[0].1.iter().map(|p| p.x);
        (xs.fold(f64::INFINITY, f64::min), area(&one, 0))
    };
    let near = |(x, a): (f64, f64), (y, b): (f64, f64)| {
        assert!((x - y).abs() < 1e-9 && (a - b).abs() < 1e-9, "{x} {a}");
    };
    near(left(""), (-50.0, 100.0));
    near(left("preserveAspectRatio=\"xMinYMin\""), (-100.0, 100.0));
    near(left("preserveAspectRatio=\"xMaxYMid meet\""), (0.0, 100.0));
    near(left("preserveAspectRatio=\"none\""), (-100.0, 200.0));
    near(
        left("preserveAspectRatio=\"xMidYMid slice\""),
        (-100.0, 400.0),
    );
}

/// Areas of a circle, an ellipse, two half-circle arcs, and rounded corners: pi r r, pi a b,
/// w h - (4 - pi) r r. A chord error of 0.05 mm takes less than 0.05 mm times the length.
#[test]
fn curves_have_their_areas() {
    let pi = std::f64::consts::PI;
    for (shape, exact, round) in [
        (
            "<circle id=\"a\" cx=\"50\" cy=\"50\" r=\"40\"/>",
            pi * 1600.0,
            252.0,
        ),
        (
            "<ellipse id=\"a\" cx=\"50\" cy=\"50\" rx=\"40\" ry=\"20\"/>",
            pi * 800.0,
            194.0,
        ),
        (
            "<path id=\"a\" d=\"M10 50A40 40 0 0 1 90 50A40 40 0 0 1 10 50Z\"/>",
            pi * 1600.0,
            252.0,
        ),
        (
            "<path id=\"a\" d=\"m10 50a40 20 0 1 0 80 0 40 20 0 1 0-80 0z\"/>",
            pi * 800.0,
            194.0,
        ),
        (
            "<rect id=\"a\" x=\"10\" y=\"10\" width=\"60\" height=\"40\" rx=\"10\"/>",
            2400.0 - (4.0 - pi) * 100.0,
            200.0,
        ),
    ] {
        let one = drawn(PAGE, shape).unwrap();
        let off = area(&one, 0) - exact;
        assert!(off.abs() < 0.05 * round, "{shape}: {off}");
    }
}

/// translate(50 0) rotate(90) scale(2): (x, y) goes to (50 - 2 y, 2 x) (SVG 2, 8.4: the last is applied first).
#[test]
fn nested_transforms_are_honoured() {
    let body = "<g transform=\"translate(50 0)\"><g transform=\"rotate(90) scale(2)\"><path id=\"a\" d=\"M0 0h10v5h-10z\"/></g></g>";
    let one = drawn(PAGE, body).unwrap();
    let [low, high] = crate::shape::corners_of(&one.pieces[0].1);
    assert!(
        (low.x + 10.0).abs() < 1e-9 && high.x.abs() < 1e-9,
        "{low:?} {high:?}"
    );
    assert!(
        (low.y - 30.0).abs() < 1e-9 && (high.y - 50.0).abs() < 1e-9,
        "{low:?} {high:?}"
    );
}

/// SVG 2, 5.5, its first example: a use of a `rect` at x = 100 in `defs` and its third, a transform
/// on the use, `translate(20,2.5) rotate(10)`: x and y are added at the right end of it.
#[test]
fn copies_are_drawn_where_they_lie() {
    let body = "<defs><rect id=\"r\" width=\"60\" height=\"10\"/></defs>\
                <use id=\"a\" x=\"20\" y=\"10\" href=\"#r\"/>\
                <use id=\"b\" x=\"20\" y=\"10\" transform=\"translate(20,2.5) rotate(10)\" xlink:href=\"#r\" xmlns:xlink=\"http://www.w3.org/1999/xlink\"/>\
                <g id=\"pair\"><path id=\"p\" d=\"M10 70h10v10h-10z\"/></g><use id=\"c\" x=\"30\" href=\"#pair\"/>";
    let all = drawn(PAGE, body).unwrap();
    let names: Vec<&str> = all.pieces.iter().map(|piece| piece.0.as_str()).collect();
    assert_eq!(names, ["a", "b", "p", "c p"]);
    let has = |i: usize, x: f64, y: f64| {
        let near = |p: &Point| (p.x - (x - 50.0)).hypot(p.y - (50.0 - y)) < 1e-9;
        assert!(all.pieces[i].1.iter().any(near), "{:?}", all.pieces[i]);
    };
    has(0, 20.0, 10.0);
    has(0, 80.0, 20.0);
    let (sin, cos) = 10_f64.to_radians().sin_cos();
    for (x, y) in [(20.0, 10.0), (80.0, 20.0)] {
        has(1, 20.0 + x * cos - y * sin, 2.5 + x * sin + y * cos);
    }
    has(3, 40.0, 70.0);
}

#[test]
fn ground_is_no_piece_and_gaps_are_closed() {
    let body = "<path id=\"ground\" d=\"M0 50H100\"/><path id=\"a\" d=\"M10 10h40v40h-40z\"/>\n<path id=\"b\" d=\"M50.1 10h30v40h-30z\"/>";
    let two = drawn(PAGE, body).unwrap();
    assert_eq!(
        (two.pieces.len(), two.ground.len(), two.snapped.len()),
        (2, 1, 1)
    );
    assert!((two.snapped[0].gap_mm - 0.1).abs() < 1e-9);
    assert!((area(&two, 1) - 30.1 * 40.0).abs() < 1e-9);
    // Further apart than is closed, and no further than shows: 1/16 in is 1.5875 mm.
    for (x, told) in [("50.3", true), ("51.5", true), ("51.7", false)] {
        let body = format!(
            "<path id=\"a\" d=\"M10 10h40v40h-40z\"/><path id=\"b\" d=\"M{x} 10h30v40h-30z\"/>"
        );
        let two = drawn(PAGE, &body).unwrap();
        assert_eq!((two.snapped.len(), two.apart.len() == 1), (0, told), "{x}");
    }
    let crossing =
        "<path id=\"a\" d=\"M10 10h40v40h-40z\"/><path id=\"b\" d=\"M30 20h40v10h-40z\"/>";
    assert!(drawn(PAGE, crossing).unwrap().snapped.is_empty());
    // Petals that lie on each other cross at a small angle, and are drawn as they should be.
    let dahlia = read(include_bytes!("../../../data/dahlia/dahlia.svg")).unwrap();
    assert_eq!(
        (dahlia.pieces.len(), dahlia.snapped.len()),
        (9, 0),
        "{:?}",
        dahlia.snapped
    );
}

/// One fault each, and a word of what is said of it.
#[test]
fn hostile_drawings_are_refused_by_name() {
    let ok = "<path id=\"a\" d=\"M10 10h40v40z\"/>";
    let deep = format!("{}{ok}{}", "<g>".repeat(500), "</g>".repeat(500));
    let copies = |i: usize| {
        format!(
            "<g id=\"n{i}\">{}</g>",
            format!("<use href=\"#n{}\"/>", i - 1).repeat(10)
        )
    };
    let nest = format!(
        "<defs><g id=\"n0\"/>{}</defs><use href=\"#n9\"/>",
        (1..10).map(copies).collect::<String>()
    );
    let many = "<g/>".repeat(100_000);
    for (head, body, word) in [
        (PAGE, "<path id=\"a\" d=\"M0 0L10 0L10 10\"/>", "open"),
        (
            PAGE,
            "<path id=\"a\" d=\"M0 0L10 10L10 0L0 10Z\"/>",
            "crosses itself",
        ),
        (PAGE, &format!("{ok}{ok}"), "two pieces"),
        (PAGE, "<path d=\"M10 10h40v40z\"/>", "no name"),
        (PAGE, "<text>A</text>", "text"),
        (PAGE, "<image href=\"file:///a.png\"/>", "picture"),
        (PAGE, "<script>x()</script>", "script"),
        (PAGE, "<use href=\"#a\"/>", "there is no `a`"),
        (PAGE, "<use href=\"b.svg#a\"/>", "is not in this drawing"),
        (PAGE, "<use/>", "names nothing"),
        (PAGE, "<g id=\"a\"><use href=\"#a\"/></g>", "deep"),
        (PAGE, &nest, "more than 2000"),
        (PAGE, "<a href=\"http://a.example\"/>", "link"),
        (
            PAGE,
            "<path id=\"a\" clip-path=\"url(#c)\" d=\"M10 10h40v40z\"/>",
            "clip-path",
        ),
        (PAGE, "<g mask=\"url(#c)\"/>", "mask"),
        (
            PAGE,
            "<path id=\"a\" d=\"M10 10h40v40z m60 5h1v1z\"/>",
            "2 outlines",
        ),
        (
            PAGE,
            "<path id=\"a\" d=\"M10 10h40v40h-40z m5 5h9v9h-9z\"/>",
            "has a hole",
        ),
        (PAGE, "<path id=\"a\" d=\"M10 10h1e400v40z\"/>", "a"),
        (PAGE, "<path id=\"a\" d=\"M10 10 q\"/>", "cannot be read"),
        (PAGE, "<path id=\"a\" d=\"M0 0h9999999v1z\"/>", "too far"),
        (
            PAGE,
            "<g transform=\"scale(0)\"><path id=\"a\" d=\"M10 10h40v40z\"/></g>",
            "no size",
        ),
        (PAGE, "<g transform=\"turn(3)\"/>", "transform"),
        (PAGE, &deep, "deep"),
        (PAGE, &many, "elements"),
        (PAGE, "", "no piece"),
        (PAGE, "<svg/>", "drawing within"),
        ("viewBox=\"0 0 9 9\"", ok, "no `width`"),
        ("width=\"100%\" height=\"100%\"", ok, "share"),
        ("width=\"100\" height=\"100\"", ok, "pixels"),
        ("width=\"0mm\" height=\"9mm\"", ok, "between"),
        ("width=\"NaNmm\" height=\"9mm\"", ok, "no length"),
        (
            "width=\"9mm\" height=\"9mm\" viewBox=\"0 0 0 9\"",
            ok,
            "viewBox",
        ),
    ] {
        let faults = drawn(head, body).unwrap_err();
        assert!(faults[0].message.contains(word), "{word}: {faults:?}");
    }
    let bomb = "<!DOCTYPE svg [<!ENTITY a \"aaaa\">]>\n<svg/>";
    assert!(
        read(bomb.as_bytes()).unwrap_err()[0]
            .message
            .contains("entity")
    );
    assert!(
        read(&[0x1f, 0x8b, 8, 0xff]).unwrap_err()[0]
            .message
            .contains("UTF-8")
    );
    let lines = drawn(PAGE, "\n\n<text/>").unwrap_err();
    assert_eq!(lines[0].line, 4);
}
