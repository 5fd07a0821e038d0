//! Examples of fitting. Unit borders: common practice, no source.

use super::misfit::FitFinding;
use super::*;
use crate::length::{INCH_MM, Unit};
use crate::motif::{Copies, Ends, Fan, Form, Meet, Motif, Part, PartStripes};

pub(super) fn inches(inches: f64) -> f64 {
    inches * INCH_MM
}

/// A field of strips with one unit border, in inches.
fn quilt(strips: usize, width: f64, length: f64, unit: f64, across: usize, along: usize) -> Quilt {
    Quilt {
        name: "trial".into(),
        seam_mm: inches(0.25),
        field: Field {
            fabrics: vec!["fog".into()],
            strips,
            strip_width_mm: inches(width),
            strip_length_mm: inches(length),
            level: false,
            grain: Grain::Any,
        },
        borders: vec![Border {
            name: "quay".into(),
            make: Make::Units {
                fabrics: vec!["chalk".into()],
                unit_mm: inches(unit),
                across,
                along,
                corner: "chalk".into(),
            },
            depth_mm: inches(6.5),
            grain: Grain::Any,
        }],
        foundations: vec![],
        slanted: vec![],
        places: vec![],
        binding: None,
        backing: None,
        batting: None,
    }
}

fn disc(name: &str, copies: usize, sweep_deg: f64, wedges: usize, rim: f64) -> Motif {
    Motif {
        name: name.into(),
        code: None,
        ground: Default::default(),
        copies,
        parts: vec![Part {
            name: "body".into(),
            fabric: "deck".into(),
            form: Form::Fan(Fan {
                from_deg: 0.0,
                sweep_deg,
                wedges,
                hub_mm: 0.0,
                rim_mm: inches(rim),
                spokes: None,
            }),
            rotate_deg: 0.0,
            meet: Meet::Seam,
            ends: Ends::Seam,
            stripes: PartStripes::Rays,
            grain_deg: None,
            phase_mm: None,
            along_mm: 0.0,
            copies: Copies::Alike,
            tie: None,
        }],
    }
}

fn findings(quilt: &Quilt, motifs: &[Motif]) -> Vec<FitFinding> {
    let quilt_top = lay_out(quilt);
    let spots = spots(quilt, motifs, &quilt_top);
    check(quilt, motifs, &quilt_top, &spots)
}

// Four strips of 12 1/2 in join to 48 1/2 in with 1/4 in seams (common practice, no source).
#[test]
fn strips_join_with_their_seams() {
    let quilt = quilt(4, 12.5, 64.5, 8.5, 6, 8);
    let quilt_top = lay_out(&quilt);
    let cut_mm = quilt_top.field.width() + 2.0 * quilt.seam_mm;
    assert!((cut_mm - inches(48.5)).abs() < 1e-9);
    assert!(findings(&quilt, &[]).is_empty());
    // 48 in and twice 6 in; 64 in and twice 6 in.
    assert!((quilt_top.edge().width() - inches(60.0)).abs() < 1e-9);
    assert!((quilt_top.edge().height() - inches(76.0)).abs() < 1e-9);
}

