//! Whether every piece is there once, with the same lines in every copy.

use super::{Finding, FindingKind, PLAN_TOL_MM};
use crate::record::{Placement, Plan};
use std::collections::BTreeMap;

/// Numbers that are no numbers, and lines that are no outlines.
pub(super) fn check_numbers(plan: &Plan) -> Vec<Finding> {
    let mut findings = vec![];
    let mut fault = |of: &str, words: String| {
        findings.push(Finding::new(FindingKind::Contradiction, &[of], words));
    };
    let making = &plan.making;
    for (name, value) in [
        ("turn", making.turn),
        ("seam", making.seam),
        ("under", making.under),
        ("clear", making.clear),
        ("match", making.match_),
    ] {
        if !(value >= 0.0 && value.is_finite()) {
            fault(
                name,
                format!("making: `{name}` is {value}, which is no allowance"),
            );
        }
    }
    for cloth in &plan.cloths {
        if !(cloth.width > 0.0
            && cloth.width.is_finite()
            && cloth.length >= 0.0
            && cloth.length.is_finite())
        {
            fault(
                &cloth.name,
                format!(
                    "cloth `{}`: width {} or length {} is no size",
                    cloth.name, cloth.width, cloth.length
                ),
            );
        }
        for p in &cloth.placements {
            if let Some(what) = faulty_numbers(p) {
                fault(&p.label, format!("{} ({}): {what}", p.label, p.id));
            }
        }
    }
    findings
}

fn faulty_numbers(p: &Placement) -> Option<String> {
    let to = &p.to_cloth;
    let place = [
        to.rotate_deg,
        to.dx,
        to.dy,
        p.axis_deg,
        p.mark[0],
        p.mark[1],
    ];
    let optional = [p.offset, p.normal_deg, p.phase_at_centre];
    if place
        .iter()
        .chain(optional.iter().flatten())
        .any(|x| !x.is_finite())
    {
        return Some("its place or its stripe is not a number".to_owned());
    }
    let rings = [&p.finished, &p.cut]
        .into_iter()
        .chain(&p.finished_holes)
        .chain(&p.cut_holes);
    let mut edges = 0;
    for (i, ring) in rings.enumerate() {
        if ring.len() < 3 || ring.iter().flatten().any(|x| !x.is_finite()) {
            return Some("one of its lines is no outline".to_owned());
        }
        if i == 0 || (i >= 2 && i < 2 + p.finished_holes.len()) {
            edges += ring.len();
        }
    }
    (edges != p.roles.len())
        .then(|| format!("it has {edges} edges but {} edge roles", p.roles.len()))
}

/// Missing, surplus and unlike pieces.
pub(super) fn check_roster(plan: &Plan) -> Vec<Finding> {
    let mut findings = vec![];
    let mut found: BTreeMap<(&str, usize, &str, &str), Vec<&Placement>> = BTreeMap::new();
    let mut labels: BTreeMap<&str, usize> = BTreeMap::new();
    for cloth in &plan.cloths {
        for p in &cloth.placements {
            let key = (
                p.motif.as_str(),
                p.copy,
                p.piece.as_str(),
                cloth.name.as_str(),
            );
            found.entry(key).or_default().push(p);
            *labels.entry(&p.label).or_default() += 1;
        }
    }
    for motif in &plan.motifs {
        for piece in &motif.pieces {
            let mut model: Option<&Placement> = None;
            for copy in 1..=motif.copies {
                let key = (
                    motif.name.as_str(),
                    copy,
                    piece.piece.as_str(),
                    piece.cloth.as_str(),
                );
                let here = found.remove(&key).unwrap_or_default();
                let name = format!("{} {copy}: {}", motif.name, piece.piece);
                match here.as_slice() {
                    [] => findings.push(Finding::new(
                        FindingKind::Missing,
                        &[&name],
                        format!("{name} is wanted from `{}` but is not on it", piece.cloth),
                    )),
                    [one] => {
                        let first = *model.get_or_insert(one);
                        if !same_lines(first, one) {
                            findings.push(Finding::new(
                                FindingKind::Contradiction,
                                &[&one.label, &first.label],
                                format!("{} ({name}) is not cut like {}, though both are the same piece", one.label, first.label),
                            ));
                        }
                    }
                    many => findings.push(Finding::new(
                        FindingKind::Surplus,
                        &many.iter().map(|p| p.label.as_str()).collect::<Vec<_>>(),
                        format!("{name} is on `{}` {} times", piece.cloth, many.len()),
                    )),
                }
            }
        }
    }
    for ((motif, copy, piece, cloth), here) in found {
        findings.push(Finding::new(
            FindingKind::Surplus,
            &here.iter().map(|p| p.label.as_str()).collect::<Vec<_>>(),
            format!("{motif} {copy}: {piece} is on `{cloth}`, but nobody asked for it there"),
        ));
    }
    for (label, times) in labels {
        if times > 1 {
            findings.push(Finding::new(
                FindingKind::Surplus,
                &[label],
                format!("{times} pieces are called {label}"),
            ));
        }
    }
    findings
}

fn same_lines(a: &Placement, b: &Placement) -> bool {
    let near = |p: &[Vec<[f64; 2]>], q: &[Vec<[f64; 2]>]| {
        p.len() == q.len()
            && p.iter().zip(q).all(|(r, s)| {
                r.len() == s.len()
                    && r.iter()
                        .flatten()
                        .zip(s.iter().flatten())
                        .all(|(x, y)| (x - y).abs() <= PLAN_TOL_MM)
            })
    };
    let outer = |p: &Placement| [p.finished.clone(), p.cut.clone()];
    near(&outer(a), &outer(b))
        && near(&a.finished_holes, &b.finished_holes)
        && near(&a.cut_holes, &b.cut_holes)
        && a.roles == b.roles
}
