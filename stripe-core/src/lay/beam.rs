//! Many first layouts side by side: a beam search for the one that wastes least.
//!
//! Pieces are laid one after the other, each at the lowest place of a line. Of
//! all ways to lay one piece more, a fixed number lives on: those with the least
//! fabric under their skyline that no piece covers, or that none of those left
//! would cover where it would come to lie now. What nests well so stays
//! together, and a good pattern of few shapes goes on as long as there are
//! copies.
//!
//! A layout can be built from either end of the fabric ([`Begin`]), and on top of pieces that
//! stand already.
//!
//! # Source
//! Beam search is the textbook's; waste under the skyline is the usual measure
//! of constructive strip packing, here on exact places from the tables.

use super::beam_parameters::BeamParameters;
use super::classes::Classes;
use super::first::{beyond, length_of};
use super::instance::{Instance, LinePlacement};
use super::outline::Interval;
use crate::num::ceil_to_index;

/// Sample columns a repeat, and the most across the fabric: of a narrow repeat there are
/// places enough without more.
const COLUMNS: f64 = 16.0;
const MOST_COLUMNS: f64 = 320.0;

/// How many layouts go on side by side: many narrow beams of different parameters find
/// more than a wide one.
const WIDTH: usize = 8;

/// Fabric without an end (units).
const ENDLESS: f64 = 1e13;

/// One place to try: a line of an orientation.
#[derive(Debug, Clone, Copy)]
struct Slot {
    class: usize,
    placement: LinePlacement,
    /// Its outline across, and along when it stands at 0.
    across: Interval,
    along: Interval,
    /// Beyond this place the line leaves the fabric over a selvage.
    last: f64,
    /// First column covered, and where its entries in the profiles begin and end.
    column: usize,
    profile: (usize, usize),
    area: f64,
}

/// The end of the fabric from which a layout is built.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Begin {
    /// From the cut end up.
    AtCutEnd,
    /// From the far end down: there all places along are counted backwards.
    AtFarEnd,
}

/// What all beams on one instance from one end have in common.
///
/// Places along are counted from that end; only what asks the instance's tables turns them back.
#[derive(Debug)]
pub(crate) struct BeamContext {
    /// +1 from the cut end, -1 from the far end.
    sense: f64,
    pub(crate) classes: Classes,
    slots: Vec<Slot>,
    /// For each slot and column, how far up the orientation reaches, and how far down.
    tops: Vec<f32>,
    bottoms: Vec<f32>,
    columns: usize,
    pitch: f64,
}

/// A piece that lies, and its extent across and along.
#[derive(Debug, Clone, Copy)]
struct Laid {
    placement: LinePlacement,
    across: Interval,
    along: Interval,
}

/// Ends of outlines nearer to each other than this (units) may touch: tables are rounded.
const TOUCH: f64 = 8.0;

/// Whether two extents come to touch. Most pieces that lie are far from the one that is
/// looked for a place, and need no look into a table.
fn meets(a: Interval, b: Interval) -> bool {
    a.lo < b.hi + TOUCH && b.lo < a.hi + TOUCH
}

/// A layout that is not yet complete.
#[derive(Debug, Clone)]
struct Node {
    /// Pieces that may still be in the way: those that end above every lowest place.
    near: Vec<Laid>,
    /// The last piece laid, in the history.
    last: Option<usize>,
    /// Pieces of each class that are still to be laid.
    left: Vec<u32>,
    /// Lowest free place of each slot.
    lowest: Vec<f64>,
    skyline: Vec<f32>,
    placed: f64,
    score: f64,
    hash: u64,
}

/// All pieces that any layout of a search has laid, each after the one before it: layouts
/// share what they began with.
#[derive(Debug, Default)]
struct History(Vec<(usize, LinePlacement, Option<usize>)>);

