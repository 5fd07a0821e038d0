//! Ruin and recreate: a layout is taken apart from one end up to somewhere, and built anew by
//! a beam on what is left of it.
//!
//! What beams decide early is as good as they could know then; once a whole layout stands, its
//! one end tells how good the beginning was, and another end may do better for a part of the
//! work of a whole layout. Done from both ends by turns, all of it is built anew in time.
//!
//! Beams build along the stripes. Where these run across the fabric, it is turned: lines are
//! as many as a length that is to be reached leaves room for, and a beam that needs no more
//! along them than the fabric is wide has found a layout of that length.
//!
//! # Source
//! G. Schrimpf, J. Schneider, H. Stamm-Wilbrandt and G. Dueck, "Record breaking optimization
//! results using the ruin and recreate principle" (2000); here the ruin is always an end of
//! the strip, so that a beam can follow.

use super::beam::{BeamContext, Begin, beam, beam_work, can_beam};
use super::beam_parameters::BeamParameters;
use super::compaction::drop_down;
use super::data::{Job, Lock};
use super::effort::Control;
use super::first::length_of;
use super::guided_search::is_valid;
use super::instance::{Instance, LinePlacement};
use crate::rng::Rng;

/// Of a layout at least and at most this part is kept (in 16ths).
const LEAST_KEPT: usize = 2;
const MOST_KEPT: usize = 14;

/// Where stripes run across, a layout is to become shorter by up to so many thousandths.
const SHORTER: usize = 15;

/// And by more than so much (units) always, for contact with the fabric's edge is rounded.
const EDGE: f64 = 4.0;

/// There a first layout may be so many times as long as the one that is known.
const FIRST_LENGTH: f64 = 1.1;

/// What beams need to know of an instance.
#[derive(Debug)]
pub(crate) enum BeamContexts {
    /// Stripes run along the fabric: what is to be known from either end; from the far end
    /// only where layouts may be shifted along.
    Along(Box<(BeamContext, Option<BeamContext>)>),
    /// Stripes run across it: the fabric turned.
    Across(Box<Instance>),
}

/// Which part of a layout is built anew.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ruin {
    begin: Begin,
    kept: usize,
    /// Where stripes run across: how much shorter the layout is to become.
    shorter: f64,
}

impl Ruin {
    /// Nothing is kept.
    pub(crate) const ALL: Self = Self {
        begin: Begin::AtCutEnd,
        kept: 0,
        shorter: 0.0,
    };

    /// A part by chance, or at times all.
    pub(crate) fn any(rng: &mut Rng, items: usize) -> Self {
        let begin = [Begin::AtCutEnd, Begin::AtFarEnd][rng.below(2)];
        let sixteenths = LEAST_KEPT + rng.below(MOST_KEPT - LEAST_KEPT + 1);
        let shorter = rng.below(SHORTER + 1).min(rng.below(SHORTER + 1));
        Self {
            begin,
            kept: items * sixteenths / 16,
            shorter: shorter as f64 / 1000.0,
        }
    }

    /// The share of a whole beam's work that it takes.
    pub(crate) fn share(self, items: usize) -> f64 {
        (items - self.kept) as f64 / items.max(1) as f64
    }
}

impl BeamContexts {
    /// `None` where no beam can be laid: the instance is that of a job with fixed offsets.
    pub(crate) fn new(job: &Job, instance: &Instance) -> Option<Self> {
        if can_beam(instance) {
            let (_, ny) = instance.normal();
            // A layout that is shifted along lines that lean leaves the fabric.
            let downward = (ny == 0.0).then(|| BeamContext::new(instance, Begin::AtFarEnd));
            let upward = BeamContext::new(instance, Begin::AtCutEnd);
            return Some(Self::Along(Box::new((upward, downward))));
        }
        let (nx, ny) = instance.normal();
        if instance.has_obstacles()
            || nx != 0.0
            || ny < 0.0
            || instance.stride != 1
            || !matches!(job.lock, Lock::Lines { .. })
        {
            return None;
        }
        let mut turned = job.clone();
        turned.window.normal_rad = 0.0;
        Some(Self::Across(Box::new(
            Instance::with_stride(&turned, 1).ok()?,
        )))
    }

    /// The work of one beam for a layout about so long (units).
    pub(crate) fn work(&self, instance: &Instance, length: f64) -> u64 {
        let work = match self {
            Self::Along(_) => beam_work(instance),
            Self::Across(turned) => beam_work(&turned.with_width(length)),
        };
        work.max(1)
    }

