//! How stripes pass through a part, and which of them lies on its centre.

use super::fault::nearest_name;
use super::limits::{ANGLES_DEG, DISTANCES_MM, MAX_NAME_CHARS, PLACES_MM};
use super::section::{Placed, Section};
use crate::fabric::Pattern;
use crate::motif::{Copies, Form, PartStripes};
use crate::num::wrap;
use crate::quote::quoted;
use toml::Spanned;
use toml::de::DeValue;

fn read_part_stripes(
    section: &Section<'_, '_>,
    form: Option<&Form>,
    pattern: Option<&Pattern>,
) -> PartStripes {
    #[derive(Clone, Copy, PartialEq)]
    enum Word {
        Through,
        Rays,
        Rings,
    }
    let words = [
        ("through", Word::Through),
        ("rays", Word::Rays),
        ("rings", Word::Rings),
    ];
    let word = section.choice("stripes", &words);
    let across = section.number("stripe_angle", ANGLES_DEG, " degrees");
    let at = section.length("at", DISTANCES_MM);
    let chosen = word.as_ref().map_or(Word::Through, |word| *word.get_ref());
    if let Some(across) = &across
        && chosen != Word::Through
    {
        let message = format!(
            "{} gives `stripe_angle`, which goes only with stripes = \"through\"",
            section.what
        );
        section.fault(across.span(), message, "take `stripe_angle` out");
    } else if across.is_some() && matches!(pattern, Some(Pattern::Plain(_))) {
        let message = format!(
            "{} gives `stripe_angle`, but its fabric has no stripe",
            section.what
        );
        let help = "take `stripe_angle` out; `grain_angle` says how the grain of plain fabric runs";
        section.fault(section.key_span("stripe_angle"), message, help);
    }
    if let Some(at) = &at
        && chosen != Word::Rings
    {
        let message = format!(
            "{} gives `at`, which goes only with stripes = \"rings\"",
            section.what
        );
        section.fault(at.span(), message, "take `at` out");
    }
    if let (Some(word), Some(Form::Outline(_))) = (&word, form)
        && chosen != Word::Through
    {
        let message = format!(
            "{} is a drawn outline, so it has no wedges to run rays or rings through",
            section.what
        );
        section.fault(word.span(), message, "use stripes = \"through\"");
    }
    match chosen {
        Word::Through => PartStripes::Through {
            normal_deg: across.map_or(0.0, |across| wrap(across.into_inner(), 360.0)),
        },
        Word::Rays => PartStripes::Rays,
        Word::Rings => {
            let (hub_mm, rim_mm) = match form {
                Some(Form::Fan(fan)) => (fan.hub_mm, fan.rim_mm),
                _ => (0.0, 0.0),
            };
            PartStripes::Rings {
                radius_mm: at.map_or((hub_mm + rim_mm) / 2.0, Spanned::into_inner),
            }
        }
    }
}

/// How the fabric lies in a part, and what its copies share.
pub(super) struct Look {
    pub stripes: PartStripes,
    pub grain_deg: Option<f64>,
    pub phase_mm: Option<f64>,
    pub along_mm: f64,
    pub copies: Copies,
    pub tie: Option<String>,
}

/// The keys that a part and a kind of drawn pieces have in common.
pub(super) fn read_look(
    section: &Section<'_, '_>,
    form: Option<&Form>,
    pattern: Option<&Pattern>,
) -> Look {
    let stripes = read_part_stripes(section, form, pattern);
    let grain_deg = read_grain(section, pattern);
    let looks = [("alike", Copies::Alike), ("own", Copies::Own)];
    let copies = section.choice("copies_look", &looks);
    let phase_mm = read_offset(section, pattern, copies.as_ref());
    let along = section.length("offset_along", PLACES_MM);
    let tie = section.text("tie", MAX_NAME_CHARS);
    Look {
        stripes,
        grain_deg,
        phase_mm,
        along_mm: along.map_or(0.0, Spanned::into_inner),
        copies: copies.map_or(Copies::Alike, Spanned::into_inner),
        tie: tie.map(Spanned::into_inner),
    }
}

