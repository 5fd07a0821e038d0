//! `[[quilt.NAME.place]]`: where motifs go, and in which order, if several share the places.

use super::limits::{
    ANGLES_DEG, COPIES, EVERY, MAX_NAME_CHARS, MOTIFS_IN_ORDER, PLACES, PLACES_MM, SPOTS, UNITS,
    from_to,
};
use super::quilt_context::QuiltContext;
use super::section::{Section, Value};
use crate::quilt::{Place, PlaceOrder, Quilt, Site, share};
use crate::quote::quoted;
use crate::shape::{Point, point};
use std::ops::Range;
use toml::Spanned;
use toml::de::DeValue;

/// One entry of the file.
pub(super) struct PlaceDraft {
    /// One, or several that share the places.
    motifs: Vec<String>,
    order: PlaceOrder,
    site: Site,
    rotate_deg: f64,
    /// Where the entry stands, and what says which motifs go there.
    span: Range<usize>,
    motifs_span: Range<usize>,
}

#[derive(Clone, Copy)]
enum On {
    Field,
    Seams,
    Corners,
}

pub(super) fn read_place(
    section: Section<'_, '_>,
    quilt_context: &QuiltContext<'_>,
    n_borders: usize,
) -> Option<PlaceDraft> {
    let motifs = read_names(&section, quilt_context);
    let motifs_span = section.key_span("motifs");
    let order = read_order(&section);
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
    if let Some(order) = &order
        && *order.get_ref() == PlaceOrder::NeverSideBySide
        && let Some(Site::At(_)) = site
    {
        let message = format!(
            "{} has points, which do not stand in rows, so none is side by side with another",
            section.what
        );
        let help = "write order = \"as listed\", and list one motif for each point";
        section.fault(order.span(), message, help);
        return None;
    }
    let rotate = section.number("rotate", ANGLES_DEG, " degrees");
    let span = section.span.clone();
    section.close();
    Some(PlaceDraft {
        motifs: motifs?,
        order: order.map_or(PlaceOrder::default(), Spanned::into_inner),
        site: site?,
        rotate_deg: rotate.map_or(0.0, Spanned::into_inner),
        span,
        motifs_span,
    })
}

/// `motif = "mill"`, or `motifs = ["mill", "cog"]`.
fn read_names(section: &Section<'_, '_>, quilt_context: &QuiltContext<'_>) -> Option<Vec<String>> {
    if section.get("motifs").is_none() {
        let Some(name) = section.text("motif", MAX_NAME_CHARS) else {
            if section.get("motif").is_none() {
                section.missing("motif", "name the motif that goes there");
            }
            return None;
        };
        is_motif(section, name.get_ref(), name.span(), quilt_context);
        return Some(vec![name.into_inner()]);
    }
    if section.get("motif").is_some() {
        let message = format!("{} has both `motif` and `motifs`", section.what);
        let help = "name one motif with `motif`, or list several with `motifs`";
        section.fault(section.key_span("motifs"), message, help);
        return None;
    }
    let (entries, span) = section.list("motifs")?;
    if !MOTIFS_IN_ORDER.contains(&entries.len()) {
        let message = format!("`motifs` of {} holds {} names", section.what, entries.len());
        let help = format!("name {} motifs", from_to(&MOTIFS_IN_ORDER));
        section.fault(span, message, help);
        return None;
    }
    let mut names: Vec<String> = vec![];
    for value in entries {
        let Some(name) = value.get_ref().as_str() else {
            let message = format!(
                "`motifs` of {} holds something that is not a name",
                section.what
            );
            section.fault(value.span(), message, "put each name between double quotes");
            return None;
        };
        // What is listed for every place is blamed once.
        if !names.iter().any(|known| known == name) {
            is_motif(section, name, value.span(), quilt_context);
        }
        names.push(name.to_owned());
    }
    Some(names)
}

