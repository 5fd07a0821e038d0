//! Reading: one or more amounts, each a whole number, a decimal or a fraction,
//! each with its unit; only a single amount may go without.

use super::{FOOT_MM, INCH_MM, Length, Unit, YARD_MM};

/// The longest text that is looked at; no length that a person writes is longer.
const MAX_CHARS: usize = 60;

/// Text that is no length.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum LengthError {
    /// There is nothing to read.
    #[error("there is no length here")]
    Empty,
    /// It does not begin with a number.
    #[error("`{0}` does not begin with a number")]
    NoNumber(String),
    /// A unit that is unknown.
    #[error("`{0}` is not a unit of length: use in, ft, yd, mm, cm or m")]
    Unit(String),
    /// More than one amount, and one of them without a unit.
    #[error("`{0}` holds more than one number")]
    Loose(String),
    /// A fraction over zero.
    #[error("`{0}` divides by zero")]
    OverZero(String),
    /// Two lengths with dots between, where one is asked for.
    #[error("`{0}` is a range, and one length is asked for")]
    Range(String),
    /// A comma in a number.
    #[error("`{0}` has a comma: write {point}", point = with_point(.0))]
    Comma(String),
    /// A fraction of more than one, whose whole number may have run into it.
    #[error("`{text}` is {sum}: did you mean {meant}? Put a space after the whole number")]
    RunTogether {
        /// As written.
        text: String,
        /// What the fraction comes to.
        sum: String,
        /// With a space: `5 1/4`.
        meant: String,
    },
    /// Larger than any fabric.
    #[error("`{0}` is more than a kilometre: check the number and its unit")]
    Large(String),
    /// Not the text of a length at all.
    #[error("a text of {0} characters is not a length")]
    Long(usize),
}

/// The same number with a point, where there is one number only.
fn with_point(text: &str) -> String {
    if text.matches(',').count() == 1 {
        text.replace(',', ".")
    } else {
        "a decimal point, for example 31.75 cm".to_owned()
    }
}

/// The greatest length read (mm).
const MAX_MM: f64 = 1e6;

pub(super) fn read(text: &str, bare: Unit) -> Result<Length, LengthError> {
    let chars = text.chars().count();
    if chars > MAX_CHARS {
        return Err(LengthError::Long(chars));
    }
    let plain = to_plain(text);
    let mut rest = plain.trim();
    if rest.is_empty() {
        return Err(LengthError::Empty);
    }
    if rest.contains(',') {
        return Err(LengthError::Comma(text.trim().to_owned()));
    }
    // `1in..3in` would else be 1 in and 0.3 in.
    if rest.contains("..") {
        return Err(LengthError::Range(text.trim().to_owned()));
    }
    let sign = match rest.strip_prefix('-') {
        Some(after) => {
            rest = after.trim_start();
            -1.0
        }
        None => 1.0,
    };
    let mut total_mm = 0.0;
    let mut loose = 0;
    let mut amounts = 0;
    while !rest.is_empty() {
        let (amount, after) = read_amount(rest, text)?;
        let (unit_mm, after) = read_unit(after, text)?;
        amounts += 1;
        loose += usize::from(unit_mm.is_none());
        total_mm += amount.times(unit_mm.unwrap_or(bare.to_mm()));
        rest = after.trim_start();
    }
    if amounts > 1 && loose > 0 {
        return Err(LengthError::Loose(text.trim().to_owned()));
    }
    if !(total_mm.is_finite() && total_mm <= MAX_MM) {
        return Err(LengthError::Large(text.trim().to_owned()));
    }
    Ok(Length::from_mm(sign * total_mm))
}

/// `whole + above / below`, kept apart so that a third of a yard is 304.8 mm and
/// not a hair less.
struct Amount {
    whole: f64,
    above: f64,
    below: f64,
}

impl Amount {
    fn times(&self, unit_mm: f64) -> f64 {
        if self.above == 0.0 {
            return self.whole * unit_mm;
        }
        (self.whole * self.below + self.above) * unit_mm / self.below
    }
}

/// One amount and the text after it.
fn read_amount<'t>(rest: &'t str, text: &str) -> Result<(Amount, &'t str), LengthError> {
    let no_number = || LengthError::NoNumber(text.trim().to_owned());
    let (first, after) = read_number(rest).ok_or_else(no_number)?;
    if let Some((below, after)) = read_below(after) {
        if let Some(meant) = run_together(first, below) {
            return Err(LengthError::RunTogether {
                text: text.trim().to_owned(),
                sum: format!("{}", (first / below * 1000.0).round() / 1000.0),
                meant,
            });
        }
        return fraction(0.0, first, below, text).map(|amount| (amount, after));
    }
    // `12 1/2`, `12-1/2`: a number and a slash must follow, else it was no fraction.
    let joined = after.trim_start();
    let joined = joined.strip_prefix('-').unwrap_or(joined).trim_start();
    if let Some((above, tail)) = read_number(joined)
        && let Some((below, tail)) = read_below(tail)
        && first.fract() == 0.0
    {
        return fraction(first, above, below, text).map(|amount| (amount, tail));
    }
    let whole = Amount {
        whole: first,
        above: 0.0,
        below: 1.0,
    };
    Ok((whole, after))
}

