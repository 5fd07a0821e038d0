//! Which motif goes where, when several share a row of places.

use std::fmt;

/// How several motifs share the places of one site.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PlaceOrder {
    /// The first, the second and so on, and the first again.
    #[default]
    InTurn,
    /// One name for each place.
    AsListed,
    /// As many of each as in turn, but equal ones never next to each other in a row or a column,
    /// nor along a border; corner to corner only where it cannot be helped.
    NeverSideBySide,
}

/// Which places are next to each other: for each place, by its number, the places before it.
#[derive(Debug, Clone, Default)]
pub(super) struct Neighbours {
    /// Side by side, or one above the other.
    beside: Vec<Vec<usize>>,
    /// Corner to corner.
    corner: Vec<Vec<usize>>,
    /// So many places are apart from each other, and no more.
    apart: usize,
}

impl Neighbours {
    /// Of a grid, row by row.
    pub(super) fn grid(columns: usize, rows: usize) -> Self {
        let mut neighbours = Self {
            // The dark fields of a chessboard.
            apart: (columns * rows).div_ceil(2),
            ..Self::default()
        };
        for at in 0..columns * rows {
            let (column, row) = (at % columns, at / columns);
            let left = (column > 0).then(|| at - 1);
            let above = (row > 0).then(|| at - columns);
            let above_left = (row > 0 && column > 0).then(|| at - columns - 1);
            let above_right = (row > 0 && column + 1 < columns).then(|| at + 1 - columns);
            let all = |two: [Option<usize>; 2]| two.into_iter().flatten().collect();
            neighbours.beside.push(all([left, above]));
            neighbours.corner.push(all([above_left, above_right]));
        }
        neighbours
    }

    /// Of places all around a border: the last one is next to the first.
    pub(super) fn ring(count: usize) -> Self {
        let mut beside: Vec<Vec<usize>> = (0..count)
            .map(|at| at.checked_sub(1).into_iter().collect())
            .collect();
        if count > 2 {
            beside[count - 1].push(0);
        }
        Self {
            beside,
            corner: vec![vec![]; count],
            // Every other one; of an odd ring the last would be next to the first.
            apart: count.div_ceil(2).min((count / 2).max(1)),
        }
    }

    /// Of places that are not next to each other.
    pub(super) fn none(count: usize) -> Self {
        Self {
            beside: vec![vec![]; count],
            corner: vec![vec![]; count],
            apart: count,
        }
    }

    fn len(&self) -> usize {
        self.beside.len()
    }
}

/// Why motifs cannot be put in the order that is asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Disorder {
    /// Names and places differ in number.
    Listed { names: usize, places: usize },
    /// So many copies of one motif, and only so many places that are not next to each other.
    TooMany {
        motif: String,
        copies: usize,
        apart: usize,
        places: usize,
    },
    /// Nothing was found.
    NotFound { places: usize },
}

impl fmt::Display for Disorder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let of = |n: usize, one: &str, many: &str| match n {
            1 => format!("1 {one}"),
            n => format!("{n} {many}"),
        };
        match self {
            Self::Listed { names, places } => write!(
                f,
                "`motifs` lists {} for {}",
                of(*names, "name", "names"),
                of(*places, "place", "places")
            ),
            Self::TooMany {
                motif,
                copies,
                apart,
                places,
            } => write!(
                f,
                "{} of `{motif}` on {} must touch: no more than {apart} of these places are apart \
                 from each other",
                of(*copies, "copy", "copies"),
                of(*places, "place", "places")
            ),
            Self::NotFound { places } => write!(
                f,
                "no way was found to keep equal motifs apart on {}",
                of(*places, "place", "places")
            ),
        }
    }
}

impl Disorder {
    pub(crate) fn help(&self) -> &'static str {
        match self {
            Self::Listed { .. } => {
                "list one name for each place, row by row from the top left, or write \
                 order = \"in turn\""
            }
            Self::TooMany { .. } | Self::NotFound { .. } => {
                "list more motifs, or each of them once, or write order = \"in turn\""
            }
        }
    }
}

/// For each place, which of the `names` goes there.
pub(super) fn arrange<'a>(
    order: PlaceOrder,
    names: &'a [String],
    neighbours: &Neighbours,
) -> Result<Vec<&'a str>, Disorder> {
    let places = neighbours.len();
    let in_turn = names.iter().map(String::as_str).cycle().take(places);
    match order {
        PlaceOrder::InTurn => Ok(in_turn.collect()),
        PlaceOrder::AsListed if names.len() != places => Err(Disorder::Listed {
            names: names.len(),
            places,
        }),
        PlaceOrder::AsListed => Ok(in_turn.collect()),
        PlaceOrder::NeverSideBySide => {
            let mut kinds: Vec<(&str, usize)> = vec![];
            for name in in_turn {
                match kinds.iter_mut().find(|(known, _)| *known == name) {
                    Some((_, count)) => *count += 1,
                    None => kinds.push((name, 1)),
                }
            }
            apart(&kinds, neighbours)
        }
    }
}

