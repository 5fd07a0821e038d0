//! Kinds that are one and the same to a layout.
//!
//! A fan's wedges are a kind each, for each has its own place in the motif; but where the
//! fabric may be turned or is the same from left and from right, the four wedges of a wheel
//! are laid in the same ways. Whoever tells them apart looks at every layout as often as
//! there are ways to exchange them, and of eight layouts side by side two are left.

use super::board::{Board, Seat};

/// The classes of a board with one offset (`stride == 1`), where forms with one trace may
/// take the same lines.
#[derive(Debug)]
pub(crate) struct Classes {
    /// The class of each kind.
    of_kind: Vec<usize>,
    /// One form for each way in which the pieces of a class may lie.
    pub(crate) forms: Vec<Vec<usize>>,
}

impl Classes {
    /// Compares the kinds of a board.
    pub(crate) fn new(board: &Board) -> Self {
        let mut known: Vec<Vec<usize>> = Vec::new();
        let mut classes = Self {
            of_kind: Vec::new(),
            forms: Vec::new(),
        };
        for forms in &board.kinds {
            let mut ways: Vec<(usize, usize)> =
                forms.clone().map(|f| (board.forms[f].trace, f)).collect();
            ways.sort_unstable();
            ways.dedup_by_key(|way| way.0);
            let traces: Vec<usize> = ways.iter().map(|way| way.0).collect();
            let class = known.iter().position(|other| *other == traces);
            let class = class.unwrap_or_else(|| {
                known.push(traces);
                classes.forms.push(ways.iter().map(|way| way.1).collect());
                known.len() - 1
            });
            classes.of_kind.push(class);
        }
        classes
    }

    /// The class of a kind.
    pub(crate) fn of(&self, kind: usize) -> usize {
        self.of_kind[kind]
    }

    /// How many items there are of each class.
    pub(crate) fn copies(&self, board: &Board) -> Vec<u32> {
        let mut copies = vec![0; self.forms.len()];
        for &(kind, _) in &board.items {
            copies[self.of_kind[kind]] += 1;
        }
        copies
    }

    /// Seats of classes, in any order, given to the items of those classes: one seat an
    /// item, on forms of its own kind. `None` if there are too few.
    pub(crate) fn places(&self, board: &Board, laid: &[(usize, Seat)]) -> Option<Vec<Seat>> {
        let mut of_class: Vec<Vec<Seat>> = vec![Vec::new(); self.forms.len()];
        for &(class, seat) in laid.iter().rev() {
            of_class[class].push(seat);
        }
        let items = board.items.iter();
        items
            .map(|&(kind, _)| {
                let seat = of_class[self.of_kind[kind]].pop()?;
                let trace = board.forms[seat.form as usize].trace;
                let form = board.kinds[kind]
                    .clone()
                    .find(|&f| board.forms[f].trace == trace)?;
                let form = form as u32;
                Some(Seat { form, ..seat })
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::trial::odd_pieces;

    /// A kind whose ways are another's in another order is one with it, and its pieces come
    /// to lie on forms of their own; one that stands elsewhere in the stripe is not.
    #[test]
    fn kinds_laid_in_the_same_ways_are_one() {
        let mut job = odd_pieces(8, 0, 0.0, 1);
        let ways = job.kinds[0].poses.clone();
        job.kinds[1].poses = vec![ways[1], ways[0]];
        job.kinds[2].poses = ways;
        job.kinds[2].poses[0].residue_mm += 3.0;
        let board = Board::new(&job).unwrap();
        let classes = Classes::new(&board);
        assert_eq!(classes.of(0), classes.of(1));
        assert_ne!(classes.of(0), classes.of(2));
        let copies = classes.copies(&board);
        assert_eq!(copies.iter().sum::<u32>(), 8);
        assert_eq!(copies[classes.of(0)], 4);
        // All pieces on the forms of the first kind of their class.
        let laid: Vec<(usize, Seat)> = (0..8)
            .map(|item| {
                let class = classes.of(board.items[item].0);
                let form = classes.forms[class][item / 4 % classes.forms[class].len()] as u32;
                let v = item as f64;
                (class, Seat { form, line: 0, v })
            })
            .collect();
        let seats = classes.places(&board, &laid).unwrap();
        let trace = |seat: &Seat| board.forms[seat.form as usize].trace;
        for (item, seat) in seats.iter().enumerate() {
            assert!(board.kinds[board.items[item].0].contains(&(seat.form as usize)));
        }
        // Every place is taken once, by a piece of the same outline.
        let mut places: Vec<_> = seats.iter().map(|s| (s.v as i64, trace(s))).collect();
        places.sort_unstable();
        let wanted: Vec<_> = laid.iter().map(|(_, s)| (s.v as i64, trace(s))).collect();
        assert_eq!(places, wanted);
        assert_eq!(classes.places(&board, &laid[1..]), None);
    }
}
