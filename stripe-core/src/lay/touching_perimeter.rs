//! Laying pieces where they fit snugly: walls along walls.
//!
//! A beam search that grows a layout piece by piece, each where its outline runs
//! along those that lie already, or along the fabric's edges. Of all layouts with so
//! many pieces, those live on whose outlines touch over the greatest share.
//! Shapes that were parted from each other come together again; shapes that do
//! not fit each other are soon given up.
//!
//! # Source
//! The "touching perimeter" rule of rectangle packing: A. Lodi, S. Martello and
//! D. Vigo, "Heuristic and metaheuristic approaches for a class of
//! two-dimensional bin packing problems" (1999); from memory.

use super::compaction::drop_down;
use super::first::{copies, length_of, places};
use super::guided_search::is_valid;
use super::instance::{Instance, LinePlacement};
use std::collections::BTreeMap;

/// Layouts that go on side by side.
const WIDTH: usize = 100;

/// Less contact than this share of an outline is none.
const LEAST: f64 = 0.12;

/// After so many pieces a layout of which less than this share touches is given up:
/// what was parted touches all around.
const ENOUGH: usize = 6;
const LEAST_SHARE: f64 = 0.9;

/// Rounded shapes may cut into each other by so many units until all is made
/// exact at the end.
const SLACK: f64 = 100.0;

/// A place that touches something.
#[derive(Debug, Clone, Copy)]
struct Place {
    kind: usize,
    placement: LinePlacement,
    contact: f64,
}

#[derive(Debug, Clone)]
struct Node {
    placements: Vec<(usize, LinePlacement)>,
    left: Vec<u32>,
    places: Vec<Place>,
    contact: f64,
    around: f64,
    hash: u64,
}

impl Node {
    /// The share of all outlines that touches.
    fn share(&self) -> f64 {
        self.contact / self.around
    }
}

/// A position along at which two orientations touch, and over what length.
type Touch = (f64, f64);

struct TouchingPerimeter<'a> {
    instance: &'a Instance,
    length: f64,
    /// All lines of each orientation.
    lines: Vec<Vec<i32>>,
    /// Circumference by orientation.
    around: Vec<f64>,
    touches: BTreeMap<(u32, u32, i64), Box<[Touch]>>,
    /// Interval visits so far.
    work: u64,
}

