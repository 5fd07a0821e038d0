//! `[quilt.NAME]`: field, borders, places, binding, backing and batting of one size.

use super::fabrics::Draft;
use super::layers::{read_backing, read_batting, read_binding};
use super::limits::{
    ALLOWANCES_MM, ANGLES_DEG, BORDERS, COPIES, EVERY, FOUNDATIONS, MAX_NAME_CHARS, PLACES,
    PLACES_MM, QUILTS, SIZES_MM, SLANTED_KINDS, SPOTS, UNITS, from_to,
};
use super::quilt_context::{QuiltContext, fabric, fabrics, size};
use super::section::{Placed, Section, Value, check_name, written_key};
use super::slanted::read_slanted;
use crate::motif::{Making, Motif};
use crate::quilt::{
    Border, Corners, Field, Foundation, Grain, Make, Misfit, Narrow, Place, Quilt, Site, check,
    lay_out, spots,
};
use crate::quote::quoted;
use crate::shape::{Point, point};
use std::ops::{Range, RangeInclusive};
use toml::Spanned;
use toml::de::DeValue;

pub(super) fn read_quilts(
    file: &Section<'_, '_>,
    making: &Making,
    motifs: &[Motif],
    fabrics: &[Draft],
) -> Vec<Quilt> {
    let quilt_context = QuiltContext {
        making,
        motifs,
        declared: file
            .named("motif")
            .into_iter()
            .map(|(name, _)| name.into_inner())
            .collect(),
        fabrics,
    };
    let named = file.named("quilt");
    if let Some((name, _)) = named.get(*QUILTS.end()) {
        let message = format!("the project has {} quilts", named.len());
        file.fault(
            name.span(),
            message,
            format!("use at most {}", QUILTS.end()),
        );
    }
    let mut quilts = vec![];
    let mut whole = true;
    for (i, (name, value)) in named.into_iter().take(*QUILTS.end()).enumerate() {
        let quilt = read_quilt(file, &quilt_context, &name, value, i == 0);
        whole &= quilt.is_some();
        quilts.extend(quilt);
    }
    if whole {
        check_placed(file, motifs, &quilts);
    }
    quilts
}

/// Says which motifs no size of the pattern has a place for, where it has places for others:
/// their fabric would be bought, and nothing of it sewn on.
fn check_placed(file: &Section<'_, '_>, motifs: &[Motif], quilts: &[Quilt]) {
    let Some(planned) = quilts.first().filter(|quilt| !quilt.places.is_empty()) else {
        return;
    };
    let placed = |name: &str| {
        let mut places = quilts.iter().flat_map(|quilt| &quilt.places);
        places.any(|place| place.motif == name)
    };
    for (name, _) in file.named("motif") {
        let Some(motif) = motifs.iter().find(|m| m.name == *name.get_ref()) else {
            continue;
        };
        if placed(&motif.name) {
            continue;
        }
        let copies = match motif.copies {
            1 => "1 copy".to_owned(),
            n => format!("{n} copies"),
        };
        let message = format!(
            "motif `{}` has {copies} but no place in quilt `{}`, which places other motifs: its fabric \
             would be bought and not used",
            motif.name, planned.name
        );
        let help = format!(
            "add [[quilt.{}.place]] with motif = \"{}\", or take the motif out",
            planned.name, motif.name
        );
        file.fault(name.span(), message, help);
    }
}

/// Places in the file, for faults that are found when the whole is known.
struct Places {
    quilt: Range<usize>,
    field: Range<usize>,
    borders: Vec<Range<usize>>,
    sites: Vec<Range<usize>>,
}

