//! The verifier: whether a plan can be cut as it stands. Call [`check()`]; it returns every
//! [`Finding`], none for a sound plan.
//!
//! It shares nothing with the search but plain data: it asks polygons, not tables.
//! Every plan passes through it before it is written, and `stripelay check` runs it
//! on a plan file alone.

mod completeness;
mod ground;
mod joints;
mod leftover;
mod stripes;
#[cfg(test)]
mod tests;

use crate::record::{FORMAT, Flaw, Plan, flaws};
use serde::Serialize;
use std::fmt;

/// Lengths in a plan are kept to this (mm): what is nearer is the same.
pub const PLAN_TOL_MM: f64 = 0.005;
/// A stripe that meets to this (mm), meets.
pub const STEP_TOL_MM: f64 = 0.01;

/// What is wrong with a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// What kind of fault it is.
    pub kind: FindingKind,
    /// Labels or names of what it concerns.
    pub of: Vec<String>,
    /// The fault in words, with its numbers.
    pub words: String,
}

/// Kinds of findings; in JSON `off-fabric`, `too-near`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum FindingKind {
    /// The file says things that do not go together.
    Contradiction,
    /// A piece that is wanted is not there.
    Missing,
    /// A piece is there more often than wanted.
    Surplus,
    /// A cut line leaves the fabric.
    OffFabric,
    /// Two cut lines are nearer than the clear gap.
    TooNear,
    /// A piece shows another stripe than its motif asks for.
    OutOfPhase,
    /// A piece is turned in a way that its fabric does not allow.
    WrongTurn,
    /// A cut line leaves too little around the finished line.
    Allowance,
    /// A joint meets otherwise than the plan says.
    Joint,
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.words)
    }
}

impl Finding {
    fn new(kind: FindingKind, of: &[&str], words: String) -> Self {
        let of = of.iter().map(|&name| name.to_owned()).collect();
        Self { kind, of, words }
    }
}

/// Everything that is wrong with a plan; empty for a sound one.
///
/// Time grows with the number of neighbouring pairs, not of all pairs.
pub fn check(plan: &Plan) -> Vec<Finding> {
    if plan.format != FORMAT {
        let words = format!(
            "this is a `{}` file, and this program reads `{FORMAT}`: plan the project again",
            plan.format
        );
        return vec![Finding::new(
            FindingKind::Contradiction,
            &[&plan.format],
            words,
        )];
    }
    // Limits and numbers first: everything after may count on them.
    let flaws = flaws(plan);
    if !flaws.is_empty() {
        let finding = |flaw: Flaw| {
            let words = format!("{}: {}", flaw.place, flaw.what);
            Finding::new(FindingKind::Contradiction, &[&flaw.of], words)
        };
        return flaws.into_iter().map(finding).collect();
    }
    let mut findings = completeness::check_complete(plan);
    for fabric in &plan.fabrics {
        findings.extend(ground::check_ground(plan, fabric));
        findings.extend(leftover::check_leftover(fabric));
        findings.extend(stripes::check_stripes(plan, fabric));
    }
    findings.extend(joints::check_joints(plan));
    findings
}
