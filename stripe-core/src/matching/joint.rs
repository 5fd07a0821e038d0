//! Joints: by how much stripes miss each other where two pieces meet.

use crate::fabric::Stripe;
use crate::num::nearest_multiple_gap;

/// Two colours further apart than this (CIEDE2000) count as different.
///
/// About 1 is just noticed side by side and 2 to 3 pass as a match (common practice,
/// no source).
pub const DIFFERENT: f64 = 2.0;

/// The phases that one piece shows along a joint, from its inner to its outer end,
/// not wrapped: linear in between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PhaseRun(pub [f64; 2]);

impl Meeting {
    /// Whether anybody can see that the stripes miss: a step of more than `allowed_mm`, and
    /// colours that differ somewhere along the joint. A joint that runs within one band may
    /// have a step that nothing shows.
    pub fn is_seen(&self, allowed_mm: f64) -> bool {
        self.step_mm > allowed_mm && self.mismatch > 0.0
    }
}

impl PhaseRun {
    fn at(self, t: f64) -> f64 {
        self.0[0] + (self.0[1] - self.0[0]) * t
    }
}

/// How well two pieces meet.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Meeting {
    /// The most by which a stripe misses itself, across the stripe (mm).
    pub step_mm: f64,
    /// The share of the joint, 0 to 1, on which colours differ.
    pub mismatch: f64,
}

/// From how far a step is readily noticed (mm): where it spans one minute of arc.
///
/// Not a distance beyond which nobody sees it: a broken stripe is an alignment task, and
/// the eye finds misalignment of 3 to 12 seconds of arc.
///
/// # Source
/// One minute of arc is ordinary 20/20 resolution (0.291 mm at 1 m); alignment:
/// Westheimer, Invest. Ophthalmol. Vis. Sci. 14 (1975), 570-572, as cited.
pub fn noticed_within_mm(step_mm: f64) -> f64 {
    step_mm / (1.0_f64 / 60.0).to_radians().tan()
}

/// From how far a step is noticed, in words: to a tenth of a metre, no nearer than the eye
/// focuses with ease, and no further than across a room, since what breaks the line of
/// sight is then the wall and not the eye.
///
/// # Source
/// 250 mm is the conventional least distance of distinct vision, to which the power of
/// magnifiers is referred. 5 m for a room: common practice, no source.
pub fn noticed_words(step_mm: f64) -> String {
    const NEAR_MM: f64 = 250.0;
    const ROOM_MM: f64 = 5000.0;
    let within_mm = noticed_within_mm(step_mm);
    if within_mm > ROOM_MM {
        "readily noticed across a room".to_owned()
    } else if within_mm < NEAR_MM {
        "noticed close up only".to_owned()
    } else {
        format!(
            "readily noticed within {:.1} m, and as a broken line from further",
            within_mm / 1000.0
        )
    }
}

/// Whether any two bands of a stripe have colours that differ: where none do, nobody sees
/// how they meet.
pub fn has_contrast(stripe: &Stripe) -> bool {
    let bands = stripe.bands();
    bands.iter().enumerate().any(|(i, a)| {
        let others = &bands[i + 1..];
        others
            .iter()
            .any(|b| a.colour.difference(b.colour) > DIFFERENT)
    })
}

/// A share of a joint in whole per cent; what is more than nothing is never said to be.
pub fn share_words(share: f64) -> String {
    let percent = 100.0 * share;
    if share > 0.0 && percent < 0.5 {
        "less than 1 %".to_owned()
    } else {
        format!("{percent:.0} %")
    }
}

/// How the stripes of two pieces meet along their joint.
///
/// The step is the smallest, over the stripe's own symmetries (whole repeats, and
/// reflections about its mirror lines), of the largest distance between the phases
/// along the joint. The mismatch is the share of the joint on which colours differ by
/// more than [`DIFFERENT`] wherever within `match_mm` one looks.
pub fn meet(stripe: &Stripe, a: PhaseRun, b: PhaseRun, stripe_tolerance_mm: f64) -> Meeting {
    let repeat = stripe.repeat_mm();
    let reflected = stripe.mirror_lines();
    let images = std::iter::once(b).chain(
        reflected
            .iter()
            .map(|line| PhaseRun(b.0.map(|phase| 2.0 * line - phase))),
    );
    let step_mm = images
        .map(|image| widest_gap(a, image, repeat))
        .fold(f64::INFINITY, f64::min);
    Meeting {
        step_mm,
        mismatch: mismatch(stripe, a, b, stripe_tolerance_mm),
    }
}

/// The largest distance between two phases along a joint, modulo the repeat.
fn widest_gap(a: PhaseRun, b: PhaseRun, repeat: f64) -> f64 {
    let start = nearest_multiple_gap(a.0[0] - b.0[0], repeat);
    let end = start + (a.0[1] - b.0[1]) - (a.0[0] - b.0[0]);
    // Linear in between: half a repeat is as far as anything can be.
    start.abs().max(end.abs()).min(repeat / 2.0)
}

