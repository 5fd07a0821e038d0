//! Drawings as PNG, by resvg; the resolution is written into the file.

use super::error::DrawError;
use super::lettering::fonts;
use ::png::{BitDepth, ColorType, DeflateCompression, Encoder, Filter, PixelDimensions, Unit};
use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::{ImageHrefResolver, Options, Tree};

/// The most pixels that a picture may have: about 160 MB while it is drawn, a
/// Letter sheet at 600 dots an inch.
pub const MAX_PIXELS: u64 = 40_000_000;

/// An SVG document as a PNG file at `dpi` dots an inch, on white.
///
/// The document's millimetres become pixels at that resolution, which the file
/// tells in its `pHYs` chunk: it prints at true size. (The encoder of `image`
/// cannot write that chunk; the one of `png` can.)
///
/// # Errors
/// A picture larger than [`MAX_PIXELS`], a resolution that makes no sense, or a
/// document that is no SVG.
pub fn png(svg: &str, dpi: f64) -> Result<Vec<u8>, DrawError> {
    if !(dpi.is_finite() && (10.0..=2400.0).contains(&dpi)) {
        return Err(DrawError::Resolution(dpi));
    }
    let tree = parse(svg, dpi)?;
    let size = tree.size();
    let across = |mm_px: f32| f64::from(mm_px).round().max(1.0);
    let (width, height) = (across(size.width()), across(size.height()));
    if width * height > MAX_PIXELS as f64 {
        return Err(DrawError::TooManyPixels {
            width: width as u64,
            height: height as u64,
            dpi,
        });
    }
    let (width, height) = (width as u32, height as u32);
    let fault = |what: &str| DrawError::Picture(what.to_owned());
    let mut pixmap = Pixmap::new(width, height).ok_or_else(|| fault("it has no size"))?;
    pixmap.fill(Color::WHITE);
    resvg::render(&tree, Transform::identity(), &mut pixmap.as_mut());

    // On white every pixel is solid: three bytes each are the whole truth.
    let mut rgb = Vec::with_capacity(pixmap.data().len() / 4 * 3);
    for pixel in pixmap.data().chunks_exact(4) {
        rgb.extend_from_slice(&pixel[..3]);
    }
    let mut file = Vec::new();
    let mut encoder = Encoder::new(&mut file, width, height);
    encoder.set_color(ColorType::Rgb);
    encoder.set_depth(BitDepth::Eight);
    // Drawings are flat areas and repeated rows, which need no filter: so a map of
    // 2 million pixels takes 26 ms and 630 kB; as photographs are usually written, with
    // a filter chosen row by row and level 6, it took 480 ms and 589 kB.
    encoder.set_filter(Filter::NoFilter);
    encoder.set_deflate_compression(DeflateCompression::Level(1));
    let per_metre = (dpi / 0.0254).round() as u32;
    encoder.set_pixel_dims(Some(PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: Unit::Meter,
    }));
    let written = encoder
        .write_header()
        .and_then(|mut writer| writer.write_image_data(&rgb));
    written.map_err(|error| DrawError::Picture(error.to_string()))?;
    Ok(file)
}

/// The tree of an SVG document, at `dpi` dots an inch, with our fonts alone.
pub(super) fn parse(svg: &str, dpi: f64) -> Result<Tree, DrawError> {
    let options = Options {
        dpi: dpi as f32,
        fontdb: fonts(),
        // A drawing carries its pictures in itself: no file is opened for it.
        image_href_resolver: ImageHrefResolver {
            resolve_string: Box::new(|_, _| None),
            ..ImageHrefResolver::default()
        },
        ..Options::default()
    };
    Tree::from_str(svg, &options).map_err(|error| DrawError::Picture(error.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::scene::{Fill, INK, Path, Scene};
    use crate::draw::svg::svg;
    use crate::shape::point;

    fn square(size_mm: f64) -> String {
        let fill = Some(Fill::solid(INK));
        svg(&Scene {
            width_mm: size_mm,
            height_mm: size_mm,
            title: "a square".into(),
            about: String::new(),
            items: vec![Path::rect(point(0.0, 0.0), 25.4, 25.4, fill, None).into()],
        })
    }

    #[test]
    fn an_inch_is_as_many_pixels_as_asked_for() {
        let file = png(&square(50.8), 300.0).unwrap();
        let decoder = ::png::Decoder::new(std::io::Cursor::new(&file));
        let reader = decoder.read_info().unwrap();
        let dims = reader.info().pixel_dims.unwrap();
        // 300 dots an inch are 11811 a metre (300 / 0.0254).
        assert_eq!((dims.xppu, dims.yppu), (11_811, 11_811));
        let picture = image::load_from_memory(&file).unwrap().to_rgb8();
        assert_eq!(picture.dimensions(), (600, 600));
        let dark = (0..600).filter(|&x| picture.get_pixel(x, 100).0[0] < 128);
        assert_eq!(dark.count(), 300);
    }

    #[test]
    fn too_large_is_said_not_tried() {
        let fault = png(&square(5000.0), 600.0).unwrap_err();
        assert!(fault.to_string().contains("40 million"), "{fault}");
        assert!(matches!(
            png(&square(5.0), f64::NAN),
            Err(DrawError::Resolution(_))
        ));
        assert!(matches!(png("<svg", 96.0), Err(DrawError::Picture(_))));
    }
}
