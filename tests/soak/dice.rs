//! Chance that comes again: the same seed throws the same dice on every machine.

/// Dice of one throw of the soak.
#[derive(Debug, Clone)]
pub struct Dice(u64);

impl Dice {
    /// The dice of throw number `number` of a run with `seed`.
    pub fn of(seed: u64, number: u64) -> Self {
        let mut dice = Self(seed ^ number.wrapping_mul(0x9e37_79b9_7f4a_7c15));
        dice.next();
        dice
    }

    /// SplitMix64 (Steele, Lea and Flood, "Fast splittable pseudorandom number generators", 2014; constants recalled).
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// Evenly from 0 to 1, without 1.
    pub fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Evenly between two values.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + self.share() * (high - low)
    }

    /// Evenly in the logarithm between two positive values.
    pub fn magnitude(&mut self, low: f64, high: f64) -> f64 {
        (self.between(low.ln(), high.ln())).exp()
    }

    /// A whole number below `count`, which is at least 1.
    pub fn below(&mut self, count: usize) -> usize {
        (self.next() % count.max(1) as u64) as usize
    }

    /// True so many times in a hundred.
    pub fn percent(&mut self, percent: u64) -> bool {
        self.next() % 100 < percent
    }

    /// One of these.
    pub fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())]
    }
}
