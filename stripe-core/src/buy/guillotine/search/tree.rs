//! A slicing tree whose nodes carry their staircases, with moves that can be undone.

use super::super::dice::Dice;
use super::super::stairs::{Bench, Stairs, join, leaf};
use super::super::{Order, Rect};

const NONE: usize = usize::MAX;

/// Leaves are the nodes `0..n`, inner nodes `n..2n - 1`.
#[derive(Debug)]
pub(super) struct Tree {
    width: i64,
    n: usize,
    parent: Vec<usize>,
    child: Vec<[usize; 2]>,
    stairs: Vec<Stairs>,
    /// Area of a node's pieces.
    area: Vec<i64>,
    /// Waste that no block may exceed.
    waste: i64,
    root: usize,
    joins: u64,
    bench: Bench,
    /// What the last move did, to take it back.
    last: Move,
    /// Staircases that the last move replaced, newest last.
    old: Vec<(usize, Stairs)>,
    spare: Vec<Stairs>,
}

#[derive(Debug, Clone, Copy)]
enum Move {
    Nothing,
    Swapped(usize, usize),
    /// The node was regrafted; its parent's other child and that one's side before.
    Moved {
        node: usize,
        sibling: usize,
        side: usize,
    },
}

impl Clone for Tree {
    fn clone(&self) -> Self {
        Self {
            width: self.width,
            n: self.n,
            parent: self.parent.clone(),
            child: self.child.clone(),
            stairs: self.stairs.clone(),
            area: self.area.clone(),
            waste: self.waste,
            root: self.root,
            joins: self.joins,
            bench: Bench::default(),
            last: Move::Nothing,
            old: Vec::new(),
            spare: Vec::new(),
        }
    }
}

impl Tree {
    /// Shelves by falling length, each as full as can be: always a pattern.
    pub(super) fn shelves(order: &Order<'_>) -> Self {
        let n = order.rects.len();
        let lie: Vec<Rect> = order
            .rects
            .iter()
            .map(|&r| {
                *leaf(r, order.turn, order.width)
                    .last()
                    .expect("checked: it fits")
            })
            .collect();
        let mut by_length: Vec<usize> = (0..n).collect();
        by_length.sort_by_key(|&i| (-lie[i].along, -lie[i].across, i));
        let mut shelves: Vec<(i64, Vec<usize>)> = Vec::new();
        for i in by_length {
            let room = shelves
                .iter_mut()
                .find(|(used, _)| used + lie[i].across <= order.width);
            match room {
                Some((used, shelf)) => {
                    *used += lie[i].across;
                    shelf.push(i);
                }
                None => shelves.push((lie[i].across, vec![i])),
            }
        }
        let mut tree = Self {
            width: order.width,
            n,
            parent: vec![NONE; 2 * n - 1],
            child: vec![[NONE; 2]; 2 * n - 1],
            stairs: order
                .rects
                .iter()
                .map(|&r| leaf(r, order.turn, order.width))
                .collect(),
            area: order.rects.iter().map(|r| r.across * r.along).collect(),
            waste: i64::MAX / 2,
            root: 0,
            joins: 0,
            bench: Bench::default(),
            last: Move::Nothing,
            old: Vec::new(),
            spare: Vec::new(),
        };
        tree.stairs.resize(2 * n - 1, Stairs::new());
        tree.area.resize(2 * n - 1, 0);
        let mut next = n;
        let tops: Vec<usize> = shelves
            .iter()
            .map(|(_, shelf)| tree.gather(shelf, &mut next))
            .collect();
        tree.root = tree.gather(&tops, &mut next);
        tree
    }

    /// Joins nodes in order into one, as evenly as can be; its own walks are short.
    fn gather(&mut self, nodes: &[usize], next: &mut usize) -> usize {
        if let [one] = nodes {
            return *one;
        }
        let (left, right) = nodes.split_at(nodes.len() / 2);
        let pair = [self.gather(left, next), self.gather(right, next)];
        let node = *next;
        *next += 1;
        self.child[node] = pair;
        self.parent[pair[0]] = node;
        self.parent[pair[1]] = node;
        self.refresh(node);
        self.old.clear();
        node
    }

    pub(super) fn root(&self) -> usize {
        self.root
    }

    pub(super) fn stairs(&self, node: usize) -> &[Rect] {
        &self.stairs[node]
    }

    pub(super) fn children(&self, node: usize) -> Option<(usize, usize)> {
        (node >= self.n).then(|| (self.child[node][0], self.child[node][1]))
    }

    /// The least length at the full width; none where waste passes the limit.
    pub(super) fn length(&self) -> Option<i64> {
        Some(self.stairs[self.root].last()?.along)
    }