impl History {
    fn add(
        &mut self,
        class: usize,
        placement: LinePlacement,
        before: Option<usize>,
    ) -> Option<usize> {
        self.0.push((class, placement, before));
        Some(self.0.len() - 1)
    }

    /// All pieces of a layout, in the order in which they were laid.
    fn of(&self, last: Option<usize>) -> Vec<(usize, LinePlacement)> {
        let steps = std::iter::successors(last, |&at| self.0[at].2);
        let mut laid: Vec<(usize, LinePlacement)> =
            steps.map(|at| (self.0[at].0, self.0[at].1)).collect();
        laid.reverse();
        laid
    }
}

/// After so many pieces it is looked which of them can no longer be in the way.
const FORGET: u32 = 16;

/// One piece more on a node: its quick score, and what it makes.
#[derive(Debug, Clone, Copy)]
struct Child {
    score: f64,
    hash: u64,
    node: u32,
    slot: u32,
}

/// Whether an instance can be searched so: striped along the fabric, at one offset, and whole,
/// since waste is what lies under a skyline.
pub(crate) fn can_beam(instance: &Instance) -> bool {
    instance.normal().0 > 0.5
        && instance.stride == 1
        && !instance.is_plane()
        && !instance.is_lattice()
        && !instance.has_obstacles()
}

/// The work that one beam search takes.
pub(crate) fn beam_work(instance: &Instance) -> u64 {
    let orientations = Classes::new(instance).orientations.into_iter().flatten();
    let slots: usize = orientations
        .map(|orientation| {
            instance
                .lines(orientation, 0, length_looked_at(instance))
                .len()
        })
        .sum();
    (instance.items.len() * slots * WIDTH) as u64 * 8
}

/// Where lines run along the fabric all of them are there from the cut end on; where they
/// lean, others come in further up: those as far up as half the fabric covered would reach.
fn length_looked_at(instance: &Instance) -> f64 {
    if instance.normal().1 == 0.0 {
        return instance.ample_length();
    }
    let area = |&(kind, _): &(usize, Option<usize>)| {
        let orientation = instance.kinds[kind].start;
        instance.outlines[instance.orientations[orientation].shape].area()
    };
    let covered: f64 = instance.items.iter().map(area).sum();
    instance.ample_length() + 2.0 * covered / instance.width()
}

/// The best complete layout found: one placement an item. The pieces of `kept`, each with its
/// class, stand already and stay where they are, unless their line is none of the instance's.
/// Those of `ceiling` stand further up and are no part of the layout: they are in the way, and
/// nothing is wasted under them.
///
/// `stop` is asked after every piece.
pub(crate) fn beam(
    instance: &Instance,
    context: &BeamContext,
    kept: &[(usize, LinePlacement)],
    ceiling: &[LinePlacement],
    parameters: BeamParameters,
    stop: &dyn Fn() -> bool,
) -> Option<Vec<LinePlacement>> {
    let mut history = History::default();
    let first = context.begin(instance, kept, ceiling, &mut history);
    let left: u32 = first.left.iter().sum();
    let mut nodes = vec![first];
    let mut children: Vec<Child> = Vec::new();
    for step in 0..left {
        if stop() {
            return None;
        }
        children.clear();
        for (n, node) in nodes.iter().enumerate() {
            context.expand(node, n, &parameters, &mut children);
        }
        select(&mut children, 2 * WIDTH);
        nodes = children
            .iter()
            .map(|child| {
                let mut node = nodes[child.node as usize].clone();
                let slot = child.slot as usize;
                let v = node.lowest[slot];
                context.lay(instance, &mut node, slot, v, &mut history);
                if step % FORGET == 0 {
                    context.forget(&mut node);
                }
                node.hash = child.hash;
                context.weigh(&mut node, &parameters);
                node
            })
            .collect();
        nodes.sort_by(|a, b| a.score.total_cmp(&b.score).then(a.hash.cmp(&b.hash)));
        nodes.truncate(WIDTH);
    }
    nodes
        .iter()
        .filter_map(|n| {
            let placements = context.classes.places(instance, &history.of(n.last))?;
            Some(context.at_cut_end(instance, placements))
        })
        .min_by(|a, b| length_of(instance, a).total_cmp(&length_of(instance, b)))
}

