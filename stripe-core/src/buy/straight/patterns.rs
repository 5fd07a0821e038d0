//! All sensible patterns of a band.

use super::ways;
use crate::quilt::StraightPiece;

/// Equal columns of a band: so many side by side, each cut into pieces of one kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stack {
    /// Index into the pieces asked for.
    pub(super) piece: usize,
    /// Side by side.
    pub(super) beside: usize,
    /// Pieces in each, one behind another.
    pub(super) stacked: usize,
    /// Width of one (mm).
    pub(super) across_mm: f64,
    /// Length of one piece along the fabric (mm).
    pub(super) along_mm: f64,
}

/// A way to cut a band.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Pattern {
    /// The band's length along the fabric (mm).
    pub(super) along_mm: f64,
    pub(super) stacks: Vec<Stack>,
}

/// Patterns kept for one band length: beyond that only some of every kind.
const MOST_EACH: usize = 160;
/// Patterns kept in all: of many lengths fewer each.
const MOST: usize = 800;
/// Patterns of bands in which every piece stands behind another of its kind: those kept,
/// those found for one length, and the lengths that are tried.
const MOST_LONG: usize = 300;
const LONG_EACH: usize = 48;
const LONG_LENGTHS: usize = 120;
/// Looks before the search for one length's patterns ends: bad luck stays cheap.
const MOST_LOOKS: usize = 20_000;

/// A way for one kind of piece to stand in a band: a column of so many, one behind
/// the other.
#[derive(Debug, Clone, Copy)]
struct Choice {
    column: Stack,
    most: usize,
}

/// Patterns for every band length that some piece has, and the best of those as long as
/// several of one kind: a band may be long and all of it cut in columns. A pattern is
/// maximal: no more columns fit beside; and has a column that fills the band, else a
/// shorter band would do.
pub(super) fn patterns(pieces: &[StraightPiece], fabric_mm: f64) -> Vec<Pattern> {
    let single = distinct(
        pieces
            .iter()
            .flat_map(|p| ways(p, fabric_mm))
            .map(|(_, along)| along),
    );
    let each = (MOST / single.len().max(1)).clamp(4, MOST_EACH);
    let mut patterns = Vec::new();
    for &along in &single {
        let mut search = Search::new(pieces, fabric_mm, along);
        // Each piece by itself, so that there is a way for all whatever is left out.
        for (i, choice) in search.choices.iter().enumerate() {
            if (choice.column.along_mm - along).abs() < 1e-6 {
                patterns.push(search.band(&[(i, choice.most)]));
            }
        }
        search.fill(0, fabric_mm, each, &mut Vec::new());
        patterns.append(&mut search.found);
    }
    patterns.append(&mut long_patterns(pieces, fabric_mm, &single));
    patterns
}

/// Patterns of bands longer than any single piece that fills them, least waste first.
fn long_patterns(pieces: &[StraightPiece], fabric_mm: f64, single: &[f64]) -> Vec<Pattern> {
    // Longer bands than the fabric is wide, or the longest piece is, win little.
    let longest = single.iter().copied().fold(1.25 * fabric_mm, f64::max);
    let mut lengths = distinct(pieces.iter().flat_map(|piece| {
        ways(piece, fabric_mm)
            .into_iter()
            .flat_map(move |(_, along)| {
                (2..=piece.count.min(LONG_LENGTHS))
                    .map(move |n| n as f64 * along)
                    .take_while(move |&length| length <= longest + 1e-6)
            })
    }));
    lengths.retain(|length| single.iter().all(|one| (one - length).abs() > 1e-6));
    // Short ones last: they are the first to be dropped where there are too many, as
    // bands of single pieces come close to them.
    lengths.truncate(LONG_LENGTHS);
    let mut found: Vec<(f64, Pattern)> = Vec::new();
    for along in lengths {
        let mut search = Search::new(pieces, fabric_mm, along);
        search.fill(0, fabric_mm, LONG_EACH, &mut Vec::new());
        found.extend(search.found.into_iter().map(|pattern| {
            let of = |s: &Stack| (s.beside * s.stacked) as f64 * s.across_mm * s.along_mm;
            let area: f64 = pattern.stacks.iter().map(of).sum();
            (1.0 - area / (fabric_mm * along), pattern)
        }));
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.truncate(MOST_LONG);
    found.into_iter().map(|(_, pattern)| pattern).collect()
}

/// Lengths without repetition, longest first.
fn distinct(lengths: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut lengths: Vec<f64> = lengths.collect();
    lengths.sort_by(|a, b| b.total_cmp(a));
    lengths.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    lengths
}

struct Search {
    along: f64,
    choices: Vec<Choice>,
    found: Vec<Pattern>,
    looks: usize,
}

impl Search {
    /// The columns that may stand in a band of a length.
    fn new(pieces: &[StraightPiece], fabric_mm: f64, along: f64) -> Self {
        let mut choices: Vec<Choice> = Vec::new();
        for (piece, asked) in pieces.iter().enumerate() {
            for (across_mm, along_mm) in ways(asked, fabric_mm) {
                let stacked = ((along + 1e-6) / along_mm).floor() as usize;
                let stacked = stacked.min(asked.count);
                if stacked == 0 {
                    continue;
                }
                let beside = ((fabric_mm + 1e-6) / across_mm).floor() as usize;
                choices.push(Choice {
                    column: Stack {
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
        Self {
            along,
            choices,
            found: Vec::new(),
            looks: 0,
        }
    }

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
            n > 0 && (column.stacked as f64 * column.along_mm - self.along).abs() < 1e-6
        });
        if could_hold_more || !fills {
            return;
        }
        self.found.push(self.band(chosen));
    }

    /// The band of some columns.
    fn band(&self, chosen: &[(usize, usize)]) -> Pattern {
        let stacks = chosen
            .iter()
            .filter(|&&(_, n)| n > 0)
            .map(|&(i, n)| Stack {
                beside: n,
                ..self.choices[i].column
            })
            .collect();
        Pattern {
            along_mm: self.along,
            stacks,
        }
    }
}
