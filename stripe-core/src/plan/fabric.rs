//! The lay that the plan takes for one fabric, and what is noted of it.

use super::beside::{Beside, lay_beside};
use super::job::FabricJob;
use super::leftover::{leave_more, left_of};
use super::make::Recipe;
use super::notes::{buy, room_mm};
use crate::buy::FabricCuts;
use crate::check::PLAN_TOL_MM;
use crate::fabric::{Fabric, Faces, Pattern};
use crate::lay::{self, Control, Layout, Outcome};
use crate::length::Unit;
use crate::project::Project;
use crate::record::{
    BesideNote, Bound, BoundKind, Buy, ByHand, FabricPlan, LeftoverNote, Placement, StripeNote,
};
use crate::shape::ring::extent;
use crate::shape::{Region, point};
use geo::Area;

/// The lays found for a fabric.
pub(super) struct LaidFabric {
    /// The shortest.
    alone: Outcome,
    /// One beside straight cuts that saves more.
    pub(super) beside: Option<Beside>,
    /// One that costs the same and leaves more.
    roomy: Option<Layout>,
    /// Whether motifs alone are cut from the fabric.
    is_alone: bool,
    /// Lengths of cut lines, where a layout counts grown outlines (mm): of the layout by hand, of
    /// the tallest piece, and by how much they may fall short.
    by_hand_mm: f64,
    tallest_mm: f64,
    mitre_mm: f64,
}

impl LaidFabric {
    /// From the shortest layout of a fabric, `alone`: one beside its straight cuts, if it has any and that saves fabric; if it
    /// has none, so that what is bought leaves most.
    pub(super) fn find(
        project: &Project,
        fabric: &Fabric,
        made: &FabricJob,
        straight: Option<&FabricCuts>,
        alone: Outcome,
        recipe: &Recipe<'_>,
        control: &Control<'_>,
    ) -> Self {
        let effort = &recipe.effort;
        let beside = straight.and_then(|one| lay_beside(made, &alone, &one.cuts, effort, control));
        let roomy = if straight.is_none() {
            let room = room_mm(fabric, alone.lay.length_mm, project.unit);
            leave_more(&made.job, &alone, room, project.unit, effort, control)
        } else {
            None
        };
        Self {
            beside,
            roomy,
            is_alone: straight.is_none(),
            by_hand_mm: made.end_mm(&alone.by_hand),
            tallest_mm: made.tallest_mm(),
            mitre_mm: made.mitre_mm(),
            alone,
        }
    }

    /// The lay that the plan takes.
    pub(super) fn lay(&self) -> &Layout {
        let beside = self.beside.as_ref().map(|beside| &beside.lay);
        beside.or(self.roomy.as_ref()).unwrap_or(&self.alone.lay)
    }

    /// The fabric's part of the plan.
    pub(super) fn note(
        &self,
        project: &Project,
        fabric: &Fabric,
        placements: Vec<Placement>,
    ) -> FabricPlan {
        let mut plan = FabricPlan {
            placements,
            ..self.fabric_plan(fabric)
        };
        if let Some(beside) = &self.beside {
            plan = with_stretch(plan, self, beside);
        }
        let plan = with_length(project.unit, fabric, plan);
        if self.is_alone {
            with_leftover(project.unit, fabric, plan, self)
        } else {
            plan
        }
    }

