//! Worked examples of the trade. Inches all through: the arithmetic has no unit.

use super::*;
use crate::length::Unit;

fn piece(name: &str, length: f64, width: f64, count: usize, grain: Grain) -> StraightPiece {
    StraightPiece {
        name: name.to_owned(),
        cloth: "plain".to_owned(),
        length_mm: length,
        width_mm: width,
        count,
        grain,
        slant: None,
        bias: None,
    }
}

fn squares(side: f64, count: usize, cloth: f64) -> Cuts {
    cut_straight(&[piece("square", side, side, count, Grain::Any)], cloth).unwrap()
}

/// Every piece is there as often as it was asked for, inside the cloth.
fn assert_sound(cuts: &Cuts, pieces: &[StraightPiece], cloth: f64) {
    for (idx, piece) in pieces.iter().enumerate() {
        let made: usize = cuts.bands.iter().map(|b| b.times * b.made(idx)).sum();
        assert_eq!(made, piece.count, "{}", piece.name);
    }
    for band in &cuts.bands {
        assert!(band.used_mm() <= cloth + 1e-6);
        for column in &band.columns {
            assert!(column.along_mm() <= band.along_mm + 1e-6);
            for row in &column.rows {
                assert!(row.across_mm() <= column.across_mm + 1e-6);
                for cell in &row.cells {
                    assert!(cell.along_mm <= row.along_mm + 1e-6);
                    let way = (cell.across_mm, cell.along_mm);
                    assert!(ways(&pieces[cell.piece], cloth).contains(&way));
                }
            }
        }
    }
    let length: f64 = cuts.bands.iter().map(|b| b.times as f64 * b.along_mm).sum();
    assert!((length - cuts.length_mm).abs() < 1e-9);
    assert!(cuts.bound_mm <= cuts.length_mm + 1e-9);
}

// W-22, a shop newsletter: 56 squares of 6 1/2 in from 42 in: 6 a strip, 10 strips, 65 in.
// W-23, a forum: 720 squares of 2 1/2 in from 42 in: 16 a strip, 45 strips, 3.125 yd.
// W-24, a designer's post: 24 squares of 2 1/2 in from 40 in: 2 strips, 5 in.
#[test]
fn w22_to_w24_squares() {
    for (side, count, cloth, length) in [
        (6.5, 56, 42.0, 65.0),
        (2.5, 720, 42.0, 112.5),
        (2.5, 24, 40.0, 5.0),
    ] {
        let cuts = squares(side, count, cloth);
        assert!((cuts.length_mm - length).abs() < 1e-9, "{side}");
        assert!(cuts.is_optimal());
        assert_sound(
            &cuts,
            &[piece("square", side, side, count, Grain::Any)],
            cloth,
        );
    }
}

// N-06: 44 / 2 1/2 = 17.6 squares a strip: it is 17. Y-01: never a fraction of a piece.
#[test]
fn n06_no_fraction_of_a_piece() {
    assert_eq!(squares(2.5, 17, 44.0).length_mm, 2.5);
    assert_eq!(squares(2.5, 18, 44.0).length_mm, 5.0);
}

// F-11: squares from an 18 x 22 in fat quarter.
#[test]
fn f11_fat_quarter() {
    for (side, count) in [
        (2.0, 99),
        (2.5, 56),
        (3.0, 42),
        (3.5, 30),
        (4.0, 20),
        (5.0, 12),
        (10.0, 2),
    ] {
        assert!(squares(side, count, 22.0).length_mm <= 18.0);
        assert!(squares(side, count + 1, 22.0).length_mm > 18.0);
    }
}

// W-28, a forum: borders cut lengthwise, 60 x 72 top, 4 in border: 72 + 4 + 4 + 2 = 82 in.
// W-29, a forum: an 80 in border, four of at most 10 in from 42 in take one length (and
// 10 in more in the source's sum: 90 in); four of 12 in are 48 in, so twice the length.
#[test]
fn w28_w29_borders_along_the_cloth() {
    let along = |length, width| {
        let border = piece("border", length, width, 4, Grain::Along);
        cut_straight(&[border], 42.0).unwrap().length_mm
    };
    assert_eq!(along(82.0, 4.5), 82.0);
    assert!((along(82.0, 4.5) / 36.0 - 2.278).abs() < 1e-3);
    assert_eq!(along(80.0, 10.0) + 10.0, 90.0);
    assert_eq!(along(80.0, 12.0), 160.0);
}

// N-04: "(new width + new length) / 36 = 3.1 yd" forgets how deep a strip is: six strips
// of 5 1/2 in across the cloth are 33 in = 0.917 yd.
#[test]
fn n04_strips_have_depth() {
    let strips = piece("border strip", 40.0, 5.5, 6, Grain::Across);
    let cuts = cut_straight(&[strips], 40.0).unwrap();
    assert_eq!(cuts.length_mm, 33.0);
    assert!((cuts.length_mm / 36.0 - 0.917).abs() < 1e-3);
}