    /// From now on drops blocks with more waste than a strip of `length` can hold.
    pub(super) fn limit(&mut self, length: i64) {
        self.waste = self.width.saturating_mul(length) - self.area[self.root];
    }

    /// Staircases joined so far: the measure of work.
    pub(super) fn joins(&self) -> u64 {
        self.joins
    }

    /// One random move; always leaves a full tree.
    pub(super) fn shake(&mut self, dice: &mut Dice) {
        self.spare
            .extend(self.old.drain(..).map(|(_, stairs)| stairs));
        self.last = Move::Nothing;
        let all = 2 * self.n - 1;
        // Any draw may fail (one inside the other): a few draws, else no move.
        for _ in 0..16 {
            let (a, b) = (dice.below(all), dice.below(all));
            let done = if dice.below(3) == 0 {
                self.swap(a, b)
            } else {
                self.graft(a, b, dice.below(2))
            };
            if done {
                return;
            }
        }
    }

    /// Takes the last move back.
    pub(super) fn undo(&mut self) {
        match self.last {
            Move::Nothing => {}
            Move::Swapped(a, b) => self.exchange(a, b),
            Move::Moved {
                node,
                sibling,
                side,
            } => {
                self.cut_out(node);
                self.put_in(node, sibling, side);
            }
        }
        self.last = Move::Nothing;
        while let Some((node, stairs)) = self.old.pop() {
            let newer = std::mem::replace(&mut self.stairs[node], stairs);
            self.spare.push(newer);
        }
    }

    fn swap(&mut self, a: usize, b: usize) -> bool {
        if a == b || self.is_above(a, b) || self.is_above(b, a) {
            return false;
        }
        if self.parent[a] == self.parent[b] {
            return false;
        }
        self.exchange(a, b);
        self.last = Move::Swapped(a, b);
        self.refresh_up(self.parent[a], self.parent[b]);
        true
    }

    fn graft(&mut self, node: usize, onto: usize, side: usize) -> bool {
        if node == self.root || node == onto || self.is_above(node, onto) {
            return false;
        }
        let above = self.parent[node];
        if onto == above {
            return false;
        }
        let was = self.side(node);
        let sibling = self.child[above][1 - was];
        if sibling == onto {
            return false;
        }
        let left = self.parent[above];
        self.cut_out(node);
        self.put_in(node, onto, side);
        self.last = Move::Moved {
            node,
            sibling,
            side: was,
        };
        self.refresh_up(left, above);
        true
    }

    fn side(&self, node: usize) -> usize {
        usize::from(self.child[self.parent[node]][1] == node)
    }

    fn exchange(&mut self, a: usize, b: usize) {
        let (pa, pb) = (self.parent[a], self.parent[b]);
        let (sa, sb) = (self.side(a), self.side(b));
        self.child[pa][sa] = b;
        self.child[pb][sb] = a;
        self.parent[a] = pb;
        self.parent[b] = pa;
    }

    /// Takes a node and its parent out of the tree; the sibling moves up.
    fn cut_out(&mut self, node: usize) {
        let above = self.parent[node];
        let sibling = self.child[above][1 - self.side(node)];
        self.hang(sibling, above);
    }

    /// Puts a node with its (loose) parent above another node.
    fn put_in(&mut self, node: usize, onto: usize, side: usize) {
        let above = self.parent[node];
        self.hang(above, onto);
        self.child[above][side] = node;
        self.child[above][1 - side] = onto;
        self.parent[onto] = above;
    }

    /// Lets `node` take the place of `instead`.
    fn hang(&mut self, node: usize, instead: usize) {
        let over = self.parent[instead];
        self.parent[node] = over;
        if over == NONE {
            self.root = node;
        } else {
            let side = self.side(instead);
            self.child[over][side] = node;
        }
    }

    fn is_above(&self, upper: usize, mut node: usize) -> bool {
        while node != NONE {
            if node == upper {
                return true;
            }
            node = self.parent[node];
        }
        false
    }

    /// Works out anew what lies above two changed places.
    fn refresh_up(&mut self, a: usize, b: usize) {
        let mut node = a;
        while node != NONE && !self.is_above(node, b) {
            self.refresh(node);
            node = self.parent[node];
        }
        node = b;
        while node != NONE {
            self.refresh(node);
            node = self.parent[node];
        }
    }

    fn refresh(&mut self, node: usize) {
        let mut fresh = self.spare.pop().unwrap_or_default();
        let [a, b] = self.child[node];
        self.area[node] = self.area[a] + self.area[b];
        join(
            &self.stairs[a],
            &self.stairs[b],
            self.width,
            self.area[node] + self.waste,
            &mut self.bench,
            &mut fresh,
        );
        self.joins += 1;
        let was = std::mem::replace(&mut self.stairs[node], fresh);
        self.old.push((node, was));
    }
}