/// `5 1/4` for 51 over 4: where the last digits above the line make a proper fraction of a
/// kind that rulers show, a space was most likely left out.
fn run_together(above: f64, below: f64) -> Option<String> {
    if above.fract() != 0.0 || !(10.0..10_000.0).contains(&above) {
        return None;
    }
    if ![2.0, 3.0, 4.0, 8.0, 16.0, 32.0].contains(&below) || above < below {
        return None;
    }
    let ways = [100.0, 10.0].into_iter().filter_map(|ten: f64| {
        let (whole, part) = ((above / ten).floor(), above % ten);
        let is_odd = part % 2.0 == 1.0 || below == 3.0;
        let fits = whole >= 1.0 && part >= ten / 10.0 && part < below && is_odd;
        fits.then(|| format!("{whole} {part}/{below}"))
    });
    let ways: Vec<String> = ways.collect();
    (!ways.is_empty()).then(|| ways.join(" or "))
}

fn fraction(whole: f64, above: f64, below: f64, text: &str) -> Result<Amount, LengthError> {
    if below == 0.0 {
        return Err(LengthError::OverZero(text.trim().to_owned()));
    }
    Ok(Amount {
        whole,
        above,
        below,
    })
}

/// A number without sign or exponent, and the text after it.
fn read_number(rest: &str) -> Option<(f64, &str)> {
    let end = rest
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(rest.len());
    let (digits, after) = rest.split_at(end);
    // `12 in.` ends with a point that belongs to the unit; a lone one is nothing.
    let number: f64 = digits.parse().ok()?;
    Some((number, after))
}

/// What stands below a fraction's line.
fn read_below(rest: &str) -> Option<(f64, &str)> {
    let after = rest.trim_start().strip_prefix('/')?;
    read_number(after.trim_start())
}

/// A unit in mm, or `None` where none is written, and the text after it.
fn read_unit<'t>(rest: &'t str, text: &str) -> Result<(Option<f64>, &'t str), LengthError> {
    let rest = rest.trim_start();
    for (mark, mm) in [("''", INCH_MM), ("\"", INCH_MM), ("'", FOOT_MM)] {
        if let Some(after) = rest.strip_prefix(mark) {
            return Ok((Some(mm), after));
        }
    }
    let end = rest
        .find(|c: char| !c.is_alphabetic())
        .unwrap_or(rest.len());
    let (word, after) = rest.split_at(end);
    if word.is_empty() {
        // Something that is neither a unit nor the next number.
        return match rest.chars().next() {
            Some(c) if !c.is_ascii_digit() => Err(LengthError::Loose(text.trim().to_owned())),
            _ => Ok((None, rest)),
        };
    }
    let mm = match word.to_lowercase().as_str() {
        "in" | "inch" | "inches" => INCH_MM,
        "ft" | "foot" | "feet" => FOOT_MM,
        "yd" | "yds" | "yard" | "yards" => YARD_MM,
        "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => 1.0,
        "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => 10.0,
        "m" | "metre" | "metres" | "meter" | "meters" => 1000.0,
        _ => return Err(LengthError::Unit(word.to_owned())),
    };
    Ok((Some(mm), after.strip_prefix('.').unwrap_or(after)))
}

