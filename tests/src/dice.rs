//! Dice that fall the same way every time.

/// A small seeded generator (xorshift64*).
///
/// # Source
/// Marsaglia, "Xorshift RNGs", 2003; Vigna, "An experimental exploration of
/// Marsaglia's xorshift generators, scrambled", 2016; constants from memory.
#[derive(Debug, Clone)]
pub struct Dice(u64);

impl Dice {
    /// Dice from a seed; any seed will do.
    pub fn new(seed: u64) -> Self {
        let mut dice = Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
        dice.next();
        dice
    }

    fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_f491_4f6c_dd1d)
    }

    /// A number in `[low, high)`.
    pub fn real(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// A whole number in `[low, high]`.
    pub fn whole(&mut self, low: usize, high: usize) -> usize {
        low + (self.next() >> 16) as usize % (high - low + 1)
    }

    /// True once in `n` times.
    pub fn once_in(&mut self, n: usize) -> bool {
        self.whole(1, n) == 1
    }

    /// One of several.
    pub fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.whole(0, from.len() - 1)]
    }
}
