//! Projects from code are held to what the reader of a file holds them to.

use super::Project;
use crate::colour::Colour;
use crate::fabric::{Band, Fabric, Pattern, Stripe};
use crate::motif::{Copies, Fan, Form, Part, PartStripes};
use crate::quilt::{Make, Site};
use crate::shape::point;

const HARBOUR: &str = include_str!("../../../data/harbour/harbour.toml");

#[test]
fn what_is_read_is_valid() {
    for text in [
        HARBOUR,
        include_str!("../../../data/capstan/capstan.toml"),
        include_str!("../../../data/chartroom/chartroom.toml"),
        include_str!("../../../data/galley/galley.toml"),
        include_str!("../../../data/skerry/skerry.toml"),
    ] {
        assert_eq!(Project::read(text).unwrap().validate(), Ok(()));
    }
}

/// What is wrong with the harbour once it is spoilt, all of it in one text.
fn wrong(spoil: impl Fn(&mut Project)) -> String {
    let mut project = Project::read(HARBOUR).unwrap();
    spoil(&mut project);
    let found = project.validate().expect_err("it is spoilt");
    let words: Vec<String> = found.iter().map(ToString::to_string).collect();
    words.join("\n")
}

fn fan(part: &mut Part) -> &mut Fan {
    match &mut part.form {
        Form::Fan(fan) => fan,
        Form::Outline(_) => panic!("a fan"),
    }
}

#[test]
fn what_is_beyond_a_limit_is_named() {
    type Case = (&'static str, fn(&mut Project));
    let cases: [Case; 20] = [
        ("its name is empty", |p| p.title.clear()),
        ("it has 0 motifs", |p| p.motifs.clear()),
        ("two of it are named `deck`", |p| {
            p.fabrics.push(p.fabrics[0].clone());
        }),
        ("its `seam_mm` is NaN", |p| p.making.seam_mm = f64::NAN),
        ("its `width_mm` is 1000000", |p| p.fabrics[0].width_mm = 1e6),
        ("it has 18446744073709551615 copies", |p| {
            p.motifs[0].copies = usize::MAX;
        }),
        ("it has 37981 pieces in all", |p| {
            p.motifs.iter_mut().for_each(|m| m.copies = 1_999);
        }),
        ("it has 0 parts", |p| p.motifs[1].parts.clear()),
        ("it asks for fabric `dock`", |p| {
            p.motifs[1].parts[0].fabric = "dock".into();
        }),
        ("it has 0 wedges", |p| {
            fan(&mut p.motifs[1].parts[0]).wedges = 0;
        }),
        ("its `rim_mm` is inf", |p| {
            fan(&mut p.motifs[1].parts[0]).rim_mm = f64::INFINITY;
        }),
        ("its hub reaches as far", |p| {
            fan(&mut p.motifs[1].parts[0]).hub_mm = 500.0;
        }),
        ("wider than their share of the wedge", |p| {
            let fans = p.motifs.iter_mut().flat_map(|m| &mut m.parts);
            let mut spokes = fans.filter_map(|part| match &mut part.form {
                Form::Fan(fan) => fan.spokes.as_mut(),
                Form::Outline(_) => None,
            });
            spokes.next().unwrap().root_width_mm = 300.0;
        }),
        ("crosses itself", |p| {
            let [a, b] = [point(0.0, 0.0), point(90.0, 80.0)];
            let bow = vec![a, b, point(90.0, 0.0), point(0.0, 70.0)];
            p.motifs[1].parts[0].form = bow.into();
        }),
        ("its corners run clockwise", |p| {
            let ring = vec![point(0.0, 0.0), point(0.0, 70.0), point(90.0, 0.0)];
            p.motifs[1].parts[0].form = ring.into();
        }),
        ("no wedges to run rays", |p| {
            let ring = vec![point(0.0, 0.0), point(90.0, 0.0), point(0.0, 70.0)];
            p.motifs[1].parts[0].form = ring.into();
            p.motifs[1].parts[0].stripes = PartStripes::Rays;
        }),
        ("its offset is fixed", |p| {
            p.motifs[0].parts[0].copies = Copies::Own;
            p.motifs[0].parts[0].phase_mm = Some(1.0);
        }),
        ("its `repeat_mm` is", |p| {
            let band = Band::new("broad", 3000.0, Colour::new(1, 2, 3));
            let stripe = Stripe::lengthwise(vec![band]).unwrap();
            p.fabrics[0].pattern = Pattern::Striped(stripe);
        }),
        ("it is no code of a motif", |p| {
            p.motifs[0].code = Some("io".into());
        }),
        ("motifs go on border 10", |p| {
            p.quilts[0].places[0].site = Site::Corners { border: 9 };
        }),
    ];
    for (want, spoil) in cases {
        let said = wrong(spoil);
        assert!(said.contains(want), "{want}: {said}");
    }
}

/// Units that run longer than what they are sewn to: the words are the reader's own.
#[test]
fn what_does_not_fit_is_said_as_the_reader_says_it() {
    let slipway = include_str!("../../../data/slipway/slipway.toml");
    let read = Project::read(slipway).unwrap_err();
    let mended = slipway.replacen("length = 64\n", "length = \"64 1/2\"\n", 1);
    let mut project = Project::read(&mended).unwrap();
    project.quilts[0].field.strip_length_mm = 64.0 * 25.4;
    let found = project.validate().unwrap_err();
    assert_eq!(found.len(), 1);
    assert_eq!(
        (&found[0].message, &found[0].help),
        (&read[0].message, &read[0].help)
    );
    // A border of no units at all is told before anything is laid out.
    for border in &mut project.quilts[0].borders {
        if let Make::Units { across, .. } = &mut border.make {
            *across = usize::MAX;
        }
    }
    assert!(
        project.validate().unwrap_err()[0]
            .message
            .contains("units across")
    );
}

#[test]
fn constructors_make_what_can_be_laid() {
    let mut project = Project::new("Buoys", crate::length::Unit::Inch);
    let brass = Fabric::plain("brass", 1000.0, Colour::new(200, 160, 60));
    project.fabrics.push(brass);
    let cap = Part::new("cap", "brass", Fan::disc(40.0));
    project
        .motifs
        .push(crate::motif::Motif::new("buoy", 3).with_part(cap));
    assert_eq!(project.validate(), Ok(()));
}