    /// What beams make of an instance on which nothing lies yet, on not much more fabric than
    /// `longest` (units).
    pub(crate) fn create(
        &self,
        instance: &Instance,
        longest: f64,
        parameters: BeamParameters,
        control: &Control<'_>,
    ) -> Option<Vec<LinePlacement>> {
        match self {
            Self::Along(_) => self.recreate(instance, &[], longest, Ruin::ALL, parameters, control),
            Self::Across(_) => {
                // Shorter and shorter, by large steps first.
                let (mut placements, mut length, mut share) = (None, FIRST_LENGTH * longest, 0.0);
                for step in [0.04, 0.04, 0.04, 0.02, 0.01, 0.005] {
                    let target = length * (1.0 - share);
                    let found =
                        self.recreate(instance, &[], target, Ruin::ALL, parameters, control);
                    if let Some(found) = found {
                        length = length_of(instance, &found);
                        placements = Some(found);
                    } else if share == 0.0 {
                        return None;
                    }
                    share = step;
                }
                placements
            }
        }
    }

    /// What a beam makes of a layout, `length` long (units), from which a part is taken out.
    pub(crate) fn recreate(
        &self,
        instance: &Instance,
        from: &[LinePlacement],
        length: f64,
        ruin: Ruin,
        parameters: BeamParameters,
        control: &Control<'_>,
    ) -> Option<Vec<LinePlacement>> {
        let stop = || control.is_stopped();
        let placements = match self {
            Self::Along(contexts) => {
                let (context, begin) = match (ruin.begin, &contexts.1) {
                    (Begin::AtFarEnd, Some(context)) => (context, Begin::AtFarEnd),
                    _ => (&contexts.0, Begin::AtCutEnd),
                };
                let kept = kept(instance, context, from, begin, ruin.kept);
                let mut placements = beam(instance, context, &kept, &[], parameters, &stop)?;
                drop_down(instance, &mut placements);
                placements
            }
            Self::Across(turned) => {
                let target = length * (1.0 - ruin.shorter) - EDGE;
                let strip = turned.with_width(target.floor());
                let context = BeamContext::new(&strip, ruin.begin);
                // From selvage to selvage: both frames count along the same way.
                let from = shifted(&strip, from, strip_end(instance))?;
                let kept = kept(&strip, &context, &from, ruin.begin, ruin.kept);
                let placements = beam(&strip, &context, &kept, &[], parameters, &stop)?;
                shifted(instance, &placements, target)?
            }
        };
        // Nobody but the instance says what is a layout.
        let length = length_of(instance, &placements);
        is_valid(instance, &placements, length).then_some(placements)
    }
}

/// What a beam makes of a block that is repeated along the fabric every `period` (units), if but
/// its so many lowest pieces stay: the others are to find room between these and where these lie
/// again. Nothing is pushed down: what stays is to fit onto what comes after.
pub(crate) fn recreate_within(
    instance: &Instance,
    context: &BeamContext,
    block: &[LinePlacement],
    count: usize,
    period: f64,
    parameters: BeamParameters,
    control: &Control<'_>,
) -> Option<Vec<LinePlacement>> {
    let kept = kept(instance, context, block, Begin::AtCutEnd, count);
    let again = |&(_, placement): &(usize, LinePlacement)| LinePlacement {
        v: placement.v + instance.upward() * period,
        ..placement
    };
    let ceiling: Vec<LinePlacement> = kept.iter().map(again).collect();
    let stop = || control.is_stopped();
    let placements = beam(instance, context, &kept, &ceiling, parameters, &stop)?;
    let length = length_of(instance, &placements);
    is_valid(instance, &placements, length).then_some(placements)
}

/// A length beyond that of any layout (units).
fn strip_end(instance: &Instance) -> f64 {
    1e3 * instance.width()
}

/// The placements shifted along their lines so that all of them lie on a fabric of some length,
/// as near to where they begin as can be; `None` if they do not.
pub(super) fn shifted(
    instance: &Instance,
    placements: &[LinePlacement],
    length: f64,
) -> Option<Vec<LinePlacement>> {
    let (mut least, mut most) = (f64::NEG_INFINITY, f64::INFINITY);
    for placement in placements {
        let reach = instance.reach(
            placement.orientation as usize,
            i64::from(placement.line),
            length,
        );
        // Pieces of a longer layout may have no line here: whoever asks leaves them out.
        if let Some(reach) = reach {
            least = least.max(reach.lo - placement.v);
            most = most.min(reach.hi - placement.v);
        }
    }
    if least > most {
        return None;
    }
    let shift = if least.is_finite() { least } else { 0.0 };
    let placements = placements.iter().map(|&placement| LinePlacement {
        v: placement.v + shift,
        ..placement
    });
    Some(placements.collect())
}