/// The strips of a field take its fabrics in turn, from the left.
#[test]
fn strips_take_their_fabrics_in_turn() {
    let mut quilt = quilt(5, 12.5, 64.5, 8.5, 6, 8);
    quilt.field.fabrics = vec!["fog".into(), "mist".into()];
    let quilt_top = lay_out(&quilt);
    let of_field = quilt_top
        .patches
        .iter()
        .filter(|patch| quilt_top.field.y1 >= patch.rect.y1);
    let mut strips: Vec<_> = of_field
        .filter(|patch| quilt_top.field.y0 <= patch.rect.y0)
        .collect();
    strips.retain(|patch| (quilt_top.field.x0..quilt_top.field.x1).contains(&patch.rect.x0));
    strips.sort_by(|a, b| a.rect.x0.total_cmp(&b.rect.x0));
    let fabrics: Vec<&str> = strips.iter().map(|patch| patch.fabric.as_str()).collect();
    assert_eq!(fabrics, ["fog", "mist", "fog", "mist", "fog"]);
    // Side by side, all as wide, and cut as often.
    for (i, strip) in strips.iter().enumerate() {
        assert!((strip.rect.x0 - inches(12.0 * i as f64)).abs() < 1e-9);
        assert!((strip.rect.x1 - inches(12.0 * (i + 1) as f64)).abs() < 1e-9);
    }
    let counts: Vec<(String, usize)> = straight_pieces(&quilt)
        .into_iter()
        .filter(|piece| piece.fabric != "chalk")
        .map(|piece| (piece.fabric, piece.count))
        .collect();
    assert_eq!(counts, [("fog".to_owned(), 3), ("mist".to_owned(), 2)]);
    // The first unit of a vertical side lies at its top: 8 in long, when sewn.
    let first = quilt_top.patches.iter().find(
        |patch| matches!(patch.role, PatchRole::Unit { number: 0, side, .. } if !side.is_level()),
    );
    let (first, top) = (first.unwrap().rect, quilt_top.field.y1);
    assert!((first.y1 - top).abs() < 1e-9 && (first.y0 - (top - inches(8.0))).abs() < 1e-9);
    // No seam is drawn twice.
    for (i, seam) in quilt_top.seams.iter().enumerate() {
        assert!(!quilt_top.seams[..i].contains(seam), "{seam:?}");
    }
}

/// What has no open side has no front: it stands upright.
#[test]
fn whole_circles_face_nowhere() {
    use super::spots::facing;
    assert_eq!(facing(&disc("wheel", 1, 360.0, 4, 5.0)), (360.0, 90.0));
    let mut half = disc("tide", 1, 180.0, 2, 5.0);
    half.parts[0].rotate_deg = 30.0;
    assert_eq!(facing(&half), (180.0, 120.0));
}

/// Twice the width, twice the height and what is added for corners and closing (row Y-07, derived):
/// a top of 60 in by 76 in takes 272 in and 10 in, which strips of 42 1/2 in less their diagonal
/// joins of 2 1/2 in give seven times (row Y-08: 7 x 42.5 - 6 x 2.5 = 282.5).
#[test]
fn binding_goes_all_the_way_round() {
    let mut quilt = quilt(4, 12.5, 64.5, 8.5, 6, 8);
    let strips = |quilt: &Quilt| {
        let sheets = sheets(quilt, &lay_out(quilt), |_| Some(inches(42.5)));
        sheets.pieces[0].count
    };
    let bound = |extra: f64| Binding {
        fabric: "fog".into(),
        strip_mm: inches(2.5),
        extra_mm: inches(extra),
        bias: false,
    };
    quilt.binding = Some(bound(10.0));
    assert_eq!(strips(&quilt), 7);
    quilt.binding = Some(bound(11.0));
    assert_eq!(strips(&quilt), 8);
}

// Six border units cut 8 1/2 in run 48 1/2 in, eight run 64 1/2 in, so a 64 in strip is
// 1/2 in short (common practice, no source).
#[test]
fn a_strip_half_an_inch_short_is_told() {
    let quilt = quilt(4, 12.5, 64.0, 8.5, 6, 8);
    let found = findings(&quilt, &[]);
    assert_eq!(found.len(), 1);
    assert!(found[0].stops);
    let Misfit::Run {
        run_mm: run,
        side_mm: side,
        units,
        ..
    } = &found[0].misfit
    else {
        panic!("{found:?}");
    };
    assert_eq!(*units, 8);
    assert!((run - inches(64.5)).abs() < 1e-9 && (side - inches(64.0)).abs() < 1e-9);
    assert_eq!(
        found[0].misfit.message(Unit::Inch),
        "quay, left and right: eight units cut 8 1/2 in run 64 1/2 in when joined, but the field \
         measures 64 in there (both from raw edge to raw edge): the field is 1/2 in too short for \
         them"
    );
    assert_eq!(
        found[0].misfit.help(Unit::Inch),
        "cut the field's strips 64 1/2 in long"
    );
}