/// The same text with typographic signs as plain ones: `12½″` becomes `12 1/2"`.
fn to_plain(text: &str) -> String {
    let mut plain = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        let written = match c {
            '½' => " 1/2",
            '⅓' => " 1/3",
            '⅔' => " 2/3",
            '¼' => " 1/4",
            '¾' => " 3/4",
            '⅕' => " 1/5",
            '⅖' => " 2/5",
            '⅗' => " 3/5",
            '⅘' => " 4/5",
            '⅙' => " 1/6",
            '⅚' => " 5/6",
            '⅛' => " 1/8",
            '⅜' => " 3/8",
            '⅝' => " 5/8",
            '⅞' => " 7/8",
            '⁄' | '∕' => "/",
            '″' | '”' | '“' => "\"",
            '′' | '’' | '‘' => "'",
            '−' | '–' | '‐' | '‑' => "-",
            '\u{a0}' | '\u{2009}' | '\u{202f}' => " ",
            _ => {
                plain.push(c);
                continue;
            }
        };
        plain.push_str(written);
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn mm(text: &str) -> f64 {
        read(text, Unit::Inch).unwrap().to_mm()
    }

    #[test]
    fn reads_what_people_write() {
        for text in [
            "12 1/2",
            "12-1/2 in",
            "12½\"",
            "12½",
            "12.5in",
            "31.75 cm",
            "317.5 mm",
            "0.3175 m",
            "12 ½ ″",
            "12 1⁄2 inches",
            "12.5 in.",
            "25/2 in",
            "1' 1/2\"",
            "1 ft 1/2 in",
            " 12–1/2” ",
            "12 1/2''",
            "1′ ½″",
            "1’ ½”",
        ] {
            assert!((mm(text) - 317.5).abs() < 1e-9, "{text}: {}", mm(text));
        }
        assert_eq!(mm("318 mm"), 318.0);
        assert_eq!(Length::of(12.5, Unit::Inch).to_mm(), 317.5);
        assert_eq!(mm("1.2 m"), 1200.0);
        assert_eq!(mm("-1/4"), -6.35);
        assert_eq!(read("2.5", Unit::Centimetre).unwrap().to_mm(), 25.0);
        assert_eq!(mm("1 yd 4 1/2 in"), 40.5 * 25.4);
    }

    // Trade facts 2.1: 1 in = 2.54 cm, 1 yd = 36 in = 0.9144 m, exact by definition;
    // the table of parts of a yard in inches and centimetres.
    #[test]
    fn parts_of_a_yard() {
        for (yards, inches, cm) in [
            ("1/8", 4.5, 11.43),
            ("1/4", 9.0, 22.86),
            ("1/3", 12.0, 30.48),
            ("3/8", 13.5, 34.29),
            ("1/2", 18.0, 45.72),
            ("5/8", 22.5, 57.15),
            ("2/3", 24.0, 60.96),
            ("3/4", 27.0, 68.58),
            ("7/8", 31.5, 80.01),
            ("1", 36.0, 91.44),
        ] {
            let got = mm(&format!("{yards} yd"));
            assert!((got - inches * 25.4).abs() < 1e-9, "{yards} yd is {got}");
            assert!((got - cm * 10.0).abs() < 1e-9, "{yards} yd is {got}");
        }
        assert!((read("1 m", Unit::Inch).unwrap().to_inches() - 39.3701).abs() < 1e-4);
        assert!((read("1 m", Unit::Inch).unwrap().to_yards() - 1.093_613).abs() < 1e-6);
    }

    #[test]
    fn says_what_is_wrong() {
        use LengthError as E;
        for (text, wrong) in [
            ("", E::Empty),
            ("  ", E::Empty),
            ("wide", E::NoNumber("wide".into())),
            ("in", E::NoNumber("in".into())),
            ("12 furlongs", E::Unit("furlongs".into())),
            ("1/0 in", E::OverZero("1/0 in".into())),
            ("12 1/0", E::OverZero("12 1/0".into())),
            ("31,75 cm", E::Comma("31,75 cm".into())),
            (
                "51/4 in",
                E::RunTogether {
                    text: "51/4 in".into(),
                    sum: "12.75".into(),
                    meant: "5 1/4".into(),
                },
            ),
            ("12 5", E::Loose("12 5".into())),
            ("12 in 5", E::Loose("12 in 5".into())),
            ("3 * 4 in", E::Loose("3 * 4 in".into())),
            ("99999999 yd", E::Large("99999999 yd".into())),
            ("1..2 in", E::Range("1..2 in".into())),
            ("1in..3in", E::Range("1in..3in".into())),
            ("nan", E::NoNumber("nan".into())),
            ("inf", E::NoNumber("inf".into())),
        ] {
            assert_eq!(read(text, Unit::Inch), Err(wrong), "{text}");
        }
        // What can be read in two ways is told both; what has one reading only is read.
        let told = read("113/16", Unit::Inch).unwrap_err().to_string();
        assert!(told.contains("did you mean 1 13/16 or 11 3/16?"), "{told}");
        assert!(read("25/2", Unit::Inch).is_ok() && read("3/2", Unit::Inch).is_ok());
        let told = read("18,50", Unit::Inch).unwrap_err().to_string();
        assert!(told.ends_with("write 18.50"), "{told}");
        assert_eq!(read(&"9".repeat(400), Unit::Inch), Err(E::Long(400)));
        assert!(read("12 1/2 1/2 in", Unit::Inch).is_err());
        assert!(read("1e3 in", Unit::Inch).is_err());
    }

    proptest! {
        #[test]
        fn no_text_panics(text in "\\PC{0,80}") {
            let _ = read(&text, Unit::Inch);
        }

        #[test]
        fn no_near_length_panics(text in "[-0-9 ./½⅓inftydcm\"',]{0,14}") {
            if let Ok(length) = read(&text, Unit::Millimetre) {
                prop_assert!(length.to_mm().is_finite());
            }
        }

        #[test]
        fn sixteenths_come_back(n in 1i32..32_000) {
            let length = Length::from_inches(f64::from(n) / 16.0);
            let back = read(&length.shown(Unit::Inch), Unit::Millimetre).unwrap();
            prop_assert!((back.to_mm() - length.to_mm()).abs() < 1e-9);
        }
    }
}
