//! Fabric in hand: its pieces set one behind the other on one strip, on which the engine lays
//! as on any other, and the plan of that strip taken apart again.
//!
//! Each piece is moved so far that its stripes fall into those of the whole fabric: one lock
//! serves all. What lies beside, between and in them is an obstacle. Beyond the last the strip
//! is fabric that would have to be bought, so the shortest layout uses the least valuable
//! pieces, leaves the largest whole where it can, and buys least.

use super::fabric::length_mm;
use super::job::{FabricJob, grown};
use super::notes::buy;
use crate::fabric::{Along, Fabric, InHand, Pattern, Stripe};
use crate::lay::{self, Control, Effort, Job, Layout, Lock, Obstacles, Outcome};
use crate::length::Unit;
use crate::num::wrap;
use crate::record::{BoundKind, Buy, FabricPlan, InHandNote, LeastLength, PlacedPiece};
use crate::shape::ring::extent;
use crate::shape::{Point, Region, dot, point, unit};
use geo::{Area, BooleanOps, Translate};
use geo_types::LineString;
use std::collections::{BTreeMap, BTreeSet};

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

    /// The number of the piece in hand on which something lies at a place along the strip, and
    /// where its corner is; without a number what is to be bought.
    pub(super) fn home(&self, fabric: &Fabric, y: f64) -> (Option<usize>, Point) {
        let home = self.piece_at(fabric, y);
        let known = self.pieces.iter().find(|(i, _)| Some(*i) == home);
        (home, known.map_or(self.bought, |&(_, at)| at))
    }

    /// The pieces in hand that a layout uses, the least valuable first.
    fn used(&self, fabric: &Fabric, made: &FabricJob, layout: &Layout) -> Vec<usize> {
        let homes: BTreeSet<usize> = made
            .middles_mm(layout)
            .filter_map(|y| self.piece_at(fabric, y))
            .collect();
        let order = self.pieces.iter().map(|&(i, _)| i);
        order.filter(|i| homes.contains(i)).collect()
    }

    /// Takes the plan of the strip apart: a plan for each piece in hand that is used, and one
    /// for what has to be bought, if anything has.
    pub(super) fn take_apart(
        &self,
        fabric: &Fabric,
        strip: FabricPlan,
        unit: Unit,
    ) -> Vec<FabricPlan> {
        let mut on: Vec<Vec<PlacedPiece>> = vec![Vec::new(); fabric.in_hand.len()];
        let mut beyond: Vec<PlacedPiece> = Vec::new();
        for mut placed in strip.placements.clone() {
            let map = placed.to_fabric.to_rigid();
            let cut = placed.cut.iter().map(|&[x, y]| map.apply(point(x, y)));
            let (low, high) = extent(cut);
            let (home, at) = self.home(fabric, (low.y + high.y) / 2.0);
            placed.to_fabric.dx_mm -= at.x;
            placed.to_fabric.dy_mm -= at.y;
            match home {
                Some(home) => on[home].push(placed),
                None => beyond.push(placed),
            }
        }
        let mut in_hand = Vec::new();
        for (one, placements) in fabric.in_hand.iter().zip(on) {
            if !placements.is_empty() {
                in_hand.push(plan_of(fabric, one, &strip, placements));
            }
        }
        if !beyond.is_empty() {
            let length_mm = length_mm(&beyond, 0.0);
            in_hand.push(FabricPlan {
                width_mm: fabric.width_mm,
                length_mm,
                by_hand_length_mm: length_mm,
                bound: unproven(),
                buy: buy(fabric, length_mm, unit),
                placements: beyond,
                ..strip
            });
        }
        in_hand
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

/// Lays a job in hand on fewer pieces, if it fits on them: of those that a layout uses, the
/// least valuable are left out one by one, as long as the rest suffice.
pub(super) fn use_fewer(
    fabric: &Fabric,
    made: &mut FabricJob,
    outcome: &mut Outcome,
    effort: &Effort,
    control: &Control<'_>,
) {
    let Some(spread) = &made.spread else {
        return;
    };
    if !spread.suffices(&outcome.layout) {
        return;
    }
    // Whatever does is enough here: nothing is gained by a shorter strip.
    let mut used = spread.used(fabric, made, &outcome.layout);
    let needed: f64 = made.areas_mm2().sum();
    let has = |used: &[usize]| {
        used.iter()
            .map(|&i| area_mm2(&fabric.in_hand[i]))
            .sum::<f64>()
    };
    let quick = effort.quick_at_most();
    for left_out in used.clone() {
        let rest: Vec<usize> = used.iter().copied().filter(|&i| i != left_out).collect();
        if control.is_stopped() || has(&rest) < needed {
            return;
        }
        let fewer = Spread::new(fabric, &rest, &made.job);
        let job = fewer.job(&made.job);
        let found = lay::lay(&job, &quick, control);
        if let Ok(found) = found
            && fewer.suffices(&found.layout)
        {
            used = fewer.used(fabric, made, &found.layout);
            made.job = job;
            made.spread = Some(fewer);
            *outcome = found;
        }
    }
}

/// Gives equal pieces of all copies their places in order, the first copy the first place: so
/// the pieces of a copy lie near each other, and what does not fit is of as few copies as may be.
pub(super) fn in_order(made: &FabricJob, layout: &mut Layout) {
    let mut alike: BTreeMap<(usize, Option<usize>), Vec<usize>> = BTreeMap::new();
    for (i, item) in made.job.items.iter().enumerate() {
        alike.entry((item.kind, item.group)).or_default().push(i);
    }
    let middles: Vec<f64> = made.middles_mm(layout).collect();
    for items in alike.into_values() {
        let mut order = items.clone();
        order.sort_by(|&a, &b| middles[a].total_cmp(&middles[b]));
        let places: Vec<_> = order.iter().map(|&i| layout.placements[i]).collect();
        for (i, place) in items.into_iter().zip(places) {
            layout.placements[i] = place;
        }
    }
}

fn area_mm2(one: &InHand) -> f64 {
    region(&one.outline, Point::default()).unsigned_area()
}

/// Of fabric in hand nothing is proven.
pub(super) fn unproven() -> LeastLength {
    LeastLength {
        length_mm: 0.0,
        kind: BoundKind::Area,
        band: None,
    }
}

/// The plan of one piece in hand.
pub(super) fn plan_of(
    fabric: &Fabric,
    one: &InHand,
    strip: &FabricPlan,
    placements: Vec<PlacedPiece>,
) -> FabricPlan {
    let (width_mm, length_mm) = one.size_mm();
    let ring = |points: &[Point]| points.iter().map(|p| [p.x, p.y]).collect::<Vec<_>>();
    FabricPlan {
        name: format!("{}, {}", fabric.name, one.name),
        width_mm,
        length_mm,
        by_hand_length_mm: length_mm,
        bound: unproven(),
        buy: Buy::in_hand(),
        stripe: stripe_of(fabric, one),
        beside: None,
        leftover: None,
        in_hand: Some(InHandNote {
            fabric: fabric.name.clone(),
            outline: ring(&one.outline),
        }),
        avoid: one.avoid.iter().map(|hole| ring(hole)).collect(),
        placements,
        ..strip.clone()
    }
}

/// The fabric's stripe where it begins on a piece in hand.
fn stripe_of(fabric: &Fabric, one: &InHand) -> Option<Stripe> {
    let Pattern::Striped(stripe) = &fabric.pattern else {
        return None;
    };
    let moved = stripe.clone().with_origin(one.origin_mm);
    Some(match stripe.along() {
        Some(along) => {
            let along = Along {
                start_mm: one.origin_along_mm,
                ..along.clone()
            };
            moved.with_along(along).unwrap_or_else(|_| stripe.clone())
        }
        None => moved,
    })
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