/// The share of the joint on which colours differ.
fn mismatch(stripe: &Stripe, a: PhaseRun, b: PhaseRun, stripe_tolerance_mm: f64) -> f64 {
    const LOOKS: usize = 512;
    let shades: Vec<[f64; 3]> = stripe
        .bands()
        .iter()
        .map(|band| band.colour.to_lab())
        .collect();
    let differ: Vec<Vec<bool>> = shades
        .iter()
        .map(|&x| {
            shades
                .iter()
                .map(|&y| crate::colour::ciede2000(x, y) > DIFFERENT)
                .collect()
        })
        .collect();
    // A border that meets to a thousandth of a millimetre meets.
    let slack = stripe_tolerance_mm.max(1e-3);
    let within = |phase: f64| bands_within(stripe, phase, slack);
    let missed = (0..LOOKS)
        .filter(|&i| {
            let t = (i as f64 + 0.5) / LOOKS as f64;
            let (p, q) = (a.at(t), b.at(t));
            let (at_p, at_q) = (stripe.band_at(p), stripe.band_at(q));
            let met = !differ[at_p][at_q]
                || within(p).iter().any(|&band| !differ[band][at_q])
                || within(q).iter().any(|&band| !differ[at_p][band]);
            !met
        })
        .count();
    missed as f64 / LOOKS as f64
}

/// The bands that lie within `slack` of a phase.
fn bands_within(stripe: &Stripe, phase: f64, slack: f64) -> Vec<usize> {
    let count = stripe.bands().len();
    let last = stripe.band_at(phase + slack);
    let mut band = stripe.band_at(phase - slack);
    let mut found = vec![band];
    if slack * 2.0 >= stripe.repeat_mm() {
        return (0..count).collect();
    }
    while band != last {
        band = (band + 1) % count;
        found.push(band);
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fabric::sample::grey_stripe as stripe;
    #[test]
    fn equal_phases_meet_and_a_shift_is_the_step() {
        let s = stripe(&[(10.0, 0), (20.0, 100), (30.0, 200)]);
        let a = PhaseRun([3.0, 63.0]);
        assert_eq!(
            meet(&s, a, PhaseRun([63.0, 123.0]), 0.0),
            Meeting::default()
        );
        let off = meet(&s, a, PhaseRun([4.0, 64.0]), 0.0);
        assert!((off.step_mm - 1.0).abs() < 1e-9);
        // Three borders of the repeat miss by 1 mm each over a run of 60 mm.
        assert!(
            (off.mismatch - 3.0 / 60.0).abs() < 0.005,
            "{}",
            off.mismatch
        );
        assert_eq!(meet(&s, a, PhaseRun([4.0, 64.0]), 1.01).mismatch, 0.0);
    }

    // P-30 to P-33, computed: one minute of arc at 0.4, 1, 2 and 3 m.
    #[test]
    fn one_minute_of_arc() {
        for (step, metres) in [(0.116, 0.4), (0.291, 1.0), (0.582, 2.0), (0.873, 3.0)] {
            let got = noticed_within_mm(step) / 1000.0;
            assert!((got - metres).abs() < 0.005 * metres, "{step}: {got}");
        }
        // 1/32 in subtends 1 minute at 2.73 m, 1/16 in at 5.46 m.
        assert!((noticed_within_mm(25.4 / 32.0) - 2730.0).abs() < 5.0);
        assert!((noticed_within_mm(25.4 / 16.0) - 5460.0).abs() < 5.0);
    }

    // One minute of arc at 250 mm is 0.0727 mm, at 5 m 1.4544 mm.
    #[test]
    fn the_words_change_at_their_distances() {
        for (step, said) in [
            (0.072, "noticed close up only"),
            (
                0.074,
                "readily noticed within 0.3 m, and as a broken line from further",
            ),
            (
                25.4 / 32.0,
                "readily noticed within 2.7 m, and as a broken line from further",
            ),
            (
                1.454,
                "readily noticed within 5.0 m, and as a broken line from further",
            ),
            (1.455, "readily noticed across a room"),
            (41.3, "readily noticed across a room"),
        ] {
            assert_eq!(noticed_words(step), said, "{step}");
        }
    }

    // A step of a millimetre in a stripe whose colours are one to the eye.
    #[test]
    fn nothing_is_seen_where_colours_do_not_differ() {
        let alike = stripe(&[(10.0, 100), (20.0, 101), (30.0, 100)]);
        assert!(!has_contrast(&alike));
        let met = meet(&alike, PhaseRun([3.0, 63.0]), PhaseRun([4.0, 64.0]), 0.0);
        assert!(
            (met.step_mm - 1.0).abs() < 1e-9 && !met.is_seen(0.01),
            "{met:?}"
        );
        let other = stripe(&[(10.0, 100), (20.0, 140), (30.0, 100)]);
        assert!(has_contrast(&other));
        let met = meet(&other, PhaseRun([3.0, 63.0]), PhaseRun([4.0, 64.0]), 0.0);
        assert!(met.is_seen(0.99) && !met.is_seen(1.01), "{met:?}");
    }

    #[test]
    fn a_mirror_line_makes_opposite_runs_meet() {
        let balanced = stripe(&[(10.0, 0), (4.0, 100), (6.0, 200), (4.0, 100)]);
        let met = meet(
            &balanced,
            PhaseRun([5.0, 35.0]),
            PhaseRun([5.0, -25.0]),
            0.0,
        );
        assert!(met.step_mm < 1e-9 && met.mismatch == 0.0);
        let unbalanced = stripe(&[(10.0, 0), (4.0, 100), (6.0, 200)]);
        let missed = meet(
            &unbalanced,
            PhaseRun([5.0, 35.0]),
            PhaseRun([5.0, -25.0]),
            0.0,
        );
        assert!((missed.step_mm - 10.0).abs() < 1e-9 && missed.mismatch > 0.3);
    }
}
