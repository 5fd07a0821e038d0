//! Which templates a plan needs: pieces of one shape with one fall of the stripes
//! share one, however often they are cut and wherever in their motifs they lie.

use super::congruent::turns;
use super::words::named;
use crate::draw::bands::Fall;
use crate::fabric::{Look, Nap};

use crate::draw::motif_picture::ranges;
use crate::plan::{FabricPlan, PlacedPiece, Plan};
use crate::shape::{Point, Rigid, cross, dot, point};

/// Directions nearer than this (radians) are one, and points nearer than this (mm).
const ALIKE: f64 = 1e-3;
const SAME_MARK_MM: f64 = 0.1;

/// A piece that is cut by a template.
#[derive(Clone)]
pub(super) struct Cut<'a> {
    pub piece: &'a PlacedPiece,
    /// From the motif frame of the piece that is drawn to this one's.
    pub turn: Rigid,
    /// The name of all pieces like it in their motif's copies: motif's letter and piece's,
    /// as in `Ha`.
    short: String,
    /// Which motif, and which of its pieces, counted from 0.
    rank: [usize; 2],
}

/// The measured point of some of the pieces, in the frame of the one that is drawn.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Mark {
    pub at: Point,
    /// Towards the motif's top, where the fabric shows which way up a piece lies: as on the
    /// map, which draws no arrow on plain fabric.
    pub up: Option<Point>,
    /// Which pieces; empty where it is all of them.
    pub names: String,
}

/// One template, and the pieces that are cut by it.
#[derive(Clone)]
pub(super) struct Kind<'a> {
    pub fabric: &'a FabricPlan,
    /// The piece that it is drawn from.
    pub piece: &'a PlacedPiece,
    pub fall: Option<Fall<'a>>,
    /// The bands that cross it, on a plaid.
    pub crossing: Option<Fall<'a>>,
    /// The short name: `Ha`; of several pieces `Ha to Hd`.
    pub short: String,
    /// Motif and piece in words; of several pieces their part.
    pub name: [String; 2],
    /// All pieces that are cut by it.
    pub cuts: Vec<Cut<'a>>,
}

impl<'a> Kind<'a> {
    /// The template of one piece; `blank` where it is not to show its stripes.
    pub(super) fn new(
        plan: &Plan,
        fabric: &'a FabricPlan,
        piece: &'a PlacedPiece,
        blank: bool,
    ) -> Self {
        let map = piece.to_fabric.to_rigid();
        let stripe = fabric.stripe.as_ref().filter(|_| !blank);
        let cut = Cut::new(plan, piece, Rigid::IDENTITY);
        Self {
            fabric,
            piece,
            fall: stripe.map(|s| Fall::on_piece(s, map)),
            crossing: stripe.and_then(|s| Fall::crossing_on_piece(s, map)),
            short: cut.short.clone(),
            name: [piece.motif.clone(), piece.piece.clone()],
            cuts: vec![cut],
        }
    }

    /// The short name, and motif and piece in words: what a template is called once it is cut
    /// out and its caption is gone.
    pub(super) fn title(&self) -> String {
        let [motif, piece] = &self.name;
        format!("{}: {}", self.short, named(motif, piece))
    }

    /// How many pieces are cut by it.
    pub(super) fn count(&self) -> usize {
        self.cuts.len()
    }

    /// How many of these lie wrong side up.
    pub(super) fn reversed(&self) -> usize {
        let reversed = self.cuts.iter().filter(|cut| cut.piece.to_fabric.mirror);
        reversed.count()
    }

    /// The direction of the lengthwise grain, where all pieces have it along one line.
    pub(super) fn grain(&self) -> Option<Point> {
        let own = grain_of(self.piece, Rigid::IDENTITY);
        let mut others = self.cuts.iter().map(|cut| grain_of(cut.piece, cut.turn));
        others
            .all(|other| cross(own, other).abs() < ALIKE)
            .then_some(own)
    }