/// The best children, no layout twice.
fn select(children: &mut Vec<Child>, count: usize) {
    let order = |a: &Child, b: &Child| {
        let score = a.score.total_cmp(&b.score);
        score.then((a.hash, a.node, a.slot).cmp(&(b.hash, b.node, b.slot)))
    };
    let some = 2 * count;
    if children.len() > some {
        children.select_nth_unstable_by(some, order);
        children.truncate(some);
    }
    children.sort_unstable_by(order);
    children.dedup_by(|a, b| a.hash == b.hash);
    children.truncate(count);
}

impl BeamContext {
    /// Lists the lines of an instance and samples the outlines on them.
    ///
    /// From the far end only where lines run exactly along the fabric, so that any layout may
    /// be shifted along it.
    pub(crate) fn new(instance: &Instance, begin: Begin) -> Self {
        let pitch = (instance.pitch / COLUMNS).max(instance.width() / MOST_COLUMNS);
        let mut context = Self {
            sense: match begin {
                Begin::AtCutEnd => 1.0,
                Begin::AtFarEnd => -1.0,
            },
            classes: Classes::new(instance),
            slots: Vec::new(),
            tops: Vec::new(),
            bottoms: Vec::new(),
            columns: (instance.width() / pitch).floor() as usize,
            pitch,
        };
        let length = length_looked_at(instance);
        for (class, orientations) in context.classes.orientations.clone().into_iter().enumerate() {
            for orientation in orientations {
                for (line, reach) in instance.lines(orientation, 0, length) {
                    let first = match begin {
                        Begin::AtCutEnd => reach.lo,
                        Begin::AtFarEnd => {
                            (instance.extent(orientation).1.hi - instance.margin()).ceil()
                        }
                    };
                    let placement = LinePlacement {
                        orientation: orientation as u32,
                        line,
                        v: first,
                    };
                    let beyond = instance.reach(orientation, i64::from(line), ENDLESS);
                    context.add(
                        instance,
                        class,
                        placement,
                        beyond.map_or(reach.hi, |r| r.hi),
                    );
                }
            }
        }
        context
    }

    fn add(&mut self, instance: &Instance, class: usize, placement: LinePlacement, last: f64) {
        let outline = instance.outline_of(placement);
        let u = instance.u(placement.orientation as usize, i64::from(placement.line));
        let column = |u: f64| ceil_to_index((u / self.pitch - 0.5).max(0.0)).min(self.columns);
        let columns = column(u + outline.across().lo)..column(u + outline.across().hi);
        let first = self.tops.len();
        let mut area = 0.0;
        for c in columns.clone() {
            let mut chord = Interval {
                lo: f64::INFINITY,
                hi: f64::NEG_INFINITY,
            };
            for s in outline.chords((c as f64 + 0.5) * self.pitch - u) {
                chord = Interval {
                    lo: chord.lo.min(s.lo),
                    hi: chord.hi.max(s.hi),
                };
                area += (s.hi - s.lo) * self.pitch;
            }
            let chord = self.turned(chord);
            self.tops.push(chord.hi as f32);
            self.bottoms.push(chord.lo as f32);
        }
        self.slots.push(Slot {
            class,
            placement,
            across: Interval {
                lo: u + outline.across().lo,
                hi: u + outline.across().hi,
            },
            along: self.turned(outline.along),
            last,
            column: columns.start,
            profile: (first, self.tops.len()),
            // Of pieces too narrow for any sample, too.
            area: area.max(self.pitch),
        });
    }

    /// A stretch along the fabric, counted from the other end where layouts begin there.
    fn turned(&self, s: Interval) -> Interval {
        if self.sense > 0.0 {
            return s;
        }
        Interval {
            lo: -s.hi,
            hi: -s.lo,
        }
    }

