//! One fabric laid by itself: the same job, layout and check as in a whole plan.

use super::data::StripeKind;
use super::lines::{Lines, is_all_free};
use crate::check::check;
use crate::colour::Colour;
use crate::fabric::{Band, Fabric, Faces, Pattern, Stripe};
use crate::lay::{self, Control, Effort};
use crate::plan::bare::bare;
use crate::plan::error::Error;
use crate::plan::fabric::LaidFabric;
use crate::plan::job::{FabricJob, Worked, fabric_job, work_out};
use crate::plan::make::lay_fault;
use crate::plan::notes::{joint_notes, motif_notes, placements};
use crate::project::Project;
use crate::record::{FabricPlan, Plan};
use std::collections::BTreeMap;

/// A project in which one fabric is to be laid, worked out.
pub(super) struct OneFabric {
    project: Project,
    worked: Vec<Worked>,
    /// Which of its fabrics.
    at: usize,
}

impl OneFabric {
    /// `project` is sound, has a striped fabric of that name, and nothing of it in hand.
    pub(super) fn new(project: Project, fabric: &str) -> Result<Self, Error> {
        let worked = work_out(&project)?;
        let at = project.fabrics.iter().position(|one| one.name == fabric);
        Ok(Self {
            at: at.ok_or(Error::NothingToCut)?,
            worked,
            project,
        })
    }

    fn fabric(&self) -> &Fabric {
        &self.project.fabrics[self.at]
    }

    fn job(&self) -> Result<FabricJob, Error> {
        fabric_job(&self.project, &self.worked, self.fabric()).ok_or(Error::NothingToCut)
    }

    /// What can be told of its pieces without laying them.
    pub(super) fn lines(&self) -> Result<Lines, Error> {
        let made = self.job()?;
        Ok(Lines::new(self.fabric(), &made, |item| {
            let origin = made.origins[item];
            let piece = &self.worked[origin.motif].assembly.pieces[origin.piece];
            (origin.motif, piece.part)
        }))
    }

    /// Whether another one asks for the same layout.
    pub(super) fn is_like(&self, other: &Self) -> bool {
        match (self.job(), other.job()) {
            (Ok(a), Ok(b)) => a.job == b.job,
            _ => false,
        }
    }

    /// Whether it matters where the stripe begins.
    pub(super) fn has_fixed_offsets(&self) -> bool {
        self.job().is_ok_and(|made| !is_all_free(&made.job))
    }

    /// The layout that was found, as a plan of this fabric alone that has passed its check.
    pub(super) fn lay(&self, effort: &Effort, control: &Control<'_>) -> Result<FabricPlan, Error> {
        let (project, worked, fabric) = (&self.project, &self.worked, self.fabric());
        let made = self.job()?;
        let outcome = lay::lay(&made.job, effort, control)
            .map_err(|fault| lay_fault(project, worked, fabric, &made, fault))?;
        let mut motifs = motif_notes(project, worked);
        let laid = LaidFabric::shortest(&made, outcome);
        let placements = placements(project, worked, &motifs, fabric, &made, laid.lay());
        let laid = laid.note(project, fabric, placements);
        let by_id: BTreeMap<&str, _> = (laid.placements.iter())
            .map(|placement| (placement.id.as_str(), placement))
            .collect();
        let joints = joint_notes(project, worked, &by_id);
        for motif in &mut motifs {
            motif.pieces.retain(|piece| piece.fabric == fabric.name);
        }
        motifs.retain(|motif| !motif.pieces.is_empty());
        let mut plan = Plan {
            motifs,
            fabrics: vec![laid],
            joints,
            ..bare(project, effort)
        };
        let findings = check(&plan);
        if findings.is_empty() {
            plan.fabrics.pop().ok_or(Error::NothingToCut)
        } else {
            Err(Error::Unverified(findings))
        }
    }
}

/// The project with its fabric as strict as `kind` says.
pub(super) fn with_kind(mut project: Project, fabric: &str, kind: StripeKind) -> Project {
    if let Some(fabric) = project.fabrics.iter_mut().find(|one| one.name == fabric) {
        let is_any = kind == StripeKind::Any;
        if (is_any || kind == StripeKind::NoMirrorLine)
            && let Pattern::Striped(stripe) = &fabric.pattern
            && let Some(uneven) = uneven(stripe)
        {
            fabric.pattern = Pattern::Striped(uneven);
        }
        if is_any || kind == StripeKind::RightSideOnly {
            fabric.faces = Faces::RightSide;
        }
        fabric.one_way |= is_any || kind == StripeKind::OneWay;
    }
    project
}

/// The stripe with bands that read otherwise from left than from right.
fn uneven(stripe: &Stripe) -> Option<Stripe> {
    let colours = [(0, 0, 0), (128, 128, 128), (255, 255, 255)];
    let shares = [1.0 / 2.0, 1.0 / 3.0, 1.0 / 6.0];
    let bands = colours.iter().zip(shares).enumerate();
    let bands = bands.map(|(i, (&(r, g, b), share))| Band {
        width_mm: stripe.repeat_mm() * share,
        colour: Colour::new(r, g, b),
        name: format!("band {}", i + 1),
    });
    Stripe::try_new(
        stripe.run(),
        stripe.lean_deg(),
        stripe.origin_mm(),
        bands.collect(),
    )
    .ok()
}
