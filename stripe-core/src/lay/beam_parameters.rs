//! How a beam search weighs what it has.

use crate::rng::Rng;

/// How a beam search weighs.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BeamParameters {
    /// How much unevenness of the skyline counts beside waste.
    pub(crate) uneven: f64,
    /// The power of the area laid by which layouts are made comparable: the
    /// greater, the earlier large pieces come.
    pub(crate) power: f64,
    /// By how much, at most, chance adds to a score (a share of it).
    pub(crate) chance: f64,
    /// Where chance begins.
    pub(crate) seed: u64,
}

impl BeamParameters {
    /// One of those that have proved good, by chance.
    pub(crate) fn any(seed: u64) -> Self {
        let mut rng = Rng::new(seed);
        let mut between = |lo: f64, hi: f64| lo + (hi - lo) * rng.below(1001) as f64 / 1000.0;
        Self {
            uneven: between(0.25, 0.6),
            power: between(1.0, 2.8),
            chance: between(0.0, 0.02),
            seed,
        }
    }

    /// One a little different from this one.
    pub(crate) fn near(self, rng: &mut Rng) -> Self {
        let mut about = |x: f64, by: f64, lo: f64, hi: f64| {
            (x + by * (rng.below(2001) as f64 / 1000.0 - 1.0)).clamp(lo, hi)
        };
        Self {
            uneven: about(self.uneven, 0.06, 0.1, 0.9),
            power: about(self.power, 0.25, 0.8, 3.2),
            chance: about(self.chance, 0.006, 0.0, 0.03),
            seed: rng.bits(),
        }
    }

    /// The score of a layout with so much wasted, uneven and placed.
    pub(super) fn score(&self, waste: f64, uneven: f64, placed: f64, hash: u64) -> f64 {
        let roll = ((hash ^ self.seed).wrapping_mul(0x9e37_79b9_7f4a_7c15) >> 40) as f64;
        let chance = 1.0 + self.chance * roll / (1u64 << 24) as f64;
        chance * (waste + self.uneven * uneven) / placed.powf(self.power)
    }
}