// Units cut 8 7/16 in would fit the sides, but then leave the top 3/8 in short: no cure.
#[test]
fn only_cures_that_fit_all_sides_are_offered() {
    // Where top and side are off alike, another unit fits both: 48 and 64 in, units of 8.
    let found = findings(&quilt(4, 12.5, 64.5, 8.25, 6, 8), &[]);
    assert_eq!(found.len(), 2);
    for one in &found {
        let help = one.misfit.help(Unit::Inch);
        assert!(help.ends_with("or cut the units 8 1/2 in long"), "{help}");
    }
    // 48 in of five units is 9.6 in each: what a ruler shows of it is 1/8 in off in all.
    let found = findings(&quilt(4, 12.5, 48.5, 8.5, 5, 5), &[]);
    assert_eq!(found.len(), 2);
    for one in &found {
        let help = one.misfit.help(Unit::Inch);
        assert!(!help.contains("cut the units"), "{help}");
    }
    // A second border that fits now would not, were the field cut longer for the first.
    let mut two = quilt(4, 12.5, 64.0, 8.5, 6, 8);
    let mut outer = two.borders[0].clone();
    outer.name = "pier".into();
    if let Make::Units {
        unit_mm,
        across,
        along,
        ..
    } = &mut outer.make
    {
        // 60 and 75 1/2 in around the first border.
        (*unit_mm, *across, *along) = (inches(1.0), 120, 151);
    }
    two.borders.push(outer);
    let found = findings(&two, &[]);
    assert_eq!(found.len(), 1, "{found:?}");
    let help = found[0].misfit.help(Unit::Inch);
    assert!(help.starts_with("change the field together"), "{help}");
}

#[test]
fn a_count_that_would_fit_is_offered() {
    let quilt = quilt(4, 12.5, 64.5, 8.5, 5, 8);
    let found = findings(&quilt, &[]);
    let help = found[0].misfit.help(Unit::Inch);
    assert!(help.ends_with("or take six units"), "{help}");
}

#[test]
fn halves_and_corners_find_their_seams() {
    let mut quilt = quilt(5, 9.5, 63.5, 9.5, 5, 7);
    quilt.places = vec![
        Place {
            motif: "tide".into(),
            site: Site::Seams {
                border: 0,
                every: 1,
            },
            rotate_deg: 0.0,
            only: None,
        },
        Place {
            motif: "wall".into(),
            site: Site::Corners { border: 0 },
            rotate_deg: 0.0,
            only: None,
        },
    ];
    let motifs = [
        disc("tide", 20, 180.0, 2, 4.0),
        disc("wall", 4, 270.0, 3, 4.5),
    ];
    let quilt_top = lay_out(&quilt);
    let all = spots(&quilt, &motifs, &quilt_top);
    assert_eq!(all.len(), 24);
    // First half: top border, on the seam after the first unit, fanning upwards as drawn.
    assert!((all[0].centre.x - inches(9.0)).abs() < 1e-9);
    assert!((all[0].centre.y - inches(63.0)).abs() < 1e-9);
    assert_eq!(all[0].rotate_deg, 0.0);
    // Corners: the field's quarter stays free.
    let turns: Vec<f64> = all[20..].iter().map(|s| s.rotate_deg).collect();
    assert_eq!(turns, [0.0, -90.0, 180.0, 90.0]);
    assert_eq!(check(&quilt, &motifs, &quilt_top, &all), []);
    // Half an inch more and the corner meets its neighbours, and leaves nothing unsaid.
    let wide = [
        disc("tide", 20, 180.0, 2, 4.5),
        disc("wall", 4, 270.0, 3, 5.0),
    ];
    let found = check(&quilt, &wide, &quilt_top, &all);
    // Once, with the count, not eight times.
    let overlaps = |f: &&FitFinding| matches!(f.misfit, Misfit::Overlap { .. });
    assert_eq!(found.iter().filter(overlaps).count(), 1);
    assert_eq!(
        found[0].misfit.message(Unit::Inch),
        "tide 1 and wall 1 overlap by 1/2 in, and so do seven more pairs"
    );
    assert_eq!(
        found[0].misfit.help(Unit::Inch),
        "set their centres at least 9 1/2 in apart, or make them smaller: the two may reach 9 in \
         together, each from its centre"
    );
}

