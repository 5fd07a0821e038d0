//! The first layout: largest first, each where it ends lowest.

use super::error::LayError;
use super::instance::{Instance, LinePlacement};
use super::outline::Interval;
use std::collections::HashMap;

/// Pieces laid so far, and the place to look for the next.
///
/// Where an orientation found no place on a line it will find none later, since pieces
/// only come in: what was found is remembered, and each place is looked at once.
#[derive(Debug)]
pub(crate) struct PartialLayout<'a> {
    instance: &'a Instance,
    /// Placements in buckets along the fabric, each as long as the tallest piece.
    buckets: Vec<Vec<LinePlacement>>,
    cell: f64,
    /// For an orientation, a line, where its reach begins, and a sense: all is taken before here.
    taken: HashMap<(u32, i32, u64, bool), f64>,
    /// Placements looked at so far.
    work: u64,
}

/// Buckets are no shorter than this (units: a millimetre), so that there are not too many.
pub(super) const LEAST_CELL: f64 = 10_000.0;

/// So many placements are looked at in some tenths of a second: whoever stops waits no longer.
const PATIENT_WORK: u64 = 5_000_000;

impl<'a> PartialLayout<'a> {
    pub(crate) fn new(instance: &'a Instance) -> Self {
        Self {
            instance,
            buckets: Vec::new(),
            cell: instance.tallest().max(LEAST_CELL),
            taken: HashMap::new(),
            work: 0,
        }
    }

    fn bucket(&self, placement: LinePlacement) -> usize {
        // Casts of what is below nothing give 0.
        (self.instance.corner(placement).0 / self.cell + 1.0) as usize
    }

    pub(crate) fn push(&mut self, placement: LinePlacement) {
        let bucket = self.bucket(placement);
        if self.buckets.len() <= bucket {
            self.buckets.resize(bucket + 1, Vec::new());
        }
        self.buckets[bucket].push(placement);
    }

    /// The first free position on a line in the sense of growth (or the last).
    pub(crate) fn free(
        &mut self,
        orientation: u32,
        line: i32,
        reach: Interval,
        up: bool,
    ) -> Option<f64> {
        // Only obstacles give a line more than one reach.
        let begin = if self.instance.has_obstacles() {
            reach.lo.to_bits()
        } else {
            0
        };
        let key = (orientation, line, begin, up);
        let snap = |v| self.instance.snap(orientation as usize, line, v, up);
        let from = if up { reach.lo } else { reach.hi };
        let mut v = snap(match self.taken.get(&key) {
            Some(&taken) if up => taken.max(from),
            Some(&taken) => taken.min(from),
            None => from,
        });
        let inside = |v: f64| reach.lo <= v && v <= reach.hi;
        while inside(v) {
            let placement = LinePlacement {
                orientation,
                line,
                v,
            };
            match self.beyond(placement, up) {
                Some(next) => v = self.instance.step(placement, next, up),
                None => break,
            }
        }
        self.taken.insert(key, v);
        inside(v).then_some(v)
    }

    /// The far end of whatever is in the way at a placement.
    #[inline]
    fn beyond(&mut self, placement: LinePlacement, up: bool) -> Option<f64> {
        let bucket = self.bucket(placement);
        let near = self.buckets.iter().take(bucket + 2);
        let near = near.skip(bucket.saturating_sub(1));
        self.work += 1 + near.clone().map(|b| b.len() as u64).sum::<u64>();
        let near = near.flatten();
        beyond(self.instance, near.copied(), placement, up)
    }
}

/// The far end, upward or downward along the line, of whatever of `laid` is in the
/// way at a placement; `None` where it is free.
#[inline]
pub(crate) fn beyond(
    instance: &Instance,
    laid: impl Iterator<Item = LinePlacement>,
    placement: LinePlacement,
    up: bool,
) -> Option<f64> {
    let ends = laid
        .flat_map(|other| {
            let intervals = instance.intervals(other, placement).iter();
            intervals.map(move |s| (s.lo + other.v, s.hi + other.v))
        })
        .filter(|&(lo, hi)| lo < placement.v && placement.v < hi);
    if up {
        ends.map(|(_, hi)| hi).reduce(f64::max)
    } else {
        ends.map(|(lo, _)| lo).reduce(f64::min)
    }
}

/// Lays all items, largest first, each on the line and at the position that
/// ends lowest. Returns the placements and each group's offset (in lines).
///
/// Once `stop` says so and the work is more than a moment's, what is left is laid
/// beyond what lies already, without a look at the gaps.
pub(crate) fn lay_first(
    instance: &Instance,
    order: &[usize],
    stop: &dyn Fn() -> bool,
) -> Result<(Vec<LinePlacement>, Vec<i64>), LayError> {
    let none = LinePlacement {
        orientation: 0,
        line: 0,
        v: 0.0,
    };
    let mut placements = vec![none; instance.items.len()];
    let mut offsets: Vec<Option<i64>> = vec![None; instance.groups];
    let mut partial = PartialLayout::new(instance);
    let mut used: f64 = 0.0;
    for &item in order {
        let (kind, group) = instance.items[item];
        let choices: Vec<i64> = match group.map(|g| (g, offsets[g])) {
            None => vec![0],
            Some((_, Some(offset))) => vec![offset],
            Some((g, None)) => instance.open[g].clone(),
        };
        let is_late = partial.work > PATIENT_WORK && stop();
        let found = if is_late {
            None
        } else {
            lowest(instance, &mut partial, kind, &choices, used)
        };
        let (placement, offset) = found
            .or_else(|| lie_beyond(instance, kind, &choices, used))
            .ok_or_else(|| instance.no_place(item, &choices))?;
        used = used.max(instance.end(placement));
        placements[item] = placement;
        partial.push(placement);
        if let Some(g) = group {
            offsets[g] = Some(offset);
        }
    }
    let offsets = offsets.into_iter().map(Option::unwrap_or_default).collect();
    Ok((placements, offsets))
}

