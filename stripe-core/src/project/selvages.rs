//! Where the stripe meets the two selvages: measured at both, lengthwise stripes tell their
//! repeat over the whole width, crosswise stripes their lean.

use super::limits::MAX_SIZE_MM;
use super::section::Section;
use crate::fabric::{Run, Stripe};
use crate::length::{Length, Unit};
use toml::Spanned;

/// Up to so many repeats across the width are counted here: a repeat that is 3 % off, as much
/// as fabric ever is (common practice, no source), then adds up to half a repeat at most.
const MOST_COUNTED: f64 = 16.0;
/// A repeat further from what its bands add up to (a share of it) was miscounted.
const MOST_OFF: f64 = 0.2;

/// What the rest of the stripe says, before it is measured.
pub(super) struct Listed {
    pub(super) run: Run,
    pub(super) lean_deg: f64,
    /// The fabric's width (mm), where it could be read.
    pub(super) width_mm: Option<f64>,
    /// What the bands add up to (mm), where they could be read.
    pub(super) repeat_mm: Option<f64>,
}

/// What follows for the stripe.
pub(super) struct Measured {
    /// Across lengthwise stripes.
    pub(super) repeat_mm: Option<f64>,
    pub(super) lean_deg: f64,
    /// Where the first band begins, across the stripe.
    pub(super) start_mm: f64,
}

/// `selvages = { left = "3/4 in", right = "1 1/8 in" }`. Lengthwise: from the left selvage to
/// where the first band begins first, and from where it begins last to the right selvage, with
/// so many `repeats` between. Crosswise: from the cut end to where one and the same band begins,
/// along each selvage.
pub(super) fn read_selvages(stripe: &Section<'_, '_>, listed: &Listed) -> Option<Measured> {
    let what = format!("`selvages` of {}", stripe.what);
    let section = stripe.section("selvages", what)?;
    let clashes: &[&'static str] = match listed.run {
        Run::Lengthwise => &["start", "repeat", "measured"],
        Run::Crosswise => &["start", "lean"],
    };
    let twice = clashes.iter().find(|key| stripe.get(key).is_some());
    if let Some(key) = twice {
        let message = format!("{} has both `{key}` and `selvages`", stripe.what);
        let help = format!("take `{key}` out: it follows from what you measured at the selvages");
        stripe.fault(stripe.key_span(key), message, help);
    }
    let repeats = section.count("repeats", 1..=10_000);
    let side = |key, help| {
        let length = section.length(key, 0.0..=MAX_SIZE_MM);
        if section.get(key).is_none() {
            section.missing(key, help);
        }
        length.map(Spanned::into_inner)
    };
    let (left, right) = match listed.run {
        Run::Lengthwise => (
            side(
                "left",
                "say how far from the left selvage the first band begins: left = \"3/4 in\"",
            ),
            side(
                "right",
                "say how far it is from where the first band last begins to the right selvage: right = \"1 1/8 in\"",
            ),
        ),
        Run::Crosswise => (
            side(
                "left",
                "say how far from the cut end the first band begins, along the left selvage: left = \"3/4 in\"",
            ),
            side(
                "right",
                "say where the same band meets the right selvage: right = \"1 1/8 in\"",
            ),
        ),
    };
    let (right_span, what) = (section.key_span("right"), section.what.clone());
    let repeats_span = section.key_span("repeats");
    section.close();
    let (left, right, width) = (left?, right?, listed.width_mm?);
    let measured = match (listed.run, repeats) {
        (Run::Lengthwise, repeats) => {
            let repeats = repeats.map(Spanned::into_inner);
            let unit = stripe.context.unit;
            across(&what, listed, [left, right, width], repeats, unit)
                .map_err(|told| (right_span, told))
        }
        (Run::Crosswise, Some(_)) => {
            let help = "take `repeats` out: of crosswise stripes the selvages tell the lean alone";
            Err((
                repeats_span,
                (format!("{what} counts `repeats`"), help.to_owned()),
            ))
        }
        (Run::Crosswise, None) => {
            lean(&what, [left, right, width]).map_err(|told| (right_span, told))
        }
    };
    match measured {
        Ok(measured) => measured.filter(|_| twice.is_none()),
        Err((span, (message, help))) => {
            stripe.fault(span, message, help);
            None
        }
    }
}

/// What is wrong, and what to do.
type Told = (String, String);

