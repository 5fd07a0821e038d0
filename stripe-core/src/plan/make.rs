//! The whole way from a project to a checked plan.

use super::cloth::LaidCloth;
use super::error::Error;
use super::job::{ClothJob, Worked, cloth_job, work_out};
use super::notes::{joint_notes, making_note, motif_notes, placements, unit_note};
use super::quilt::{QuiltWork, quilt_note, work_out_quilt};
use crate::check::check;
use crate::cloth::squareness::{BOW_LIMIT_PERCENT, SKEW_LIMIT_PERCENT, bow_percent, bow_tilt_rad};
use crate::cloth::{Cloth, Stripe};
use crate::lay::{Control, Effort, LayError};
use crate::length::Length;
use crate::matching::noticed_words;
use crate::project::Project;
use crate::quilt::cloths_of;
use crate::record::{Buy, ClothPlan, FORMAT, Plan};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// How a plan is to be made.
#[derive(Debug, Clone)]
pub struct Recipe<'a> {
    /// How hard to search.
    pub effort: Effort,
    /// What that effort is called.
    pub effort_name: &'a str,
    /// A digest of the project file, to know it again.
    pub project_digest: &'a str,
}

/// Plans a project: lays every cloth, and has the witness check the whole.
///
/// The same project and recipe give the same plan on any number of threads, unless
/// `control` stops the search: then the best lays so far are the plan.
///
/// # Errors
/// See [`Error`]. A plan that does not pass [`check`] is an error, never a result.
pub fn make(project: &Project, recipe: &Recipe<'_>, control: &Control<'_>) -> Result<Plan, Error> {
    let worked = work_out(project)?;
    let motifs = motif_notes(project, &worked);
    let jobs: Vec<(&Cloth, ClothJob)> = project
        .cloths
        .iter()
        .filter_map(|cloth| Some((cloth, cloth_job(project, &worked, cloth)?)))
        .collect();
    if jobs.is_empty() {
        return Err(Error::NothingToCut);
    }
    let quilt = work_out_quilt(project)?;
    let cuts = quilt.as_ref().map_or(&[][..], QuiltWork::cuts);
    let straight = |cloth: &Cloth| cuts.iter().find(|one| one.cloth == cloth.name);
    let found: Vec<LaidCloth> = jobs
        .par_iter()
        .map(|(cloth, made)| {
            LaidCloth::find(project, cloth, made, straight(cloth), recipe, control)
                .map_err(|fault| lay_fault(project, &worked, cloth, made, fault))
        })
        .collect::<Result<_, Error>>()?;

    let mut cloths: Vec<ClothPlan> = jobs
        .iter()
        .zip(&found)
        .map(|((cloth, made), laid)| {
            let placements = placements(project, &worked, &motifs, cloth, made, laid.lay());
            laid.note(project, cloth, placements)
        })
        .collect();
    let by_id: BTreeMap<&str, _> = cloths
        .iter()
        .flat_map(|cloth| &cloth.placements)
        .map(|placement| (placement.id.as_str(), placement))
        .collect();
    let joints = joint_notes(project, &worked, &by_id);
    let mut warnings = warnings(project, &worked);
    let pockets = jobs
        .iter()
        .zip(&found)
        .filter_map(|((cloth, _), laid)| Some((cloth.name.as_str(), &laid.beside.as_ref()?.pocket)))
        .collect();
    let quilt = quilt.map(|work| {
        let (note, found) = quilt_note(project, work, &worked, &motifs, &cloths, &pockets);
        warnings.extend(found);
        note
    });
    // What is asked for in the shop is for straight pieces and motifs together.
    for line in quilt.iter().flat_map(|quilt| &quilt.shopping) {
        if let Some(cloth) = cloths.iter_mut().find(|cloth| cloth.name == line.name) {
            cloth.buy = Buy {
                length: line.buy,
                shown: line.shown.clone(),
                price: line.price,
                counted_in: std::mem::take(&mut cloth.buy.counted_in),
            };
        }
    }
    let plan = Plan {
        format: FORMAT.to_owned(),
        made_by: format!("stripelay {}", env!("CARGO_PKG_VERSION")),
        title: project.title.clone(),
        project_digest: recipe.project_digest.to_owned(),
        unit: unit_note(project.unit),
        money: project.money.clone(),
        seed: recipe.effort.seed,
        effort: recipe.effort_name.to_owned(),
        making: making_note(&project.making),
        quilt,
        warnings,
        motifs,
        cloths,
        joints,
    };
    let findings = check(&plan);
    if findings.is_empty() {
        Ok(plan)
    } else {
        Err(Error::Witness(findings))
    }
}

