//! How exact cutting must be: the step that a small error would cause at a joint.

use super::part_stripes::Frame;
use crate::motif::{Assembly, Joint};
use crate::shape::{distance, dot, point, unit};
use serde::{Deserialize, Serialize};

/// The steps (mm, across the stripe) that three usual errors in cutting one piece
/// would cause at the worst joint of a part.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Exactness {
    /// A piece cut 1/32 in too far across the stripe.
    #[serde(rename = "cut_1_32_in")]
    pub slid_mm: f64,
    /// A piece tilted by one degree about the middle of its joint's length from the centre.
    #[serde(rename = "tilt_1_deg")]
    pub tilted_mm: f64,
    /// Fabric off square by one per cent more than was measured.
    #[serde(rename = "skew_1_percent")]
    pub skewed_mm: f64,
}

/// The cut error that is asked about: a maker's usual tolerance (from memory; 1/32 to
/// 1/16 in is common practice without a citable source).
pub const CUT_ERROR_MM: f64 = 25.4 / 32.0;
/// Stripes out of line by no more than this are not noticed in a finished quilt (mm): 1/16 in
/// (common practice, no source).
pub const NOTICED_MM: f64 = 25.4 / 16.0;
/// The tilt that is asked about.
pub const TILT_DEG: f64 = 1.0;
/// The skew that is asked about.
pub const SKEW_PERCENT: f64 = 1.0;

/// How exact the pieces of one part must be cut.
///
/// `frame_of` gives the frame of a piece by its index in the assembly; the joints are those of
/// which the part has the first piece. A slide across the
/// stripe by `e` is a step of `e`. A tilt by `t` about the motif's centre turns the
/// stripe's normal, and moves the phase at a joint point `q` by
/// `|q . (R(t) m - m)|`. Skew of `s` shears the fabric along the stripe of a square
/// line: it tilts the stripes of each piece by `atan(s)` against the others' wherever
/// neighbouring pieces lie turned against each other, which is worst where one lies
/// straight and the other turned about; with one frame for all, all tilt together.
///
/// # Source
/// Own derivation; G-28 and G-29 of the project's table of trade facts are its values
/// for `rings` and `rays`.
pub fn exactness(
    frame_of: impl Fn(usize) -> Option<Frame>,
    part: usize,
    assembly: &Assembly,
) -> Exactness {
    let joints = assembly
        .joints
        .iter()
        .filter(|joint| assembly.pieces[joint.a].part == part);
    let mut worst = Exactness::default();
    for joint in joints {
        let (Some(a), Some(b)) = (frame_of(joint.a), frame_of(joint.b)) else {
            continue;
        };
        worst.slid_mm = CUT_ERROR_MM;
        for frame in [a, b] {
            let tilted = shift_at(joint, frame.normal_rad, TILT_DEG.to_radians());
            worst.tilted_mm = worst.tilted_mm.max(tilted);
        }
        worst.skewed_mm = worst.skewed_mm.max(skewed(joint, &a, &b));
    }
    worst
}

/// By how much the phase moves along a joint, at most, when a piece is tilted about the
/// motif's centre.
fn shift_at(joint: &Joint, normal_rad: f64, tilt_rad: f64) -> f64 {
    let change = unit(normal_rad + tilt_rad) - unit(normal_rad);
    joint
        .line
        .iter()
        .map(|&q| dot(q, change).abs())
        .fold(0.0, f64::max)
}

/// The step from fabric off square: each piece's stripe is tilted the same way on the
/// fabric, so pieces with one frame still meet.
fn skewed(joint: &Joint, a: &Frame, b: &Frame) -> f64 {
    let tilt = crate::fabric::squareness::skew_rad(SKEW_PERCENT);
    let change = |frame: &Frame| unit(frame.normal_rad + tilt) - unit(frame.normal_rad);
    let apart = change(a) - change(b);
    let reach = |q: crate::shape::Point| distance(q, point(0.0, 0.0));
    let outer = joint.line[usize::from(reach(joint.line[1]) > reach(joint.line[0]))];
    dot(outer, apart).abs()
}
