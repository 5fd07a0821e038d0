//! What was read from a picture, in plain words and as a part of a project file.

use std::fmt::Write;
use stripe_core::length::{Length, Unit};
use stripe_core::swatch::{Reading, Warning};

/// A length with decimals, as a project file takes it.
fn exact(mm: f64, unit: Unit) -> String {
    Length::from_mm(mm).exact(unit)
}

/// The least length that [`exact`] does not show as nothing (mm).
fn least_mm(unit: Unit) -> f64 {
    match unit {
        Unit::Inch => 0.0254,
        Unit::Centimetre | Unit::Millimetre => 0.01,
    }
}

/// The bands as the value of `bands`.
pub(crate) fn bands(reading: &Reading, names: &[String], unit: Unit) -> String {
    let mut text = "[\n".to_owned();
    for (read, name) in reading.bands.iter().zip(names) {
        let (width, colour) = (exact(read.band.width_mm, unit), read.band.colour);
        let fine = if read.is_fine {
            " # too fine to be sure of"
        } else {
            ""
        };
        let _ = writeln!(
            text,
            "  {{ name = \"{name}\", width = \"{width}\", colour = \"{colour}\" }},{fine}"
        );
    }
    text + "]"
}

/// What was found, one sentence a line.
pub(crate) fn found(reading: &Reading, unit: Unit) -> String {
    let mut text = String::new();
    let (run, order) = if reading.upright {
        ("up and down", "from left to right")
    } else {
        ("from side to side", "from the bottom up")
    };
    let lean = match reading.lean_deg {
        lean if lean.abs() < 0.05 => "straight".to_owned(),
        lean if lean > 0.0 => format!("turned counterclockwise by {lean:.1} degrees"),
        lean => format!("turned clockwise by {:.1} degrees", -lean),
    };
    let _ = writeln!(text, "The stripes run {run} in the picture, {lean}.");
    let repeat = reading.repeat_mm;
    let _ = writeln!(
        text,
        "One repeat is {} ({}, give or take {}); the part that was read shows {:.1} repeats.",
        Length::from_mm(repeat.value).shown(unit),
        exact(repeat.value, unit),
        exact((2.0 * repeat.error).max(least_mm(unit)), unit),
        reading.repeats
    );
    let _ = writeln!(
        text,
        "{} bands, {order}. The stripe {}.",
        reading.bands.len(),
        match (reading.has_mirror, reading.upright) {
            (true, true) => "reads the same from left and from right",
            (true, false) => "reads the same from below and from above",
            (false, true) => "does not read the same from left and from right",
            (false, false) => "does not read the same from below and from above",
        }
    );
    if let Some(drift) = reading.drift {
        let (share, error) = (100.0 * drift.value, (200.0 * drift.error).max(0.01));
        if share.abs() <= error.max(0.05) {
            let _ = writeln!(
                text,
                "The repeat is even all over, to {:.2} %.",
                error.max(share.abs())
            );
        } else {
            let _ = writeln!(
                text,
                "The repeat {} by {:.2} % (give or take {error:.2} %) {order}.",
                if share > 0.0 { "grows" } else { "shrinks" },
                share.abs()
            );
        }
    }
    let bow = reading.bow_mm.abs();
    if bow < 0.15 {
        text += "The lines are straight.\n";
    } else {
        let _ = writeln!(text, "The lines are bowed by up to {}.", exact(bow, unit));
    }
    for warning in &reading.warnings {
        let _ = writeln!(text, "- {}", caution(warning, reading, unit));
    }
    text
}

fn caution(warning: &Warning, reading: &Reading, unit: Unit) -> String {
    match warning {
        Warning::Perspective(degrees) => format!(
            "The lines run together by {degrees:.1} degrees: hold the camera straight above the fabric, or scan it."
        ),
        Warning::Uneven(share) => format!(
            "The repeat is {:.1} % wider on one side of the picture than on the other: the fabric is stretched, or the camera was aslant.",
            100.0 * share.abs()
        ),
        Warning::Light(times) => format!(
            "The light is {times:.1} times as bright at its brightest as at its dimmest: colours are less sure."
        ),
        Warning::Fine(numbers) => {
            let named = numbers.iter().filter_map(|&n| reading.bands.get(n - 1));
            let names: Vec<String> = named
                .map(|read| format!("{} ({})", read.band.name, exact(read.band.width_mm, unit)))
                .collect();
            format!(
                "Too fine to be sure of: {}. Measure by hand, or go closer.",
                names.join(", ")
            )
        }
        Warning::FewRepeats(shown) => format!(
            "Only {shown:.1} repeats are shown: with more of them the repeat is more exact."
        ),
        Warning::OtherScale(repeat_mm) => format!(
            "By the resolution of the file itself the repeat would be {}: measure one on the fabric to see which is right.",
            exact(*repeat_mm, unit)
        ),
        Warning::OddRepeat => {
            "Hardly any fabric has such a repeat: check the scale against the fabric.".to_owned()
        }
        _ => {
            "Colours are as the light was: nothing in the picture is known to be white.".to_owned()
        }
    }
}
