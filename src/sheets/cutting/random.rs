//! A small generator of numbers that look random and repeat from their seed.

/// SplitMix64 (Steele, Lea and Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014).
#[derive(Clone, Debug)]
pub(super) struct Random(u64);

impl Random {
    pub(super) fn new(seed: u64) -> Self {
        Self(seed)
    }

    pub(super) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A number below `end`; 0 when that is 0.
    pub(super) fn below(&mut self, end: usize) -> usize {
        (((self.next() >> 32) * end as u64) >> 32) as usize
    }

    /// Whether an event of so many in 1024 happens.
    pub(super) fn chance(&mut self, of_1024: u32) -> bool {
        (self.next() >> 54) < u64::from(of_1024)
    }
}

#[cfg(test)]
mod tests {
    use super::Random;

    #[test]
    fn repeats_from_its_seed_and_stays_below() {
        let draw = |seed| {
            let mut random = Random::new(seed);
            (0..100).map(|_| random.below(7)).collect::<Vec<_>>()
        };
        assert_eq!(draw(1), draw(1));
        assert_ne!(draw(1), draw(2));
        assert!(draw(3).iter().all(|number| *number < 7));
        assert!((0..7).all(|number| draw(4).contains(&number)));
    }
}