/// A lay's fault in the words of the project.
fn lay_fault(
    project: &Project,
    worked: &[Worked],
    cloth: &Cloth,
    made: &ClothJob,
    fault: LayError,
) -> Error {
    let names = |item: usize| {
        let origin = made.origins[item];
        let piece = &worked[origin.motif].assembly.pieces[origin.piece];
        let motif = &project.motifs[origin.motif];
        (motif.name.clone(), piece.name.clone())
    };
    match fault {
        LayError::NoPlace { item, .. } => {
            let (motif, piece) = names(item);
            Error::NoPlace {
                cloth: cloth.name.clone(),
                motif,
                piece,
            }
        }
        LayError::TooWide {
            item,
            too_wide_mm,
            width_mm,
            ..
        } => {
            let (motif, piece) = names(item);
            let shown = |mm: f64| Length::from_mm(mm).shown_up(project.unit);
            Error::TooWide {
                cloth: cloth.name.clone(),
                motif,
                piece,
                over: shown(too_wide_mm),
                needed: shown(width_mm),
            }
        }
        fault => Error::Lay {
            cloth: cloth.name.clone(),
            fault,
        },
    }
}

/// What a maker should know before cutting.
fn warnings(project: &Project, worked: &[Worked]) -> Vec<String> {
    let mut warnings = vec![];
    for (motif, worked) in project.motifs.iter().zip(worked) {
        let remarks = worked.assembly.remarks.iter();
        warnings.extend(
            remarks.map(|remark| format!("motif `{}`: {}", motif.name, remark.said(project.unit))),
        );
        for (part, frames) in motif.parts.iter().zip(&worked.frames) {
            let Some(frames) = frames else { continue };
            let allowed = project.making.match_mm.max(crate::check::STEP_TOL_MM);
            // Where the offset is free, the colours at the joint are the lay's affair.
            if frames.worst.is_seen(allowed) || (frames.is_free && frames.worst.step_mm > allowed) {
                let why = frames
                    .advice
                    .as_ref()
                    .map_or_else(String::new, |advice| format!(": {advice}"));
                warnings.push(format!(
                    "motif `{}`, part `{}`: the stripes will miss each other by {:.2} mm ({}) at the worst joint, whatever \
                     the lay{why}. That is readily noticed from {}, and as a broken line from much further",
                    motif.name,
                    part.name,
                    frames.worst.step_mm,
                    Length::from_mm(frames.worst.step_mm).shown(project.unit),
                    noticed_words(frames.worst.step_mm),
                ));
            }
        }
    }
    warnings.extend(unplaced(project));
    let straight = |name: &str| {
        let quilts = project.quilts.iter();
        quilts.flat_map(cloths_of).any(|used| used == name)
    };
    warnings.extend(project.cloths.iter().flat_map(squareness_warnings));
    let used = |name: &str| {
        let mut parts = project.motifs.iter().flat_map(|m| &m.parts);
        parts.any(|p| p.cloth == name) || straight(name)
    };
    let idle = project.cloths.iter().filter(|cloth| !used(&cloth.name));
    warnings.extend(idle.map(|cloth| format!("cloth `{}` is not used", cloth.name)));
    warnings
}

/// Motifs that only another size of the pattern has a place for.
fn unplaced(project: &Project) -> Vec<String> {
    let Some(quilt) = project.quilts.first().filter(|q| !q.places.is_empty()) else {
        return vec![];
    };
    let here = |name: &str| quilt.places.iter().any(|place| place.motif == name);
    let motifs = project.motifs.iter().filter(|motif| !here(&motif.name));
    motifs
        .map(|motif| {
            format!(
                "motif `{}` has no place in size `{}`, only in another: its cloth is planned and counted here \
                 all the same. Leave it uncut if you sew this size",
                motif.name, quilt.name
            )
        })
        .collect()
}

/// Cloth that is further from square than such cloth should be.
fn squareness_warnings(cloth: &Cloth) -> Vec<String> {
    let mut warnings = vec![];
    let lean = cloth.stripe().map_or(0.0, Stripe::lean_deg);
    let skew = 100.0 * lean.to_radians().tan().abs();
    if skew > SKEW_LIMIT_PERCENT {
        warnings.push(format!(
            "cloth `{}` leans by {lean:.1} degrees, a skew of {skew:.1} %: more than woven cloth should ({SKEW_LIMIT_PERCENT:.0} %). \
             The plan follows the stripe as you measured it; pull the cloth square or measure it in more than one place before \
             you cut",
            cloth.name
        ));
    }
    let bow = bow_percent(cloth.bow_mm, cloth.width_mm);
    if bow > BOW_LIMIT_PERCENT {
        warnings.push(format!(
            "cloth `{}` bows by {bow:.1} % of its width, more than woven cloth should ({BOW_LIMIT_PERCENT:.0} %): near the selvages \
             its stripes tilt by up to {:.1} degrees, which no plan allows for. Cut single layers by the stripe itself",
            cloth.name,
            bow_tilt_rad(bow).to_degrees()
        ));
    }
    warnings
}
