//! What a plan comes to, in a few lines: for people, and as JSON for programs.

use crate::cut_list::unit_of;
use crate::plan_file::PLAN_FILE;
use crate::quilt_lists;
use crate::sheets::BOOKLET_FILE;
use crate::table::aligned;
use serde::Serialize;
use std::fmt::Write;
use std::path::Path;
use stripe_core::check::STEP_TOL_MM;
use stripe_core::length::{Length, Unit};
use stripe_core::plan::{
    BesideNote, BoundKind, ByHand, FabricPlan, JointNote, Leftover, LikelyNote, Meeting, Plan,
    ShoppingNote,
};
use stripe_core::wording::{self, share_words};

/// Stripes out of line by less (mm) are not told of: nobody cuts so finely.
const SEEN_MM: f64 = 0.1;
/// So many of the worst joints are named.
const WORST_JOINTS: usize = 5;

/// A plan in short. Lengths in mm; shares from 0 to 1.
#[derive(Debug, Serialize)]
pub(crate) struct Summary {
    pub(crate) title: String,
    pub(crate) folder: String,
    pub(crate) plan: String,
    pub(crate) files: Vec<String>,
    pub(crate) seed: u64,
    pub(crate) effort: String,
    /// Whether a person ended the search early.
    pub(crate) interrupted: bool,
    pub(crate) pieces: usize,
    /// So many quilts are cut at once.
    pub(crate) kits: usize,
    pub(crate) fabrics: Vec<FabricSummary>,
    /// Price of all fabric, where every price is known.
    pub(crate) price: Option<f64>,
    pub(crate) money: String,
    pub(crate) joints: usize,
    pub(crate) worst_step: f64,
    pub(crate) worst_joints: Vec<JointNote>,
    /// How likely joints are to match once fabric and hands are a little off.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) likely: Option<LikelyNote>,
    pub(crate) warnings: Vec<String>,
    /// What to buy for the whole quilt, if the project has one.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(crate) shopping: Vec<ShoppingNote>,
    /// Price of all of it, where every price is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) total: Option<f64>,
}

/// One fabric in short.
#[derive(Debug, Serialize)]
pub(crate) struct FabricSummary {
    pub(crate) name: String,
    /// Whether it is a piece of fabric that the maker has: then `length` is all of it.
    pub(crate) in_hand: bool,
    pub(crate) width: f64,
    pub(crate) pieces: usize,
    pub(crate) length: f64,
    /// Length of the shortest layout found: saving and gap are about it.
    pub(crate) shortest: f64,
    pub(crate) by_hand_length: f64,
    /// In which way.
    pub(crate) by_hand: ByHand,
    /// Where several kits are cut at once: the length of one laid by itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) one_kit_length: Option<f64>,
    /// Share of the length by hand that is saved.
    pub(crate) saving: f64,
    pub(crate) bound_length: f64,
    pub(crate) bound_kind: BoundKind,
    /// The band that runs short.
    pub(crate) short_band: Option<String>,
    /// Share by which the shortest length is above the bound.
    pub(crate) gap: f64,
    pub(crate) buy_length: f64,
    pub(crate) buy_shown: String,
    pub(crate) price: Option<f64>,
    /// Where the layout begins beside straight cuts: its length is counted in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) beside: Option<BesideNote>,
    /// The largest rectangle left, where motifs alone are cut from the fabric.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) leftover: Option<Leftover>,
}

impl Summary {
    pub(crate) fn new(plan: &Plan, folder: &Path, files: Vec<String>, interrupted: bool) -> Self {
        let fabrics: Vec<FabricSummary> = plan.fabrics.iter().map(FabricSummary::new).collect();
        // What is in hand costs nothing more.
        let prices = fabrics.iter().map(|fabric| {
            let had = fabric.in_hand && fabric.buy_length <= 0.0;
            fabric.price.or(had.then_some(0.0))
        });
        let prices: Option<Vec<f64>> = prices.collect();
        let mut worst: Vec<JointNote> = plan
            .joints
            .iter()
            .filter(|joint| {
                let met = Meeting {
                    step_mm: joint.step_mm,
                    mismatch: joint.mismatch,
                };
                met.is_seen(plan.making.stripe_tolerance_mm.max(STEP_TOL_MM))
            })
            .cloned()
            .collect();
        worst.sort_by(|a, b| b.step_mm.total_cmp(&a.step_mm));
        worst.truncate(WORST_JOINTS);
        Self {
            title: plan.title.clone(),
            folder: folder.display().to_string(),
            plan: folder.join(PLAN_FILE).display().to_string(),
            files,
            seed: plan.seed,
            effort: plan.effort.clone(),
            interrupted,
            pieces: fabrics.iter().map(|fabric| fabric.pieces).sum(),
            kits: plan.kits,
            price: prices.map(|prices| prices.iter().sum()),
            fabrics,
            money: plan.money.clone(),
            joints: plan.joints.len(),
            worst_step: plan
                .joints
                .iter()
                .map(|joint| joint.step_mm)
                .fold(0.0, f64::max),
            worst_joints: worst,
            likely: plan.likely.clone(),
            warnings: plan.warnings.clone(),
            shopping: plan
                .quilt
                .as_ref()
                .map_or_else(Vec::new, |quilt| quilt.shopping.clone()),
            total: plan.quilt.as_ref().and_then(|quilt| quilt.total),
        }
    }
}

