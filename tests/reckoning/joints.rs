//! Where two wedges of a motif meet: the stripe that each shows there, told from where the
//! piece was cut, and what the plan says of it.

use super::generate::{Job, Part, Striped};
use super::geometry::{Lie, placements, polar, sides, wedge_of};
use geo::Coord;
use serde_json::Value;

const TOLERANCE: f64 = 0.05;
/// Points at which a joint is looked at.
const STATIONS: usize = 400;

impl Striped {
    /// How far a point of the fabric lies into the repeat.
    fn phase(&self, p: Coord<f64>) -> f64 {
        let (sin, cos) = self.normal_deg.to_radians().sin_cos();
        (cos * p.x + sin * p.y - self.start).rem_euclid(self.repeat())
    }

    fn colour(&self, phase: f64) -> usize {
        let mut end = 0.0;
        for &(width, colour) in &self.bands {
            end += width;
            if phase < end {
                return colour;
            }
        }
        self.bands[0].1
    }

    /// The distance between two phases, round the repeat.
    fn gap(&self, a: f64, b: f64) -> f64 {
        let gap = (a - b).rem_euclid(self.repeat());
        gap.min(self.repeat() - gap)
    }

    /// The middles of bands about which all others lie alike on both sides: turned about
    /// such a line, the stripe looks the same.
    fn mirrors(&self) -> Vec<f64> {
        let n = self.bands.len();
        let alike =
            |i: usize| (1..n).all(|k| self.bands[(i + k) % n] == self.bands[(i + n - k) % n]);
        let middle = |i: usize| {
            let before: f64 = self.bands[..i].iter().map(|band| band.0).sum();
            before + self.bands[i].0 / 2.0
        };
        (0..n).filter(|&i| alike(i)).map(middle).collect()
    }

    /// By how much one run of phases misses another that looks the same: as it is, or
    /// turned about a mirror line.
    fn step(&self, a: &[f64], b: &[f64]) -> f64 {
        let worst = |seen: &dyn Fn(f64) -> f64| {
            a.iter()
                .zip(b)
                .map(|(p, r)| self.gap(*p, seen(*r)))
                .fold(0.0, f64::max)
        };
        let turned = self.mirrors().into_iter().map(|m| worst(&|r| 2.0 * m - r));
        turned.fold(worst(&|r| r), f64::min)
    }
}

pub fn reckon(job: &Job, plan: &Value, wrong: &mut Vec<String>) {
    for motif in &job.motifs {
        for part in &motif.parts {
            let fabric = &job.fabrics[part.fabric];
            let Some(stripe) = &fabric.stripe else {
                continue;
            };
            let cap = motif.parts[1..].iter().map(|p| p.rim).fold(0.0, f64::max);
            let covered = if part.name == "wheel" { cap } else { 0.0 };
            let laid = placements(plan, fabric.name);
            let mut shown: Vec<f64> = vec![];
            for copy in 1..=motif.copies as u64 {
                let mut mine: Vec<&Value> = laid
                    .iter()
                    .copied()
                    .filter(|p| {
                        p["motif"] == motif.name && p["part"] == part.name && p["copy"] == copy
                    })
                    .collect();
                mine.sort_by_key(|p| wedge_of(plan, p));
                shown.extend(mine.iter().map(|p| reference(plan, part, stripe, p)));
                let whole = part.sweep == 360.0 && part.wedges > 1;
                let count = if whole { part.wedges } else { part.wedges - 1 };
                for k in 0..count {
                    let (a, b) = (mine[k], mine[(k + 1) % part.wedges]);
                    let rad = sides(part, k).1;
                    let spoked = part.spokes.as_ref().map_or(part.rim, |s| s.root);
                    let stretch = (part.hub.max(covered), spoked);
                    joint(part, stripe, (a, b), rad, stretch, plan, wrong);
                }
            }
            offsets(part, stripe, &shown, motif.name, wrong);
        }
    }
}

