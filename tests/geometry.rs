//! Circles, rings and fans against handbook examples and closed forms.

#![allow(
    clippy::approx_constant,
    reason = "the printed digits are what is checked"
)]

use geo::Area;
use std::f64::consts::{PI, TAU};
use stripe_core::motif::{Ends, Fan, Making, Meet, Motif, Part, Role, assemble};
use stripe_core::shape::arc::{ArcSide, chord, flatten};
use stripe_core::shape::ring::{edges, rings};
use stripe_core::shape::{Point, Region, distance};
use stripe_tests::sample::{self, MAKING};

fn near(got: f64, want: f64, tol: f64) {
    assert!((got - want).abs() <= tol, "{got} is not {want}");
}

/// An arc as the program draws it, so finely that its measures are a circle's.
fn arc(radius: f64, sweep_rad: f64) -> Vec<Point> {
    flatten(radius, 0.0, sweep_rad, ArcSide::Inside, 1e-9 * radius)
}

fn area(ring: Vec<Point>) -> f64 {
    Region::new(ring.into(), vec![]).unsigned_area()
}

fn ring_sector_area(outer: f64, inner: f64, sweep_rad: f64) -> f64 {
    let back = arc(inner, sweep_rad).into_iter().rev();
    area(arc(outer, sweep_rad).into_iter().chain(back).collect())
}

fn arc_length(radius: f64, sweep_rad: f64) -> f64 {
    let points = arc(radius, sweep_rad);
    points.windows(2).map(|p| distance(p[0], p[1])).sum()
}

fn segment_area(radius: f64, sweep_rad: f64) -> f64 {
    area(arc(radius, sweep_rad))
}

/// How high the arc stands over its chord: its middle point is furthest from both ends.
fn sagitta(radius: f64, sweep_rad: f64) -> f64 {
    let half = arc(radius, sweep_rad / 2.0);
    let whole = arc(radius, sweep_rad);
    let (a, b) = (whole[0], whole[whole.len() - 1]);
    distance(half[half.len() - 1], (a + b) / 2.0)
}

/// G-01 to G-05, G-09: Machinery's Handbook, 31st ed., 2020, pp. 50, 78, 79, and a
/// military training manual's page on rings; exact values recomputed.
#[test]
fn handbook_rings_sectors_and_segments() {
    near(ring_sector_area(6.0, 4.0, TAU), 62.831853, 1e-6);
    near(ring_sector_area(35.0, 0.0, PI / 3.0), 641.408500, 1e-6);
    near(arc_length(35.0, PI / 3.0), 36.651914, 1e-6);
    near(ring_sector_area(7.0, 0.0, PI / 6.0), 12.828170, 1e-6);
    let sweep = 67.114620_f64.to_radians();
    near(chord(12.0, sweep), 13.266499, 1e-5);
    near(sagitta(12.0, sweep), 2.0, 1e-6);
    near(arc_length(12.0, sweep), 14.056453, 1e-5);
    near(segment_area(12.0, sweep), 18.006222, 1e-5);
    // G-05: r 60, h 8 in.
    near(chord(60.0, 2.0 * (52.0_f64 / 60.0).acos()), 59.866518, 1e-6);
    near(ring_sector_area(5.0, 1.5, TAU), 71.471233, 1e-6);
    // From memory (the worked example was cut off in the copy seen): R 5, r 2, 72 degrees.
    near(
        ring_sector_area(5.0, 2.0, 72_f64.to_radians()),
        13.194689,
        1e-6,
    );
}

/// G-06: the handbook, p. 79. G-08: Hatfield, The American House Carpenter, art. 518.
/// G-10, G-11: mathematics help pages, recomputed.
#[test]
fn radius_from_chord_and_height() {
    // Chord, height and the radius that the books give for them.
    for (width, height, radius) in [
        (16.0, 6.0, 8.333333),
        (120.0, 30.0, 75.0),
        (21.0, 6.0, 12.1875),
    ] {
        let sweep = 2.0 * f64::acos((radius - height) / radius);
        near(chord(radius, sweep), width, 1e-5);
        near(sagitta(radius, sweep), height, 1e-5);
    }
    let sweep = 118.97953_f64.to_radians();
    near(arc_length(12.1875, sweep), 25.308373, 1e-5);
    near(ring_sector_area(12.1875, 0.0, sweep), 154.2229, 1e-4);
    near(segment_area(12.1875, sweep), 89.254148, 1e-4);
    let r = 1.2732395;
    near(chord(r, PI / 4.0), 0.97449536, 1e-7);
    near(sagitta(r, PI / 4.0), 0.096919589, 1e-8);
    near(segment_area(r, PI / 4.0), 0.063460604, 1e-8);
}

