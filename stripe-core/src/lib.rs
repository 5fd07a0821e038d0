//! Striped fabric for appliqué quilts: a model of fabric, motifs and quilts, layouts of
//! all pieces on as little fabric as can be found, and drawings to cut from.
//!
//! A [`Project`](project::Project) holds the [`fabric`]s, the [`motif`]s and perhaps a
//! [`quilt`] around them. It is built in code or read from a project file.
//! [`plan::make`] works out its pieces, matches their stripes, lays them, and has the
//! result checked; the [`Plan`](plan::Plan) that comes back is plain data, the content of
//! `plan.json`. [`check::check`] asks any plan whether it can be cut as it stands, [`draw`]
//! and [`booklet`] make everything that a maker takes to the table from the plan alone.
//!
//! Lengths are millimetres, and fields are named so (`width_mm`); angles are degrees
//! counter-clockwise where a name ends in `_deg`. [`Length`](length::Length) reads and shows
//! lengths as people write them. Nothing here reads files, clocks or chance of its own: the
//! same project and seed give the same plan, on any number of threads.
//!
//! [`swatch::read`] reads a stripe from a photograph or a scan of fabric.
//!
//! # Build a motif in code, and lay it
//!
//! ```
//! use stripe_core::colour::Colour;
//! use stripe_core::fabric::{Band, Fabric, Stripe};
//! use stripe_core::lay::{Control, Effort};
//! use stripe_core::length::Unit;
//! use stripe_core::motif::{Ends, Fan, Meet, Motif, Part};
//! use stripe_core::plan;
//! use stripe_core::project::Project;
//!
//! let stripe = Stripe::lengthwise(vec![
//!     Band::new("navy", 50.0, Colour::new(0x1f, 0x3a, 0x5f)),
//!     Band::new("cream", 25.0, Colour::new(0xf2, 0xea, 0xd8)),
//! ])?;
//! // Half a ring in two wedges, sewn into the seams of its background.
//! let spray = Part {
//!     meet: Meet::Seam,
//!     ends: Ends::Seam,
//!     ..Part::new("spray", "deck", Fan::ring(25.0, 100.0).with_sweep(0.0, 180.0).with_wedges(2))
//! };
//! let mut project = Project::new("Tides", Unit::Centimetre);
//! project.fabrics.push(Fabric::striped("deck", 1070.0, stripe));
//! project.motifs.push(Motif::new("tide", 2).with_part(spray));
//!
//! let plan = plan::make(&project, &Effort::quick(1), &Control::default())?;
//! let deck = &plan.fabrics[0];
//! assert_eq!(deck.placements.len(), 4);
//! assert!(deck.bound.length_mm <= deck.length_mm && deck.length_mm < 300.0);
//! // The stripes run on across the joint of every copy.
//! assert!(plan.joints.iter().all(|joint| joint.step_mm <= 0.01));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # Read a project file, and compare two widths
//!
//! ```
//! use stripe_core::lay::{Control, Effort};
//! use stripe_core::plan;
//! use stripe_core::project::{Choice, Project};
//!
//! let text = r##"
//!     unit = "in"
//!     [fabric.deck]
//!     width = 42
//!     [fabric.deck.stripe]
//!     bands = [{ width = 2, colour = "#1f3a5f" }, { width = 1, colour = "#f2ead8" }]
//!     [motif.tide]
//!     copies = 6
//!     [[motif.tide.part]]
//!     fabric = "deck"
//!     shape = "fan"
//!     sweep = 180
//!     wedges = 2
//!     hub = 1
//!     rim = 4
//!     meet = "seam"
//!     ends = "seam"
//! "##;
//! // A text at fault gives all its faults, each with its place and what to do.
//! let project = Project::read(text).expect("a project without fault");
//! let length_mm = |inches: f64| {
//!     let width = Choice {
//!         widths_mm: vec![("deck".to_owned(), inches * 25.4)],
//!         ..Choice::default()
//!     };
//!     let project = project.with(&width).expect("a width that holds the stripe");
//!     let plan = plan::make(&project, &Effort::quick(1), &Control::default());
//!     plan.expect("it can be laid").fabrics[0].length_mm
//! };
//! assert!(length_mm(54.0) <= length_mm(42.0));
//! ```
//!
//! # Check a plan, and draw it
#![cfg_attr(feature = "draw", doc = "```")]
#![cfg_attr(not(feature = "draw"), doc = "```ignore")]
//! use stripe_core::check::check;
//! use stripe_core::colour::Colour;
//! use stripe_core::draw::{Paper, map, svg};
//! use stripe_core::fabric::Fabric;
//! use stripe_core::lay::{Control, Effort};
//! use stripe_core::length::Unit;
//! use stripe_core::motif::{Fan, Motif, Part};
//! use stripe_core::plan;
//! use stripe_core::project::Project;
//!
//! let mut project = Project::new("Buoys", Unit::Inch);
//! project.fabrics.push(Fabric::plain("brass", 1000.0, Colour::new(200, 160, 60)));
//! project.motifs.push(Motif::new("buoy", 3).with_part(Part::new("cap", "brass", Fan::disc(40.0))));
//! let mut plan = plan::make(&project, &Effort::quick(1), &Control::default())?;
//!
//! assert!(check(&plan).is_empty());
//! let sheets = map(&plan, "brass", Paper::A4)?;
//! assert!(svg(&sheets[0]).starts_with("<svg"));
//!
//! // A piece that is moved off the fabric is found.
//! plan.fabrics[0].placements[0].to_fabric.dx_mm -= 500.0;
//! assert!(!check(&plan).is_empty());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

#[cfg(feature = "draw")]
pub mod booklet;
pub mod check;
pub mod colour;
#[cfg(feature = "draw")]
pub mod draw;
pub mod drawing;
pub mod fabric;
pub mod lay;
pub mod length;
pub mod motif;
pub mod plan;
pub mod project;
pub mod quilt;
pub mod shape;
#[cfg(feature = "swatch")]
pub mod swatch;
pub mod wording;

mod buy;
mod lp;
mod matching;
mod num;
mod quote;
mod record;
mod rng;
mod star;

/// What the tests and benches of this workspace look into beside the library's own surface.
/// It may change with any commit: build nothing on it.
#[doc(hidden)]
pub mod internals {
    /// Straight cuts.
    pub mod buy {
        pub use crate::buy::{guillotine, straight};
    }
    /// Linear and whole-number programs.
    pub mod lp {
        pub use crate::lp::*;
    }
    /// How stripes meet.
    pub mod matching {
        pub use crate::matching::*;
    }
    /// Chance from a seed.
    pub mod rng {
        pub use crate::rng::Rng;
    }
    /// What a quilt's straight pieces are.
    pub mod quilt {
        pub use crate::quilt::{Purpose, StraightPiece};
    }
}
