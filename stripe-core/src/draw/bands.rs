//! Stripes as areas of colour, in whatever frame they are looked at.

use super::scene::{Fill, Item, Line, Path};
use crate::colour::Colour;
use crate::fabric::{Band, Stripe};
use crate::num::wrap;
use crate::shape::{Point, Rigid, dot, point, unit};

/// Bands narrower than this on paper (mm, on average) are shown as one colour.
const FINEST_MM: f64 = 0.05;
/// Each band runs on under the next by this much (mm of paper), so that no light
/// shines through between two smoothed edges.
const UNDER_MM: f64 = 0.08;

/// Directions nearer than this (radians) are one.
const ALIKE_TOL: f64 = 1e-3;
/// At so many places along a repeat colours are compared: on a repeat of 3 in, a
/// shift of a tenth of a millimetre is told apart.
const ALIKE_SAMPLES: usize = 1000;

/// Where one band ends and the next begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Border {
    /// Where, along the normal (mm).
    pub u_mm: f64,
    /// The index of the band before it.
    pub before: usize,
    /// The index of the band that begins there.
    pub after: usize,
}

/// How a stripe falls in a frame: the phase at `p` is `(n.p + shift) mod repeat`.
#[derive(Debug, Clone, Copy)]
pub struct Fall<'a> {
    normal: Point,
    shift_mm: f64,
    /// The direction along the stripe, and what is added to a place on it.
    along: Point,
    along_shift_mm: f64,
    repeat_mm: f64,
    bands: &'a [Band],
    /// Width of a band across the stripe, for one of its width as it is noted: crossing
    /// bands that climb are noted along the stripes, and are narrower across.
    stretch: f64,
}

impl<'a> Fall<'a> {
    /// On the fabric itself.
    pub fn on_fabric(stripe: &'a Stripe) -> Self {
        Self {
            normal: unit(stripe.normal_rad()),
            shift_mm: -stripe.origin_mm(),
            along: unit(stripe.normal_rad() + std::f64::consts::FRAC_PI_2),
            along_shift_mm: 0.0,
            repeat_mm: stripe.repeat_mm(),
            bands: stripe.bands(),
            stretch: 1.0,
        }
    }

    /// The bands that cross the stripe of a plaid, on the fabric itself: with `u` across
    /// and `v` along the stripe, they lie at `v - shear * (u - origin) / repeat`.
    pub fn crossing_on_fabric(stripe: &'a Stripe) -> Option<Self> {
        let along = stripe.along().filter(|a| !a.bands().is_empty())?;
        let across = unit(stripe.normal_rad());
        let climb = along.shear_mm / stripe.repeat_mm();
        let direction = point(-across.y - climb * across.x, across.x - climb * across.y);
        let stretch = 1.0 / direction.x.hypot(direction.y);
        Some(Self {
            normal: direction * stretch,
            shift_mm: (climb * stripe.origin_mm() - along.start_mm) * stretch,
            along: across,
            along_shift_mm: 0.0,
            repeat_mm: along.repeat_mm * stretch,
            bands: along.bands(),
            stretch,
        })
    }

    /// In the motif, as the piece that lies so on the fabric brings it along.
    pub fn on_piece(stripe: &'a Stripe, to_fabric: Rigid) -> Self {
        Self::on_fabric(stripe).brought_along(to_fabric)
    }

    /// The same of the bands that cross the stripe.
    pub fn crossing_on_piece(stripe: &'a Stripe, to_fabric: Rigid) -> Option<Self> {
        Some(Self::crossing_on_fabric(stripe)?.brought_along(to_fabric))
    }

    fn brought_along(self, to_fabric: Rigid) -> Self {
        Self {
            normal: to_fabric.unturn(self.normal),
            shift_mm: self.shift_mm + dot(self.normal, to_fabric.shift),
            along: to_fabric.unturn(self.along),
            along_shift_mm: self.along_shift_mm + dot(self.along, to_fabric.shift),
            ..self
        }
    }

    /// How wide a band is, across the stripe (mm).
    pub fn width_mm(&self, band: usize) -> f64 {
        self.bands[band].width_mm * self.stretch
    }

    /// The phase at a point, in `[0, repeat)` (mm).
    pub fn phase_at(&self, p: Point) -> f64 {
        wrap(dot(self.normal, p) + self.shift_mm, self.repeat_mm)
    }

    /// The index of the band at a point.
    #[cfg(test)]
    pub fn band_at(&self, p: Point) -> usize {
        self.band_of(self.phase_at(p))
    }

    /// The index of the band at a phase.
    pub fn band_of(&self, phase_mm: f64) -> usize {
        let phase = wrap(phase_mm, self.repeat_mm);
        let mut end = 0.0;
        for i in 0..self.bands.len() {
            end += self.width_mm(i);
            if phase < end {
                return i;
            }
        }
        self.bands.len() - 1
    }

