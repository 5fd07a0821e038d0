//! Worked examples of the trade. Inches all through: the arithmetic has no unit.

use super::*;
use crate::length::Unit;
use crate::quilt::Purpose;

fn piece(name: &str, length: f64, width: f64, count: usize, grain: Grain) -> StraightPiece {
    StraightPiece {
        name: name.to_owned(),
        purpose: Purpose::default(),
        fabric: "plain".to_owned(),
        length_mm: length,
        width_mm: width,
        count,
        grain,
        slant: None,
        bias: None,
    }
}

fn squares(side: f64, count: usize, fabric: f64) -> Cuts {
    cut_straight(&[piece("square", side, side, count, Grain::Any)], fabric).unwrap()
}

/// A piece lies as it may; the rows of a block lie inside it.
fn assert_part(cell: &Cell, pieces: &[StraightPiece], fabric: f64) {
    match &cell.part {
        CutPart::Piece(piece) => {
            let way = (cell.across_mm, cell.along_mm);
            assert!(ways(&pieces[*piece], fabric).contains(&way));
        }
        CutPart::Block(rows) => {
            let along: f64 = rows.iter().map(|r| r.times as f64 * r.along_mm).sum();
            assert!(along <= cell.along_mm + 1e-6);
            for row in rows {
                assert!(row.across_mm() <= cell.across_mm + 1e-6);
                for part in &row.cells {
                    assert!(part.along_mm <= row.along_mm + 1e-6);
                    assert_part(part, pieces, fabric);
                }
            }
        }
    }
}

