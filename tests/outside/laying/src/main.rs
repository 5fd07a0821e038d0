//! Lays motifs without anything that draws: plain fabric, a disc on a drawn leaf.

use stripe_core::colour::Colour;
use stripe_core::fabric::Fabric;
use stripe_core::lay::{Control, Effort};
use stripe_core::length::Unit;
use stripe_core::motif::{Fan, Motif, Part};
use stripe_core::plan;
use stripe_core::project::Project;
use stripe_core::shape::point;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let leaf = vec![point(0.0, -60.0), point(40.0, 0.0), point(0.0, 60.0), point(-40.0, 0.0)];
    let motif = Motif::new("bud", 5)
        .with_part(Part::new("leaf", "moss", leaf))
        .with_part(Part::new("bud", "rose", Fan::disc(20.0)));
    let mut project = Project::new("Buds", Unit::Inch);
    for (name, colour) in [("moss", Colour::new(70, 110, 60)), ("rose", Colour::new(200, 90, 110))] {
        project.fabrics.push(Fabric::plain(name, 1000.0, colour));
    }
    project.motifs.push(motif);
    let plan = plan::make(&project, &Effort::quick(1), &Control::default())?;
    for fabric in &plan.fabrics {
        println!("{}: {} pieces", fabric.name, fabric.placements.len());
    }
    Ok(())
}
