//! Will it match? How often the joints of a plan are noticed where the fabric and the maker's
//! hand are a little off.
//!
//! A stripe that runs `e` wide and leans by `s` lies, at `u` from where the first band begins
//! and `v` along it, by `e u + s v` from its place on the map. A piece that is laid `x` off
//! shows the stripe by `x` less that. What a joint misses is the difference of its two pieces.
//!
//! - **By the ruler** the piece lies where the map has it: all of `e u + s v` counts, and it
//!   grows from the left selvage and the cut end on.
//! - **By the stripe** the template's ticks lie on the stripe that is there, in the middle of
//!   the piece and turned as it leans: of `e u` what is left is `e` times the distance from
//!   that middle, and of `s v` nothing.
//!
//! Own derivation. The second repeat of a plaid is not asked about, nor are colours: a step
//! within one band counts as well.

use crate::matching::{CUT_ERROR_MM, NOTICED_MM, SKEW_PERCENT};
use crate::num::nearest_multiple_gap;
use crate::record::{
    DelicateNote, ErrorsNote, FabricPlan, JointNote, LikelyNote, Missed, MotifMissed, PlacedPiece,
    Plan,
};
use crate::rng::Rng;
use crate::shape::ring::{extent, rings};
use crate::shape::{Point, Region, dot, point, unit};
use geo::{Distance, Euclidean};
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// The errors: woven stripes seldom differ by more from repeat to repeat (common practice, no
/// source); skew and laying as [`crate::matching::Exactness`] asks about them.
const ERRORS: ErrorsNote = ErrorsNote {
    repeat: 0.005,
    skew: SKEW_PERCENT / 100.0,
    laying_mm: CUT_ERROR_MM,
};
/// What scissors need between two cut lines (mm): 1/32 in (common practice, no source).
const SCISSORS_MM: f64 = 25.4 / 32.0;
/// Trials: of as many a share is known to a hundredth (three deviations of sqrt(p q / n)).
const TRIALS: usize = 10_000;
/// The fewest trials, and the steps worked out in all where there are very many joints.
const LEAST_TRIALS: usize = 100;
const MOST_STEPS: usize = 20_000_000;
/// Trials of one task: sums of counts come out the same, whoever makes them.
const TASK: usize = 500;
/// So many delicate joints are named.
const MOST_DELICATE: usize = 5;
/// So many images of a stripe under its symmetry are compared, the best ones.
const MOST_IMAGES: usize = 4;

/// What small errors do to a plan's joints; nothing where no two striped pieces match.
///
/// Errors are thrown by the plan's seed and each trial's number: the same plan gives the same
/// note on any number of threads.
pub fn likely(plan: &Plan) -> Option<LikelyNote> {
    let noticed_mm = plan.making.stripe_tolerance_mm.max(NOTICED_MM);
    let asked = Asked::new(plan, noticed_mm);
    if asked.joints.is_empty() {
        return None;
    }
    let steps: usize = asked
        .joints
        .iter()
        .map(|joint| 8 * joint.images.len())
        .sum();
    let trials = (MOST_STEPS / steps).clamp(LEAST_TRIALS, TRIALS);
    let counts = asked.counts(plan.seed, trials, noticed_mm);
    let share = |count: u64, of: usize| count as f64 / (of * trials) as f64;
    let of_all = |way: usize| {
        let sum = |case: usize| {
            let counts = counts.iter().map(|count| count[way][case]);
            share(counts.sum(), asked.joints.len())
        };
        Missed {
            repeat: sum(0),
            skew: sum(1),
            laying: sum(2),
            all: sum(3),
        }
    };
    let motifs = plan.motifs.iter().filter_map(|motif| {
        let own = asked.joints.iter().zip(&counts);
        let own: Vec<_> = own
            .filter(|(joint, _)| joint.a.motif == motif.name)
            .collect();
        let sum = |way: usize| share(own.iter().map(|(_, c)| c[way][ALL]).sum(), own.len());
        (!own.is_empty()).then(|| MotifMissed {
            motif: motif.name.clone(),
            joints: own.len(),
            by_stripe: sum(STRIPE),
            by_ruler: sum(RULER),
        })
    });
    let nearer_mm = plan
        .fabrics
        .iter()
        .map(|fabric| nearer_mm(fabric, plan.making.gap_mm))
        .fold(0.0, f64::max);
    Some(LikelyNote {
        errors: ERRORS,
        trials,
        noticed_mm,
        joints: asked.joints.len(),
        by_stripe: of_all(STRIPE),
        by_ruler: of_all(RULER),
        motifs: motifs.collect(),
        delicate: asked.delicate(&counts, trials),
        nearer_mm,
        safe_gap_mm: nearer_mm + SCISSORS_MM,
    })
}

