//! All stages of a reading, in their order.

use super::balance::{Raw, balance, share_colours, times_over};
use super::bands::{Target, widths};
use super::decode::{Photo, decode};
use super::direction::{Across, direction};
use super::fold::fold;
use super::lines::{Lines, follow};
use super::profile::{Frame, Place, slabs};
use super::raster::{Raster, average, lightness, refuse_transparent};
use super::reading::{Measure, ReadBand, Reading, Shape, Warning};
use super::repeat::{FINEST, Found, Repeat, repeat};
use super::scale::{doubts, mm_per_pixel};
use super::segment::borders;
use super::{Crop, Options, SwatchError};
use crate::colour::Colour;
use crate::fabric::{Band, Run, Stripe};

/// The longer side of what is worked with (pixels): enough for bands of half a hundredth of it.
const WORKED: usize = 1500;
/// A repeat of fewer pixels is read from the middle of the picture, more finely.
const FINE_REPEAT: f64 = 50.0;
/// The least side of a picture (pixels).
const LEAST_SIDE: usize = 32;
/// What repeats both ways within this (mm) is the weave.
const WEAVE_MM: f64 = 2.0;
/// Light that differs more over the picture than this many times is a drawing's, not a lamp's.
const MAX_UNEVEN: f64 = 12.0;
/// The most bands of a repeat.
const MAX_BANDS: usize = 40;
/// So many pixels of the middle tell whether there are stripes that averaging hides.
const GLIMPSE: usize = 512;
/// The least share of what is seen that stripes explain.
const LEAST_EXPLAINED: f64 = 0.04;

/// Reads the stripe from a picture of fabric: a JPEG, PNG, TIFF or WebP file.
///
/// Lengths are millimetres of fabric. The same bytes and options give the same reading on any
/// number of threads.
///
/// # Errors
/// See [`SwatchError`]: each says what to do about it.
pub fn read(bytes: &[u8], options: &Options) -> Result<Reading, SwatchError> {
    let photo = decode(bytes)?;
    let mut reading = read_photo(&photo, options)?;
    let doubts = doubts(options.scale, photo.resolution, photo.is_camera, &reading);
    reading.warnings.extend(doubts);
    Ok(reading)
}

fn read_photo(photo: &Photo, options: &Options) -> Result<Reading, SwatchError> {
    let (width, height) = (photo.image.width() as usize, photo.image.height() as usize);
    let crop = within(options.crop, width, height)?;
    refuse_transparent(photo)?;
    let pixel_mm = mm_per_pixel(
        options.scale,
        [width, height],
        photo.resolution,
        photo.is_camera,
    )?;
    let factor = crop.width.max(crop.height).div_ceil(WORKED);
    let whole = View::new(photo, crop, factor).and_then(|view| view.lines(pixel_mm));
    // What is finer than the averaged pixels leaves but a wrong pattern of its own in them.
    let (afar, degrees) = whole.as_ref().map_or((0.0, None), |seen| {
        (seen.explained, Some(seen.lines.frame.degrees))
    });
    if factor > 1 {
        let near = middle(crop, 1);
        let glimpse = View::new(photo, inner(near, GLIMPSE), 1)?
            .raster
            .to_lightness();
        let glimpse = direction(&glimpse);
        let turned = degrees
            .is_some_and(|degrees| (glimpse.degrees - degrees).to_radians().sin().abs() > 0.05);
        if (glimpse.explained > 1.5 * afar + 0.1 || turned && glimpse.explained > 0.9 * afar)
            && let Ok(near) = View::new(photo, near, 1).and_then(|view| view.lines(pixel_mm))
            && near.repeat.pixels < 20.0 * factor as f64
        {
            return near.reading(pixel_mm);
        }
    }
    match whole {
        Ok(seen) if factor > 1 && seen.repeat.pixels < FINE_REPEAT => {
            let finer = (seen.repeat.pixels * factor as f64 / (1.6 * FINE_REPEAT)) as usize;
            let near = middle(crop, finer.max(1));
            match View::new(photo, near, finer.max(1)).and_then(|view| view.lines(pixel_mm)) {
                // What is read near must be what was seen from afar.
                Ok(near) if alike(near.repeat_px(), seen.repeat_px()) => near.reading(pixel_mm),
                _ => seen.reading(pixel_mm),
            }
        }
        Ok(seen) => seen.reading(pixel_mm),
        Err(SwatchError::NoStripes | SwatchError::FewRepeats { .. }) if factor > 1 => {
            // Perhaps they are finer than what was averaged away.
            let near = View::new(photo, middle(crop, 1), 1).and_then(|view| view.lines(pixel_mm));
            match near {
                Ok(near) if near.repeat.pixels < 20.0 * factor as f64 => near.reading(pixel_mm),
                Err(fault @ SwatchError::TooFine { .. }) => Err(fault),
                _ => whole.and_then(|seen| seen.reading(pixel_mm)),
            }
        }
        Err(fault) => Err(fault),
    }
}

