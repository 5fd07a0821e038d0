//! Drawings as one PDF, a page each, from the same SVG as everything else.

use super::error::DrawError;
use super::png::parse;
use super::scene::Scene;
use super::svg::svg;
use krilla::Document;
use krilla::geom::Size;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt, SvgSettings};

/// Points in an inch: the unit of PDF pages (ISO 32000).
const POINTS: f64 = 72.0;

/// A PDF of true size: every scene is a page of its own size.
///
/// Carries no date, so that the same plan gives the same file.
///
/// # Errors
/// A scene without a size, or one that cannot be written.
pub fn pdf(scenes: &[Scene], title: &str) -> Result<Vec<u8>, DrawError> {
    let fault = |what: String| DrawError::Picture(what);
    let mut document = Document::new();
    for scene in scenes {
        let tree = parse(&svg(scene), POINTS)?;
        let points = |mm: f64| (mm / 25.4 * POINTS) as f32;
        let (width, height) = (points(scene.width_mm), points(scene.height_mm));
        let settings = PageSettings::from_wh(width, height)
            .ok_or_else(|| fault(format!("`{}` has no size", scene.title)))?;
        let size = Size::from_wh(width, height)
            .ok_or_else(|| fault(format!("`{}` has no size", scene.title)))?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        surface
            .draw_svg(&tree, size, SvgSettings::default())
            .ok_or_else(|| fault(format!("`{}` could not be drawn", scene.title)))?;
        surface.finish();
        page.finish();
    }
    document.set_metadata(
        Metadata::new()
            .title(title.to_owned())
            .language("en".to_owned()),
    );
    document.finish().map_err(|error| fault(error.to_string()))
}
