//! Showing: fractions to 1/16, yards to 1/8 or 1/3, metric with few decimals.

use super::{INCH_MM, Unit, YARD_MM};

/// A length this near to what is shown is shown exactly (mm): a thousandth of a
/// millimetre is noise of arithmetic, not a difference.
const EXACT_TOL_MM: f64 = 1e-3;

pub(super) fn nearest(mm: f64, unit: Unit) -> String {
    let grains = nearest_grains(mm, unit);
    if grains == 0 && mm.abs() > EXACT_TOL_MM {
        return format!("less than {}", with_unit(1, unit));
    }
    let about = if (mm - grains as f64 * grain_mm(unit)).abs() > EXACT_TOL_MM {
        "about "
    } else {
        ""
    };
    format!("{about}{}", with_unit(grains, unit))
}

pub(super) fn figure(mm: f64, unit: Unit) -> String {
    written(nearest_grains(mm, unit), unit)
}

/// A ruler shows millimetres, and nobody marks fabric more finely than that.
pub(super) fn place(mm: f64, unit: Unit) -> String {
    match unit {
        Unit::Inch => figure(mm, unit),
        Unit::Centimetre | Unit::Millimetre => figure(mm.round(), unit),
    }
}

pub(super) fn up(mm: f64, unit: Unit) -> String {
    nearest(up_mm(mm, unit), unit)
}

/// To the next sixteenth of an inch, or whole millimetre: shops and rulers know no less.
pub(super) fn up_mm(mm: f64, unit: Unit) -> f64 {
    let step = match unit {
        Unit::Inch => grain_mm(unit),
        Unit::Centimetre | Unit::Millimetre => 1.0,
    };
    ((mm - EXACT_TOL_MM) / step).ceil() * step
}

pub(super) fn to_buy(mm: f64, unit: Unit) -> String {
    if unit != Unit::Inch {
        return format!("{} m", decimals(mm / 1000.0, 3));
    }
    for parts in [8, 3] {
        let count = (mm * f64::from(parts) / YARD_MM).round();
        if (mm - count * YARD_MM / f64::from(parts)).abs() < EXACT_TOL_MM {
            return format!("{} yd", mixed(count as i64, i64::from(parts)));
        }
    }
    up(mm, unit)
}

/// In inches and in centimetres, the unit that was asked for first: `12 1/2 in (31.8 cm)`.
pub(super) fn both(mm: f64, unit: Unit) -> String {
    let inches = with_unit(nearest_grains(mm, Unit::Inch), Unit::Inch);
    let metric = format!("{} cm", decimals(mm.round() / 10.0, 1));
    match unit {
        Unit::Inch => format!("{inches} ({metric})"),
        Unit::Centimetre | Unit::Millimetre => format!("{metric} ({inches})"),
    }
}

/// The same, each rounded up as [`up_mm`] does.
pub(super) fn both_up(mm: f64, unit: Unit) -> String {
    let inches = with_unit(
        nearest_grains(up_mm(mm, Unit::Inch), Unit::Inch),
        Unit::Inch,
    );
    let metric = format!("{} cm", decimals(up_mm(mm, Unit::Centimetre) / 10.0, 1));
    match unit {
        Unit::Inch => format!("{inches} ({metric})"),
        Unit::Centimetre | Unit::Millimetre => format!("{metric} ({inches})"),
    }
}

/// The least step shown (mm).
fn grain_mm(unit: Unit) -> f64 {
    match unit {
        Unit::Inch => INCH_MM / 16.0,
        Unit::Centimetre | Unit::Millimetre => 0.1,
    }
}

fn nearest_grains(mm: f64, unit: Unit) -> i64 {
    (mm / grain_mm(unit)).round() as i64
}

/// A count of such steps in the unit. A whole number has no sign where it is zero.
fn written(grains: i64, unit: Unit) -> String {
    match unit {
        Unit::Inch => mixed(grains, 16),
        Unit::Centimetre => decimals(grains as f64 / 100.0, 2),
        Unit::Millimetre => decimals(grains as f64 / 10.0, 1),
    }
}

fn with_unit(grains: i64, unit: Unit) -> String {
    format!("{} {}", written(grains, unit), unit.sign())
}

