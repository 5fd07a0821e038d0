//! What a designer should know before anything is cut.

use super::design::{Fan, Form, Making, Meet, Motif, Part};
use crate::length::{Length, Unit};

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
    /// A hub that hardly runs under the disc that covers it: the least slip shows the background.
    Flush {
        /// The part's name.
        part: String,
        /// The name of the part above.
        above: String,
        /// By how much its fabric runs under that one's finished edge (mm).
        overlap_mm: f64,
        /// The tuck-under that would be safe (mm).
        safe_tuck_under_mm: f64,
    },
    /// Two drawn pieces that all but touched: their edges were brought together.
    Snapped {
        /// The piece that stays as it was drawn.
        stays: String,
        /// The piece whose edge was moved.
        moved: String,
        /// The widest gap that was closed (mm).
        gap_mm: f64,
    },
    /// Two drawn pieces with a narrow gap between them.
    Apart {
        /// The piece that is drawn first.
        one: String,
        /// The piece that is drawn later.
        other: String,
        /// How wide the gap is at most (mm).
        gap_mm: f64,
    },
}

impl Remark {
    /// The remark in a maker's words, lengths in the project's unit.
    pub fn said(&self, unit: Unit) -> String {
        let shown = |mm: f64| Length::from_mm(mm).shown(unit);
        let exact = |mm: f64| Length::from_mm(mm).exact(unit);
        match self {
            Self::WedgeAngle {
                part,
                wedge_deg,
                nearest_deg: [less, more],
            } => format!(
                "the wedges of `{part}` are {} degrees wide, and no whole number of them fits a quarter circle: \
                 its half, three-quarter and whole circles need templates of their own. With wedges of {} \
                 degrees one would serve all",
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
            } => format!(
                "at the centre the seam allowances of the wedges of `{part}` pile up. Cover the centre with a disc of \
                 {} radius or more, or leave a hole (`hub`) of that radius; now it is {}",
                Length::from_mm(*overlap_mm).shown_up(unit),
                shown(*covered_mm)
            ),
            Self::Snapped {
                stays,
                moved,
                gap_mm,
            } => format!(
                "the edges of `{stays}` and `{moved}` were drawn up to {} apart: they were brought together, \
                 and now meet",
                exact(*gap_mm)
            ),
            Self::Apart { one, other, gap_mm } => format!(
                "`{one}` and `{other}` were drawn up to {} apart: the background will show between them. Draw \
                 them with one edge if they are to meet, or further apart if not",
                exact(*gap_mm)
            ),
            Self::Flush {
                part,
                above,
                overlap_mm,
                safe_tuck_under_mm,
            } => {
                let how = if *overlap_mm < 0.05 {
                    format!("ends flush with the edge of `{above}`, with no overlap at all")
                } else {
                    format!(
                        "reaches only {} under the edge of `{above}`",
                        shown(*overlap_mm)
                    )
                };
                format!(
                    "the hub of `{part}` {how}: a small slip would show the background between them. Set `tuck_under` to {} or \
                     more, or make the hub smaller or `{above}` larger by as much",
                    Length::from_mm(*safe_tuck_under_mm).shown_up(unit)
                )
            }
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
    let mut remarks: Vec<Remark> = (motif.ground.snapped.iter())
        .map(|(stays, moved, gap_mm)| Remark::Snapped {
            stays: stays.clone(),
            moved: moved.clone(),
            gap_mm: *gap_mm,
        })
        .collect();
    remarks.extend(
        motif
            .ground
            .apart
            .iter()
            .map(|(one, other, gap_mm)| Remark::Apart {
                one: one.clone(),
                other: other.clone(),
                gap_mm: *gap_mm,
            }),
    );
    for (i, part) in motif.parts.iter().enumerate() {
        let Form::Fan(fan) = &part.form else { continue };
        remarks.extend(flush_hub(part, fan, &motif.parts[i + 1..], making));
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
            Meet::BothTurnedUnder | Meet::OneOverOther => making.turn_under_mm,
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

/// A hub whose fabric runs less than a turn-under beneath the disc or ring that covers it.
///
/// # Source
/// That a covered edge runs on by as much as a turned one takes is common practice, no source.
fn flush_hub(part: &Part, fan: &Fan, above: &[Part], making: &Making) -> Option<Remark> {
    if fan.hub_mm <= 0.0 {
        return None;
    }
    // What covers the hub's edge: the largest body over it decides.
    let (top, reach_mm) = above
        .iter()
        .filter_map(|top| match &top.form {
            Form::Fan(over) if over.hub_mm < fan.hub_mm => {
                let reach_mm = over.spokes.map_or(over.rim_mm, |s| s.root_mm);
                (reach_mm >= fan.hub_mm - 1e-6).then_some((top, reach_mm))
            }
            _ => None,
        })
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    let beyond_mm = (reach_mm - fan.hub_mm).max(0.0);
    let overlap_mm = beyond_mm + making.tuck_under_mm;
    (overlap_mm < making.turn_under_mm - 1e-6).then(|| Remark::Flush {
        part: part.name.clone(),
        above: top.name.clone(),
        overlap_mm,
        safe_tuck_under_mm: making.turn_under_mm - beyond_mm,
    })
}

/// Inside this radius the allowances of two neighbouring seams overlap (mm).
pub fn overlap_radius_mm(allowance_mm: f64, wedge_rad: f64) -> f64 {
    if wedge_rad >= std::f64::consts::PI {
        0.0
    } else {
        allowance_mm / (wedge_rad / 2.0).tan()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn remarks(parts: Vec<Part>) -> Vec<Remark> {
        let mut motif = Motif::new("mill", 1);
        motif.parts = parts;
        let making = Making {
            seam_mm: 6.0,
            turn_under_mm: 4.0,
            ..Making::default()
        };
        find_remarks(&motif, &making)
    }

    fn ring(hub_mm: f64, sweep_deg: f64, wedges: usize) -> Part {
        let mut fan = Fan::ring(hub_mm, 100.0).with_wedges(wedges);
        fan.sweep_deg = sweep_deg;
        Part {
            meet: Meet::Seam,
            ..Part::new("rim", "deck", fan)
        }
    }

    #[test]
    fn angles_are_shown_shortly() {
        assert_eq!(
            [22.5, 45.0, 360.0 / 7.0, 100.0].map(short),
            ["22.5", "45", "51.43", "100"]
        );
    }

    /// A wedge serves half, three-quarter and whole circles if it divides a quarter turn; of
    /// others the nearest two that do are named.
    #[test]
    fn wedges_divide_a_quarter_turn() {
        let nearest = |sweep_deg, wedges| {
            remarks(vec![ring(60.0, sweep_deg, wedges)])
                .into_iter()
                .find_map(|remark| match remark {
                    Remark::WedgeAngle { nearest_deg, .. } => Some(nearest_deg),
                    _ => None,
                })
        };
        for (sweep_deg, wedges) in [(360.0, 4), (360.0, 8), (360.0, 12), (180.0, 2), (270.0, 3)] {
            assert_eq!(nearest(sweep_deg, wedges), None, "{sweep_deg} {wedges}");
        }
        // 72, 50, 40 and 120 degrees.
        assert_eq!(nearest(360.0, 5), Some([45.0, 90.0]));
        assert_eq!(nearest(100.0, 2), Some([45.0, 90.0]));
        assert_eq!(nearest(360.0, 9), Some([30.0, 45.0]));
        assert_eq!(nearest(360.0, 3), Some([90.0, 90.0]));
        // One wedge has no neighbour.
        assert_eq!(nearest(120.0, 1), None);
    }

    /// Seams of `a` beside the joints of wedges of 90 degrees overlap within `a` of the centre
    /// (`a / tan 45`), beside those of 45 degrees within 2.414 `a`.
    #[test]
    fn a_small_hub_is_told() {
        let overlap = |parts| {
            remarks(parts).into_iter().find_map(|remark| match remark {
                Remark::SmallHub {
                    overlap_mm,
                    covered_mm,
                    ..
                } => Some((overlap_mm, covered_mm)),
                _ => None,
            })
        };
        assert_eq!(overlap(vec![ring(6.01, 360.0, 4)]), None);
        let (within, hub) = overlap(vec![ring(5.9, 360.0, 4)]).unwrap();
        assert!((within - 6.0).abs() < 1e-9 && hub == 5.9);
        let (within, _) = overlap(vec![ring(14.0, 360.0, 8)]).unwrap();
        assert!((within - 6.0 * (1.0 + 2.0_f64.sqrt())).abs() < 1e-9);
        // A disc on top hides it.
        let disc = Part::new("cap", "deck", Fan::disc(20.0));
        assert_eq!(overlap(vec![ring(5.9, 360.0, 4), disc]), None);
    }
}
