//! Whether cut lines lie on the fabric, clear of each other, and leave what the
//! finished lines need.

use super::{Finding, FindingKind, PLAN_TOL_MM};
use crate::motif::{Making, Role};
use crate::record::{FabricPlan, PlacedPiece, Plan};
use crate::shape::ring::{edges, extent, rings};
use crate::shape::{Point, Region, distance, point};
use geo::{Area, BooleanOps, Distance, Euclidean, Validation};

pub(super) fn check_ground(plan: &Plan, fabric: &FabricPlan) -> Vec<Finding> {
    let mut findings = vec![];
    let laid: Vec<Laid<'_>> = fabric.placements.iter().map(Laid::new).collect();
    for piece in &laid {
        findings.extend(check_lines(piece.placement, &plan.making));
        if !plan.is_cut_before_measuring(fabric, piece.placement) {
            findings.extend(check_inside(piece, fabric));
        }
    }
    findings.extend(check_outline(&laid, fabric));
    findings.extend(check_clear(&laid, fabric, plan.making.gap_mm));
    findings.extend(check_stretch(&laid, fabric, plan.making.gap_mm));
    let stretch = fabric.beside.map_or(0.0, |beside| beside.length_mm);
    let reached = laid
        .iter()
        .map(|piece| piece.high.y)
        .fold(stretch, f64::max);
    if fabric.in_hand.is_none() && reached < fabric.length_mm - PLAN_TOL_MM {
        findings.push(Finding::new(
            FindingKind::Contradiction,
            &[&fabric.name],
            format!(
                "fabric `{}`: the plan says {:.2} mm are used, but the pieces reach to {reached:.2} mm",
                fabric.name, fabric.length_mm
            ),
        ));
    }
    if fabric.bound.length_mm > fabric.length_mm + PLAN_TOL_MM {
        findings.push(Finding::new(
            FindingKind::Contradiction,
            &[&fabric.name],
            format!(
                "fabric `{}` is shorter ({:.2} mm) than its own bound ({:.2} mm)",
                fabric.name, fabric.length_mm, fabric.bound.length_mm
            ),
        ));
    }
    findings
}

/// A piece where it lies.
struct Laid<'a> {
    placement: &'a PlacedPiece,
    cut: Region,
    low: Point,
    high: Point,
}

impl<'a> Laid<'a> {
    fn new(placement: &'a PlacedPiece) -> Self {
        let cut = placement
            .to_fabric
            .to_rigid()
            .apply_to(&placement.cut_region());
        let (low, high) = extent(rings(&cut).flatten().copied());
        Self {
            placement,
            cut,
            low,
            high,
        }
    }
}

fn check_inside(piece: &Laid<'_>, fabric: &FabricPlan) -> Option<Finding> {
    let over = [
        (-piece.low.x, "the left selvage"),
        (piece.high.x - fabric.width_mm, "the right selvage"),
        (-piece.low.y, "the cut end"),
        (
            piece.high.y - fabric.length_mm,
            "the end of the used length",
        ),
    ];
    let (by, edge) = over.into_iter().max_by(|a, b| a.0.total_cmp(&b.0))?;
    (by > PLAN_TOL_MM).then(|| {
        let p = piece.placement;
        Finding::new(
            FindingKind::OffFabric,
            &[&p.label],
            format!(
                "{} ({}) reaches {by:.2} mm over {edge} of `{}`",
                p.label, p.id, fabric.name
            ),
        )
    })
}

