//! `[motif.NAME]`: how many, and which parts.

use super::fabrics::Draft;
use super::limits::{MAX_COPIES, MAX_MOTIFS, MAX_NAME_CHARS, MAX_PARTS};
use super::parts::read_part;
use super::section::{Placed, Section, Value, check_name};
use crate::motif::{Form, Motif, Part};
use toml::Spanned;

/// All motifs, and how many pieces they ask for.
pub(super) struct Drafts {
    pub(super) motifs: Vec<Motif>,
    pub(super) pieces: usize,
}

pub(super) fn read_motifs(file: &Section<'_, '_>, fabrics: &[Draft]) -> Drafts {
    let named = file.named("motif");
    if named.is_empty() {
        file.missing(
            "motif",
            "add a motif: [motif.NAME] with [[motif.NAME.part]]",
        );
    }
    if let Some((name, _)) = named.get(MAX_MOTIFS) {
        let message = format!("the project has {} motifs", named.len());
        file.fault(name.span(), message, format!("use at most {MAX_MOTIFS}"));
    }
    let motifs: Vec<Motif> = named
        .into_iter()
        .take(MAX_MOTIFS)
        .filter_map(|(name, value)| read_motif(file, &name, value, fabrics))
        .collect();
    let pieces = motifs.iter().map(count_pieces).sum();
    Drafts { motifs, pieces }
}

fn count_pieces(motif: &Motif) -> usize {
    let of_part = |part: &Part| match &part.form {
        Form::Fan(fan) => fan.wedges,
        Form::Outline(_) => 1,
    };
    motif.copies * motif.parts.iter().map(of_part).sum::<usize>()
}

fn read_motif(
    file: &Section<'_, '_>,
    name: &Placed<String>,
    value: &Value<'_>,
    fabrics: &[Draft],
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
    let copies = section.count("copies", 1..=MAX_COPIES);
    let parts = match section.list("part") {
        Some((entries, place)) if entries.is_empty() || entries.len() > MAX_PARTS => {
            let message = format!("{what} has {} parts", entries.len());
            section.fault(
                place,
                message,
                format!("give it from 1 to {MAX_PARTS} parts"),
            );
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
        copies: copies.map_or(1, Spanned::into_inner),
        parts: parts?,
    })
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
            let message = format!("{} has two parts named {:?}", motif.what, name.get_ref());
            section.fault(name.span(), message, "give each part its own name");
        }
        let name = name.map_or_else(|| format!("part {}", i + 1), Spanned::into_inner);
        names.push(name.clone());
        parts.push(read_part(section, name, fabrics));
    }
    parts.into_iter().collect()
}
