//! `[fabric.NAME]`: width, what is on it, and how it is sold.

use super::in_hand::read_in_hand;
use super::limits::{
    ANGLES_DEG, BANDS, BANDS_MM, DISTANCES_MM, FABRICS, MAX_NAME_CHARS, MIN_REPEAT_MM, PLACES_MM,
    PRICES, REPEATS_MM, SHRINKAGES, SOLD_MM, SQUARING_MM, TURNS, from_to,
};
use super::measured::{read_repeat, scaled};
use super::picture::read_picture;
use super::section::{Placed, Section, Value, check_name};
use super::selvages::{Listed, Measured, read_selvages};
use crate::colour::Colour;
use crate::fabric::{Along, Band, Fabric, Faces, Look, Nap, Pattern, Run, Sale, Step, Stripe};
use crate::length::{Length, Unit};
use crate::num::wrap;
use crate::quote::quoted;
use toml::Spanned;

/// A fabric as far as it could be read: its name counts even if the rest is at fault.
pub(super) struct Draft {
    pub(super) name: String,
    pub(super) fabric: Option<Fabric>,
}

pub(super) fn read_fabrics(file: &Section<'_, '_>) -> Vec<Draft> {
    let named = file.named("fabric");
    if named.is_empty() {
        file.missing(
            "fabric",
            "add a fabric: [fabric.NAME] with its width and colour",
        );
    }
    if let Some((name, _)) = named.get(*FABRICS.end()) {
        let message = format!("the project has {} fabrics", named.len());
        file.fault(
            name.span(),
            message,
            format!("use at most {}", FABRICS.end()),
        );
    }
    named
        .into_iter()
        .take(*FABRICS.end())
        .map(|(name, value)| Draft {
            fabric: read_fabric(file, &name, value),
            name: name.into_inner(),
        })
        .collect()
}

fn read_fabric(file: &Section<'_, '_>, name: &Placed<String>, value: &Value<'_>) -> Option<Fabric> {
    let what = format!("fabric `{}`", name.get_ref());
    check_name(
        file.context.faults,
        "the name of a fabric",
        name.get_ref(),
        MAX_NAME_CHARS,
        name.span(),
    );
    let mut section = Section::of(what.clone(), value, file.context)?;
    section.span = name.span();
    let width = section.length("width", REPEATS_MM);
    if section.get("width").is_none() {
        section.missing(
            "width",
            "say how wide it is between the selvages: width = \"42 in\"",
        );
    }
    let one_way = section.yes("one_way").unwrap_or(false);
    let colour = read_colour(&section);
    let stripe = section
        .section("stripe", format!("the stripe of {what}"))
        .map(|stripe| read_stripe(stripe, width.as_ref().map(|width| *width.get_ref())));
    let bow_mm = section
        .length("bow", DISTANCES_MM)
        .map_or(0.0, Spanned::into_inner);
    let nap = read_nap(&section, stripe.is_some());
    let may_rotate_deg = read_turns(&section, one_way, nap, stripe.is_some());
    let faces = section
        .choice(
            "faces",
            &[("right side", Faces::RightSide), ("both", Faces::Both)],
        )
        .map_or(Faces::RightSide, Spanned::into_inner);
    let sale = section
        .section("sold", format!("`sold` of {what}"))
        .map(read_sale);
    let read = stripe.as_ref().and_then(|stripe| Some(&stripe.as_ref()?.0));
    let picture = read_picture(&section, read);
    if section.get("picture").is_some() && stripe.is_none() {
        let message = format!("{what} has a `picture`, but no `stripe`");
        let help = "take `picture` out: plain fabric is shown by its colour";
        section.fault(section.key_span("picture"), message, help);
    }
    let listed_repeat_mm = stripe.as_ref().and_then(|stripe| stripe.as_ref()?.1);
    let pattern = match (stripe, colour) {
        (Some(stripe), None) => stripe.map(|(stripe, _)| Pattern::Striped(stripe)),
        (Some(_), Some(_)) => {
            let message = format!("{what} has both a `colour` and a `stripe`");
            let help = "plain fabric has a colour, striped fabric has bands: keep one of the two";
            section.fault(section.key_span("colour"), message, help);
            None
        }
        (None, Some(colour)) => colour.map(Pattern::Plain),
        (None, None) => {
            let help = "give a colour = \"#rrggbb\", or a stripe with bands";
            section.missing("colour", help);
            None
        }
    };
    let fabric = width.zip(pattern).map(|(width, pattern)| Fabric {
        name: name.get_ref().clone(),
        width_mm: width.into_inner(),
        pattern,
        faces,
        one_way,
        may_rotate_deg,
        nap,
        bow_mm,
        listed_repeat_mm,
        picture,
        sale,
        in_hand: vec![],
    });
    // What is in hand is read against the fabric's width and stripe; where those are at fault,
    // it waits.
    let fabric = match fabric {
        Some(mut fabric) => {
            fabric.in_hand = read_in_hand(&section, &fabric);
            Some(fabric)
        }
        None => {
            section.get("in_hand");
            None
        }
    };
    section.close();
    fabric
}

