//! The finished lines of a fan's wedges.
//!
//! A fan is cut into wedges by rays from the centre; each wedge with spokes is cut
//! further into equal *cells*, one a spoke, each symmetrical about its spoke's axis.

use super::design::{Fan, Spokes, Tip};
use crate::num::CHORD_TOL_MM;
use crate::shape::arc::{ArcSide, flatten};
use crate::shape::{Point, Region, point, unit};
use std::f64::consts::{FRAC_PI_2, TAU};

/// One wedge before anything is known of its neighbours.
#[derive(Debug, Clone)]
pub(super) struct Wedge {
    /// The finished region.
    pub finished: Region,
    /// Direction of its middle line.
    pub axis_rad: f64,
    /// Middles of the gaps between its spokes, each with the way out.
    pub gaps: Vec<(Point, Point)>,
}

/// What keeps a fan from being drawn.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum FanError {
    /// A size that is no number, or below zero, or a rim of nothing.
    #[error("every size must be above zero (a hub may be zero)")]
    Size,
    /// A sweep that is nothing, or more than once round.
    #[error("a fan goes more than 0 and at most 360 degrees around, not {0}")]
    Sweep(f64),
    /// No wedge.
    #[error("a fan needs at least one wedge")]
    NoWedges,
    /// A hole as wide as the whole.
    #[error("the hub ({hub_mm:.2} mm) must be smaller than the rim ({rim_mm:.2} mm)")]
    Hub {
        /// Radius of the hub.
        hub_mm: f64,
        /// Radius of the rim.
        rim_mm: f64,
    },
    /// A body that does not lie between hub and rim.
    #[error(
        "the root of the spokes must lie between hub ({hub_mm:.2} mm) and rim ({rim_mm:.2} mm), not at {root_mm:.2} mm"
    )]
    Root {
        /// Radius of the hub.
        hub_mm: f64,
        /// Radius of the rim.
        rim_mm: f64,
        /// The root as given.
        root_mm: f64,
    },
    /// A spoke that is wider than the body it stands on, or taller than long.
    #[error("a spoke can be at most {widest_mm:.2} mm wide here, and this one is {width_mm:.2} mm")]
    SpokeWidth {
        /// The width as given.
        width_mm: f64,
        /// The widest that would do.
        widest_mm: f64,
    },
    /// Neighbouring spokes that run into each other at their tips.
    #[error(
        "neighbouring spokes run into each other at their tips: make them at most {widest_mm:.2} mm wide there, or use fewer"
    )]
    Crowded {
        /// The widest tip that would do.
        widest_mm: f64,
    },
}

impl Fan {
    /// Whether it goes all the way round.
    pub fn is_whole_circle(&self) -> bool {
        (self.sweep_deg - 360.0).abs() < 1e-9
    }

    /// The angle of one wedge (radians).
    pub fn wedge_rad(&self) -> f64 {
        self.sweep_deg.to_radians() / self.wedges as f64
    }

    /// Whether the fan can be drawn.
    ///
    /// # Errors
    /// See [`FanError`].
    pub fn check(&self) -> Result<(), FanError> {
        let size = |x: f64| x.is_finite() && x > 0.0;
        let (hub_mm, rim_mm) = (self.hub_mm, self.rim_mm);
        if !self.from_deg.is_finite() || !size(rim_mm) || !(size(hub_mm) || hub_mm == 0.0) {
            return Err(FanError::Size);
        }
        if !size(self.sweep_deg) || self.sweep_deg > 360.0 + 1e-9 {
            return Err(FanError::Sweep(self.sweep_deg));
        }
        if self.wedges == 0 {
            return Err(FanError::NoWedges);
        }
        if hub_mm >= rim_mm {
            return Err(FanError::Hub { hub_mm, rim_mm });
        }
        match &self.spokes {
            Some(spokes) => self.check_spokes(spokes),
            None => Ok(()),
        }
    }

