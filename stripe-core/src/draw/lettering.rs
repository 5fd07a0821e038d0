//! The one font of all drawings, and how wide words come out in it.
//!
//! DejaVu Sans is built in, so that a drawing looks alike on every machine and
//! nothing is read from the system.

use resvg::usvg::fontdb;
use std::sync::{Arc, OnceLock};
use ttf_parser::Face;

/// The font families of drawings: our own first, in a browser what is like it.
pub const FAMILY: &str = "DejaVu Sans, Verdana, sans-serif";

/// Height of a capital letter, in sizes of the font: to centre words on a line.
pub const CAPITAL: f64 = 0.729;

/// The fonts that drawings may use.
pub(super) fn fonts() -> Arc<fontdb::Database> {
    static FONTS: OnceLock<Arc<fontdb::Database>> = OnceLock::new();
    FONTS
        .get_or_init(|| {
            let mut fonts = fontdb::Database::new();
            fonts.load_font_data(dejavu::sans::regular().to_vec());
            fonts.load_font_data(dejavu::sans::bold().to_vec());
            fonts.set_sans_serif_family("DejaVu Sans");
            Arc::new(fonts)
        })
        .clone()
}

fn face(bold: bool) -> &'static Face<'static> {
    static FACES: OnceLock<[Face<'static>; 2]> = OnceLock::new();
    let faces = FACES.get_or_init(|| {
        [dejavu::sans::regular(), dejavu::sans::bold()]
            .map(|data| Face::parse(data, 0).expect("the built-in font is sound"))
    });
    &faces[usize::from(bold)]
}

/// How wide words come out (mm). A character that the font lacks counts one size.
pub fn width_mm(words: &str, size_mm: f64, bold: bool) -> f64 {
    let face = face(bold);
    let em = f64::from(face.units_per_em());
    let advance = |c: char| {
        face.glyph_index(c)
            .and_then(|glyph| face.glyph_hor_advance(glyph))
            .map_or(1.0, |advance| f64::from(advance) / em)
    };
    words.chars().map(advance).sum::<f64>() * size_mm
}

/// The words cut short, with a sign of it, so that they fit.
pub fn fit(words: &str, size_mm: f64, bold: bool, room_mm: f64) -> String {
    if width_mm(words, size_mm, bold) <= room_mm {
        return words.to_owned();
    }
    let sign = width_mm("…", size_mm, bold);
    let mut used = sign;
    let mut short = String::new();
    for c in words.chars() {
        used += width_mm(c.encode_utf8(&mut [0; 4]), size_mm, bold);
        if used > room_mm {
            break;
        }
        short.push(c);
    }
    format!("{}…", short.trim_end())
}

/// Words broken into lines that fit, at spaces; a word too long is cut short.
pub fn wrap(words: &str, size_mm: f64, bold: bool, room_mm: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        if let Some(line) = lines.last_mut() {
            let longer = format!("{line} {word}");
            if width_mm(&longer, size_mm, bold) <= room_mm {
                *line = longer;
                continue;
            }
        }
        lines.push(fit(word, size_mm, bold, room_mm));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_add_up() {
        let one = width_mm("m", 10.0, false);
        assert!(one > 5.0 && one < 12.0, "{one}");
        assert!((width_mm("mm", 10.0, false) - 2.0 * one).abs() < 1e-9);
        assert!(width_mm("m", 10.0, true) > one);
    }

    #[test]
    fn long_words_are_cut_short() {
        let short = fit("a very long name indeed", 3.0, false, 20.0);
        assert!(short.ends_with('…') && width_mm(&short, 3.0, false) <= 20.0);
        assert_eq!(fit("deck", 3.0, false, 20.0), "deck");
        let lines = wrap("one two three four five six", 3.0, false, 15.0);
        assert!(lines.len() > 1);
        assert!(lines.iter().all(|l| width_mm(l, 3.0, false) <= 15.0));
        assert_eq!(lines.join(" "), "one two three four five six");
    }
}