/// `None`: no such key; `Some(None)`: there, but at fault.
fn read_colour(section: &Section<'_, '_>) -> Option<Option<Colour>> {
    section.get("colour")?;
    let Some(text) = section.text("colour", MAX_NAME_CHARS) else {
        return Some(None);
    };
    match text.get_ref().parse() {
        Ok(colour) => Some(Some(colour)),
        Err(_) => {
            let message = format!("{} is not a colour", quoted(text.get_ref()));
            let help = "write # and six hexadecimal digits, for example \"#1d3557\"";
            section.fault(text.span(), message, help);
            Some(None)
        }
    }
}

/// The stripe, and what its bands add up to where another repeat was measured.
fn read_stripe(
    section: Section<'_, '_>,
    fabric_width_mm: Option<f64>,
) -> Option<(Stripe, Option<f64>)> {
    let run = section
        .choice(
            "run",
            &[
                ("lengthwise", Run::Lengthwise),
                ("crosswise", Run::Crosswise),
            ],
        )
        .map_or(Run::Lengthwise, Spanned::into_inner);
    let lean = Stripe::MAX_LEAN_DEG;
    let lean_deg = section.number("lean", -lean..=lean, " degrees");
    let start = section.length("start", PLACES_MM);
    let bands = read_bands(&section);
    let measured_mm = read_repeat(&section);
    let listed = Listed {
        run,
        lean_deg: lean_deg.map_or(0.0, Spanned::into_inner),
        width_mm: fabric_width_mm,
        repeat_mm: bands
            .as_ref()
            .map(|bands| bands.iter().map(|band| band.width_mm).sum()),
    };
    let Measured {
        repeat_mm,
        lean_deg,
        start_mm,
    } = read_selvages(&section, &listed).unwrap_or(Measured {
        repeat_mm: None,
        lean_deg: listed.lean_deg,
        start_mm: start.map_or(0.0, Spanned::into_inner),
    });
    let measured_mm = measured_mm.or(repeat_mm);
    let along = section
        .section("along", format!("`along` of {}", section.what))
        .map(read_along);
    let whole = section.span.clone();
    let place = section.key_span("bands");
    let (context, what) = (section.context, section.what.clone());
    section.close();
    let mut bands = bands?;
    let listed_mm = measured_mm.map(|repeat_mm| {
        let listed_mm = bands.iter().map(|band| band.width_mm).sum();
        bands = scaled(std::mem::take(&mut bands), repeat_mm);
        listed_mm
    });
    let stripe = Stripe::try_new(run, lean_deg, start_mm, bands);
    let stripe = match stripe {
        Ok(stripe) => stripe,
        Err(wrong) => {
            context
                .faults
                .add(whole, wrong.to_string(), "mend the stripe");
            return None;
        }
    };
    let shown = |mm: f64| Length::from_mm(mm).shown(context.unit);
    let repeat_mm = stripe.repeat_mm();
    if repeat_mm < MIN_REPEAT_MM {
        let message = format!("the bands of {what} make a repeat of {}", shown(repeat_mm));
        let help = format!("a repeat is at least {MIN_REPEAT_MM} mm: check the unit");
        context.faults.add(place, message, help);
        return None;
    }
    if let Some(width_mm) = fabric_width_mm.filter(|&width_mm| repeat_mm > width_mm) {
        let message = format!(
            "the bands of {what} make a repeat of {}, wider than the fabric's {}",
            shown(repeat_mm),
            shown(width_mm)
        );
        let help = "check the widths of the bands and their unit";
        context.faults.add(place, message, help);
        return None;
    }
    let stripe = match along {
        None => stripe,
        // The reader has seen to every size.
        Some(along) => stripe.with_along(along?).ok()?,
    };
    Some((stripe, listed_mm))
}

