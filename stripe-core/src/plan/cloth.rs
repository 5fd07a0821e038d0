//! The lay that the plan takes for one cloth, and what is noted of it.

use super::beside::{Beside, lay_beside};
use super::job::ClothJob;
use super::leftover::{leave_more, left_of};
use super::make::Recipe;
use super::notes::{buy, room_mm};
use crate::buy::ClothCuts;
use crate::check::PLAN_TOL_MM;
use crate::cloth::{Cloth, Faces, Pattern};
use crate::lay::{self, Control, Lay, LayError, Outcome};
use crate::length::Unit;
use crate::project::Project;
use crate::record::{
    BesideNote, Bound, BoundKind, Buy, ByHand, ClothPlan, LeftoverNote, Placement, StripeNote,
};
use crate::shape::ring::extent;
use crate::shape::{Region, point};
use geo::Area;

/// The lays found for a cloth.
pub(super) struct LaidCloth {
    /// The shortest.
    alone: Outcome,
    /// One beside straight cuts that saves more.
    pub(super) beside: Option<Beside>,
    /// One that costs the same and leaves more.
    roomy: Option<Lay>,
    /// Whether motifs alone are cut from the cloth.
    is_alone: bool,
    /// Lengths of cut lines, where a lay counts grown outlines (mm): of the lay by hand, of
    /// the tallest piece, and by how much they may fall short.
    by_hand_mm: f64,
    tallest_mm: f64,
    mitre_mm: f64,
}

impl LaidCloth {
    /// Lays a cloth: beside its straight cuts, if it has any and that saves cloth; if it
    /// has none, so that what is bought leaves most.
    pub(super) fn find(
        project: &Project,
        cloth: &Cloth,
        made: &ClothJob,
        straight: Option<&ClothCuts>,
        recipe: &Recipe<'_>,
        control: &Control<'_>,
    ) -> Result<Self, LayError> {
        let effort = &recipe.effort;
        let alone = lay::lay(&made.job, effort, control)?;
        let beside = straight.and_then(|one| lay_beside(made, &alone, &one.cuts, effort, control));
        let roomy = if straight.is_none() {
            let room = room_mm(cloth, alone.lay.length_mm, project.unit);
            leave_more(&made.job, &alone, room, project.unit, effort, control)
        } else {
            None
        };
        Ok(Self {
            beside,
            roomy,
            is_alone: straight.is_none(),
            by_hand_mm: made.end_mm(&alone.by_hand),
            tallest_mm: made.tallest_mm(),
            mitre_mm: made.mitre_mm(),
            alone,
        })
    }

    /// The lay that the plan takes.
    pub(super) fn lay(&self) -> &Lay {
        let beside = self.beside.as_ref().map(|beside| &beside.lay);
        beside.or(self.roomy.as_ref()).unwrap_or(&self.alone.lay)
    }

    /// The cloth's part of the plan.
    pub(super) fn note(
        &self,
        project: &Project,
        cloth: &Cloth,
        placements: Vec<Placement>,
    ) -> ClothPlan {
        let mut plan = ClothPlan {
            placements,
            ..self.cloth_plan(cloth)
        };
        if let Some(beside) = &self.beside {
            plan = with_stretch(plan, self, beside);
        }
        let plan = with_length(project.unit, cloth, plan);
        if self.is_alone {
            with_leftover(project.unit, cloth, plan, self)
        } else {
            plan
        }
    }

    /// What is known of the shortest lay, without its pieces.
    fn cloth_plan(&self, cloth: &Cloth) -> ClothPlan {
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
        let stripe = cloth.stripe();
        let band = stripe.zip(best.phase_mm).map(|(stripe, phase)| {
            let band = stripe.band_at(phase - stripe.origin_mm());
            stripe.bands()[band].name.clone()
        });
        ClothPlan {
            name: cloth.name.clone(),
            width: cloth.width_mm,
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
            },
            stripe: stripe.map(StripeNote::from),
            colour: match &cloth.pattern {
                Pattern::Plain(colour) => Some(*colour),
                Pattern::Striped(_) => None,
            },
            both_faces: cloth.faces == Faces::Both,
            one_way: cloth.one_way,
            turns_deg: if stripe.is_none() {
                cloth.turns_deg.clone()
            } else {
                vec![]
            },
            beside: None,
            leftover: None,
            placements: vec![],
        }
    }
}

/// A cloth whose lay begins beside its straight cuts: all that is known of the shaped
/// pieces alone holds with the stretch counted in.
fn with_stretch(mut cloth: ClothPlan, laid: &LaidCloth, beside: &Beside) -> ClothPlan {
    let length = beside.pocket.length_mm;
    let straight = beside.pocket.slit_mm * length;
    let areas = cloth
        .placements
        .iter()
        .map(|p| p.cut_region().unsigned_area());
    cloth.bound = Bound {
        length: length
            .max(laid.tallest_mm)
            .max((areas.sum::<f64>() + straight) / cloth.width),
        kind: BoundKind::Area,
        band: None,
    };
    cloth.by_hand_length += length;
    cloth.beside = Some(BesideNote {
        slit: beside.pocket.slit_mm,
        length,
        pieces: beside.pieces,
        saved: laid.alone.lay.length_mm + length - beside.lay.length_mm,
    });
    cloth
}

/// What is left of a cloth from which motifs alone are cut.
fn with_leftover(unit: Unit, model: &Cloth, mut cloth: ClothPlan, laid: &LaidCloth) -> ClothPlan {
    let pieces: Vec<Region> = cloth
        .placements
        .iter()
        .map(|p| p.to_cloth.to_rigid().apply_to(&p.cut_region()))
        .collect();
    let room = room_mm(model, cloth.length, unit);
    let left = left_of(&pieces, cloth.width, room, unit);
    cloth.leftover = left.map(|left| LeftoverNote {
        left: left.left_mm,
        begin: left.begin_mm,
        width: left.width_mm,
        length: left.length_mm,
        shortest: laid
            .roomy
            .as_ref()
            .map(|_| laid.alone.lay.length_mm)
            // The lay counts its length to half the clear gap beyond the cut lines.
            .filter(|&shortest| shortest < cloth.length),
    });
    cloth
}

/// The length is where the last cut line ends, and what is bought follows from it.
fn with_length(unit: Unit, model: &Cloth, mut cloth: ClothPlan) -> ClothPlan {
    let corners = cloth.placements.iter().flat_map(|p| {
        let map = p.to_cloth.to_rigid();
        p.cut.iter().map(move |&[x, y]| map.apply(point(x, y)))
    });
    let (_, high) = extent(corners);
    let stretch = cloth.beside.map_or(0.0, |beside| beside.length);
    // Up to the next micrometre, so that nothing sticks out by a rounding.
    cloth.length = (high.y.max(stretch) * 1e3).ceil() / 1e3;
    // What is above the lay by a rounding is not above it; what is by more, is wrong, and
    // the check says so.
    if cloth.bound.length <= cloth.length + PLAN_TOL_MM {
        cloth.bound.length = cloth.bound.length.min(cloth.length);
    }
    // Of two lays the one that ends first may have cut lines that end a mitre later.
    cloth.by_hand_length = cloth.by_hand_length.max(cloth.length);
    cloth.buy = buy(model, cloth.length, unit);
    cloth
}
