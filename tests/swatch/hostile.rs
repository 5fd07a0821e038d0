//! Pictures that are at fault, one fault each: every one is refused for what it is, or read
//! for what it shows.

use crate::Rng;
use crate::fabric::{Swatch, jpeg};
use image::codecs::png::PngEncoder;
use image::codecs::tiff::TiffEncoder;
use image::codecs::webp::WebPEncoder;
use image::{ExtendedColorType, ImageEncoder};
use std::io::Cursor;
use stripe_core::colour::Colour;
use stripe_core::swatch::{Crop, Options, Reading, Scale, SwatchError, read};

const W: usize = 320;
const H: usize = 240;

fn swatch() -> Swatch {
    let bands = vec![
        (24.0, Colour::new(0x1f, 0x3a, 0x5f)),
        (8.0, Colour::new(0xf2, 0xea, 0xd8)),
        (16.0, Colour::new(0xb0, 0x30, 0x30)),
    ];
    Swatch {
        noise: 2.0,
        ..Swatch::plain(W, H, bands)
    }
}

fn pixels() -> Vec<u8> {
    swatch().pixels(&mut Rng::new(1))
}

fn good() -> Vec<u8> {
    jpeg(&pixels(), W, H, 85, 200)
}

fn png(data: &[u8], width: u32, height: u32, kind: ExtendedColorType) -> Vec<u8> {
    let mut file = vec![];
    PngEncoder::new(&mut file)
        .write_image(data, width, height, kind)
        .unwrap();
    file
}

/// A whole JPEG with another segment behind its first two bytes.
fn with_segment(marker: u8, data: &[u8]) -> Vec<u8> {
    let file = good();
    let mut out = file[..2].to_vec();
    out.extend([0xff, marker]);
    out.extend((data.len() as u16 + 2).to_be_bytes());
    out.extend(data);
    out.extend(&file[2..]);
    out
}

/// EXIF of two entries at most: an orientation, and the time of exposure of a camera.
fn exif(orientation: u16, camera: bool) -> Vec<u8> {
    let mut tiff = b"Exif\0\0MM\0*\0\0\0\x08".to_vec();
    tiff.extend((1 + u16::from(camera)).to_be_bytes());
    tiff.extend([0x01, 0x12, 0, 3, 0, 0, 0, 1]);
    tiff.extend(orientation.to_be_bytes());
    tiff.extend([0, 0]);
    if camera {
        // The camera's own directory follows this one.
        tiff.extend([0x87, 0x69, 0, 4, 0, 0, 0, 1, 0, 0, 0, 38]);
    }
    tiff.extend([0, 0, 0, 0]);
    if camera {
        tiff.extend([0, 1, 0x82, 0x9a, 0, 5, 0, 0, 0, 1, 0, 0, 0, 56, 0, 0, 0, 0]);
        tiff.extend([0, 0, 0, 1, 0, 0, 0, 125]);
    }
    tiff
}

fn of(bytes: &[u8]) -> Result<Reading, SwatchError> {
    read(bytes, &Options::default())
}

fn shows(bytes: &[u8]) -> Result<Reading, SwatchError> {
    let options = Options {
        scale: Scale::Shows(W as f64 * 0.127),
        crop: None,
    };
    read(bytes, &options)
}

#[track_caller]
fn refused(got: Result<Reading, SwatchError>, is: fn(&SwatchError) -> bool) {
    let fault = got.expect_err("it is at fault");
    assert!(is(&fault), "{fault:?}");
    assert!(!fault.to_string().is_empty() && fault.help().len() > 10);
}

#[track_caller]
fn right(got: Result<Reading, SwatchError>) -> Reading {
    let reading = got.expect("it can be read");
    assert_eq!(reading.bands.len(), 3, "{reading:?}");
    assert!(
        (reading.repeat_mm.value - 48.0 * 0.127).abs() < 0.02,
        "{reading:?}"
    );
    reading
}

#[test]
fn the_picture_without_fault_is_read() {
    assert!(right(of(&good())).upright);
}

#[test]
fn an_empty_file() {
    refused(of(&[]), |e| *e == SwatchError::NotAPicture);
}

#[test]
fn a_text_that_is_called_a_picture() {
    refused(of(b"title = \"Harbour\"\n"), |e| {
        *e == SwatchError::NotAPicture
    });
}