/// A second repeat along the stripes: bands that cross them, or a printed figure.
fn read_along(section: Section<'_, '_>) -> Option<Along> {
    let start = section.length("start", PLACES_MM);
    let drop = section.length("drop", PLACES_MM);
    let figure = section.section("figure", format!("the figure of {}", section.what));
    let (repeat_mm, look) = if let Some(figure) = figure {
        let repeat = section.length("repeat", REPEATS_MM);
        if section.get("repeat").is_none() {
            let help = "say after what length the figure comes again: repeat = \"4 in\"";
            section.missing("repeat", help);
        }
        let look = read_figure(figure);
        section.close();
        (repeat?.into_inner(), look?)
    } else {
        let bands = read_bands(&section);
        section.close();
        let bands = bands?;
        (bands.iter().map(|b| b.width_mm).sum(), Look::Bands(bands))
    };
    Some(Along {
        repeat_mm,
        start_mm: start.map_or(0.0, Spanned::into_inner),
        shear_mm: drop.map_or(0.0, Spanned::into_inner),
        look,
    })
}

fn read_figure(section: Section<'_, '_>) -> Option<Look> {
    let across = section.length("across", PLACES_MM);
    let size = section.length("size", BANDS_MM);
    if section.get("size").is_none() {
        section.missing("size", "say how large it is: size = \"2 in\"");
    }
    let colour = read_colour(&section);
    if colour.is_none() {
        section.missing("colour", "say its main colour: colour = \"#1d3557\"");
    }
    section.close();
    Some(Look::Figure {
        across_mm: across.map_or(0.0, Spanned::into_inner),
        size_mm: size?.into_inner(),
        colour: colour??,
    })
}

fn read_bands(section: &Section<'_, '_>) -> Option<Vec<Band>> {
    let Some((entries, place)) = section.list("bands") else {
        if section.get("bands").is_none() {
            let help = "list them in order across the fabric: bands = [{ width = \"1 in\", colour = \"#1d3557\" }]";
            section.missing("bands", help);
        }
        return None;
    };
    if !BANDS.contains(&entries.len()) {
        let message = format!("{} has {} bands", section.what, entries.len());
        section.fault(place, message, format!("give {} bands", from_to(&BANDS)));
        return None;
    }
    let bands: Vec<Option<Band>> = entries
        .iter()
        .enumerate()
        .map(|(i, value)| read_band(section, i + 1, value))
        .collect();
    bands.into_iter().collect()
}

fn read_band(stripe: &Section<'_, '_>, number: usize, value: &Value<'_>) -> Option<Band> {
    let what = format!("band {number} of {}", stripe.what);
    let section = Section::of(what, value, stripe.context)?;
    let width = section.length("width", BANDS_MM);
    if section.get("width").is_none() {
        section.missing("width", "say how wide it is: width = \"1/2 in\"");
    }
    let colour = read_colour(&section);
    if colour.is_none() {
        section.missing("colour", "say its colour: colour = \"#1d3557\"");
    }
    let name = section.text("name", MAX_NAME_CHARS);
    section.close();
    Some(Band {
        width_mm: width?.into_inner(),
        colour: colour??,
        name: name.map_or_else(|| format!("band {number}"), Spanned::into_inner),
    })
}