/// The two ways of laying, and the last of four cases: repeat, skew, laying, all.
const STRIPE: usize = 0;
const RULER: usize = 1;
const ALL: usize = 3;
/// How often a joint was noticed, by way and case.
type Counts = [[u64; 4]; 2];

/// What is asked about.
struct Asked<'a> {
    joints: Vec<Joint<'a>>,
    /// How many pieces these have.
    pieces: usize,
    fabrics: usize,
}

/// A joint that matches in the plan.
struct Joint<'a> {
    a: &'a PlacedPiece,
    b: &'a PlacedPiece,
    fabric: usize,
    /// Where the errors of its pieces stand.
    at: [usize; 2],
    repeat_mm: f64,
    images: Vec<Image>,
}

/// What misses at the joint's two ends, for one image of the second piece's stripe.
struct Image {
    /// -1 where it is the stripe's mirror image.
    sign: f64,
    /// As the plan has it (mm).
    planned_mm: [f64; 2],
    /// By way: how it grows with the repeat's error (mm).
    by_repeat_mm: [[f64; 2]; 2],
    /// And with the skew (mm).
    by_skew_mm: [[f64; 2]; 2],
}

impl<'a> Asked<'a> {
    fn new(plan: &'a Plan, noticed_mm: f64) -> Self {
        let mut by_id: BTreeMap<&str, (usize, &PlacedPiece)> = BTreeMap::new();
        for (i, fabric) in plan.fabrics.iter().enumerate() {
            by_id.extend(fabric.placements.iter().map(|p| (p.id.as_str(), (i, p))));
        }
        let mut numbers: BTreeMap<&str, usize> = BTreeMap::new();
        let mut joints = vec![];
        // What misses in the plan itself is told of elsewhere.
        for note in plan.joints.iter().filter(|j| j.step_mm <= noticed_mm) {
            let at = |id: &str| by_id.get(id).copied();
            let (Some((fabric, a)), Some((other, b))) = (at(&note.a), at(&note.b)) else {
                continue;
            };
            let fabrics = [fabric, other].map(|at| &plan.fabrics[at]);
            let Some((repeat_mm, images)) = images(note, fabrics, [a, b]) else {
                continue;
            };
            let mut number = |id: &'a str| {
                let next = numbers.len();
                *numbers.entry(id).or_insert(next)
            };
            joints.push(Joint {
                a,
                b,
                fabric,
                at: [number(&a.id), number(&b.id)],
                repeat_mm,
                images,
            });
        }
        Self {
            joints,
            pieces: numbers.len(),
            fabrics: plan.fabrics.len(),
        }
    }

    /// How often each joint is noticed.
    fn counts(&self, seed: u64, trials: usize, noticed_mm: f64) -> Vec<Counts> {
        let none = || vec![Counts::default(); self.joints.len()];
        let tasks = (0..trials.div_ceil(TASK)).into_par_iter();
        let counted = tasks.map(|task| {
            let mut counts = none();
            let mut laid = vec![0.0; self.pieces];
            let mut fabrics = vec![[0.0; 2]; self.fabrics];
            // A generator each task, so that threads do not matter.
            let mut rng = Rng::new(seed.wrapping_mul(1 << 20).wrapping_add(task as u64));
            for _ in task * TASK..((task + 1) * TASK).min(trials) {
                for [repeat, skew] in &mut fabrics {
                    *repeat = rng.real(-ERRORS.repeat, ERRORS.repeat);
                    *skew = rng.real(-ERRORS.skew, ERRORS.skew);
                }
                laid.fill_with(|| rng.real(-ERRORS.laying_mm, ERRORS.laying_mm));
                for (joint, counts) in self.joints.iter().zip(&mut counts) {
                    let [repeat, skew] = fabrics[joint.fabric];
                    let laid = joint.at.map(|piece| laid[piece]);
                    for (way, counts) in counts.iter_mut().enumerate() {
                        let cases = [
                            (repeat, 0.0, [0.0; 2]),
                            (0.0, skew, [0.0; 2]),
                            (0.0, 0.0, laid),
                            (repeat, skew, laid),
                        ];
                        for (count, (repeat, skew, laid)) in counts.iter_mut().zip(cases) {
                            let missed = joint.missed_mm(way, repeat, skew, laid);
                            *count += u64::from(missed > noticed_mm);
                        }
                    }
                }
            }
            counts
        });
        counted.reduce(none, |mut sum, more| {
            let both = sum.iter_mut().flatten().flatten();
            for (sum, more) in both.zip(more.iter().flatten().flatten()) {
                *sum += more;
            }
            sum
        })
    }

    /// The joints that are noticed most often; of copies of one joint the worst.
    fn delicate(&self, counts: &[Counts], trials: usize) -> Vec<DelicateNote> {
        let often = |i: usize| [STRIPE, RULER].map(|way| counts[i][way][ALL]);
        let mut order: Vec<usize> = (0..self.joints.len()).collect();
        order.sort_by_key(|&i| std::cmp::Reverse(often(i)));
        let mut told = BTreeSet::new();
        let named = order.into_iter().filter(|&i| {
            let (a, b) = (self.joints[i].a, self.joints[i].b);
            told.insert((&a.motif, &a.piece, &b.piece)) && often(i) != [0, 0]
        });
        named
            .take(MOST_DELICATE)
            .map(|i| {
                let [by_stripe, by_ruler] = often(i).map(|n| n as f64 / trials as f64);
                DelicateNote {
                    motif: self.joints[i].a.motif.clone(),
                    a: self.joints[i].a.label.clone(),
                    b: self.joints[i].b.label.clone(),
                    by_stripe,
                    by_ruler,
                }
            })
            .collect()
    }
}

