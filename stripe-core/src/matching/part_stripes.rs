//! stripes: the stripe frame that every piece of a part gets.

use super::joint::{Meeting, PhaseRun, meet};
use crate::fabric::{Fabric, Stripe};
use crate::motif::{Assembly, Form, Part, PartStripes};
use crate::num::{nearest_multiple_gap, wrap};
use crate::shape::{Point, dot, unit};
use std::f64::consts::FRAC_PI_2;

/// The stripe that a finished piece shows: phase `(m.q + phase + offset) mod repeat`
/// at the motif point `q`, `m` the unit normal at `normal_rad`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Direction across the stripes in the motif frame (radians).
    pub normal_rad: f64,
    /// The phase at the motif's centre, without the part's free offset (mm).
    pub phase_mm: f64,
}

impl Frame {
    /// The phase at a motif point, not wrapped.
    pub fn phase_at(&self, q: Point) -> f64 {
        dot(unit(self.normal_rad), q) + self.phase_mm
    }
}

/// Which wedges of a part take the stripe turned about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turned {
    /// None: all wedges are alike.
    None,
    /// Every other one.
    Alternate,
}

/// The frames of one part.
#[derive(Debug, Clone, PartialEq)]
pub struct PartFrames {
    /// One frame a piece of the part, counter-clockwise.
    pub frames: Vec<Frame>,
    /// Whether the layout may add an offset common to all of them.
    pub is_free: bool,
    /// Which wedges are turned about.
    pub turned: Turned,
    /// How the worst joint will meet, whatever the layout does.
    pub worst: Meeting,
    /// Why it misses and what would meet, where it does.
    pub advice: Option<String>,
}

/// The stripe frames of a part on striped fabric, chosen so that they meet if anything
/// can.
///
/// `through` always meets. `rings` meet at every joint with identical wedges. `rays`
/// meet when the stripe has a mirror line on the wedge's middle, else only if every
/// other wedge takes the stripe turned about, which a closed circle of an odd count
/// cannot and a one-way fabric must not.
///
/// # Source
/// Own derivation, stated as G-21 to G-25 in the project's table of trade facts: with
/// `d` the distance of a joint point from both axes, wedges side by side show phases
/// `c + d` and `c - d`, which are equal under a reflection about `c`, or if one of
/// them is turned about.
pub fn part_frames(
    part: &Part,
    part_idx: usize,
    assembly: &Assembly,
    fabric: &Fabric,
    stripe: &Stripe,
    stripe_tolerance_mm: f64,
) -> PartFrames {
    let axes: Vec<f64> = assembly
        .pieces
        .iter()
        .filter(|piece| piece.part == part_idx)
        .map(|piece| piece.axis_rad)
        .collect();
    let build = |phase_mm: f64, turned: Turned| -> Vec<Frame> {
        let frame = |(i, &axis): (usize, &f64)| frame_of(part, axis, i, phase_mm, turned);
        axes.iter().enumerate().map(frame).collect()
    };
    let worst_of =
        |frames: &[Frame]| worst_joint(frames, part_idx, assembly, stripe, stripe_tolerance_mm);
    let finish = |phase: Option<f64>, turned: Turned, advice: Option<String>| {
        let frames = build(phase.unwrap_or(0.0), turned);
        let worst = worst_of(&frames);
        PartFrames {
            frames,
            is_free: phase.is_none(),
            turned,
            worst,
            advice,
        }
    };
    if part.stripes != PartStripes::Rays || axes.len() < 2 {
        return finish(part.phase_mm, Turned::None, None);
    }

    let closed = matches!(&part.form, Form::Fan(fan) if fan.is_whole_circle());
    let odd_circle = closed && axes.len() % 2 == 1;
    let may_alternate = !fabric.one_way && !odd_circle;
    let mirrors = stripe.mirror_lines();
    let on_mirror = |phase: f64| {
        mirrors
            .iter()
            .any(|&m| nearest_multiple_gap(phase - m, stripe.repeat_mm()).abs() < 1e-6)
    };
    match part.phase_mm {
        Some(phase) if on_mirror(phase) => finish(Some(phase), Turned::None, None),
        _ if may_alternate => finish(part.phase_mm, Turned::Alternate, None),
        None if !mirrors.is_empty() => {
            finish(Some(widest_mirror(stripe, &mirrors)), Turned::None, None)
        }
        phase => {
            // Nothing meets: show the better of the two ways, and say what would do.
            let phase = phase.unwrap_or_else(|| stripe.middle_of(0));
            let alike = finish(Some(phase), Turned::None, None);
            let alternate = finish(Some(phase), Turned::Alternate, None);
            let advice = rays_advice(fabric, odd_circle, axes.len(), &mirrors);
            let better = if fabric.one_way || alike.worst.step_mm < alternate.worst.step_mm {
                alike
            } else {
                alternate
            };
            PartFrames {
                advice: Some(advice),
                ..better
            }
        }
    }
}

