//! `[quilt.NAME]`: field, borders, places, binding, backing and batting of one size.

use super::fabrics::Draft;
use super::layers::{read_backing, read_batting, read_binding};
use super::limits::{
    ALLOWANCES_MM, BORDERS, FOUNDATIONS, MAX_NAME_CHARS, PLACES, QUILTS, SIZES_MM, SLANTED_KINDS,
    SPOTS, UNITS,
};
use super::motifs::Drafts;
use super::places::{give_places, read_place};
use super::quilt_context::{QuiltContext, fabric, fabrics, size};
use super::section::{Placed, Section, Value, check_name, written_key};
use super::slanted::read_slanted;
use crate::motif::{Making, Motif};
use crate::quilt::{
    Border, Corners, Field, Foundation, Grain, Make, Misfit, Narrow, Quilt, check, lay_out, spots,
};
use std::collections::BTreeMap;
use std::ops::{Range, RangeInclusive};
use toml::Spanned;

/// All sizes of the quilt; they give their number to motifs without `copies`.
pub(super) fn read_quilts(
    file: &Section<'_, '_>,
    making: &Making,
    drafts: &mut Drafts,
    fabrics: &[Draft],
) -> Vec<Quilt> {
    let quilt_context = QuiltContext {
        making,
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
    let mut read = vec![];
    let mut whole = true;
    for (name, value) in named.into_iter().take(*QUILTS.end()) {
        let quilt = read_quilt(file, &quilt_context, &name, value);
        whole &= quilt.is_some();
        read.push(quilt);
    }
    if whole {
        let quilts = || read.iter().flatten().map(|(quilt, _)| quilt);
        count_copies(file, drafts, &quilts().collect::<Vec<_>>());
        check_placed(file, drafts, &quilts().collect::<Vec<_>>());
    }
    // A motif at fault has no size: mend it first.
    if quilt_context.declared.len() == drafts.motifs.len() {
        for (i, one) in read.iter().enumerate() {
            if let Some((quilt, places)) = one {
                check_fit(file, &drafts.motifs, quilt, places, whole && i == 0);
            }
        }
    }
    read.into_iter().flatten().map(|(quilt, _)| quilt).collect()
}

/// Gives each motif without `copies` as many as the size that is planned has places for it, or
/// else the first size that has some; and says which have none.
fn count_copies(file: &Section<'_, '_>, drafts: &mut Drafts, quilts: &[&Quilt]) {
    let places_some = quilts.first().is_some_and(|quilt| !quilt.places.is_empty());
    let mut counts = vec![];
    for quilt in quilts {
        let mut count: BTreeMap<String, usize> = BTreeMap::new();
        for spot in spots(quilt, &drafts.motifs, &lay_out(quilt)) {
            *count.entry(spot.motif).or_default() += 1;
        }
        counts.push(count);
    }
    for (name, span) in &drafts.uncounted {
        let Some(motif) = drafts.motifs.iter_mut().find(|m| m.name == *name) else {
            continue;
        };
        let copies = counts.iter().find_map(|count| count.get(name));
        match (copies, quilts.first()) {
            (Some(&copies), _) => motif.copies = copies,
            (None, Some(planned)) => {
                let message = format!(
                    "motif `{name}` has neither `copies` nor a place in quilt `{}`, so there is none of it",
                    planned.name
                );
                let place = format!(
                    "add [[quilt.{}.place]] with motif = \"{name}\"",
                    planned.name
                );
                let help = if places_some {
                    format!("{place}, or take the motif out")
                } else {
                    format!("{place}, or say how many there are: `copies = 1`")
                };
                file.fault(span.clone(), message, help);
            }
            // A project of motifs alone plans one of each.
            (None, None) => {}
        }
    }
}

/// Says which motifs no size of the pattern has a place for, where it has places for others:
/// their fabric would be bought, and nothing of it sewn on.
fn check_placed(file: &Section<'_, '_>, drafts: &Drafts, quilts: &[&Quilt]) {
    let Some(planned) = quilts.first().filter(|quilt| !quilt.places.is_empty()) else {
        return;
    };
    let placed = |name: &str| {
        let mut places = quilts.iter().flat_map(|quilt| &quilt.places);
        places.any(|place| place.motif == name)
    };
    for (name, _) in file.named("motif") {
        let Some(motif) = drafts.motifs.iter().find(|m| m.name == *name.get_ref()) else {
            continue;
        };
        let is_told = drafts.uncounted.iter().any(|(name, _)| *name == motif.name);
        if is_told || placed(&motif.name) {
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
) -> Option<(Quilt, Places)> {
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
    let mut quilt = Quilt {
        name: name.get_ref().clone(),
        seam_mm,
        field: field?,
        borders: borders?,
        foundations: foundations?,
        slanted: slanted?,
        places: vec![],
        binding: binding.flatten(),
        backing: backing.flatten(),
        batting: batting.flatten(),
    };
    places.sites = give_places(file, &mut quilt, sites?)?;
    Some((quilt, places))
}

/// Says what does not fit, where it stands in the file. Copies count only for the size
/// that is planned.
fn check_fit(
    file: &Section<'_, '_>,
    motifs: &[Motif],
    quilt: &Quilt,
    places: &Places,
    is_planned: bool,
) {
    let quilt_top = lay_out(quilt);
    let all = spots(quilt, motifs, &quilt_top);
    if !SPOTS.contains(&all.len()) {
        let message = format!("the quilt has places for {} motifs", all.len());
        let help = format!("use at most {}", SPOTS.end());
        file.fault(places.quilt.clone(), message, help);
        return;
    }
    let unit = file.context.unit;
    for finding in check(quilt, motifs, &quilt_top, &all) {
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
