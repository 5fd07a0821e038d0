//! The true size of a drawing: width, height, viewBox, preserveAspectRatio.
//!
//! # Source
//! Scalable Vector Graphics (SVG) 2, W3C, sections 8.2 "The initial viewport", 8.6 "The
//! viewBox attribute" and 8.7 "The preserveAspectRatio attribute"; units: CSS Values 3, 5.2.

use super::limits::MAX_SIZE_MM;
use kurbo::Affine;
use std::str::FromStr;
use svgtypes::{Align, AspectRatio, Length, LengthUnit, ViewBox};

/// Where the drawing's units lie on a page of true size.
#[derive(Debug)]
pub(super) struct Page {
    /// From the drawing's units to the motif's frame (mm, y up, origin in the page's middle).
    pub(super) to_motif: Affine,
}

/// What is wrong, and what to do.
type Wrong = (String, String);

/// Millimetres of a CSS pixel.
const PIXEL_MM: f64 = 25.4 / 96.0;

pub(super) fn page(root: roxmltree::Node<'_, '_>) -> Result<Page, Wrong> {
    let width = side(root, "width")?;
    let height = side(root, "height")?;
    let (x, y, scale_x, scale_y) = match root.attribute("viewBox") {
        None => (0.0, 0.0, PIXEL_MM, PIXEL_MM),
        Some(text) => {
            let help = "write viewBox=\"0 0 WIDTH HEIGHT\", both greater than 0";
            let wrong = || {
                (
                    format!("the viewBox `{}` is none", short(text)),
                    help.to_owned(),
                )
            };
            let view = ViewBox::from_str(text).map_err(|_| wrong())?;
            if ![view.x, view.y, view.w, view.h]
                .iter()
                .all(|n| n.is_finite())
            {
                return Err(wrong());
            }
            let (fit_x, fit_y) = (width / view.w, height / view.h);
            if !(fit_x.is_finite() && fit_y.is_finite() && fit_x > 0.0 && fit_y > 0.0) {
                return Err(wrong());
            }
            let ratio = match root.attribute("preserveAspectRatio") {
                None => AspectRatio::default(),
                Some(said) => AspectRatio::from_str(said).map_err(|_| {
                    let message = format!("preserveAspectRatio `{}` is unknown", short(said));
                    (message, "take it out".to_owned())
                })?,
            };
            let (scale_x, scale_y) = match (ratio.align, ratio.slice) {
                (Align::None, _) => (fit_x, fit_y),
                (_, false) => (fit_x.min(fit_y), fit_x.min(fit_y)),
                (_, true) => (fit_x.max(fit_y), fit_x.max(fit_y)),
            };
            let (share_x, share_y) = shares(ratio.align);
            let left = (width - view.w * scale_x) * share_x;
            let top = (height - view.h * scale_y) * share_y;
            (
                view.x - left / scale_x,
                view.y - top / scale_y,
                scale_x,
                scale_y,
            )
        }
    };
    let to_page = Affine::scale_non_uniform(scale_x, scale_y) * Affine::translate((-x, -y));
    let to_motif = Affine::FLIP_Y * Affine::translate((-width / 2.0, -height / 2.0)) * to_page;
    Ok(Page { to_motif })
}

/// How much of the room that is left lies left of and above the drawing.
fn shares(align: Align) -> (f64, f64) {
    match align {
        Align::None | Align::XMinYMin => (0.0, 0.0),
        Align::XMidYMin => (0.5, 0.0),
        Align::XMaxYMin => (1.0, 0.0),
        Align::XMinYMid => (0.0, 0.5),
        Align::XMidYMid => (0.5, 0.5),
        Align::XMaxYMid => (1.0, 0.5),
        Align::XMinYMax => (0.0, 1.0),
        Align::XMidYMax => (0.5, 1.0),
        Align::XMaxYMax => (1.0, 1.0),
    }
}

fn side(root: roxmltree::Node<'_, '_>, key: &str) -> Result<f64, Wrong> {
    let help = format!("give it its true size in mm, cm or in: {key}=\"200mm\"");
    let Some(text) = root.attribute(key) else {
        let message = format!("the drawing has no `{key}`, so nobody can tell how large it is");
        return Err((message, help));
    };
    let said = short(text);
    let Ok(length) = Length::from_str(text.trim()) else {
        return Err((format!("the {key} `{said}` is no length"), help));
    };
    let unit_mm = match length.unit {
        LengthUnit::Mm => 1.0,
        LengthUnit::Cm => 10.0,
        LengthUnit::In => 25.4,
        LengthUnit::Pt => 25.4 / 72.0,
        LengthUnit::Pc => 25.4 / 6.0,
        LengthUnit::Px | LengthUnit::None => {
            let inches = length.number / 96.0;
            let help = format!(
                "write it in mm, cm or in; if 96 pixels are an inch, that is {key}=\"{inches:.4}in\""
            );
            let message = format!(
                "the {key} `{said}` is in pixels, and programs do not agree how large a pixel is"
            );
            return Err((message, help));
        }
        LengthUnit::Percent | LengthUnit::Em | LengthUnit::Ex => {
            let message = format!("the {key} `{said}` is a share of something else, no true size");
            return Err((message, help));
        }
    };
    let mm = length.number * unit_mm;
    if !(mm.is_finite() && mm > 0.0 && mm <= MAX_SIZE_MM) {
        let message = format!("the {key} `{said}` is not between 0 and {MAX_SIZE_MM} mm");
        return Err((message, help));
    }
    Ok(mm)
}

/// The beginning of what a file says.
pub(super) fn short(text: &str) -> String {
    let clean = |c: char| if c.is_control() { ' ' } else { c };
    text.chars().take(40).map(clean).collect()
}