/// U-01 to U-10: the unit circle, computed; equations of the handbook's p. 83.
#[test]
fn unit_circle() {
    let rows = [
        (15.0, 0.261799, 0.008555, 0.261052, 0.001490, 0.130900),
        (18.0, 0.314159, 0.012312, 0.312869, 0.002571, 0.157080),
        (22.5, 0.392699, 0.019215, 0.390181, 0.005008, 0.196350),
        (30.0, 0.523599, 0.034074, 0.517638, 0.011799, 0.261799),
        (36.0, 0.628319, 0.048943, 0.618034, 0.020267, 0.314159),
        (45.0, 0.785398, 0.076120, 0.765367, 0.039146, 0.392699),
        (60.0, 1.047198, 0.133975, 1.000000, 0.090586, 0.523599),
        (90.0, 1.570796, 0.292893, 1.414214, 0.285398, 0.785398),
        (120.0, 2.094395, 0.500000, 1.732051, 0.614185, 1.047198),
        (180.0, 3.141593, 1.000000, 2.000000, 1.570796, 1.570796),
    ];
    for (deg, arc, height, chord_length, segment, sector) in rows {
        let sweep = f64::to_radians(deg);
        near(arc_length(1.0, sweep), arc, 6e-7);
        near(sagitta(1.0, sweep), height, 6e-7);
        near(chord(1.0, sweep), chord_length, 6e-7);
        near(segment_area(1.0, sweep), segment, 6e-7);
        near(ring_sector_area(1.0, 0.0, sweep), sector, 6e-7);
    }
}

/// A plain fan of the sample whose wedges and ends are seamed.
fn part(sweep_deg: f64, wedges: usize, hub_in: f64, rim_in: f64) -> Part {
    let fan = Fan {
        from_deg: 0.0,
        sweep_deg,
        wedges,
        hub_mm: hub_in * 25.4,
        rim_mm: rim_in * 25.4,
        spokes: None,
    };
    Part {
        meet: Meet::Seam,
        ends: Ends::Seam,
        ..sample::part(fan)
    }
}

fn motif(parts: Vec<Part>) -> Motif {
    Motif {
        name: "m".to_owned(),
        code: None,
        ground: Default::default(),
        copies: 1,
        parts,
    }
}

/// M-01 to M-03 and the ring 2 to 8: areas of motif sectors (closed form). The pieces'
/// chords stand off the arcs by at most 0.05 mm, outward.
#[test]
fn motif_areas() {
    let square_inch = 25.4 * 25.4;
    for (hub, rim, sweep, area) in [
        (0.0, 4.0, 90.0, 12.5664),
        (0.0, 4.0, 180.0, 25.1327),
        (0.0, 4.0, 270.0, 37.6991),
        (0.0, 4.0, 360.0, 50.2655),
        (0.0, 6.0, 180.0, 56.5487),
        (0.0, 8.0, 270.0, 150.7964),
        (0.0, 8.0, 360.0, 201.0619),
        (2.0, 8.0, 180.0, 94.2478),
        (2.0, 8.0, 270.0, 141.3717),
        (2.0, 8.0, 360.0, 188.4956),
    ] {
        let wedges = (sweep / 90.0) as usize;
        let made = assemble(&motif(vec![part(sweep, wedges, hub, rim)]), &MAKING).unwrap();
        let got: f64 = made
            .pieces
            .iter()
            .map(|p| p.finished.unsigned_area() / square_inch)
            .sum();
        let band = f64::to_radians(sweep) * (rim + hub) * 0.05 / 25.4;
        assert!(
            got > area - 1e-4 && got < area + band,
            "{sweep} {rim}: {got} {area}"
        );
    }
}