fn is_motif(
    section: &Section<'_, '_>,
    name: &str,
    span: Range<usize>,
    quilt_context: &QuiltContext<'_>,
) {
    if quilt_context.declared.iter().any(|known| known == name) {
        return;
    }
    let known: Vec<&str> = quilt_context.declared.iter().map(String::as_str).collect();
    let message = format!("there is no motif {}", quoted(name));
    let help = match super::fault::nearest_name(name, known.iter().copied()) {
        Some(near) => format!("did you mean {}?", quoted(near)),
        None => format!("the motifs are: {}", known.join(", ")),
    };
    section.fault(span, message, help);
}

/// What `order` says; only where several motifs are listed.
fn read_order(section: &Section<'_, '_>) -> Option<Spanned<PlaceOrder>> {
    let words = [
        ("in turn", PlaceOrder::InTurn),
        ("as listed", PlaceOrder::AsListed),
        ("never side by side", PlaceOrder::NeverSideBySide),
    ];
    let order = section.choice("order", &words)?;
    if section.get("motifs").is_none() {
        let message = format!("{} has an `order`, but only one motif", section.what);
        let help = "list the motifs that share its places, as in motifs = [\"mill\", \"cog\"]";
        section.fault(section.key_span("order"), message, help);
    }
    Some(order)
}

/// Gives the quilt its places: several motifs that share a site get their shares of it. Returns
/// where each place stands in the file.
pub(super) fn give_places(
    file: &Section<'_, '_>,
    quilt: &mut Quilt,
    drafts: Vec<PlaceDraft>,
) -> Option<Vec<Range<usize>>> {
    let mut spans = vec![];
    let mut is_whole = true;
    // Where the corners of a border are taken, its seams are counted from another one.
    let mut with_all = quilt.clone();
    with_all.places = drafts.iter().map(|draft| draft.whole(0)).collect();
    for draft in drafts {
        if draft.motifs.len() == 1 {
            quilt.places.push(draft.whole(0));
            spans.push(draft.span);
            continue;
        }
        if let Site::Even { columns, rows } = draft.site
            && !SPOTS.contains(&(columns * rows))
        {
            let message = format!("there are {} places for motifs here", columns * rows);
            let help = format!("use at most {}", SPOTS.end());
            file.fault(draft.span, message, help);
            is_whole = false;
            continue;
        }
        let shares = match share(&with_all, &draft.site, &draft.motifs, draft.order) {
            Ok(shares) => shares,
            Err(disorder) => {
                file.fault(draft.motifs_span, disorder.to_string(), disorder.help());
                is_whole = false;
                continue;
            }
        };
        for (i, name) in draft.motifs.iter().enumerate() {
            let places = shares
                .iter()
                .enumerate()
                .filter(|(_, share)| *share == name);
            let only: Vec<usize> = places.map(|(at, _)| at).collect();
            if draft.motifs[..i].contains(name) {
                continue;
            }
            if only.is_empty() {
                let message = format!("there is no place left for {}", quoted(name));
                let help = format!("there are {} places: list no more motifs", shares.len());
                file.fault(draft.motifs_span.clone(), message, help);
                is_whole = false;
            }
            quilt.places.push(Place {
                only: Some(only),
                ..draft.whole(i)
            });
            spans.push(draft.span.clone());
        }
    }
    if !PLACES.contains(&quilt.places.len()) {
        let message = format!(
            "quilt `{}` has {} rows of places, each counted once for every motif in it",
            quilt.name,
            quilt.places.len()
        );
        let help = format!("use at most {}", PLACES.end());
        let span = spans.last().cloned().unwrap_or_default();
        file.fault(span, message, help);
        is_whole = false;
    }
    is_whole.then_some(spans)
}

impl PlaceDraft {
    /// All places of the entry, for one of its motifs.
    fn whole(&self, motif: usize) -> Place {
        Place {
            motif: self.motifs[motif].clone(),
            site: self.site.clone(),
            rotate_deg: self.rotate_deg,
            only: None,
        }
    }
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
