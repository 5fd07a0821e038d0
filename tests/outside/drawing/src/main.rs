//! Builds a motif in code, lays it and prints the map of its fabric as SVG.

use stripe_core::check::check;
use stripe_core::colour::Colour;
use stripe_core::draw::{Paper, map, svg};
use stripe_core::fabric::{Band, Fabric, Stripe};
use stripe_core::lay::{Control, Effort};
use stripe_core::length::Unit;
use stripe_core::motif::{Ends, Fan, Meet, Motif, Part};
use stripe_core::plan;
use stripe_core::project::Project;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let stripe = Stripe::lengthwise(vec![
        Band::new("navy", 50.0, Colour::new(0x1f, 0x3a, 0x5f)),
        Band::new("cream", 25.0, Colour::new(0xf2, 0xea, 0xd8)),
    ])?;
    let spray = Part {
        meet: Meet::Seam,
        ends: Ends::Seam,
        ..Part::new(
            "spray",
            "deck",
            Fan::ring(25.0, 100.0).with_sweep(0.0, 180.0).with_wedges(2),
        )
    };
    let mut project = Project::new("Tides", Unit::Centimetre);
    project.fabrics.push(Fabric::striped("deck", 1070.0, stripe));
    project.motifs.push(Motif::new("tide", 3).with_part(spray));
    project.validate().map_err(|wrong| wrong[0].to_string())?;

    let plan = plan::make(&project, &Effort::quick(1), &Control::default())?;
    assert!(check(&plan).is_empty());
    let sheets = map(&plan, "deck", Paper::A4)?;
    print!("{}", svg(&sheets[0]));
    Ok(())
}