    /// The measured points of its pieces, alike ones once.
    pub(super) fn marks(&self) -> Vec<Mark> {
        let mut marks: Vec<(Point, Option<Point>, Vec<&Cut<'_>>)> = Vec::new();
        let way_matters = self.fabric.shows_direction();
        for cut in &self.cuts {
            let [x, y] = cut.piece.mark;
            let at = cut.turn.unapply(point(x, y));
            let up = way_matters.then(|| up_of(cut.turn));
            let known = marks.iter_mut().find(|(other, way, _)| {
                let gap = at - *other;
                let one_way = up
                    .zip(*way)
                    .is_none_or(|(up, way)| cross(up, way).abs() < ALIKE && dot(up, way) > 0.0);
                gap.x.hypot(gap.y) < SAME_MARK_MM && one_way
            });
            match known {
                Some((_, _, cuts)) => cuts.push(cut),
                None => marks.push((at, up, vec![cut])),
            }
        }
        let alone = marks.len() == 1;
        let named = marks.into_iter().map(|(at, up, cuts)| Mark {
            at,
            up,
            names: if alone { String::new() } else { shorts(&cuts) },
        });
        named.collect()
    }

    /// The names of all its pieces, or of those that lie wrong side up.
    pub(super) fn labels(&self, reversed_only: bool) -> String {
        let cuts = self.cuts.iter();
        let wanted: Vec<&Cut<'_>> = cuts
            .filter(|cut| !reversed_only || cut.piece.to_fabric.mirror)
            .collect();
        let follows =
            |a: &Cut<'_>, b: &Cut<'_>| a.rank == b.rank && b.piece.copy == a.piece.copy + 1;
        runs(&wanted, follows, |cut| cut.piece.label.clone())
    }

    /// How that piece is turned onto the one that is drawn, if it is cut by it too.
    fn suits(&self, fabric: &FabricPlan, piece: &PlacedPiece) -> Option<Rigid> {
        if self.fabric.fabric() != fabric.fabric() {
            return None;
        }
        let itself = self.piece.motif == piece.motif
            && self.piece.piece == piece.piece
            && self.piece.cut == piece.cut
            && self.piece.finished == piece.finished;
        if itself && self.falls_alike(fabric, piece, Rigid::IDENTITY) {
            return Some(Rigid::IDENTITY);
        }
        // Of several turns, one with the same grain and the same way up.
        let own = grain_of(self.piece, Rigid::IDENTITY);
        turns(self.piece, piece)
            .into_iter()
            .filter(|&turn| self.falls_alike(fabric, piece, turn))
            .min_by_key(|&turn| {
                let grain = cross(own, grain_of(piece, turn)).abs() > ALIKE;
                let up = up_of(turn).y < 1.0 - ALIKE;
                (grain, up)
            })
    }

    /// Whether the stripes of a piece so turned fall as they do in the one that is drawn.
    fn falls_alike(&self, fabric: &FabricPlan, piece: &PlacedPiece, turn: Rigid) -> bool {
        let (Some(fall), Some(stripe)) = (&self.fall, &fabric.stripe) else {
            return self.nap_alike(fabric, piece, turn);
        };
        let map = after(turn, piece.to_fabric.to_rigid());
        let crossing = match (&self.crossing, Fall::crossing_on_piece(stripe, map)) {
            (Some(one), Some(other)) => one.looks_like(&other),
            _ => true,
        };
        // What is printed as single figures is seen nowhere but in its own place.
        let figures = stripe
            .along()
            .is_some_and(|along| matches!(along.look, Look::Figure { .. }));
        let same_place = !figures || is_one_turn(turn);
        same_place && crossing && fall.looks_like(&Fall::on_piece(stripe, map))
    }

    /// Whether the nap of a piece so turned runs as it does in the one that is drawn.
    fn nap_alike(&self, fabric: &FabricPlan, piece: &PlacedPiece, turn: Rigid) -> bool {
        let (own, other) = (grain_of(self.piece, Rigid::IDENTITY), grain_of(piece, turn));
        match fabric.nap {
            Nap::None => true,
            Nap::Shot => cross(own, other).abs() < ALIKE,
            Nap::OneWay => cross(own, other).abs() < ALIKE && dot(own, other) > 0.0,
        }
    }

    fn take(&mut self, plan: &Plan, piece: &'a PlacedPiece, turn: Rigid) {
        self.cuts.push(Cut::new(plan, piece, turn));
    }

    /// Names it by all its pieces, in the order of their motif.
    fn name_all(&mut self, plan: &Plan) {
        // Those of fabric in hand come piece of fabric by piece of fabric.
        self.cuts.sort_by_key(|cut| (cut.rank, cut.piece.copy));
        let cuts: Vec<&Cut<'_>> = self.cuts.iter().collect();
        self.short = shorts(&cuts);
        let same = |name: fn(&PlacedPiece) -> &str| {
            let first = name(self.piece);
            self.cuts.iter().all(|cut| name(cut.piece) == first)
        };
        if !same(|p| &p.motif) {
            self.name = ["several motifs", "several pieces"].map(str::to_owned);
        } else if !same(|p| &p.piece) {
            self.name[1] = if same(|p| &p.part) {
                let part = &self.piece.part;
                let [motif, _] = self.cuts[0].rank;
                let notes = plan.motifs.get(motif).map_or(&[][..], |m| &m.pieces[..]);
                // The wedges of a part follow each other among its motif's pieces.
                let of_part = (0..notes.len()).filter(|&at| notes[at].part == *part);
                let of_part: Vec<usize> = of_part.collect();
                let number = |cut: &Cut<'_>| of_part.iter().position(|&at| at == cut.rank[1]);
                let numbers: Option<Vec<usize>> =
                    self.cuts.iter().map(|cut| Some(number(cut)? + 1)).collect();
                numbers
                    .and_then(|numbers| wedges_of(part, numbers, of_part.len()))
                    .unwrap_or_else(|| part.clone())
            } else {
                "several pieces".to_owned()
            };
        }
    }
}

impl<'a> Cut<'a> {
    fn new(plan: &Plan, piece: &'a PlacedPiece, turn: Rigid) -> Self {
        let rank = rank(plan, piece);
        let motif = plan.motifs.get(rank[0]);
        let note = motif.and_then(|m| m.pieces.get(rank[1]));
        let short = match (motif, note) {
            (Some(motif), Some(note)) => format!("{}{}", motif.letter, note.mark),
            _ => piece.label.clone(),
        };
        Self {
            piece,
            turn,
            short,
            rank,
        }
    }
}

/// Which motif of the plan, and which of its pieces.
fn rank(plan: &Plan, piece: &PlacedPiece) -> [usize; 2] {
    let motif = plan.motifs.iter().position(|m| m.name == piece.motif);
    let note = motif.and_then(|m| {
        let pieces = &plan.motifs[m].pieces;
        pieces.iter().position(|note| note.piece == piece.piece)
    });
    [motif.unwrap_or(usize::MAX), note.unwrap_or(usize::MAX)]
}

/// The short names of pieces, each once.
fn shorts(cuts: &[&Cut<'_>]) -> String {
    let mut once = cuts.to_vec();
    once.dedup_by(|b, a| a.rank == b.rank);
    let follows = |a: &Cut<'_>, b: &Cut<'_>| a.rank[0] == b.rank[0] && b.rank[1] == a.rank[1] + 1;
    runs(&once, follows, |cut| cut.short.clone())
}

/// `a`, `a, b`, `a to d, f`: three or more that follow each other are told by the first
/// and the last.
fn runs(
    cuts: &[&Cut<'_>],
    follows: impl Fn(&Cut<'_>, &Cut<'_>) -> bool,
    name: impl Fn(&Cut<'_>) -> String,
) -> String {
    let told: Vec<String> = cuts
        .chunk_by(|a, b| follows(a, b))
        .map(|run| match run {
            [first, _, .., last] => format!("{} to {}", name(first), name(last)),
            few => few
                .iter()
                .map(|cut| name(cut))
                .collect::<Vec<_>>()
                .join(", "),
        })
        .collect();
    told.join(", ")
}

/// The lengthwise grain of a piece, in the frame of the one that is drawn.
fn grain_of(piece: &PlacedPiece, turn: Rigid) -> Point {
    turn.unturn(piece.to_fabric.to_rigid().unturn(point(0.0, 1.0)))
}

/// The way to the motif's top, in the frame of the piece that is drawn.
fn up_of(turn: Rigid) -> Point {
    turn.unturn(point(0.0, 1.0))
}

fn is_one_turn(turn: Rigid) -> bool {
    up_of(turn).y > 1.0 - 1e-9 && turn.shift.x.hypot(turn.shift.y) < SAME_MARK_MM
}

/// First a turn, then the map to the fabric.
fn after(turn: Rigid, map: Rigid) -> Rigid {
    // A mirror turns what was turned before it the other way round.
    let turned = if map.mirror {
        -turn.rotate_rad
    } else {
        turn.rotate_rad
    };
    let both = Rigid {
        rotate_rad: map.rotate_rad + turned,
        ..map
    };
    both.moved_to(map.apply(turn.shift))
}

/// All templates of a plan, in the order of its fabrics and pieces.
pub(super) fn kinds(plan: &Plan, blank: bool) -> Vec<Kind<'_>> {
    let mut kinds: Vec<Kind<'_>> = Vec::new();
    for fabric in &plan.fabrics {
        let mut order: Vec<&PlacedPiece> = fabric.placements.iter().collect();
        order.sort_by_key(|piece| (rank(plan, piece), piece.copy));
        for piece in order {
            let found = kinds
                .iter_mut()
                .find_map(|kind| Some((kind.suits(fabric, piece)?, kind)));
            match found {
                Some((turn, kind)) => kind.take(plan, piece, turn),
                None => kinds.push(Kind::new(plan, fabric, piece, blank)),
            }
        }
    }
    for kind in &mut kinds {
        kind.name_all(plan);
    }
    tell_apart(&mut kinds);
    kinds
}

/// `wheel, wedges 1 and 3 of 4`: some of the wedges of a part, by their numbers from 1. A part
/// of a single piece has none.
fn wedges_of(part: &str, mut numbers: Vec<usize>, all: usize) -> Option<String> {
    numbers.sort_unstable();
    numbers.dedup();
    match all {
        0 | 1 => None,
        2 if numbers.len() == 2 => Some(format!("{part}, both wedges")),
        _ if numbers.len() == all => Some(format!("{part}, all {all} wedges")),
        _ => Some(format!("{part}, wedges {} of {all}", ranges(&numbers))),
    }
}

/// Pieces of one name whose stripes fall differently have templates of their own: these are
/// told apart by the copies of the motif that they are for, and where that does not do by a
/// number.
fn tell_apart(kinds: &mut [Kind<'_>]) {
    let names: Vec<String> = kinds.iter().map(|kind| kind.short.clone()).collect();
    for (i, kind) in kinds.iter_mut().enumerate() {
        if names.iter().filter(|name| **name == names[i]).count() > 1 {
            let mut copies: Vec<usize> = kind.cuts.iter().map(|cut| cut.piece.copy).collect();
            copies.sort_unstable();
            copies.dedup();
            let word = if copies.len() == 1 { "copy" } else { "copies" };
            kind.short = format!("{} ({word} {})", names[i], ranges(&copies));
        }
    }
    let names: Vec<String> = kinds.iter().map(|kind| kind.short.clone()).collect();
    for (i, kind) in kinds.iter_mut().enumerate() {
        let same = |upto: usize| names[..upto].iter().filter(|n| **n == names[i]).count();
        if same(names.len()) > 1 {
            kind.short = format!("{} ({})", names[i], same(i) + 1);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::distance;

    #[test]
    fn wedges_are_told_by_their_numbers() {
        let of = |numbers: &[usize]| wedges_of("wheel", numbers.to_vec(), 6);
        assert_eq!(of(&[3, 1]).unwrap(), "wheel, wedges 1 and 3 of 6");
        assert_eq!(
            of(&[1, 2, 3, 5]).unwrap(),
            "wheel, wedges 1 to 3 and 5 of 6"
        );
        assert_eq!(of(&[1, 2, 3, 4, 5, 6]).unwrap(), "wheel, all 6 wedges");
        assert_eq!(wedges_of("cap", vec![1], 1), None);
        let both = wedges_of("float", vec![2, 1], 2);
        assert_eq!(both.unwrap(), "float, both wedges");
    }

    #[test]
    fn a_turn_and_then_a_map_are_one_map() {
        for mirror in [false, true] {
            let turn = Rigid {
                rotate_rad: 0.7,
                mirror: false,
                shift: point(3.0, -5.0),
            };
            let map = Rigid {
                rotate_rad: -2.1,
                mirror,
                shift: point(40.0, 9.0),
            };
            for p in [point(0.0, 0.0), point(11.0, 2.0), point(-4.0, 8.0)] {
                let gap = distance(after(turn, map).apply(p), map.apply(turn.apply(p)));
                assert!(gap < 1e-9, "{gap}");
            }
        }
    }
}
