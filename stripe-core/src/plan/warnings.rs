//! What a maker should know before cutting: what the model shows that no drawing does.

use super::job::Worked;
use crate::fabric::squareness::{BOW_LIMIT_PERCENT, SKEW_LIMIT_PERCENT, bow_percent, bow_tilt_rad};
use crate::fabric::{Fabric, Stripe};
use crate::length::Length;
use crate::matching::{has_contrast, noticed_words};
use crate::motif::{Fan, Form, Motif, Remark};
use crate::project::Project;
use crate::quilt::fabrics_of;

/// What a maker should know before cutting.
pub(super) fn warnings(project: &Project, worked: &[Worked]) -> Vec<String> {
    let mut warnings = vec![];
    // One template for whole and part circles is asked for only where both are made, of one size.
    let fans = |motif: &Motif| {
        let parts = motif.parts.iter().filter_map(|part| match &part.form {
            Form::Fan(fan) => Some(fan.clone()),
            _ => None,
        });
        parts.collect::<Vec<Fan>>()
    };
    let all: Vec<Fan> = project.motifs.iter().flat_map(fans).collect();
    let is_other_part = |a: &Fan, b: &Fan| {
        let near = |x: f64, y: f64| (x - y).abs() < 0.5;
        let is_one_size = near(a.hub_mm, b.hub_mm) && near(a.rim_mm, b.rim_mm);
        is_one_size && (a.sweep_deg - b.sweep_deg).abs() > 1.0
    };
    for (motif, worked) in project.motifs.iter().zip(worked) {
        let own = fans(motif);
        let mixed = own
            .iter()
            .any(|fan| all.iter().any(|other| is_other_part(fan, other)));
        let remarks = worked.assembly.remarks.iter();
        let remarks = remarks.filter(|one| mixed || !matches!(one, Remark::WedgeAngle { .. }));
        warnings.extend(
            remarks.map(|remark| format!("motif `{}`: {}", motif.name, remark.said(project.unit))),
        );
        for (part, frames) in motif.parts.iter().zip(&worked.frames) {
            let Some(frames) = frames else { continue };
            let allowed = project
                .making
                .stripe_tolerance_mm
                .max(crate::check::STEP_TOL_MM);
            // Where the offset is free, which colours meet at the joint is the layout's affair.
            let fabric = project.fabric(&part.fabric);
            let can_differ = fabric.and_then(Fabric::stripe).is_some_and(has_contrast);
            let is_missed = frames.worst.step_mm > allowed;
            if frames.worst.is_seen(allowed) || (frames.is_free && is_missed && can_differ) {
                let why = frames
                    .advice
                    .as_ref()
                    .map_or_else(String::new, |advice| format!(": {advice}"));
                warnings.push(format!(
                    "motif `{}`, part `{}`: the stripes will be {} out of line at the worst joint, in any layout{why}. That is {}",
                    motif.name,
                    part.name,
                    Length::from_mm(frames.worst.step_mm).shown(project.unit),
                    noticed_words(frames.worst.step_mm),
                ));
            }
        }
    }
    warnings.extend(unplaced(project));
    let straight = |name: &str| {
        let quilts = project.quilts.iter();
        quilts.flat_map(fabrics_of).any(|used| used == name)
    };
    warnings.extend(project.fabrics.iter().flat_map(squareness_warnings));
    let used = |name: &str| {
        let mut parts = project.motifs.iter().flat_map(|m| &m.parts);
        parts.any(|p| p.fabric == name) || straight(name)
    };
    let idle = project.fabrics.iter().filter(|fabric| !used(&fabric.name));
    warnings.extend(idle.map(|fabric| format!("fabric `{}` is not used", fabric.name)));
    warnings
}

/// Motifs that only another size of the pattern has a place for.
fn unplaced(project: &Project) -> Vec<String> {
    let Some(quilt) = project.quilts.first() else {
        return vec![];
    };
    if quilt.places.is_empty() {
        return vec![format!(
            "no motif has a place in the quilt `{0}`: they are cut and bought, but no placement guide can be \
             drawn. Say where they go in [[quilt.{0}.place]]",
            quilt.name
        )];
    }
    let here = |name: &str| quilt.places.iter().any(|place| place.motif == name);
    let motifs = project.motifs.iter().filter(|motif| !here(&motif.name));
    motifs
        .map(|motif| {
            format!(
                "motif `{}` has no place in size `{}`, only in another: its fabric is planned and counted here \
                 all the same. Leave it uncut if you sew this size",
                motif.name, quilt.name
            )
        })
        .collect()
}

/// Fabric that is further from square than such fabric should be.
fn squareness_warnings(fabric: &Fabric) -> Vec<String> {
    let mut warnings = vec![];
    let lean = fabric.stripe().map_or(0.0, Stripe::lean_deg);
    let skew = 100.0 * lean.to_radians().tan().abs();
    if skew > SKEW_LIMIT_PERCENT {
        warnings.push(format!(
            "fabric `{}` leans by {lean:.1} degrees, a skew of {skew:.1} %: more than woven fabric should ({SKEW_LIMIT_PERCENT:.0} %). \
             The plan follows the stripe as you measured it; pull the fabric square or measure it in more than one place before \
             you cut",
            fabric.name
        ));
    }
    let bow = bow_percent(fabric.bow_mm, fabric.width_mm);
    if bow > BOW_LIMIT_PERCENT {
        warnings.push(format!(
            "fabric `{}` bows by {bow:.1} % of its width, more than woven fabric should ({BOW_LIMIT_PERCENT:.0} %): near the selvages \
             its stripes tilt by up to {:.1} degrees, which no plan allows for. Cut single layers by the stripe itself",
            fabric.name,
            bow_tilt_rad(bow).to_degrees()
        ));
    }
    warnings
}
