//! How large a pixel of the picture is on the fabric.

use super::container::Resolution;
use super::reading::{Reading, Warning};
use super::{Scale, SwatchError};

/// Millimetres of fabric to a pixel that make any sense: a microscope's, and a whole bolt's.
const SENSIBLE_MM: std::ops::RangeInclusive<f64> = 0.0005..=50.0;

/// The size of a pixel (mm) of a picture of so many pixels.
pub(super) fn mm_per_pixel(
    scale: Scale,
    [width, height]: [usize; 2],
    stored: Option<Resolution>,
    is_camera: bool,
) -> Result<f64, SwatchError> {
    let mm = match scale {
        Scale::Shows(mm) => mm / width as f64,
        Scale::Points { from, to, apart_mm } => {
            let inside = |[x, y]: [f64; 2]| {
                (0.0..=width as f64).contains(&x) && (0.0..=height as f64).contains(&y)
            };
            if !(inside(from) && inside(to)) {
                return Err(SwatchError::BadScale(format!(
                    "a point lies beyond the picture, which has {width} x {height} pixels"
                )));
            }
            let pixels = (to[0] - from[0]).hypot(to[1] - from[1]);
            if pixels < 8.0 {
                return Err(SwatchError::BadScale(
                    "the two points are less than 8 pixels apart".into(),
                ));
            }
            apart_mm / pixels
        }
        Scale::File => of_file(stored, is_camera)?,
    };
    if SENSIBLE_MM.contains(&mm) {
        Ok(mm)
    } else {
        Err(SwatchError::BadScale(format!(
            "a pixel of the picture would be {mm} mm of fabric, which cannot be"
        )))
    }
}

/// Repeats that fabric has (mm): a fine pinstripe's, and those of the largest prints.
const USUAL_REPEATS_MM: std::ops::RangeInclusive<f64> = 1.0..=650.0;

/// Scales of one picture that differ by more than this share do not agree.
const AGREE: f64 = 0.03;

/// What makes the scale of a reading doubtful.
pub(super) fn doubts(
    scale: Scale,
    stored: Option<Resolution>,
    is_camera: bool,
    reading: &Reading,
) -> Vec<Warning> {
    let mut doubts = vec![];
    let repeat_mm = reading.repeat_mm.value;
    let own = of_file(stored, is_camera)
        .ok()
        .filter(|_| scale != Scale::File);
    if let Some(own_mm) = own
        && (own_mm / reading.pixel_mm - 1.0).abs() > AGREE
    {
        doubts.push(Warning::OtherScale(repeat_mm * own_mm / reading.pixel_mm));
    }
    if !USUAL_REPEATS_MM.contains(&repeat_mm) {
        doubts.push(Warning::OddRepeat);
    }
    doubts
}

fn of_file(stored: Option<Resolution>, is_camera: bool) -> Result<f64, SwatchError> {
    if is_camera {
        return Err(SwatchError::NoScale(": it is a photograph, not a scan"));
    }
    let stored = stored.ok_or(SwatchError::NoScale(": the file has no resolution"))?;
    let (across, down) = (stored.across * 25.4, stored.down * 25.4);
    if !(across.is_finite() && down.is_finite() && across > 0.0 && down > 0.0) {
        return Err(SwatchError::NoScale(": the file's resolution is no number"));
    }
    if (across / down - 1.0).abs() > 0.005 {
        return Err(SwatchError::BadScale(format!(
            "the file says {across:.0} dots an inch across and {down:.0} down: its pixels are not square"
        )));
    }
    // What programs write when nobody told them: it is no measure.
    if [72.0, 96.0]
        .iter()
        .any(|usual| (across - usual).abs() < 0.1)
    {
        return Err(SwatchError::NoScale(
            ": its resolution of 72 or 96 dots an inch is what programs write when they do not know",
        ));
    }
    Ok(1.0 / stored.across)
}
