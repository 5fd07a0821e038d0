//! Lengths: read as people write them, shown as people say them.
//!
//! Inside, every length is in millimetres. An inch is 25.4 mm exactly.

mod read;
mod show;

pub use read::LengthError;

use serde::{Deserialize, Serialize};

/// Millimetres in an inch.
///
/// # Source
/// International yard and pound agreement, 1959: exact.
pub const INCH_MM: f64 = 25.4;
/// Millimetres in a foot: 12 inches.
pub const FOOT_MM: f64 = 304.8;
/// Millimetres in a yard: 36 inches.
pub const YARD_MM: f64 = 914.4;

/// A unit of length that a person may write; in files `in`, `cm` or `mm`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Unit {
    /// Inches, shown as fractions to 1/16; lengths to buy in yards.
    #[default]
    #[serde(rename = "in")]
    Inch,
    /// Centimetres; lengths to buy in metres.
    #[serde(rename = "cm")]
    Centimetre,
    /// Millimetres; lengths to buy in metres.
    #[serde(rename = "mm")]
    Millimetre,
}

impl Unit {
    /// Millimetres in one of it.
    pub const fn to_mm(self) -> f64 {
        match self {
            Self::Inch => INCH_MM,
            Self::Centimetre => 10.0,
            Self::Millimetre => 1.0,
        }
    }

    /// How it is written: `in`, `cm`, `mm`.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Centimetre => "cm",
            Self::Millimetre => "mm",
        }
    }
}

/// A length; may be negative, is always finite.
///
/// ```
/// use stripe_core::length::{Length, Unit};
///
/// let strip = Length::read("12-1/2 in", Unit::Inch).unwrap();
/// assert_eq!(strip, Length::from_mm(317.5));
/// assert_eq!(strip.shown(Unit::Inch), "12 1/2 in");
/// assert_eq!(strip.shown(Unit::Centimetre), "31.75 cm");
/// assert_eq!(Length::read("1 5/8 yd", Unit::Inch).unwrap().shown_to_buy(Unit::Inch), "1 5/8 yd");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Length {
    mm: f64,
}

impl Length {
    /// No length at all.
    pub const ZERO: Self = Self { mm: 0.0 };

    /// A length in millimetres; anything that is no number becomes zero.
    pub const fn from_mm(mm: f64) -> Self {
        Self {
            mm: if mm.is_finite() { mm } else { 0.0 },
        }
    }

    /// A length in inches.
    pub const fn from_inches(inches: f64) -> Self {
        Self::from_mm(inches * INCH_MM)
    }

    /// A length in yards.
    pub const fn from_yards(yards: f64) -> Self {
        Self::from_mm(yards * YARD_MM)
    }

    /// A length of `amount` of `unit`.
    pub const fn of(amount: f64, unit: Unit) -> Self {
        Self::from_mm(amount * unit.to_mm())
    }

    /// In millimetres.
    pub const fn to_mm(self) -> f64 {
        self.mm
    }

    /// In inches.
    pub const fn to_inches(self) -> f64 {
        self.mm / INCH_MM
    }

    /// In yards.
    pub const fn to_yards(self) -> f64 {
        self.mm / YARD_MM
    }

    /// Reads a length as people write it: `12 1/2`, `12-1/2 in`, `12½"`, `12.5in`,
    /// `31.75 cm`, `1 5/8 yd`, `1 yd 4 in`. A bare number is in `bare`.
    ///
    /// # Errors
    /// See [`LengthError`]; every message says what was found and what is expected.
    pub fn read(text: &str, bare: Unit) -> Result<Self, LengthError> {
        read::read(text, bare)
    }

    /// As shown to a person: inches as fractions to 1/16, or metric. A length that
    /// is not exactly what is shown has "about" before it.
    pub fn shown(self, unit: Unit) -> String {
        show::nearest(self.mm, unit)
    }

    /// With decimals, finer than any ruler: a thousandth of an inch, a hundredth of a millimetre.
    pub fn exact(self, unit: Unit) -> String {
        match unit {
            Unit::Inch => format!("{:.3} in", self.mm / INCH_MM),
            Unit::Centimetre => format!("{:.3} cm", self.mm / 10.0),
            Unit::Millimetre => format!("{:.2} mm", self.mm),
        }
    }

    /// The number of [`Self::shown`] alone, for columns and drawings that name their unit.
    pub fn figure(self, unit: Unit) -> String {
        show::figure(self.mm, unit)
    }

    /// The number alone of a place that is measured out on fabric: to the nearest 1/16 in or
    /// whole millimetre, as finely as a ruler at the table is read.
    pub fn place(self, unit: Unit) -> String {
        show::place(self.mm, unit)
    }

    /// The least length that is shown exactly in the unit and is no shorter: what
    /// [`Self::shown_up`] says.
    pub fn up(self, unit: Unit) -> Self {
        Self::from_mm(show::up_mm(self.mm, unit))
    }

    /// The greatest length that is shown exactly in the unit and is no longer: for what must
    /// not be exceeded.
    pub fn down(self, unit: Unit) -> Self {
        Self::from_mm(-show::up_mm(-self.mm, unit))
    }

    /// What is left of it without `other`.
    pub fn minus(self, other: Self) -> Self {
        Self::from_mm(self.mm - other.mm)
    }

    /// As [`Self::shown`], never less than the length itself: for what fabric must suffice for.
    pub fn shown_up(self, unit: Unit) -> String {
        show::up(self.mm, unit)
    }

    /// In inches to 1/16 and in centimetres to a millimetre, the unit asked for first: for
    /// makers of either. The two differ by no more than 1/16 in.
    pub fn shown_both(self, unit: Unit) -> String {
        show::both(self.mm, unit)
    }

    /// The same, neither less than the length itself.
    pub fn shown_both_up(self, unit: Unit) -> String {
        show::both_up(self.mm, unit)
    }

    /// As asked for in a shop: yards with fractions, or metres.
    pub fn shown_to_buy(self, unit: Unit) -> String {
        show::to_buy(self.mm, unit)
    }
}
