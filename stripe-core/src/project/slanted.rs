//! `[[quilt.NAME.piece]]`: triangles and diamonds by finished size and count.

use super::limits::{COPIES, MAX_NAME_CHARS};
use super::quilt_context::{QuiltContext, fabric, size};
use super::section::Section;
use crate::length::{Length, Unit};
use crate::quilt::{Slanted, SlantedShape};
use toml::Spanned;

pub(super) fn read_slanted(
    section: Section<'_, '_>,
    quilt_context: &QuiltContext<'_>,
    seam_mm: f64,
) -> Option<Slanted> {
    let name = section.text("name", MAX_NAME_CHARS);
    let shapes = [
        ("half-square", SlantedShape::HalfSquare),
        ("quarter-square", SlantedShape::QuarterSquare),
        ("side", SlantedShape::SideSetting),
        ("corner", SlantedShape::CornerSetting),
        ("diamond", SlantedShape::Diamond),
    ];
    let shape = section.choice("shape", &shapes);
    if section.get("shape").is_none() {
        let help = "write \"half-square\", \"quarter-square\", \"side\", \"corner\" or \"diamond\"";
        section.missing("shape", help);
    }
    let of = fabric(&section, "fabric", quilt_context);
    let finished_mm = size(
        &section,
        "finished",
        "give the finished size: the short side of a half-square triangle, the long side of a \
         quarter-square one, the block's side for side and corner triangles, a diamond's edge",
    );
    let count = section.count("count", COPIES);
    if section.get("count").is_none() {
        section.missing("count", "say how many");
    }
    let place = section.get("finished").map(Spanned::span);
    let metric = section.context.unit != Unit::Inch;
    let made = || {
        let (shape, count) = (shape?.into_inner(), count?.into_inner());
        Some(Slanted {
            name: name.map_or_else(|| shape.word().to_owned(), Spanned::into_inner),
            shape,
            fabric: of?,
            finished_mm: finished_mm?,
            count,
            mark_mm: if metric { 1.0 } else { 3.175 },
        })
    };
    let slanted = made();
    if let Some(slanted) = &slanted {
        let width = quilt_context
            .fabrics
            .iter()
            .find(|d| d.name == slanted.fabric);
        let width = width.and_then(|d| d.fabric.as_ref()).map(|c| c.width_mm);
        let needed = slanted.least_fabric_mm(seam_mm);
        if let (Some(width), Some(place)) = (width, place)
            && needed > width + 1e-6
        {
            let mm = |length: f64| Length::from_mm(length).shown(section.context.unit);
            let message = format!(
                "{} needs fabric {} wide with its seams, and `{}` is {} wide",
                section.what,
                mm(needed),
                slanted.fabric,
                mm(width)
            );
            section.fault(place, message, "make it smaller, or use a wider fabric");
            return None;
        }
    }
    section.close();
    slanted
}
