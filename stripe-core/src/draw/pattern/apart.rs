//! The pieces of one motif and fabric, slid apart on the stripe: along it by as little as will
//! do, across it by whole repeats only, until no two cut lines overlap.

use super::natural::natural;
use crate::draw::error::DrawError;
use crate::draw::validate::validate;
use crate::length::{INCH_MM, Unit};
use crate::plan::{MotifNote, PlacedPiece, Plan};
use crate::shape::offset::grow;
use crate::shape::ring::rings;
use crate::shape::{Point, Region, Rigid, corners_of, point};
use geo::{ConvexHull, Simplify};
use std::collections::BTreeMap;

/// Pieces are moved across by so many repeats at most.
const MOST_REPEATS: i64 = 3;
/// So many pieces of a motif are slid apart at most: more do not go on one page, and wedges of
/// one fan are laid one like the other.
const MOST_PIECES: usize = 16;
/// An outline of more corners than this is taken a little simpler, and by so much (mm) larger ..
const MANY_CORNERS: usize = 300;
const SIMPLER_MM: f64 = 0.05;
/// .. and one of more than this as its hull, so that no plan is drawn for ever.
const MOST_CORNERS: usize = 800;
/// Orders in which pieces are tried: all of so few pieces, else every piece as the first.
const ALL_ORDERS_OF: usize = 5;
/// Lines nearer to each other than this (mm) only touch.
const TOUCH_MM: f64 = 1e-6;
/// The repeats of other stripes that are looked at reach up to this (mm): 24 in.
const WIDEST_MM: f64 = 24.0 * INCH_MM;
/// .. and are this far from each other: 1/16 in.
const REPEAT_STEP_MM: f64 = INCH_MM / 16.0;

/// How far one piece is moved from its place in the motif.
#[derive(Debug, Clone, PartialEq)]
pub struct Move {
    /// The piece's letter in its motif.
    pub mark: String,
    /// Its id in the plan.
    pub id: String,
    /// By how many repeats it is moved to the right; left is below 0.
    pub repeats: i64,
    /// How far it is moved along the stripe, away from the maker (mm): in steps that a ruler
    /// has. Towards her is below 0.
    pub along_mm: f64,
    /// From the motif frame to the stripe's own before it is moved: x is to the right of a
    /// centre line, y along the stripe.
    pub in_place: Rigid,
    /// The same where it lies in the end.
    pub on_stripe: Rigid,
}

/// The pieces of a motif that are cut from one striped fabric, slid apart.
#[derive(Debug, Clone, PartialEq)]
pub struct SlidApart {
    /// The motif.
    pub motif: String,
    /// The fabric, by its name in the plan.
    pub fabric: String,
    /// The repeat that is drawn: the designer's (mm).
    pub repeat_mm: f64,
    /// Every piece once, in the motif's order.
    pub moves: Vec<Move>,
    /// The same moves hold for a stripe whose repeat is from this (mm) ..
    pub from_mm: f64,
    /// .. up to this; nothing where no repeat is too wide.
    pub to_mm: Option<f64>,
    /// How many more pieces the motif has of this fabric, which are laid in the same way.
    pub left_out: usize,
    /// Whether what repeats along the stripe, on a plaid or a print, must match too: then it
    /// repeats after this (mm), and pieces are moved along by whole repeats of it.
    pub along_repeat_mm: Option<f64>,
}

/// The pieces of all motifs slid apart, motif by motif, one for each striped fabric.
///
/// # Errors
/// A plan that cannot be drawn.
pub fn slid_apart(plan: &Plan) -> Result<Vec<SlidApart>, DrawError> {
    validate(plan)?;
    let motifs = plan.motifs.iter();
    Ok(motifs.flat_map(|motif| of_motif(plan, motif)).collect())
}

