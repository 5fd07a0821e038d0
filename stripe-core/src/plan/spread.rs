//! The pieces in hand of a fabric set one behind the other on one strip, on which the engine lays
//! as on any other.
//!
//! Each piece is moved so far that its stripes fall into those of the whole fabric: one lock
//! serves all. What lies beside, between and in them is an obstacle. Beyond the last the strip
//! is fabric that would have to be bought, so the shortest layout uses the least valuable
//! pieces, leaves the largest whole where it can, and buys least.

use crate::fabric::{Fabric, InHand};
use crate::lay::{Job, Layout, Lock, Obstacles};
use crate::num::wrap;
use crate::shape::offset::grow;
use crate::shape::ring::{extent, rings};
use crate::shape::{Point, Region, dot, point, unit};
use geo::{Area, BooleanOps, Translate};
use geo_types::LineString;

/// Between two pieces on the strip (mm), so that nothing lies on both.
const APART_MM: f64 = 2.0;

/// The longest strip (mm) that the engine takes.
const LONGEST_MM: f64 = 9e6;

/// The pieces in hand of a fabric on their strip.
#[derive(Debug)]
pub(super) struct Spread {
    /// Which piece, and where the corner of its frame lies on the strip: from the cut end on.
    pieces: Vec<(usize, Point)>,
    /// The corner of what would be bought.
    bought: Point,
    width_mm: f64,
    obstacles: Obstacles,
}

impl Spread {
    /// Sets the pieces `used` of a fabric (by their numbers) on a strip for a job; the least
    /// valuable, which are the smallest, first.
    pub(super) fn new(fabric: &Fabric, used: &[usize], job: &Job) -> Self {
        let margin = job.window.margin_mm;
        let mut order: Vec<(usize, f64)> = used
            .iter()
            .map(|&i| (i, area_mm2(&fabric.in_hand[i])))
            .collect();
        order.sort_by(|a, b| a.1.total_cmp(&b.1));
        let mut pieces = Vec::new();
        let mut end = 0.0;
        let mut width_mm = fabric.width_mm;
        for (i, _) in order {
            let one = &fabric.in_hand[i];
            let (wide, long) = one.size_mm();
            let at = in_step(
                fabric,
                one.origin_mm,
                one.origin_along_mm,
                end + margin + APART_MM,
            );
            end = at.y + long + margin + APART_MM;
            width_mm = width_mm.max(at.x + wide);
            pieces.push((i, at));
        }
        let (origin, along) = fabric.stripe().map_or((0.0, 0.0), |stripe| {
            (
                stripe.origin_mm(),
                stripe.along().map_or(0.0, |along| along.start_mm),
            )
        });
        let bought = in_step(fabric, origin, along, end + margin);
        width_mm = width_mm.max(bought.x + fabric.width_mm);
        let mut spread = Self {
            pieces,
            bought,
            width_mm,
            obstacles: Obstacles::default(),
        };
        spread.obstacles = spread.bars(fabric, job);
        spread
    }

    /// All that is no fabric: what is left of a frame around each piece, holes and stains, and
    /// strips beside what is bought.
    fn bars(&self, fabric: &Fabric, job: &Job) -> Obstacles {
        let margin = job.window.margin_mm;
        let (left, right) = (-margin - APART_MM, self.width_mm + margin + APART_MM);
        let mut regions: Vec<Region> = Vec::new();
        let mut low = left;
        for &(i, at) in &self.pieces {
            let one = &fabric.in_hand[i];
            let high = at.y + one.size_mm().1 + margin + APART_MM;
            let frame = rectangle(left, low, right, high);
            // Outlines that are laid are grown by the margin, and so is what holds them.
            let whole = grown(&region(&one.outline, at), margin);
            regions.extend(frame.difference(&whole).0);
            regions.extend(one.avoid.iter().map(|ring| region(ring, at)));
            low = high;
        }
        let end = self.bought.y;
        if end - margin > low {
            regions.push(rectangle(left, low, right, end - margin));
        }
        // In the worst case every piece lies behind every other, a repeat apart.
        let tall: f64 = job.items.iter().map(|item| reach_mm(job, item.kind)).sum();
        let far = (end + tall).min(LONGEST_MM);
        let sides = [
            (left, self.bought.x - margin),
            (self.bought.x + fabric.width_mm + margin, right),
        ];
        for (a, b) in sides {
            if b - a > 1e-6 {
                regions.push(rectangle(a, end - margin, b, far));
            }
        }
        Obstacles {
            regions,
            end_mm: end,
        }
    }

    /// The job, to be laid on this strip.
    pub(super) fn job(&self, job: &Job) -> Job {
        let mut spread = job.clone();
        spread.window.width_mm = self.width_mm;
        spread.obstacles = self.obstacles.clone();
        spread
    }

    /// The piece in hand on which something at a place of the strip lies; none on what is
    /// to be bought.
    fn piece_at(&self, fabric: &Fabric, y: f64) -> Option<usize> {
        let spans = self.pieces.iter();
        spans
            .filter(|(i, at)| y < at.y + fabric.in_hand[*i].size_mm().1 + APART_MM)
            .map(|&(i, _)| i)
            .next()
    }

