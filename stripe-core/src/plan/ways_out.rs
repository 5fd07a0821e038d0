//! Where fabric in hand does not suffice: what does not fit, and what would help, each tried.
//! And the question turned about: how many of a motif it gives.

use super::error::Error;
use super::job::{fabric_job, work_out};
use crate::fabric::Fabric;
use crate::lay::{self, Control, Effort};
use crate::length::Length;
use crate::motif::Copies;
use crate::project::Project;
use crate::record::{FabricPlan, PlacedPiece};
use crate::wording::listed;
use std::collections::BTreeSet;

/// Of each fabric in hand: what of it is not needed, or what does not fit, and the ways out.
pub(super) fn in_hand_words(
    project: &Project,
    plans: &[FabricPlan],
    effort: &Effort,
    control: &Control<'_>,
) -> Vec<String> {
    let mut said = Vec::new();
    for fabric in project
        .fabrics
        .iter()
        .filter(|fabric| !fabric.in_hand.is_empty())
    {
        let here = || plans.iter().filter(|plan| plan.fabric() == fabric.name);
        if here().next().is_none() {
            continue;
        }
        match here().find(|plan| plan.in_hand.is_none()) {
            Some(bought) => said.push(lacking(project, fabric, bought, effort, control)),
            None => said.extend(spare(fabric, here())),
        }
    }
    said
}

/// Pieces in hand that stay whole.
fn spare<'p>(fabric: &Fabric, used: impl Iterator<Item = &'p FabricPlan>) -> Option<String> {
    let used: BTreeSet<&str> = used.map(|plan| plan.name.as_str()).collect();
    let name = |piece: &str| format!("{}, {piece}", fabric.name);
    let left = fabric
        .in_hand
        .iter()
        .filter(|one| !used.contains(name(&one.name).as_str()));
    let left: Vec<&str> = left.map(|one| one.name.as_str()).collect();
    (!left.is_empty()).then(|| {
        let rest = if left.len() == 1 {
            "stays whole: it is not needed"
        } else {
            "stay whole: they are not needed"
        };
        format!("`{}`: {} {rest}", fabric.name, listed(&left))
    })
}

fn lacking(
    project: &Project,
    fabric: &Fabric,
    bought: &FabricPlan,
    effort: &Effort,
    control: &Control<'_>,
) -> String {
    let codes: Vec<&str> = bought
        .placements
        .iter()
        .map(|piece| piece.label.as_str())
        .collect();
    let mut ways = vec![format!("buy {} more", bought.buy.shown)];
    let copies: BTreeSet<(&str, usize)> = bought.placements.iter().map(copy_of).collect();
    let copies: Vec<String> = copies
        .iter()
        .map(|(name, copy)| format!("{name} {copy}"))
        .collect();
    let copies: Vec<&str> = copies.iter().map(String::as_str).collect();
    ways.push(format!(
        "leave out {}: everything else fits as planned",
        listed(&copies)
    ));
    ways.extend(fewer_kits(project, bought));
    let mut idle: Vec<String> = Vec::new();
    for (words, other) in others(project, fabric) {
        if control.is_stopped() {
            break;
        }
        let Some(more_mm) = still_to_buy_mm(&other, &fabric.name, effort, control) else {
            continue;
        };
        let up = |mm: f64| Length::from_mm(mm).shown_up(project.unit);
        if more_mm <= 0.0 {
            ways.push(format!("{words}, and everything fits"));
        } else if up(more_mm) != up(bought.length_mm) && more_mm < bought.length_mm {
            ways.push(format!(
                "{words}, and only {} of length is lacking, not {}",
                up(more_mm),
                up(bought.length_mm)
            ));
        } else {
            idle.push(words);
        }
    }
    let tried = if idle.is_empty() {
        String::new()
    } else {
        let idle: Vec<&str> = idle.iter().map(String::as_str).collect();
        format!(". Tried, and of no help: {}", idle.join("; "))
    };
    format!(
        "{} {} not fit on the `{}` that you have. Ways out: {}{tried}",
        listed(&codes),
        if codes.len() == 1 { "does" } else { "do" },
        fabric.name,
        ways.join("; ")
    )
}

/// Of several kits, which are lacking something: copies are numbered kit by kit.
fn fewer_kits(project: &Project, bought: &FabricPlan) -> Option<String> {
    if project.kits < 2 {
        return None;
    }
    let kit_of = |piece: &PlacedPiece| {
        let motif = project.motifs.iter().find(|one| one.name == piece.motif);
        Some(piece.copy.checked_sub(1)? / motif?.copies.max(1) + 1)
    };
    let lacking: BTreeSet<usize> = bought.placements.iter().filter_map(kit_of).collect();
    let lacking: Vec<String> = lacking.iter().map(usize::to_string).collect();
    Some(
        match (
            lacking.len(),
            project.kits - lacking.len().min(project.kits),
        ) {
            (_, 0) => format!(
                "make fewer kits (`--kits {}`): as planned, pieces are lacking in every one of the {}",
                project.kits - 1,
                project.kits
            ),
            (1, whole) => format!(
                "make {whole} in place of {} kits: pieces are lacking in kit {} only",
                project.kits, lacking[0]
            ),
            (_, whole) => format!(
                "make {whole} in place of {} kits: pieces are lacking in kits {} only",
                project.kits,
                listed(&lacking)
            ),
        },
    )
}

