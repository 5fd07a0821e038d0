//! Whether every piece is there once, with the same lines in every copy.

use super::{Finding, FindingKind, PLAN_TOL_MM};
use crate::record::{PlacedPiece, Plan};
use std::collections::BTreeMap;

/// Missing, surplus and unlike pieces.
pub(super) fn check_complete(plan: &Plan) -> Vec<Finding> {
    let mut findings = vec![];
    let mut found: BTreeMap<(&str, usize, &str, &str), Vec<&PlacedPiece>> = BTreeMap::new();
    let mut labels: BTreeMap<&str, usize> = BTreeMap::new();
    for fabric in &plan.fabrics {
        for p in &fabric.placements {
            let key = (p.motif.as_str(), p.copy, p.piece.as_str(), fabric.fabric());
            found.entry(key).or_default().push(p);
            *labels.entry(&p.label).or_default() += 1;
        }
    }
    for motif in &plan.motifs {
        for piece in &motif.pieces {
            let mut model: Option<&PlacedPiece> = None;
            for copy in 1..=motif.copies {
                let key = (
                    motif.name.as_str(),
                    copy,
                    piece.piece.as_str(),
                    piece.fabric.as_str(),
                );
                let here = found.remove(&key).unwrap_or_default();
                let name = format!("{} {copy}: {}", motif.name, piece.piece);
                match here.as_slice() {
                    [] => findings.push(Finding::new(
                        FindingKind::Missing,
                        &[&name],
                        format!("{name} is wanted from `{}` but is not on it", piece.fabric),
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
                        format!("{name} is on `{}` {} times", piece.fabric, many.len()),
                    )),
                }
            }
        }
    }
    for ((motif, copy, piece, fabric), here) in found {
        findings.push(Finding::new(
            FindingKind::Surplus,
            &here.iter().map(|p| p.label.as_str()).collect::<Vec<_>>(),
            format!("{motif} {copy}: {piece} is on `{fabric}`, but nobody asked for it there"),
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

fn same_lines(a: &PlacedPiece, b: &PlacedPiece) -> bool {
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
    let outer = |p: &PlacedPiece| [p.finished.clone(), p.cut.clone()];
    near(&outer(a), &outer(b))
        && near(&a.finished_holes, &b.finished_holes)
        && near(&a.cut_holes, &b.cut_holes)
        && a.roles == b.roles
}
