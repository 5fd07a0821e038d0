//! What happened to a plan on the way, as it is typed: codes of pieces, scraps, measures.

use crate::args::RecutArgs;
use crate::failure::Failure;
use crate::input::{MAX_PROJECT_BYTES, read_text};
use std::path::Path;
use stripe_core::fabric::InHand;
use stripe_core::length::{Length, Unit};
use stripe_core::motif::outline_ring;
use stripe_core::plan::{Happened, Measured};
use stripe_core::shape::Point;

/// The smallest and the largest side of a piece of fabric (mm).
const SIDES_MM: std::ops::RangeInclusive<f64> = 5.0..=10_000.0;
/// The most corners of a piece of fabric.
const MOST_CORNERS: usize = 100;

/// All of it; lengths without a unit are the plan's.
pub(crate) fn happened(args: &RecutArgs, unit: Unit) -> Result<Happened, Failure> {
    let more: Result<Vec<_>, Failure> = args.from.iter().map(|text| from(text, unit)).collect();
    Ok(Happened {
        cut: codes(&args.cut)?,
        spoilt: codes(&args.spoilt)?,
        more: more?,
        measured: measured(args, unit)?,
        keep: args.keep,
    })
}

/// Codes as given, those of files (`@ticked.txt`) among them.
fn codes(given: &[String]) -> Result<Vec<String>, Failure> {
    let mut all = Vec::new();
    for word in given {
        match word.trim().strip_prefix('@') {
            Some(file) => {
                let text = read_text(Path::new(file), MAX_PROJECT_BYTES)?;
                let words = text.split(|c: char| c.is_whitespace() || c == ',');
                all.extend(words.filter(|word| !word.is_empty()).map(str::to_owned));
            }
            None if word.trim().is_empty() => {}
            None => all.push(word.trim().to_owned()),
        }
    }
    Ok(all)
}

/// What was measured again, fabric by fabric.
fn measured(args: &RecutArgs, unit: Unit) -> Result<Vec<Measured>, Failure> {
    let mut all: Vec<Measured> = Vec::new();
    let mut take = |option: &str, text: &str, set: &dyn Fn(&mut Measured, f64), read: Read| {
        let wrong = |what: String| {
            let help = format!(
                "write the fabric, an equals sign and what you measured: {option} \"deck={}\"",
                read.like
            );
            Failure::new(format!("{option} {text:?}: {what}"), help)
        };
        let Some((fabric, value)) = text.split_once('=') else {
            return Err(wrong("it names no fabric".to_owned()));
        };
        let value = (read.value)(value.trim()).map_err(wrong)?;
        let fabric = fabric.trim();
        let known = all.iter().position(|one| one.fabric == fabric);
        let at = known.unwrap_or_else(|| {
            all.push(Measured {
                fabric: fabric.to_owned(),
                ..Measured::default()
            });
            all.len() - 1
        });
        set(&mut all[at], value);
        Ok(())
    };
    let length = |text: &str| -> Result<f64, String> {
        let mm = Length::read(text, unit).map_err(|e| e.to_string())?.to_mm();
        if SIDES_MM.contains(&mm) {
            Ok(mm)
        } else {
            Err("no fabric measures that".to_owned())
        }
    };
    let degrees = |text: &str| -> Result<f64, String> {
        let plain = text.trim_end_matches('°').trim();
        let degrees: Option<f64> = plain.parse().ok().filter(|deg: &f64| deg.is_finite());
        degrees.ok_or_else(|| "that is no number of degrees".to_owned())
    };
    let lengths = |like| Read {
        like,
        value: &length,
    };
    for text in &args.repeat {
        take(
            "--repeat",
            text,
            &|one, mm| one.repeat_mm = Some(mm),
            lengths("2 7/16 in"),
        )?;
    }
    for text in &args.width {
        take(
            "--width",
            text,
            &|one, mm| one.width_mm = Some(mm),
            lengths("41 1/2 in"),
        )?;
    }
    for text in &args.lean {
        let read = Read {
            like: "0.5",
            value: &degrees,
        };
        take("--lean", text, &|one, deg| one.lean_deg = Some(deg), read)?;
    }
    Ok(all)
}

/// How a measure is read, and an example of one.
struct Read<'a> {
    like: &'a str,
    value: &'a dyn Fn(&str) -> Result<f64, String>,
}

/// `deck=7 in x 5 in@1/2 in`: fabric, width, length, where its stripe begins; or its corners.
fn from(text: &str, unit: Unit) -> Result<(String, InHand), Failure> {
    let wrong = |what: String| {
        let help = "write width (across) by length (along the selvage): --from \"7 in x 5 in\", or with where its stripe begins: --from \"7 in x 5 in@1/2 in\"; \
                    or its corners one after the other, from its lower left: --from \"(0, 0) (7, 0) (5, 6) (0, 6)\"";
        Failure::new(format!("--from {text:?}: {what}"), help)
    };
    let (fabric, rest) = text.split_once('=').unwrap_or(("", text));
    let (size, start) = match rest.split_once('@') {
        Some((size, start)) => (size, Some(start)),
        None => (rest, None),
    };
    let read = |text: &str| {
        let length = Length::read(text.trim(), unit);
        length.map(Length::to_mm).map_err(|e| wrong(e.to_string()))
    };
    let sides: Vec<&str> = size.split(['x', 'X', '×']).collect();
    let mut piece = if size.contains('(') {
        let pairs = pairs(size)
            .ok_or_else(|| wrong("these are no corners: write each with a comma, (9, 0)".into()))?;
        let corners: Result<Vec<Point>, Failure> = pairs
            .into_iter()
            .map(|(x, y)| {
                Ok(Point {
                    x: read(x)?,
                    y: read(y)?,
                })
            })
            .collect();
        let outline = corners?;
        let outline = outline_ring(&outline).map_err(|e| wrong(e.to_string()))?;
        InHand {
            outline,
            ..InHand::rectangle("extra piece", 0.0, 0.0)
        }
    } else if let [width, length] = sides[..] {
        InHand::rectangle("extra piece", read(width)?, read(length)?)
    } else {
        return Err(wrong("this needs a width and a length".to_owned()));
    };
    let low = piece
        .outline
        .iter()
        .map(|p| p.x.min(p.y))
        .fold(0.0, f64::min);
    let (wide, long) = piece.size_mm();
    if low < 0.0 || !SIDES_MM.contains(&wide) || !SIDES_MM.contains(&long) {
        return Err(wrong("no piece of fabric has that size".to_owned()));
    }
    if let Some(start) = start {
        piece.origin_mm = read(start)?;
    }
    Ok((fabric.trim().to_owned(), piece))
}

/// The pairs of `(x, y) (x, y)`; nothing where there are too many, or signs that belong to none.
fn pairs(text: &str) -> Option<Vec<(&str, &str)>> {
    let corners = text
        .split(')')
        .map(|corner| corner.trim().trim_start_matches(',').trim());
    let corners = corners.filter(|corner| !corner.is_empty());
    let pairs: Option<Vec<(&str, &str)>> = corners
        .take(MOST_CORNERS + 1)
        .map(|corner| corner.strip_prefix('(')?.split_once(','))
        .collect();
    pairs.filter(|pairs| pairs.len() <= MOST_CORNERS)
}
