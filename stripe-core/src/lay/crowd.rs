//! All pieces where they stand, who may be near whom, and who overlaps whom.

use super::board::{Board, Seat};

/// An overlap of one piece with another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Clash {
    pub(crate) other: u32,
    /// How far they would have to be moved apart (ticks, above 0).
    pub(crate) depth: f64,
}

/// Seats in buckets along the fabric, each as long as the tallest piece: whatever
/// touches a piece begins in its own bucket or the one before or after.
///
/// Overlaps are kept up to date with every move, so that asking for them costs
/// nothing.
#[derive(Debug)]
pub(crate) struct Crowd<'a> {
    board: &'a Board,
    pub(crate) seats: Vec<Seat>,
    /// Length of a bucket (ticks).
    pub(crate) cell: f64,
    buckets: Vec<Vec<u32>>,
    of: Vec<usize>,
    clashes: Vec<Vec<Clash>>,
    found: Vec<u32>,
}

impl<'a> Crowd<'a> {
    pub(crate) fn new(board: &'a Board, seats: &[Seat]) -> Self {
        let mut crowd = Self {
            board,
            cell: board.tallest().max(super::first::LEAST_CELL),
            buckets: Vec::new(),
            of: vec![0; seats.len()],
            seats: Vec::new(),
            clashes: vec![Vec::new(); seats.len()],
            found: Vec::new(),
        };
        crowd.stand(seats);
        crowd
    }

    /// Stands all pieces anew.
    pub(crate) fn stand(&mut self, seats: &[Seat]) {
        self.seats.clear();
        self.seats.extend_from_slice(seats);
        self.buckets.iter_mut().for_each(Vec::clear);
        self.clashes.iter_mut().for_each(Vec::clear);
        for i in 0..self.seats.len() {
            let bucket = self.bucket(self.board.corner(self.seats[i]).0);
            self.enter(i, bucket);
        }
        for i in 0..self.seats.len() {
            self.find_clashes(i, |j| j < i);
        }
    }

    fn bucket(&self, y: f64) -> usize {
        // Casts of what is below nothing give 0.
        (y / self.cell + 1.0) as usize
    }

    fn enter(&mut self, item: usize, bucket: usize) {
        if self.buckets.len() <= bucket {
            self.buckets.resize(bucket + 1, Vec::new());
        }
        self.buckets[bucket].push(item as u32);
        self.of[item] = bucket;
    }

    pub(crate) fn move_to(&mut self, item: usize, seat: Seat) {
        self.seats[item] = seat;
        let bucket = self.bucket(self.board.corner(seat).0);
        let old = self.of[item];
        if bucket != old {
            self.buckets[old].retain(|&i| i as usize != item);
            self.enter(item, bucket);
        }
        for clash in std::mem::take(&mut self.clashes[item]) {
            self.clashes[clash.other as usize].retain(|c| c.other as usize != item);
        }
        self.find_clashes(item, |_| true);
    }

    /// Writes down on both sides whom a piece overlaps, of those that `count`.
    fn find_clashes(&mut self, item: usize, count: impl Fn(usize) -> bool) {
        let seat = self.seats[item];
        let mut found = std::mem::take(&mut self.found);
        self.beside(seat, seat.v, seat.v, &mut found);
        for &j in &found {
            let other = j as usize;
            if other == item || !count(other) {
                continue;
            }
            let depth = self.board.depth(seat, self.seats[other]);
            if depth > 0.0 {
                self.clashes[item].push(Clash { other: j, depth });
                self.clashes[other].push(Clash {
                    other: item as u32,
                    depth,
                });
            }
        }
        self.found = found;
    }

    /// Whom a piece overlaps.
    pub(crate) fn clashes(&self, item: usize) -> &[Clash] {
        &self.clashes[item]
    }

    /// All items that may touch a seat whose place along is between `lo` and
    /// `hi`, itself perhaps among them.
    pub(crate) fn beside(&self, seat: Seat, lo: f64, hi: f64, found: &mut Vec<u32>) {
        let y = |v: f64| self.board.corner(Seat { v, ..seat }).0;
        let (a, b) = (y(lo), y(hi));
        let (low, high) = (a.min(b), a.max(b) + self.board.height(seat.form as usize));
        let from = self.bucket(low).saturating_sub(1);
        let to = self.bucket(high).min(self.buckets.len().saturating_sub(1));
        found.clear();
        for bucket in self.buckets.iter().take(to + 1).skip(from) {
            found.extend_from_slice(bucket);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::random::Random;
    use crate::lay::{Item, Job, Kind, Lock, Pose, Shape, Window};
    use crate::shape::{Region, point};

    /// After any moves, the clashes written down are those there are.
    #[test]
    fn clashes_keep_up_with_moves() {
        let ring = [(0.0, 0.0), (60.0, 10.0), (30.0, 70.0)].map(|(x, y)| point(x, y));
        let outline = Region::new(geo_types::LineString::from(ring.to_vec()), Vec::new());
        let pose = Pose {
            shape: 0,
            residue_mm: 0.0,
            along_mm: 0.0,
            sign: 1.0,
        };
        let item = Item {
            kind: 0,
            group: None,
            block: 0,
        };
        let job = Job {
            window: Window {
                width_mm: 300.0,
                normal_rad: 0.0,
                margin_mm: 0.0,
            },
            lock: Lock::Lines { repeat_mm: 20.0 },
            deviate_mm: 0.0,
            shapes: vec![Shape { outline }],
            kinds: vec![Kind { poses: vec![pose] }],
            items: vec![item; 20],
            groups: 0,
        };
        let board = Board::new(&job).expect("a sound job");
        let mut random = Random::new(5);
        let mut any = || Seat {
            form: 0,
            line: random.below(12) as i32,
            v: random.below(4_000_000) as f64,
        };
        let seats: Vec<Seat> = (0..20).map(|_| any()).collect();
        let mut crowd = Crowd::new(&board, &seats);
        for step in 0..400 {
            crowd.move_to(step % 20, any());
            for i in 0..20 {
                let mut noted: Vec<usize> =
                    crowd.clashes(i).iter().map(|c| c.other as usize).collect();
                noted.sort_unstable();
                let there: Vec<usize> = (0..20)
                    .filter(|&j| j != i && board.depth(crowd.seats[i], crowd.seats[j]) > 0.0)
                    .collect();
                assert_eq!(noted, there);
            }
        }
    }
}