/// `n / parts` as a whole number and a fraction in lowest terms: `12 1/2`.
fn mixed(n: i64, parts: i64) -> String {
    let sign = if n < 0 { "-" } else { "" };
    let (whole, mut above) = (n.abs() / parts, n.abs() % parts);
    let mut below = parts;
    while above % 2 == 0 && below % 2 == 0 && above > 0 {
        above /= 2;
        below /= 2;
    }
    match (whole, above) {
        (_, 0) => format!("{sign}{whole}"),
        (0, _) => format!("{sign}{above}/{below}"),
        _ => format!("{sign}{whole} {above}/{below}"),
    }
}

/// With at most so many decimals, none of them an idle zero.
fn decimals(value: f64, most: usize) -> String {
    let text = format!("{value:.most$}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::length::Length;

    #[test]
    fn inches_are_fractions() {
        let shown = |inches: f64| Length::from_inches(inches).shown(Unit::Inch);
        assert_eq!(shown(12.5), "12 1/2 in");
        assert_eq!(shown(0.1875), "3/16 in");
        assert_eq!(shown(42.0), "42 in");
        assert_eq!(shown(0.0), "0 in");
        assert_eq!(shown(-0.75), "-3/4 in");
        assert_eq!(shown(12.51), "about 12 1/2 in");
        assert_eq!(shown(0.01), "less than 1/16 in");
        assert_eq!(shown(15.999), "about 16 in");
    }

    #[test]
    fn what_must_suffice_is_never_less() {
        assert_eq!(
            Length::from_inches(12.51).shown_up(Unit::Inch),
            "12 9/16 in"
        );
        assert_eq!(Length::from_inches(12.5).shown_up(Unit::Inch), "12 1/2 in");
        assert_eq!(Length::from_mm(100.01).shown_up(Unit::Millimetre), "101 mm");
    }

    #[test]
    fn metric_has_few_decimals() {
        assert_eq!(Length::from_mm(317.5).shown(Unit::Centimetre), "31.75 cm");
        assert_eq!(Length::from_mm(318.0).shown(Unit::Millimetre), "318 mm");
        assert_eq!(
            Length::from_mm(4.7625).shown(Unit::Millimetre),
            "about 4.8 mm"
        );
    }

    #[test]
    fn places_are_read_off_a_ruler() {
        let place = |mm: f64, unit| Length::from_mm(mm).place(unit);
        assert_eq!(place(317.44, Unit::Centimetre), "31.7");
        assert_eq!(place(317.5, Unit::Millimetre), "318");
        assert_eq!(place(-0.2, Unit::Centimetre), "0");
        assert_eq!(place(12.51 * INCH_MM, Unit::Inch), "12 1/2");
    }

    /// Rounding to 1/16 in is off by 1/32 in (0.79 mm) at most, to a millimetre by 0.5 mm: the two
    /// are never more than 1/16 in apart, rounded up neither is short.
    #[test]
    fn two_measures_agree() {
        let read = |text: &str| -> [f64; 2] {
            let (inches, metric) = text.trim_end_matches(')').split_once(" (").unwrap();
            [inches, metric].map(|one| Length::read(one, Unit::Inch).unwrap().to_mm())
        };
        for i in 0..20_000 {
            let mm = f64::from(i) * 0.137;
            let [inches, metric] = read(&both(mm, Unit::Inch));
            assert!((inches - metric).abs() <= INCH_MM / 16.0, "{mm}");
            let [inches, metric] = read(&both_up(mm, Unit::Inch));
            assert!((inches - metric).abs() <= INCH_MM / 16.0, "{mm}");
            assert!(inches.min(metric) > mm - 2e-3, "{mm}");
        }
        // Of two millimetres as near, the larger.
        assert_eq!(both(63.5, Unit::Inch), "2 1/2 in (6.4 cm)");
        assert_eq!(both(317.5, Unit::Inch), "12 1/2 in (31.8 cm)");
        assert_eq!(both(317.5, Unit::Centimetre), "31.8 cm (12 1/2 in)");
    }

    #[test]
    fn shops_cut_yards_and_metres() {
        let buy = |mm: f64, unit| Length::from_mm(mm).shown_to_buy(unit);
        assert_eq!(buy(1485.9, Unit::Inch), "1 5/8 yd");
        assert_eq!(buy(609.6, Unit::Inch), "2/3 yd");
        assert_eq!(buy(1828.8, Unit::Inch), "2 yd");
        assert_eq!(buy(1000.0, Unit::Inch), "39 3/8 in");
        assert_eq!(buy(1200.0, Unit::Centimetre), "1.2 m");
        assert_eq!(buy(1250.0, Unit::Millimetre), "1.25 m");
    }
}
