//! Into how many sheets a long map falls, and which pieces each one is for.

/// How far a piece reaches along the fabric (mm from the cut end).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reach {
    /// Its nearest point.
    pub low_mm: f64,
    /// Its farthest point.
    pub high_mm: f64,
}

/// A stretch of the fabric, and the pieces that are measured out on its sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch {
    /// Where it begins (mm from the cut end).
    pub low_mm: f64,
    /// Where it ends.
    pub high_mm: f64,
    /// Indices of its pieces; each piece of the fabric is in one stretch.
    pub pieces: Vec<usize>,
}

/// Takes pieces from the cut end on, as long as `fits` says that a stretch of that
/// length with so many pieces has room on one sheet.
///
/// Every piece lies wholly in its stretch; stretches overlap where pieces do. One
/// that fits on no sheet gets a stretch of its own.
pub fn split(reaches: &[Reach], fits: impl Fn(f64, usize) -> bool) -> Vec<Stretch> {
    let mut order: Vec<usize> = (0..reaches.len()).collect();
    order.sort_by(|&a, &b| {
        let (a, b) = (&reaches[a], &reaches[b]);
        a.low_mm
            .total_cmp(&b.low_mm)
            .then(a.high_mm.total_cmp(&b.high_mm))
    });
    let mut stretches: Vec<Stretch> = Vec::new();
    for piece in order {
        let reach = reaches[piece];
        if let Some(stretch) = stretches.last_mut() {
            let high_mm = stretch.high_mm.max(reach.high_mm);
            if fits(high_mm - stretch.low_mm, stretch.pieces.len() + 1) {
                stretch.high_mm = high_mm;
                stretch.pieces.push(piece);
                continue;
            }
        }
        let low_mm = if stretches.is_empty() {
            reach.low_mm.min(0.0)
        } else {
            reach.low_mm
        };
        stretches.push(Stretch {
            low_mm,
            high_mm: reach.high_mm,
            pieces: vec![piece],
        });
    }
    stretches
}

pub(super) fn pieces_word(count: usize) -> String {
    match count {
        1 => "1 piece".to_owned(),
        _ => format!("{count} pieces"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_piece_once_and_whole() {
        let reaches: Vec<Reach> = (0..50)
            .map(|i| Reach {
                low_mm: f64::from(i * 37 % 50) * 20.0,
                high_mm: f64::from(i * 37 % 50) * 20.0 + 150.0,
            })
            .collect();
        let stretches = split(&reaches, |length, n| length <= 400.0 && n <= 9);
        let mut seen: Vec<usize> = stretches.iter().flat_map(|s| s.pieces.clone()).collect();
        seen.sort_unstable();
        assert_eq!(seen, (0..50).collect::<Vec<_>>());
        for stretch in &stretches {
            assert!(stretch.high_mm - stretch.low_mm <= 400.0 && stretch.pieces.len() <= 9);
            for &piece in &stretch.pieces {
                assert!(reaches[piece].low_mm >= stretch.low_mm);
                assert!(reaches[piece].high_mm <= stretch.high_mm);
            }
        }
        assert_eq!(split(&reaches[..1], |_, _| false).len(), 1);
    }
}