#[test]
fn pictures_of_other_kinds_are_named() {
    refused(of(b"GIF89a\x01\0\x01\0"), |e| {
        *e == SwatchError::OtherFormat("GIF")
    });
    refused(of(b"\0\0\0\x18ftypheic\0\0\0\0"), |e| {
        *e == SwatchError::OtherFormat("HEIC")
    });
    refused(of(b"%PDF-1.7"), |e| *e == SwatchError::OtherFormat("PDF"));
}

#[test]
fn one_pixel() {
    let file = png(&[1, 2, 3], 1, 1, ExtendedColorType::Rgb8);
    refused(shows(&file), |e| matches!(e, SwatchError::TooSmall { .. }));
}

#[test]
fn one_row_of_pixels() {
    let file = png(&vec![9; 4000 * 3], 4000, 1, ExtendedColorType::Rgb8);
    refused(shows(&file), |e| matches!(e, SwatchError::TooSmall { .. }));
}

#[test]
fn cut_off_in_its_middle() {
    let file = good();
    refused(of(&file[..file.len() / 2]), |e| {
        *e == SwatchError::Truncated
    });
    let file = png(&pixels(), W as u32, H as u32, ExtendedColorType::Rgb8);
    refused(shows(&file[..file.len() / 2]), |e| {
        matches!(e, SwatchError::Truncated | SwatchError::Broken(_))
    });
}

#[test]
fn cut_off_before_its_last_two_bytes() {
    let file = good();
    refused(of(&file[..file.len() - 2]), |e| {
        *e == SwatchError::Truncated
    });
}

#[test]
fn headers_without_a_picture() {
    let file = good();
    let scan = file
        .windows(2)
        .position(|pair| pair == [0xff, 0xda])
        .unwrap();
    let mut bare = file[..scan].to_vec();
    bare.extend([0xff, 0xd9]);
    refused(of(&bare), |e| *e == SwatchError::NoPictureData);
}

/// 400 million pixels in a file of a few kilobytes: refused before anything is unpacked.
#[test]
fn a_small_file_that_claims_a_huge_picture() {
    let mut file = good();
    let at = file
        .windows(2)
        .position(|pair| pair == [0xff, 0xc0])
        .unwrap();
    file[at + 5..at + 9].copy_from_slice(&[0x4e, 0x20, 0x4e, 0x20]);
    refused(of(&file), |e| {
        matches!(
            e,
            SwatchError::TooManyPixels {
                width: 20_000,
                height: 20_000
            }
        )
    });
}

/// 200 million black pixels pack into 200 kB of PNG.
#[test]
fn a_bomb_of_black_pixels() {
    let mut file = png(&[0; 3 * 64], 8, 8, ExtendedColorType::Rgb8);
    file[16..24].copy_from_slice(&[0, 0, 0x4e, 0x20, 0, 0, 0x27, 0x10]);
    let sum = crc(&file[12..29]);
    file[29..33].copy_from_slice(&sum.to_be_bytes());
    refused(shows(&file), |e| {
        matches!(e, SwatchError::TooManyPixels { .. })
    });
}

/// The check sum of PNG chunks (PNG specification, annex D).
fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0u32, |crc, &byte| {
        (0..8).fold(crc ^ u32::from(byte), |c, _| {
            if c & 1 == 1 {
                0xedb8_8320 ^ (c >> 1)
            } else {
                c >> 1
            }
        })
    })
}

#[test]
fn printers_colours() {
    let mut file = good();
    let at = file
        .windows(2)
        .position(|pair| pair == [0xff, 0xc0])
        .unwrap();
    // Four components where three were: the frame header says so, before all else fails.
    file[at + 9] = 4;
    let length = u16::from_be_bytes([file[at + 2], file[at + 3]]) + 3;
    file[at + 2..at + 4].copy_from_slice(&length.to_be_bytes());
    let end = at + 2 + usize::from(length) - 3;
    file.splice(end..end, [4, 0x11, 0]);
    refused(of(&file), |e| *e == SwatchError::Cmyk);
}

#[test]
fn sixteen_bits_are_read() {
    let deep: Vec<u8> = pixels().iter().flat_map(|&p| [p, p]).collect();
    let file = png(&deep, W as u32, H as u32, ExtendedColorType::Rgb16);
    right(shows(&file));
}