/// Stripes fix the direction of a piece by themselves.
fn read_nap(section: &Section<'_, '_>, is_striped: bool) -> Nap {
    let words = [
        ("none", Nap::None),
        ("shot", Nap::Shot),
        ("one way", Nap::OneWay),
    ];
    let Some(nap) = section.choice("nap", &words) else {
        return Nap::None;
    };
    if is_striped && nap.get_ref().matters() {
        let message = format!("{} has both a `nap` and a `stripe`", section.what);
        let help = "take `nap` out: its stripes fix how pieces lie. If its pile lies one way, write one_way = true";
        section.fault(section.key_span("nap"), message, help);
        return Nap::None;
    }
    nap.into_inner()
}

/// Plain fabric keeps the grain by default: as it lies, or turned about.
fn read_turns(section: &Section<'_, '_>, one_way: bool, nap: Nap, is_striped: bool) -> Vec<f64> {
    let default = if one_way || is_striped {
        vec![0.0]
    } else {
        vec![0.0, 180.0]
    };
    let Some((entries, place)) = section.list("may_rotate") else {
        return default;
    };
    if is_striped || one_way || nap.matters() {
        let why = if is_striped {
            "its stripes fix"
        } else if nap.matters() {
            "its nap fixes"
        } else {
            "a one-way print fixes"
        };
        let message = format!(
            "{} lists `may_rotate`, but {why} how pieces lie",
            section.what
        );
        section.fault(
            section.key_span("may_rotate"),
            message,
            "take `may_rotate` out",
        );
        return default;
    }
    if !TURNS.contains(&entries.len()) {
        let message = format!(
            "`may_rotate` of {} lists {} turns",
            section.what,
            entries.len()
        );
        let help = format!(
            "list {} turns in degrees, for example [0, 180]",
            from_to(&TURNS)
        );
        section.fault(place, message, help);
        return default;
    }
    let mut turns: Vec<f64> = vec![];
    for value in entries {
        if let Some(turn) = section.to_number("may_rotate", value, ANGLES_DEG, " degrees") {
            let turn = wrap(turn, 360.0);
            if !turns.contains(&turn) {
                turns.push(turn);
            }
        }
    }
    if turns.is_empty() { default } else { turns }
}

/// As fabric is usually sold, where the maker says nothing.
fn read_sale(section: Section<'_, '_>) -> Sale {
    let default = Sale::default(section.context.unit == Unit::Inch);
    let price = section.number("price", PRICES, "");
    let per = section.length("per", SOLD_MM);
    let step = section.length("step", SOLD_MM);
    let squaring = section.length("squaring", SQUARING_MM);
    let shrinkage = read_shrinkage(&section);
    section.close();
    let or = |length: Option<Placed<f64>>, default| length.map_or(default, Spanned::into_inner);
    Sale {
        price: price.map(Spanned::into_inner),
        per_mm: or(per, default.per_mm),
        step: Step {
            length_mm: or(step, default.step.length_mm),
        },
        squaring_mm: or(squaring, default.squaring_mm),
        shrinkage,
    }
}

/// `"3 %"` is 0.03.
fn read_shrinkage(section: &Section<'_, '_>) -> f64 {
    let Some(value) = section.get("shrinkage") else {
        return 0.0;
    };
    let share = value
        .get_ref()
        .as_str()
        .and_then(|text| text.trim().strip_suffix('%'))
        .and_then(|number| number.trim().parse::<f64>().ok())
        .map(|percent| percent / 100.0);
    match share {
        Some(share) if SHRINKAGES.contains(&share) => share,
        _ => {
            let message = format!("`shrinkage` of {} is a percentage", section.what);
            let [least, most] = [SHRINKAGES.start(), SHRINKAGES.end()].map(|share| share * 100.0);
            let help = format!(
                "write how much length is lost in the wash, from \"{least} %\" to \"{most} %\""
            );
            section.fault(value.span(), message, help);
            0.0
        }
    }
}