    fn check_spokes(&self, spokes: &Spokes) -> Result<(), FanError> {
        let (hub_mm, rim_mm, root_mm) = (self.hub_mm, self.rim_mm, spokes.root_mm);
        if spokes.per_wedge == 0 {
            return Err(FanError::Size);
        }
        if !(root_mm > hub_mm && root_mm < rim_mm) {
            return Err(FanError::Root {
                hub_mm,
                rim_mm,
                root_mm,
            });
        }
        let half_cell = self.wedge_rad() / spokes.per_wedge as f64 / 2.0;
        let too_wide = |width_mm: f64, widest_mm: f64| {
            let fits = width_mm > 0.0 && width_mm <= widest_mm;
            (!fits).then_some(FanError::SpokeWidth {
                width_mm,
                widest_mm,
            })
        };
        // The root's corners stand on the root circle; the taper leaves some length.
        let length = rim_mm - root_mm;
        let widest_tip = match spokes.tip {
            Tip::Flat => 2.0 * rim_mm,
            Tip::Round | Tip::Pointed => 1.8 * length,
        };
        if let Some(fault) = too_wide(spokes.root_width_mm, 1.98 * root_mm)
            .or_else(|| too_wide(spokes.tip_width_mm, widest_tip))
        {
            return Err(fault);
        }
        let (x, half) = (spokes.shoulder_mm(rim_mm), spokes.tip_width_mm / 2.0);
        let reached = match spokes.tip {
            Tip::Round => (half / x).asin(),
            Tip::Flat | Tip::Pointed => half.atan2(x),
        };
        if half_cell < FRAC_PI_2 && reached >= half_cell {
            let widest_mm = 2.0
                * match spokes.tip {
                    Tip::Flat => rim_mm * half_cell.tan(),
                    // h = (rim - h) f  =>  h = rim f / (1 + f)
                    Tip::Round => rim_mm * half_cell.sin() / (1.0 + half_cell.sin()),
                    Tip::Pointed => rim_mm * half_cell.tan() / (1.0 + half_cell.tan()),
                };
            return Err(FanError::Crowded { widest_mm });
        }
        Ok(())
    }

    /// The radius to which the body reaches on the ray between two cells (mm): the
    /// rim without spokes, else the root or the notch where two spokes part.
    pub fn body_mm(&self) -> f64 {
        match &self.spokes {
            Some(spokes) => {
                let cell = self.wedge_rad() / spokes.per_wedge as f64;
                spokes.notch_mm(self.rim_mm, cell).unwrap_or(spokes.root_mm)
            }
            None => self.rim_mm,
        }
    }

    /// All wedges, counter-clockwise.
    pub(super) fn wedges(&self, turn_rad: f64) -> Vec<Wedge> {
        let from = self.from_deg.to_radians() + turn_rad;
        let step = self.wedge_rad();
        (0..self.wedges)
            .map(|i| self.wedge(from + step * i as f64, from + step * (i + 1) as f64))
            .collect()
    }

    fn wedge(&self, from: f64, to: f64) -> Wedge {
        let closed = self.is_whole_circle() && self.wedges == 1;
        let (mut ring, gaps) = match &self.spokes {
            Some(spokes) => spoked_rim(self, spokes, from, to),
            None => (
                flatten(self.rim_mm, from, to, ArcSide::Outside, CHORD_TOL_MM),
                vec![],
            ),
        };
        let mut holes = vec![];
        if closed {
            // The last point is the first one again.
            ring.pop();
            if self.hub_mm > 0.0 {
                holes.push(flatten(self.hub_mm, to, from, ArcSide::Inside, CHORD_TOL_MM).into());
            }
        } else {
            ring.extend(flatten(
                self.hub_mm,
                to,
                from,
                ArcSide::Inside,
                CHORD_TOL_MM,
            ));
        }
        let mut gaps = gaps;
        if !closed {
            // The gap at a wedge's own side is the neighbour's business as well.
            gaps.retain(|(_, way)| {
                let inner = |angle: f64| (crate::shape::dot(*way, unit(angle)) - 1.0).abs() > 1e-9;
                inner(from) && inner(to)
            });
        }
        Wedge {
            finished: Region::new(ring.into(), holes),
            axis_rad: (from + to) / 2.0,
            gaps,
        }
    }
}

impl Spokes {
    /// Where the straight sides end, measured along the spoke's axis.
    fn shoulder_mm(&self, rim_mm: f64) -> f64 {
        match self.tip {
            Tip::Flat => rim_mm,
            Tip::Round | Tip::Pointed => rim_mm - self.tip_width_mm / 2.0,
        }
    }

