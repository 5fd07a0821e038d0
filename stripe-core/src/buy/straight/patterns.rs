//! All sensible patterns of a band.

use super::{Band, Column, ways};
use crate::quilt::StraightPiece;

/// Patterns kept for one band length: beyond that only some of every kind.
const MOST_EACH: usize = 160;
/// Patterns kept in all: of many lengths fewer each.
const MOST: usize = 1200;
/// Looks before the search for one length's patterns ends: bad luck stays cheap.
const MOST_LOOKS: usize = 20_000;

/// A way for one kind of piece to stand in a band: a column of so many, one behind
/// the other.
#[derive(Debug, Clone, Copy)]
struct Choice {
    column: Column,
    most: usize,
}

/// Patterns for every band length that some piece has. A pattern is maximal: no more
/// columns fit beside; and has a column that fills the band, else a shorter band would do.
pub(super) fn patterns(pieces: &[StraightPiece], cloth_mm: f64) -> Vec<Band> {
    let mut lengths: Vec<f64> = pieces
        .iter()
        .flat_map(|p| ways(p, cloth_mm))
        .map(|(_, along)| along)
        .collect();
    lengths.sort_by(|a, b| b.total_cmp(a));
    lengths.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    let each = (MOST / lengths.len().max(1)).clamp(4, MOST_EACH);
    let mut patterns = Vec::new();
    for along in lengths {
        let mut choices: Vec<Choice> = Vec::new();
        for (piece, asked) in pieces.iter().enumerate() {
            for (across_mm, along_mm) in ways(asked, cloth_mm) {
                let stacked = ((along + 1e-6) / along_mm).floor() as usize;
                let stacked = stacked.min(asked.count);
                if stacked == 0 {
                    continue;
                }
                let beside = ((cloth_mm + 1e-6) / across_mm).floor() as usize;
                choices.push(Choice {
                    column: Column {
                        piece,
                        beside: 0,
                        stacked,
                        across_mm,
                        along_mm,
                    },
                    most: beside.min(asked.count.div_ceil(stacked)),
                });
            }
        }
        // Widest first: the fullest patterns come early.
        choices.sort_by(|a, b| {
            b.column
                .across_mm
                .total_cmp(&a.column.across_mm)
                .then(a.column.piece.cmp(&b.column.piece))
        });
        let mut search = Search {
            along,
            choices,
            found: Vec::new(),
            looks: 0,
        };
        // Each piece by itself, so that there is a way for all whatever is left out.
        for (i, choice) in search.choices.iter().enumerate() {
            if (choice.column.along_mm - along).abs() < 1e-6 {
                patterns.push(search.band(&[(i, choice.most)]));
            }
        }
        search.fill(0, cloth_mm, each, &mut Vec::new());
        patterns.append(&mut search.found);
    }
    patterns
}

struct Search {
    along: f64,
    choices: Vec<Choice>,
    found: Vec<Band>,
    looks: usize,
}

impl Search {
    /// Chooses columns from the kind `next` on. At most `quota` patterns are found: shared
    /// out to the counts of each kind, so that none of them uses all of it up.
    fn fill(&mut self, next: usize, room: f64, quota: usize, chosen: &mut Vec<(usize, usize)>) {
        self.looks += 1;
        if self.looks > MOST_LOOKS {
            return;
        }
        let Some(choice) = self.choices.get(next) else {
            self.keep(room, chosen);
            return;
        };
        let across = choice.column.across_mm;
        let most = (((room + 1e-6) / across).floor() as usize).min(choice.most);
        let until = self.found.len() + quota;
        for n in (0..=most).rev() {
            let left = until.saturating_sub(self.found.len());
            if left == 0 {
                return;
            }
            chosen.push((next, n));
            let share = left.div_ceil(n + 1);
            self.fill(next + 1, room - n as f64 * across, share, chosen);
            chosen.pop();
        }
    }

    fn keep(&mut self, room: f64, chosen: &[(usize, usize)]) {
        let could_hold_more = chosen.iter().any(|&(i, n)| {
            let choice = &self.choices[i];
            n < choice.most && choice.column.across_mm <= room + 1e-6
        });
        let fills = chosen.iter().any(|&(i, n)| {
            let column = &self.choices[i].column;
            n > 0 && (column.along_mm - self.along).abs() < 1e-6
        });
        if could_hold_more || !fills {
            return;
        }
        self.found.push(self.band(chosen));
    }

    /// The band of some columns.
    fn band(&self, chosen: &[(usize, usize)]) -> Band {
        let columns = chosen
            .iter()
            .filter(|&&(_, n)| n > 0)
            .map(|&(i, n)| Column {
                beside: n,
                ..self.choices[i].column
            })
            .collect();
        Band {
            along_mm: self.along,
            columns,
            times: 0,
        }
    }
}
