//! A second opinion: the same question as a whole-number program, nothing shared with
//! the search.

use super::tests::order;
use super::{Rectangle, guillotine};
use crate::lp::Program;
use crate::rng::Rng;
use std::collections::BTreeMap;

/// The shortest strip by a whole-number program: how often a plate of each size is cut at
/// each place, and how often it is a piece.
///
/// # Source
/// Furini, Malaguti and Thomopulos 2016, "Modeling two-dimensional guillotine cutting
/// problems via integer programming" (from memory): plates and cuts.
fn shortest(rects: &[Rectangle], width: i64, most: i64, turn: bool) -> i64 {
    let mut program = Program::new();
    let many = rects.len() as f64;
    // What makes and takes plates of each size.
    let mut plates: BTreeMap<(i64, i64), Vec<(usize, f64)>> = BTreeMap::new();
    let mut starts = vec![];
    for along in 1..=most {
        let start = program.whole_column(along as f64, 0.0, 1.0);
        starts.push((start, 1.0));
        plates.entry((width, along)).or_default().push((start, 1.0));
        for across in 1..=width {
            for at in 1..=across / 2 {
                let cut = program.whole_column(0.0, 0.0, many);
                plates.entry((across, along)).or_default().push((cut, -1.0));
                for part in [at, across - at] {
                    plates.entry((part, along)).or_default().push((cut, 1.0));
                }
            }
            for at in 1..=along / 2 {
                let cut = program.whole_column(0.0, 0.0, many);
                plates.entry((across, along)).or_default().push((cut, -1.0));
                for part in [at, along - at] {
                    plates.entry((across, part)).or_default().push((cut, 1.0));
                }
            }
        }
    }
    program.row(starts, 1.0);
    for rect in rects {
        let mut ways = vec![(rect.across, rect.along)];
        if turn && rect.across != rect.along {
            ways.push((rect.along, rect.across));
        }
        ways.retain(|way| plates.contains_key(way));
        let mut taken = vec![];
        for way in ways {
            let piece = program.whole_column(0.0, 0.0, 1.0);
            taken.push((piece, 1.0));
            plates.entry(way).or_default().push((piece, -1.0));
        }
        program.row(taken, 1.0);
    }
    for terms in plates.into_values() {
        // Both halves of a cut may be of one size.
        let mut sum: BTreeMap<usize, f64> = BTreeMap::new();
        for (column, factor) in terms {
            *sum.entry(column).or_default() += factor;
        }
        program.row(sum.into_iter().collect(), 0.0);
    }
    program.minimise().unwrap().cost.round() as i64
}

#[test]
fn a_whole_number_program_agrees() {
    let mut rng = Rng::new(11);
    for case in 0..CASES {
        let turn = case % 2 == 0;
        let side = |rng: &mut Rng| 1 + rng.below(4) as i64;
        let rects: Vec<Rectangle> = (0..PIECES)
            .map(|_| Rectangle {
                across: side(&mut rng),
                along: side(&mut rng),
            })
            .collect();
        let never = || false;
        let cutting = guillotine(&order(&rects, WIDTH, turn, &never)).unwrap();
        assert!(cutting.is_optimal());
        // One more than is needed: the program has to find the shortest by itself.
        let by_program = shortest(&rects, WIDTH, cutting.length + 1, turn);
        assert_eq!(cutting.length, by_program, "{rects:?}, {turn}");
    }
}

const CASES: usize = 10;
const PIECES: usize = 4;
const WIDTH: i64 = 5;
