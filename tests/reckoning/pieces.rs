//! Finished and cut pieces: every one that was asked for, of the right shape, with the
//! allowance that each of its edges asks for.

use super::generate::{Job, Motif, Part};
use super::geometry::{finished, placements, region, sides, wedge_of};
use geo::{
    Area, BooleanOps, Contains, Coord, Distance, Euclidean, LineString, MultiPolygon, Point,
    Polygon, unary_union,
};
use serde_json::Value;
use std::collections::BTreeMap;

/// An arc may stray from its chords by so much; so may what is cut along it.
const CHORD: f64 = 0.06;

pub fn reckon(job: &Job, plan: &Value, wrong: &mut Vec<String>) {
    for motif in &job.motifs {
        for (layer, part) in motif.parts.iter().enumerate() {
            let mut seen: BTreeMap<(u64, usize), usize> = BTreeMap::new();
            let shapes: Vec<_> = (0..part.wedges)
                .map(|wedge| finished(part, wedge))
                .collect();
            let above: Vec<Polygon<f64>> = motif.parts[layer + 1..]
                .iter()
                .flat_map(|p| (0..p.wedges).flat_map(|wedge| finished(p, wedge)))
                .collect();
            let above = unary_union(&above);
            let laid = placements(plan, job.fabrics[part.fabric].name);
            let mine = |p: &&&Value| p["motif"] == motif.name && p["part"] == part.name;
            for placement in laid.iter().filter(mine) {
                let wedge = wedge_of(plan, placement);
                let copy = placement["copy"].as_u64().unwrap_or(0);
                *seen.entry((copy, wedge)).or_default() += 1;
                if copy != 1 {
                    continue;
                }
                let mut say = |words: String| wrong.push(format!("{}: {words}", placement["id"]));
                shape(&shapes[wedge], &region(placement, "finished"), &mut say);
                cut_line(job, motif, part, wedge, &above, placement, &mut say);
            }
            let wanted =
                (1..=motif.copies as u64).flat_map(|copy| (0..part.wedges).map(move |w| (copy, w)));
            if !seen
                .iter()
                .map(|(key, n)| (*key, *n))
                .eq(wanted.map(|key| (key, 1)))
            {
                wrong.push(format!(
                    "{} {}: pieces laid {seen:?}",
                    motif.name, part.name
                ));
            }
        }
    }
}

/// The finished line against our own: what only one of them has is no wider than a chord.
fn shape(ours: &MultiPolygon<f64>, theirs: &Polygon<f64>, say: &mut impl FnMut(String)) {
    let odd = ours.xor(theirs).unsigned_area();
    let round: f64 = length_of(theirs);
    if odd > CHORD * round {
        say(format!(
            "{odd:.3} mm² of the finished shape differ, {round:.0} mm round"
        ));
    }
}

fn rings(polygon: &Polygon<f64>) -> impl Iterator<Item = &LineString<f64>> {
    std::iter::once(polygon.exterior()).chain(polygon.interiors())
}

fn length_of(polygon: &Polygon<f64>) -> f64 {
    rings(polygon)
        .flat_map(LineString::lines)
        .map(|l| l.delta().x.hypot(l.delta().y))
        .sum()
}

/// Whether a point lies on a ray from the centre.
fn on_ray(p: Coord<f64>, rad: f64) -> bool {
    let (sin, cos) = rad.sin_cos();
    (cos * p.y - sin * p.x).abs() < 1e-3 && cos * p.x + sin * p.y > -1e-3
}

/// The directions of the background's seams under a motif.
fn seams(motif: &Motif) -> Vec<f64> {
    let mut seams = vec![];
    for part in &motif.parts {
        let whole = part.sweep == 360.0;
        let inner = if whole && part.wedges > 1 {
            0..part.wedges
        } else {
            1..part.wedges
        };
        if part.meet == "seam" {
            seams.extend(inner.map(|wedge| sides(part, wedge).0));
        }
        if part.ends == "seam" && !whole {
            seams.extend([sides(part, 0).0, sides(part, part.wedges - 1).1]);
        }
    }
    seams
}