/// The phase at the point from which the stripes count: the centre, a point of the middle
/// line, or the point of the middle line at the radius `at`.
fn reference(plan: &Value, part: &Part, stripe: &Striped, placement: &Value) -> f64 {
    let (from, to) = sides(part, wedge_of(plan, placement));
    // A fan of one wedge has no sides: its middle line stands vertical in the motif.
    let axis = if part.wedges == 1 {
        (90.0 + part.turn).to_radians()
    } else {
        f64::midpoint(from, to)
    };
    let radius = match part.stripes {
        "rings" => part.at,
        "rays" => part.rim / 2.0,
        _ => 0.0,
    };
    stripe.phase(Lie::of(placement).put(polar(radius, axis)))
}

/// The offset that was asked for, or one that all copies share. Rays without an offset of
/// their own may lie on any mirror line, by turns the other way round: one phase all the same.
fn offsets(part: &Part, stripe: &Striped, shown: &[f64], motif: &str, wrong: &mut Vec<String>) {
    let wanted = part.offset.unwrap_or(shown[0]);
    for phase in shown {
        if stripe.step(&[*phase], &[wanted]) > TOLERANCE {
            wrong.push(format!(
                "{motif} {}: offset {phase:.3}, not {wanted:.3}",
                part.name
            ));
        }
    }
}

fn joint(
    part: &Part,
    stripe: &Striped,
    (a, b): (&Value, &Value),
    rad: f64,
    (inner, outer): (f64, f64),
    plan: &Value,
    wrong: &mut Vec<String>,
) {
    let ids = (&a["id"], &b["id"]);
    let mut all = plan["joints"].as_array().into_iter().flatten();
    let Some(note) = all.find(|j| j["a"] == *ids.0 && j["b"] == *ids.1 && lies_along(j, rad))
    else {
        if outer - inner > 0.1 {
            wrong.push(format!("{ids:?}: a joint that the plan does not know"));
        }
        return;
    };
    let (step, mismatch) = (note["step"].as_f64(), note["mismatch"].as_f64());
    let (step, mismatch) = (step.unwrap_or(f64::NAN), mismatch.unwrap_or(f64::NAN));
    let (one, two) = (Lie::of(a), Lie::of(b));
    let (mut first, mut second, mut differ) = (vec![], vec![], 0usize);
    for i in 0..STATIONS {
        let q = polar(
            inner + (outer - inner) * (i as f64 + 0.5) / STATIONS as f64,
            rad,
        );
        let (p, r) = (stripe.phase(one.put(q)), stripe.phase(two.put(q)));
        first.push(p);
        second.push(r);
        // Beside a band's edge a hair decides: what counts is what a hair cannot mend.
        let near = [-TOLERANCE, 0.0, TOLERANCE]
            .map(|d| stripe.colour((r + d).rem_euclid(stripe.repeat())));
        differ += usize::from(!near.contains(&stripe.colour(p)));
    }
    let worst = stripe.step(&first, &second);
    let share = differ as f64 / STATIONS as f64;
    if (share - mismatch).abs() > 0.05 {
        wrong.push(format!(
            "{ids:?}: colours differ on {share:.3}, the plan says {mismatch:.3}"
        ));
    }
    if step < TOLERANCE && share > 0.0 {
        wrong.push(format!(
            "{ids:?}: no step, yet colours differ on {share:.3}"
        ));
    }
    if part.stripes != "rays" && (worst > TOLERANCE || step > TOLERANCE) {
        wrong.push(format!(
            "{ids:?}: a step of {worst:.3}, the plan says {step:.3}; nothing need miss"
        ));
    }
}

/// Two wedges of a circle meet twice: on which ray does this joint lie?
fn lies_along(joint: &Value, rad: f64) -> bool {
    let end = &joint["line"][1];
    let (x, y) = (
        end[0].as_f64().unwrap_or(f64::NAN),
        end[1].as_f64().unwrap_or(f64::NAN),
    );
    (x - x.hypot(y) * rad.cos()).abs() < 1e-3 && (y - x.hypot(y) * rad.sin()).abs() < 1e-3
}