    /// What is known of the shortest layout, without its pieces.
    fn fabric_plan(&self, fabric: &Fabric) -> FabricPlan {
        let outcome = &self.alone;
        let mut best = outcome.bounds.best();
        best.length_mm -= self.mitre_mm;
        if best.length_mm < self.tallest_mm {
            best = lay::Bound {
                length_mm: self.tallest_mm,
                kind: lay::BoundKind::Tallest,
                phase_mm: None,
            };
        }
        let stripe = fabric.stripe();
        let band = stripe.zip(best.phase_mm).map(|(stripe, phase)| {
            let band = stripe.band_at(phase - stripe.origin_mm());
            stripe.bands()[band].name.clone()
        });
        FabricPlan {
            name: fabric.name.clone(),
            width: fabric.width_mm,
            length: 0.0,
            by_hand_length: self.by_hand_mm,
            by_hand: match outcome.by_hand_way {
                lay::ByHand::Motifs => ByHand::Motifs,
                lay::ByHand::Pieces => ByHand::Pieces,
                lay::ByHand::Largest => ByHand::Largest,
            },
            bound: Bound {
                length: best.length_mm,
                kind: match best.kind {
                    lay::BoundKind::Area => BoundKind::Area,
                    lay::BoundKind::Phase => BoundKind::PhaseDemand,
                    lay::BoundKind::Stack => BoundKind::Stacking,
                    lay::BoundKind::Tallest => BoundKind::TallestPiece,
                    lay::BoundKind::Few => BoundKind::FewPieces,
                },
                band,
            },
            buy: Buy {
                length: 0.0,
                shown: String::new(),
                price: None,
                counted_in: String::new(),
                less: None,
            },
            stripe: stripe.map(StripeNote::from),
            colour: match &fabric.pattern {
                Pattern::Plain(colour) => Some(*colour),
                Pattern::Striped(_) => None,
            },
            both_faces: fabric.faces == Faces::Both,
            one_way: fabric.one_way,
            may_rotate_deg: if stripe.is_none() {
                fabric.may_rotate_deg.clone()
            } else {
                vec![]
            },
            beside: None,
            leftover: None,
            placements: vec![],
        }
    }
}

/// A fabric whose layout begins beside its straight cuts: all that is known of the shaped
/// pieces alone holds with the stretch counted in.
fn with_stretch(mut fabric: FabricPlan, laid: &LaidFabric, beside: &Beside) -> FabricPlan {
    let length = beside.pocket.length_mm;
    let straight = beside.pocket.slit_mm * length;
    let areas = fabric
        .placements
        .iter()
        .map(|p| p.cut_region().unsigned_area());
    fabric.bound = Bound {
        length: length
            .max(laid.tallest_mm)
            .max((areas.sum::<f64>() + straight) / fabric.width),
        kind: BoundKind::Area,
        band: None,
    };
    fabric.by_hand_length += length;
    fabric.beside = Some(BesideNote {
        slit: beside.pocket.slit_mm,
        length,
        pieces: beside.pieces,
        saved: laid.alone.lay.length_mm + length - beside.lay.length_mm,
    });
    fabric
}

/// What is left of a fabric from which motifs alone are cut.
fn with_leftover(
    unit: Unit,
    model: &Fabric,
    mut fabric: FabricPlan,
    laid: &LaidFabric,
) -> FabricPlan {
    let pieces: Vec<Region> = fabric
        .placements
        .iter()
        .map(|p| p.to_fabric.to_rigid().apply_to(&p.cut_region()))
        .collect();
    let room = room_mm(model, fabric.length, unit);
    let left = left_of(&pieces, fabric.width, room, unit);
    fabric.leftover = left.map(|left| LeftoverNote {
        left: left.left_mm,
        begin: left.begin_mm,
        width: left.width_mm,
        length: left.length_mm,
        shortest: laid
            .roomy
            .as_ref()
            .map(|_| laid.alone.lay.length_mm)
            // The lay counts its length to half the clear gap beyond the cut lines.
            .filter(|&shortest| shortest < fabric.length),
    });
    fabric
}

/// The length is where the last cut line ends, and what is bought follows from it.
fn with_length(unit: Unit, model: &Fabric, mut fabric: FabricPlan) -> FabricPlan {
    let corners = fabric.placements.iter().flat_map(|p| {
        let map = p.to_fabric.to_rigid();
        p.cut.iter().map(move |&[x, y]| map.apply(point(x, y)))
    });
    let (_, high) = extent(corners);
    let stretch = fabric.beside.map_or(0.0, |beside| beside.length);
    // Up to the next micrometre, so that nothing sticks out by a rounding.
    fabric.length = (high.y.max(stretch) * 1e3).ceil() / 1e3;
    // What is above the layout by a rounding is not above it; what is by more, is wrong, and
    // the check says so.
    if fabric.bound.length <= fabric.length + PLAN_TOL_MM {
        fabric.bound.length = fabric.bound.length.min(fabric.length);
    }
    // Of two lays the one that ends first may have cut lines that end a mitre later.
    fabric.by_hand_length = fabric.by_hand_length.max(fabric.length);
    fabric.buy = buy(model, fabric.length, unit);
    fabric
}
