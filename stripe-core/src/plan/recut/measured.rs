//! A fabric that was measured again after the plan was made: its stripe and width as they are.

use super::RecutError;
use crate::fabric::Stripe;
use crate::record::Plan;

/// What a fabric turned out to be.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Measured {
    /// Its name.
    pub fabric: String,
    /// The repeat of its stripe (mm).
    pub repeat_mm: Option<f64>,
    /// Its usable width (mm).
    pub width_mm: Option<f64>,
    /// How far its stripes are off square (degrees, counter-clockwise).
    pub lean_deg: Option<f64>,
}

/// A stripe whose repeat is off by more than this, as a share of it, is another stripe.
const MOST_OFF: f64 = 0.25;

/// Puts what was measured in the plan's place. Every piece still shows the same part of the
/// stripe: phases grow with the repeat.
///
/// # Errors
/// A fabric that the plan does not have, or a measure that cannot be its.
pub(super) fn measure(plan: &mut Plan, measured: &Measured) -> Result<(), RecutError> {
    let known: Vec<&str> = plan.fabrics.iter().map(|one| one.fabric()).collect();
    if !known.contains(&measured.fabric.as_str()) {
        let mut known: Vec<String> = known.iter().map(|&name| name.to_owned()).collect();
        known.dedup();
        return Err(RecutError::NotMeasured {
            fabric: measured.fabric.clone(),
            what: format!(
                "no fabric of the plan has that name: there is {}",
                known.join(", ")
            ),
        });
    }
    let wrong = |what: String| RecutError::NotMeasured {
        fabric: measured.fabric.clone(),
        what,
    };
    for one in plan
        .fabrics
        .iter_mut()
        .filter(|one| one.fabric() == measured.fabric)
    {
        // A piece in hand has an outline of its own.
        if let Some(width_mm) = measured.width_mm.filter(|_| one.in_hand.is_none()) {
            one.width_mm = width_mm;
        }
        let Some(stripe) = &one.stripe else {
            if measured.repeat_mm.is_some() || measured.lean_deg.is_some() {
                return Err(wrong("it is plain, and has neither repeat nor lean".into()));
            }
            continue;
        };
        let grown = measured.repeat_mm.map_or(1.0, |mm| mm / stripe.repeat_mm());
        if grown.is_nan() || (grown - 1.0).abs() > MOST_OFF {
            let shown = |mm: f64| crate::length::Length::from_mm(mm).shown(plan.unit);
            return Err(wrong(format!(
                "its stripe repeats every {}, and one that repeats every {} is another stripe",
                shown(stripe.repeat_mm()),
                shown(stripe.repeat_mm() * grown)
            )));
        }
        let lean_deg = measured.lean_deg.unwrap_or(stripe.lean_deg());
        let stripe: Stripe = stripe
            .grown(grown, lean_deg)
            .map_err(|fault| wrong(fault.to_string()))?;
        if stripe.repeat_mm() > one.width_mm {
            return Err(wrong("the repeat is wider than the fabric".into()));
        }
        one.stripe = Some(stripe);
        for piece in &mut one.placements {
            let phases = [&mut piece.phase_at_centre_mm, &mut piece.offset_mm];
            phases.into_iter().flatten().for_each(|mm| *mm *= grown);
        }
    }
    Ok(())
}
