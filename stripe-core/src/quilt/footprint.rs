//! The ground that a motif covers, for asking what overlaps what.

use crate::motif::{Form, Motif};
use crate::shape::{Region, Rigid, point, unit};
use geo::{Area, BooleanOps};

/// Overlaps of less than this are touching (mm^2).
const TOUCH_MM2: f64 = 1.0;
/// Angle between two points of a circle's outline: the gap to the true circle is a
/// fifth of a millimetre on a motif of 20 cm radius, less than a needle is wide.
const STEP_DEG: f64 = 5.0;

/// A motif's outline in its own frame.
#[derive(Debug, Clone)]
pub(super) struct Footprint {
    regions: Vec<Region>,
    /// Distance of its farthest point from the centre (mm).
    pub(super) reach_mm: f64,
}

pub(super) fn footprint(motif: &Motif) -> Footprint {
    let mut regions = Vec::new();
    let mut reach_mm = 0.0f64;
    for part in &motif.parts {
        let turn = Rigid {
            rotate_rad: part.rotate_deg.to_radians(),
            ..Rigid::IDENTITY
        };
        let ring = match &part.form {
            Form::Fan(fan) => {
                reach_mm = reach_mm.max(fan.rim_mm);
                let n = (fan.sweep_deg / STEP_DEG).ceil().max(3.0);
                let mut ring: Vec<_> = (0..=n as usize)
                    .map(|i| {
                        let deg = fan.from_deg + fan.sweep_deg * i as f64 / n;
                        unit(deg.to_radians()) * fan.rim_mm
                    })
                    .collect();
                if fan.sweep_deg < 360.0 - 1e-6 {
                    ring.push(point(0.0, 0.0));
                } else {
                    ring.pop();
                }
                ring
            }
            Form::Outline(points) => {
                for p in points {
                    reach_mm = reach_mm.max(p.x.hypot(p.y));
                }
                points.clone()
            }
        };
        regions.push(turn.apply_to(&Region::new(ring.into(), vec![])));
    }
    Footprint { regions, reach_mm }
}

impl Footprint {
    /// The regions on the quilt.
    pub(super) fn at(&self, to_quilt: &Rigid) -> Vec<Region> {
        self.regions.iter().map(|r| to_quilt.apply_to(r)).collect()
    }
}

/// Whether two motifs cover common ground.
pub(super) fn overlap(a: &[Region], b: &[Region]) -> bool {
    a.iter().any(|ra| {
        b.iter()
            .any(|rb| ra.intersection(rb).unsigned_area() > TOUCH_MM2)
    })
}
