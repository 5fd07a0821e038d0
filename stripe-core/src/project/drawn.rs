//! `drawing` of a motif, and `[[motif.NAME.piece]]`: which fabric its pieces take.

use super::fabrics::Draft;
use super::limits::{MAX_NAME_CHARS, PARTS, from_to};
use super::part_stripes::read_look;
use super::parts::read_fabric_name;
use super::section::Section;
use crate::drawing::{self, Drawing};
use crate::motif::{Form, Ground, Part};
use crate::quote::quoted;
use crate::star::fits;

/// Characters of a drawing's name.
const MAX_FILE_CHARS: usize = 200;

/// What the pieces of a pattern have in common.
struct Rule {
    names: String,
    part: Part,
}

pub(super) fn read_drawn(
    motif: &Section<'_, '_>,
    fabrics: &[Draft],
) -> Option<(Vec<Part>, Ground)> {
    let drawing = read_drawing(motif);
    if motif.get("part").is_some() {
        let message = format!("{} has both a drawing and parts", motif.what);
        motif.fault(motif.key_span("part"), message, "keep one of the two");
    }
    let rules = read_rules(motif, fabrics)?;
    let drawing = drawing?;
    let mut parts = vec![];
    let mut is_used = vec![false; rules.len()];
    for (name, outline) in drawing.pieces {
        let Some(at) = rules.iter().position(|rule| fits(&rule.names, &name)) else {
            let message = format!("{} says nothing of the piece {}", motif.what, quoted(&name));
            let help = format!(
                "add [[{}.piece]] with names = {} and its fabric",
                motif.path,
                quoted(&name)
            );
            motif.fault(motif.key_span("drawing"), message, help);
            continue;
        };
        is_used[at] = true;
        parts.push(Part {
            name,
            form: Form::Outline(outline),
            ..rules[at].part.clone()
        });
    }
    for (rule, _) in rules.iter().zip(is_used).filter(|(_, used)| !used) {
        let message = format!(
            "no piece of the drawing takes its fabric from {}",
            quoted(&rule.names)
        );
        let help =
            "a piece is known by the id of its path, and takes the first `names` that fit it";
        motif.fault(motif.key_span("piece"), message, help);
    }
    let snapped = drawing.snapped.into_iter();
    let apart = drawing.apart.into_iter();
    let ground = Ground {
        seams: drawing.ground,
        snapped: snapped.map(|s| (s.stays, s.moved, s.gap_mm)).collect(),
        apart: apart.map(|a| (a.one, a.other, a.gap_mm)).collect(),
    };
    Some((parts, ground))
}

fn read_drawing(motif: &Section<'_, '_>) -> Option<Drawing> {
    let file = motif.text("drawing", MAX_FILE_CHARS)?;
    let bytes = match (motif.context.drawings)(file.get_ref()) {
        Ok(bytes) => bytes,
        Err(why) => {
            let message = format!(
                "the drawing {} cannot be read: {why}",
                quoted(file.get_ref())
            );
            let help = "name an SVG file that lies beside the project file, or in a folder there";
            motif.fault(file.span(), message, help);
            return None;
        }
    };
    match drawing::read(&bytes) {
        Ok(drawing) => Some(drawing),
        Err(faults) => {
            for fault in faults {
                let message = format!("{}, line {}: {}", file.get_ref(), fault.line, fault.message);
                motif.fault(file.span(), message, fault.help);
            }
            None
        }
    }
}

fn read_rules(motif: &Section<'_, '_>, fabrics: &[Draft]) -> Option<Vec<Rule>> {
    let Some((entries, place)) = motif.list("piece") else {
        if motif.get("piece").is_none() {
            let help = format!(
                "add [[{}.piece]] with names = \"*\" and a fabric",
                motif.path
            );
            motif.missing("piece", help);
        }
        return None;
    };
    if !PARTS.contains(&entries.len()) {
        let message = format!("{} has {} kinds of pieces", motif.what, entries.len());
        motif.fault(place, message, format!("give it {}", from_to(&PARTS)));
        return None;
    }
    let rules: Vec<Option<Rule>> = entries
        .iter()
        .enumerate()
        .map(|(i, value)| {
            let what = format!("piece {} of {}", i + 1, motif.what);
            read_rule(Section::of(what, value, motif.context)?, fabrics)
        })
        .collect();
    rules.into_iter().collect()
}

fn read_rule(section: Section<'_, '_>, fabrics: &[Draft]) -> Option<Rule> {
    if section.get("names").is_none() {
        section.missing("names", "say which pieces: names = \"petal*\"");
    }
    let names = section.text("names", MAX_NAME_CHARS);
    let fabric = read_fabric_name(&section, fabrics);
    let pattern = fabric.and_then(|draft| Some(&draft.fabric.as_ref()?.pattern));
    let form = Form::Outline(vec![]);
    let look = read_look(&section, Some(&form), pattern);
    section.close();
    let names = names?.into_inner();
    // Pieces of one pattern are cut as if they were one: their free offset is one.
    let tie = look.tie.unwrap_or_else(|| names.clone());
    Some(Rule {
        part: Part {
            stripes: look.stripes,
            grain_deg: look.grain_deg,
            phase_mm: look.phase_mm,
            along_mm: look.along_mm,
            copies: look.copies,
            tie: look.phase_mm.is_none().then_some(tie),
            ..Part::new(names.clone(), fabric?.name.clone(), form)
        },
        names,
    })
}

#[cfg(test)]
mod tests {

    use crate::project::Project;

    #[test]
    fn pieces_take_their_fabric_by_name() {
        let text = "unit = \"mm\"\n[fabric.sea]\nwidth = 1000\ncolour = \"#123456\"\n[motif.m]\ndrawing = \"m.svg\"\n\
                    [[motif.m.piece]]\nnames = \"a*\"\nfabric = \"sea\"\n";
        let svg = |extra: &str| {
            format!(
                "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"90mm\" height=\"90mm\" viewBox=\"0 0 90 90\">\
                 <path id=\"ground\" d=\"M0 10h90\"/><path id=\"a1\" d=\"M10 10h40v40z\"/>{extra}</svg>"
            )
        };
        let read = |svg: String| Project::read_with(text, &move |_| Ok(svg.clone().into_bytes()));
        let project = read(svg("")).unwrap();
        let motif = &project.motifs[0];
        assert_eq!((motif.parts.len(), motif.parts[0].name.as_str()), (1, "a1"));
        // The edge along the ground is sewn, the two others are turned under.
        let pieces = crate::motif::assemble(motif, &project.making)
            .unwrap()
            .pieces;
        let sewn = pieces[0]
            .roles
            .iter()
            .filter(|r| **r == crate::motif::Role::Seamed);
        assert_eq!((sewn.count(), pieces[0].roles.len()), (1, 3));
        assert_eq!(project.validate(), Ok(()));
        let told = read(svg("<path id=\"b\" d=\"M10 60h40v20z\"/>")).unwrap_err();
        assert!(
            told[0].message.contains("says nothing of the piece \"b\""),
            "{told:?}"
        );
        let told = read(svg("<text/>")).unwrap_err();
        assert!(
            told[0].message.starts_with("m.svg, line 1: `text`"),
            "{told:?}"
        );
        assert!(
            Project::read(text).unwrap_err()[0]
                .message
                .contains("no files")
        );
    }
}
