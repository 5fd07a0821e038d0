//! Whether a plan can be drawn at all: the same notion that the verifier has.

use super::error::DrawError;
use crate::plan::Plan;
use crate::record::flaws;

/// Looks at everything that drawings work with.
///
/// # Errors
/// The first thing that cannot be drawn, with its place in the plan.
pub fn validate(plan: &Plan) -> Result<(), DrawError> {
    match flaws(plan).into_iter().next() {
        None => Ok(()),
        Some(flaw) => Err(DrawError::Unsound {
            place: flaw.place,
            what: flaw.what,
        }),
    }
}