impl Joint<'_> {
    /// The most by which the stripe misses itself (mm): of its images the best.
    fn missed_mm(&self, way: usize, repeat: f64, skew: f64, laid: [f64; 2]) -> f64 {
        let of = |image: &Image| {
            let end = |end: usize| {
                image.planned_mm[end] + laid[0]
                    - image.sign * laid[1]
                    - repeat * image.by_repeat_mm[way][end]
                    - skew * image.by_skew_mm[way][end]
            };
            let (first, last) = (end(0), end(1));
            let start = nearest_multiple_gap(first, self.repeat_mm);
            let most = start.abs().max((start + last - first).abs());
            most.min(self.repeat_mm / 2.0)
        };
        self.images.iter().map(of).fold(f64::INFINITY, f64::min)
    }
}

/// The fabric's repeat, and how the stripes of two pieces can be compared along their joint.
/// Cut from fabric in hand they may lie on two pieces of it, each with its own beginning of the
/// stripe; what is off is off alike on both, since they came from one bolt.
fn images(
    note: &JointNote,
    fabrics: [&FabricPlan; 2],
    pieces: [&PlacedPiece; 2],
) -> Option<(f64, Vec<Image>)> {
    let stripe = fabrics[0].stripe.as_ref()?;
    let repeat_mm = stripe.repeat_mm();
    let on = |fabric: &FabricPlan, piece: &PlacedPiece| {
        let origin_mm = fabric.stripe.as_ref()?.origin_mm();
        let lies = Lies::of(fabric)?;
        let middle = lies.middle_mm(piece);
        let map = piece.to_fabric.to_rigid();
        Some(note.line.map(|[x, y]| {
            let p = map.apply(point(x, y));
            let across = dot(lies.across, p) - origin_mm;
            // By the stripe, by the ruler; and along the stripe.
            ([across + origin_mm - middle, across], dot(lies.along, p))
        }))
    };
    let [on_a, on_b] = [on(fabrics[0], pieces[0])?, on(fabrics[1], pieces[1])?];
    let image = |sign: f64, shift: f64| {
        let each = |of: &dyn Fn(usize) -> f64| [of(0), of(1)];
        let planned_mm = each(&|end| on_a[end].0[RULER] - sign * on_b[end].0[RULER] - shift);
        // A whole number of repeats apart is none.
        let planned = nearest_multiple_gap(planned_mm[0], repeat_mm);
        let by = |way: usize| each(&|end| on_a[end].0[way] - sign * on_b[end].0[way]);
        Image {
            sign,
            planned_mm: [planned, planned + planned_mm[1] - planned_mm[0]],
            by_repeat_mm: [by(STRIPE), by(RULER)],
            by_skew_mm: [[0.0; 2], each(&|end| on_a[end].1 - sign * on_b[end].1)],
        }
    };
    let mirrored = stripe.mirror_lines().into_iter();
    let mut images: Vec<Image> = std::iter::once(image(1.0, 0.0))
        .chain(mirrored.map(|line| image(-1.0, 2.0 * line)))
        .collect();
    let planned = |image: &Image| {
        image
            .planned_mm
            .map(f64::abs)
            .into_iter()
            .fold(0.0, f64::max)
    };
    images.sort_by(|x, y| planned(x).total_cmp(&planned(y)));
    images.truncate(MOST_IMAGES);
    Some((repeat_mm, images))
}

