//! All pieces where they stand, and who may be near whom.

use super::board::{Board, Seat};

/// Seats in buckets along the cloth, each as long as the tallest piece: whatever
/// touches a piece begins in its own bucket or the one before or after.
#[derive(Debug)]
pub(crate) struct Crowd<'a> {
    board: &'a Board,
    pub(crate) seats: Vec<Seat>,
    /// Length of a bucket (ticks).
    pub(crate) cell: f64,
    buckets: Vec<Vec<u32>>,
    of: Vec<usize>,
}

impl<'a> Crowd<'a> {
    pub(crate) fn new(board: &'a Board, seats: Vec<Seat>) -> Self {
        let mut crowd = Self {
            board,
            cell: board.tallest().max(1.0),
            buckets: Vec::new(),
            of: vec![0; seats.len()],
            seats,
        };
        for i in 0..crowd.seats.len() {
            let bucket = crowd.bucket(crowd.board.corner(crowd.seats[i]).0);
            crowd.enter(i, bucket);
        }
        crowd
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
