//! What is left of one fabric, and what has to be laid on it.

use crate::fabric::{Fabric, Faces, InHand, Stripe};
use crate::lay::{self, Control, Effort, Item, LayError, Layout};
use crate::matching::{Frame, Way, plain_ways, striped_ways};
use crate::motif::Making;
use crate::plan::job::{Builder, FabricJob, Origin};
use crate::plan::spread::{Spread, grown};
use crate::record::{FabricPlan, PlacedPiece, Plan};
use crate::shape::{Point, Region, Rigid, dot, point, unit};
use std::collections::BTreeSet;

/// One fabric of a plan with what happened to it.
#[derive(Debug)]
pub(in crate::plan) struct Rest {
    /// The fabric, all that is left of it in hand: the plan's pieces of fabric in their order,
    /// then what comes in anew.
    pub fabric: Fabric,
    /// The plans of its pieces, by their place among the plan's.
    pub plans: Vec<usize>,
    pub making: Making,
    /// Every piece that is not cut, which of `plans` it lies on, and whether it is spoilt.
    pub open: Vec<(PlacedPiece, usize, bool)>,
}

/// A layout of what has to be laid.
pub(super) struct LaidRest {
    pub made: FabricJob,
    pub spread: Spread,
    pub layout: Layout,
    /// Which of [`Rest::open`] each item is.
    pub items: Vec<usize>,
}

impl Rest {
    /// The fabric called `name` of a plan on which `spoilt` pieces have to be cut anew.
    pub(in crate::plan) fn new(
        plan: &Plan,
        name: &str,
        spoilt: &BTreeSet<String>,
        more: Vec<InHand>,
    ) -> Self {
        let half_gap = plan.making.gap_mm / 2.0;
        let plans: Vec<usize> = (0..plan.fabrics.len())
            .filter(|&i| plan.fabrics[i].fabric() == name)
            .collect();
        let mut open = Vec::new();
        let mut in_hand = Vec::new();
        for (at, &i) in plans.iter().enumerate() {
            let one = &plan.fabrics[i];
            let mut left = left_of(one);
            for piece in &one.placements {
                let is_spoilt = spoilt.contains(&piece.label);
                if is_spoilt || piece.is_cut {
                    // Fabric that is spoilt ends at its cut line; a good piece keeps its gap.
                    let gap = if is_spoilt { 0.0 } else { half_gap };
                    left.avoid.push(gone(piece, gap));
                }
                if !piece.is_cut {
                    open.push((piece.clone(), at, is_spoilt));
                }
            }
            in_hand.push(left);
        }
        in_hand.extend(more);
        let first = &plan.fabrics[plans[0]];
        let width = plans
            .iter()
            .map(|&i| &plan.fabrics[i])
            .filter(|f| f.in_hand.is_none());
        let width_mm = width.map(|f| f.width_mm).fold(first.width_mm, f64::max);
        let fabric = Fabric {
            faces: if first.both_faces {
                Faces::Both
            } else {
                Faces::RightSide
            },
            one_way: first.one_way,
            nap: first.nap,
            may_rotate_deg: first.may_rotate_deg.clone(),
            in_hand,
            ..match (&first.stripe, first.colour) {
                (Some(stripe), _) => Fabric::striped(name, width_mm, stripe.clone()),
                (None, colour) => Fabric::plain(name, width_mm, colour.unwrap_or(UNDYED)),
            }
        };
        Self {
            fabric,
            plans,
            making: plan.making,
            open,
        }
    }

    /// The job of the open pieces that are wanted, the others of them in the way.
    fn job(&self, is_wanted: impl Fn(bool) -> bool) -> Option<(FabricJob, Spread, Vec<usize>)> {
        let wanted: Vec<usize> = (0..self.open.len())
            .filter(|&i| is_wanted(self.open[i].2))
            .collect();
        let (made, spread) = self.job_of(
            |i| wanted.contains(&i),
            |build, fabric| {
                for (block, &i) in wanted.iter().enumerate() {
                    let kind = self.add_kind(build, fabric, i);
                    let item = Item {
                        kind,
                        group: None,
                        block,
                    };
                    build.add_item(item, Self::origin(i));
                }
            },
        )?;
        Some((made, spread, wanted))
    }

    /// A job of what `fill` puts into it, all open pieces in the way but for those that `may_move`.
    pub(in crate::plan) fn job_of(
        &self,
        may_move: impl Fn(usize) -> bool,
        fill: impl FnOnce(&mut Builder, &Fabric),
    ) -> Option<(FabricJob, Spread)> {
        let half_gap = self.making.gap_mm / 2.0;
        let mut fabric = self.fabric.clone();
        for (i, (piece, at, _)) in self.open.iter().enumerate() {
            if !may_move(i) {
                fabric.in_hand[*at].avoid.push(gone(piece, half_gap));
            }
        }
        let mut build = Builder::new(&fabric, &self.making);
        fill(&mut build, &fabric);
        let all: Vec<usize> = (0..fabric.in_hand.len()).collect();
        let mut made = build.finish(&fabric, &all)?;
        let spread = made.spread.take()?;
        Some((made, spread))
    }

    /// Puts an open piece among the kinds of a job.
    pub(in crate::plan) fn add_kind(
        &self,
        build: &mut Builder,
        fabric: &Fabric,
        open: usize,
    ) -> usize {
        let (piece, at, _) = &self.open[open];
        let (ways, along_mm) = self.ways(piece, *at);
        build.add_ways(&piece.cut_region(), ways, fabric, along_mm)
    }

