//! `[motif.NAME]`: how many, and which parts.

use super::drawn::read_drawn;
use super::fabrics::Draft;
use super::limits::{CODE_LETTERS, COPIES, MAX_NAME_CHARS, MOTIFS, PARTS, from_to};
use super::parts::read_part;
use super::section::{Placed, Section, Value, check_name, written_key};
use crate::motif::{Ground, Motif, Part, code_capitals};
use crate::quote::quoted;
use std::ops::Range;
use toml::Spanned;

/// All motifs.
pub(super) struct Drafts {
    pub(super) motifs: Vec<Motif>,
    /// Those without `copies`, and where they stand in the file; their places tell how many.
    pub(super) uncounted: Vec<(String, Range<usize>)>,
}

pub(super) fn read_motifs(file: &Section<'_, '_>, fabrics: &[Draft]) -> Drafts {
    let named = file.named("motif");
    if named.is_empty() {
        file.missing(
            "motif",
            "add a motif: [motif.NAME] with [[motif.NAME.part]]",
        );
    }
    if let Some((name, _)) = named.get(*MOTIFS.end()) {
        let message = format!("the project has {} motifs", named.len());
        file.fault(
            name.span(),
            message,
            format!("use at most {}", MOTIFS.end()),
        );
    }
    let mut codes = vec![];
    let is_uncounted = |value: &Value<'_>| {
        let table = value.get_ref().as_table();
        table.is_some_and(|table| table.get("copies").is_none())
    };
    let uncounted = (named.iter())
        .filter(|(_, value)| is_uncounted(value))
        .map(|(name, _)| (name.get_ref().clone(), name.span()))
        .collect();
    let motifs = named
        .into_iter()
        .take(*MOTIFS.end())
        .filter_map(|(name, value)| read_motif(file, &name, value, fabrics, &mut codes))
        .collect();
    Drafts { motifs, uncounted }
}

fn read_motif(
    file: &Section<'_, '_>,
    name: &Placed<String>,
    value: &Value<'_>,
    fabrics: &[Draft],
    codes: &mut Vec<String>,
) -> Option<Motif> {
    let what = format!("motif `{}`", name.get_ref());
    check_name(
        file.context.faults,
        "the name of a motif",
        name.get_ref(),
        MAX_NAME_CHARS,
        name.span(),
    );
    let mut section = Section::of(what.clone(), value, file.context)?;
    section.span = name.span();
    section.path = format!("motif.{}", written_key(name.get_ref()));
    // Without one its places tell, or there is one. What depends on a number that is at fault is not asked.
    let copies = match section.get("copies") {
        None => Some(1),
        Some(_) => section.count("copies", COPIES).map(Spanned::into_inner),
    };
    let code = read_code(&section, codes);
    let mut ground = Ground::default();
    let parts = match section.list("part") {
        _ if section.get("drawing").is_some() => read_drawn(&section, fabrics).map(|drawn| {
            ground = drawn.1;
            drawn.0
        }),
        Some((entries, place)) if !PARTS.contains(&entries.len()) => {
            let message = format!("{what} has {} parts", entries.len());
            section.fault(place, message, format!("give it {} parts", from_to(&PARTS)));
            None
        }
        Some((entries, _)) => read_parts(&section, entries, fabrics),
        None => {
            if section.get("part").is_none() {
                let message = format!("{what} has no parts, so there is nothing to cut");
                let help = format!(
                    "add [[motif.{}.part]], the bottom layer first",
                    name.get_ref()
                );
                section.fault(section.span.clone(), message, help);
            }
            None
        }
    };
    section.close();
    Some(Motif {
        name: name.get_ref().clone(),
        code,
        copies: copies?,
        parts: parts?,
        ground,
    })
}

/// The letters of a motif; `codes` are those of the motifs before it.
fn read_code(motif: &Section<'_, '_>, codes: &mut Vec<String>) -> Option<String> {
    let code = motif.text("code", MAX_NAME_CHARS)?;
    let (span, code) = (code.span(), code.into_inner());
    let is_letter = |c: char| code_capitals().any(|capital| capital == c);
    if !CODE_LETTERS.contains(&code.chars().count()) || !code.chars().all(is_letter) {
        let message = format!("{} cannot have the code {}", motif.what, quoted(&code));
        let help = "write one or two capital letters, none of them I, J, L or O: they are read \
                    as one another, or as 1 and 0";
        motif.fault(span, message, help);
        return None;
    }
    let like = codes
        .iter()
        .find(|other| other.starts_with(&code) || code.starts_with(other.as_str()));
    if let Some(other) = like {
        let message = if *other == code {
            format!(
                "{} has the code {} of another motif",
                motif.what,
                quoted(&code)
            )
        } else {
            format!(
                "{}: its code {} is mistaken for {}",
                motif.what,
                quoted(&code),
                quoted(other)
            )
        };
        let help = "give each motif letters of its own; none may be the beginning of another's";
        motif.fault(span, message, help);
        return None;
    }
    codes.push(code.clone());
    Some(code)
}

fn read_parts(
    motif: &Section<'_, '_>,
    entries: &[Value<'_>],
    fabrics: &[Draft],
) -> Option<Vec<Part>> {
    let mut parts: Vec<Option<Part>> = vec![];
    let mut names: Vec<String> = vec![];
    for (i, value) in entries.iter().enumerate() {
        let what = format!("part {} of {}", i + 1, motif.what);
        let Some(section) = Section::of(what, value, motif.context) else {
            parts.push(None);
            continue;
        };
        let name = section.text("name", MAX_NAME_CHARS);
        if let Some(name) = &name
            && names.contains(name.get_ref())
        {
            let message = format!(
                "{} has two parts named {}",
                motif.what,
                quoted(name.get_ref())
            );
            section.fault(name.span(), message, "give each part its own name");
        }
        let name = name.map_or_else(|| format!("part {}", i + 1), Spanned::into_inner);
        names.push(name.clone());
        parts.push(read_part(section, name, fabrics));
    }
    parts.into_iter().collect()
}
