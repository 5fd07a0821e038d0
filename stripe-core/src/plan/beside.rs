//! What straight cuts leave beside them, offered to the shaped pieces of the same fabric.
//!
//! Bands that leave much beside them are cut from one stretch of fabric that is slit
//! along the selvages: straight pieces to the left of the slit, shaped ones to the
//! right, and the other shaped pieces behind the stretch. The lay's frame begins with
//! the stretch.

use super::job::FabricJob;
use crate::buy::straight::{Cuts, Remnant, remnants};
use crate::lay::{self, Control, Effort, Item, Job, Kind, Layout, Lock, Outcome, Placement};
use crate::num::wrap;
use crate::shape::{Point, dot, point, unit};
use std::collections::BTreeMap;

/// What must be saved for a slit to be worth its trouble: a quarter of an inch (mm).
const WORTH_A_SLIT_MM: f64 = 6.35;
/// Stretches that are tried, those with the largest remainder first.
const MOST_TRIED: usize = 3;

/// A lay that uses what is beside the straight cuts.
#[derive(Debug)]
pub(super) struct Beside {
    /// Which bands stand to the left of which slit.
    pub remnant: Remnant,
    /// All pieces; the stretch's own length is counted in.
    pub layout: Layout,
    /// How many of them lie beside the straight cuts.
    pub pieces: usize,
}

/// Looks for a layout that is shorter with its stretch than `alone` is without.
pub(super) fn lay_beside(
    made: &FabricJob,
    alone: &Outcome,
    cuts: &Cuts,
    effort: &Effort,
    control: &Control<'_>,
) -> Option<Beside> {
    let tried = remnants(cuts, made.job.window.width_mm)
        .into_iter()
        .take(MOST_TRIED)
        .take_while(|_| !control.is_stopped())
        .map(|remnant| lay_in(&made.job, alone, remnant, effort, control));
    best_of(tried, alone.layout.length_mm)
}

/// The shortest of those that save enough, the first of equals. A stretch that gives no layout
/// takes nothing away from the others.
fn best_of(tried: impl Iterator<Item = Option<Beside>>, alone_mm: f64) -> Option<Beside> {
    // Straight cuts outside of the stretch are counted in neither: what is left is compared.
    let behind = |b: &Beside| b.layout.length_mm - b.remnant.length_mm;
    let mut found: Option<Beside> = None;
    for one in tried.flatten() {
        let saves = behind(&one) < alone_mm - WORTH_A_SLIT_MM;
        if saves
            && found
                .as_ref()
                .is_none_or(|b| behind(&one) < behind(b) - 1e-6)
        {
            found = Some(one);
        }
    }
    found
}

/// The lay with one stretch, or nothing where none of the pieces go in beside it.
fn lay_in(
    job: &Job,
    alone: &Outcome,
    remnant: Remnant,
    effort: &Effort,
    control: &Control<'_>,
) -> Option<Beside> {
    // The stretch is cut off: what lies behind it keeps clear of what is in it.
    let room_mm = remnant.length_mm - 2.0 * job.window.margin_mm;
    let corner = point(remnant.slit_mm, 0.0);
    let right = Part::new(corner, job.window.width_mm - remnant.slit_mm);
    let inside = fill(job, &alone.layout, &right, room_mm, control);
    if inside.is_empty() {
        return None;
    }
    let behind = Part::new(point(0.0, remnant.length_mm), job.window.width_mm);
    let outside: Vec<usize> = (0..job.items.len())
        .filter(|i| !inside.contains(i))
        .collect();
    let mut whole = Layout {
        length_mm: remnant.length_mm,
        ..alone.layout.clone()
    };
    let (first, _) = right.job(job, &alone.layout, &inside, &inside);
    right.put_into(&mut whole, job, &lay::first(&first).ok()?, &inside, &[]);
    if !outside.is_empty() {
        let (rest, groups) = behind.job(job, &alone.layout, &outside, &inside);
        let laid = lay::lay(&rest, effort, control).ok()?.layout;
        whole.length_mm += laid.length_mm;
        behind.put_into(&mut whole, job, &laid, &outside, &groups);
    }
    Some(Beside {
        remnant,
        layout: whole,
        pieces: inside.len(),
    })
}

/// The pieces that the first layout puts into a part of the fabric: of each kind as many as
/// go in with those before, the largest kinds first.
fn fill(job: &Job, alone: &Layout, part: &Part, room_mm: f64, control: &Control<'_>) -> Vec<usize> {
    let fits = |items: &[usize]| {
        let (trial, _) = part.job(job, alone, items, items);
        lay::first(&trial).is_ok_and(|lay| lay.length_mm <= room_mm)
    };
    let mut kinds: Vec<usize> = (0..job.kinds.len()).collect();
    let area = |kind: usize| {
        let shape = job.kinds[kind].poses[0].shape;
        geo::Area::unsigned_area(&job.shapes[shape].outline)
    };
    kinds.sort_by(|&a, &b| area(b).total_cmp(&area(a)).then(a.cmp(&b)));
    let mut inside: Vec<usize> = vec![];
    for kind in kinds {
        let all: Vec<usize> = (0..job.items.len())
            .filter(|&i| job.items[i].kind == kind)
            .collect();
        let with = |n: usize| [&inside[..], &all[..n]].concat();
        // More than there is room for need not be tried.
        let taken: f64 = inside.iter().map(|&i| area(job.items[i].kind)).sum();
        let room =
            (part.width_mm + 2.0 * job.window.margin_mm) * (room_mm + 2.0 * job.window.margin_mm);
        let holds = ((room - taken).max(0.0) / area(kind).max(1.0)) as usize;
        // Halving, as if it never fitted again once it did not: near enough.
        let (mut most, mut never) = (0, all.len().min(holds) + 1);
        while never - most > 1 && !control.is_stopped() {
            let n = (most + never) / 2;
            if fits(&with(n)) {
                most = n;
            } else {
                never = n;
            }
        }
        inside = with(most);
    }
    inside
}

