//! The question held to the project: which repeats are laid on which widths.

use super::cell::{OneFabric, with_kind};
use super::data::{
    MOST_REPEATS, StripeKind, YardageCell, YardageError, YardageNote, YardageQuestion,
};
use super::lines::Lines;
use crate::buy::fabric_cuts;
use crate::fabric::Fabric;
use crate::motif::Copies;
use crate::plan::error::Error;
use crate::plan::notes::buy;
use crate::project::{Choice, Project};
use crate::quilt::lay_out;

/// What one cell is about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Spot {
    pub(super) repeat_mm: f64,
    pub(super) width_mm: f64,
    pub(super) copies: Copies,
    pub(super) kind: StripeKind,
    pub(super) is_between: bool,
}

/// The question, sorted and held to the project.
pub(super) struct Asked<'a> {
    pub(super) project: Project,
    pub(super) question: &'a YardageQuestion,
    pub(super) fabric: Fabric,
    pub(super) repeats_mm: Vec<f64>,
    pub(super) widths_mm: Vec<f64>,
    /// What straight pieces take, width by width (mm).
    pub(super) straight_mm: Vec<f64>,
    /// The strictest of what is asked: what the promise is about.
    pub(super) strict: (StripeKind, Copies),
    /// Lines on each width.
    pub(super) lines: Vec<Lines>,
    /// Whether the stripe's beginning matters.
    pub(super) has_fixed: bool,
}

impl<'a> Asked<'a> {
    pub(super) fn new(
        project: &Project,
        question: &'a YardageQuestion,
    ) -> Result<Self, YardageError> {
        let sorted = |lengths: &[f64]| {
            let mut lengths = lengths.to_vec();
            lengths.sort_by(f64::total_cmp);
            lengths.dedup_by(|a, b| (*a - *b).abs() < 0.01);
            lengths
        };
        let repeats_mm = sorted(&question.repeats_mm);
        let widths_mm = sorted(&question.widths_mm);
        let count = repeats_mm.len().saturating_mul(widths_mm.len());
        let is_empty = question.copies.is_empty() || question.kinds.is_empty();
        if count == 0 || count > MOST_REPEATS || is_empty {
            return Err(YardageError::Count(count));
        }
        let mut project = project.clone();
        for fabric in &mut project.fabrics {
            if fabric.name == question.fabric {
                fabric.in_hand.clear();
            }
        }
        project.validate().map_err(Error::Project)?;
        let fabric = project.fabric(&question.fabric).cloned();
        let fabric = fabric.ok_or_else(|| YardageError::NotUsed(question.fabric.clone()))?;
        let strict_kind = question.kinds.iter().copied().reduce(|a, b| match (a, b) {
            (StripeKind::Any, _) | (_, StripeKind::AsItIs) => a,
            _ => b,
        });
        let strict_copies = question.copies.contains(&Copies::Alike);
        let mut asked = Self {
            project,
            question,
            fabric,
            straight_mm: vec![],
            strict: (
                strict_kind.unwrap_or(StripeKind::Any),
                if strict_copies {
                    Copies::Alike
                } else {
                    Copies::Own
                },
            ),
            lines: vec![],
            has_fixed: false,
            repeats_mm,
            widths_mm,
        };
        let (kind, copies) = asked.strict;
        let mut wrong = None;
        for &width_mm in &asked.widths_mm {
            // The least repeat is the one that fits on the fabric, if any does.
            let one = asked.one(&Spot {
                repeat_mm: asked.repeats_mm[0],
                width_mm,
                copies,
                kind,
                is_between: false,
            });
            match one {
                Ok(one) => {
                    asked.lines.push(
                        one.lines()
                            .map_err(|_| YardageError::NotUsed(question.fabric.clone()))?,
                    );
                    asked.has_fixed |= one.has_fixed_offsets();
                }
                Err(fault) => wrong = Some(fault),
            }
            asked.straight_mm.push(asked.straight(width_mm)?);
        }
        match wrong {
            Some(fault) => Err(fault),
            None => Ok(asked),
        }
    }

    /// The project of one cell, worked out.
    pub(super) fn one(&self, spot: &Spot) -> Result<OneFabric, YardageError> {
        Ok(OneFabric::new(self.made(spot)?, &self.question.fabric)?)
    }

    pub(super) fn made(&self, spot: &Spot) -> Result<Project, YardageError> {
        let name = &self.question.fabric;
        let project = self.project.with(&Choice {
            widths_mm: vec![(name.clone(), spot.width_mm)],
            repeats_mm: vec![(name.clone(), spot.repeat_mm)],
            copies: Some(spot.copies),
            ..Choice::default()
        })?;
        Ok(with_kind(project, name, spot.kind))
    }