/// Every piece is there as often as it was asked for, inside the fabric.
fn assert_sound(cuts: &Cuts, pieces: &[StraightPiece], fabric: f64) {
    for (idx, piece) in pieces.iter().enumerate() {
        let made: usize = cuts.bands.iter().map(|b| b.times * b.made(idx)).sum();
        assert_eq!(made, piece.count, "{}", piece.name);
    }
    for band in &cuts.bands {
        assert!(band.used_mm() <= fabric + 1e-6);
        for column in &band.columns {
            assert!(column.along_mm() <= band.along_mm + 1e-6);
            for row in &column.rows {
                assert!(row.across_mm() <= column.across_mm + 1e-6);
                for cell in &row.cells {
                    assert!(cell.along_mm <= row.along_mm + 1e-6);
                    assert_part(cell, pieces, fabric);
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
    for (side, count, fabric, length) in [
        (6.5, 56, 42.0, 65.0),
        (2.5, 720, 42.0, 112.5),
        (2.5, 24, 40.0, 5.0),
    ] {
        let cuts = squares(side, count, fabric);
        assert!((cuts.length_mm - length).abs() < 1e-9, "{side}");
        assert!(cuts.is_optimal());
        assert_sound(
            &cuts,
            &[piece("square", side, side, count, Grain::Any)],
            fabric,
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
fn w28_w29_borders_along_the_fabric() {
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
// of 5 1/2 in across the fabric are 33 in = 0.917 yd.
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
            "Cut 3 strips 4 1/2 in by the width of the fabric. From each cut 4 border units \
             8 1/2 in wide. Each leaves 8 in by 4 1/2 in: save it."
        ]
    );
    let long = [piece("field strip", 63.5 * mm, 9.5 * mm, 4, Grain::Along)];
    let cuts = cut_straight(&long, 42.0 * mm).unwrap();
    assert_eq!(
        steps(&cuts, &long, 42.0 * mm, None, Unit::Inch),
        [
            "Cut 1 length of 63 1/2 in. From it cut, parallel to the selvages, 4 field strips 9 1/2 in \
             wide. Save the leftover 4 in by 63 1/2 in."
        ]
    );
}

// What is beside bands in one piece: one remnant for every width that is left.
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
    let found = remnants(&cuts, 42.0 * mm);
    // 12 by 20 in beside the rails alone, 6 by 23 in beside rails and step.
    let shown: Vec<[f64; 2]> = found
        .iter()
        .map(|p| [(p.slit_mm / mm).round(), (p.length_mm / mm).round()])
        .collect();
    assert_eq!(shown, [[30.0, 20.0], [36.0, 23.0]]);
    let told = steps(&cuts, &pieces, 42.0 * mm, Some(&found[0]), Unit::Inch);
    assert!(told[0].starts_with("Cut 1 length of 20 in"), "{told:?}");
    assert_eq!(
        told[1],
        "From the left-hand part cut 4 strips 5 in by its full width: 4 rails."
    );
    assert!(
        told[3].starts_with("After the motif pieces: cut"),
        "{told:?}"
    );
}

// One band of 45 in cut in columns, some of pieces that lie, some of pieces that stand, and
// one of 7 1/2 in: 52 1/2 in. Bands as long as single pieces take 58 1/2 in.
#[test]
fn a_band_may_be_longer_than_its_pieces() {
    let pieces = [
        piece("unit", 9.0, 7.5, 28, Grain::Any),
        piece("corner", 7.5, 7.5, 4, Grain::Any),
    ];
    let cuts = cut_straight(&pieces, 42.0).unwrap();
    assert_sound(&cuts, &pieces, 42.0);
    assert_eq!(cuts.length_mm, 52.5);
    // The area alone says 50 5/14 in.
    assert!(
        cuts.bound_mm > 50.0 && cuts.bound_mm <= 52.5,
        "{}",
        cuts.bound_mm
    );
}

/// Every size that some edge-to-edge cutting of a set of pieces has, by trying all of
/// them: nothing shared with the planner.
fn all_sizes(pieces: &[Vec<(i64, i64)>], set: usize, known: &mut Vec<Option<Vec<(i64, i64)>>>) {
    if known[set].is_some() {
        return;
    }
    let mut sizes = Vec::new();
    if set.is_power_of_two() {
        sizes.clone_from(&pieces[set.trailing_zeros() as usize]);
    }
    let mut part = (set - 1) & set;
    while part > 0 {
        for half in [part, set ^ part] {
            all_sizes(pieces, half, known);
        }
        for &(ax, ay) in known[part].iter().flatten() {
            for &(bx, by) in known[set ^ part].iter().flatten() {
                sizes.push((ax.max(bx), ay + by));
                sizes.push((ax + bx, ay.max(by)));
            }
        }
        part = (part - 1) & set;
    }
    sizes.sort_unstable();
    sizes.dedup();
    // What another is no larger than is of no use to anything larger.
    let of_use = |s: &(i64, i64)| {
        let beats = |o: &&(i64, i64)| *o != s && o.0 <= s.0 && o.1 <= s.1;
        !sizes.iter().any(|o| beats(&o))
    };
    known[set] = Some(sizes.iter().copied().filter(of_use).collect());
}

// Two kinds, six pieces at most, grain as it falls: the plan is as short as the best of all
// edge-to-edge cuttings, and the bound is never above it.
#[test]
fn few_pieces_are_cut_as_short_as_any_enumeration_finds() {
    let mut rng = crate::rng::Rng::new(17);
    let mut below = |n: usize| rng.below(n);
    let mut tight = 0;
    for case in 0..120 {
        let fabric = 20.0;
        let kinds: Vec<StraightPiece> = (0..2 + below(2))
            .map(|kind| {
                let grain = [Grain::Any, Grain::Any, Grain::Along, Grain::Across][below(4)];
                let (a, b) = (3 + below(15), 3 + below(15));
                let count = 1 + below(2);
                piece(
                    &format!("unit {kind}"),
                    a.max(b) as f64,
                    a.min(b) as f64,
                    count,
                    grain,
                )
            })
            .collect();
        let cuts = cut_straight(&kinds, fabric).unwrap();
        assert_sound(&cuts, &kinds, fabric);
        let each: Vec<Vec<(i64, i64)>> = kinds
            .iter()
            .flat_map(|kind| {
                let whole = |(across, along)| (across as i64, along as i64);
                let lies: Vec<_> = ways(kind, fabric).into_iter().map(whole).collect();
                std::iter::repeat_n(lies, kind.count)
            })
            .collect();
        let all = (1 << each.len()) - 1;
        let mut known = vec![None; all + 1];
        all_sizes(&each, all, &mut known);
        let fits = known[all].iter().flatten().filter(|s| s.0 <= 20);
        let least = fits.map(|s| s.1).min().unwrap() as f64;
        assert!(
            cuts.bound_mm <= least + 1e-6,
            "{case}: bound {} over {least}: {kinds:?}",
            cuts.bound_mm
        );
        assert!(
            (cuts.length_mm - least).abs() < 1e-6,
            "{case}: {} for {least}: {kinds:?}",
            cuts.length_mm
        );
        tight += usize::from(cuts.is_optimal());
    }
    assert!(tight >= 100, "proven to be the shortest: {tight} of 120");
}

#[test]
fn columns_of_several_kinds_are_told_row_by_row() {
    let mm = 25.4;
    let cell = |piece: usize, beside, across: f64, along: f64| Cell {
        part: CutPart::Piece(piece),
        beside,
        across_mm: across * mm,
        along_mm: along * mm,
    };
    let rows = vec![
        Row {
            times: 3,
            ..Row::of(vec![cell(0, 1, 9.0, 7.5)])
        },
        Row {
            times: 2,
            ..Row::of(vec![cell(1, 2, 4.0, 4.0), cell(2, 1, 1.0, 3.0)])
        },
    ];
    let band = CutBand::of(vec![
        CutColumn {
            beside: 2,
            ..CutColumn::of(rows)
        },
        CutColumn::of(vec![Row::of(vec![cell(2, 5, 1.0, 3.0)])]),
    ]);
    let sizes = [band.along_mm, band.used_mm()].map(|side| (side / mm * 1e6).round() / 1e6);
    assert_eq!(sizes, [30.5, 23.0]);
    assert_eq!([0, 1, 2].map(|piece| band.made(piece)), [6, 8, 9]);
    assert_eq!(
        told(band, 30.5),
        [
            "Cut 1 length of 30 1/2 in. From it cut, parallel to the selvages, 2 columns 9 in wide, each \
             cut into 3 units of 7 1/2 in and 2 lengths of 4 in (each of these into 2 tiles 4 in \
             wide and 1 slip 1 in wide, trimmed from 4 in to 3 in long), then 5 slips 1 in \
             wide, each trimmed from 30 1/2 in to 3 in long. Save the leftover 19 in by \
             30 1/2 in."
        ]
    );
}

#[test]
fn bias_strips_are_told() {
    let mm = 25.4;
    let bias = crate::quilt::bias_width(250.0 * mm, 42.0 * mm, 2.5 * mm, 0.25 * mm, 0.25 * mm);
    let rectangle = StraightPiece {
        bias: Some(bias),
        ..piece(
            "rectangle for bias binding",
            bias.width_mm,
            bias.height_mm,
            1,
            Grain::Across,
        )
    };
    let cuts = cut_straight(std::slice::from_ref(&rectangle), 42.0 * mm).unwrap();
    let told = steps(&cuts, &[rectangle], 42.0 * mm, None, Unit::Inch);
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(
        told[1].contains("make the first cut from a corner at 45 degrees"),
        "{told:?}"
    );
    assert!(
        told[1].contains(&format!("cut {} strips 2 1/2 in wide", bias.strips)),
        "{told:?}"
    );
}

// A block in a row is named, and cut in a step of its own.
#[test]
fn blocks_are_named_and_cut_afterwards() {
    let mm = 25.4;
    let cell = |piece: usize, beside, across: f64, along: f64| Cell {
        part: CutPart::Piece(piece),
        beside,
        across_mm: across * mm,
        along_mm: along * mm,
    };
    let block = Cell::block(vec![
        Row::of(vec![cell(1, 1, 3.0, 2.0)]),
        Row::of(vec![cell(2, 2, 1.0, 1.0)]),
    ]);
    let row = Row {
        times: 2,
        ..Row::of(vec![cell(0, 1, 5.0, 3.0), block])
    };
    let band = CutBand::of(vec![CutColumn::of(vec![
        row,
        Row::of(vec![cell(0, 1, 5.0, 3.0)]),
    ])]);
    assert_eq!([0, 1, 2].map(|piece| band.made(piece)), [3, 2, 4]);
    assert_eq!(
        told(band, 9.0),
        [
            "Cut 1 strip 9 in by the width of the fabric. From it cut 1 column 8 in wide, cut into \
             2 lengths of 3 in (each of these into 1 unit 5 in wide and 1 block A 3 in wide) and 1 \
             unit of 3 in (trimmed to 5 in wide). Save the leftover 34 in by 9 in.",
            "Cut each of the 2 blocks A, 3 in wide and 3 in long, across into 1 tile of 2 in and 1 \
             length of 1 in (this one into 2 slips 1 in wide)."
        ]
    );
}

/// The steps of one band of units, tiles and slips, so many inches long, on 42 in.
fn told(band: CutBand, length_in: f64) -> Vec<String> {
    let pieces = ["unit", "tile", "slip"].map(|name| piece(name, 1.0, 1.0, 1, Grain::Any));
    let cuts = Cuts {
        bands: vec![band],
        length_mm: length_in * 25.4,
        bound_mm: 0.0,
    };
    steps(&cuts, &pieces, 42.0 * 25.4, None, Unit::Inch)
}
