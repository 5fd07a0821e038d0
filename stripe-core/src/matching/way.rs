//! Ways: the turns and mirrors in which a piece may lie on its fabric.

use super::part_stripes::Frame;
use crate::fabric::{Fabric, Faces, Stripe};
use crate::motif::Part;
use crate::shape::{Rigid, point};
use std::f64::consts::{FRAC_PI_2, PI};

/// One way for a piece to lie: a turn, and what its lock then is.
///
/// On striped fabric the translation `d` must keep `n.d = residue + sign * offset`
/// modulo the repeat, `offset` being the free offset of the piece's part (0 if fixed).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Way {
    /// The turn (and mirror); its translation is zero.
    pub turn: Rigid,
    /// Where the lock's lines are (mm).
    pub residue_mm: f64,
    /// +1, or -1 where the piece takes the stripe mirrored.
    pub sign: f64,
}

/// The ways in which a piece shows its frame on striped fabric; its natural way first.
///
/// A map `q -> A q + d` shows the frame `(m, c)` if the fabric's phase
/// `n.(A q + d) - origin` is `m.q + c` modulo the repeat: so `A m = n` and
/// `n.d = c + origin`. On a stripe with mirror line `l` the phase `2 l - m.q - c`
/// looks the same: then `A m = -n` and `n.d = 2 l + origin - c`. Both come straight
/// or mirrored, the latter only where either face may show. One-way fabric keeps
/// those that do not turn the stripes' own direction about.
///
/// # Source
/// Own derivation; G-24 and G-25 of the project's table of trade facts agree.
pub fn striped_ways(frame: &Frame, fabric: &Fabric, stripe: &Stripe) -> Vec<Way> {
    if stripe.along().is_some() {
        // Locked both ways: nothing is known of what the pattern looks like turned.
        return vec![Way {
            turn: turn_onto(frame.normal_rad, stripe.normal_rad(), false, false),
            residue_mm: stripe.origin_mm() + frame.phase_mm,
            sign: 1.0,
        }];
    }
    let both_faces = fabric.faces == Faces::Both;
    // Mirror lines half a repeat apart give the same residue; finer repeats inside
    // the repeat give further ones.
    let mut doubled: Vec<f64> = vec![];
    for line in stripe.mirror_lines() {
        let twice = crate::num::wrap(2.0 * line, stripe.repeat_mm());
        let new = |&known: &f64| {
            crate::num::nearest_multiple_gap(known - twice, stripe.repeat_mm()).abs() > 1e-6
        };
        if doubled.iter().all(new) {
            doubled.push(twice);
        }
    }
    let mut ways = vec![];
    for (mirror, about) in [(false, false), (false, true), (true, false), (true, true)] {
        // Of these four, two turn the direction along the stripes about.
        let keeps_direction = mirror == about;
        if (mirror && !both_faces) || (fabric.one_way && !keeps_direction) {
            continue;
        }
        let turn = turn_onto(frame.normal_rad, stripe.normal_rad(), mirror, about);
        if about {
            ways.extend(doubled.iter().map(|twice| Way {
                turn,
                residue_mm: twice + stripe.origin_mm() - frame.phase_mm,
                sign: -1.0,
            }));
        } else {
            ways.push(Way {
                turn,
                residue_mm: stripe.origin_mm() + frame.phase_mm,
                sign: 1.0,
            });
        }
    }
    ways
}

/// The turn that sends the direction `m` to `n`, or to `-n` if `about`.
fn turn_onto(m_rad: f64, n_rad: f64, mirror: bool, about: bool) -> Rigid {
    let from = if mirror { PI - m_rad } else { m_rad };
    let to = if about { n_rad + PI } else { n_rad };
    Rigid {
        rotate_rad: to - from,
        mirror,
        shift: point(0.0, 0.0),
    }
}

/// Where the grain of a piece of plain fabric runs in the finished motif, if its part says so:
/// the same direction for all pieces of the part (radians, as the fabric's length from the cut
/// end on). Fabric with a nap stands upright where nothing else is said.
pub fn grain_rad(part: &Part, fabric: &Fabric) -> Option<f64> {
    let upright = fabric.nap.matters().then_some(0.0);
    let turned_deg = part.grain_deg.or(upright)?;
    (fabric.stripe().is_none()).then(|| FRAC_PI_2 + turned_deg.to_radians())
}

/// The ways in which a piece may lie on plain fabric: its axis, or the direction that its part
/// says, along the fabric, then turned as the fabric allows; mirrored too where either face may
/// show.
///
/// Grain up the middle of a wedge keeps its point from stretching (common practice, no
/// source), and lets all wedges of a fan share one template.
pub fn plain_ways(axis_rad: f64, fabric: &Fabric) -> Vec<Way> {
    let vertical = FRAC_PI_2 - axis_rad;
    let mirrors: &[bool] = match fabric.faces {
        Faces::Both => &[false, true],
        Faces::RightSide => &[false],
    };
    mirrors
        .iter()
        .flat_map(|&mirror| {
            fabric.turns_deg().iter().map(move |rotate_deg| {
                // Mirrored, the axis points to pi - axis: vertical from there.
                let base = if mirror { -vertical } else { vertical };
                Way {
                    turn: Rigid {
                        rotate_rad: base + rotate_deg.to_radians(),
                        mirror,
                        shift: point(0.0, 0.0),
                    },
                    residue_mm: 0.0,
                    sign: 1.0,
                }
            })
        })
        .collect()
}
