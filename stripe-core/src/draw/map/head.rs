//! What a map says before anything is cut: how the fabric lies, where its stripe begins,
//! how to find the places of pieces, how to read a code.

use super::edges::{EdgeWords, edge_words};
use crate::draw::measure::length;
use crate::fabric::{Look, Stripe};
use crate::length::{Length, Unit};
use crate::num::wrap;
use crate::plan::{FabricPlan, Plan};
use crate::shape::dot;

/// How the fabric lies, and what to do where its stripe is then not seen.
pub(super) fn lie_words(wrong_side_up: bool, striped: bool, fabric: &FabricPlan) -> String {
    let edges = edge_words(fabric);
    if fabric.in_hand.is_some() {
        let grain = "with its selvage, or the lengthwise grain, running away from you";
        return if wrong_side_up {
            format!(
                "Lay the fabric wrong side up, {grain}: its {} is then at your right, and the map shows it so. Measure from there.",
                edges.left
            )
        } else {
            format!("Lay the fabric right side up, {grain}.")
        };
    }
    let words = match (wrong_side_up, striped) {
        (true, true) => {
            "Lay the fabric wrong side up, cut end nearest to you: its left selvage is then at your right, and the map shows it so. Measure from there. Where the stripe does not show through, work on a light box or against a window."
        }
        (true, false) => {
            "Lay the fabric wrong side up, cut end nearest to you: its left selvage is then at your right, and the map shows it so. Measure from there."
        }
        (false, _) => "Lay the fabric right side up, cut end nearest to you.",
    };
    words.to_owned()
}

/// Numbers of repeats that are measured in one go.
const COUNTS: [(f64, &str); 5] = [
    (10.0, "Ten repeats measure"),
    (5.0, "Five repeats measure"),
    (3.0, "Three repeats measure"),
    (2.0, "Two repeats measure"),
    (1.0, "One repeat measures"),
];

/// Stripes out of line by no more than this (mm) are taken as meeting: 1/32 in, the width of a
/// pencil line. Common practice, no source.
const SEEN_MM: f64 = 0.8;

/// The least difference (mm) that a ruler shows.
const SHOWN_MM: f64 = 0.9;

/// What of the stripe to measure before cutting, and what to do where it differs.
pub(super) fn stripe_words(plan: &Plan, fabric: &FabricPlan) -> Option<String> {
    let stripe = fabric.stripe.as_ref()?;
    let EdgeWords { left, lower, .. } = edge_words(fabric);
    let unit = plan.unit;
    let leans = stripe.lean_deg().abs() > 1e-6;
    let is_crosswise = crosswise(stripe);
    let normal = stripe.normal_rad();
    // Along the cut end or the selvage a leaning repeat is longer.
    let stretch = if is_crosswise {
        normal.sin()
    } else {
        normal.cos()
    };
    let has_figure = stripe
        .along()
        .is_some_and(|along| matches!(along.look, Look::Figure { .. }));
    let mut words = Vec::new();
    if stripe.bands().len() > 1 || has_figure {
        let repeat = stripe.repeat_mm() / stretch.abs();
        let room = if is_crosswise {
            fabric.buy.length_mm.max(fabric.length_mm)
        } else {
            fabric.width_mm
        };
        let fits = COUNTS.iter().find(|(count, _)| count * repeat <= room);
        let (count, many) = fits.unwrap_or(&COUNTS[4]);
        let what = if has_figure && stripe.bands().len() < 2 {
            many.replace("repeats", "columns of figures")
                .replace("repeat", "column of figures")
        } else {
            (*many).to_owned()
        };
        let more_or_less = count * repeat * bearable(plan, fabric, stripe);
        words.push(format!(
            "{what} {}{}",
            length(count * repeat, unit),
            give_or_take(more_or_less, unit)
        ));
    }
    if stripe.bands().len() > 1 {
        let from = wrap(
            stripe.origin_mm() / stretch,
            stripe.repeat_mm() / stretch.abs(),
        );
        let name = band_name(&stripe.bands()[0].name);
        words.push(if is_crosswise {
            let along = if leans {
                format!(", along the {left}")
            } else {
                String::new()
            };
            match (length(from, unit), &fabric.in_hand) {
                (_, None) if from < 0.05 => {
                    format!("square the cut end where {name} begins{along}")
                }
                (far, None) => format!("square the cut end {far} before {name} begins{along}"),
                (_, Some(_)) if from < 0.05 => format!("{name} begins at the {lower}{along}"),
                (far, Some(_)) => format!("{name} begins {far} from the {lower}{along}"),
            }
        } else {
            let along = if leans {
                format!(", along the {lower}")
            } else {
                String::new()
            };
            match length(from, unit) {
                _ if from < 0.05 => format!("{name} begins at the {left}{along}"),
                far => format!("{name} begins {far} from the {left}{along}"),
            }
        });
    }
    if let Some(along) = stripe.along() {
        let from = wrap(along.start_mm, along.repeat_mm);
        let far = length(from, unit);
        let (edge, other) = if is_crosswise {
            (left, lower)
        } else {
            (lower, left)
        };
        if let Look::Figure { across_mm, .. } = along.look {
            let x = stripe.origin_mm() + across_mm;
            let columns = (x / stripe.repeat_mm()).floor();
            let across = x - columns * stripe.repeat_mm();
            let from = wrap(along.start_mm - columns * along.shear_mm, along.repeat_mm);
            let away = |mm: f64, from: &str| match length(mm, unit) {
                _ if mm < 0.05 => format!("on the {from}"),
                far => format!("{far} from the {from}"),
            };
            let lies = format!(
                "the middle of the first figure lies {} and {}",
                away(from, edge),
                away(across, other)
            );
            words.push(match fabric.in_hand {
                None => format!("square the cut end so that {lies}"),
                Some(_) => lies,
            });
        } else if let Some(band) = along.bands().first() {
            let name = band_name(&band.name);
            let way = if is_crosswise {
                "lengthwise"
            } else {
                "crosswise"
            };
            words.push(
                match (is_crosswise || fabric.in_hand.is_some(), from < 0.05) {
                    (false, true) => {
                        format!("square the cut end where a crosswise band of {name} begins")
                    }
                    (false, false) => {
                        format!("square the cut end {far} before a crosswise band of {name} begins")
                    }
                    (true, _) => format!("a {way} band of {name} begins {far} from the {edge}"),
                },
            );
        }
    }
    if words.is_empty() {
        return None;
    }
    Some(format!(
        "{}. If your fabric differs by more, enter what you measured and plan again.",
        words.join("; ")
    ))
}

