//! Scenes as SVG.
//!
//! Coordinates are millimetres with four decimals: a ten-thousandth of a
//! millimetre is far below any pen, and short numbers keep files small.

use super::lettering::FAMILY;
use super::scene::{Anchor, Dash, Group, Item, Path, Scene, Shown, Stroke, Text};
use crate::shape::Point;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use std::fmt::Write as _;

/// A scene as an SVG document of true size.
pub fn svg(scene: &Scene) -> String {
    let mut writer = Writer::new("");
    let _ = write!(
        writer.text,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" role=\"img\">",
        w = Number(scene.width_mm),
        h = Number(scene.height_mm),
    );
    writer.finish(scene)
}

/// A scene as an SVG element to stand in a page of HTML, as wide as its place.
///
/// `prefix` keeps the names inside apart from those of other drawings on the page.
pub fn svg_inline(scene: &Scene, prefix: &str) -> String {
    let mut writer = Writer::new(prefix);
    let _ = write!(
        writer.text,
        "<svg viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{}\">",
        Number(scene.width_mm),
        Number(scene.height_mm),
        escape(&scene.title),
    );
    writer.finish(scene)
}

/// Text made safe for XML: marks escaped, characters that XML forbids left out.
pub fn escape(words: &str) -> String {
    let mut safe = String::with_capacity(words.len());
    for c in words.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\t' | '\n' | '\r' => safe.push(' '),
            '\u{0}'..='\u{1f}' | '\u{7f}'..='\u{9f}' | '\u{fffe}' | '\u{ffff}' => {}
            other => safe.push(other),
        }
    }
    safe
}

/// A number with at most four decimals and no trailing zeros.
#[derive(Clone, Copy)]
struct Number(f64);

/// Ten thousandths of a number that are counted as whole numbers, exact in `f64`.
const MOST_COUNTED: f64 = 1e15;

impl Number {
    /// Appends it to a text. Drawings are mostly numbers, so they are not left to the
    /// general way of writing them, which takes ten times as long.
    fn write_to(self, text: &mut String) {
        let counted = (self.0.abs() * 1e4).round();
        if counted.is_nan() || counted >= MOST_COUNTED {
            let plain = format!("{:.4}", self.0);
            text.push_str(plain.trim_end_matches('0').trim_end_matches('.'));
            return;
        }
        let counted = counted as u64;
        if self.0 < 0.0 && counted > 0 {
            text.push('-');
        }
        let (mut whole, mut part) = (counted / 10_000, counted % 10_000);
        let mut digits = [0_u8; 20];
        let mut first = digits.len();
        loop {
            first -= 1;
            digits[first] = b'0' + (whole % 10) as u8;
            whole /= 10;
            if whole == 0 {
                break;
            }
        }
        text.extend(digits[first..].iter().map(|&digit| char::from(digit)));
        if part > 0 {
            text.push('.');
            let mut place = 1000;
            while part > 0 {
                text.push(char::from(b'0' + (part / place) as u8));
                part %= place;
                place /= 10;
            }
        }
    }
}

impl std::fmt::Display for Number {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let mut text = String::new();
        self.write_to(&mut text);
        f.write_str(&text)
    }
}

struct Writer {
    text: String,
    prefix: String,
    clips: usize,
}

impl Writer {
    fn new(prefix: &str) -> Self {
        Self {
            text: String::new(),
            prefix: prefix.to_owned(),
            clips: 0,
        }
    }

    fn finish(mut self, scene: &Scene) -> String {
        let _ = write!(
            self.text,
            "<title>{}</title><desc>{}</desc>",
            escape(&scene.title),
            escape(&scene.about)
        );
        for item in &scene.items {
            self.item(item);
        }
        self.text.push_str("</svg>\n");
        self.text
    }

    fn item(&mut self, item: &Item) {
        match item {
            Item::Group(group) => self.group(group),
            Item::Path(path) => self.path(path),
            Item::Text(text) => self.words(text),
            Item::Shown(shown) => self.shown(shown),
        }
    }

    fn shown(&mut self, shown: &Shown) {
        let Shown { corner, .. } = shown;
        let _ = write!(
            self.text,
            "\n<image x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" preserveAspectRatio=\"none\"",
            Number(corner.x),
            Number(corner.y),
            Number(shown.width_mm),
            Number(shown.height_mm),
        );
        if shown.is_mirrored {
            let twice = Number(2.0 * corner.x + shown.width_mm);
            let _ = write!(self.text, " transform=\"matrix(-1 0 0 1 {twice} 0)\"");
        }
        self.text.push_str(" href=\"data:image/jpeg;base64,");
        STANDARD.encode_string(shown.jpeg.as_slice(), &mut self.text);
        self.text.push_str("\"/>");
    }