/// A piece in hand has an outline, and any fabric may have holes, stains and spoilt parts: no
/// cut line may reach over the one or into the others.
fn check_outline(laid: &[Laid<'_>], fabric: &FabricPlan) -> Vec<Finding> {
    let ring = |points: &[[f64; 2]]| {
        let line = points.iter().map(|&[x, y]| point(x, y)).collect();
        Region::new(line, vec![])
    };
    let whole = fabric.in_hand.as_ref().map(|one| ring(&one.outline));
    let avoid: Vec<Region> = fabric.avoid.iter().map(|hole| ring(hole)).collect();
    let mut findings = vec![];
    for piece in laid {
        let p = piece.placement;
        // Of a strip that wide along all of a cut line nobody with scissors knows.
        let around: f64 = rings(&piece.cut)
            .flat_map(edges)
            .map(|(a, b)| distance(a, b))
            .sum();
        let rounding = PLAN_TOL_MM * around;
        let mut find = |over: f64, what: &str| {
            if over > rounding {
                let words = format!(
                    "{} ({}) reaches {what} `{}`, by {over:.1} mm²",
                    p.label, p.id, fabric.name
                );
                findings.push(Finding::new(FindingKind::OffFabric, &[&p.label], words));
            }
        };
        if let Some(whole) = &whole {
            let over = piece.cut.difference(whole).unsigned_area();
            find(over, "over the edge of");
        }
        for hole in avoid.iter().filter(|_| !p.is_cut) {
            let over = piece.cut.intersection(hole).unsigned_area();
            find(over, "into a hole or stain of");
        }
    }
    findings
}

/// A stretch that straight pieces share is cut off the fabric and slit: no piece may
/// reach left of the slit, nor over the end of the stretch.
fn check_stretch(laid: &[Laid<'_>], fabric: &FabricPlan, clear: f64) -> Vec<Finding> {
    let Some(beside) = fabric.beside else {
        return vec![];
    };
    let mut findings = vec![];
    if !(beside.slit_mm > 0.0 && beside.length_mm > 0.0 && beside.slit_mm < fabric.width_mm) {
        let words = format!(
            "fabric `{}`: a stretch {} long, slit {} from the left selvage, is no part of it",
            fabric.name, beside.length_mm, beside.slit_mm
        );
        findings.push(Finding::new(
            FindingKind::Contradiction,
            &[&fabric.name],
            words,
        ));
    }
    let mut within = 0;
    for piece in laid {
        let p = piece.placement;
        let is_within = piece.high.y <= beside.length_mm - clear + PLAN_TOL_MM;
        within += usize::from(is_within);
        let over = if is_within {
            (beside.slit_mm - piece.low.x, "into the straight cuts")
        } else {
            (
                beside.length_mm - piece.low.y,
                "into the stretch that is cut off",
            )
        };
        if over.0 > PLAN_TOL_MM {
            findings.push(Finding::new(
                FindingKind::OffFabric,
                &[&p.label],
                format!(
                    "{} ({}) reaches {:.2} mm {} of `{}`",
                    p.label, p.id, over.0, over.1, fabric.name
                ),
            ));
        }
    }
    if within != beside.pieces {
        let words = format!(
            "fabric `{}` is said to have {} pieces beside its straight cuts, and has {within}",
            fabric.name, beside.pieces
        );
        findings.push(Finding::new(
            FindingKind::Contradiction,
            &[&fabric.name],
            words,
        ));
    }
    findings
}

/// So many pairs that are too near are told of a fabric.
const MOST_PAIRS: usize = 10_000;

fn check_clear(laid: &[Laid<'_>], fabric: &FabricPlan, clear: f64) -> Vec<Finding> {
    let mut order: Vec<usize> = (0..laid.len()).collect();
    order.sort_by(|&a, &b| laid[a].low.y.total_cmp(&laid[b].low.y));
    let mut findings = vec![];
    for (i, &a) in order.iter().enumerate() {
        // Pieces heaped on one place would make millions: nobody needs them all.
        if findings.len() > MOST_PAIRS {
            break;
        }
        for &b in &order[i + 1..] {
            let (p, q) = (&laid[a], &laid[b]);
            if q.low.y > p.high.y + clear {
                break;
            }
            if q.low.x > p.high.x + clear || p.low.x > q.high.x + clear {
                continue;
            }
            let gap = Euclidean.distance(&p.cut, &q.cut);
            // Where touching is allowed, lines that touch may cross by a rounding.
            let is_near = if gap > 0.0 || clear > PLAN_TOL_MM {
                gap < clear - PLAN_TOL_MM
            } else {
                overlap_mm(&p.cut, &q.cut) > PLAN_TOL_MM
            };
            if is_near {
                let (a, b) = (p.placement, q.placement);
                findings.push(Finding::new(
                    FindingKind::TooNear,
                    &[&a.label, &b.label],
                    format!(
                        "{} ({}) and {} ({}) are {gap:.2} mm apart on `{}`; the gap must be at least {clear:.2} mm",
                        a.label, a.id, b.label, b.id, fabric.name
                    ),
                ));
            }
        }
    }
    findings
}

/// How thick the overlap of two regions is (mm): of its thickest part, twice the area
/// over the circumference, which is the width of a sliver and the radius of the largest
/// circle in a round.
pub(super) fn overlap_mm(a: &Region, b: &Region) -> f64 {
    let parts = a.intersection(b).0;
    let thickness = |part: &Region| {
        let around: f64 = rings(part)
            .flat_map(edges)
            .map(|(a, b)| distance(a, b))
            .sum();
        if around > 0.0 {
            2.0 * part.unsigned_area() / around
        } else {
            0.0
        }
    };
    parts.iter().map(thickness).fold(0.0, f64::max)
}

/// The cut line must be a sound outline that leaves every edge its allowance.
fn check_lines(p: &PlacedPiece, making: &Making) -> Option<Finding> {
    let (finished, cut) = (p.finished_region(), p.cut_region());
    if !finished.is_valid() || !cut.is_valid() {
        return Some(Finding::new(
            FindingKind::Contradiction,
            &[&p.label],
            format!("{} ({}): a line crosses itself", p.label, p.id),
        ));
    }
    for ((a, b), role) in rings(&finished).flat_map(edges).zip(&p.roles) {
        let allowance = match role {
            Role::Turned => making.turn_under_mm,
            Role::Seamed => making.seam_mm,
            Role::Covered => making.tuck_under_mm,
            Role::Lapped => making.tuck_under_mm.max(making.turn_under_mm),
        };
        let length = distance(a, b);
        let out = point((b.y - a.y) / length, (a.x - b.x) / length);
        let kept = (a + b) / 2.0 + out * allowance;
        let short = Euclidean.distance(&geo_types::Point(kept), &cut);
        if short > 10.0 * PLAN_TOL_MM {
            return Some(Finding::new(
                FindingKind::Allowance,
                &[&p.label],
                format!(
                    "{} ({}): the cut line leaves {short:.2} mm too little at the edge near ({:.1}, {:.1})",
                    p.label, p.id, a.x, a.y
                ),
            ));
        }
    }
    None
}
