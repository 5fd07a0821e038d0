//! The library behind `stripelay`.
//!
//! It models striped fabric, matches stripes from wedge to wedge, lays all pieces on as
//! little fabric as can be, checks the result, and draws it. Lengths are millimetres.
//!
//! ```
//! use stripe_core::lay::{Control, Effort};
//! use stripe_core::plan::{Recipe, make};
//! use stripe_core::project::Project;
//!
//! let project = Project::read(
//!     r##"
//!     unit = "in"
//!     [fabric.deck]
//!     width = 42
//!     [fabric.deck.stripe]
//!     bands = [{ width = 2, colour = "#1f3a5f" }, { width = 1, colour = "#f2ead8" }]
//!     [motif.tide]
//!     copies = 2
//!     [[motif.tide.part]]
//!     fabric = "deck"
//!     shape = "fan"
//!     sweep = 180
//!     wedges = 2
//!     hub = 1
//!     rim = 4
//!     meet = "seam"
//!     ends = "seam"
//!     "##,
//! )
//! .expect("a project without fault");
//! let recipe = Recipe {
//!     effort: Effort::quick(1),
//!     effort_name: "quick",
//!     project_digest: "",
//! };
//! let plan = make(&project, &recipe, &Control::default()).expect("it can be laid");
//! let deck = &plan.fabrics[0];
//! assert_eq!(deck.placements.len(), 4);
//! assert!(deck.bound.length <= deck.length && deck.length < 300.0);
//! // The stripes run on across the joint of every copy.
//! assert!(plan.joints.iter().all(|joint| joint.step <= 0.01));
//! ```

pub mod booklet;
pub mod buy;
pub mod check;
pub mod colour;
pub mod draw;
pub mod fabric;
pub mod lay;
pub mod length;
pub mod lp;
pub mod matching;
pub mod motif;
pub mod num;
pub mod plan;
pub mod project;
pub mod quilt;
pub mod record;
pub mod shape;
pub mod wording;