/// The free placement of a kind that ends lowest, at one of some offsets, and that offset.
fn lowest(
    instance: &Instance,
    partial: &mut PartialLayout<'_>,
    kind: usize,
    choices: &[i64],
    used: f64,
) -> Option<(LinePlacement, i64)> {
    let mut best: Option<((f64, f64, f64), LinePlacement, i64)> = None;
    let length = instance.open_length(used);
    for orientation in instance.kinds[kind].clone() {
        for &offset in choices {
            for (line, reach) in instance.lines(orientation, offset, length) {
                for up in [true, false] {
                    // Where the fabric grows along the lines the low end is the better one.
                    if instance.normal().0.abs() > 0.5 && up != (instance.upward() > 0.0) {
                        continue;
                    }
                    let Some(v) = partial.free(orientation as u32, line, reach, up) else {
                        continue;
                    };
                    let placement = LinePlacement {
                        orientation: orientation as u32,
                        line,
                        v,
                    };
                    let (y, x) = instance.corner(placement);
                    let key = (instance.end(placement), y, x);
                    if best.is_none_or(|(least, ..)| key < least) {
                        best = Some((key, placement, offset));
                    }
                }
            }
        }
    }
    best.map(|(_, placement, offset)| (placement, offset))
}

/// The lowest placement of a kind beyond the fabric `used` (units), where nothing lies yet.
fn lie_beyond(
    instance: &Instance,
    kind: usize,
    choices: &[i64],
    used: f64,
) -> Option<(LinePlacement, i64)> {
    // Outlines may reach over the end of what is used by the margin.
    let base = used.max(instance.whole_from()) + instance.margin();
    let length = base + instance.ample_length();
    let (nx, _) = instance.normal();
    let mut best: Option<(f64, LinePlacement, i64)> = None;
    for orientation in instance.kinds[kind].clone() {
        for &offset in choices {
            for (line, reach) in instance.lines(orientation, offset, length) {
                let at = |v| LinePlacement {
                    orientation: orientation as u32,
                    line,
                    v,
                };
                let short = base - instance.corner(at(0.0)).0;
                let v = if nx == 0.0 {
                    reach.lo
                } else if nx > 0.0 {
                    instance.snap(orientation, line, (short / nx).ceil().max(reach.lo), true)
                } else {
                    instance.snap(orientation, line, (short / nx).floor().min(reach.hi), false)
                };
                let placement = at(v);
                let end = instance.end(placement);
                if reach.lo <= v
                    && v <= reach.hi
                    && instance.corner(placement).0 >= base - 1.0
                    && best.is_none_or(|(least, ..)| end < least)
                {
                    best = Some((end, placement, offset));
                }
            }
        }
    }
    best.map(|(_, placement, offset)| (placement, offset))
}

/// How many items there are of each kind.
pub(crate) fn copies(instance: &Instance) -> Vec<u32> {
    let mut copies = vec![0; instance.kinds.len()];
    for &(kind, _) in &instance.items {
        copies[kind] += 1;
    }
    copies
}

/// Placements of kinds, in any order, given to the items of those kinds.
pub(crate) fn places(
    instance: &Instance,
    laid: &[(usize, LinePlacement)],
) -> Option<Vec<LinePlacement>> {
    let mut of_kind: Vec<Vec<LinePlacement>> = vec![Vec::new(); instance.kinds.len()];
    for &(kind, placement) in laid.iter().rev() {
        of_kind[kind].push(placement);
    }
    let items = instance.items.iter();
    items.map(|&(kind, _)| of_kind[kind].pop()).collect()
}

/// Items by falling area, then by height, then as given.
pub(crate) fn largest_first(instance: &Instance) -> Vec<usize> {
    let mut order: Vec<usize> = (0..instance.items.len()).collect();
    let size = |item: usize| {
        let orientation = instance.kinds[instance.items[item].0].start;
        (
            instance.outlines[instance.orientations[orientation].shape].area(),
            instance.height(orientation),
        )
    };
    order.sort_by(|&a, &b| {
        let (a, b) = (size(a), size(b));
        b.0.total_cmp(&a.0).then(b.1.total_cmp(&a.1))
    });
    order
}

/// The length (units) that placements need.
pub(crate) fn length_of(instance: &Instance, placements: &[LinePlacement]) -> f64 {
    placements
        .iter()
        .map(|&s| instance.end(s))
        .fold(0.0, f64::max)
}