fn read_quilt(
    file: &Section<'_, '_>,
    quilt_context: &QuiltContext<'_>,
    name: &Placed<String>,
    value: &Value<'_>,
    is_planned: bool,
) -> Option<Quilt> {
    let what = format!("quilt `{}`", name.get_ref());
    let named = "the name of a quilt";
    let faults = file.context.faults;
    check_name(faults, named, name.get_ref(), MAX_NAME_CHARS, name.span());
    let mut section = Section::of(what.clone(), value, file.context)?;
    section.span = name.span();
    section.path = format!("quilt.{}", written_key(name.get_ref()));
    let seam = section.length("seam", ALLOWANCES_MM);
    let Some(field_section) = section.section("field", format!("the field of {what}")) else {
        if section.get("field").is_none() {
            let help = format!(
                "add [quilt.{}.field] with its fabric and size",
                name.get_ref()
            );
            section.missing("field", help);
        }
        return None;
    };
    let mut places = Places {
        quilt: name.span(),
        field: field_section.span.clone(),
        borders: vec![],
        sites: vec![],
    };
    let field = read_field(field_section, quilt_context);
    let borders = each(&section, "border", &BORDERS, |border, i| {
        places.borders.push(border.span.clone());
        read_border(border, quilt_context, i)
    });
    let foundations = each(&section, "foundation", &FOUNDATIONS, |one, _| {
        read_foundation(one, quilt_context)
    });
    // Also those at fault: what stands on one of them is not at fault by that.
    let n_borders = places.borders.len();
    let sites = each(&section, "place", &PLACES, |place, _| {
        places.sites.push(place.span.clone());
        read_place(place, quilt_context, n_borders)
    });
    let seam_mm = seam.map_or(quilt_context.making.seam_mm, Spanned::into_inner);
    let slanted = each(&section, "piece", &SLANTED_KINDS, |piece, _| {
        read_slanted(piece, quilt_context, seam_mm)
    });
    let part = |key, words: &str| section.section(key, format!("the {words} of {what}"));
    let binding = part("binding", "binding").map(|s| read_binding(s, quilt_context));
    let backing = part("backing", "backing").map(|s| read_backing(s, quilt_context));
    let batting = part("batting", "batting").map(read_batting);
    section.close();
    let quilt = Quilt {
        name: name.get_ref().clone(),
        seam_mm,
        field: field?,
        borders: borders?,
        foundations: foundations?,
        slanted: slanted?,
        places: sites?,
        binding: binding.flatten(),
        backing: backing.flatten(),
        batting: batting.flatten(),
    };
    check_fit(file, quilt_context, &quilt, &places, is_planned);
    Some(quilt)
}

/// Says what does not fit, where it stands in the file. Copies count only for the size
/// that is planned.
fn check_fit(
    file: &Section<'_, '_>,
    quilt_context: &QuiltContext<'_>,
    quilt: &Quilt,
    places: &Places,
    is_planned: bool,
) {
    if quilt_context.declared.len() != quilt_context.motifs.len() {
        // A motif at fault has no size: mend it first.
        return;
    }
    let quilt_top = lay_out(quilt);
    let all = spots(quilt, quilt_context.motifs, &quilt_top);
    if !SPOTS.contains(&all.len()) {
        let message = format!("the quilt has places for {} motifs", all.len());
        let help = format!("use at most {}", SPOTS.end());
        file.fault(places.quilt.clone(), message, help);
        return;
    }
    let unit = file.context.unit;
    for finding in check(quilt, quilt_context.motifs, &quilt_top, &all) {
        if !finding.stops || (!is_planned && matches!(finding.misfit, Misfit::Copies { .. })) {
            continue;
        }
        let span = place_of(quilt, places, &finding.misfit);
        let message = finding.misfit.message(unit);
        file.fault(span, message, finding.misfit.help(unit));
    }
}

fn place_of(quilt: &Quilt, places: &Places, misfit: &Misfit) -> Range<usize> {
    let border = |name: &str| {
        let at = quilt.borders.iter().position(|b| b.name == name);
        at.map(|i| places.borders[i].clone())
    };
    let site = |motif: &str| {
        let at = quilt.places.iter().position(|place| place.motif == motif);
        at.map(|i| places.sites[i].clone())
    };
    let found = match misfit {
        Misfit::NothingLeft { what, .. } => match what {
            Narrow::Field => Some(places.field.clone()),
            Narrow::Border(name) | Narrow::Unit(name) => border(name),
        },
        Misfit::Run { border: name, .. }
        | Misfit::Strip { border: name, .. }
        | Misfit::OddUnits { border: name, .. } => border(name),
        Misfit::Sweep { motif, .. }
        | Misfit::NoUnits { motif, .. }
        | Misfit::Copies { motif, .. } => site(motif),
        Misfit::Beyond { motif, .. } | Misfit::SeamUnderJoint { motif, .. } => site(&motif.motif),
        Misfit::Overlap { b, .. } => site(&b.motif),
    };
    found.unwrap_or_else(|| places.quilt.clone())
}