    fn group(&mut self, group: &Group) {
        let mut opening = String::from("\n<g");
        if let Some(name) = &group.name {
            let _ = write!(opening, " id=\"{}{}\"", self.prefix, escape(name));
        }
        if !group.clip.is_empty() {
            self.clips += 1;
            let id = format!("{}clip{}", self.prefix, self.clips);
            let _ = write!(self.text, "\n<clipPath id=\"{id}\"><path d=\"");
            for ring in &group.clip {
                self.trace(ring, true);
            }
            self.text.push_str("\" clip-rule=\"evenodd\"/></clipPath>");
            let _ = write!(opening, " clip-path=\"url(#{id})\"");
        }
        self.text.push_str(&opening);
        self.text.push('>');
        for item in &group.items {
            self.item(item);
        }
        self.text.push_str("</g>");
    }

    fn path(&mut self, path: &Path) {
        self.text.push_str("\n<path d=\"");
        for line in &path.lines {
            self.trace(&line.points, line.closed);
        }
        self.text.push('"');
        match path.fill {
            None => self.text.push_str(" fill=\"none\""),
            Some(fill) => {
                let _ = write!(self.text, " fill=\"{}\"", fill.colour);
                if fill.opacity < 1.0 {
                    let _ = write!(self.text, " fill-opacity=\"{}\"", Number(fill.opacity));
                }
                if path.lines.len() > 1 {
                    self.text.push_str(" fill-rule=\"evenodd\"");
                }
            }
        }
        if let Some(stroke) = path.stroke {
            self.stroke(stroke);
        }
        self.text.push_str("/>");
    }

    fn stroke(&mut self, stroke: Stroke) {
        let _ = write!(
            self.text,
            " stroke=\"{}\" stroke-width=\"{}\" stroke-miterlimit=\"2\"",
            stroke.colour,
            Number(stroke.width_mm)
        );
        // Lengths of dash and gap in widths of the line.
        let pattern: &[f64] = match stroke.dash {
            Dash::Solid => &[],
            Dash::Dashed => &[6.0, 4.0],
            Dash::Dotted => &[0.01, 2.6],
            Dash::DashDot => &[9.0, 3.0, 0.01, 3.0],
        };
        if pattern.is_empty() {
            return;
        }
        let lengths: Vec<String> = pattern
            .iter()
            .map(|widths| Number(widths * stroke.width_mm).to_string())
            .collect();
        let _ = write!(self.text, " stroke-dasharray=\"{}\"", lengths.join(" "));
        if stroke.dash != Dash::Dashed {
            self.text.push_str(" stroke-linecap=\"round\"");
        }
    }

    fn trace(&mut self, points: &[Point], closed: bool) {
        for (i, p) in points.iter().enumerate() {
            self.text.push(if i == 0 { 'M' } else { ' ' });
            Number(p.x).write_to(&mut self.text);
            self.text.push(' ');
            Number(p.y).write_to(&mut self.text);
        }
        if closed && !points.is_empty() {
            self.text.push('Z');
        }
    }

    fn words(&mut self, text: &Text) {
        let _ = write!(
            self.text,
            "\n<text x=\"{x}\" y=\"{y}\" font-family=\"{FAMILY}\" font-size=\"{}\" fill=\"{}\"",
            Number(text.size_mm),
            text.colour,
            x = Number(text.at.x),
            y = Number(text.at.y),
        );
        match text.anchor {
            Anchor::Start => {}
            Anchor::Middle => self.text.push_str(" text-anchor=\"middle\""),
            Anchor::End => self.text.push_str(" text-anchor=\"end\""),
        }
        if text.bold {
            self.text.push_str(" font-weight=\"bold\"");
        }
        if text.rotate_deg != 0.0 {
            let _ = write!(
                self.text,
                " transform=\"rotate({} {} {})\"",
                Number(text.rotate_deg),
                Number(text.at.x),
                Number(text.at.y)
            );
        }
        let _ = write!(self.text, ">{}</text>", escape(&text.words));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::point;

    #[test]
    fn numbers_are_short() {
        for (value, shown) in [
            (1.0, "1"),
            (-0.00001, "0"),
            (2.50, "2.5"),
            (1.23456, "1.2346"),
            (-120.0501, "-120.0501"),
            (99_999.999_99, "100000"),
            (0.0, "0"),
            (2e12, "2000000000000"),
        ] {
            assert_eq!(Number(value).to_string(), shown);
        }
    }

    #[test]
    fn names_cannot_break_out() {
        let scene = Scene {
            width_mm: 10.0,
            height_mm: 10.0,
            title: "<&\"'\u{0}\u{b}>".into(),
            about: "]]><script>".into(),
            items: vec![Text::new(point(1.0, 1.0), 2.0, "a<b & \"c\"").into()],
        };
        let text = svg(&scene);
        let options = resvg::usvg::Options::default();
        let document = roxmltree::Document::parse(&text).unwrap();
        let title = document.descendants().find(|n| n.has_tag_name("title"));
        assert_eq!(title.unwrap().text(), Some("<&\"'>"));
        let words = document.descendants().find(|n| n.has_tag_name("text"));
        assert_eq!(words.unwrap().text(), Some("a<b & \"c\""));
        assert!(!text.contains("<script"));
        assert!(resvg::usvg::Tree::from_str(&text, &options).is_ok());
    }
}
