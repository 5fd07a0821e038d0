//! The lay that the plan takes for one fabric, and what is noted of it.

use super::beside::{Beside, lay_beside};
use super::job::FabricJob;
use super::leftover::{leave_more, left_of};
use super::notes::{buy, room_mm};
use crate::buy::FabricCuts;
use crate::check::PLAN_TOL_MM;
use crate::fabric::{Fabric, Faces, Nap, Pattern, Stripe};
use crate::lay::{Control, Effort, Layout, Outcome};
use crate::length::Unit;
use crate::project::Project;
use crate::record::{BesideNote, BoundKind, FabricPlan, LeastLength, Leftover, PlacedPiece};
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
        effort: &Effort,
        control: &Control<'_>,
    ) -> Self {
        // What is in hand is not bought: there is nothing beside it, and nothing to spare of it.
        let straight_beside = straight.filter(|_| made.spread.is_none());
        let beside =
            straight_beside.and_then(|one| lay_beside(made, &alone, &one.cuts, effort, control));
        let roomy = if straight.is_none() && made.spread.is_none() {
            let room = room_mm(fabric, alone.layout.length_mm, project.unit);
            leave_more(&made.job, &alone, room, project.unit, effort, control)
        } else {
            None
        };
        Self {
            beside,
            roomy,
            is_alone: straight.is_none() && made.spread.is_none(),
            by_hand_mm: made.end_mm(&alone.by_hand),
            tallest_mm: made.tallest_mm(),
            mitre_mm: made.mitre_mm(),
            alone,
        }
    }

    /// The shortest layout, whatever else is cut from the fabric.
    pub(super) fn shortest(made: &FabricJob, alone: Outcome) -> Self {
        Self {
            beside: None,
            roomy: None,
            is_alone: false,
            by_hand_mm: made.end_mm(&alone.by_hand),
            tallest_mm: made.tallest_mm(),
            mitre_mm: made.mitre_mm(),
            alone,
        }
    }

    /// The lay that the plan takes.
    pub(super) fn lay(&self) -> &Layout {
        let beside = self.beside.as_ref().map(|beside| &beside.layout);
        beside.or(self.roomy.as_ref()).unwrap_or(&self.alone.layout)
    }

    /// The fabric's part of the plan.
    pub(super) fn note(
        &self,
        project: &Project,
        fabric: &Fabric,
        placements: Vec<PlacedPiece>,
    ) -> FabricPlan {
        let stripe = fabric.stripe();
        let beside = self.beside.as_ref().map(|beside| self.beside_note(beside));
        let stretch_mm = beside.map_or(0.0, |beside| beside.length_mm);
        let length_mm = length_mm(&placements, stretch_mm);
        let mut bound = match &beside {
            Some(beside) => self.bound_beside(fabric, beside, &placements),
            None => self.bound_alone(stripe),
        };
        // What is above the layout by a rounding is not above it; what is by more, is wrong,
        // and the check says so.
        if bound.length_mm <= length_mm + PLAN_TOL_MM {
            bound.length_mm = bound.length_mm.min(length_mm);
        }
        let leftover = self
            .is_alone
            .then(|| self.leftover(project.unit, fabric, length_mm, &placements));
        FabricPlan {
            name: fabric.name.clone(),
            width_mm: fabric.width_mm,
            length_mm,
            // Of two lays the one that ends first may have cut lines that end a mitre later.
            by_hand_length_mm: (self.by_hand_mm + stretch_mm).max(length_mm),
            by_hand: self.alone.by_hand_way,
            bound,
            buy: buy(fabric, length_mm, project.unit),
            stripe: stripe.cloned(),
            colour: match &fabric.pattern {
                Pattern::Plain(colour) => Some(*colour),
                Pattern::Striped(_) => None,
            },
            both_faces: fabric.faces == Faces::Both,
            one_way: fabric.one_way,
            may_rotate_deg: if stripe.is_none() {
                fabric.turns_deg().to_vec()
            } else {
                vec![]
            },
            nap: if stripe.is_none() {
                fabric.nap
            } else {
                Nap::None
            },
            beside,
            leftover: leftover.flatten(),
            one_kit_mm: self.alone.one_lot_mm,
            in_hand: None,
            avoid: vec![],
            placements,
        }
    }

    fn beside_note(&self, beside: &Beside) -> BesideNote {
        let length_mm = beside.remnant.length_mm;
        BesideNote {
            slit_mm: beside.remnant.slit_mm,
            length_mm,
            pieces: beside.pieces,
            saved_mm: self.alone.layout.length_mm + length_mm - beside.layout.length_mm,
        }
    }

    /// What the shaped pieces by themselves cannot be below.
    fn bound_alone(&self, stripe: Option<&Stripe>) -> LeastLength {
        let best = self.alone.bounds.best();
        let length_mm = best.length_mm - self.mitre_mm;
        if length_mm < self.tallest_mm {
            return LeastLength {
                length_mm: self.tallest_mm,
                kind: BoundKind::Tallest,
                band: None,
            };
        }
        let band = stripe.zip(best.phase_mm).map(|(stripe, phase)| {
            let band = stripe.band_at(phase - stripe.origin_mm());
            stripe.bands()[band].name.clone()
        });
        LeastLength {
            length_mm,
            kind: best.kind,
            band,
        }
    }

    /// The same where the layout begins beside straight cuts: the stretch counts as filled.
    fn bound_beside(
        &self,
        fabric: &Fabric,
        beside: &BesideNote,
        placements: &[PlacedPiece],
    ) -> LeastLength {
        let straight = beside.slit_mm * beside.length_mm;
        let areas = placements.iter().map(|p| p.cut_region().unsigned_area());
        LeastLength {
            length_mm: beside
                .length_mm
                .max(self.tallest_mm)
                .max((areas.sum::<f64>() + straight) / fabric.width_mm),
            kind: BoundKind::Area,
            band: None,
        }
    }

    /// What is left of a fabric from which motifs alone are cut.
    fn leftover(
        &self,
        unit: Unit,
        fabric: &Fabric,
        length_mm: f64,
        placements: &[PlacedPiece],
    ) -> Option<Leftover> {
        let pieces: Vec<Region> = placements
            .iter()
            .map(|p| p.to_fabric.to_rigid().apply_to(&p.cut_region()))
            .collect();
        let room = room_mm(fabric, length_mm, unit);
        let left = left_of(&pieces, fabric.width_mm, room, unit)?;
        let shortest_mm = self.roomy.as_ref().map(|_| self.alone.layout.length_mm);
        Some(Leftover {
            // The lay counts its length to half the clear gap beyond the cut lines.
            shortest_mm: shortest_mm.filter(|&shortest| shortest < length_mm),
            ..left
        })
    }
}

/// The length is where the last cut line ends, and no less than the stretch beside which the
/// layout begins (mm).
pub(super) fn length_mm(placements: &[PlacedPiece], stretch_mm: f64) -> f64 {
    let corners = placements.iter().flat_map(|p| {
        let map = p.to_fabric.to_rigid();
        p.cut.iter().map(move |&[x, y]| map.apply(point(x, y)))
    });
    let (_, high) = extent(corners);
    // Up to the next micrometre, so that nothing sticks out by a rounding.
    (high.y.max(stretch_mm) * 1e3).ceil() / 1e3
}