/// A part of the fabric: from a corner on, so wide.
struct Part {
    corner: Point,
    width_mm: f64,
}

impl Part {
    fn new(corner: Point, width_mm: f64) -> Self {
        Self { corner, width_mm }
    }

    /// The corner in the stripe's frame.
    fn shift(&self, job: &Job) -> Point {
        let n = unit(job.window.normal_rad);
        point(dot(n, self.corner), dot(point(-n.y, n.x), self.corner))
    }

    /// The job of laying some items on this part alone, and which group of the whole
    /// each of its groups is. Groups that `fixed` items belong to keep the offset that
    /// they have in `alone`: they must be the same here and there.
    fn job(
        &self,
        job: &Job,
        alone: &Layout,
        items: &[usize],
        fixed: &[usize],
    ) -> (Job, Vec<usize>) {
        let is_fixed = |group: usize| fixed.iter().any(|&i| job.items[i].group == Some(group));
        let mut part = Job {
            lots: 1,
            items: vec![],
            kinds: vec![],
            ..job.clone()
        };
        part.window.width_mm = self.width_mm;
        let mut groups: Vec<usize> = vec![];
        let mut kinds: BTreeMap<(usize, Option<usize>), usize> = BTreeMap::new();
        for &i in items {
            let item = job.items[i];
            let kept = item.group.filter(|&group| is_fixed(group));
            let group = item.group.filter(|_| kept.is_none()).map(|group| {
                let known = groups.iter().position(|&g| g == group);
                known.unwrap_or_else(|| {
                    groups.push(group);
                    groups.len() - 1
                })
            });
            let kind = *kinds.entry((item.kind, kept)).or_insert_with(|| {
                let offset = kept.map_or(0.0, |group| alone.offsets[group]);
                part.kinds.push(self.kind(job, item.kind, offset));
                part.kinds.len() - 1
            });
            part.items.push(Item {
                kind,
                group,
                ..item
            });
        }
        part.groups = groups.len();
        (part, groups)
    }

    /// A kind as it lies seen from this part's corner.
    fn kind(&self, job: &Job, kind: usize, offset_mm: f64) -> Kind {
        let shift = self.shift(job);
        let mut kind = job.kinds[kind].clone();
        for pose in &mut kind.poses {
            let residue = pose.residue_mm + pose.sign.signum() * offset_mm - shift.x;
            match job.lock {
                Lock::Plane => {}
                Lock::Lines { repeat_mm } => pose.residue_mm = wrap(residue, repeat_mm),
                // A second repeat is counted from the residue's own line: not wrapped.
                Lock::Points { .. } => {
                    pose.residue_mm = residue;
                    pose.along_mm -= shift.y;
                }
            }
        }
        kind
    }

    /// Puts the layout of some items on this part into the layout of the whole.
    fn put_into(
        &self,
        whole: &mut Layout,
        job: &Job,
        part: &Layout,
        items: &[usize],
        groups: &[usize],
    ) {
        let shift = self.shift(job);
        for (&item, placement) in items.iter().zip(&part.placements) {
            whole.placements[item] = Placement {
                u_mm: placement.u_mm + shift.x,
                v_mm: placement.v_mm + shift.y,
                ..*placement
            };
        }
        for (&group, &offset) in groups.iter().zip(&part.offsets) {
            whole.offsets[group] = offset;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn beside(slit_mm: f64, length_mm: f64) -> Beside {
        let lay = Layout {
            length_mm,
            offsets: vec![],
            placements: vec![],
        };
        let remnant = Remnant {
            slit_mm,
            length_mm: 100.0,
            bands: vec![0],
        };
        Beside {
            remnant,
            layout: lay,
            pieces: 1,
        }
    }

    /// A later stretch that gives no layout used to throw away the one found before it.
    #[test]
    fn a_stretch_without_a_lay_takes_nothing_away() {
        let slit = |tried: Vec<Option<Beside>>| {
            let found = best_of(tried.into_iter(), 500.0);
            found.map(|b| b.remnant.slit_mm)
        };
        let good = || Some(beside(1.0, 400.0));
        assert_eq!(slit(vec![good(), None]), Some(1.0));
        assert_eq!(slit(vec![None, good()]), Some(1.0));
        assert_eq!(slit(vec![good(), Some(beside(2.0, 390.0))]), Some(2.0));
        // 600 less the stretch's 100 mm is what is taken without it.
        assert_eq!(slit(vec![Some(beside(3.0, 599.0)), None]), None);
    }
}
