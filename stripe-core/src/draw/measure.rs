//! Lengths as a maker reads them off a ruler.

use crate::length::Length;
use crate::length::Unit;

/// The number alone, rounded and written as everywhere.
pub fn number(mm: f64, unit: Unit) -> String {
    Length::from_mm(mm).figure(unit)
}

/// The number alone of a place that is measured out on fabric.
pub fn place(mm: f64, unit: Unit) -> String {
    Length::from_mm(mm).place(unit)
}

/// The number with its unit.
pub fn length(mm: f64, unit: Unit) -> String {
    format!("{} {}", number(mm, unit), unit_word(unit))
}

/// A length that there must be, with its unit: rounded up, as in every list.
pub fn length_up(mm: f64, unit: Unit) -> String {
    Length::from_mm(mm).shown_up(unit)
}

/// The unit's short name.
pub fn unit_word(unit: Unit) -> &'static str {
    match unit {
        Unit::Inch => "in",
        Unit::Centimetre => "cm",
        Unit::Millimetre => "mm",
    }
}

/// The same turn (degrees) above -180 and up to 180: the least that a piece is turned.
pub fn rotate_deg(deg: f64) -> f64 {
    let around = crate::num::wrap(deg + 180.0, 360.0) - 180.0;
    let around = if around <= -179.95 { 180.0 } else { around };
    whole_zero(around, 0.005)
}

/// A zero without a sign for what would be shown as one.
fn whole_zero(value: f64, below: f64) -> f64 {
    if value.abs() < below { 0.0 } else { value }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_like_a_ruler() {
        let inch = |inches: f64| number(inches * 25.4, Unit::Inch);
        assert_eq!(inch(12.5), "12 1/2");
        assert_eq!(inch(0.0624), "1/16");
        assert_eq!(inch(-0.01), "0");
        assert_eq!(inch(-1.75), "-1 3/4");
        assert_eq!(inch(2.99), "3");
        assert_eq!(length(-0.02, Unit::Centimetre), "0 cm");
        // As in every list: one rounding, one way of writing.
        for (mm, unit) in [
            (1060.0, Unit::Centimetre),
            (317.5, Unit::Centimetre),
            (317.5, Unit::Millimetre),
        ] {
            let listed = Length::from_mm(mm).shown(unit);
            assert_eq!(length(mm, unit), listed);
        }
        assert_eq!(length(1060.0, Unit::Centimetre), "106 cm");
    }
}
