//! What a designer should know before anything is cut.

use super::design::{Form, Making, Meet, Motif};
use std::fmt;

/// A remark on a motif: no fault, but worth a thought.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Remark {
    /// Wedges that do not divide a quarter turn, so that one template cannot serve
    /// half, three-quarter and whole circles.
    WedgeAngle {
        /// The part's name.
        part: String,
        /// The angle of its wedges (degrees).
        wedge_deg: f64,
        /// The nearest angles that do, one a little smaller, one a little larger.
        nearest_deg: [f64; 2],
    },
    /// Allowances that pile up on each other where the wedges meet.
    SmallHub {
        /// The part's name.
        part: String,
        /// Inside this radius neighbouring allowances overlap (mm).
        overlap_mm: f64,
        /// What is there: the hub, or the disc that covers it (mm).
        covered_mm: f64,
    },
}

impl fmt::Display for Remark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::WedgeAngle {
                part,
                wedge_deg,
                nearest_deg: [less, more],
            } => write!(
                f,
                "the wedges of `{part}` are {} degrees wide, which does not divide a quarter turn: one template will not \
                 serve half, three-quarter and whole circles alike ({} degrees would)",
                short(*wedge_deg),
                if less == more {
                    short(*less)
                } else {
                    format!("{} or {}", short(*less), short(*more))
                }
            ),
            Self::SmallHub {
                part,
                overlap_mm,
                covered_mm,
            } => write!(
                f,
                "where the wedges of `{part}` meet, their allowances pile up inside {overlap_mm:.1} mm ({:.2} in) of the \
                 centre, but hub or covering disc reach only {covered_mm:.1} mm ({:.2} in): plan a larger one",
                overlap_mm / 25.4,
                covered_mm / 25.4
            ),
        }
    }
}

/// A number with at most two decimals.
fn short(x: f64) -> String {
    let text = format!("{x:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// All remarks on a motif whose parts can be drawn.
///
/// # Source
/// Wedge angles: own derivation (a wedge fits 180, 270 and 360 degrees only if it
/// divides 90). Allowances of width `a` overlap within `a / tan(angle / 2)` of the
/// centre: own derivation.
pub(super) fn find_remarks(motif: &Motif, making: &Making) -> Vec<Remark> {
    let mut remarks = vec![];
    for (i, part) in motif.parts.iter().enumerate() {
        let Form::Fan(fan) = &part.form else { continue };
        if fan.wedges < 2 {
            continue;
        }
        let wedge_deg = fan.sweep_deg / fan.wedges as f64;
        let in_quarter = 90.0 / wedge_deg;
        if (in_quarter - in_quarter.round()).abs() > 1e-6 || in_quarter < 1.0 - 1e-6 {
            let more = in_quarter.floor().max(1.0);
            remarks.push(Remark::WedgeAngle {
                part: part.name.clone(),
                wedge_deg,
                nearest_deg: [90.0 / (in_quarter.floor() + 1.0), 90.0 / more],
            });
        }
        let allowance = match part.meet {
            Meet::Seam => making.seam_mm,
            Meet::Butted | Meet::Lapped => making.turn_mm,
        };
        let overlap_mm = overlap_radius_mm(allowance, wedge_deg.to_radians());
        let covered_mm = motif.parts[i + 1..]
            .iter()
            .filter_map(|above| match &above.form {
                // A disc without a hole hides everything within its rim or body.
                Form::Fan(top) if top.hub_mm == 0.0 => {
                    Some(top.spokes.map_or(top.rim_mm, |s| s.root_mm))
                }
                _ => None,
            })
            .fold(fan.hub_mm, f64::max);
        if covered_mm < overlap_mm - 1e-9 {
            remarks.push(Remark::SmallHub {
                part: part.name.clone(),
                overlap_mm,
                covered_mm,
            });
        }
    }
    remarks
}

/// Inside this radius the allowances of two neighbouring seams overlap (mm).
pub fn overlap_radius_mm(allowance_mm: f64, wedge_rad: f64) -> f64 {
    if wedge_rad >= std::f64::consts::PI {
        0.0
    } else {
        allowance_mm / (wedge_rad / 2.0).tan()
    }
}
