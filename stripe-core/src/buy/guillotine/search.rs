//! Simulated annealing over slicing trees.

mod tree;

use super::dice::Dice;
use super::pattern::{Cut, Pattern};
use super::stairs::{length_at, width_at};
use super::{Order, Rect, SEEDS};
use rayon::prelude::*;
use tree::Tree;

/// The best pattern of all walks; ends early where one reaches `bound`.
pub(super) fn search(order: &Order<'_>, bound: i64) -> Pattern {
    let walks: Vec<Tree> = (0..SEEDS)
        .into_par_iter()
        .map(|seed| walk(order, bound, seed))
        .collect();
    // The first of equals: the winner does not hang on the number of threads.
    let best = walks
        .into_iter()
        .min_by_key(Tree::length)
        .expect("SEEDS is above zero");
    read(&best, order.rects)
}

/// Hot enough to cross a shelf's waste at first, cold enough at last to go only down
/// (shares of the strip's length).
const HOT: f64 = 0.015;
const COLD: f64 = 0.000_4;
/// Annealings a walk: the later ones start from the best tree so far, less hot.
const ROUNDS: u64 = 4;
/// Moves at one heat, between two looks at the stop signal.
const MOVES: usize = 256;

fn walk(order: &Order<'_>, bound: i64, seed: u64) -> Tree {
    let mut dice = Dice::new(seed + 1);
    let mut best = Tree::shelves(order);
    if order.rects.len() < 3 {
        return best;
    }
    // Work is counted in joins, so that the same order costs the same everywhere.
    let share = (order.tries / ROUNDS).max(1);
    for round in 0..ROUNDS {
        let mut tree = best.clone();
        let hot = HOT / (1 + round) as f64;
        let from = tree.joins();
        while tree.joins() - from < share {
            if best.length() <= bound || (order.stop)() {
                return best;
            }
            let gone = (tree.joins() - from) as f64 / share as f64;
            let heat = bound as f64 * hot * (COLD / hot).powf(gone);
            for _ in 0..MOVES {
                let before = tree.length();
                tree.shake(&mut dice);
                let worse = (tree.length() - before) as f64;
                if worse > 0.0 && dice.share() >= (-worse / heat).exp() {
                    tree.undo();
                } else if tree.length() < best.length() {
                    best = tree.clone();
                }
            }
        }
    }
    best
}

/// Reads one pattern out of the tree's staircases.
fn read(tree: &Tree, rects: &[Rect]) -> Pattern {
    let root = tree.root();
    let length = tree.length();
    let across = width_at(tree.stairs(root), length).expect("the root has stairs");
    Pattern {
        cut: read_node(tree, rects, root, across, length),
        across,
        length,
    }
}

fn read_node(tree: &Tree, rects: &[Rect], node: usize, across: i64, along: i64) -> Cut {
    let Some((a, b)) = tree.children(node) else {
        let rect = rects[node];
        return Cut::Piece {
            rect: node,
            turned: rect.across > across || rect.along > along,
        };
    };
    let (sa, sb) = (tree.stairs(a), tree.stairs(b));
    if let (Some(near), Some(far)) = (length_at(sa, across), length_at(sb, across))
        && near + far <= along
    {
        return Cut::Across {
            at: near,
            near: Box::new(read_node(tree, rects, a, across, near)),
            far: Box::new(read_node(tree, rects, b, across, along - near)),
        };
    }
    let left = width_at(sa, along).expect("what does not stack lies side by side");
    Cut::Along {
        at: left,
        left: Box::new(read_node(tree, rects, a, left, along)),
        right: Box::new(read_node(tree, rects, b, across - left, along)),
    }
}
