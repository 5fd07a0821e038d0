//! What a map says before anything is cut: how the fabric lies, where its stripe begins,
//! how to find the places of pieces, how to read a code.

use crate::draw::measure::length;
use crate::num::wrap;
use crate::plan::{FabricPlan, Plan, StripeNote};

/// How the fabric lies, and what to do where its stripe is then not seen.
pub(super) fn lie_words(wrong_side_up: bool, striped: bool) -> &'static str {
    match (wrong_side_up, striped) {
        (true, true) => {
            "Lay the fabric wrong side up, cut end nearest to you: its left selvage is then at your right, and the map shows it so. Measure from there. Where the stripe does not show through, work on a light box or against a window."
        }
        (true, false) => {
            "Lay the fabric wrong side up, cut end nearest to you: its left selvage is then at your right, and the map shows it so. Measure from there."
        }
        (false, _) => "Lay the fabric right side up, cut end nearest to you.",
    }
}

/// Numbers of repeats that are measured in one go.
const COUNTS: [(f64, &str); 5] = [
    (10.0, "Ten repeats measure"),
    (5.0, "Five repeats measure"),
    (3.0, "Three repeats measure"),
    (2.0, "Two repeats measure"),
    (1.0, "One repeat measures"),
];

/// What of the stripe to measure before cutting, and what to do where it differs.
pub(super) fn stripe_words(plan: &Plan, fabric: &FabricPlan) -> Option<String> {
    let stripe = fabric.stripe.as_ref()?;
    let unit = plan.unit;
    let leans = stripe.normal_deg.rem_euclid(90.0).abs() > 1e-6;
    let is_crosswise = crosswise(stripe);
    let normal = stripe.normal_deg.to_radians();
    // Along the cut end or the selvage a leaning repeat is longer.
    let stretch = if is_crosswise {
        normal.sin()
    } else {
        normal.cos()
    };
    let has_figure = stripe
        .along
        .as_ref()
        .is_some_and(|along| along.figure.is_some());
    let mut words = Vec::new();
    if stripe.bands.len() > 1 || has_figure {
        let repeat = stripe.repeat / stretch.abs();
        let room = if is_crosswise {
            fabric.buy.length
        } else {
            fabric.width
        };
        let fits = COUNTS.iter().find(|(count, _)| count * repeat <= room);
        let (count, many) = fits.unwrap_or(&COUNTS[4]);
        let what = if has_figure && stripe.bands.len() < 2 {
            many.replace("repeats", "columns of figures")
                .replace("repeat", "column of figures")
        } else {
            (*many).to_owned()
        };
        words.push(format!("{what} {}", length(count * repeat, unit)));
    }
    if stripe.bands.len() > 1 {
        let from = wrap(stripe.origin / stretch, stripe.repeat / stretch.abs());
        let name = band_name(&stripe.bands[0].name);
        words.push(if is_crosswise {
            let along = if leans {
                ", along the left selvage"
            } else {
                ""
            };
            match length(from, unit) {
                _ if from < 0.05 => format!("square the cut end where {name} begins{along}"),
                far => format!("square the cut end {far} before {name} begins{along}"),
            }
        } else {
            let along = if leans { ", along the cut end" } else { "" };
            match length(from, unit) {
                _ if from < 0.05 => format!("{name} begins at the left selvage{along}"),
                far => format!("{name} begins {far} from the left selvage{along}"),
            }
        });
    }
    if let Some(along) = &stripe.along {
        let from = wrap(along.start, along.repeat);
        let far = length(from, unit);
        let edge = if is_crosswise {
            "left selvage"
        } else {
            "cut end"
        };
        if let Some(figure) = &along.figure {
            let x = stripe.origin + figure.across;
            let columns = (x / stripe.repeat).floor();
            let across = x - columns * stripe.repeat;
            let from = wrap(along.start - columns * along.shear, along.repeat);
            let other = if is_crosswise {
                "cut end"
            } else {
                "left selvage"
            };
            let away = |mm: f64, from: &str| match length(mm, unit) {
                _ if mm < 0.05 => format!("on the {from}"),
                far => format!("{far} from the {from}"),
            };
            words.push(format!(
                "square the cut end so that the middle of the first figure lies {} and {}",
                away(from, edge),
                away(across, other)
            ));
        } else if let Some(band) = along.bands.first() {
            let name = band_name(&band.name);
            words.push(match (is_crosswise, from < 0.05) {
                (false, true) => {
                    format!("square the cut end where a crosswise band of {name} begins")
                }
                (false, false) => {
                    format!("square the cut end {far} before a crosswise band of {name} begins")
                }
                (true, _) => format!("a lengthwise band of {name} begins {far} from the {edge}"),
            });
        }
    }
    if words.is_empty() {
        return None;
    }
    Some(format!(
        "{}. If yours differ, change them in the project file and plan again.",
        words.join("; ")
    ))
}

/// Whether stripes run from selvage to selvage.
pub(super) fn crosswise(stripe: &StripeNote) -> bool {
    stripe.normal_deg.to_radians().sin().abs() > stripe.normal_deg.to_radians().cos().abs()
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
    use crate::plan::UnitNote;

    #[test]
    fn where_the_stripe_begins_is_said() {
        let said = |normal_deg: f64, origin: f64| {
            let mut plan = fixture::plan(2, normal_deg, UnitNote::In);
            let stripe = plan.fabrics[0].stripe.as_mut().unwrap();
            stripe.repeat = 76.2;
            stripe.bands[3].width += 36.2;
            stripe.origin = origin;
            plan.fabrics[0].buy.length = 1000.0;
            stripe_words(&plan, &plan.fabrics[0]).unwrap()
        };
        let along = said(0.0, 19.05);
        assert!(along.starts_with("Ten repeats measure 30 in; navy begins 3/4 in from the left selvage. If yours differ"), "{along}");
        assert!(said(0.0, 76.2 * 3.0).contains("navy begins at the left selvage"));
        assert!(said(90.0, 19.05).contains("square the cut end 3/4 in before navy begins"));
        // 0.5 in across, leaning by 60 degrees from square, are 1 in along the cut end
        // (cos 60 degrees = 1/2).
        let leaning = said(-30.0, 25.4 * 0.866_025_4);
        assert!(
            leaning.contains("navy begins 1 in from the left selvage, along the cut end"),
            "{leaning}"
        );
        let mut plain = fixture::plan(2, 0.0, UnitNote::In);
        plain.fabrics[0].stripe = None;
        assert!(stripe_words(&plain, &plain.fabrics[0]).is_none());
    }
}