fn of_motif(plan: &Plan, motif: &MotifNote) -> Vec<SlidApart> {
    let mut found: Vec<SlidApart> = Vec::new();
    for fabric in &plan.fabrics {
        let Some(stripe) = &fabric.stripe else {
            continue;
        };
        if found.iter().any(|one| one.fabric == fabric.fabric()) {
            continue;
        }
        // A piece of the first copy, wherever of its fabric that lies.
        let same = plan
            .fabrics
            .iter()
            .filter(|one| one.fabric() == fabric.fabric());
        let placed = same
            .flat_map(|one| &one.placements)
            .filter(|piece| piece.motif == motif.name);
        let mut firsts: BTreeMap<&str, &PlacedPiece> = BTreeMap::new();
        for piece in placed {
            let first = firsts.entry(&piece.piece).or_insert(piece);
            if piece.copy < first.copy {
                *first = piece;
            }
        }
        let known = motif.pieces.iter().filter_map(|note| {
            let piece = *firsts.get(note.piece.as_str())?;
            Some((note, piece, natural(piece, stripe)?))
        });
        let known: Vec<_> = known.collect();
        if known.is_empty() {
            continue;
        }
        let left_out = known.len().saturating_sub(MOST_PIECES);
        let these = known.into_iter().take(MOST_PIECES);
        let lying =
            these.map(|(note, piece, map)| Lying::new(&note.mark, piece, map, plan.making.gap_mm));
        let pieces: Vec<Lying<'_>> = lying.collect();
        let grid = Grid {
            repeat_mm: stripe.repeat_mm(),
            step_mm: match plan.unit {
                Unit::Inch => INCH_MM / 16.0,
                Unit::Centimetre | Unit::Millimetre => 1.0,
            },
            along: stripe
                .along()
                .map(|along| [along.repeat_mm, along.shear_mm]),
        };
        found.push(SlidApart {
            motif: motif.name.clone(),
            fabric: fabric.fabric().to_owned(),
            left_out,
            ..grid.spread(&pieces)
        });
    }
    found
}

/// A piece in its place in the motif, on the stripe.
struct Lying<'a> {
    mark: &'a str,
    piece: &'a PlacedPiece,
    map: Rigid,
    /// Its cut line grown by half the gap.
    outline: Vec<Vec<Point>>,
}

impl<'a> Lying<'a> {
    fn new(mark: &'a str, piece: &'a PlacedPiece, map: Rigid, gap_mm: f64) -> Self {
        let corners = |region: &Region| rings(region).map(<[Point]>::len).sum::<usize>();
        let mut laid = map.apply_to(&piece.cut_region());
        let mut gap_mm = gap_mm;
        if corners(&laid) > MANY_CORNERS {
            laid = laid.simplify(SIMPLER_MM);
            gap_mm += 2.0 * SIMPLER_MM;
        }
        if corners(&laid) > MOST_CORNERS {
            laid = laid.convex_hull();
        }
        let edges: usize = rings(&laid).map(<[Point]>::len).sum();
        let grown: Region = grow(&laid, &vec![gap_mm / 2.0; edges]);
        Self {
            mark,
            piece,
            map,
            outline: rings(&grown).map(<[Point]>::to_vec).collect(),
        }
    }
}

/// Where pieces may be moved to.
struct Grid {
    repeat_mm: f64,
    /// Moves along the stripe are whole steps of this.
    step_mm: f64,
    /// What repeats along the stripe, and by how much it is further along one repeat across.
    along: Option<[f64; 2]>,
}

/// So many repeats across, so far along.
type Place = (i64, f64);