// What is left beside long strips takes the short pieces (own example): a 64 1/2 in length
// holds four 9 1/4 in strips and one column of fifteen 4 1/4 in squares; 5 squares are left.
#[test]
fn short_pieces_fill_the_rest_of_long_bands() {
    let pieces = [
        piece("strip", 64.5, 9.25, 4, Grain::Along),
        piece("square", 4.25, 4.25, 20, Grain::Any),
    ];
    let cuts = cut_straight(&pieces, 42.0).unwrap();
    assert_sound(&cuts, &pieces, 42.0);
    assert_eq!(cuts.length_mm, 64.5 + 4.25);
    assert!(cuts.is_optimal());
}

#[test]
fn mixed_depths_share_a_band() {
    let pieces = [
        piece("unit", 8.5, 4.5, 12, Grain::Any),
        piece("corner", 4.5, 4.5, 4, Grain::Any),
        piece("patch", 3.0, 2.0, 30, Grain::Any),
    ];
    let cuts = cut_straight(&pieces, 42.0).unwrap();
    assert_sound(&cuts, &pieces, 42.0);
    let area = 12.0 * 8.5 * 4.5 + 4.0 * 4.5 * 4.5 + 30.0 * 6.0;
    assert!(cuts.length_mm >= area / 42.0);
    // By hand: three bands of four units, a corner and two patches; one of the rest.
    assert!(cuts.length_mm <= 18.0, "{cuts:?}");
}

#[test]
fn what_does_not_fit_is_named() {
    let long = piece("strip", 64.5, 8.0, 1, Grain::Across);
    let fault = cut_straight(&[long], 42.0);
    assert!(matches!(
        fault,
        Err(StraightError::TooWide {
            fits_along: true,
            ..
        })
    ));
    let none = piece("strip", f64::NAN, 8.0, 1, Grain::Across);
    assert!(matches!(
        cut_straight(&[none], 42.0),
        Err(StraightError::Side { .. })
    ));
    let many = piece("unit", 1.0, 1.0, 10_000_000, Grain::Any);
    assert!(matches!(
        cut_straight(&[many], 42.0),
        Err(StraightError::TooMany(_))
    ));
    assert_eq!(cut_straight(&[], 42.0).unwrap().length_mm, 0.0);
}

#[test]
fn steps_say_it_in_words() {
    let mm = 25.4;
    let pieces = [piece("border unit", 8.5 * mm, 4.5 * mm, 12, Grain::Across)];
    let cuts = cut_straight(&pieces, 42.0 * mm).unwrap();
    assert_eq!(
        steps(&cuts, &pieces, 42.0 * mm, None, Unit::Inch),
        [
            "Cut 3 strips 4 1/2 in deep, from selvage to selvage; from each cut 4 border units \
             8 1/2 in wide. Beside them 8 in by 4 1/2 in of each is left: keep it."
        ]
    );
    let long = [piece("field strip", 63.5 * mm, 9.5 * mm, 4, Grain::Along)];
    let cuts = cut_straight(&long, 42.0 * mm).unwrap();
    assert_eq!(
        steps(&cuts, &long, 42.0 * mm, None, Unit::Inch),
        [
            "Cut a length of 63 1/2 in; from it cut, along the selvages, 4 field strips 9 1/2 in \
             wide. Beside them 4 in by 63 1/2 in is left: keep it."
        ]
    );
}

// What is beside bands in one piece: one pocket for every width that is left.
#[test]
fn bands_leave_pockets() {
    let mm = 25.4;
    let piece = |name: &str, length: f64, width: f64, count| {
        piece(name, length * mm, width * mm, count, Grain::Across)
    };
    let pieces = [
        piece("rail", 30.0, 5.0, 4),
        piece("step", 36.0, 3.0, 1),
        piece("binding strip", 42.0, 2.5, 3),
    ];
    let cuts = cut_straight(&pieces, 42.0 * mm).unwrap();
    let found = pockets(&cuts, 42.0 * mm);
    // 12 by 20 in beside the rails alone, 6 by 23 in beside rails and step.
    let shown: Vec<[f64; 2]> = found
        .iter()
        .map(|p| [(p.slit_mm / mm).round(), (p.length_mm / mm).round()])
        .collect();
    assert_eq!(shown, [[30.0, 20.0], [36.0, 23.0]]);
    let told = steps(&cuts, &pieces, 42.0 * mm, Some(&found[0]), Unit::Inch);
    assert!(told[0].starts_with("Cut a length of 20 in"), "{told:?}");
    assert_eq!(
        told[1],
        "From the part left of the slit: cut 4 strips 5 in deep, from the left selvage to the slit: 4 rails."
    );
    assert!(
        told[3].starts_with("After the motif pieces: cut"),
        "{told:?}"
    );
}