/// A layout in which most outlines run along others, if one is found within a
/// length (units) and some interval visits: one placement an item.
pub(crate) fn lay_by_touching_perimeter(
    instance: &Instance,
    length: f64,
    work: u64,
    stop: &dyn Fn() -> bool,
) -> Option<Vec<LinePlacement>> {
    let mut touching_perimeter = TouchingPerimeter {
        instance,
        length,
        lines: (0..instance.orientations.len())
            .map(|f| instance.lines(f, 0, length).iter().map(|l| l.0).collect())
            .collect(),
        around: instance
            .orientations
            .iter()
            .map(|f| instance.outlines[f.shape].circumference())
            .collect(),
        touches: BTreeMap::new(),
        work: 0,
    };
    let left = copies(instance);
    // An instance may know kinds of which none are to be laid.
    let mut on_edges = touching_perimeter.on_edges();
    on_edges.retain(|place| left[place.kind] > 0);
    let root = Node {
        places: on_edges,
        placements: Vec::new(),
        left,
        contact: 0.0,
        around: 0.0,
        hash: 0,
    };
    let mut nodes = vec![root];
    for _ in 0..instance.items.len() {
        let best = &nodes[0];
        let touches = best.placements.len() < ENOUGH || best.share() >= LEAST_SHARE;
        if !touches || touching_perimeter.work >= work || stop() {
            return None;
        }
        let mut children: Vec<(f64, u64, usize, usize)> = Vec::new();
        for (n, node) in nodes.iter().enumerate() {
            for (p, place) in node.places.iter().enumerate() {
                let contact = node.contact + 2.0 * place.contact;
                let around =
                    node.around + touching_perimeter.around[place.placement.orientation as usize];
                let hash = node.hash ^ place.placement.hash();
                children.push((contact / around, hash, n, p));
            }
        }
        children.sort_by(|a, b| {
            b.0.total_cmp(&a.0)
                .then((a.1, a.2, a.3).cmp(&(b.1, b.2, b.3)))
        });
        children.dedup_by_key(|c| c.1);
        children.truncate(WIDTH);
        if children.is_empty() {
            return None;
        }
        nodes = children
            .into_iter()
            .map(|(_, hash, n, p)| {
                let mut node = nodes[n].clone();
                node.hash = hash;
                touching_perimeter.lay(&mut node, p);
                node
            })
            .collect();
    }
    // Rounded shapes were let cut into each other: only what can be made exact stands.
    nodes
        .iter()
        .filter_map(|n| {
            let mut placements = places(instance, &n.placements)?;
            drop_down(instance, &mut placements);
            let length = length_of(instance, &placements);
            is_valid(instance, &placements, length).then_some((length, placements))
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|best| best.1)
}

impl TouchingPerimeter<'_> {
    /// Places along the cut end and the selvages.
    fn on_edges(&self) -> Vec<Place> {
        let instance = self.instance;
        let mut places = Vec::new();
        for (kind, orientations) in instance.kinds.iter().enumerate() {
            for orientation in orientations.clone() {
                for &line in &self.lines[orientation] {
                    let Some(reach) = instance.reach(orientation, i64::from(line), self.length)
                    else {
                        continue;
                    };
                    let placement = LinePlacement {
                        orientation: orientation as u32,
                        line,
                        v: reach.lo,
                    };
                    let contact = self.at_edge(placement)
                        + instance.outlines[instance.orientations[orientation].shape].sole();
                    if contact > LEAST * self.around[orientation] {
                        places.push(Place {
                            kind,
                            placement,
                            contact,
                        });
                    }
                }
            }
        }
        places
    }

    /// The length over which a placement runs along the selvages.
    fn at_edge(&self, placement: LinePlacement) -> f64 {
        let instance = self.instance;
        let outline = instance.outline_of(placement);
        let u = instance.u(placement.orientation as usize, i64::from(placement.line));
        let (left, right) = outline.sides();
        let mut contact = 0.0;
        if (u + outline.across().lo + instance.margin()).abs() < 10.0 {
            contact += left;
        }
        if (u + outline.across().hi - instance.width() - instance.margin()).abs() < 10.0 {
            contact += right;
        }
        contact
    }

    /// The lines of an orientation on which it may touch a placement. On plain fabric, of which
    /// every line is one, those on which vertices come side by side.
    fn lines_about(&self, placement: LinePlacement, orientation: usize) -> Vec<i32> {
        let instance = self.instance;
        if !instance.is_plane() {
            return self.lines[orientation].clone();
        }
        let u = instance.u(placement.orientation as usize, i64::from(placement.line));
        let (own, other) = (
            &instance.outlines[instance.orientations[orientation].shape],
            instance.outline_of(placement),
        );
        let meets = other
            .cuts()
            .iter()
            .flat_map(|a| own.cuts().iter().map(move |b| u + a - b));
        let mut lines: Vec<i32> = meets.map(|u| instance.line_at(orientation, u)).collect();
        lines.sort_unstable();
        lines.dedup();
        lines
    }

    /// Where `b` touches `a` (positions of `b` relative to `a`).
    fn touches(&mut self, a: LinePlacement, b: LinePlacement) -> &[Touch] {
        let instance = self.instance;
        let lines = i64::from(b.line) - i64::from(a.line);
        self.touches
            .entry((a.orientation, b.orientation, lines))
            .or_insert_with(|| {
                let du = instance.u(b.orientation as usize, i64::from(b.line))
                    - instance.u(a.orientation as usize, i64::from(a.line));
                let (oa, ob) = (instance.outline_of(a), instance.outline_of(b));
                self.work += 100;
                let ends = instance.intervals(a, b).iter().flat_map(|s| [s.lo, s.hi]);
                ends.map(|v| (v, oa.contact(ob, du.round(), v)))
                    .filter(|t| t.1 > 0.0)
                    .collect()
            })
    }

    fn lay(&mut self, node: &mut Node, p: usize) {
        let instance = self.instance;
        let place = node.places.swap_remove(p);
        let placement = place.placement;
        node.left[place.kind] -= 1;
        node.contact += 2.0 * place.contact;
        node.around += self.around[placement.orientation as usize];
        node.placements.push((place.kind, placement));
        // What overlaps is gone, what touches as well touches more.
        let mut places = std::mem::take(&mut node.places);
        self.work += 16 * places.len() as u64;
        places.retain_mut(|other| {
            if node.left[other.kind] == 0 {
                return false;
            }
            let dv = other.placement.v - placement.v;
            let intervals = instance.intervals(placement, other.placement);
            if intervals
                .iter()
                .any(|s| s.lo + SLACK < dv && dv < s.hi - SLACK)
            {
                return false;
            }
            other.contact += contact_at(self.touches(placement, other.placement), dv);
            true
        });
        // Places that touch the new piece.
        for (kind, orientations) in instance.kinds.iter().enumerate() {
            if node.left[kind] == 0 {
                continue;
            }
            for orientation in orientations.clone() {
                for line in self.lines_about(placement, orientation) {
                    let mut own = LinePlacement {
                        orientation: orientation as u32,
                        line,
                        v: 0.0,
                    };
                    for (v, _) in self.touches(placement, own).to_vec() {
                        own.v = placement.v + v;
                        if let Some(place) = self.place(node, kind, own) {
                            places.push(place);
                        }
                    }
                }
            }
        }
        places.sort_by(|a, b| {
            let key = |p: &Place| (p.kind, p.placement.orientation, p.placement.line);
            key(a)
                .cmp(&key(b))
                .then(a.placement.v.total_cmp(&b.placement.v))
        });
        places.dedup_by(|a, b| {
            a.placement.orientation == b.placement.orientation
                && a.placement.line == b.placement.line
                && (a.placement.v - b.placement.v).abs() <= 2.0 * SLACK
        });
        node.places = places;
    }

    /// A place, if it is free and touches enough.
    fn place(&mut self, node: &Node, kind: usize, mut own: LinePlacement) -> Option<Place> {
        let instance = self.instance;
        let reach = instance.reach(own.orientation as usize, i64::from(own.line), self.length)?;
        if own.v < reach.lo - SLACK || own.v > reach.hi + SLACK {
            return None;
        }
        own.v = own.v.clamp(reach.lo, reach.hi);
        let mut contact = self.at_edge(own);
        if own.v == reach.lo {
            contact += instance.outline_of(own).sole();
        }
        self.work += 4 * node.placements.len() as u64;
        for &(_, other) in &node.placements {
            let dv = own.v - other.v;
            let intervals = instance.intervals(other, own);
            // Within the tolerance of contact: made exact at the end.
            if intervals
                .iter()
                .any(|s| s.lo + SLACK < dv && dv < s.hi - SLACK)
            {
                return None;
            }
            contact += contact_at(self.touches(other, own), dv);
        }
        (contact > LEAST * self.around[own.orientation as usize]).then_some(Place {
            kind,
            placement: own,
            contact,
        })
    }
}

/// The length of contact at a position, of several next to each other the longest.
fn contact_at(touches: &[Touch], dv: f64) -> f64 {
    touches
        .iter()
        .filter(|t| (t.0 - dv).abs() <= 2.0 * SLACK)
        .map(|t| t.1)
        .fold(0.0, f64::max)
}