impl Grid {
    fn spread(&self, pieces: &[Lying<'_>]) -> SlidApart {
        let mut tables: BTreeMap<(usize, usize, i64), Vec<[f64; 2]>> = BTreeMap::new();
        let mut best: Option<(f64, Vec<Place>)> = None;
        for order in orders(pieces.len()) {
            let places = self.in_order(pieces, &order, &mut tables);
            let cost = places.iter().map(|place| self.moved(place)).sum::<f64>();
            if best.as_ref().is_none_or(|(least, _)| cost < least - 1e-9) {
                best = Some((cost, places));
            }
        }
        let places = best.map_or_else(Vec::new, |(_, places)| places);
        let (from_mm, to_mm) = self.holds_for(pieces, &places);
        let moves = pieces
            .iter()
            .zip(&places)
            .map(|(one, &(repeats, along_mm))| {
                let by = point(repeats as f64 * self.repeat_mm, along_mm);
                Move {
                    mark: one.mark.to_owned(),
                    id: one.piece.id.clone(),
                    repeats,
                    along_mm,
                    in_place: one.map,
                    on_stripe: one.map.moved_to(one.map.shift + by),
                }
            });
        SlidApart {
            motif: String::new(),
            fabric: String::new(),
            repeat_mm: self.repeat_mm,
            moves: moves.collect(),
            from_mm,
            to_mm,
            left_out: 0,
            along_repeat_mm: self.along.map(|[repeat, _]| repeat),
        }
    }

    fn moved(&self, &(repeats, along_mm): &Place) -> f64 {
        repeats.unsigned_abs() as f64 * self.repeat_mm + along_mm.abs()
    }

    /// Places the pieces one after the other, each as near to its place in the motif as those
    /// before it leave room.
    fn in_order(
        &self,
        pieces: &[Lying<'_>],
        order: &[usize],
        tables: &mut BTreeMap<(usize, usize, i64), Vec<[f64; 2]>>,
    ) -> Vec<Place> {
        let mut places: Vec<Option<Place>> = vec![None; pieces.len()];
        for &i in order {
            let mut best: Option<(f64, Place)> = None;
            for repeats in -MOST_REPEATS..=MOST_REPEATS {
                let mut taken: Vec<[f64; 2]> = Vec::new();
                for (j, place) in places.iter().enumerate() {
                    let Some((there, along_mm)) = place else {
                        continue;
                    };
                    let steps = repeats - there;
                    let free = tables.entry((j, i, steps)).or_insert_with(|| {
                        let across = steps as f64 * self.repeat_mm;
                        forbidden(&pieces[j].outline, &pieces[i].outline, across)
                    });
                    taken.extend(free.iter().map(|[lo, hi]| [lo + along_mm, hi + along_mm]));
                }
                let Some(along_mm) = self.nearest(repeats, &taken) else {
                    continue;
                };
                let place = (repeats, along_mm);
                let cost = self.moved(&place);
                if best.is_none_or(|(least, _)| cost < least - 1e-9) {
                    best = Some((cost, place));
                }
            }
            places[i] = best.map(|(_, place)| place);
        }
        places
            .into_iter()
            .map(|place| place.unwrap_or((0, 0.0)))
            .collect()
    }

    /// The place along the stripe nearest to none that is not taken, on the ruler's steps or
    /// on the lattice of what repeats along.
    fn nearest(&self, repeats: i64, taken: &[[f64; 2]]) -> Option<f64> {
        let (step, first) = match self.along {
            Some([repeat, shear]) => (repeat, shear * repeats as f64),
            None => (self.step_mm, 0.0),
        };
        let is_free = |v: f64| {
            let clear = |[lo, hi]: &[f64; 2]| v <= lo + TOUCH_MM || v >= hi - TOUCH_MM;
            taken.iter().all(clear)
        };
        // Free places begin at the ends of what is taken.
        let ends = taken.iter().flatten().flat_map(|end| {
            let at = ((end - first) / step).round();
            [-1.0, 0.0, 1.0].map(|more| first + step * (at + more))
        });
        let around = ((0.0 - first) / step).round() * step + first;
        let all = ends.chain([around, around - step, around + step]);
        all.filter(|&v| is_free(v)).min_by(|a, b| {
            // Of two as near, the one towards the maker.
            a.abs().total_cmp(&b.abs()).then(a.total_cmp(b))
        })
    }

    /// For which other repeats the same moves keep all pieces apart.
    fn holds_for(&self, pieces: &[Lying<'_>], places: &[Place]) -> (f64, Option<f64>) {
        let apart = |repeat_mm: f64| {
            (0..pieces.len()).all(|j| {
                (j + 1..pieces.len()).all(|i| {
                    let steps = places[i].0 - places[j].0;
                    let along_mm = places[i].1 - places[j].1;
                    if steps == 0 {
                        return true;
                    }
                    let across = steps as f64 * repeat_mm;
                    let taken = forbidden(&pieces[j].outline, &pieces[i].outline, across);
                    taken
                        .iter()
                        .all(|[lo, hi]| along_mm <= lo + TOUCH_MM || along_mm >= hi - TOUCH_MM)
                })
            })
        };
        if places.iter().all(|(repeats, _)| *repeats == 0) {
            return (0.0, None);
        }
        let below =
            (1..).map(|i| REPEAT_STEP_MM * (self.repeat_mm / REPEAT_STEP_MM - f64::from(i)).ceil());
        let mut from_mm = self.repeat_mm;
        for repeat_mm in below.take_while(|&mm| mm > 0.0) {
            if !apart(repeat_mm) {
                break;
            }
            from_mm = repeat_mm;
        }
        let above = (1..)
            .map(|i| REPEAT_STEP_MM * (self.repeat_mm / REPEAT_STEP_MM + f64::from(i)).floor());
        let mut last = self.repeat_mm;
        for repeat_mm in above.take_while(|&mm| mm < WIDEST_MM) {
            if !apart(repeat_mm) {
                return (from_mm, Some(last));
            }
            last = repeat_mm;
        }
        (from_mm, None)
    }
}

/// Orders in which pieces may be laid down.
fn orders(count: usize) -> Vec<Vec<usize>> {
    if count > ALL_ORDERS_OF {
        let from = |first: usize| (0..count).map(|i| (first + i) % count).collect();
        return (0..count).map(from).collect();
    }
    let mut orders: Vec<Vec<usize>> = vec![vec![]];
    for _ in 0..count {
        orders = orders
            .into_iter()
            .flat_map(|order| {
                let rest: Vec<usize> = (0..count).filter(|i| !order.contains(i)).collect();
                rest.into_iter().map(move |i| [&order[..], &[i]].concat())
            })
            .collect();
    }
    orders
}

/// Where along y the second outline must not lie once it is moved that far across: open
/// intervals, perhaps overlapping.
///
/// **Method** as the layout's own tables have it: between two neighbouring x of corners both
/// outlines are trapezoids, and each pair of them forbids one interval, whose ends are
/// extremes at one of the two x.
fn forbidden(a: &[Vec<Point>], b: &[Vec<Point>], across_mm: f64) -> Vec<[f64; 2]> {
    let [a_low, a_high] = corners_of(a.iter().flatten());
    let [b_low, b_high] = corners_of(b.iter().flatten());
    if b_low.x + across_mm >= a_high.x || b_high.x + across_mm <= a_low.x {
        return Vec::new();
    }
    let corners = a.iter().flatten().map(|p| p.x);
    let moved = b.iter().flatten().map(|p| p.x + across_mm);
    let mut cuts: Vec<f64> = corners.chain(moved).collect();
    cuts.sort_by(f64::total_cmp);
    let mut found: Vec<[f64; 2]> = Vec::new();
    for pair in cuts.windows(2) {
        let [from, to] = [pair[0], pair[1]];
        if to - from < TOUCH_MM {
            continue;
        }
        let here = chords(a, from, to);
        if here.is_empty() {
            continue;
        }
        for [low, high] in chords(b, from - across_mm, to - across_mm) {
            for [other_low, other_high] in &here {
                let lo = (0..2)
                    .map(|end| other_low[end] - high[end])
                    .fold(f64::MAX, f64::min);
                let hi = (0..2)
                    .map(|end| other_high[end] - low[end])
                    .fold(f64::MIN, f64::max);
                match found
                    .iter_mut()
                    .rev()
                    .take(8)
                    .find(|[l, h]| lo < *h && *l < hi)
                {
                    Some([l, h]) => (*l, *h) = (l.min(lo), h.max(hi)),
                    None => found.push([lo, hi]),
                }
            }
        }
    }
    found
}

/// The trapezoids of rings between two x with no corner between: lower and upper edge, each by
/// its y at either x.
fn chords(rings: &[Vec<Point>], from: f64, to: f64) -> Vec<[[f64; 2]; 2]> {
    let middle = f64::midpoint(from, to);
    let mut edges: Vec<[f64; 2]> = Vec::new();
    for ring in rings {
        for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            if (a.x > middle) != (b.x > middle) {
                let at = |x: f64| a.y + (x - a.x) / (b.x - a.x) * (b.y - a.y);
                edges.push([at(from), at(to)]);
            }
        }
    }
    edges.sort_by(|a, b| (a[0] + a[1]).total_cmp(&(b[0] + b[1])));
    edges
        .chunks_exact(2)
        .map(|pair| [pair[0], pair[1]])
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x: f64, y: f64, side: f64) -> Vec<Vec<Point>> {
        vec![
            [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)]
                .map(|(u, v)| point(x + u, y + v))
                .to_vec(),
        ]
    }

    /// Two squares of side s whose lower left corners are (dx, dy) apart overlap where |dx| < s and
    /// |dy| < s.
    #[test]
    fn squares_forbid_their_side() {
        let (a, b) = (square(0.0, 0.0, 10.0), square(2.0, 1.0, 10.0));
        for across in [-11.9, -3.0, 0.0, 7.9] {
            let taken = forbidden(&a, &b, across);
            let low = taken.iter().map(|t| t[0]).fold(f64::MAX, f64::min);
            let high = taken.iter().map(|t| t[1]).fold(f64::MIN, f64::max);
            assert!(
                (low + 11.0).abs() < 1e-9 && (high - 9.0).abs() < 1e-9,
                "{taken:?}"
            );
        }
        assert!(forbidden(&a, &b, 8.1).is_empty() && forbidden(&a, &b, -12.1).is_empty());
    }

    #[test]
    fn all_orders_of_few_and_some_of_many() {
        assert_eq!(orders(4).len(), 24);
        assert_eq!(orders(7).len(), 7);
        assert!(orders(3).contains(&vec![2, 0, 1]));
    }
}