    /// The bands, from phase 0.
    pub fn bands(&self) -> &'a [Band] {
        self.bands
    }

    /// The borders between bands with `low <= n.p < high`, in order.
    pub fn borders(&self, [low_mm, high_mm]: [f64; 2]) -> Vec<Border> {
        let mut borders = Vec::new();
        let first = ((low_mm + self.shift_mm) / self.repeat_mm).floor() as i64;
        let last = ((high_mm + self.shift_mm) / self.repeat_mm).floor() as i64;
        for repeat in first..=last {
            let mut begin = repeat as f64 * self.repeat_mm - self.shift_mm;
            for after in 0..self.bands.len() {
                if (low_mm..high_mm).contains(&begin) {
                    borders.push(Border {
                        u_mm: begin,
                        before: (after + self.bands.len() - 1) % self.bands.len(),
                        after,
                    });
                }
                begin += self.width_mm(after);
            }
        }
        borders
    }

    /// Whether the two give every point the same colour, but for slivers at borders
    /// that nobody sees: a balanced stripe may have been turned about.
    pub fn looks_like(&self, other: &Self) -> bool {
        if crate::shape::cross(self.normal, other.normal).abs() > ALIKE_TOL {
            return false;
        }
        let borders = self.bands.len() + other.bands.len();
        let unlike = (0..ALIKE_SAMPLES)
            .filter(|&i| {
                let u = (i as f64 + 0.5) / ALIKE_SAMPLES as f64 * self.repeat_mm;
                let p = point(self.normal.x * u, self.normal.y * u);
                let colour = |fall: &Self| fall.bands[fall.band_of(fall.phase_at(p))].colour;
                colour(self) != colour(other)
            })
            .take(borders / 2 + 1)
            .count();
        unlike <= borders / 2
    }

    /// The direction across the stripes in this frame.
    pub fn normal(&self) -> Point {
        self.normal
    }

    /// The direction along the stripes in this frame: on the fabric, away from the cut end or
    /// towards the left selvage.
    pub fn along(&self) -> Point {
        self.along
    }

    /// How far along the stripes the frame's origin lies on the fabric (mm).
    pub fn along_shift_mm(&self) -> f64 {
        self.along_shift_mm
    }

    /// The repeat (mm).
    pub fn repeat_mm(&self) -> f64 {
        self.repeat_mm
    }

    /// Areas of colour that fill the box from `low` to `high` and reach beyond it:
    /// to be cut off by the outline that they are wanted in.
    ///
    /// `to_page` maps this frame to the page, `scale` is its factor.
    pub fn areas(
        &self,
        [low, high]: [Point; 2],
        to_page: impl Fn(Point) -> Point,
        scale: f64,
    ) -> Vec<Item> {
        let along = point(-self.normal.y, self.normal.x);
        let corners = [low, point(high.x, low.y), high, point(low.x, high.y)];
        let range = |axis: Point| {
            corners
                .iter()
                .map(|&c| dot(axis, c))
                .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], at| {
                    [low.min(at), high.max(at)]
                })
        };
        let ([u_low, u_high], [v_low, v_high]) = (range(self.normal), range(along));
        let strip = |u0: f64, u1: f64| Line {
            points: [(u0, v_low), (u1, v_low), (u1, v_high), (u0, v_high)]
                .map(|(u, v)| {
                    to_page(point(
                        self.normal.x * u + along.x * v,
                        self.normal.y * u + along.y * v,
                    ))
                })
                .to_vec(),
            closed: true,
        };
        let area = |lines: Vec<Line>, colour| {
            Item::Path(Path {
                lines,
                fill: Some(Fill::solid(colour)),
                stroke: None,
            })
        };
        let average_mm = self.repeat_mm / self.bands.len() as f64;
        if average_mm * scale < FINEST_MM {
            return vec![area(vec![strip(u_low, u_high)], mean(self.bands))];
        }

        // The first band is the background of all, the others lie on it in their order.
        let mut areas = vec![area(vec![strip(u_low, u_high)], self.bands[0].colour)];
        let first = ((u_low + self.shift_mm) / self.repeat_mm).floor() as i64;
        let last = ((u_high + self.shift_mm) / self.repeat_mm).floor() as i64;
        let mut begin = self.width_mm(0);
        for (i, band) in self.bands.iter().enumerate().skip(1) {
            let width = self.width_mm(i);
            let under = match i + 1 {
                next if next < self.bands.len() => self.width_mm(next).min(UNDER_MM / scale),
                _ => 0.0,
            };
            let strips: Vec<Line> = (first..=last)
                .filter_map(|repeat| {
                    let from = begin + repeat as f64 * self.repeat_mm - self.shift_mm;
                    let (from, to) = (from.max(u_low), (from + width + under).min(u_high));
                    (from < to).then(|| strip(from, to))
                })
                .collect();
            if !strips.is_empty() {
                areas.push(area(strips, band.colour));
            }
            begin += width;
        }
        areas
    }
}

