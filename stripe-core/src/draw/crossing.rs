//! What repeats along the stripes as well: the crossing bands of a plaid, printed figures.

use super::scene::{Fill, Item, Line, Path};
use crate::fabric::{Along, Look, Stripe};
use crate::shape::{Point, dot, point, unit};

/// Crossing bands let the stripes beneath them shine through, as woven ones do.
pub const WOVEN: f64 = 0.5;
/// No drawing shows more bands or figures than this.
const MOST: i64 = 20_000;

/// The crossing bands or figures in a box of the fabric, over the stripes themselves.
///
/// `to_page` maps the fabric frame to the page.
pub fn crossing(
    stripe: &Stripe,
    corners: [Point; 2],
    to_page: impl Fn(Point) -> Point,
) -> Vec<Item> {
    let Some(along) = stripe.along() else {
        return vec![];
    };
    let n = unit(stripe.normal_rad());
    let frame = Frame {
        n,
        t: point(-n.y, n.x),
        corners,
    };
    match along.look {
        Look::Figure { .. } => figures(stripe, along, &frame, &to_page),
        Look::Bands(_) => bands(stripe, along, &frame, &to_page),
    }
}

/// The stripe's own frame over a box of the fabric.
struct Frame {
    n: Point,
    t: Point,
    corners: [Point; 2],
}

impl Frame {
    fn range(&self, axis: Point) -> [f64; 2] {
        let [low, high] = self.corners;
        let at = [low, point(high.x, low.y), high, point(low.x, high.y)].map(|c| dot(axis, c));
        [
            at.iter().copied().fold(f64::INFINITY, f64::min),
            at.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        ]
    }

    fn fabric_point(&self, u: f64, v: f64) -> Point {
        self.n * u + self.t * v
    }
}

fn bands(
    stripe: &Stripe,
    along: &Along,
    frame: &Frame,
    to_page: &impl Fn(Point) -> Point,
) -> Vec<Item> {
    let [u0, u1] = frame.range(frame.n);
    let [v0, v1] = frame.range(frame.t);
    // A band climbs by the shear once a repeat across.
    let climb = |u: f64| (u - stripe.origin_mm()) / stripe.repeat_mm() * along.shear_mm;
    let rise = climb(u0).abs().max(climb(u1).abs());
    let first = ((v0 - rise - along.start_mm) / along.repeat_mm).floor() as i64 - 1;
    let last = ((v1 + rise - along.start_mm) / along.repeat_mm).ceil() as i64;
    let mut begin = 0.0;
    let mut items = vec![];
    for band in along.bands() {
        let lines = (first..=last.min(first + MOST))
            .map(|k| {
                let low = along.start_mm + k as f64 * along.repeat_mm + begin;
                let corner = |u: f64, v: f64| to_page(frame.fabric_point(u, v + climb(u)));
                Line {
                    points: vec![
                        corner(u0, low),
                        corner(u1, low),
                        corner(u1, low + band.width_mm),
                        corner(u0, low + band.width_mm),
                    ],
                    closed: true,
                }
            })
            .collect();
        let fill = Fill {
            colour: band.colour,
            opacity: WOVEN,
        };
        items.push(Item::Path(Path {
            lines,
            fill: Some(fill),
            stroke: None,
        }));
        begin += band.width_mm;
    }
    items
}

fn figures(
    stripe: &Stripe,
    along: &Along,
    frame: &Frame,
    to_page: &impl Fn(Point) -> Point,
) -> Vec<Item> {
    let Look::Figure {
        across_mm,
        size_mm,
        colour,
    } = along.look
    else {
        return vec![];
    };
    let reach = size_mm / 2.0;
    let [u0, u1] = frame.range(frame.n);
    let [v0, v1] = frame.range(frame.t);
    let (u0, u1, v0, v1) = (u0 - reach, u1 + reach, v0 - reach, v1 + reach);
    let first_u = ((u0 - stripe.origin_mm() - across_mm) / stripe.repeat_mm()).ceil() as i64;
    let last_u = ((u1 - stripe.origin_mm() - across_mm) / stripe.repeat_mm()).floor() as i64;
    let mut lines = vec![];
    for k in first_u..=last_u.min(first_u + MOST) {
        let u = stripe.origin_mm() + across_mm + k as f64 * stripe.repeat_mm();
        let zero = along.start_mm + k as f64 * along.shear_mm;
        let first_v = ((v0 - zero) / along.repeat_mm).ceil() as i64;
        let last_v = ((v1 - zero) / along.repeat_mm).floor() as i64;
        for j in first_v..=last_v.min(first_v + MOST) {
            let centre = frame.fabric_point(u, zero + j as f64 * along.repeat_mm);
            let ring = Path::circle(centre, reach, None, None);
            lines.extend(ring.lines.into_iter().map(|line| Line {
                points: line.points.into_iter().map(to_page).collect(),
                closed: true,
            }));
        }
    }
    vec![Item::Path(Path {
        lines,
        fill: Some(Fill::solid(colour)),
        stroke: None,
    })]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Colour;
    use crate::fabric::sample::grey_stripe_at;

    /// A half-drop: every other column stands half a repeat further along.
    #[test]
    fn figures_stand_on_their_lattice() {
        let stripe = grey_stripe_at(1.0, &[(10.0, 0)])
            .with_along(Along {
                repeat_mm: 8.0,
                start_mm: 0.5,
                shear_mm: 4.0,
                look: Look::Figure {
                    across_mm: 2.0,
                    size_mm: 1.0,
                    colour: Colour::new(1, 2, 3),
                },
            })
            .unwrap();
        let corners = [point(0.0, 0.0), point(20.0, 16.0)];
        let items = crossing(&stripe, corners, |p| p);
        let [Item::Path(path)] = &items[..] else {
            panic!("one path")
        };
        let centres: Vec<(i64, i64)> = path
            .lines
            .iter()
            .map(|line| {
                let sum = line.points.iter().fold(point(0.0, 0.0), |a, &b| a + b);
                let middle = sum / line.points.len() as f64;
                (
                    (middle.x * 10.0).round() as i64,
                    (middle.y * 10.0).round() as i64,
                )
            })
            .collect();
        assert_eq!(
            centres,
            [(30, 5), (30, 85), (30, 165), (130, 45), (130, 125)]
        );
    }
}