/// So many pieces of a layout, those that lie nearest to one end, as beams take them.
fn kept(
    instance: &Instance,
    context: &BeamContext,
    from: &[LinePlacement],
    begin: Begin,
    count: usize,
) -> Vec<(usize, LinePlacement)> {
    let is_downward = begin == Begin::AtFarEnd;
    let mut order: Vec<(f64, usize)> = from
        .iter()
        .enumerate()
        .map(|(item, &placement)| {
            let low = instance.corner(placement).0;
            let high = low + instance.height(placement.orientation as usize);
            (if is_downward { -high } else { low }, item)
        })
        .collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    order.truncate(count);
    // Counted from the far end, places begin where the layout ends.
    let shift = if is_downward {
        length_of(instance, from).ceil()
    } else {
        0.0
    };
    let pieces = order.into_iter().map(|(_, item)| {
        let placement = from[item];
        let class = context.classes.of(instance.items[item].0);
        let v = placement.v - shift;
        (class, LinePlacement { v, ..placement })
    });
    pieces.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::trial::odd_pieces;
    use std::f64::consts::FRAC_PI_2;

    /// What a layout keeps stays where it is, counted from either end, and the rest lies free.
    #[test]
    fn what_is_kept_stays() {
        for seed in 0..6 {
            let job = odd_pieces(24, 0, 0.0, seed);
            let instance = Instance::new(&job).unwrap();
            let contexts = BeamContexts::new(&job, &instance).unwrap();
            let BeamContexts::Along(both) = &contexts else {
                panic!("stripes run along");
            };
            let control = Control::default();
            let from = contexts
                .create(&instance, 0.0, BeamParameters::any(seed), &control)
                .unwrap();
            for begin in [Begin::AtCutEnd, Begin::AtFarEnd] {
                let context = match begin {
                    Begin::AtCutEnd => &both.0,
                    Begin::AtFarEnd => both.1.as_ref().unwrap(),
                };
                let kept = kept(&instance, context, &from, begin, 10);
                let placements = beam(
                    &instance,
                    context,
                    &kept,
                    &[],
                    BeamParameters::any(9),
                    &|| false,
                )
                .unwrap();
                assert!(is_valid(
                    &instance,
                    &placements,
                    length_of(&instance, &placements)
                ));
                // All of them shifted by the same, on lines and outlines of their own.
                let at = |placement: &LinePlacement| {
                    (
                        instance.orientations[placement.orientation as usize].table_class,
                        placement.line,
                    )
                };
                let first = kept[0].1;
                let shifts = placements
                    .iter()
                    .filter(|s| at(s) == at(&first))
                    .map(|s| s.v - first.v);
                let stays = |shift: f64| {
                    let mut kept = kept.iter().map(|(_, placement)| placement);
                    kept.all(|k| {
                        placements
                            .iter()
                            .any(|s| at(s) == at(k) && s.v == k.v + shift)
                    })
                };
                assert!(shifts.into_iter().any(stays), "seed {seed}, {begin:?}");
            }
        }
    }

    /// Built anew in part, by turns from both ends, a layout stays one; where stripes run
    /// across, it becomes shorter or is none.
    #[test]
    fn layouts_built_anew_are_layouts() {
        for (seed, normal_rad) in [(1, 0.0), (2, FRAC_PI_2), (3, FRAC_PI_2)] {
            let job = odd_pieces(24, 0, normal_rad, seed);
            let instance = Instance::new(&job).unwrap();
            let contexts = BeamContexts::new(&job, &instance).unwrap();
            let control = Control::default();
            let longest = 12_000_000.0;
            let mut rng = Rng::new(seed);
            let first = contexts.create(&instance, longest, BeamParameters::any(seed), &control);
            let mut placements = first.unwrap();
            let (mut found, begun) = (0, length_of(&instance, &placements));
            for step in 0..40 {
                let ruin = Ruin::any(&mut rng, placements.len());
                let length = length_of(&instance, &placements);
                let parameters = BeamParameters::any(step);
                let more =
                    contexts.recreate(&instance, &placements, length, ruin, parameters, &control);
                let Some(more) = more else { continue };
                found += 1;
                let now = length_of(&instance, &more);
                assert!(is_valid(&instance, &more, now));
                let kinds = more.iter().zip(&instance.items);
                for (placement, (kind, _)) in kinds {
                    assert!(instance.kinds[*kind].contains(&(placement.orientation as usize)));
                }
                assert!(normal_rad == 0.0 || now < length);
                if now < length {
                    placements = more;
                }
            }
            assert!(
                found > 0 && length_of(&instance, &placements) <= begun,
                "seed {seed}"
            );
        }
    }
}
