//! Random numbers that are the same on every run (xorshift64*, S. Vigna 2016).
#![allow(dead_code, reason = "each test program uses a part of it")]

pub(crate) struct Random(u64);

impl Random {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    /// A number below `end`.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        usize::try_from((self.next() >> 33) % end as u64).unwrap()
    }

    /// A number between two others.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// True once in so many times.
    pub(crate) fn once_in(&mut self, times: usize) -> bool {
        self.below(times) == 0
    }

    pub(crate) fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[self.below(from.len())]
    }
}
