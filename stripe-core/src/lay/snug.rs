//! Laying pieces where they fit snugly: walls along walls.
//!
//! A beam search that grows a layout piece by piece, each where its outline runs
//! along those that lie already, or along the fabric's edges. Of all lays with so
//! many pieces, those live on whose outlines touch over the greatest share.
//! Shapes that were parted from each other come together again; shapes that do
//! not fit each other are soon given up.
//!
//! # Source
//! The "touching perimeter" rule of rectangle packing: A. Lodi, S. Martello and
//! D. Vigo, "Heuristic and metaheuristic approaches for a class of
//! two-dimensional bin packing problems" (1999); from memory.

use super::board::{Board, Seat};
use super::first::{copies, length_of, places};
use super::search::is_valid;
use super::settle::drop_down;
use std::collections::BTreeMap;

/// Lays that go on side by side.
const WIDTH: usize = 100;

/// Less contact than this share of an outline is none.
const LEAST: f64 = 0.12;

/// After so many pieces a layout of which less than this share touches is given up:
/// what was parted touches all around.
const ENOUGH: usize = 6;
const LEAST_SHARE: f64 = 0.9;

/// Rounded shapes may cut into each other by so many ticks until all is made
/// exact at the end.
const SLACK: f64 = 100.0;

/// A place that touches something.
#[derive(Debug, Clone, Copy)]
struct Place {
    kind: usize,
    seat: Seat,
    contact: f64,
}

#[derive(Debug, Clone)]
struct Node {
    seats: Vec<(usize, Seat)>,
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

/// A position along at which two forms touch, and over what length.
type Touch = (f64, f64);

struct Snug<'a> {
    board: &'a Board,
    length: f64,
    /// All lines of each form.
    lines: Vec<Vec<i32>>,
    /// Circumference by form.
    around: Vec<f64>,
    touches: BTreeMap<(u32, u32, i64), Box<[Touch]>>,
    /// Interval visits so far.
    work: u64,
}