/// Reads a list of tables.
fn each<T>(
    section: &Section<'_, '_>,
    key: &'static str,
    range: &RangeInclusive<usize>,
    mut read: impl FnMut(Section<'_, '_>, usize) -> Option<T>,
) -> Option<Vec<T>> {
    if section.get(key).is_none() {
        return Some(vec![]);
    }
    let (entries, span) = section.list(key)?;
    if !range.contains(&entries.len()) {
        let message = format!(
            "{} has {} entries under `{key}`",
            section.what,
            entries.len()
        );
        section.fault(span, message, format!("use at most {}", range.end()));
        return None;
    }
    let mut all = vec![];
    for (i, value) in entries.iter().enumerate() {
        let what = format!("{key} {} of {}", i + 1, section.what);
        all.push(Section::of(what, value, section.context).and_then(|s| read(s, i)));
    }
    all.into_iter().collect()
}

fn grain(section: &Section<'_, '_>) -> Grain {
    let words = [
        ("along", Grain::Along),
        ("across", Grain::Across),
        ("any", Grain::Any),
    ];
    section
        .choice("grain", &words)
        .map_or(Grain::Any, Spanned::into_inner)
}

fn read_field(section: Section<'_, '_>, quilt_context: &QuiltContext<'_>) -> Option<Field> {
    let fabrics = fabrics(&section, quilt_context);
    let strips = section.count("strips", UNITS);
    let width = size(&section, "width", "give the cut width of one strip");
    let length = size(&section, "length", "give the cut length of the strips");
    let run = section.choice("run", &[("vertical", false), ("horizontal", true)]);
    let grain = grain(&section);
    section.close();
    Some(Field {
        fabrics: fabrics?,
        strips: strips.map_or(1, Spanned::into_inner),
        strip_width_mm: width?,
        strip_length_mm: length?,
        level: run.is_some_and(Spanned::into_inner),
        grain,
    })
}

fn read_border(
    section: Section<'_, '_>,
    quilt_context: &QuiltContext<'_>,
    idx: usize,
) -> Option<Border> {
    let name = section.text("name", MAX_NAME_CHARS);
    let depth = size(
        &section,
        "depth",
        "give its cut width, from the inner to the outer edge",
    );
    let has_units = section.get("unit").is_some();
    let make = if has_units {
        read_units(&section, quilt_context)
    } else {
        read_plain(&section, quilt_context)
    };
    let grain = grain(&section);
    section.close();
    Some(Border {
        name: name.map_or_else(|| format!("border {}", idx + 1), Spanned::into_inner),
        make: make?,
        depth_mm: depth?,
        grain,
    })
}

fn read_units(section: &Section<'_, '_>, quilt_context: &QuiltContext<'_>) -> Option<Make> {
    let fabrics = fabrics(section, quilt_context);
    let unit = size(section, "unit", "give the cut length of one unit");
    let count = |key, help: &str| {
        let count = section.count(key, UNITS);
        if count.is_none() && section.get(key).is_none() {
            section.missing(key, help);
        }
        count.map(Spanned::into_inner)
    };
    let across = count("units_across", "say how many units run along the top");
    let along = count("units_down", "say how many units run along each side");
    let corner = if section.get("corner").is_some() {
        fabric(section, "corner", quilt_context)
    } else {
        fabrics.as_ref().and_then(|c| c.first().cloned())
    };
    Some(Make::Units {
        fabrics: fabrics?,
        unit_mm: unit?,
        across: across?,
        along: along?,
        corner: corner?,
    })
}

#[derive(Clone, Copy)]
enum CornerWord {
    Sides,
    Ends,
    Squares,
    Mitred,
}

fn read_plain(section: &Section<'_, '_>, quilt_context: &QuiltContext<'_>) -> Option<Make> {
    let words = [
        ("sides first", CornerWord::Sides),
        ("top first", CornerWord::Ends),
        ("squares", CornerWord::Squares),
        ("mitred", CornerWord::Mitred),
    ];
    let plain = fabric(section, "fabric", quilt_context);
    let corners = match section.choice("corners", &words).map(Spanned::into_inner) {
        None | Some(CornerWord::Sides) => Some(Corners::SidesFirst),
        Some(CornerWord::Ends) => Some(Corners::EndsFirst),
        Some(CornerWord::Mitred) => Some(Corners::Mitred),
        Some(CornerWord::Squares) => {
            let squares = if section.get("corner").is_some() {
                fabric(section, "corner", quilt_context)
            } else {
                plain.clone()
            };
            squares.map(Corners::Squares)
        }
    };
    let set = |key| section.length(key, SIZES_MM).map(Spanned::into_inner);
    let (side_length_mm, end_length_mm) = (set("side_length"), set("top_length"));
    Some(Make::Plain {
        fabric: plain?,
        corners: corners?,
        side_length_mm,
        end_length_mm,
    })
}