impl FabricSummary {
    pub(crate) fn new(fabric: &FabricPlan) -> Self {
        Self {
            name: fabric.name.clone(),
            in_hand: fabric.in_hand.is_some(),
            width: fabric.width_mm,
            pieces: fabric.placements.len(),
            length: fabric.length_mm,
            shortest: fabric.shortest(),
            by_hand_length: fabric.by_hand_length_mm,
            one_kit_length: fabric.one_kit_mm,
            by_hand: fabric.by_hand,
            saving: 1.0 - fabric.shortest() / fabric.by_hand_length_mm,
            bound_length: fabric.bound.length_mm,
            bound_kind: fabric.bound.kind,
            short_band: fabric.bound.band.clone(),
            gap: fabric.shortest() / fabric.bound.length_mm - 1.0,
            buy_length: fabric.buy.length_mm,
            buy_shown: fabric.buy.shown.clone(),
            price: fabric.buy.price,
            beside: fabric.beside,
            leftover: fabric.leftover,
        }
    }
}

/// The summary for a person.
pub(crate) fn to_text(summary: &Summary, plan: &Plan) -> String {
    let unit = unit_of(plan);
    let mut text = format!(
        "{}: {} pieces{}\n\n",
        summary.title,
        summary.pieces,
        wording::for_kits(plan)
    );
    // With a quilt, what to buy is told once, for motifs and straight pieces together.
    text += &fabric_table(summary, plan);
    text.push('\n');
    if plan.quilt.is_none() {
        for fabric in &plan.fabrics {
            if !fabric.buy.counted_in.is_empty() {
                let (name, words) = (&fabric.name, &fabric.buy.counted_in);
                let _ = writeln!(text, "{name}: The amount to buy includes {words}.");
            }
        }
    }
    for words in wording::kits(plan)
        .into_iter()
        .chain(wording::in_hand(plan))
    {
        let _ = writeln!(text, "{words}");
    }
    for fabric in plan
        .fabrics
        .iter()
        .filter(|fabric| fabric.in_hand.is_none())
    {
        let name = &fabric.name;
        let _ = writeln!(text, "{name}: {}", wording::saved(plan, fabric));
        let more = [
            wording::together(plan, fabric),
            wording::nearly(plan, fabric),
            fabric.beside.map(|beside| wording::beside(&beside, unit)),
            fabric
                .leftover
                .map(|left| wording::leftover(&left, fabric.length_mm, unit)),
        ];
        for words in more.into_iter().flatten() {
            let _ = writeln!(text, "  {words}");
        }
    }
    text.push('\n');
    text += &joint_words(summary, unit);
    if let Some(likely) = &plan.likely {
        let _ = writeln!(text, "{}", wording::likely(likely, unit));
    }
    if let Some(quilt) = &plan.quilt {
        text += &quilt_lists::words(plan, quilt);
    }
    if !summary.warnings.is_empty() {
        text += "\nBefore you cut:\n";
        for warning in &summary.warnings {
            let _ = writeln!(text, "- {warning}");
        }
    }
    let folder = Path::new(&summary.folder);
    let _ = writeln!(
        text,
        "\nWrote {} files into {}.",
        summary.files.len(),
        summary.folder
    );
    let _ = writeln!(
        text,
        "Next: open {} in a browser. It begins with the order of work.",
        folder.join(BOOKLET_FILE).display()
    );
    text
}

fn fabric_table(summary: &Summary, plan: &Plan) -> String {
    let unit = unit_of(plan);
    let money = |price: Option<f64>| {
        price.map_or_else(String::new, |price| wording::money(&summary.money, price))
    };
    let head = [
        "fabric", "width", "length", "by hand", "saved", "to buy", "price",
    ];
    let mut rows: Vec<Vec<String>> = vec![head.map(String::from).to_vec()];
    for fabric in &summary.fabrics {
        rows.push(vec![
            fabric.name.clone(),
            Length::from_mm(fabric.width).shown(unit),
            Length::from_mm(fabric.shortest).shown_up(unit),
            if fabric.in_hand {
                String::new()
            } else {
                Length::from_mm(fabric.by_hand_length).shown_up(unit)
            },
            if fabric.in_hand {
                String::new()
            } else if fabric.saving > 0.0 {
                share_words(fabric.saving)
            } else {
                wording::percent(fabric.saving)
            },
            fabric.buy_shown.clone(),
            money(fabric.price),
        ]);
    }
    if summary.fabrics.len() > 1 && summary.price.is_some() {
        let mut row = vec![String::new(); head.len()];
        row[0] = "total".to_owned();
        row[6] = money(summary.price);
        rows.push(row);
    }
    if plan.quilt.is_some() {
        rows.truncate(1 + summary.fabrics.len());
        for row in &mut rows {
            row.truncate(head.len() - 2);
        }
    }
    if !wording::is_beside_hand(plan) {
        for row in &mut rows {
            row.drain(3..5);
        }
    }
    aligned(&rows)
}

fn joint_words(summary: &Summary, unit: Unit) -> String {
    if summary.joints == 0 {
        return "No two pieces meet whose stripes run on from one to the other: there is no joint to match.\n"
            .to_owned();
    }
    if summary.worst_joints.is_empty() {
        let within = if summary.worst_step > SEEN_MM {
            format!(
                ", to within {}",
                Length::from_mm(summary.worst_step).shown_up(unit)
            )
        } else {
            String::new()
        };
        let all = match summary.joints {
            1 => "the one joint".to_owned(),
            2 => "both joints".to_owned(),
            n => format!("all {n} joints"),
        };
        return format!("The stripes run on across {all}{within}.\n");
    }
    let mut text = String::from("Worst matched joints:\n");
    for joint in &summary.worst_joints {
        let _ = writeln!(
            text,
            "- {} and {}: stripes {} out of line, colours differ on {} of the joint",
            joint.a,
            joint.b,
            Length::from_mm(joint.step_mm).shown(unit),
            share_words(joint.mismatch)
        );
    }
    text
}