    /// Where the side leaves the root circle, measured along the spoke's axis.
    fn foot_mm(&self) -> f64 {
        let half = self.root_width_mm / 2.0;
        (self.root_mm * self.root_mm - half * half).sqrt()
    }

    /// The radius of the notch between two spokes that touch at their feet.
    fn notch_mm(&self, rim_mm: f64, cell_rad: f64) -> Option<f64> {
        let (x0, h0) = (self.foot_mm(), self.root_width_mm / 2.0);
        let (x1, h1) = (self.shoulder_mm(rim_mm), self.tip_width_mm / 2.0);
        let half_cell = cell_rad / 2.0;
        if h0.atan2(x0) <= half_cell {
            return None;
        }
        // The side y = h0 + k (x - x0) meets the ray y = x tan(half cell).
        let k = (h1 - h0) / (x1 - x0);
        let x = (h0 - k * x0) / (half_cell.tan() - k);
        Some(x / half_cell.cos())
    }

    /// The tip from its right shoulder to its left, axis along x, shoulders included.
    fn tip_line(&self, rim_mm: f64) -> Vec<Point> {
        let (x, h) = (self.shoulder_mm(rim_mm), self.tip_width_mm / 2.0);
        match self.tip {
            Tip::Flat => vec![point(x, -h), point(x, h)],
            Tip::Pointed => vec![point(x, -h), point(rim_mm, 0.0), point(x, h)],
            Tip::Round => flatten(h, -FRAC_PI_2, FRAC_PI_2, ArcSide::Outside, CHORD_TOL_MM)
                .into_iter()
                .map(|p| p + point(x, 0.0))
                .collect(),
        }
    }
}