/// The cut line against the allowance of each edge, told from where its middle lies.
fn cut_line(
    job: &Job,
    motif: &Motif,
    part: &Part,
    wedge: usize,
    above: &MultiPolygon<f64>,
    placement: &Value,
    say: &mut impl FnMut(String),
) {
    let (finished, cut) = (region(placement, "finished"), region(placement, "cut"));
    let seams = seams(motif);
    let lapped =
        part.meet == "one over the other" && part.wedges > 1 && (wedge > 0 || part.sweep == 360.0);
    let lapped = lapped.then(|| sides(part, wedge).0);
    let mut least = vec![finished.clone()];
    let (mut corners, mut round) = (0.0, 0.0);
    for ring in rings(&finished) {
        let lines: Vec<_> = ring.lines().collect();
        let mut widths = vec![];
        for line in &lines {
            let (middle, delta) = ((line.start + line.end) / 2.0, line.delta());
            let length = delta.x.hypot(delta.y);
            let out = Coord {
                x: delta.y,
                y: -delta.x,
            } / length;
            let ray = |rad: f64| on_ray(line.start, rad) && on_ray(line.end, rad);
            let allowance = if seams.iter().any(|&rad| ray(rad)) {
                job.seam
            } else if above.contains(&Point(middle + out * 0.06)) && above.contains(&Point(middle))
            {
                job.under
            } else if lapped.is_some_and(ray) {
                job.under.max(job.turn)
            } else {
                job.turn
            };
            widths.push(allowance);
            round += length;
            if allowance > 0.1 {
                let by = out * (allowance - 0.05);
                let far = Point(middle + by);
                if !cut.contains(&far) {
                    say(format!(
                        "less than {allowance} mm beyond the edge at {middle:?}"
                    ));
                }
                let by = out * allowance;
                least.push(Polygon::new(
                    LineString(vec![line.start, line.start + by, line.end + by, line.end]),
                    vec![],
                ));
            }
        }
        for (i, line) in lines.iter().enumerate() {
            let next = (i + 1) % lines.len();
            let (a, b) = (line.delta(), lines[next].delta());
            let turn = (a.x * b.y - a.y * b.x).atan2(a.x * b.x + a.y * b.y);
            if (widths[i] - widths[next]).abs() > 1e-9 {
                // Where the allowance changes along an arc the wider one ends in a quarter
                // circle, so that no point of its edge has less.
                corners += f64::max(widths[i], widths[next]).powi(2) * std::f64::consts::FRAC_PI_4;
            }
            if turn > 0.0 {
                // A mitre of the wider allowance: a kite, or where that is trimmed at two and
                // a half allowances less than a strip two wide.
                let wide = f64::max(widths[i], widths[next]);
                corners += wide * wide * (turn / 2.0).tan().min(5.0);
            }
        }
    }
    let least = unary_union(&least);
    let missing = least
        .difference(&MultiPolygon(vec![cut.clone()]))
        .unsigned_area();
    // What a closed gap adds is not known from here, so the upper bound is for plain fans.
    let extra = cut.unsigned_area() - least.unsigned_area();
    if missing > 0.002 * round {
        say(format!("{missing:.3} mm² of the allowances are not cut"));
    }
    if part.spokes.is_none() && extra > corners + 0.01 * round {
        say(format!(
            "{extra:.2} mm² beyond all allowances, corners ask for {corners:.2}"
        ));
    }
    let far = cut
        .exterior()
        .points()
        .map(|p| Euclidean.distance(&p, &finished))
        .fold(0.0, f64::max);
    // A trimmed tip has two corners, a little farther than its middle: hypot(2.5, 1).
    if far > 2.7 * job.turn.max(job.seam).max(job.under) + 0.05 {
        say(format!(
            "the cut line runs {far:.2} mm beyond the finished line"
        ));
    }
}
