//! What the readers of a quilt's tables share: what the rest of the file holds, and how
//! fabrics and sizes are read.

use super::fabrics::Draft;
use super::limits::{FABRICS_IN_TURN, MAX_NAME_CHARS, SIZES_MM, from_to};
use super::section::Section;
use crate::motif::Making;
use crate::quote::quoted;
use std::ops::Range;
use toml::Spanned;

/// What the readers of one quilt carry along.
pub(super) struct QuiltContext<'a> {
    pub(super) making: &'a Making,
    /// Names of all motifs in the file, of those at fault as well.
    pub(super) declared: Vec<String>,
    pub(super) fabrics: &'a [Draft],
}

pub(super) fn fabric(
    section: &Section<'_, '_>,
    key: &'static str,
    quilt_context: &QuiltContext<'_>,
) -> Option<String> {
    let Some(name) = section.text(key, MAX_NAME_CHARS) else {
        if section.get(key).is_none() {
            section.missing(key, "name the fabric it is cut from");
        }
        return None;
    };
    is_fabric(section, name.get_ref(), name.span(), quilt_context).then(|| name.into_inner())
}

fn is_fabric(
    section: &Section<'_, '_>,
    name: &str,
    span: Range<usize>,
    quilt_context: &QuiltContext<'_>,
) -> bool {
    if quilt_context.fabrics.iter().any(|draft| draft.name == name) {
        return true;
    }
    let known: Vec<&str> = quilt_context
        .fabrics
        .iter()
        .map(|d| d.name.as_str())
        .collect();
    let message = format!(
        "{} is to be cut from {}, and there is no such fabric",
        section.what,
        quoted(name)
    );
    let help = match super::fault::nearest_name(name, known.iter().copied()) {
        Some(near) => format!("did you mean {}?", quoted(near)),
        None => format!("the fabrics are: {}", known.join(", ")),
    };
    section.fault(span, message, help);
    false
}

/// `fabric = "fog"`, or `fabrics = ["fog", "mist"]` in turn.
pub(super) fn fabrics(
    section: &Section<'_, '_>,
    quilt_context: &QuiltContext<'_>,
) -> Option<Vec<String>> {
    if section.get("fabrics").is_none() {
        return fabric(section, "fabric", quilt_context).map(|one| vec![one]);
    }
    let (entries, span) = section.list("fabrics")?;
    if !FABRICS_IN_TURN.contains(&entries.len()) {
        let message = format!(
            "`fabrics` of {} holds {} names",
            section.what,
            entries.len()
        );
        section.fault(
            span,
            message,
            format!("name {} fabrics", from_to(&FABRICS_IN_TURN)),
        );
        return None;
    }
    let mut names = vec![];
    for value in entries {
        let Some(name) = value.get_ref().as_str() else {
            let message = format!(
                "`fabrics` of {} holds something that is not a name",
                section.what
            );
            section.fault(value.span(), message, "put each name between double quotes");
            return None;
        };
        is_fabric(section, name, value.span(), quilt_context).then_some(())?;
        names.push(name.to_owned());
    }
    Some(names)
}

pub(super) fn size(section: &Section<'_, '_>, key: &'static str, help: &str) -> Option<f64> {
    let length = section.length(key, SIZES_MM);
    if length.is_none() && section.get(key).is_none() {
        section.missing(key, help);
    }
    length.map(Spanned::into_inner)
}
