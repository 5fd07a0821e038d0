//! What a plan says of its project before anything is laid.

use crate::lay::Effort;
use crate::project::Project;
use crate::record::{FORMAT, PictureNote, Plan};

/// The plan of a project with nothing in it yet.
pub(super) fn bare(project: &Project, effort: &Effort) -> Plan {
    Plan {
        format: FORMAT.to_owned(),
        made_by: format!("stripelay {}", env!("CARGO_PKG_VERSION")),
        title: project.title.clone(),
        project_digest: String::new(),
        unit: project.unit,
        money: project.money.clone(),
        seed: effort.seed,
        effort: effort_name(effort).to_owned(),
        kits: project.kits,
        making: project.making,
        quilt: None,
        warnings: vec![],
        motifs: vec![],
        fabrics: vec![],
        joints: vec![],
        recut: None,
        spares: vec![],
        likely: None,
        pictures: pictures(project),
    }
}

/// The pictures of all fabrics that have one.
fn pictures(project: &Project) -> Vec<PictureNote> {
    let all = project.fabrics.iter().filter_map(|fabric| {
        Some(PictureNote {
            fabric: fabric.name.clone(),
            picture: fabric.picture.clone()?,
        })
    });
    all.collect()
}

/// What an effort is called in the plan.
fn effort_name(effort: &Effort) -> &'static str {
    let names = [
        ("quick", Effort::quick(effort.seed)),
        ("steady", Effort::steady(effort.seed)),
        ("patient", Effort::patient(effort.seed)),
    ];
    let known = names.iter().find(|(_, known)| known == effort);
    known.map_or("other", |(name, _)| name)
}