    /// The numbers of its pieces, the least valuable first.
    pub(super) fn order(&self) -> impl Iterator<Item = usize> {
        self.pieces.iter().map(|&(i, _)| i)
    }

    /// The number of the piece in hand on which something lies at a place along the strip, and
    /// where its corner is; without a number what is to be bought.
    pub(super) fn home(&self, fabric: &Fabric, y: f64) -> (Option<usize>, Point) {
        let home = self.piece_at(fabric, y);
        let known = self.pieces.iter().find(|(i, _)| Some(*i) == home);
        (home, known.map_or(self.bought, |&(_, at)| at))
    }

    /// How much a layout of the strip needs (mm) of what would have to be bought.
    pub(super) fn lacking_mm(&self, layout: &Layout) -> f64 {
        (layout.length_mm - self.bought.y).max(0.0)
    }

    /// The area (mm²) of all pieces on the strip.
    pub(super) fn area_mm2(&self, fabric: &Fabric) -> f64 {
        let pieces = self.pieces.iter();
        pieces.map(|&(i, _)| area_mm2(&fabric.in_hand[i])).sum()
    }

    /// Whether a layout of the strip needs nothing that would have to be bought.
    pub(super) fn suffices(&self, layout: &Layout) -> bool {
        layout.length_mm < self.bought.y
    }
}

pub(super) fn area_mm2(one: &InHand) -> f64 {
    region(&one.outline, Point::default()).unsigned_area()
}

/// A region with so much (mm) more all around.
pub(super) fn grown(region: &Region, by_mm: f64) -> Region {
    if by_mm <= 0.0 {
        return region.clone();
    }
    let edges = rings(region).map(<[_]>::len).sum();
    grow(region, &vec![by_mm; edges])
}

/// The lowest place from `least_mm` along the strip on, and then the leftmost, at which a piece
/// whose stripe begins at its own origins stands in step with the whole fabric's.
///
/// With `n` across and `t` along the stripes and `T` the move, `n.T` is the difference of the
/// origins, up to whole repeats; on a lattice so is `t.T`, up to whole repeats along.
fn in_step(fabric: &Fabric, origin_mm: f64, origin_along_mm: f64, least_mm: f64) -> Point {
    let Some(stripe) = fabric.stripe() else {
        return point(0.0, least_mm);
    };
    let n = unit(stripe.normal_rad());
    let repeat = stripe.repeat_mm();
    let across = stripe.origin_mm() - origin_mm;
    let Some(along) = stripe.along() else {
        // One of the two places is free: the one that moves the piece along the stripe.
        return if n.x.abs() >= n.y.abs() {
            let left = wrap(across - n.y * least_mm, repeat);
            point(left / n.x, least_mm)
        } else {
            point(0.0, least_mm + wrap(across - n.y * least_mm, repeat) / n.y)
        };
    };
    let t = point(-n.y, n.x);
    let v = along.start_mm - origin_along_mm;
    // The lattice's nearest points above and right of the corner.
    let place = |i: f64, j: f64| {
        let (u, v) = (
            across + i * repeat,
            v + i * along.shear_mm + j * along.repeat_mm,
        );
        point(n.x * u + t.x * v, n.y * u + t.y * v)
    };
    let goal = point(0.0, least_mm);
    let i = ((dot(n, goal) - across) / repeat).round();
    let j = ((dot(t, goal) - v - i * along.shear_mm) / along.repeat_mm).round();
    let mut best: Option<Point> = None;
    for di in -NEAR..=NEAR {
        for dj in -NEAR..=NEAR {
            let at = place(i + di as f64, j + dj as f64);
            let is_better = best.is_none_or(|b| at.x + (at.y - least_mm) < b.x + (b.y - least_mm));
            if at.x >= -1e-9 && at.y >= least_mm - 1e-9 && is_better {
                best = Some(at);
            }
        }
    }
    best.map_or(goal, |at| point(at.x.max(0.0), at.y))
}

/// So many lattice points either way are looked at: the nearest is always among them.
const NEAR: i32 = 3;

/// How far (mm) a kind of piece may take up along the strip in the worst case.
fn reach_mm(job: &Job, kind: usize) -> f64 {
    let repeat = match job.lock {
        Lock::Plane => 0.0,
        Lock::Lines { repeat_mm } => repeat_mm,
        Lock::Points {
            across_mm,
            along_mm,
            ..
        } => across_mm + along_mm,
    };
    let poses = job.kinds[kind].poses.iter();
    let size = poses.map(|pose| {
        let (low, high) = extent(job.shapes[pose.shape].outline.exterior().0.iter().copied());
        (high.x - low.x) + (high.y - low.y)
    });
    size.fold(0.0, f64::max) + 2.0 * repeat
}

fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Region {
    let ring = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(|(x, y)| point(x, y));
    Region::new(LineString(ring.to_vec()), vec![])
}

fn region(corners: &[Point], at: Point) -> Region {
    Region::new(LineString(corners.to_vec()), vec![]).translate(at.x, at.y)
}
