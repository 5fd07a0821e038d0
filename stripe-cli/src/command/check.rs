//! `stripelay check`: the verifier, on a plan file alone.

use crate::args::CheckArgs;
use crate::failure::Failure;
use crate::output;
use crate::plan_file::{plan_in, read_plan};
use serde::Serialize;
use std::fmt::Write;
use stripe_core::check::{Finding, FindingKind, check};
use stripe_core::length::Unit;
use stripe_core::plan::Plan;
use stripe_core::wording::side_by_side;

/// So many findings are printed for a person; the rest is only counted.
const MOST_SHOWN: usize = 40;

#[derive(Debug, Serialize)]
struct Report<'a> {
    passes: bool,
    pieces: usize,
    joints: usize,
    findings: Vec<FindingNote<'a>>,
}

#[derive(Debug, Serialize)]
struct FindingNote<'a> {
    kind: FindingKind,
    of: &'a [String],
    words: &'a str,
}

pub(crate) fn run(args: &CheckArgs) -> Result<(), Failure> {
    let from = plan_in(&args.plan);
    let plan = read_plan(&from)?;
    let findings = check(&plan);
    output::print(&if args.json {
        to_json(&plan, &findings)
    } else {
        to_text(&plan, &findings)
    })?;
    match findings.len() {
        0 => Ok(()),
        count => Err(Failure::Unsound { count }),
    }
}

fn pieces(plan: &Plan) -> usize {
    plan.fabrics
        .iter()
        .map(|fabric| fabric.placements.len())
        .sum()
}

fn to_text(plan: &Plan, findings: &[Finding]) -> String {
    if findings.is_empty() {
        return format!(
            "{}: passes. {} pieces on {} {}: all there, on the fabric, not touching another, stripes matched.\n",
            plan.title,
            pieces(plan),
            plan.fabrics.len(),
            if plan.fabrics.len() == 1 {
                "fabric"
            } else {
                "fabrics"
            }
        );
    }
    let mut text = String::new();
    for finding in findings.iter().take(MOST_SHOWN) {
        let words = finding.to_string();
        // The verifier speaks of hundredths of a millimetre, which no inch ruler has.
        let words = match plan.unit {
            Unit::Inch => side_by_side(&words),
            Unit::Centimetre | Unit::Millimetre => words,
        };
        let _ = writeln!(text, "- {words}");
    }
    if findings.len() > MOST_SHOWN {
        let _ = writeln!(text, "and {} more", findings.len() - MOST_SHOWN);
    }
    text
}

fn to_json(plan: &Plan, findings: &[Finding]) -> String {
    let findings = findings.iter().map(|finding| FindingNote {
        kind: finding.kind,
        of: &finding.of,
        words: &finding.words,
    });
    output::json(&Report {
        passes: findings.len() == 0,
        pieces: pieces(plan),
        joints: plan.joints.len(),
        findings: findings.collect(),
    })
}
