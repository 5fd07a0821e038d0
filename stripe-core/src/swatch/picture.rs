//! The bands that were found, beside the photograph.

use super::decode::decode;
use super::profile::Place;
use super::raster::average;
use super::{Crop, Reading, SwatchError};
use crate::colour::Colour;
use image::{ExtendedColorType, ImageEncoder};

/// The longer side of the picture (pixels).
const LONGEST: usize = 1200;
/// Fields that show photograph and bands in turn, along the stripe.
const FIELDS: f64 = 5.0;

/// A PNG file in which the photograph and the bands that were read from it take turns along
/// the stripe: where the reading is right, lines run on and colours are the same across
/// the borders, which are marked at the picture's edges.
///
/// # Errors
/// A picture that cannot be decoded (it could when it was read) or encoded.
pub fn side_by_side(bytes: &[u8], reading: &Reading) -> Result<Vec<u8>, SwatchError> {
    let photo = decode(bytes)?;
    let shape = &reading.shape;
    let Crop { width, height, .. } = shape.crop;
    let factor = width.max(height).div_ceil(LONGEST);
    let raster = average(&photo, shape.crop, factor)?;
    // The shape counts in pixels of what was read.
    let ratio = factor as f64 / shape.factor as f64;
    let place = Place::new(shape.frame, width / shape.factor, height / shape.factor);
    let total: f64 = reading.bands.iter().map(|read| read.band.width_mm).sum();
    let mut pixels = Vec::with_capacity(raster.pixels.len() * 3);
    for (i, pixel) in raster.pixels.iter().enumerate() {
        let x = (i % raster.width) as f64 + 0.5;
        let y = (i / raster.width) as f64 + 0.5;
        let (_, t) = place.at(x * ratio, y * ratio);
        let field = (t + 1.0) / 2.0 * FIELDS;
        let light = if (field as usize) % 2 == 1 {
            // Four points of the pixel, so that borders are as soft as a photograph's.
            let mut sum = [0.0f32; 3];
            for (dx, dy) in [(-0.25, -0.25), (0.25, -0.25), (-0.25, 0.25), (0.25, 0.25)] {
                let (u, _) = place.at((x + dx) * ratio, (y + dy) * ratio);
                let light = light_at(reading, place.bin(u), total);
                for (s, l) in sum.iter_mut().zip(light) {
                    *s += l / 4.0;
                }
            }
            sum
        } else {
            *pixel
        };
        let shown = Colour::from_light(light.map(f64::from));
        // Marks at both ends of each border between photograph and bands.
        let edge = x
            .min(raster.width as f64 - x)
            .min(y)
            .min(raster.height as f64 - y);
        let at_border = (field - field.round()).abs() * 2.0 / FIELDS * place.half[1] / ratio < 1.5;
        if edge < 14.0 && at_border && field > 0.5 && field < FIELDS - 0.5 {
            pixels.extend_from_slice(&[230, 0, 120]);
        } else {
            pixels.extend_from_slice(&[shown.red, shown.green, shown.blue]);
        }
    }
    let mut file = vec![];
    let encoder = image::codecs::png::PngEncoder::new(&mut file);
    encoder
        .write_image(
            &pixels,
            raster.width as u32,
            raster.height as u32,
            ExtendedColorType::Rgb8,
        )
        .map_err(|error| SwatchError::Draw(error.to_string()))?;
    Ok(file)
}

fn light_at(reading: &Reading, bin: f64, total: f64) -> [f32; 3] {
    let shape = &reading.shape;
    let x = bin - shape.middle;
    let turns = shape.turns[0] + x * (shape.turns[1] + x * shape.turns[2]);
    let mut rest = (turns - shape.first).rem_euclid(1.0) * total;
    let held = reading.bands.iter().find(|read| {
        rest -= read.band.width_mm;
        rest < 0.0
    });
    let colour = held.or(reading.bands.last()).map(|read| read.band.colour);
    colour.map_or([0.0; 3], |colour| colour.to_light().map(|l| l as f32))
}