fn read_foundation(
    section: Section<'_, '_>,
    quilt_context: &QuiltContext<'_>,
) -> Option<Foundation> {
    let under = fabric(&section, "under", quilt_context);
    let of = fabric(&section, "fabric", quilt_context);
    let extra_length = section.length("extra_length", ALLOWANCES_MM);
    section.close();
    Some(Foundation {
        under: under?,
        fabric: of?,
        extra_length_mm: extra_length.map_or(0.0, Spanned::into_inner),
    })
}

#[derive(Clone, Copy)]
enum On {
    Field,
    Seams,
    Corners,
}

fn read_place(
    section: Section<'_, '_>,
    quilt_context: &QuiltContext<'_>,
    n_borders: usize,
) -> Option<Place> {
    let motif = section.text("motif", MAX_NAME_CHARS);
    match &motif {
        None if section.get("motif").is_none() => {
            section.missing("motif", "name the motif that goes there");
        }
        Some(name) if !quilt_context.declared.contains(name.get_ref()) => {
            let known: Vec<&str> = quilt_context.declared.iter().map(String::as_str).collect();
            let message = format!("there is no motif {}", quoted(name.get_ref()));
            let help = match super::fault::nearest_name(name.get_ref(), known.iter().copied()) {
                Some(near) => format!("did you mean {}?", quoted(near)),
                None => format!("the motifs are: {}", known.join(", ")),
            };
            section.fault(name.span(), message, help);
        }
        _ => {}
    }
    let words = [
        ("field", On::Field),
        ("seams", On::Seams),
        ("corners", On::Corners),
    ];
    let on = section
        .choice("on", &words)
        .map_or(On::Field, Spanned::into_inner);
    let site = match on {
        On::Field => read_field_site(&section),
        On::Seams | On::Corners if n_borders == 0 => {
            let message = format!("{} needs a border, and the quilt has none", section.what);
            section.fault(
                section.span.clone(),
                message,
                "add [[quilt.NAME.border]] before it",
            );
            None
        }
        On::Seams | On::Corners => {
            let border = section.count("border", 1..=n_borders);
            let border = border.map_or(1, Spanned::into_inner) - 1;
            if let On::Seams = on {
                let every = section.count("every", EVERY).map_or(1, Spanned::into_inner);
                Some(Site::Seams { border, every })
            } else {
                Some(Site::Corners { border })
            }
        }
    };
    let rotate = section.number("rotate", ANGLES_DEG, " degrees");
    section.close();
    Some(Place {
        motif: motif?.into_inner(),
        site: site?,
        rotate_deg: rotate.map_or(0.0, Spanned::into_inner),
    })
}

fn read_field_site(section: &Section<'_, '_>) -> Option<Site> {
    if section.get("even").is_some() {
        let (pair, span) = section.list("even")?;
        let number = |value: &Value<'_>| match value.get_ref() {
            DeValue::Integer(n) => n.as_str().parse::<usize>().ok(),
            _ => None,
        };
        let counts: Vec<Option<usize>> = pair.iter().map(number).collect();
        if let [Some(columns), Some(rows)] = counts[..]
            && UNITS.contains(&columns)
            && UNITS.contains(&rows)
        {
            return Some(Site::Even { columns, rows });
        }
        let message = format!("`even` of {} is two whole numbers", section.what);
        let help = format!("write [columns, rows], each {}", from_to(&UNITS));
        section.fault(span, message, help);
        return None;
    }
    if section.get("at").is_none() {
        let help = "say where: `even = [2, 3]`, or `at = [[12, 10], [24, 10]]` from the field's \
                    lower left seam";
        section.missing("at", help);
        return None;
    }
    let (entries, span) = section.list("at")?;
    if !COPIES.contains(&entries.len()) {
        let message = format!("`at` of {} holds {} places", section.what, entries.len());
        section.fault(span, message, format!("give {}", from_to(&COPIES)));
        return None;
    }
    let points: Option<Vec<Point>> = entries.iter().map(|value| place(section, value)).collect();
    points.map(Site::At)
}

fn place(section: &Section<'_, '_>, value: &Value<'_>) -> Option<Point> {
    if let DeValue::Array(pair) = value.get_ref()
        && let [x, y] = &pair[..]
    {
        let x = section.to_length("at", x, PLACES_MM);
        let y = section.to_length("at", y, PLACES_MM);
        return Some(point(x?, y?));
    }
    let message = format!("a place in `at` of {} is two lengths", section.what);
    let help = "write [across, up], from the field's lower left seam";
    section.fault(value.span(), message, help);
    None
}
