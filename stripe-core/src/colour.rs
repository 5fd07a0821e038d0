//! Colours of bands and fabrics, and how different two of them look.

use palette::color_difference::Ciede2000;
use palette::white_point::D65;
use palette::{FromColor, Lab, LinSrgb, Srgb};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;
use std::str::FromStr;

/// An sRGB colour, written `#rrggbb`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Colour {
    /// Red, 0 to 255.
    pub red: u8,
    /// Green, 0 to 255.
    pub green: u8,
    /// Blue, 0 to 255.
    pub blue: u8,
}

/// Text that is no colour.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a colour: write it as # and six hexadecimal digits, for example \"#1d3557\"")]
pub struct ColourError(pub String);

impl Colour {
    /// A colour from its three channels.
    pub const fn new(red: u8, green: u8, blue: u8) -> Self {
        Self { red, green, blue }
    }

    /// The colour of linear light, red, green and blue in 0 to 1; what lies beyond is cut off.
    ///
    /// # Source
    /// IEC 61966-2-1:1999 for sRGB; computed by `palette`.
    pub fn from_light(light: [f64; 3]) -> Self {
        let [red, green, blue] = light.map(|l| l.clamp(0.0, 1.0));
        let srgb = Srgb::<f64>::from_linear(LinSrgb::new(red, green, blue)).into_format::<u8>();
        Self::new(srgb.red, srgb.green, srgb.blue)
    }

    /// Linear light, red, green and blue in 0 to 1.
    pub fn to_light(self) -> [f64; 3] {
        let srgb = Srgb::new(self.red, self.green, self.blue).into_format::<f64>();
        let light = srgb.into_linear();
        [light.red, light.green, light.blue]
    }

    /// CIELAB coordinates (D65 white, 2 degree observer).
    ///
    /// # Source
    /// IEC 61966-2-1:1999 for sRGB; CIE 15 for CIELAB; computed by `palette`.
    pub fn to_lab(self) -> [f64; 3] {
        let srgb = Srgb::new(self.red, self.green, self.blue).into_format::<f64>();
        let lab: Lab<D65, f64> = Lab::from_color(srgb);
        [lab.l, lab.a, lab.b]
    }

    /// How different two colours look: the CIEDE2000 difference, 0 for equal
    /// ones, about 1 for a difference just noticed side by side.
    pub fn difference(self, other: Self) -> f64 {
        ciede2000(self.to_lab(), other.to_lab())
    }

    /// Relative luminance, 0 for black to 1 for white.
    ///
    /// # Source
    /// WCAG 2.x, relative luminance.
    pub fn luminance(self) -> f64 {
        let linear = Srgb::new(self.red, self.green, self.blue)
            .into_format::<f64>()
            .into_linear();
        0.2126 * linear.red + 0.7152 * linear.green + 0.0722 * linear.blue
    }

    /// The contrast of two colours, 1 to 21 (WCAG 2.x).
    pub fn contrast(self, other: Self) -> f64 {
        let (a, b) = (self.luminance(), other.luminance());
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }
}

/// The CIEDE2000 difference of two CIELAB colours `[L, a, b]`.
///
/// # Source
/// Sharma, Wu and Dalal, "The CIEDE2000 color-difference formula", 2005;
/// computed by `palette`.
pub fn ciede2000(one: [f64; 3], other: [f64; 3]) -> f64 {
    let lab = |c: [f64; 3]| Lab::<D65, f64>::new(c[0], c[1], c[2]);
    lab(one).difference(lab(other))
}

impl FromStr for Colour {
    type Err = ColourError;

    fn from_str(text: &str) -> Result<Self, ColourError> {
        let fault = || ColourError(text.to_owned());
        let digits = text.trim().strip_prefix('#').ok_or_else(fault)?;
        if digits.len() != 6 || !digits.bytes().all(|b| b.is_ascii_hexdigit()) {
            return Err(fault());
        }
        let value = u32::from_str_radix(digits, 16).map_err(|_| fault())?;
        let [_, red, green, blue] = value.to_be_bytes();
        Ok(Self { red, green, blue })
    }
}

impl fmt::Display for Colour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "#{:02x}{:02x}{:02x}", self.red, self.green, self.blue)
    }
}

impl Serialize for Colour {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Colour {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = String::deserialize(from)?;
        text.parse().map_err(serde::de::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_what_it_writes() {
        let navy: Colour = "#1d3557".parse().unwrap();
        assert_eq!(navy, Colour::new(0x1d, 0x35, 0x57));
        assert_eq!(navy.to_string(), "#1d3557");
        for bad in ["", "1d3557", "#1d355", "#1d35570", "#+d3557", "#ééé"] {
            assert!(bad.parse::<Colour>().is_err(), "{bad}");
        }
    }

    // C-24: contrast on white, computed; blue 8.59 is printed in a book.
    #[test]
    fn contrast_on_white() {
        let white = Colour::new(255, 255, 255);
        for (grey, ratio) in [(0x76, 4.542), (0x77, 4.478), (0x59, 7.005)] {
            let got = Colour::new(grey, grey, grey).contrast(white);
            assert!((got - ratio).abs() < 1e-3, "{got}");
        }
        assert!((Colour::new(0, 0, 255).contrast(white) - 8.592).abs() < 1e-3);
    }
}
