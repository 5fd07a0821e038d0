//! `[[motif.NAME.part]]`: one layer of a motif.

use super::fabrics::Draft;
use super::fans::{Shape, read_fan};
use super::fault::nearest_name;
use super::limits::{ANGLES_DEG, MAX_NAME_CHARS};
use super::outline::read_outline;
use super::part_stripes::read_look;
use super::section::{Placed, Section};
use crate::motif::{Ends, Form, Meet, Part};
use crate::num::wrap;
use crate::quote::quoted;
use toml::Spanned;

pub(super) fn read_part(section: Section<'_, '_>, name: String, fabrics: &[Draft]) -> Option<Part> {
    let fabric = read_fabric_name(&section, fabrics);
    let shapes = [
        ("fan", Shape::Fan),
        ("disc", Shape::Disc),
        ("ring", Shape::Ring),
        ("outline", Shape::Outline),
    ];
    let shape = section.choice("shape", &shapes).map(Spanned::into_inner);
    if section.get("shape").is_none() {
        section.missing(
            "shape",
            "write shape = \"fan\", \"disc\", \"ring\" or \"outline\"",
        );
    }
    let form = shape.and_then(|shape| match shape {
        Shape::Outline => read_outline(&section).map(Form::Outline),
        _ => read_fan(&section, shape).map(Form::Fan),
    });
    let rotate = section.number("rotate", ANGLES_DEG, " degrees");
    let meets = [
        ("seam", Meet::Seam),
        ("both turned under", Meet::BothTurnedUnder),
        ("one over the other", Meet::OneOverOther),
    ];
    let meet = section.choice("meet", &meets);
    let ends = section.choice(
        "ends",
        &[("seam", Ends::Seam), ("turned under", Ends::TurnedUnder)],
    );
    let pattern = fabric.and_then(|draft| Some(&draft.fabric.as_ref()?.pattern));
    let look = read_look(&section, form.as_ref(), pattern);
    section.close_unless_shapeless(shape.is_some());
    let or = |choice: Option<Placed<Meet>>, default| choice.map_or(default, Spanned::into_inner);
    Some(Part {
        name,
        fabric: fabric?.name.clone(),
        form: form?,
        rotate_deg: rotate.map_or(0.0, |angle| wrap(angle.into_inner(), 360.0)),
        meet: or(meet, Meet::BothTurnedUnder),
        ends: ends.map_or(Ends::TurnedUnder, Spanned::into_inner),
        stripes: look.stripes,
        grain_deg: look.grain_deg,
        phase_mm: look.phase_mm,
        along_mm: look.along_mm,
        copies: look.copies,
        tie: look.tie,
    })
}

impl Section<'_, '_> {
    /// Without a shape nobody knows which keys belong to it: blame none of them.
    fn close_unless_shapeless(self, has_shape: bool) {
        if has_shape {
            self.close();
        }
    }
}

pub(super) fn read_fabric_name<'d>(
    section: &Section<'_, '_>,
    fabrics: &'d [Draft],
) -> Option<&'d Draft> {
    if section.get("fabric").is_none() {
        section.missing(
            "fabric",
            "say which fabric it is cut from: fabric = \"NAME\"",
        );
    }
    let name = section.text("fabric", MAX_NAME_CHARS)?;
    let found = fabrics.iter().find(|draft| draft.name == *name.get_ref());
    if found.is_none() {
        let known = || fabrics.iter().map(|draft| draft.name.as_str());
        let help = match nearest_name(name.get_ref(), known()) {
            Some(near) => format!("did you mean {}?", quoted(near)),
            None => format!(
                "add [fabric.{}], or use one of: {}",
                name.get_ref(),
                known().collect::<Vec<_>>().join(", ")
            ),
        };
        let message = format!(
            "{} asks for fabric {}, which is not there",
            section.what,
            quoted(name.get_ref())
        );
        section.fault(name.span(), message, help);
    }
    found
}