fn copy_of(piece: &PlacedPiece) -> (&str, usize) {
    (&piece.motif, piece.copy)
}

/// The project made otherwise, with what a maker would change for it.
fn others(project: &Project, fabric: &Fabric) -> Vec<(String, Project)> {
    let mut found = Vec::new();
    let mut own = project.clone();
    let mut any = false;
    for part in own.motifs.iter_mut().flat_map(|motif| &mut motif.parts) {
        if part.fabric == fabric.name && part.phase_mm.is_none() && part.copies == Copies::Alike {
            part.copies = Copies::Own;
            any = true;
        }
    }
    if any {
        found.push((
            "let each copy show the stripe in its own place (`--copies own`)".to_owned(),
            own,
        ));
    }
    for m in 0..project.motifs.len() {
        let mut free = project.clone();
        let motif = &mut free.motifs[m];
        let mut any = false;
        for part in motif
            .parts
            .iter_mut()
            .filter(|part| part.fabric == fabric.name)
        {
            any |= part.phase_mm.take().is_some();
        }
        if any {
            found.push((format!("leave the offset of {} free", motif.name), free));
        }
    }
    if project.making.gap_mm > 0.0 {
        let mut close = project.clone();
        close.making.gap_mm /= 2.0;
        let gap = Length::from_mm(close.making.gap_mm).shown(project.unit);
        found.push((format!("cut with a gap of {gap}"), close));
    }
    found
}

/// How much of a fabric is lacking (mm) if a project is laid quickly: 0 where what is in hand
/// does.
fn still_to_buy_mm(
    project: &Project,
    name: &str,
    effort: &Effort,
    control: &Control<'_>,
) -> Option<f64> {
    let worked = work_out(project).ok()?;
    let made = fabric_job(project, &worked, project.fabric(name)?)?;
    let quick = effort.quick_at_most();
    let found = lay::lay(&made.job, &quick, control).ok()?;
    Some(made.spread?.lacking_mm(&found.layout))
}

/// The most copies of a motif, with all other motifs as they are, that the fabric in hand gives.
/// Fabric of which nothing is in hand does not count.
///
/// What is tried is laid with `effort` at most; a longer search may fit one more.
///
/// # Errors
/// [`Error::NotInHand`] where none of the motif's fabrics is in hand; else see [`Error`].
pub fn as_many(
    project: &Project,
    motif: &str,
    most: usize,
    effort: &Effort,
    control: &Control<'_>,
) -> Result<usize, Error> {
    let of = project.motifs.iter().find(|one| one.name == motif);
    let parts = of.into_iter().flat_map(|one| &one.parts);
    let names: BTreeSet<&str> = parts.map(|part| part.fabric.as_str()).collect();
    let fabrics: Vec<&Fabric> = project
        .fabrics
        .iter()
        .filter(|fabric| names.contains(fabric.name.as_str()) && !fabric.in_hand.is_empty())
        .collect();
    if fabrics.is_empty() {
        return Err(Error::NotInHand {
            motif: motif.to_owned(),
        });
    }
    let fits = |copies: usize, effort: &Effort| -> Result<bool, Error> {
        let mut more = project.clone();
        more.quilts.clear();
        for one in more.motifs.iter_mut().filter(|one| one.name == motif) {
            one.copies = copies;
        }
        let worked = work_out(&more)?;
        for fabric in &fabrics {
            let Some(made) = fabric_job(&more, &worked, fabric) else {
                continue;
            };
            let Some(spread) = &made.spread else { continue };
            if made.areas_mm2().sum::<f64>() > spread.area_mm2(fabric) {
                return Ok(false);
            }
            let stands = lay::first(&made.job).is_ok_and(|layout| spread.suffices(&layout));
            if !stands {
                let found = lay::lay(&made.job, effort, control);
                if !found.is_ok_and(|found| spread.suffices(&found.layout)) {
                    return Ok(false);
                }
            }
        }
        Ok(true)
    };
    // Doubled until it fails, then halved in between, quickly; the last ones with all effort.
    let quick = effort.quick_at_most();
    let (mut good, mut bad) = (0, 1);
    while bad <= most && !control.is_stopped() && fits(bad, &quick)? {
        (good, bad) = (bad, bad * 2);
    }
    bad = bad.min(most + 1);
    while bad - good > 1 && !control.is_stopped() {
        let middle = usize::midpoint(good, bad);
        if fits(middle, &quick)? {
            good = middle;
        } else {
            bad = middle;
        }
    }
    while good < most && !control.is_stopped() && fits(good + 1, effort)? {
        good += 1;
    }
    Ok(good)
}
