//! `picture` of a fabric: what it looks like.

use super::section::Section;
use crate::fabric::{Picture, PictureError, Stripe};
use crate::quote::quoted;

/// Characters of a picture's name.
const MAX_FILE_CHARS: usize = 200;

/// The picture of a fabric; its stripe may be at fault, or not there at all.
pub(super) fn read_picture(fabric: &Section<'_, '_>, stripe: Option<&Stripe>) -> Option<Picture> {
    let file = fabric.text("picture", MAX_FILE_CHARS)?;
    let name = quoted(file.get_ref());
    let fault = |message: String, help: &str| {
        fabric.fault(file.span(), message, help);
        None
    };
    let bytes = match (fabric.context.drawings)(file.get_ref()) {
        Ok(bytes) => bytes,
        Err(why) => {
            let help =
                "name a PNG or JPEG file that lies beside the project file, or in a folder there";
            return fault(format!("the picture {name} cannot be had: {why}"), help);
        }
    };
    let told = |error: PictureError| {
        let help = match error {
            PictureError::TooLarge | PictureError::Sides { .. } => {
                "make it smaller: 400 pixels are enough for one repeat"
            }
            PictureError::Kind | PictureError::Broken(_) => "save it anew as PNG or JPEG",
            _ => {
                "it shows one repeat, from the beginning of the first band to the end of the last: `stripelay swatch` writes such a picture"
            }
        };
        (format!("{name}: {error}"), help)
    };
    let picture = match Picture::try_new(bytes) {
        Ok(picture) => picture,
        Err(error) => {
            let (message, help) = told(error);
            return fault(message, help);
        }
    };
    let stripe = stripe?;
    if stripe.along().is_some() {
        let message = format!(
            "{} has a `picture`, but repeats along its stripes too",
            fabric.what
        );
        return fault(
            message,
            "take `picture` out: only plain stripes can be shown by one",
        );
    }
    if let Err(error) = picture.compare(stripe.bands()) {
        let (message, help) = told(error);
        return fault(message, help);
    }
    Some(picture)
}