fn frame_of(part: &Part, axis_rad: f64, i: usize, phase_mm: f64, turned: Turned) -> Frame {
    match part.stripes {
        PartStripes::Through { normal_deg } => Frame {
            normal_rad: normal_deg.to_radians(),
            phase_mm,
        },
        // The stripes run outward along the axis, so their normal is to its right.
        PartStripes::Rays if turned == Turned::Alternate && i % 2 == 1 => Frame {
            normal_rad: axis_rad + FRAC_PI_2,
            phase_mm,
        },
        PartStripes::Rays => Frame {
            normal_rad: axis_rad - FRAC_PI_2,
            phase_mm,
        },
        PartStripes::Rings { radius_mm } => Frame {
            normal_rad: axis_rad,
            phase_mm: phase_mm - radius_mm,
        },
    }
}

/// The worst joint of a part as its frames promise it.
fn worst_joint(
    frames: &[Frame],
    part_idx: usize,
    assembly: &Assembly,
    stripe: &Stripe,
    stripe_tolerance_mm: f64,
) -> Meeting {
    let first = assembly
        .pieces
        .iter()
        .position(|p| p.part == part_idx)
        .unwrap_or(0);
    assembly
        .joints
        .iter()
        // Drawn pieces of several parts that meet have one frame.
        .filter(|joint| {
            [joint.a, joint.b]
                .iter()
                .all(|&i| assembly.pieces[i].part == part_idx)
        })
        .map(|joint| {
            let run = |piece: usize| {
                let frame = &frames[piece - first];
                PhaseRun(joint.line.map(|q| frame.phase_at(q)))
            };
            meet(stripe, run(joint.a), run(joint.b), stripe_tolerance_mm)
        })
        .max_by(|x, y| x.step_mm.total_cmp(&y.step_mm))
        .unwrap_or_default()
}

/// The mirror line on the widest band: the one that people see as the middle.
fn widest_mirror(stripe: &Stripe, mirrors: &[f64]) -> f64 {
    let width = |&line: &f64| stripe.bands()[stripe.band_at(line)].width_mm;
    mirrors
        .iter()
        .copied()
        .max_by(|a, b| width(a).total_cmp(&width(b)))
        .map_or(0.0, |line| wrap(line, stripe.repeat_mm()))
}

fn rays_advice(fabric: &Fabric, odd_circle: bool, wedges: usize, mirrors: &[f64]) -> String {
    let stripe = fabric.stripe();
    let band =
        |line: f64| stripe.map_or_else(String::new, |s| s.bands()[s.band_at(line)].name.clone());
    let mirror = match mirrors {
        [] => String::new(),
        [line, ..] => format!(
            ", or put the middle of `{}` on the axes, where the stripe mirrors itself",
            band(*line)
        ),
    };
    if fabric.one_way {
        format!(
            "`{}` is one-way, so no wedge may be turned about{mirror}",
            fabric.name
        )
    } else if odd_circle {
        format!(
            "every other wedge must take the stripe turned about, which comes out even only with an even count: {} or {} \
             wedges would meet{mirror}",
            wedges - 1,
            wedges + 1
        )
    } else {
        format!("nothing meets here{mirror}")
    }
}