/// How a fabric's stripe runs.
struct Lies {
    across: Point,
    along: Point,
}

impl Lies {
    fn of(fabric: &FabricPlan) -> Option<Self> {
        let across = unit(fabric.stripe.as_ref()?.normal_rad());
        Some(Self {
            across,
            along: point(-across.y, across.x),
        })
    }

    /// How far across the stripe the middle of a piece lies (mm): its finished line, which
    /// bears the ticks.
    fn middle_mm(&self, piece: &PlacedPiece) -> f64 {
        let map = piece.to_fabric.to_rigid();
        let across = piece
            .finished
            .iter()
            .map(|&[x, y]| dot(self.across, map.apply(point(x, y))));
        let ends = across.fold((f64::INFINITY, f64::NEG_INFINITY), |ends, u| {
            (ends.0.min(u), ends.1.max(u))
        });
        f64::midpoint(ends.0, ends.1)
    }
}

/// By how much two cut lines of a fabric that lie `gap` apart may come nearer (mm), laid by the
/// stripe: each piece is off by its own error, and follows the stripe where it leads. Lines
/// that lie further apart have that much to spare.
///
/// A piece that follows the stripe moves by `e u + s v` across it and is turned by `s`. Where
/// two touch, what differs is `d` (`e` across, `s` along), `d` from middle to middle across
/// the stripe: by `d sqrt(e^2 + s^2)` at most. Own derivation.
fn nearer_mm(fabric: &FabricPlan, gap_mm: f64) -> f64 {
    let lies = Lies::of(fabric);
    let laid: Vec<(Region, Point, Point, f64)> = fabric
        .placements
        .iter()
        .map(|piece| {
            let region = piece.to_fabric.to_rigid().apply_to(&piece.cut_region());
            let (low, high) = extent(rings(&region).flatten().copied());
            let middle = lies.as_ref().map_or(0.0, |lies| lies.middle_mm(piece));
            (region, low, high, middle)
        })
        .collect();
    let drift = ERRORS.repeat.hypot(ERRORS.skew);
    let nearer =
        |i: usize, j: usize| 2.0 * ERRORS.laying_mm + drift * (laid[i].3 - laid[j].3).abs();
    let mut order: Vec<usize> = (0..laid.len()).collect();
    order.sort_by(|&a, &b| laid[a].1.y.total_cmp(&laid[b].1.y));
    let widest_mm = fabric.width_mm + fabric.length_mm;
    let reach_mm = gap_mm + 2.0 * ERRORS.laying_mm + drift * widest_mm;
    let mut most: f64 = 0.0;
    for (n, &i) in order.iter().enumerate() {
        for &j in &order[n + 1..] {
            let ((_, low, high, _), (_, other_low, other_high, _)) = (&laid[i], &laid[j]);
            // Boxes further apart than this have more to spare than they can lose.
            let near = gap_mm + nearer(i, j) - most;
            if other_low.y > high.y + reach_mm {
                break;
            }
            let apart = [
                low.x - other_high.x,
                other_low.x - high.x,
                other_low.y - high.y,
            ];
            if nearer(i, j) > most && apart.iter().all(|&mm| mm < near) {
                let spare = Euclidean.distance(&laid[i].0, &laid[j].0) - gap_mm;
                most = most.max(nearer(i, j) - spare.max(0.0));
            }
        }
    }
    most
}