#[test]
fn solid_pixels_with_alpha_are_read_and_clear_ones_refused() {
    let with = |alpha: fn(usize) -> u8| {
        let rgba: Vec<u8> = pixels()
            .chunks_exact(3)
            .enumerate()
            .flat_map(|(i, p)| [p[0], p[1], p[2], alpha(i)])
            .collect();
        png(&rgba, W as u32, H as u32, ExtendedColorType::Rgba8)
    };
    right(shows(&with(|_| 255)));
    let clear = with(|i| if i % 10 == 0 { 0 } else { 255 });
    refused(shows(&clear), |e| {
        matches!(e, SwatchError::Transparent { .. })
    });
}

#[test]
fn tiff_and_webp_are_read() {
    let mut file = Cursor::new(vec![]);
    let rgb = ExtendedColorType::Rgb8;
    let tiff = TiffEncoder::new(&mut file);
    tiff.write_image(&pixels(), W as u32, H as u32, rgb)
        .unwrap();
    right(shows(file.get_ref()));
    let mut file = vec![];
    let webp = WebPEncoder::new_lossless(&mut file);
    webp.write_image(&pixels(), W as u32, H as u32, rgb)
        .unwrap();
    right(shows(&file));
}

#[test]
fn a_picture_that_is_stored_lying_on_its_side() {
    assert!(!right(of(&with_segment(0xe1, &exif(6, false)))).upright);
}

#[test]
fn a_photograph_has_no_scale_of_its_own() {
    let file = with_segment(0xe1, &exif(1, true));
    refused(of(&file), |e| matches!(e, SwatchError::NoScale(_)));
    right(shows(&file));
}

#[test]
fn a_resolution_that_nobody_measured() {
    let file = jpeg(&pixels(), W, H, 85, 72);
    refused(of(&file), |e| matches!(e, SwatchError::NoScale(_)));
    let file = png(&pixels(), W as u32, H as u32, ExtendedColorType::Rgb8);
    refused(of(&file), |e| matches!(e, SwatchError::NoScale(_)));
}

#[test]
fn pixels_that_are_not_square() {
    let mut file = good();
    let at = file
        .windows(5)
        .position(|bytes| bytes == b"JFIF\0")
        .unwrap();
    file[at + 10..at + 12].copy_from_slice(&100u16.to_be_bytes());
    refused(of(&file), |e| matches!(e, SwatchError::BadScale(_)));
}

#[test]
fn noise_and_one_colour_are_no_stripes() {
    let mut rng = Rng::new(5);
    let noise: Vec<u8> = (0..W * H * 3).map(|_| rng.whole(0, 255) as u8).collect();
    refused(of(&jpeg(&noise, W, H, 90, 200)), |e| {
        *e == SwatchError::NoStripes
    });
    let grey = vec![128; W * H * 3];
    refused(of(&jpeg(&grey, W, H, 90, 200)), |e| {
        *e == SwatchError::NoStripes
    });
}

#[test]
fn a_gradient_is_no_stripe() {
    let ramp: Vec<u8> = (0..W * H * 3)
        .map(|i| (i / 3 % W * 255 / W) as u8)
        .collect();
    refused(of(&jpeg(&ramp, W, H, 90, 200)), |e| {
        matches!(e, SwatchError::NoStripes | SwatchError::FewRepeats { .. })
    });
}

#[test]
fn a_crop_beyond_the_picture() {
    for (left, width) in [(300, 100), (usize::MAX, 2), (0, 10)] {
        let crop = Some(Crop {
            left,
            top: 0,
            width,
            height: 100,
        });
        let options = Options {
            crop,
            ..Options::default()
        };
        refused(read(&good(), &options), |e| {
            matches!(e, SwatchError::Crop { .. } | SwatchError::TooSmall { .. })
        });
    }
}

#[test]
fn scales_that_cannot_be() {
    for scale in [
        Scale::Shows(0.0),
        Scale::Shows(f64::NAN),
        Scale::Shows(1e12),
        Scale::Points {
            from: [5.0, 5.0],
            to: [5.0, 6.0],
            apart_mm: 10.0,
        },
        // Beyond the picture, and nowhere.
        Scale::Points {
            from: [0.0, 0.0],
            to: [99_999.0, 99_999.0],
            apart_mm: 80.0,
        },
        Scale::Points {
            from: [0.0, f64::NAN],
            to: [50.0, 50.0],
            apart_mm: 80.0,
        },
    ] {
        let options = Options { scale, crop: None };
        refused(read(&good(), &options), |e| {
            matches!(e, SwatchError::BadScale(_))
        });
    }
}
