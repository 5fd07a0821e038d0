//! What was measured against what was listed: how far the stripe drifts, and which pieces would
//! miss it if they were cut by the ruler from a plan for the fabric as it was listed.

use crate::fabric::{Fabric, Run, Stripe};
use crate::length::{Length, Unit};
use crate::matching::NOTICED_MM;
use crate::num::nearest_multiple_gap;
use crate::project::Project;
use crate::record::FabricPlan;
use crate::shape::{Point, dot, unit};

/// A repeat scaled by less (%) is the listed one: ten repeats of 3 in then differ by less
/// than 1/64 in.
const LEAST_SCALED_PERCENT: f64 = 0.05;
/// A lean of less (degrees) is none: 1/32 in over the width of most fabric.
const LEAST_LEAN_DEG: f64 = 0.04;
/// So many codes are listed of one fabric.
const MOST_CODES: usize = 12;

/// A sentence or two for each fabric whose stripe is not as it was listed.
pub(super) fn drift_warnings(project: &Project, fabrics: &[FabricPlan]) -> Vec<String> {
    let named = |name: &str| fabrics.iter().find(|plan| plan.name == name);
    let words = project.fabrics.iter().filter_map(|fabric| {
        let words = drift_words(fabric, named(&fabric.name), project)?;
        Some(format!("fabric `{}`: {words}", fabric.name))
    });
    words.collect()
}

fn drift_words(fabric: &Fabric, plan: Option<&FabricPlan>, project: &Project) -> Option<String> {
    let stripe = fabric.stripe()?;
    let listed_mm = fabric.listed_repeat_mm.unwrap_or(stripe.repeat_mm());
    let share = stripe.repeat_mm() / listed_mm - 1.0;
    let is_scaled = 100.0 * share.abs() >= LEAST_SCALED_PERCENT;
    let leans = stripe.lean_deg().abs() >= LEAST_LEAN_DEG;
    let shown = |mm: f64| Length::from_mm(mm).shown(project.unit);
    let mut words = vec![];
    if is_scaled {
        let how = if share > 0.0 { "wider" } else { "narrower" };
        words.push(format!(
            "its bands add up to {}, and you measured a repeat of {}: all bands are planned {:.1} % {how}",
            shown(listed_mm),
            shown(stripe.repeat_mm()),
            100.0 * share.abs()
        ));
    }
    let Some(plan) = plan.filter(|_| is_scaled || leans) else {
        return words.pop();
    };
    let (across, along) = match stripe.run() {
        Run::Lengthwise => (("width", fabric.width_mm), ("length", plan.length_mm)),
        Run::Crosswise => (("length", plan.length_mm), ("width", fabric.width_mm)),
    };
    let over = |(side, mm): (&str, f64)| format!("over the {side} of {}", shown(mm));
    if is_scaled {
        let drift_mm = share.abs() * across.1;
        words.push(format!(
            "That adds up to {} {}",
            shown(drift_mm),
            over(across)
        ));
    }
    if leans {
        let drift_mm = stripe.lean_deg().to_radians().tan().abs() * along.1;
        words.push(format!(
            "{} stripe leans by {} {}",
            if is_scaled { "Its" } else { "its" },
            shown(drift_mm),
            over(along)
        ));
    }
    let as_listed = match (is_scaled, leans) {
        (true, false) => "the listed repeat",
        (false, _) => "fabric that is square",
        (true, true) => "the listed repeat and fabric that is square",
    };
    let least_mm = project.making.stripe_tolerance_mm.max(NOTICED_MM);
    if let Some(missing) = missing_words(stripe, listed_mm, plan, least_mm, project.unit) {
        words.push(format!(
            "Cut by the ruler from a plan for {as_listed}, {missing}"
        ));
    }
    Some(words.join(". "))
}