/// The share by which the repeat may differ from the plan before stripes are seen to be out of
/// line, where each template is laid by its ticks.
///
/// # Source
/// Own derivation: with its ticks in the middle of a piece on the stripes, a repeat that is
/// `e` times too long is off by `e` times half the piece's width at each edge, so two
/// neighbours are off by `e` times the widest at most.
fn bearable(plan: &Plan, fabric: &FabricPlan, stripe: &Stripe) -> f64 {
    let across = crate::shape::unit(stripe.normal_rad());
    let widths = fabric.placements.iter().map(|piece| {
        let map = piece.to_fabric.to_rigid();
        let region = piece.cut_region();
        let along = region
            .exterior()
            .0
            .iter()
            .map(|&p| dot(map.apply(p), across));
        let ends = along.fold((f64::INFINITY, f64::NEG_INFINITY), |ends, u| {
            (ends.0.min(u), ends.1.max(u))
        });
        ends.1 - ends.0
    });
    let widest = widths.fold(1.0, f64::max);
    plan.making.stripe_tolerance_mm.max(SEEN_MM) / widest
}

/// `, give or take 1/8 in`: rounded down, and nothing that a ruler does not show.
fn give_or_take(mm: f64, unit: Unit) -> String {
    let mm = Length::from_mm(mm).down(unit).to_mm();
    if mm < SHOWN_MM {
        return String::new();
    }
    format!(", give or take {}", length(mm, unit))
}

/// Whether stripes run from selvage to selvage.
pub(super) fn crosswise(stripe: &Stripe) -> bool {
    let (sin, cos) = stripe.normal_rad().sin_cos();
    sin.abs() > cos.abs()
}

fn band_name(name: &str) -> &str {
    if name.is_empty() {
        "the first band"
    } else {
        name
    }
}

/// How codes are read, with one of this fabric's as the example.
pub(super) fn code_words(plan: &Plan, fabric: &FabricPlan) -> String {
    let Some(piece) = fabric.placements.first() else {
        return String::new();
    };
    let mut motifs = Vec::new();
    for motif in &plan.motifs {
        if fabric.placements.iter().any(|p| p.motif == motif.name) {
            motifs.push(format!("{} is {}", motif.letter, motif.name));
        }
    }
    let mark = plan
        .motifs
        .iter()
        .filter(|motif| motif.name == piece.motif)
        .flat_map(|motif| &motif.pieces)
        .find(|note| note.piece == piece.piece)
        .map_or("", |note| note.mark.as_str());
    let what = if piece.piece == piece.motif {
        String::new()
    } else {
        format!(" ({})", piece.piece)
    };
    format!(
        "Codes: {}; {} is {} {}, piece {mark}{what}.",
        motifs.join(", "),
        piece.label,
        piece.motif,
        piece.copy
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::fixture;
    use crate::length::Unit;

    #[test]
    fn where_the_stripe_begins_is_said() {
        let said = |normal_deg: f64, origin: f64| {
            let mut plan = fixture::plan(2, normal_deg, Unit::Inch);
            let stripe = plan.fabrics[0].stripe.take().unwrap();
            // A repeat of 3 in.
            let mut bands = stripe.bands().to_vec();
            bands[3].width_mm += 36.2;
            let stripe = Stripe::try_new(stripe.run(), stripe.lean_deg(), origin, bands);
            plan.fabrics[0].stripe = Some(stripe.unwrap());
            plan.fabrics[0].buy.length_mm = 1000.0;
            stripe_words(&plan, &plan.fabrics[0]).unwrap()
        };
        let along = said(0.0, 19.05);
        assert!(
            along.starts_with("Ten repeats measure 30 in, give or take ")
                && along.contains(
                    "; navy begins 3/4 in from the left selvage. If your fabric differs by more"
                ),
            "{along}"
        );
        assert!(said(0.0, 76.2 * 3.0).contains("navy begins at the left selvage"));
        assert!(said(90.0, 19.05).contains("square the cut end 3/4 in before navy begins"));
        // What leans by 15 degrees lies further along the cut end than across the stripe:
        // cos 15 degrees = (sqrt 6 + sqrt 2) / 4.
        let cos = (6_f64.sqrt() + 2_f64.sqrt()) / 4.0;
        let leaning = said(-15.0, 25.4 * cos);
        assert!(
            leaning.contains("navy begins 1 in from the left selvage, along the cut end"),
            "{leaning}"
        );
        assert_eq!(give_or_take(5.0, Unit::Inch), ", give or take 3/16 in");
        assert_eq!(give_or_take(1.5, Unit::Inch), "");
        assert_eq!(give_or_take(5.9, Unit::Centimetre), ", give or take 0.5 cm");
        let mut plain = fixture::plan(2, 0.0, Unit::Inch);
        plain.fabrics[0].stripe = None;
        assert!(stripe_words(&plain, &plain.fabrics[0]).is_none());
    }
}
