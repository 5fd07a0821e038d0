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
    let walks: Vec<Walk> = (0..SEEDS)
        .into_par_iter()
        .map(|seed| walk(order, bound, seed))
        .collect();
    // The first of equals: the winner does not hang on the number of threads.
    let best = walks
        .into_iter()
        .min_by_key(|walk| walk.length)
        .expect("SEEDS is above zero");
    read(&best.tree, order.rects, best.length)
}

/// Hot enough to cross a shelf's waste at first, cold enough at last to go only down
/// (shares of the strip's length).
const HOT: f64 = 0.015;
const COLD: f64 = 0.000_4;
/// Joins of one annealing: enough for some thirty pieces to settle, about a second.
const LAP: u64 = 4_000_000;
/// A move that lengthens the strip by more than this share is never taken, so blocks
/// that waste as much need not be looked at.
const WORST: f64 = 0.05;
/// Moves at one heat, between two looks at the stop signal.
const MOVES: usize = 256;

/// A tree with the length that it stands for.
#[derive(Debug, Clone)]
struct Walk {
    length: i64,
    tree: Tree,
}

/// Annealings one after another until the tries are used up: by turns afresh from the
/// shelves, and half as hot from the best tree so far.
fn walk(order: &Order<'_>, bound: i64, seed: u64) -> Walk {
    let mut dice = Dice::new(seed + 1);
    let tree = Tree::shelves(order);
    let length = tree.length().expect("shelves always fit");
    let shelves = Walk { length, tree };
    let mut best = shelves.clone();
    if order.rects.len() < 3 {
        return best;
    }
    let mut spent = 0;
    for lap in 0.. {
        // Work is counted in joins, so that the same order costs the same everywhere.
        let share = LAP.min(order.tries.saturating_sub(spent));
        if share == 0 {
            break;
        }
        let is_fresh = lap % 2 == 0;
        let mut here = if is_fresh { &shelves } else { &best }.clone();
        let hot = if is_fresh { HOT } else { HOT / 2.0 };
        let from = here.tree.joins();
        let mut gone = 0;
        while gone < share {
            if best.length <= bound || (order.stop)() {
                return best;
            }
            let part = gone as f64 / share as f64;
            let heat = bound as f64 * hot * (COLD / hot).powf(part);
            here.tree.limit(here.length + (bound as f64 * WORST) as i64);
            for _ in 0..MOVES {
                step(&mut here, heat, &mut dice);
                if here.length < best.length {
                    best = here.clone();
                }
            }
            // Where no move can be made nothing is joined, and still it must end.
            gone = (here.tree.joins() - from).max(gone + 1);
        }
        spent += gone;
    }
    best
}

/// One move, taken back where it lengthens the strip too much for the heat.
fn step(here: &mut Walk, heat: f64, dice: &mut Dice) {
    here.tree.shake(dice);
    let taken = here.tree.length().filter(|&now| {
        let worse = (now - here.length) as f64;
        worse <= 0.0 || dice.share() < (-worse / heat).exp()
    });
    match taken {
        Some(now) => here.length = now,
        None => here.tree.undo(),
    }
}

/// Reads one pattern out of the tree's staircases.
fn read(tree: &Tree, rects: &[Rect], length: i64) -> Pattern {
    let root = tree.root();
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