fn alike(a: f64, b: f64) -> bool {
    (a / b - 1.0).abs() < 0.05
}

/// The crop, or the whole picture.
fn within(crop: Option<Crop>, width: usize, height: usize) -> Result<Crop, SwatchError> {
    let crop = crop.unwrap_or(Crop {
        left: 0,
        top: 0,
        width,
        height,
    });
    let fits =
        |from: usize, size: usize, of: usize| from.checked_add(size).is_some_and(|end| end <= of);
    if !(fits(crop.left, crop.width, width) && fits(crop.top, crop.height, height)) {
        return Err(SwatchError::Crop { width, height });
    }
    if crop.width.min(crop.height) < LEAST_SIDE {
        return Err(SwatchError::TooSmall {
            width: crop.width,
            height: crop.height,
        });
    }
    Ok(crop)
}

/// The middle of a crop that fills what is worked with.
fn middle(crop: Crop, factor: usize) -> Crop {
    inner(crop, WORKED * factor)
}

/// The middle of a crop, of so many pixels at most.
fn inner(crop: Crop, most: usize) -> Crop {
    let (width, height) = (crop.width.min(most), crop.height.min(most));
    Crop {
        left: crop.left + (crop.width - width) / 2,
        top: crop.top + (crop.height - height) / 2,
        width,
        height,
    }
}

/// A part of the picture, averaged down.
struct View {
    crop: Crop,
    factor: usize,
    raster: Raster,
}

/// A part of the picture whose lines and repeat are found.
struct Seen {
    view: View,
    lines: Lines,
    repeat: Repeat,
    /// The share of what is seen that the stripe explains.
    explained: f64,
}

impl View {
    fn new(photo: &Photo, crop: Crop, factor: usize) -> Result<Self, SwatchError> {
        let raster = average(photo, crop, factor)?;
        let side = raster.width.min(raster.height);
        if side < LEAST_SIDE / 2 {
            return Err(SwatchError::TooSmall {
                width: crop.width,
                height: crop.height,
            });
        }
        Ok(Self {
            crop,
            factor,
            raster,
        })
    }

    fn lines(self, pixel_mm: f64) -> Result<Seen, SwatchError> {
        let seen = self.raster.to_lightness();
        let across = direction(&seen);
        if across.explained < LEAST_EXPLAINED {
            return Err(SwatchError::NoStripes);
        }
        let unit = pixel_mm * self.factor as f64;
        let lines = follow(&seen, across.degrees);
        let place = Place::new(lines.frame, seen.width, seen.height);
        let profile = slabs(&seen, &place).mean();
        let found = repeat(&profile);
        if let Found::Repeat(main) = &found
            && let Some(other) = crossing(&seen, &across, main)
        {
            let (mut across_mm, mut along_mm) = (main.pixels * unit, other * unit);
            // Threads are no plaid.
            if across_mm.max(along_mm) < WEAVE_MM {
                return Err(SwatchError::NoStripes);
            }
            if lines.frame.degrees > 45.0 {
                (across_mm, along_mm) = (along_mm, across_mm);
            }
            return Err(SwatchError::Plaid {
                across_mm,
                along_mm,
            });
        }
        match found {
            Found::Repeat(repeat) if repeat.pixels < FINEST => Err(SwatchError::TooFine {
                pixels: repeat.pixels,
            }),
            Found::Repeat(repeat) => Ok(Seen {
                view: self,
                lines,
                repeat,
                explained: across.explained,
            }),
            Found::TooFew(far) if across.explained > 0.3 => {
                let shown_mm = 2.0 * place.half[0] * unit;
                Err(SwatchError::FewRepeats {
                    shown_mm,
                    enough_mm: far.map_or(2.0 * shown_mm, |far| 2.2 * far * unit),
                })
            }
            _ => Err(SwatchError::NoStripes),
        }
    }
}

/// The repeat of lines that cross the stripe (pixels), if they make it a plaid.
fn crossing(seen: &Raster, across: &Across, main: &Repeat) -> Option<f64> {
    if across.explained_square < 0.2 * across.explained {
        return None;
    }
    let lines = follow(seen, across.degrees + 90.0);
    let place = Place::new(lines.frame, seen.width, seen.height);
    match repeat(&slabs(seen, &place).mean()) {
        // The weave of a stripe crosses it too, but far more finely.
        Found::Repeat(other) if other.pixels > main.pixels / 8.0 => Some(other.pixels),
        _ => None,
    }
}

impl Seen {
    /// The repeat in pixels of the picture itself.
    fn repeat_px(&self) -> f64 {
        self.repeat.pixels * self.view.factor as f64
    }