/// `grain_angle`: how the grain of plain fabric runs in the finished motif (degrees from upright).
fn read_grain(section: &Section<'_, '_>, pattern: Option<&Pattern>) -> Option<f64> {
    let angle = section.number("grain_angle", ANGLES_DEG, " degrees")?;
    if let Some(Pattern::Striped(_)) = pattern {
        let message = format!(
            "{} gives `grain_angle`, but its fabric is striped",
            section.what
        );
        let help = "take `grain_angle` out: `stripe_angle` says how its stripes run";
        section.fault(section.key_span("grain_angle"), message, help);
        return None;
    }
    Some(wrap(angle.into_inner(), 360.0))
}

/// `"free"`, a length, or `{ middle_of = BAND }`. Where the fabric itself is at fault
/// its pattern is unknown: no fault is built upon it.
fn read_offset(
    section: &Section<'_, '_>,
    pattern: Option<&Pattern>,
    copies: Option<&Placed<Copies>>,
) -> Option<f64> {
    let value = section.get("offset")?;
    if value.get_ref().as_str() == Some("free") {
        return None;
    }
    if copies.is_some_and(|copies| *copies.get_ref() == Copies::Own) {
        let message = format!(
            "{} fixes its `offset`, so its copies cannot each have their own",
            section.what
        );
        let help = "write offset = \"free\", or copies_look = \"alike\"";
        section.fault(value.span(), message, help);
    }
    let phase_mm = if let DeValue::Table(_) = value.get_ref() {
        let what = format!("`offset` of {}", section.what);
        let inside = Section::of(what, value, section.context)?;
        let middle = read_band_middle(&inside, pattern);
        inside.close();
        return middle;
    } else {
        section.to_length("offset", value, PLACES_MM)?
    };
    match pattern? {
        Pattern::Striped(stripe) => Some(wrap(phase_mm, stripe.repeat_mm())),
        Pattern::Plain(_) => None,
    }
}

/// The phase at the middle of a band named, or counted from 1.
fn read_band_middle(section: &Section<'_, '_>, pattern: Option<&Pattern>) -> Option<f64> {
    let Some(value) = section.get("middle_of") else {
        section.missing("middle_of", "name the band: { middle_of = \"NAME\" }");
        return None;
    };
    let stripe = match pattern? {
        Pattern::Striped(stripe) => stripe,
        Pattern::Plain(_) => {
            let message = format!(
                "{} names a band, but its fabric has no stripe",
                section.what
            );
            let help = "take `offset` out, or use striped fabric";
            section.fault(value.span(), message, help);
            return None;
        }
    };
    if value.get_ref().is_integer() {
        let number = section.count("middle_of", 1..=stripe.bands().len())?;
        return Some(stripe.middle_of(number.into_inner() - 1));
    }
    let name = section.text("middle_of", MAX_NAME_CHARS)?;
    let names: Vec<&str> = stripe
        .bands()
        .iter()
        .map(|band| band.name.as_str())
        .collect();
    let found: Vec<usize> = (0..names.len())
        .filter(|&band| names[band] == name.get_ref())
        .collect();
    match found[..] {
        [only] => Some(stripe.middle_of(only)),
        [first, second, ..] => {
            let message = format!("more than one band is named {}", quoted(name.get_ref()));
            let help = format!(
                "count it instead, for example {} or {}",
                first + 1,
                second + 1
            );
            section.fault(name.span(), message, help);
            None
        }
        [] => {
            let help = match nearest_name(name.get_ref(), names.iter().copied()) {
                Some(near) => format!("did you mean {}?", quoted(near)),
                None => format!("its bands are: {}", names.join(", ")),
            };
            let message = format!("there is no band {} in that fabric", quoted(name.get_ref()));
            section.fault(name.span(), message, help);
            None
        }
    }
}