    /// A layout of the pieces of `kept` alone, below those of `ceiling`.
    fn begin(
        &self,
        instance: &Instance,
        kept: &[(usize, LinePlacement)],
        ceiling: &[LinePlacement],
        history: &mut History,
    ) -> Node {
        let mut node = Node {
            near: Vec::new(),
            last: None,
            left: self.classes.copies(instance),
            lowest: self.slots.iter().map(|s| s.placement.v).collect(),
            skyline: vec![0.0; self.columns],
            placed: 0.0,
            score: 0.0,
            hash: 0,
        };
        let table_class = |placement: LinePlacement| {
            instance.orientations[placement.orientation as usize].table_class
        };
        let slot_of = |placement: LinePlacement, is_it: &dyn Fn(&Slot) -> bool| {
            self.slots.iter().position(|slot| {
                slot.placement.line == placement.line
                    && table_class(slot.placement) == table_class(placement)
                    && is_it(slot)
            })
        };
        for &(class, placement) in kept {
            if let Some(slot) = slot_of(placement, &|slot| slot.class == class) {
                self.lay(instance, &mut node, slot, self.sense * placement.v, history);
            }
        }
        for &placement in ceiling {
            if let Some(slot) = slot_of(placement, &|_| true) {
                self.stand(instance, &mut node, slot, self.sense * placement.v);
            }
        }
        self.forget(&mut node);
        node
    }

    /// Brings a layout to the cut end, which one built from the far end does not know.
    fn at_cut_end(
        &self,
        instance: &Instance,
        mut placements: Vec<LinePlacement>,
    ) -> Vec<LinePlacement> {
        if self.sense < 0.0 {
            let short = placements.iter().map(|placement| {
                let low = instance.extent(placement.orientation as usize).1.lo;
                (-instance.margin() - low - 1e-3).ceil() - placement.v
            });
            let shift = short.fold(f64::NEG_INFINITY, f64::max);
            placements
                .iter_mut()
                .for_each(|placement| placement.v += shift);
        }
        placements
    }