/// Lengthwise: the repeat over the whole width; nothing where the bands could not be read.
fn across(
    what: &str,
    listed: &Listed,
    [left, right, width]: [f64; 3],
    repeats: Option<usize>,
    unit: Unit,
) -> Result<Option<Measured>, Told> {
    let shown = |mm: f64| Length::from_mm(mm.max(0.0)).shown(unit);
    let cos = listed.lean_deg.to_radians().cos();
    let Some(repeat_mm) = listed.repeat_mm else {
        return Ok(None);
    };
    // Along the cut end a leaning repeat is longer.
    let listed_mm = repeat_mm / cos;
    let between_mm = width - left - right;
    let counted = (between_mm / listed_mm).round();
    if counted < 1.0 {
        return Err((
            format!(
                "{what} leaves {} between the two, less than one repeat of {}",
                shown(between_mm),
                shown(listed_mm)
            ),
            "measure to where the first band begins, the first time and the last time".to_owned(),
        ));
    }
    if repeats.is_none() && counted > MOST_COUNTED {
        return Err((
            format!("{what} has some {counted} repeats between the two"),
            format!("count them, and say how many: repeats = {counted}"),
        ));
    }
    let measured_mm = between_mm / repeats.map_or(counted, |repeats| repeats as f64);
    if (measured_mm / listed_mm - 1.0).abs() > MOST_OFF {
        return Err((
            format!(
                "{what} makes a repeat of {}, but the bands add up to {}",
                shown(measured_mm * cos),
                shown(repeat_mm)
            ),
            format!(
                "measure again, and count the repeats from where the first band begins first to where it begins last: by its \
                 bands it would be {counted}"
            ),
        ));
    }
    Ok(Some(Measured {
        repeat_mm: Some(measured_mm * cos),
        lean_deg: listed.lean_deg,
        start_mm: left * cos,
    }))
}

/// Crosswise: how far the stripe climbs from the left selvage to the right.
fn lean(what: &str, [left, right, width]: [f64; 3]) -> Result<Option<Measured>, Told> {
    let lean_rad = ((right - left) / width).atan();
    let lean_deg = lean_rad.to_degrees();
    if lean_deg.abs() > Stripe::MAX_LEAN_DEG {
        return Err((
            format!("{what} makes a lean of {lean_deg:.1} degrees"),
            format!(
                "follow one band from selvage to selvage, and measure it from the cut end at both: a stripe leans by {} \
                 degrees at most",
                Stripe::MAX_LEAN_DEG
            ),
        ));
    }
    Ok(Some(Measured {
        repeat_mm: None,
        lean_deg,
        start_mm: left * lean_rad.cos(),
    }))
}

#[cfg(test)]
mod tests {
    use crate::fabric::Stripe;
    use crate::project::Project;
    use crate::shape::point;

    const INCH: f64 = 25.4;

    /// The stripe of 3 in on fabric 42 in wide, and all that is said of it.
    fn read(stripe: &str) -> Result<Stripe, Vec<String>> {
        let text = format!(
            "unit = \"in\"\n[fabric.a]\nwidth = 42\n[fabric.a.stripe]\nbands = [{{ width = 1, colour = \"#112233\" }}, \
             {{ width = 2, colour = \"#ddeeff\" }}]\n{stripe}\n[motif.m]\n[[motif.m.part]]\nfabric = \"a\"\n\
             shape = \"disc\"\nrim = 2\noffset = 0\n"
        );
        let told = |faults: Vec<crate::project::Fault>| -> Vec<String> {
            let told = |fault: crate::project::Fault| format!("{} {}", fault.message, fault.help);
            faults.into_iter().map(told).collect()
        };
        let project: Project = Project::read(&text).map_err(told)?;
        Ok(project.fabric("a").unwrap().stripe().unwrap().clone())
    }

    /// By hand: 3/4 in and 2 13/20 in of 42 in leave 38.6 in; 13 repeats of 3 in would be 39 in, so
    /// each is 38.6 / 13 in. With `repeats` it need not be guessed.
    #[test]
    fn lengthwise_the_selvages_tell_the_repeat() {
        for repeats in ["", ", repeats = 13"] {
            let stripe = read(&format!(
                "selvages = {{ left = 0.75, right = 2.65{repeats} }}"
            ))
            .unwrap();
            assert!((stripe.repeat_mm() / INCH - 38.6 / 13.0).abs() < 1e-9);
            assert!((stripe.origin_mm() - 0.75 * INCH).abs() < 1e-9);
            // The last repeat begins 2.65 in from the right selvage.
            let phase = stripe.phase_at(point(39.35 * INCH, 70.0));
            assert!(phase.min(stripe.repeat_mm() - phase) < 1e-6, "{phase}");
        }
    }

