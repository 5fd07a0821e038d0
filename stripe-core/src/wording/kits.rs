//! What is said of several equal quilts that are cut at once.

use super::list::listed;
use crate::length::Length;
use crate::matching::share_words;
use crate::record::{FabricPlan, Plan};

/// A gain of less than this (mm) is none that is told.
const SILENT_MM: f64 = 0.5;

/// ` for 3 kits`; nothing where there is one.
pub fn for_kits(plan: &Plan) -> String {
    match plan.kits {
        0 | 1 => String::new(),
        kits => format!(" for {kits} kits"),
    }
}

/// Of several kits, whose codes a placement guide shows, and which piece of the second kit stands
/// where one of the first does; nothing where there is one.
pub fn placed_alike(plan: &Plan) -> Option<String> {
    if plan.kits < 2 {
        return None;
    }
    let motif = plan.motifs.iter().find(|motif| motif.copies >= plan.kits);
    let second = motif.map_or_else(String::new, |motif| {
        let next = motif.copies / plan.kits + 1;
        format!(
            "; in kit 2, {0}{next} takes the place of {0}1, and so on",
            motif.letter
        )
    });
    Some(format!(
        "All {} quilts are alike. The codes are those of kit 1{second}.",
        plan.kits
    ))
}

/// What it saves to lay all kits of a fabric together; nothing where there is one, or where
/// nothing is saved.
pub fn together(plan: &Plan, fabric: &FabricPlan) -> Option<String> {
    let one_by_one_mm = fabric.one_kit_mm? * plan.kits as f64;
    let saved = one_by_one_mm - fabric.shortest();
    let up = |mm: f64| Length::from_mm(mm).shown_up(plan.unit);
    (saved > SILENT_MM).then(|| {
        format!(
            "Cutting the {} kits together saves {} ({}): one at a time they take {}, {} each.",
            plan.kits,
            Length::from_mm(one_by_one_mm)
                .up(plan.unit)
                .minus(Length::from_mm(fabric.shortest()).up(plan.unit))
                .shown(plan.unit),
            share_words(saved / one_by_one_mm),
            up(one_by_one_mm),
            up(fabric.one_kit_mm.unwrap_or_default()),
        )
    })
}

/// Which codes belong to which kit; nothing where there is one.
pub fn kits(plan: &Plan) -> Option<String> {
    if plan.kits < 2 {
        return None;
    }
    let of = |kit: usize| {
        let codes = plan.motifs.iter().map(|motif| {
            let each = motif.copies / plan.kits;
            let (first, last) = ((kit - 1) * each + 1, kit * each);
            match each {
                1 => format!("{}{last}", motif.letter),
                _ => format!("{0}{first} to {0}{last}", motif.letter),
            }
        });
        format!("kit {kit} is {}", listed(&codes.collect::<Vec<_>>()))
    };
    let all = [of(1), of(2)].join("; ");
    let last = match plan.kits {
        2 => String::new(),
        3 => format!("; {}", of(3)),
        kits => format!("; and so on, to the last: {}", of(kits)),
    };
    Some(format!(
        "Codes are numbered kit by kit: {all}{last}. The file cut-list.csv names the kit of each piece."
    ))
}