    fn reading(self, pixel_mm: f64) -> Result<Reading, SwatchError> {
        let Self {
            view,
            lines,
            repeat,
            explained,
        } = self;
        let unit = pixel_mm * view.factor as f64;
        let place = Place::new(lines.frame, view.raster.width, view.raster.height);
        let count = (repeat.pixels.round() as usize).clamp(24, 1000);
        let folded = fold(&slabs(&view.raster, &place), &repeat, count);
        if folded.uneven > MAX_UNEVEN {
            return Err(SwatchError::NoStripes);
        }
        let steps: Vec<[f64; 3]> = folded
            .bins
            .iter()
            .map(|bin| bin.map(|light| f64::from(lightness(light as f32))))
            .collect();
        let borders = borders(&steps);
        if borders.len() < 2 {
            return Err(SwatchError::NoStripes);
        }
        if borders.len() > 3 * MAX_BANDS {
            return Err(SwatchError::TooManyBands { most: MAX_BANDS });
        }
        let fitted = Target::new(&folded.bins).settle(&borders);
        if fitted.edges.len() > MAX_BANDS {
            return Err(SwatchError::TooManyBands { most: MAX_BANDS });
        }
        let bin_mm = repeat.pixels * unit / count as f64;
        let wide = widths(&fitted.edges, count as f64);
        let mut raw: Vec<Raw> = wide
            .iter()
            .zip(&fitted.colours)
            .map(|(width, light)| Raw {
                width_mm: width * bin_mm,
                colour: Colour::from_light(*light),
            })
            .collect();
        share_colours(&mut raw);
        // Noise may let a multiple of the repeat correlate a hair better than the repeat.
        if let Some(times) = times_over(&raw, 0.5 * unit) {
            let seen = Self {
                view,
                lines,
                repeat: repeat.parted(times),
                explained,
            };
            return seen.reading(pixel_mm);
        }
        // A band narrower than what the picture smears it by is known by its weight alone.
        let fine_mm = (2.0 * fitted.smear * bin_mm).max(2.0 * unit.min(bin_mm));
        // From the widest band on: nobody looks for the beginning within a hairline.
        let widest = (0..raw.len()).fold(0, |w, i| {
            if raw[i].width_mm > raw[w].width_mm + 0.01 {
                i
            } else {
                w
            }
        });
        raw.rotate_left(widest);
        let has_mirror = balance(&mut raw, (0.25 * unit).max(0.05));
        let colours: Vec<Colour> = raw.iter().map(|band| band.colour).collect();
        let names = super::naming::names(&colours);
        let bands: Vec<ReadBand> = raw
            .iter()
            .zip(names)
            .map(|(raw, name)| ReadBand {
                band: Band::new(name, (raw.width_mm * 1000.0).round() / 1000.0, raw.colour),
                is_fine: raw.width_mm < fine_mm,
            })
            .collect();
        let plain = bands.iter().map(|read| read.band.clone()).collect();
        let stripe = Stripe::try_new(Run::Lengthwise, 0.0, 0.0, plain)
            .map_err(|_| SwatchError::NoStripes)?;
        let upright = lines.frame.degrees <= 45.0;
        let drift = repeat.drift_error.is_finite().then_some(Measure {
            value: repeat.drift,
            error: repeat.drift_error,
        });
        let warnings = warnings(&lines, &repeat, drift, folded.uneven, &bands);
        Ok(Reading {
            upright,
            lean_deg: lines.frame.degrees - if upright { 0.0 } else { 90.0 },
            repeat_mm: Measure {
                value: repeat.pixels * unit,
                error: repeat.error * unit,
            },
            repeats: repeat.shown,
            has_mirror: has_mirror && stripe.is_balanced(),
            bands,
            drift,
            bow_mm: lines.bow * unit,
            pixel_mm,
            warnings,
            shape: Shape {
                frame: Frame { ..lines.frame },
                crop: view.crop,
                factor: view.factor,
                middle: repeat.middle,
                turns: repeat.fit,
                first: fitted.edges[widest] / count as f64,
                light: folded.light,
            },
        })
    }
}

fn warnings(
    lines: &Lines,
    repeat: &Repeat,
    drift: Option<Measure>,
    uneven: f64,
    bands: &[ReadBand],
) -> Vec<Warning> {
    let mut warnings = vec![];
    if lines.converge_deg.abs() > 0.4 {
        warnings.push(Warning::Perspective(lines.converge_deg.abs()));
    }
    if let Some(drift) = drift.filter(|d| d.value.abs() > (3.0 * d.error).max(0.01)) {
        warnings.push(Warning::Uneven(drift.value));
    }
    if uneven > 2.0 {
        warnings.push(Warning::Light(uneven));
    }
    let fine: Vec<usize> = (1..=bands.len())
        .filter(|&i| bands[i - 1].is_fine)
        .collect();
    if !fine.is_empty() {
        warnings.push(Warning::Fine(fine));
    }
    if repeat.shown < 3.0 {
        warnings.push(Warning::FewRepeats(repeat.shown));
    }
    warnings.push(Warning::NoWhite);
    warnings
}