/// `3 of 40 pieces would be more than 1/16 in out of line: W1a, W1b, W2c`.
fn missing_words(
    stripe: &Stripe,
    listed_mm: f64,
    plan: &FabricPlan,
    least_mm: f64,
    unit: Unit,
) -> Option<String> {
    let mut codes: Vec<&str> = plan
        .placements
        .iter()
        .filter(|piece| drift_mm(stripe, listed_mm, piece.mark_on_fabric()).abs() > least_mm)
        .map(|piece| piece.label.as_str())
        .collect();
    let (count, all) = (codes.len(), plan.placements.len());
    codes.truncate(MOST_CODES);
    let more = match count - codes.len() {
        0 => String::new(),
        n => format!(" and {n} more"),
    };
    (count > 0).then(|| {
        let of_all = if count == all && all > 1 {
            format!("all {all}")
        } else {
            format!("{count} of {all}")
        };
        format!(
            "{of_all} pieces would be more than {} out of line: {}{more}",
            Length::from_mm(least_mm).shown(unit),
            codes.join(", ")
        )
    })
}

/// How far the stripe under a place is from where it would be on square fabric with the listed
/// repeat, both beginning at the corner of left selvage and cut end (mm, signed, less than half
/// a repeat: a whole one further on the stripe is the same again).
///
/// Own derivation: a place `u` from the first band lies `u / listed` repeats on as it was
/// listed, and `u / measured` as it is; the difference, in repeats as they are, is what misses.
fn drift_mm(stripe: &Stripe, listed_mm: f64, place: Point) -> f64 {
    let lean_rad = stripe.lean_deg().to_radians();
    let square = unit(stripe.normal_rad() - lean_rad);
    let listed = (dot(square, place) - stripe.origin_mm() / lean_rad.cos()) / listed_mm;
    let repeat_mm = stripe.repeat_mm();
    let real = (dot(unit(stripe.normal_rad()), place) - stripe.origin_mm()) / repeat_mm;
    repeat_mm * nearest_multiple_gap(listed - real, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fabric::Band;
    use crate::shape::point;

    const INCH: f64 = 25.4;

    fn stripe(run: Run, lean_deg: f64, start_mm: f64, repeat_mm: f64) -> Stripe {
        let band = |name: &str, share: f64| {
            Band::new(name, share * repeat_mm, crate::colour::Colour::new(0, 0, 0))
        };
        let bands = vec![band("a", 0.6), band("b", 0.4)];
        Stripe::try_new(run, lean_deg, start_mm, bands).unwrap()
    }

    /// By hand: a listed repeat of 3 in that is 3.09 in. The tenth repeat begins 30 in on by the
    /// list and 30.9 in on the fabric: 0.9 in on from 30 in, 3 % of the way. 42 in on it is
    /// 1.26 in; with 3.09 in of drift the stripe is in line again, so 60 in on it is 1.8 - 3.09 in.
    #[test]
    fn three_per_cent_by_hand() {
        let wide = stripe(Run::Lengthwise, 0.0, 0.0, 3.09 * INCH);
        let drift = |inches: f64| drift_mm(&wide, 3.0 * INCH, point(inches * INCH, 99.0)) / INCH;
        for (at, want) in [(0.0, 0.0), (30.0, 0.9), (42.0, 1.26), (60.0, 1.8 - 3.09)] {
            assert!((drift(at) - want).abs() < 1e-9, "{at}: {}", drift(at));
        }
        // Where the first band begins further in, the drift begins there.
        let wide = stripe(Run::Lengthwise, 0.0, 2.0 * INCH, 3.09 * INCH);
        let at = drift_mm(&wide, 3.0 * INCH, point(32.0 * INCH, 0.0));
        assert!((at - 0.9 * INCH).abs() < 1e-9);
    }

    /// By hand: a line that lies 1 in further from the cut end at the right selvage, 40 in away,
    /// lies 1/2 in further in the middle; what is missed is square to the stripe, 1/2 in times
    /// 40 / sqrt(40^2 + 1).
    #[test]
    fn a_lean_by_hand() {
        let lean = (1.0_f64 / 40.0).atan();
        let cos = 40.0 / 1601.0_f64.sqrt();
        let leaning = stripe(Run::Crosswise, lean.to_degrees(), 0.0, 3.0 * INCH);
        let missed = drift_mm(&leaning, 3.0 * INCH, point(20.0 * INCH, 0.0));
        assert!((missed.abs() - 0.5 * INCH * cos).abs() < 1e-9, "{missed}");
        assert!(drift_mm(&leaning, 3.0 * INCH, point(0.0, 0.0)).abs() < 1e-9);
    }
}