    /// What straight pieces of the planned quilt take of the fabric at that width (mm).
    fn straight(&self, width_mm: f64) -> Result<f64, YardageError> {
        let Some(quilt) = self.project.quilts.first() else {
            return Ok(0.0);
        };
        let fabrics: Vec<Fabric> = (self.project.fabrics.iter())
            .filter(|fabric| fabric.name == self.question.fabric)
            .map(|fabric| Fabric {
                width_mm,
                ..fabric.clone()
            })
            .collect();
        let cuts = fabric_cuts(quilt, &lay_out(quilt), &fabrics, self.project.kits).map_err(
            |(fabric, fault)| crate::plan::quilt::straight_fault(self.project.unit, fabric, fault),
        )?;
        Ok(cuts.iter().map(|one| one.cuts.length_mm).sum())
    }

    /// What is asked for, and the worst place between each two repeats.
    pub(super) fn first_spots(&self) -> Vec<Spot> {
        let mut spots = vec![];
        for &kind in &self.question.kinds {
            for &copies in &self.question.copies {
                for &width_mm in &self.widths_mm {
                    spots.extend(self.row(width_mm, copies, kind));
                }
            }
        }
        let narrowest = self.widths_mm.iter().take(1);
        for &width_mm in narrowest {
            for &kind in &self.question.also {
                for &copies in &self.question.copies {
                    spots.extend(self.row(width_mm, copies, kind));
                }
            }
        }
        for (i, &width_mm) in self.widths_mm.iter().enumerate() {
            for ends in self.repeats_mm.windows(2) {
                let worst = self.lines[i].worst_between(ends[0], ends[1]);
                spots.extend(worst.first().map(|&at| self.between(at, width_mm)));
            }
        }
        spots
    }

    fn row(
        &self,
        width_mm: f64,
        copies: Copies,
        kind: StripeKind,
    ) -> impl Iterator<Item = Spot> + '_ {
        self.repeats_mm.iter().map(move |&repeat_mm| Spot {
            repeat_mm,
            width_mm,
            copies,
            kind,
            is_between: false,
        })
    }

    fn between(&self, repeat_mm: f64, width_mm: f64) -> Spot {
        Spot {
            repeat_mm,
            width_mm,
            copies: self.strict.1,
            kind: self.strict.0,
            is_between: true,
        }
    }

    /// Further places between two repeats, where those tried so far need more than either end.
    pub(super) fn more_spots(&self, cells: &[YardageCell]) -> Vec<Spot> {
        let mut spots = vec![];
        for (i, &width_mm) in self.widths_mm.iter().enumerate() {
            for ends in self.repeats_mm.windows(2) {
                let inside = |cell: &&YardageCell| {
                    self.is_strict(cell)
                        && cell.width_mm == width_mm
                        && cell.repeat_mm >= ends[0]
                        && cell.repeat_mm <= ends[1]
                };
                let (between, at_ends): (Vec<&YardageCell>, Vec<_>) = cells
                    .iter()
                    .filter(inside)
                    .partition(|cell| cell.is_between);
                let most = |cells: &[&YardageCell]| {
                    let bought = cells.iter().filter_map(|cell| cell.buy_mm());
                    bought.fold(0.0, f64::max)
                };
                if most(&between) <= most(&at_ends) {
                    continue;
                }
                let worst = self.lines[i].worst_between(ends[0], ends[1]);
                let is_new = |at: &&f64| between.iter().all(|cell| cell.repeat_mm != **at);
                let next = worst.iter().filter(is_new).take(2);
                spots.extend(next.map(|&at| self.between(at, width_mm)));
            }
        }
        spots
    }

    pub(super) fn is_strict(&self, cell: &YardageCell) -> bool {
        (cell.kind, cell.copies) == self.strict
    }

    /// By what cells are sorted.
    pub(super) fn key(&self, cell: &YardageCell) -> (usize, usize, f64, f64) {
        let (kinds, also) = (self.question.kinds.iter(), &self.question.also);
        let copies = &self.question.copies;
        (
            kinds
                .chain(also)
                .position(|&kind| kind == cell.kind)
                .unwrap_or(0),
            copies
                .iter()
                .position(|&one| one == cell.copies)
                .unwrap_or(0),
            cell.width_mm,
            cell.repeat_mm,
        )
    }

    fn straight_at(&self, width_mm: f64) -> f64 {
        let at = self.widths_mm.iter().position(|&width| width == width_mm);
        at.map_or(0.0, |at| self.straight_mm[at])
    }

    pub(super) fn note(&self, width_mm: f64, length_mm: f64, least_mm: f64) -> YardageNote {
        let straight_mm = self.straight_at(width_mm);
        let used_mm = length_mm + straight_mm;
        YardageNote {
            length_mm,
            least_mm,
            straight_mm,
            buy: buy(&self.fabric, used_mm, self.project.unit),
        }
    }
}