/// So many steps are taken before the search gives up, a step for each place that is looked at
/// for each kind; besides a way straight through all places and back.
const MOST_STEPS: usize = 4_000_000;

/// An order of these kinds, each so often, in which equal ones are never side by side: place by
/// place, with what is left of every kind held against the places that could still take it.
fn apart<'a>(kinds: &[(&'a str, usize)], near: &Neighbours) -> Result<Vec<&'a str>, Disorder> {
    let places = near.len();
    if let Some(&(motif, copies)) = kinds.iter().find(|(_, count)| *count > near.apart) {
        return Err(Disorder::TooMany {
            motif: motif.to_owned(),
            copies,
            apart: near.apart,
            places,
        });
    }
    let mut left: Vec<usize> = kinds.iter().map(|(_, count)| *count).collect();
    let mut taken: Vec<usize> = vec![];
    // For each place that is taken, and the next, what may still be tried there, the best last.
    let mut open: Vec<Vec<usize>> = vec![];
    let mut tried = 0;
    let most_tried = 2 * places + MOST_STEPS / (places * kinds.len()).max(1);
    while taken.len() < places {
        if open.len() == taken.len() {
            open.push(candidates(&taken, &left, near));
        }
        tried += 1;
        if tried > most_tried {
            return Err(Disorder::NotFound { places });
        }
        match open.last_mut().and_then(Vec::pop) {
            Some(kind) => {
                left[kind] -= 1;
                taken.push(kind);
            }
            None => {
                open.pop();
                let Some(last) = taken.pop() else {
                    return Err(Disorder::NotFound { places });
                };
                left[last] += 1;
            }
        }
    }
    Ok(taken.into_iter().map(|kind| kinds[kind].0).collect())
}

/// What may go to the next place, the best last: what has to, else what no equal one meets corner
/// to corner, what is left most often, what comes next in turn.
fn candidates(taken: &[usize], left: &[usize], near: &Neighbours) -> Vec<usize> {
    let at = taken.len();
    let touches =
        |kind: usize, near: &[usize]| near.iter().any(|&one| taken.get(one) == Some(&kind));
    let may = |kind: &usize| left[*kind] > 0 && !touches(*kind, &near.beside[at]);
    let is_at_edge = |at: &usize| near.beside[*at].iter().any(|&one| one < taken.len());
    let edge = (at..near.len()).filter(is_at_edge).count();
    let rooms: Vec<usize> = (0..left.len())
        .map(|kind| {
            // What nothing taken is next to has room for half as many, whatever they are.
            let is_roomy = 2 * left[kind] < near.len() - at - edge;
            if is_roomy {
                usize::MAX
            } else {
                room(near, taken, |there| !there.contains(&kind))
            }
        })
        .collect();
    if (0..left.len()).any(|kind| left[kind] > rooms[kind]) {
        return vec![];
    }
    let after = taken.last().map_or(0, |last| last + 1);
    let mut may: Vec<usize> = (0..left.len()).filter(may).collect();
    may.sort_by_key(|&kind| {
        let turn = (kind + left.len() - after % left.len()) % left.len();
        (
            left[kind] == rooms[kind],
            !touches(kind, &near.corner[at]),
            left[kind],
            left.len() - turn,
        )
    });
    may
}