/// M rows, outlines: ring 2 to 8 in with both straight ends: 43.4159 in for a half,
/// 59.1239 in for three quarters (closed form).
#[test]
fn motif_outlines() {
    for (sweep, outline) in [(180.0, 43.4159), (270.0, 59.1239)] {
        let made = assemble(&motif(vec![part(sweep, 1, 2.0, 8.0)]), &MAKING).unwrap();
        let piece = &made.pieces[0];
        let got: f64 = rings(&piece.finished)
            .flat_map(edges)
            .map(|(p, q)| distance(p, q) / 25.4)
            .sum();
        near(got, outline, 0.02);
        // P-05, definition: an edge in a seam takes 1/4 in and is never turned; the
        // straight ends are 2 x 6 in.
        let sewn: f64 = rings(&piece.finished)
            .flat_map(edges)
            .zip(&piece.roles)
            .filter(|(_, role)| **role == Role::Seamed)
            .map(|((p, q), _)| distance(p, q) / 25.4)
            .sum();
        near(sewn, 12.0, 1e-9);
    }
}

/// Common practice, no source: a turn-under of 1/8 in is that much wider all round, and
/// an edge that another piece covers is cut flush.
#[test]
fn turned_edges_grow_and_covered_edges_are_flush() {
    let making = Making {
        turn_under_mm: 25.4 / 8.0,
        ..MAKING
    };
    let disc = |rim| Part {
        meet: Meet::BothTurnedUnder,
        ..part(360.0, 1, 0.0, rim)
    };
    let ring = part(360.0, 1, 1.0, 3.0);
    let made = assemble(&motif(vec![ring, disc(2.0)]), &making).unwrap();
    let [ring, disc] = &made.pieces[..] else {
        panic!("two pieces")
    };
    let area = |r: f64| PI * (r * 25.4).powi(2);
    let tol = area(1.0) * 0.01;
    near(disc.cut.unsigned_area(), area(2.125), tol);
    // The ring's hub lies under the disc: its hole stays as large as it is.
    near(ring.cut.unsigned_area(), area(3.125) - area(1.0), 2.0 * tol);
}

/// G-20: a wedge fits 180, 270 and 360 degrees alike only if it divides 90 (own
/// derivation; 36 degrees gives 5, 7.5 and 10).
#[test]
fn wedge_angles_that_divide_a_quarter_turn() {
    for (deg, counts) in [
        (15.0, [12, 18, 24]),
        (18.0, [10, 15, 20]),
        (22.5, [8, 12, 16]),
        (30.0, [6, 9, 12]),
        (45.0, [4, 6, 8]),
    ] {
        for (sweep, wedges) in [180.0, 270.0, 360.0].into_iter().zip(counts) {
            near(sweep / wedges as f64, deg, 1e-12);
            let made = assemble(&motif(vec![part(sweep, wedges, 3.0, 8.0)]), &MAKING).unwrap();
            assert_eq!(made.pieces.len(), wedges);
            assert!(made.remarks.is_empty(), "{:?}", made.remarks);
        }
    }
    let odd = assemble(&motif(vec![part(180.0, 5, 3.0, 8.0)]), &MAKING).unwrap();
    assert_eq!(odd.remarks.len(), 1);
    assert!(
        odd.remarks[0]
            .said(stripe_core::length::Unit::Inch)
            .contains("36 degrees")
    );
}

/// G-15a to G-15e (own derivation, computed): inside these radii allowances overlap.
#[test]
fn allowances_overlap_within() {
    for (deg, quarter, sixteenths) in [
        (15.0, 1.8989, 1.4242),
        (18.0, 1.5784, 1.1838),
        (22.5, 1.2568, 0.9426),
        (30.0, 0.9330, 0.6998),
        (45.0, 0.6036, 0.4527),
    ] {
        let angle = f64::to_radians(deg);
        near(
            stripe_core::motif::overlap_radius_mm(0.25, angle),
            quarter,
            6e-5,
        );
        near(
            stripe_core::motif::overlap_radius_mm(0.1875, angle),
            sixteenths,
            6e-5,
        );
    }
}
