//! How fabric is sold: by which step, at which price.

use crate::length::{INCH_MM, YARD_MM};

/// The steps in which a shop cuts fabric.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// The step's length (mm, positive): an eighth of a yard, ten centimetres.
    pub length_mm: f64,
}

/// How a fabric is sold.
#[derive(Debug, Clone, PartialEq)]
pub struct Sale {
    /// Price of one `per_mm` of length, at the full width; in the project's money.
    pub price: Option<f64>,
    /// The length that the price is for (mm): a yard or a metre.
    pub per_mm: f64,
    /// The step in which it is cut.
    pub step: Step,
    /// What is cut off to square the fabric up before anything else (mm).
    pub squaring_mm: f64,
    /// Expected shrinkage along the length, washed before cutting (0.03 is 3 %).
    pub shrinkage: f64,
}

impl Sale {
    /// How fabric is sold where the maker says nothing: by the 1/8 yd or 10 cm, priced by the
    /// yard or metre, 2 in or 5 cm lost to squaring up. One rule, with a price or without.
    ///
    /// # Source
    /// Rows F-08 and Y-03 of the trade facts.
    pub fn default(is_imperial: bool) -> Self {
        let (per_mm, step_mm, squaring_mm) = if is_imperial {
            (YARD_MM, YARD_MM / 8.0, 2.0 * INCH_MM)
        } else {
            (1000.0, 100.0, 50.0)
        };
        Self {
            price: None,
            per_mm,
            step: Step { length_mm: step_mm },
            squaring_mm,
            shrinkage: 0.0,
        }
    }

    /// The length to ask for in the shop when `used_mm` are needed (mm).
    ///
    /// `ceil((used / (1 - shrinkage) + squaring) / step) * step`; a hair of 1e-6 mm
    /// over a step does not cost another one.
    ///
    /// # Source
    /// Dimensional change as in ISO 5077; common practice for the rest, no source.
    pub fn length_to_buy_mm(&self, used_mm: f64) -> f64 {
        let needed = used_mm / (1.0 - self.shrinkage) + self.squaring_mm;
        let steps = ((needed - 1e-6) / self.step.length_mm).ceil().max(0.0);
        steps * self.step.length_mm
    }

    /// What is left at the full width of `bought_mm` when `used_mm` are cut from it (mm).
    pub fn left_mm(&self, bought_mm: f64, used_mm: f64) -> f64 {
        ((bought_mm - self.squaring_mm) * (1.0 - self.shrinkage) - used_mm).max(0.0)
    }

    /// The price of a length, where one is known: see [`price_of`].
    pub fn price_of(&self, length_mm: f64) -> Option<f64> {
        self.price
            .map(|price| price_of(price, length_mm, self.per_mm))
    }
}

/// What a length costs at `price` for `per_mm`, to the hundredth; half a hundredth is rounded
/// up, always.
///
/// Reckoned in whole numbers, billionths of the money and nanometres: a binary fraction of
/// 2.675 is a little less than that, and would be rounded down where 2.125 is rounded up.
pub fn price_of(price: f64, length_mm: f64, per_mm: f64) -> f64 {
    let billionths = (price * 1e9).round() as i128;
    let nanometres = |mm: f64| (mm * 1e6).round() as i128;
    // Above: hundredths times `below`.
    let above = billionths * nanometres(length_mm) * 100;
    let below = 1_000_000_000 * nanometres(per_mm).max(1);
    let hundredths = (2 * above + below).div_euclid(2 * below);
    hundredths as f64 / 100.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sale(shrinkage: f64, squaring_mm: f64) -> Sale {
        Sale {
            price: Some(12.0),
            per_mm: 914.4,
            step: Step { length_mm: 114.3 },
            squaring_mm,
            shrinkage,
        }
    }

    // L-01 continued: 22.5 in is 5/8 yd, 15 in is 1/2 yd when rounded up to 1/8.
    #[test]
    fn rounds_up_to_the_step() {
        assert!((sale(0.0, 0.0).length_to_buy_mm(22.5 * 25.4) - 571.5).abs() < 1e-9);
        assert!((sale(0.0, 0.0).length_to_buy_mm(15.0 * 25.4) - 457.2).abs() < 1e-9);
        assert_eq!(sale(0.0, 0.0).price_of(457.2), Some(6.0));
    }

    // 22.5 in used of 5/8 yd leaves nothing; of 1 yd with 2 in to square up and 3 % lost
    // (36 - 2) x 0.97 - 22.5 = 10.48 in.
    #[test]
    fn tells_what_is_left() {
        assert_eq!(sale(0.0, 0.0).left_mm(571.5, 571.5), 0.0);
        let left = sale(0.03, 50.8).left_mm(914.4, 571.5) / 25.4;
        assert!((left - 10.48).abs() < 1e-9, "{left}");
    }

    // 5.35 for a yard is 2.675 for half of it: 2.68; 4.25 is 2.125: 2.13. By long division.
    // In binary, 2.675 x 100 is 267.49999999999997.
    #[test]
    fn half_a_cent_is_always_rounded_up() {
        for cents in 0..2000 {
            let price = f64::from(cents) / 100.0;
            let half = price_of(price, 457.2, 914.4);
            assert_eq!(half, f64::from((cents + 1) / 2) / 100.0, "{price}");
            let eighth = price_of(price, 114.3, 914.4);
            assert_eq!(eighth, f64::from((cents + 4) / 8) / 100.0, "{price}");
            let third = price_of(price, 304.8, 914.4);
            assert_eq!(third, f64::from((cents + 1) / 3) / 100.0, "{price}");
        }
        assert_eq!(price_of(5.35, 457.2, 914.4), 2.68);
        assert_eq!(price_of(8.9, 571.5, 914.4), 5.56);
        assert_eq!(price_of(10.05, 100.0, 1000.0), 1.01);
    }

    // F-18: needed 54 in at 3 % is 55.670 in (computed).
    #[test]
    fn allows_for_shrinkage_first() {
        let mut by_hair = sale(0.03, 0.0);
        by_hair.step.length_mm = 0.001;
        assert!((by_hair.length_to_buy_mm(54.0 * 25.4) / 25.4 - 55.670).abs() < 1e-3);
    }
}