/// A lay in which most outlines run along others, if one is found within a
/// length (ticks) and some interval visits: one seat an item.
pub(crate) fn lay_snugly(
    board: &Board,
    length: f64,
    work: u64,
    stop: &dyn Fn() -> bool,
) -> Option<Vec<Seat>> {
    let mut snug = Snug {
        board,
        length,
        lines: (0..board.forms.len())
            .map(|f| board.lines(f, 0, length).iter().map(|l| l.0).collect())
            .collect(),
        around: board
            .forms
            .iter()
            .map(|f| board.outlines[f.shape].circumference())
            .collect(),
        touches: BTreeMap::new(),
        work: 0,
    };
    let left = copies(board);
    // A board may know kinds of which none are to be laid.
    let mut on_edges = snug.on_edges();
    on_edges.retain(|place| left[place.kind] > 0);
    let root = Node {
        places: on_edges,
        seats: Vec::new(),
        left,
        contact: 0.0,
        around: 0.0,
        hash: 0,
    };
    let mut nodes = vec![root];
    for _ in 0..board.items.len() {
        let best = &nodes[0];
        let touches = best.seats.len() < ENOUGH || best.share() >= LEAST_SHARE;
        if !touches || snug.work >= work || stop() {
            return None;
        }
        let mut children: Vec<(f64, u64, usize, usize)> = Vec::new();
        for (n, node) in nodes.iter().enumerate() {
            for (p, place) in node.places.iter().enumerate() {
                let contact = node.contact + 2.0 * place.contact;
                let around = node.around + snug.around[place.seat.form as usize];
                let hash = node.hash ^ place.seat.hash();
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
                snug.lay(&mut node, p);
                node
            })
            .collect();
    }
    // Rounded shapes were let cut into each other: only what can be made exact stands.
    nodes
        .iter()
        .filter_map(|n| {
            let mut seats = places(board, &n.seats)?;
            drop_down(board, &mut seats);
            let length = length_of(board, &seats);
            is_valid(board, &seats, length).then_some((length, seats))
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|best| best.1)
}

impl Snug<'_> {
    /// Places along the cut end and the selvages.
    fn on_edges(&self) -> Vec<Place> {
        let board = self.board;
        let mut places = Vec::new();
        for (kind, forms) in board.kinds.iter().enumerate() {
            for form in forms.clone() {
                for &line in &self.lines[form] {
                    let Some(reach) = board.reach(form, i64::from(line), self.length) else {
                        continue;
                    };
                    let seat = Seat {
                        form: form as u32,
                        line,
                        v: reach.lo,
                    };
                    let contact =
                        self.at_edge(seat) + board.outlines[board.forms[form].shape].sole();
                    if contact > LEAST * self.around[form] {
                        places.push(Place {
                            kind,
                            seat,
                            contact,
                        });
                    }
                }
            }
        }
        places
    }

    /// The length over which a seat runs along the selvages.
    fn at_edge(&self, seat: Seat) -> f64 {
        let board = self.board;
        let outline = board.outline_of(seat);
        let u = board.u(seat.form as usize, i64::from(seat.line));
        let (left, right) = outline.sides();
        let mut contact = 0.0;
        if (u + outline.across().lo + board.margin()).abs() < 10.0 {
            contact += left;
        }
        if (u + outline.across().hi - board.width() - board.margin()).abs() < 10.0 {
            contact += right;
        }
        contact
    }

    /// The lines of a form on which it may touch a seat. On plain fabric, of which
    /// every line is one, those on which vertices come side by side.
    fn lines_about(&self, seat: Seat, form: usize) -> Vec<i32> {
        let board = self.board;
        if !board.is_plane() {
            return self.lines[form].clone();
        }
        let u = board.u(seat.form as usize, i64::from(seat.line));
        let (own, other) = (
            &board.outlines[board.forms[form].shape],
            board.outline_of(seat),
        );
        let meets = other
            .cuts()
            .iter()
            .flat_map(|a| own.cuts().iter().map(move |b| u + a - b));
        let mut lines: Vec<i32> = meets.map(|u| board.line_at(form, u)).collect();
        lines.sort_unstable();
        lines.dedup();
        lines
    }

    /// Where `b` touches `a` (positions of `b` relative to `a`).
    fn touches(&mut self, a: Seat, b: Seat) -> &[Touch] {
        let board = self.board;
        let lines = i64::from(b.line) - i64::from(a.line);
        self.touches
            .entry((a.form, b.form, lines))
            .or_insert_with(|| {
                let du = board.u(b.form as usize, i64::from(b.line))
                    - board.u(a.form as usize, i64::from(a.line));
                let (oa, ob) = (board.outline_of(a), board.outline_of(b));
                self.work += 100;
                let ends = board.spans(a, b).iter().flat_map(|s| [s.lo, s.hi]);
                ends.map(|v| (v, oa.contact(ob, du.round(), v)))
                    .filter(|t| t.1 > 0.0)
                    .collect()
            })
    }

    fn lay(&mut self, node: &mut Node, p: usize) {
        let board = self.board;
        let place = node.places.swap_remove(p);
        let seat = place.seat;
        node.left[place.kind] -= 1;
        node.contact += 2.0 * place.contact;
        node.around += self.around[seat.form as usize];
        node.seats.push((place.kind, seat));
        // What overlaps is gone, what touches as well touches more.
        let mut places = std::mem::take(&mut node.places);
        self.work += 16 * places.len() as u64;
        places.retain_mut(|other| {
            if node.left[other.kind] == 0 {
                return false;
            }
            let dv = other.seat.v - seat.v;
            let spans = board.spans(seat, other.seat);
            if spans.iter().any(|s| s.lo + SLACK < dv && dv < s.hi - SLACK) {
                return false;
            }
            other.contact += contact_at(self.touches(seat, other.seat), dv);
            true
        });
        // Places that touch the new piece.
        for (kind, forms) in board.kinds.iter().enumerate() {
            if node.left[kind] == 0 {
                continue;
            }
            for form in forms.clone() {
                for line in self.lines_about(seat, form) {
                    let mut own = Seat {
                        form: form as u32,
                        line,
                        v: 0.0,
                    };
                    for (v, _) in self.touches(seat, own).to_vec() {
                        own.v = seat.v + v;
                        if let Some(place) = self.place(node, kind, own) {
                            places.push(place);
                        }
                    }
                }
            }
        }
        places.sort_by(|a, b| {
            let key = |p: &Place| (p.kind, p.seat.form, p.seat.line);
            key(a).cmp(&key(b)).then(a.seat.v.total_cmp(&b.seat.v))
        });
        places.dedup_by(|a, b| {
            a.seat.form == b.seat.form
                && a.seat.line == b.seat.line
                && (a.seat.v - b.seat.v).abs() <= 2.0 * SLACK
        });
        node.places = places;
    }

    /// A place, if it is free and touches enough.
    fn place(&mut self, node: &Node, kind: usize, mut own: Seat) -> Option<Place> {
        let board = self.board;
        let reach = board.reach(own.form as usize, i64::from(own.line), self.length)?;
        if own.v < reach.lo - SLACK || own.v > reach.hi + SLACK {
            return None;
        }
        own.v = own.v.clamp(reach.lo, reach.hi);
        let mut contact = self.at_edge(own);
        if own.v == reach.lo {
            contact += board.outline_of(own).sole();
        }
        self.work += 4 * node.seats.len() as u64;
        for &(_, other) in &node.seats {
            let dv = own.v - other.v;
            let spans = board.spans(other, own);
            // Within the tolerance of contact: made exact at the end.
            if spans.iter().any(|s| s.lo + SLACK < dv && dv < s.hi - SLACK) {
                return None;
            }
            contact += contact_at(self.touches(other, own), dv);
        }
        (contact > LEAST * self.around[own.form as usize]).then_some(Place {
            kind,
            seat: own,
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