#[test]
fn what_cannot_be_placed_is_told() {
    let mut quilt = quilt(5, 9.5, 63.5, 9.5, 5, 7);
    quilt.places = vec![Place {
        motif: "tide".into(),
        site: Site::Seams {
            border: 0,
            every: 2,
        },
        rotate_deg: 0.0,
        only: None,
    }];
    let found = findings(&quilt, &[disc("tide", 20, 270.0, 3, 7.5)]);
    let has = |test: fn(&Misfit) -> bool| found.iter().any(|f| test(&f.misfit));
    assert!(has(|m| matches!(m, Misfit::OddUnits { units: 5, .. })));
    assert!(has(|m| matches!(m, Misfit::OddUnits { units: 7, .. })));
    assert!(has(|m| matches!(m, Misfit::Sweep { .. })));
    assert!(has(|m| matches!(m, Misfit::Copies { .. })));
    assert!(has(|m| matches!(m, Misfit::Beyond { .. })));
    quilt.field.strip_width_mm = inches(0.5);
    assert!(matches!(
        findings(&quilt, &[])[0].misfit,
        Misfit::NothingLeft { .. }
    ));
}

/// Of two copies that leave the field the one that leaves it further is told, with the count.
#[test]
fn the_furthest_out_is_told() {
    let mut quilt = quilt(5, 9.5, 63.5, 9.5, 5, 7);
    quilt.places = vec![Place {
        motif: "wheel".into(),
        site: Site::Even {
            columns: 1,
            rows: 2,
        },
        rotate_deg: 0.0,
        only: None,
    }];
    let wheel = [disc("wheel", 2, 360.0, 1, 4.0)];
    let quilt_top = lay_out(&quilt);
    let mut spots = spots(&quilt, &wheel, &quilt_top);
    for (spot, out) in spots.iter_mut().zip([1.0, 2.5]) {
        spot.centre.x = quilt_top.field.x1 - inches(4.0 - out);
    }
    let found = check(&quilt, &wheel, &quilt_top, &spots);
    let beyond: Vec<(f64, usize)> = found
        .iter()
        .filter_map(|f| match f.misfit {
            Misfit::Beyond { by_mm, more, .. } => Some((by_mm / INCH_MM, more)),
            _ => None,
        })
        .collect();
    assert_eq!(beyond.len(), 1);
    assert!(
        (beyond[0].0 - 2.5).abs() < 1e-6 && beyond[0].1 == 1,
        "{beyond:?}"
    );
}

/// A backing of 68 in by 84 in from fabric 42 in wide: one panel as wide as the fabric, one of the
/// 26 1/2 in that are left with the seam between them (68 - 42 + 2 x 1/4).
#[test]
fn the_last_backing_panel_is_narrow() {
    let mut quilt = quilt(4, 12.5, 64.5, 8.5, 6, 8);
    quilt.backing = Some(Backing {
        fabric: "fog".into(),
        overhang_mm: inches(4.0),
        seams: Some(SeamRun::Vertical),
    });
    let sheets = sheets(&quilt, &lay_out(&quilt), |_| Some(inches(42.0)));
    let panels: Vec<(&str, f64, usize)> = sheets
        .pieces
        .iter()
        .map(|p| (p.name.as_str(), p.width_mm / INCH_MM, p.count))
        .collect();
    assert_eq!(panels.len(), 2, "{panels:?}");
    assert_eq!((panels[0].0, panels[0].2), ("backing panel", 1));
    assert_eq!((panels[1].0, panels[1].2), ("narrow backing panel", 1));
    assert!((panels[0].1 - 42.0).abs() < 1e-9 && (panels[1].1 - 26.5).abs() < 0.01);
}

