//! Whether a stripe is meant to be the same from both sides.

use crate::colour::{Colour, ciede2000};

/// A band as it was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Raw {
    pub(super) width_mm: f64,
    pub(super) colour: Colour,
}

/// Two bands of colours nearer than this are of one yarn or ink (CIEDE2000).
const ONE_COLOUR: f64 = 2.2;

/// Gives bands of nearly one colour the same: their mean by width.
pub(super) fn share_colours(bands: &mut [Raw]) {
    let count = bands.len();
    let labs: Vec<[f64; 3]> = bands.iter().map(|b| b.colour.to_lab()).collect();
    let mut group: Vec<usize> = (0..count).collect();
    for i in 0..count {
        // Held against the first of each group, so that no chain of small steps joins two
        // colours that look different.
        if let Some(first) =
            (0..i).find(|&j| group[j] == j && ciede2000(labs[i], labs[j]) < ONE_COLOUR)
        {
            group[i] = first;
        }
    }
    for first in 0..count {
        let members: Vec<usize> = (0..count).filter(|&i| group[i] == first).collect();
        if members.len() < 2 {
            continue;
        }
        let width: f64 = members.iter().map(|&i| bands[i].width_mm).sum();
        let mean = |channel: fn(Colour) -> u8| {
            let sum: f64 = members
                .iter()
                .map(|&i| bands[i].width_mm * f64::from(channel(bands[i].colour)))
                .sum();
            (sum / width).round() as u8
        };
        let colour = Colour::new(mean(|c| c.red), mean(|c| c.green), mean(|c| c.blue));
        for i in members {
            bands[i].colour = colour;
        }
    }
}

/// How many times over the bands are the same, if more than once: of one colour, and as wide to
/// within 3 % or `slack_mm`.
pub(super) fn times_over(bands: &[Raw], slack_mm: f64) -> Option<usize> {
    let count = bands.len();
    let is_same = |a: &Raw, b: &Raw| {
        let slack = slack_mm.max(0.03 * a.width_mm.max(b.width_mm));
        a.colour == b.colour && (a.width_mm - b.width_mm).abs() <= slack
    };
    (2..=count / 2).rev().find(|times| {
        let each = count / times;
        count.is_multiple_of(*times) && (each..count).all(|i| is_same(&bands[i], &bands[i - each]))
    })
}

/// If the bands read the same from both sides but for errors of measuring, makes their
/// widths equal in pairs and says so. `slack_mm` is how far a width may be wrong.
pub(super) fn balance(bands: &mut [Raw], slack_mm: f64) -> bool {
    let count = bands.len();
    // The bands mirrored about one of them (or, were there two alike side by side, a border,
    // which the reader does not let stand): band `i` falls on `2 axis - i`.
    for axis in 0..count {
        let twin = |i: usize| (2 * axis + count - i % count) % count;
        let alike = (0..count).all(|i| {
            let (a, b) = (&bands[i], &bands[twin(i)]);
            let slack = slack_mm.max(0.03 * a.width_mm.max(b.width_mm));
            a.colour == b.colour && (a.width_mm - b.width_mm).abs() <= slack
        });
        if alike {
            for i in 0..count {
                let j = twin(i);
                let mean = (bands[i].width_mm + bands[j].width_mm) / 2.0;
                bands[i].width_mm = mean;
                bands[j].width_mm = mean;
            }
            return true;
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    fn raw(widths: &[(f64, u8)]) -> Vec<Raw> {
        let band = |&(width_mm, grey)| Raw {
            width_mm,
            colour: Colour::new(grey, grey, grey),
        };
        widths.iter().map(band).collect()
    }

    #[test]
    fn small_errors_do_not_hide_a_mirror_line() {
        let mut bands = raw(&[(10.0, 0), (4.02, 90), (6.0, 200), (3.98, 91)]);
        share_colours(&mut bands);
        assert!(balance(&mut bands, 0.1));
        assert_eq!(bands[1], bands[3]);
        let mut bands = raw(&[(10.0, 0), (4.0, 90), (6.0, 200), (5.0, 90)]);
        assert!(!balance(&mut bands, 0.1));
    }
}