/// The colour that bands too fine to be seen give together.
fn mean(bands: &[Band]) -> Colour {
    let whole: f64 = bands.iter().map(|band| band.width_mm).sum();
    let channel = |pick: fn(Colour) -> u8| {
        let sum: f64 = bands
            .iter()
            .map(|band| f64::from(pick(band.colour)) * band.width_mm)
            .sum();
        (sum / whole).round() as u8
    };
    Colour::new(
        channel(|c| c.red),
        channel(|c| c.green),
        channel(|c| c.blue),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fabric::{Along, Look, Run};
    use std::f64::consts::PI;

    /// Three bands that lean by so much, of these reds.
    fn stripe_of(lean_deg: f64, reds: [u8; 3]) -> Stripe {
        let band = |(width_mm, red)| Band {
            width_mm,
            colour: Colour::new(red, 0, 0),
            name: String::new(),
        };
        let bands = [1.0, 2.0, 3.0].into_iter().zip(reds).map(band).collect();
        Stripe::try_new(Run::Lengthwise, lean_deg, 1.0, bands).unwrap()
    }

    fn stripe() -> Stripe {
        stripe_of(12.0, [10, 20, 30])
    }

    #[test]
    fn a_piece_brings_its_stripe_along() {
        let stripe = stripe();
        for mirror in [false, true] {
            let map = Rigid {
                rotate_rad: 0.7,
                mirror,
                shift: point(12.3, -4.5),
            };
            let (fabric, piece) = (Fall::on_fabric(&stripe), Fall::on_piece(&stripe, map));
            for q in [point(0.0, 0.0), point(3.0, 8.0), point(-7.0, 2.5)] {
                let gap = fabric.phase_at(map.apply(q)) - piece.phase_at(q);
                assert!((gap / 6.0 - (gap / 6.0).round()).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn a_balanced_stripe_turned_about_looks_alike() {
        let stripe = stripe_of(0.0, [10, 20, 30]);
        let map = |rotate_rad, dx| Rigid {
            rotate_rad,
            mirror: false,
            shift: point(dx, 0.0),
        };
        let vertical = Fall::on_piece(&stripe, map(0.0, 0.0));
        let moved = Fall::on_piece(&stripe, map(0.0, 1.0));
        let repeat = Fall::on_piece(&stripe, map(0.0, 6.0));
        assert!(vertical.looks_like(&repeat) && !vertical.looks_like(&moved));
        // Three bands of three colours have no mirror line.
        let turned = |stripe: &Stripe, dx| Fall::on_piece(stripe, map(PI, dx)).normal();
        assert!(turned(&stripe, 0.0).x < 0.0);
        for dx in 0..12 {
            let about = Fall::on_piece(&stripe, map(PI, f64::from(dx) / 2.0));
            assert!(!vertical.looks_like(&about));
        }
        // Two of them alike: one about the middle of the third.
        let stripe = stripe_of(0.0, [10, 10, 30]);
        let vertical = Fall::on_piece(&stripe, map(0.0, 0.0));
        let about = Fall::on_piece(&stripe, map(PI, 2.0 * (1.0 + 4.5)));
        assert!(vertical.looks_like(&about));
    }

    #[test]
    fn borders_are_where_the_band_changes() {
        let stripe = stripe();
        let fall = Fall::on_fabric(&stripe);
        let borders = fall.borders([-7.0, 20.0]);
        assert_eq!(borders.len(), 13);
        for border in borders {
            let at = |off: f64| {
                let u = border.u_mm + off;
                fall.band_at(point(fall.normal.x * u, fall.normal.y * u))
            };
            assert_eq!((at(-1e-6), at(1e-6)), (border.before, border.after));
        }
    }

    /// Crossing bands lie where [`crossing`](super::super::crossing) draws them: `v` less
    /// what they climb is the phase.
    #[test]
    fn crossing_bands_climb() {
        let stripe = stripe();
        assert!(Fall::crossing_on_fabric(&stripe).is_none());
        let band = |width_mm| Band {
            width_mm,
            colour: Colour::new(1, 2, 3),
            name: String::new(),
        };
        let plaid = Along {
            repeat_mm: 8.0,
            start_mm: 0.5,
            shear_mm: 4.0,
            look: Look::Bands(vec![band(3.0), band(5.0)]),
        };
        let stripe = stripe.with_along(plaid).unwrap();
        let fall = Fall::crossing_on_fabric(&stripe).unwrap();
        let across = unit(12_f64.to_radians());
        for (u, v) in [(0.0, 0.0), (7.0, 2.0), (-4.5, 11.0), (13.0, -9.0)] {
            let p = point(across.x * u - across.y * v, across.y * u + across.x * v);
            let phase = wrap(v - 0.5 - (u - 1.0) / 6.0 * 4.0, 8.0);
            assert_eq!(fall.band_at(p), usize::from(phase >= 3.0), "{u} {v}");
        }
    }

    #[test]
    fn fine_bands_become_one_colour() {
        let stripe = stripe();
        let fall = Fall::on_fabric(&stripe);
        let corners = [point(0.0, 0.0), point(1e6, 1e6)];
        assert_eq!(fall.areas(corners, |p| p, 1e-4).len(), 1);
        assert_eq!(mean(stripe.bands()).red, 23);
        assert_eq!(
            fall.areas([point(0.0, 0.0), point(50.0, 50.0)], |p| p, 1.0)
                .len(),
            3
        );
    }
}
