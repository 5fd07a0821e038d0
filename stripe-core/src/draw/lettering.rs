//! The one font of all drawings, and how wide words come out in it.
//!
//! DejaVu Sans is built in, so that a drawing looks alike on every machine and
//! nothing is read from the system.

use resvg::usvg::fontdb;
use std::sync::{Arc, OnceLock};
use ttf_parser::Face;

/// The font families of drawings: our own first, in a browser what is like it.
pub const FAMILY: &str = "DejaVu Sans, Verdana, sans-serif";

/// The font without its tables of pairs and ligatures, as `build.rs` makes it: words come out
/// exactly as wide as [`width_mm`] says.
const REGULAR: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/regular.ttf"));
const BOLD: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/bold.ttf"));

/// Height of a capital letter, in sizes of the font: to centre words on a line.
pub const CAPITAL: f64 = 0.729;

/// The fonts that drawings may use.
pub(super) fn fonts() -> Arc<fontdb::Database> {
    static FONTS: OnceLock<Arc<fontdb::Database>> = OnceLock::new();
    FONTS
        .get_or_init(|| {
            let mut fonts = fontdb::Database::new();
            for font in [REGULAR, BOLD] {
                fonts.load_font_data(font.to_vec());
            }
            fonts.set_sans_serif_family("DejaVu Sans");
            Arc::new(fonts)
        })
        .clone()
}

fn face(bold: bool) -> &'static Face<'static> {
    static FACES: OnceLock<[Face<'static>; 2]> = OnceLock::new();
    let faces = FACES.get_or_init(|| {
        [REGULAR, BOLD].map(|data| Face::parse(data, 0).expect("the built-in font is sound"))
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

/// Words cut short in their middle where there is no room, so that the last word, by
/// which pieces of one part are told apart, stays.
pub fn fit_middle(words: &str, size_mm: f64, bold: bool, room_mm: f64) -> String {
    let whole = fit(words, size_mm, bold, room_mm);
    let (Some(space), true) = (words.rfind(' '), whole != words) else {
        return whole;
    };
    let (head, tail) = words.split_at(space);
    let room_mm = room_mm - width_mm(tail, size_mm, bold);
    if room_mm < 4.0 * size_mm {
        return whole;
    }
    fit(head, size_mm, bold, room_mm) + tail
}

/// Words broken into lines that fit, at spaces; a word too long is cut short. A length
/// stays whole: whoever reads `31` at the end of a line would not look for `1/2 in`.
pub fn wrap(words: &str, size_mm: f64, bold: bool, room_mm: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in whole_lengths(words) {
        if let Some(line) = lines.last_mut() {
            let longer = format!("{line} {word}");
            if width_mm(&longer, size_mm, bold) <= room_mm {
                *line = longer;
                continue;
            }
        }
        lines.push(fit(&word, size_mm, bold, room_mm));
    }
    lines
}

/// The words of a text, a number with its fraction and its unit as one: `31 1/2 in`.
pub fn whole_lengths(words: &str) -> Vec<String> {
    let mut whole: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        let ends_in_digit = |s: &String| s.ends_with(|c: char| c.is_ascii_digit());
        let unit = word.trim_end_matches(|c: char| !c.is_ascii_alphabetic());
        let belongs = matches!(unit, "in" | "cm" | "mm" | "yd" | "m")
            || (word.contains('/') && word.starts_with(|c: char| c.is_ascii_digit()));
        match whole.last_mut() {
            Some(last) if belongs && ends_in_digit(last) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => whole.push(word.to_owned()),
        }
    }
    whole
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
    fn the_last_word_stays() {
        let words = "wheel 1, outer wheel a";
        let room = width_mm(words, 2.0, false);
        assert_eq!(fit_middle(words, 2.0, false, room), words);
        let short = fit_middle(words, 2.0, false, room - 2.0);
        assert!(
            short.ends_with("… a") && short.starts_with("wheel 1, outer"),
            "{short}"
        );
        assert!(width_mm(&short, 2.0, false) <= room - 2.0);
        assert!(width_mm(&fit_middle(words, 2.0, false, 5.0), 2.0, false) <= 5.0);
    }

    #[test]
    fn lengths_stay_whole() {
        let text = "2 1/4 in left of the seam between strips 4 and 5, 31 1/2 in above it";
        for room in 20..90 {
            for line in wrap(text, 2.5, false, f64::from(room)) {
                assert!(!line.ends_with("31") && !line.ends_with("1/2"), "{line}");
                assert!(!line.ends_with('2') && !line.ends_with("1/4"), "{line}");
            }
        }
        assert_eq!(wrap(text, 2.5, false, 500.0), [text]);
    }

    #[test]
    fn letters_need_no_more() {
        for (whole, lean) in [
            (dejavu::sans::regular(), REGULAR),
            (dejavu::sans::bold(), BOLD),
        ] {
            assert!(lean.len() < whole.len());
            let (whole, lean) = (
                Face::parse(whole, 0).unwrap(),
                Face::parse(lean, 0).unwrap(),
            );
            let mut seen = 0;
            for c in '\0'..=char::MAX {
                let glyph = whole.glyph_index(c);
                assert_eq!(lean.glyph_index(c), glyph);
                let Some(glyph) = glyph else { continue };
                seen += 1;
                assert_eq!(
                    lean.glyph_hor_advance(glyph),
                    whole.glyph_hor_advance(glyph)
                );
                assert_eq!(
                    lean.glyph_bounding_box(glyph),
                    whole.glyph_bounding_box(glyph)
                );
            }
            assert!(seen > 5_000, "{seen}");
            assert!(lean.tables().gsub.is_none() && lean.tables().gpos.is_none());
        }
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