    fn sky<'n>(slot: &Slot, columns: &'n [f32]) -> &'n [f32] {
        &columns[slot.column..slot.column + slot.profile.1 - slot.profile.0]
    }

    /// All ways to lay one piece more, each with what can be told of it at once.
    fn expand(
        &self,
        node: &Node,
        n: usize,
        parameters: &BeamParameters,
        children: &mut Vec<Child>,
    ) {
        let level = sum(&node.skyline) * self.pitch;
        let top = node.skyline.iter().copied().fold(0.0f32, f32::max);
        for (s, (slot, &v)) in self.slots.iter().zip(&node.lowest).enumerate() {
            if node.left[slot.class] == 0 || v > slot.last {
                continue;
            }
            let low = v as f32;
            let tops = &self.tops[slot.profile.0..slot.profile.1];
            let (mut rise, mut high) = (0.0f32, top);
            for (&t, &k) in tops.iter().zip(Self::sky(slot, &node.skyline)) {
                let at = t + low;
                rise += if at > k { at - k } else { 0.0 };
                high = if at > high { at } else { high };
            }
            let level = level + f64::from(rise) * self.pitch;
            let placed = node.placed + slot.area;
            let uneven = f64::from(high) * self.pitch * self.columns as f64 - level;
            let hash = node.hash
                ^ LinePlacement {
                    v,
                    ..slot.placement
                }
                .hash();
            children.push(Child {
                score: parameters.score(level - placed, uneven, placed, hash),
                hash,
                node: n as u32,
                slot: s as u32,
            });
        }
    }

    /// Lays a slot's piece at a place and finds the lowest places anew.
    fn lay(&self, instance: &Instance, node: &mut Node, s: usize, v: f64, history: &mut History) {
        let slot = &self.slots[s];
        node.left[slot.class] -= 1;
        node.placed += slot.area;
        let placement = LinePlacement {
            v: self.sense * v,
            ..slot.placement
        };
        node.last = history.add(slot.class, placement, node.last);
        let tops = &self.tops[slot.profile.0..slot.profile.1];
        for (k, &t) in node.skyline[slot.column..].iter_mut().zip(tops) {
            let at = t + v as f32;
            *k = if at > *k { at } else { *k };
        }
        self.stand(instance, node, s, v);
    }

    /// A slot's piece stands at a place: finds the lowest places of the others anew.
    fn stand(&self, instance: &Instance, node: &mut Node, s: usize, v: f64) {
        let slot = &self.slots[s];
        let sense = self.sense;
        let placement = LinePlacement {
            v: sense * v,
            ..slot.placement
        };
        let along = |slot: &Slot, v: f64| Interval {
            lo: slot.along.lo + v,
            hi: slot.along.hi + v,
        };
        let new = along(slot, v);
        node.near.push(Laid {
            placement,
            across: slot.across,
            along: new,
        });
        for (other, lowest) in self.slots.iter().zip(&mut node.lowest) {
            if node.left[other.class] == 0
                || !meets(slot.across, other.across)
                || !meets(new, along(other, *lowest))
            {
                continue;
            }
            let dv = sense * *lowest - placement.v;
            let intervals = instance.intervals(placement, other.placement);
            if intervals.iter().any(|s| s.lo < dv && dv < s.hi) {
                let mut own = other.placement;
                own.v = sense * *lowest;
                let beside = |v: f64| {
                    let here = along(other, sense * v);
                    let near = node.near.iter().filter(move |laid| {
                        meets(laid.across, other.across) && meets(laid.along, here)
                    });
                    near.map(|laid| laid.placement)
                };
                while let Some(end) = beyond(instance, beside(own.v), own, sense > 0.0) {
                    own.v = end;
                }
                // Where the line has left the fabric there is no place any more.
                let v = sense * own.v;
                *lowest = if v <= other.last { v } else { f64::INFINITY };
            }
        }
    }

    /// Forgets the pieces that no place left to be taken comes near: lowest places only rise.
    fn forget(&self, node: &mut Node) {
        let open = self.slots.iter().zip(&node.lowest);
        let lows = open.filter(|(slot, _)| node.left[slot.class] > 0);
        let least = lows.map(|(slot, v)| slot.along.lo + v);
        let least = least.fold(f64::INFINITY, f64::min);
        node.near.retain(|laid| laid.along.hi + TOUCH > least);
    }

    /// Gives a node its score: what is wasted, and what none of the pieces left
    /// would cover.
    fn weigh(&self, node: &mut Node, parameters: &BeamParameters) {
        let mut next = vec![f32::INFINITY; self.columns];
        for (slot, &v) in self.slots.iter().zip(&node.lowest) {
            if node.left[slot.class] == 0 {
                continue;
            }
            let bottoms = &self.bottoms[slot.profile.0..slot.profile.1];
            for (n, &b) in next[slot.column..].iter_mut().zip(bottoms) {
                let at = b + v as f32;
                *n = if at < *n { at } else { *n };
            }
        }
        let top = node.skyline.iter().copied().fold(0.0f32, f32::max);
        let mut ahead = 0.0f32;
        for (&n, &s) in next.iter().zip(&node.skyline) {
            let n = if n < top { n } else { top };
            ahead += if n > s { n - s } else { 0.0 };
        }
        let level = sum(&node.skyline) * self.pitch + f64::from(ahead) * self.pitch;
        let uneven = f64::from(top) * self.pitch * self.columns as f64 - level;
        node.score = parameters.score(level - node.placed, uneven, node.placed, node.hash);
    }
}

fn sum(columns: &[f32]) -> f64 {
    columns.iter().map(|&s| f64::from(s)).sum()
}