// A strip seam right under the joint of a whole motif is thick to sew through.
#[test]
fn seams_under_joints_are_told() {
    let mut quilt = quilt(4, 12.5, 64.5, 8.5, 6, 8);
    quilt.places = vec![Place {
        motif: "wheel".into(),
        site: Site::Even {
            columns: 1,
            rows: 1,
        },
        rotate_deg: 0.0,
        only: None,
    }];
    let wheel = [disc("wheel", 1, 360.0, 4, 5.0)];
    let found = findings(&quilt, &wheel);
    assert!(matches!(found[0].misfit, Misfit::SeamUnderJoint { .. }) && !found[0].stops);
    quilt.places[0].rotate_deg = 45.0;
    assert!(findings(&quilt, &wheel).is_empty());
    // All turns add up: of the fan, of its part and of its place.
    let mut turned = wheel.clone();
    turned[0].parts[0].rotate_deg = 25.0;
    let Form::Fan(fan) = &mut turned[0].parts[0].form else {
        unreachable!();
    };
    fan.from_deg = 20.0;
    assert_eq!(findings(&quilt, &turned).len(), 1);
    // Beyond the seam's end nothing is thick: what is found there is that it leaves the field.
    let quilt_top = lay_out(&quilt);
    let mut spots = spots(&quilt, &turned, &quilt_top);
    let thick = |spots: &[MotifSpot]| {
        let found = check(&quilt, &turned, &quilt_top, spots);
        let under = |f: &FitFinding| matches!(f.misfit, Misfit::SeamUnderJoint { .. });
        found.iter().any(under)
    };
    assert!(thick(&spots));
    spots[0].centre.y = inches(64.0 + 12.0 + 5.5);
    assert!(!thick(&spots));
}

#[test]
fn plain_borders_know_their_lengths() {
    let mut quilt = quilt(1, 40.5, 50.5, 8.5, 1, 1);
    let plain = |corners, side_length_mm| Make::Plain {
        fabric: "chalk".into(),
        corners,
        side_length_mm,
        end_length_mm: None,
    };
    quilt.borders[0].depth_mm = inches(5.5);
    quilt.borders[0].make = plain(Corners::SidesFirst, None);
    let lengths = |quilt: &Quilt| -> Vec<(f64, usize)> {
        straight_pieces(quilt)[1..]
            .iter()
            .map(|p| ((p.length_mm / INCH_MM * 1e6).round() / 1e6, p.count))
            .collect()
    };
    // Sides as the field, 50 1/2 in; top and bottom 40 + 2 x 5 and two allowances.
    assert_eq!(lengths(&quilt), [(50.5, 2), (50.5, 2)]);
    // A length that is right is no fault; one 1/2 in short is.
    quilt.borders[0].make = plain(Corners::SidesFirst, Some(inches(50.5)));
    assert_eq!(findings(&quilt, &[]), []);
    quilt.borders[0].make = plain(Corners::SidesFirst, Some(inches(50.0)));
    assert_eq!(findings(&quilt, &[]).len(), 1);
    quilt.borders[0].make = plain(Corners::Mitred, None);
    assert_eq!(lengths(&quilt), [(60.5, 2), (50.5, 2)]);
    quilt.borders[0].make = plain(Corners::SidesFirst, Some(inches(50.0)));
    let found = findings(&quilt, &[]);
    assert!(matches!(found[0].misfit, Misfit::Strip { .. }));
    assert!(
        found[0]
            .misfit
            .message(Unit::Inch)
            .ends_with("they are 1/2 in too short")
    );
}

#[test]
fn foundations_follow_their_fabric() {
    let mut quilt = quilt(4, 12.5, 64.5, 8.5, 6, 8);
    quilt.foundations = vec![Foundation {
        under: "chalk".into(),
        fabric: "lawn".into(),
        extra_length_mm: inches(1.0),
    }];
    let pieces = straight_pieces(&quilt);
    let names = pieces.iter().filter(|p| p.fabric == "lawn");
    let names: Vec<&str> = names.map(|p| p.name.as_str()).collect();
    assert_eq!(
        names,
        ["foundation under quay unit", "foundation under quay corner"]
    );
    let lawn: Vec<(usize, f64)> = pieces
        .iter()
        .filter(|p| p.fabric == "lawn")
        .map(|p| (p.count, p.length_mm / INCH_MM))
        .collect();
    assert_eq!(lawn, [(28, 9.5), (4, 7.5)]);
}