/// The outer edge of a wedge with spokes, and the middles of its gaps.
fn spoked_rim(fan: &Fan, spokes: &Spokes, from: f64, to: f64) -> (Vec<Point>, Vec<(Point, Point)>) {
    let cell = (to - from) / spokes.per_wedge as f64;
    let notch = spokes.notch_mm(fan.rim_mm, cell);
    let body = notch.unwrap_or(spokes.root_mm);
    let (x0, h0) = (spokes.foot_mm(), spokes.root_width_mm / 2.0);
    let foot_rad = h0.atan2(x0);
    let mut rim: Vec<Point> = vec![];
    let mut gaps = vec![];
    for j in 0..spokes.per_wedge {
        let start = from + cell * j as f64;
        let axis = start + cell / 2.0;
        let end = from + cell * (j + 1) as f64;
        let (c, s) = (axis.cos(), axis.sin());
        let placed = |p: Point| point(c * p.x - s * p.y, s * p.x + c * p.y);
        match notch {
            Some(radius) => rim.push(unit(start) * radius),
            None => rim.extend(flatten(
                spokes.root_mm,
                start,
                axis - foot_rad,
                ArcSide::Outside,
                CHORD_TOL_MM,
            )),
        }
        rim.extend(spokes.tip_line(fan.rim_mm).into_iter().map(placed));
        if notch.is_none() {
            let mut back = flatten(
                spokes.root_mm,
                axis + foot_rad,
                end,
                ArcSide::Outside,
                CHORD_TOL_MM,
            );
            back.pop();
            rim.extend(back);
        }
        gaps.push((unit(start) * body, unit(start)));
    }
    rim.push(unit(to) * body);
    if (to - from - TAU).abs() > 1e-9 {
        gaps.push((unit(to) * body, unit(to)));
    }
    (rim, gaps)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::ring::{open, self_crossing};
    use geo::Area;

    fn fan(sweep_deg: f64, wedges: usize, spokes: Option<Spokes>) -> Fan {
        Fan {
            from_deg: 0.0,
            sweep_deg,
            wedges,
            hub_mm: 20.0,
            rim_mm: 100.0,
            spokes,
        }
    }

    fn spokes(per_wedge: usize, width: f64, tip: Tip) -> Spokes {
        Spokes {
            per_wedge,
            root_mm: 45.0,
            root_width_mm: width,
            tip_width_mm: width,
            tip,
        }
    }

    #[test]
    fn plain_wedges_have_the_area_of_a_ring_sector() {
        for (sweep, wedges) in [(90.0, 1), (180.0, 2), (270.0, 3), (360.0, 1), (360.0, 5)] {
            let got: f64 = fan(sweep, wedges, None)
                .wedges(0.3)
                .iter()
                .map(|w| w.finished.unsigned_area())
                .sum();
            // Machinery's Handbook, 31st ed., 2020, p. 79: sweep (R^2 - r^2) / 2.
            let exact = f64::to_radians(sweep) * (100.0 * 100.0 - 20.0 * 20.0) / 2.0;
            // Never smaller, and larger by no more than the chords allow.
            assert!(
                got >= exact - 1e-6 && got < exact * 1.002,
                "{sweep} {got} {exact}"
            );
        }
    }

    #[test]
    fn spoked_wedges_are_simple_and_fill_their_angle() {
        for tip in [Tip::Flat, Tip::Round, Tip::Pointed] {
            for (per_wedge, width) in [(2, 15.0), (4, 18.0), (4, 20.0), (1, 40.0)] {
                let fan = fan(90.0, 1, Some(spokes(per_wedge, width, tip)));
                fan.check().unwrap();
                let wedge = &fan.wedges(0.0)[0];
                assert_eq!(self_crossing(open(wedge.finished.exterior())), None);
                assert_eq!(wedge.gaps.len(), per_wedge - 1);
                for p in &wedge.finished.exterior().0 {
                    assert!(p.x > -1e-9 && p.y > -1e-9);
                }
            }
        }
    }

    /// Two spokes whose feet touch part at a notch on the line between them: where a ray from the
    /// centre meets a side, by the law of sines in the triangle of the centre, the notch and the
    /// point where the side, drawn on, meets the axis.
    #[test]
    fn spokes_part_at_their_notch() {
        let cell = 30.0_f64.to_radians();
        for (root, tip) in [(30.0, 0.0), (30.0, 10.0), (28.0, 28.0), (26.0, 30.0)] {
            let taper = Spokes {
                tip_width_mm: tip,
                ..spokes(1, root, Tip::Flat)
            };
            let foot = (45.0_f64 * 45.0 - root * root / 4.0).sqrt();
            // The side's angle to the axis; parallel sides never meet it.
            let side = ((root - tip) / 2.0).atan2(100.0 - foot);
            let expected = if root == tip {
                root / 2.0 / (cell / 2.0).sin()
            } else {
                let apex = foot + root / 2.0 / side.tan();
                apex * side.sin() / (side + cell / 2.0).sin()
            };
            let notch = taper.notch_mm(100.0, cell).unwrap();
            assert!(
                (notch - expected).abs() < 1e-9,
                "{root} {tip}: {notch} {expected}"
            );
        }
        // Narrow feet stand apart.
        assert_eq!(spokes(1, 20.0, Tip::Flat).notch_mm(100.0, cell), None);
    }

    /// The taper leaves some of a spoke's length: a tip of 1.8 times the length, no more.
    #[test]
    fn a_tip_is_not_wider_than_its_spoke_is_long() {
        for tip in [Tip::Round, Tip::Pointed] {
            let mut wide = spokes(1, 10.0, tip);
            wide.tip_width_mm = 1.81 * (100.0 - wide.root_mm);
            let Err(FanError::SpokeWidth { widest_mm, .. }) = fan(360.0, 1, Some(wide)).check()
            else {
                panic!("{tip:?} should be too wide");
            };
            assert!((widest_mm - 1.8 * 55.0).abs() < 1e-9);
        }
    }

    #[test]
    fn the_widest_tip_named_is_the_widest_that_fits() {
        for tip in [Tip::Flat, Tip::Round, Tip::Pointed] {
            let mut crowded = fan(90.0, 1, Some(spokes(4, 18.0, tip)));
            let set = |fan: &mut Fan, width| {
                if let Some(s) = &mut fan.spokes {
                    s.tip_width_mm = width;
                }
            };
            set(&mut crowded, 45.0);
            let Err(FanError::Crowded { widest_mm }) = crowded.check() else {
                panic!("{tip:?} should be crowded");
            };
            set(&mut crowded, widest_mm * 0.9999);
            crowded.check().unwrap();
            set(&mut crowded, widest_mm * 1.0001);
            assert!(crowded.check().is_err());
        }
    }
}