/// No more of one kind than so many have room on the places that are not taken: of two places side
/// by side only one, of those that `free` refuses, by what is taken next to them, none.
fn room(near: &Neighbours, taken: &[usize], free: impl Fn(&[usize]) -> bool) -> usize {
    let mut single = vec![true; near.len()];
    let mut count = 0;
    for at in taken.len()..near.len() {
        let beside: Vec<usize> = (near.beside[at].iter())
            .filter_map(|&one| taken.get(one).copied())
            .collect();
        if !free(&beside) {
            single[at] = false;
            continue;
        }
        // Paired with one before it that is free and not paired yet, it gives no more room.
        let pair = (near.beside[at].iter()).find(|&&one| one >= taken.len() && single[one]);
        if let Some(&pair) = pair {
            single[pair] = false;
            single[at] = false;
        } else {
            count += 1;
        }
    }
    count
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(words: &str) -> Vec<String> {
        words.split(' ').map(str::to_owned).collect()
    }

    /// The places as rows of letters.
    fn rows(
        order: PlaceOrder,
        words: &str,
        columns: usize,
        rows: usize,
    ) -> Result<String, Disorder> {
        let names = names(words);
        let all = arrange(order, &names, &Neighbours::grid(columns, rows))?;
        let rows: Vec<String> = all.chunks(columns).map(|row| row.concat()).collect();
        Ok(rows.join(" "))
    }

    #[test]
    fn in_turn_and_as_listed() {
        let said = rows(PlaceOrder::InTurn, "a b c", 4, 3);
        assert_eq!(said.as_deref(), Ok("abca bcab cabc"));
        let said = rows(PlaceOrder::AsListed, "a a b b a a", 2, 3);
        assert_eq!(said.as_deref(), Ok("aa bb aa"));
        let wrong = rows(PlaceOrder::AsListed, "a a b b a", 2, 3).unwrap_err();
        assert_eq!(wrong.to_string(), "`motifs` lists 5 names for 6 places");
    }

    // Every grid is a chessboard: (n + 1) / 2 of n places are apart and no more; and two kinds
    // that share it are its two colours.
    #[test]
    fn two_kinds_are_a_chessboard() {
        for (columns, count) in [(1, 1), (1, 7), (2, 2), (3, 3), (4, 5), (5, 4), (25, 40)] {
            let said = rows(PlaceOrder::NeverSideBySide, "a b", columns, count).unwrap();
            for (r, row) in said.split(' ').enumerate() {
                for (c, kind) in row.chars().enumerate() {
                    assert_eq!(kind, if (r + c) % 2 == 0 { 'a' } else { 'b' }, "{said}");
                }
            }
        }
        let wrong = rows(PlaceOrder::NeverSideBySide, "a a b", 4, 5).unwrap_err();
        // Of a a b in turn, 14 of 20 are `a`.
        let words = "14 copies of `a` on 20 places must touch: no more than 10 of these places \
                     are apart from each other";
        assert_eq!(wrong.to_string(), words);
        assert!(rows(PlaceOrder::NeverSideBySide, "a", 1, 1).is_ok());
        assert!(rows(PlaceOrder::NeverSideBySide, "a", 1, 2).is_err());
    }

    // As many of each as in turn, and none beside its like: counted here, cell by cell. Four
    // kinds and more need not meet corner to corner either: rows moved on by two show it.
    #[test]
    fn equal_ones_are_apart_on_every_grid() {
        let lists = [
            "a b",
            "a b c",
            "a b c d",
            "a b c d e",
            "a b a c",
            "a b c d e f g",
        ];
        let sizes = (1..=6).flat_map(|c| (1..=7).map(move |r| (c, r)));
        for (columns, count) in sizes.chain([(20, 30), (40, 15)]) {
            for list in lists {
                let ctx = format!("{list}, {columns} by {count}");
                let said = rows(PlaceOrder::NeverSideBySide, list, columns, count).expect(&ctx);
                let turn = rows(PlaceOrder::InTurn, list, columns, count).unwrap();
                for kind in "abcdefg".chars() {
                    let count = |text: &str| text.matches(kind).count();
                    assert_eq!(count(&said), count(&turn), "{ctx}: {said}");
                }
                let cells: Vec<&[u8]> = said.split(' ').map(str::as_bytes).collect();
                let across = cells.iter().flat_map(|row| row.windows(2));
                assert!(
                    across.into_iter().all(|two| two[0] != two[1]),
                    "{ctx}: {said}"
                );
                let down = cells.windows(2).flat_map(|two| two[0].iter().zip(two[1]));
                assert!(down.into_iter().all(|(a, b)| a != b), "{ctx}: {said}");
            }
        }
        let said = rows(PlaceOrder::NeverSideBySide, "a b c d", 4, 4).unwrap();
        let cells: Vec<&[u8]> = said.split(' ').map(str::as_bytes).collect();
        for two in cells.windows(2) {
            for c in 0..3 {
                assert!(
                    two[0][c] != two[1][c + 1] && two[0][c + 1] != two[1][c],
                    "{said}"
                );
            }
        }
    }

    // On a ring of n places n / 2 are apart: of five, two.
    #[test]
    fn around_a_border() {
        let three = names("a b c");
        let ring = Neighbours::ring(5);
        let all = arrange(PlaceOrder::NeverSideBySide, &three, &ring).unwrap();
        assert!((0..5).all(|i| all[i] != all[(i + 1) % 5]), "{all:?}");
        let two = names("a b");
        let wrong = arrange(PlaceOrder::NeverSideBySide, &two, &ring).unwrap_err();
        let words = "3 copies of `a` on 5 places must touch";
        assert!(wrong.to_string().starts_with(words), "{wrong}");
    }
}
