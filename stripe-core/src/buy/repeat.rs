//! Straight pieces from fabric with a repeat: lanes across it, matched lengths along it.

/// The distance from one lane to the next when every lane must start at the same
/// point of the repeat: `r ceil(H / r)`; no repeat (0) puts lane beside lane.
pub fn lane_pitch_mm(height_mm: f64, repeat_mm: f64) -> f64 {
    if repeat_mm <= 0.0 {
        return height_mm;
    }
    repeat_mm * ((height_mm / repeat_mm) - 1e-9).ceil().max(1.0)
}

/// How many lanes of a height the width holds when the first starts at `start_mm`.
pub fn lanes(width_mm: f64, height_mm: f64, repeat_mm: f64, start_mm: f64) -> usize {
    let room = width_mm - start_mm - height_mm;
    if room < -1e-9 || height_mm <= 0.0 {
        return 0;
    }
    ((room / lane_pitch_mm(height_mm, repeat_mm)) + 1e-9).floor() as usize + 1
}

/// The length to cut for a piece of `length_mm` when every piece must start at the same
/// point of a repeat along the fabric: `r ceil(L / r)`; the length itself without repeat.
///
/// # Source
/// Row Y-13.
pub fn matched_length_mm(length_mm: f64, repeat_mm: f64) -> f64 {
    lane_pitch_mm(length_mm, repeat_mm)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    // L-01 to L-05, derived and checked by brute force; best start 0, worst start just
    // short of one repeat. Inches.
    #[test]
    fn lanes_of_the_table() {
        let rows = [
            (42.0, 8.5, 5.0, 10.0, 4, 3, 4),
            (42.0, 8.5, 6.75, 13.5, 3, 2, 4),
            (42.0, 8.5, 4.25, 8.5, 4, 4, 4),
            (42.0, 8.5, 9.0, 9.0, 4, 3, 4),
            (40.0, 8.5, 5.0, 10.0, 4, 3, 4),
        ];
        for (width, height, repeat, pitch, best, worst, ignoring) in rows {
            assert_eq!(lane_pitch_mm(height, repeat), pitch);
            assert_eq!(lanes(width, height, repeat, 0.0), best);
            assert_eq!(lanes(width, height, repeat, repeat - 1e-6), worst);
            assert_eq!(lanes(width, height, 0.0, 0.0), ignoring);
        }
    }

    // L-01 continued: 16 wedges of 3 3/4 in: 3 lanes take 22.5 in, 4 lanes 15 in.
    #[test]
    fn lanes_make_columns() {
        let columns = |lanes: usize| 16_usize.div_ceil(lanes) as f64 * 3.75;
        assert_eq!(columns(lanes(42.0, 8.5, 5.0, 5.0 - 1e-6)), 22.5);
        assert_eq!(columns(lanes(42.0, 8.5, 5.0, 0.0)), 15.0);
    }

    // Y-13 with the exact values of W-02, W-06, W-07, W-08, W-09 (drapery pages); Y-20:
    // not monotonic in the repeat.
    #[test]
    fn matched_lengths() {
        for (length, repeat, cut) in [
            (116.0, 25.0, 125.0),
            (96.0, 27.0, 108.0),
            (90.0, 27.0, 108.0),
            (114.0, 4.5, 117.0),
            (118.0, 13.0, 130.0),
            (100.0, 26.0, 104.0),
            (100.0, 34.0, 102.0),
            (100.0, 50.0, 100.0),
            (100.0, 0.0, 100.0),
        ] {
            assert_eq!(
                matched_length_mm(length, repeat),
                cut,
                "{length} at {repeat}"
            );
        }
    }

    // Whole widths of fabric, each with its repeats: W-03 ("Commonly Used Formulas with
    // Examples", drapery workroom guide), W-04 and W-05 ("Measuring for Draperies",
    // workroom page; W-05's printed 11 repeats, exact cut 121), W-10 (curtain page), W-11
    // and W-12 (home how-to pages). Inches, exact values. W-13 (fabric-shop post): a repeat
    // more for each of two stacked pieces, which Y-15 asks for at most.
    #[test]
    fn widths_by_matched_lengths() {
        let widths = |wanted: f64, fabric: f64| (wanted / fabric).ceil();
        for (wanted, fabric, length, repeat, count, total) in [
            ((125.0 + 4.0 + 12.0) * 2.5, 48.0, 106.0, 24.0, 8.0, 960.0),
            (63.0 * 3.0, 54.0, 114.0, 0.0, 4.0, 456.0),
            (63.0 * 3.0, 54.0, 114.0, 11.0, 4.0, 484.0),
            (2.0, 1.0, 100.0, 26.0, 2.0, 208.0),
            (65.0 * 2.25, 54.0, 96.0, 0.0, 3.0, 288.0),
            (84.0 * 2.5 + 15.0, 54.0, 88.0, 0.0, 5.0, 440.0),
        ] {
            assert_eq!(widths(wanted, fabric), count);
            assert_eq!(count * matched_length_mm(length, repeat), total);
        }
        for (length, repeat, more) in [(10.0, 1.25, 2.5), (10.0, 4.25, 8.5)] {
            let stacked = 2.0 * matched_length_mm(length, repeat);
            assert!(stacked - 2.0 * length <= more, "{repeat}");
        }
    }

    // What the trade allows for stripes beside what matching takes (rules of thumb, not
    // truth). Y-14 (Lancaster Farming, 1968): one repeat for each length cut. Y-16 (Sewing
    // magazine, 2010; agricultural e-stripes): 1/4 yd at least, up to 1 yd; or a quarter more.
    // The drapes are W-03, W-05 and W-10, the wedges L-01 with the worst start: 22 1/2 in
    // for 15. Y-14 is always enough and up to twice too much; each flat amount falls short once.
    #[test]
    fn y14_y16_allowances_beside_what_is_needed() {
        let mut short = [0; 3];
        for (count, length, repeat, more) in [
            (8.0, 106.0, 24.0, 112.0),
            (4.0, 114.0, 11.0, 28.0),
            (2.0, 100.0, 26.0, 8.0),
        ] {
            let plain = count * length;
            assert_eq!(count * matched_length_mm(length, repeat) - plain, more);
            assert!(more < count * repeat, "Y-14 suffices");
            for (i, allowed) in [9.0, 36.0, plain / 4.0].into_iter().enumerate() {
                short[i] += usize::from(allowed < more);
            }
        }
        let columns = |lanes: usize| 16_usize.div_ceil(lanes) as f64 * 3.75;
        let plain = columns(lanes(42.0, 8.5, 0.0, 0.0));
        let more = columns(lanes(42.0, 8.5, 5.0, 5.0 - 1e-6)) - plain;
        assert_eq!(more, 7.5);
        for (i, allowed) in [9.0, 36.0, plain / 4.0].into_iter().enumerate() {
            short[i] += usize::from(allowed < more);
        }
        assert_eq!(short, [2, 1, 1]);
    }

    proptest! {
        // Y-20: rounding never costs a whole repeat, and never falls with the length.
        #[test]
        fn rounding_costs_less_than_a_repeat(
            length in 1.0..3000.0f64, more in 0.0..500.0f64, repeat in 1.0..700.0f64
        ) {
            let cut = matched_length_mm(length, repeat);
            prop_assert!(cut >= length - 1e-6 && cut < length + repeat);
            prop_assert!(matched_length_mm(length + more, repeat) >= cut);
        }
    }
}
