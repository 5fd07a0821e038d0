//! Binding, backing and batting of a quilt.

use super::limits::{BINDING_STRIPS_MM, DISTANCES_MM, MAX_NAME_CHARS, PRICES, SIZES_MM};
use super::quilt_context::{QuiltContext, fabric};
use super::section::Section;
use crate::length::Unit;
use crate::quilt::{Backing, Batting, Binding, SeamRun};
use toml::Spanned;

/// The usual strip is 2 1/2 in (6.5 cm), the usual extra 10 in (25 cm).
///
/// # Source
/// Rows D-05, Y-06 and Y-07.
pub(super) fn read_binding(
    section: Section<'_, '_>,
    quilt_context: &QuiltContext<'_>,
) -> Option<Binding> {
    let of = fabric(&section, "fabric", quilt_context);
    let metric = section.context.unit != Unit::Inch;
    let (strip_usual, extra_usual) = if metric { (65.0, 250.0) } else { (63.5, 254.0) };
    let strip = section.length("strip", BINDING_STRIPS_MM);
    let extra = section.length("extra", DISTANCES_MM);
    let bias = section.choice("cut", &[("straight", false), ("bias", true)]);
    section.close();
    Some(Binding {
        fabric: of?,
        strip_mm: strip.map_or(strip_usual, Spanned::into_inner),
        extra_mm: extra.map_or(extra_usual, Spanned::into_inner),
        bias: bias.is_some_and(Spanned::into_inner),
    })
}

/// The usual overhang is 4 in (10 cm) on every side.
///
/// # Source
/// Rows D-04 and Y-09.
fn overhang(section: &Section<'_, '_>) -> f64 {
    let default = if section.context.unit == Unit::Inch {
        101.6
    } else {
        100.0
    };
    section
        .length("overhang", DISTANCES_MM)
        .map_or(default, Spanned::into_inner)
}

pub(super) fn read_backing(
    section: Section<'_, '_>,
    quilt_context: &QuiltContext<'_>,
) -> Option<Backing> {
    let of = fabric(&section, "fabric", quilt_context);
    let overhang_mm = overhang(&section);
    let words = [
        ("vertical", SeamRun::Vertical),
        ("horizontal", SeamRun::Horizontal),
    ];
    let seams = section.choice("seams", &words).map(Spanned::into_inner);
    section.close();
    Some(Backing {
        fabric: of?,
        overhang_mm,
        seams,
    })
}

pub(super) fn read_batting(section: Section<'_, '_>) -> Option<Batting> {
    let name = section.text("name", MAX_NAME_CHARS);
    let overhang_mm = overhang(&section);
    let width = section.length("width", SIZES_MM);
    let price = section.number("price", PRICES, "");
    let per = section.length("per", SIZES_MM);
    let default = if section.context.unit == Unit::Inch {
        914.4
    } else {
        1000.0
    };
    section.close();
    Some(Batting {
        name: name.map_or_else(|| "batting".to_owned(), Spanned::into_inner),
        overhang_mm,
        width_mm: width.map(Spanned::into_inner),
        price: price.map(Spanned::into_inner),
        per_mm: per.map_or(default, Spanned::into_inner),
    })
}