    /// What leads from an item back to an open piece.
    pub(in crate::plan) fn origin(open: usize) -> Origin {
        Origin {
            motif: 0,
            copy: 0,
            piece: open,
        }
    }

    /// How a piece may lie to show what it did, on the fabric as its first plan has it.
    fn ways(&self, piece: &PlacedPiece, at: usize) -> (Vec<Way>, Option<f64>) {
        let Some(stripe) = self.fabric.stripe() else {
            let grain_deg = piece.grain_deg.unwrap_or(piece.axis_deg);
            return (plain_ways(grain_deg.to_radians(), &self.fabric), None);
        };
        if let Some(along) = stripe.along() {
            // Locked both ways: it lies as it did, from where it lay.
            let map = piece.to_fabric.to_rigid();
            let n = unit(stripe.normal_rad());
            let own = &self.fabric.in_hand[at];
            let way = Way {
                turn: Rigid {
                    shift: Point::default(),
                    ..map
                },
                residue_mm: dot(n, map.shift) - own.origin_mm + stripe.origin_mm(),
                sign: 1.0,
            };
            let v = dot(point(-n.y, n.x), map.shift);
            return (vec![way], Some(v - own.origin_along_mm + along.start_mm));
        }
        let frame = Frame {
            normal_rad: piece.normal_deg.unwrap_or(0.0).to_radians(),
            phase_mm: piece.phase_at_centre_mm.unwrap_or(0.0),
        };
        (striped_ways(&frame, &self.fabric, stripe), None)
    }
}

/// Plain fabric of which the plan tells no colour.
const UNDYED: crate::colour::Colour = crate::colour::Colour::new(0xee, 0xe8, 0xdc);

/// Lays the spoilt pieces beside all others, or where that does not suffice, everything that
/// is not cut; both at once and quickly, before either is searched for longer.
pub(super) fn lay_rest(
    rest: &Rest,
    keep: bool,
    effort: &Effort,
    control: &Control<'_>,
) -> Result<LaidRest, LayError> {
    let mut spoilt = LaidRest::first(rest, |is_spoilt| is_spoilt)?;
    let mut all = if keep {
        None
    } else {
        Some(LaidRest::first(rest, |_| true)?)
    };
    // Whatever does is enough: no shorter one is looked for.
    for effort in rounds(effort) {
        if spoilt.suffices() {
            return Ok(spoilt);
        }
        if let Some(all) = all.take_if(|all| all.suffices()) {
            return Ok(all);
        }
        spoilt.layout = lay::lay(&spoilt.made.job, &effort, control)?.layout;
        if spoilt.suffices() {
            return Ok(spoilt);
        }
        if let Some(all) = &mut all {
            all.layout = lay::lay(&all.made.job, &effort, control)?.layout;
        }
    }
    // Where fabric has to be bought all the same, nothing else is moved for it.
    Ok(match all {
        Some(all) if all.suffices() => all,
        _ => spoilt,
    })
}

/// A quick search, then the one that was asked for, where that is another.
fn rounds(effort: &Effort) -> Vec<Effort> {
    let mut rounds = vec![effort.quick_at_most(), *effort];
    rounds.dedup();
    rounds
}

/// Lays everything that is not cut: on fabric that is not what it was nothing can stay.
pub(super) fn lay_all(
    rest: &Rest,
    effort: &Effort,
    control: &Control<'_>,
) -> Result<LaidRest, LayError> {
    let mut all = LaidRest::first(rest, |_| true)?;
    for effort in rounds(effort) {
        if !all.suffices() {
            all.layout = lay::lay(&all.made.job, &effort, control)?.layout;
        }
    }
    Ok(all)
}

impl LaidRest {
    /// The first layout of the open pieces that are wanted.
    fn first(rest: &Rest, is_wanted: impl Fn(bool) -> bool) -> Result<Self, LayError> {
        let (made, spread, items) = rest.job(is_wanted).ok_or(LayError::NothingToLay)?;
        let layout = lay::first(&made.job)?;
        Ok(Self {
            made,
            spread,
            layout,
            items,
        })
    }

    fn suffices(&self) -> bool {
        self.spread.suffices(&self.layout)
    }
}

/// What there is of a fabric: a piece in hand, or what was bought of it.
fn left_of(plan: &FabricPlan) -> InHand {
    let points = |ring: &[[f64; 2]]| ring.iter().map(|&[x, y]| point(x, y)).collect::<Vec<_>>();
    let room_mm = plan
        .buy
        .room_mm
        .unwrap_or(plan.length_mm)
        .max(plan.length_mm);
    let mut left = InHand::rectangle(&plan.name, plan.width_mm, room_mm);
    if let Some(one) = &plan.in_hand {
        left.outline = points(&one.outline);
    }
    left.avoid = plan.avoid.iter().map(|ring| points(ring)).collect();
    if let Some(beside) = &plan.beside {
        let straight = InHand::rectangle("", beside.slit_mm, beside.length_mm);
        left.avoid.push(straight.outline);
    }
    left.origin_mm = plan.stripe.as_ref().map_or(0.0, Stripe::origin_mm);
    let along = plan.stripe.as_ref().and_then(Stripe::along);
    left.origin_along_mm = along.map_or(0.0, |along| along.start_mm);
    left
}

/// The outline of a piece on its fabric, so much (mm) larger all around.
pub(super) fn gone(piece: &PlacedPiece, by_mm: f64) -> Vec<Point> {
    let whole = Region::new(piece.cut_region().exterior().clone(), vec![]);
    let laid = piece.to_fabric.to_rigid().apply_to(&grown(&whole, by_mm));
    crate::shape::ring::open(laid.exterior()).to_vec()
}