    /// A stripe that leans has its repeat along the cut end wider by 1 / cos.
    #[test]
    fn a_lean_is_taken_out_of_the_width() {
        let stripe = read("lean = 10\nselvages = { left = 1, right = 1.4, repeats = 13 }").unwrap();
        let cos = 10_f64.to_radians().cos();
        assert!((stripe.repeat_mm() / INCH - 39.6 / 13.0 * cos).abs() < 1e-9);
        for x in [1.0, 40.6] {
            let phase = stripe.phase_at(point(x * INCH, 0.0));
            assert!(phase.min(stripe.repeat_mm() - phase) < 1e-6, "{x}: {phase}");
        }
    }

    /// By hand: up by 1.05 in over 42 in is a slope of 1 in 40, 1.432 degrees.
    #[test]
    fn crosswise_the_selvages_tell_the_lean() {
        let stripe = read("run = \"crosswise\"\nselvages = { left = 0.5, right = 1.55 }").unwrap();
        assert!((stripe.lean_deg() - 1.432).abs() < 5e-4);
        for (x, y) in [(0.0, 0.5), (42.0, 1.55)] {
            let phase = stripe.phase_at(point(x * INCH, y * INCH));
            assert!(phase.min(stripe.repeat_mm() - phase) < 1e-6, "{x}: {phase}");
        }
        // And the repeat may be measured besides.
        let stripe =
            read("run = \"crosswise\"\nrepeat = 3.1\nselvages = { left = 0, right = 0 }").unwrap();
        assert!(stripe.lean_deg() == 0.0 && (stripe.repeat_mm() / INCH - 3.1).abs() < 1e-9);
    }

    #[test]
    fn what_cannot_be_measured_is_told_once() {
        let sides = "selvages = { left = 1, right = 2 }";
        let across = "run = \"crosswise\"\n";
        for (stripe, said) in [
            ("selvages = 1".to_owned(), "must be a table"),
            ("selvages = { left = 1 }".to_owned(), "has no `right`"),
            ("selvages = { right = 1 }".to_owned(), "has no `left`"),
            (
                "selvages = { left = -1, right = 1 }".to_owned(),
                "below zero",
            ),
            (
                "selvages = { lefd = 1, right = 1 }".to_owned(),
                "did you mean `left`",
            ),
            (
                "selvages = { left = 20, right = 21 }".to_owned(),
                "less than one repeat",
            ),
            (
                "selvages = { left = 40, right = 40 }".to_owned(),
                "leaves 0 in between",
            ),
            (
                "selvages = { left = 40, right = 40, repeats = 3 }".to_owned(),
                "leaves 0 in between",
            ),
            (
                "selvages = { left = 1, right = 2, repeats = 9 }".to_owned(),
                "it would be 13",
            ),
            (
                "selvages = { left = 1, right = 2, repeats = 0 }".to_owned(),
                "cannot be 0",
            ),
            (format!("start = 1\n{sides}"), "take `start` out"),
            (format!("repeat = 3\n{sides}"), "take `repeat` out"),
            (
                format!("measured = {{ repeats = 1, length = 3 }}\n{sides}"),
                "take `measured` out",
            ),
            (format!("{across}lean = 1\n{sides}"), "take `lean` out"),
            (
                format!("{across}selvages = {{ left = 0, right = 20 }}"),
                "a lean of 25.5 degrees",
            ),
            (
                format!("{across}selvages = {{ left = 1, right = 2, repeats = 9 }}"),
                "the lean alone",
            ),
        ] {
            let faults = read(&stripe).unwrap_err();
            assert!(
                faults.len() == 1 && faults[0].contains(said),
                "{stripe}: {faults:?}"
            );
        }
    }

    #[test]
    fn fine_stripes_must_be_counted() {
        let text = "unit = \"in\"\n[fabric.a]\nwidth = 42\n[fabric.a.stripe]\nbands = [{ width = 1, colour = \"#112233\" }]\n\
             selvages = { left = 0.2, right = 0.3 }\n[motif.m]\n[[motif.m.part]]\nfabric = \"a\"\nshape = \"disc\"\nrim = 2\n";
        let faults = Project::read(text).unwrap_err();
        assert!(
            faults.len() == 1 && faults[0].help.contains("repeats = 42"),
            "{faults:?}"
        );
        let counted = text.replace("0.3 }", "0.3, repeats = 41 }");
        assert!(Project::read(&counted).is_ok());
    }
}
