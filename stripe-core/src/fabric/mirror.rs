//! Mirror lines of a stripe, found from its bands.

use super::Stripe;
use crate::num::{nearest_multiple_gap, wrap};

impl Stripe {
    /// Every phase about which the stripe reads the same to both sides, in
    /// `[0, repeat)`, ascending (mm). Empty for an unbalanced stripe.
    ///
    /// A stripe with one mirror line has another half a repeat on. Neighbouring
    /// bands of one colour are one band here, since nobody sees their border; a
    /// stripe of one colour throughout has its first phase as mirror line.
    ///
    /// **Method** a mirror line maps borders onto borders, so it lies in the middle
    /// of a seen band; each of these is tried.
    pub fn mirror_lines(&self) -> Vec<f64> {
        let repeat = self.repeat_mm();
        let borders = self.seen_borders();
        if borders.is_empty() {
            return vec![0.0];
        }
        let mut lines: Vec<f64> = (0..borders.len())
            .map(|i| {
                let next = if i + 1 < borders.len() {
                    borders[i + 1]
                } else {
                    borders[0] + repeat
                };
                wrap((borders[i] + next) / 2.0, repeat)
            })
            .filter(|&line| self.is_mirror_line(line, &borders))
            .collect();
        lines.sort_by(f64::total_cmp);
        lines
    }

    /// Whether the stripe has a mirror line: what the trade calls balanced.
    pub fn is_balanced(&self) -> bool {
        !self.mirror_lines().is_empty()
    }

    /// Phases at which the colour changes, ascending.
    fn seen_borders(&self) -> Vec<f64> {
        let bands = self.bands();
        let mut at = 0.0;
        let mut borders = vec![];
        for (i, band) in bands.iter().enumerate() {
            let before = &bands[(i + bands.len() - 1) % bands.len()];
            if before.colour != band.colour {
                borders.push(at);
            }
            at += band.width_mm;
        }
        borders
    }

    fn is_mirror_line(&self, line: f64, borders: &[f64]) -> bool {
        // A hundredth of a millimetre: finer than any loom.
        const BORDER_TOL_MM: f64 = 0.01;
        let repeat = self.repeat_mm();
        borders.iter().all(|&border| {
            let image = 2.0 * line - border;
            borders.iter().any(|&other| {
                let met = nearest_multiple_gap(image - other, repeat).abs() <= BORDER_TOL_MM;
                // Just after a border is what, mirrored, stands just before its image.
                met && self.colour_at(border + BORDER_TOL_MM)
                    == self.colour_at(image - 2.0 * BORDER_TOL_MM)
            })
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::fabric::sample::grey_stripe as stripe;
    #[test]
    fn balanced_stripes_have_two_lines_half_a_repeat_apart() {
        let lines = stripe(&[(10.0, 0), (4.0, 9), (6.0, 20), (4.0, 9)]).mirror_lines();
        assert_eq!(lines.len(), 2);
        assert!((lines[0] - 5.0).abs() < 1e-9 && (lines[1] - 17.0).abs() < 1e-9);
    }

    #[test]
    fn any_two_bands_are_balanced_three_different_ones_are_not() {
        assert_eq!(stripe(&[(10.0, 0), (3.0, 9)]).mirror_lines(), [5.0, 11.5]);
        // A pinstripe too: what is compared lies closer to a border than the next one.
        assert_eq!(stripe(&[(10.0, 0), (1.0, 9)]).mirror_lines(), [5.0, 10.5]);
        assert!(!stripe(&[(10.0, 0), (3.0, 9), (5.0, 20)]).is_balanced());
        assert!(!stripe(&[(10.0, 0), (4.0, 9), (6.0, 20), (5.0, 9)]).is_balanced());
    }

    #[test]
    fn bands_of_one_colour_are_seen_as_one() {
        assert_eq!(
            stripe(&[(4.0, 0), (3.0, 9), (6.0, 0)]).mirror_lines(),
            [5.5, 12.0]
        );
        assert_eq!(stripe(&[(4.0, 7), (3.0, 7)]).mirror_lines(), [0.0]);
    }

    #[test]
    fn a_line_beside_the_origin_is_found() {
        let lines = stripe(&[(2.0, 0), (3.0, 9), (4.0, 20), (3.0, 9), (2.0, 0)]).mirror_lines();
        assert_eq!(lines, [0.0, 7.0]);
    }
}
