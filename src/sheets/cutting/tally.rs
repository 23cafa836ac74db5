//! Counting how often each kind of piece is taken, for many kinds at once, and telling whether any is taken too often.

#![allow(clippy::indexing_slicing, reason = "words are counted by the number of them")]

/// Words for kinds of which one is wanted, a bit each.
const WORDS: usize = 2;

/// How often each kind is taken: a bit for kinds of which one is wanted, numbers of a few bits side by side for others.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Tally {
    once: [u64; WORDS],
    numbers: u64,
}

impl Tally {
    /// Nothing is taken.
    pub(super) const NONE: Self = Self { once: [0; WORDS], numbers: 0 };
}

/// How often each kind may be taken.
#[derive(Clone, Debug)]
pub(super) struct TallyLimits {
    /// What one of each kind adds.
    ones: Vec<Tally>,
    /// What lifts a number that exceeds its limit to its highest bit.
    lift: u64,
    /// The highest bits.
    high: u64,
}

impl TallyLimits {
    /// Kinds that may be taken so often, if at all; those for which no bits are left may be taken as often as one likes.
    pub(super) fn new(quantities: &[u32]) -> Self {
        let mut limits = Self { ones: Vec::with_capacity(quantities.len()), lift: 0, high: 0 };
        let (mut once, mut numbers) = (0, 0);
        for &quantity in quantities {
            let mut one = Tally::NONE;
            // One bit more than the quantity takes: two numbers within it never overflow into the next.
            let bits = u32::BITS - quantity.leading_zeros() + 1;
            if quantity == 1 && once < WORDS as u32 * u64::BITS {
                one.once[(once / u64::BITS) as usize] = 1 << (once % u64::BITS);
                once += 1;
            } else if quantity > 0 && numbers + bits <= u64::BITS {
                let highest = 1 << (bits - 1);
                one.numbers = 1 << numbers;
                limits.lift |= (highest - 1 - u64::from(quantity)) << numbers;
                limits.high |= highest << numbers;
                numbers += bits;
            }
            limits.ones.push(one);
        }
        limits
    }

    /// One piece of a kind.
    pub(super) fn one(&self, kind: usize) -> Tally {
        self.ones.get(kind).copied().unwrap_or(Tally::NONE)
    }

    /// Both together, none if that is too much of a kind; neither is alone.
    #[inline]
    pub(super) fn sum(&self, one: &Tally, other: &Tally) -> Option<Tally> {
        let numbers = one.numbers + other.numbers;
        let twice = (one.once[0] & other.once[0]) | (one.once[1] & other.once[1]);
        if twice | ((numbers + self.lift) & self.high) != 0 {
            return None;
        }
        Some(Tally { once: [one.once[0] | other.once[0], one.once[1] | other.once[1]], numbers })
    }
}

#[cfg(test)]
mod tests {
    use super::super::random::Random;
    use super::{Tally, TallyLimits};

    /// Random choices are added as plain numbers are.
    #[test]
    fn tells_what_is_too_much() {
        let mut random = Random::new(5);
        for _ in 0..2_000 {
            let quantities: Vec<u32> = (0..1 + random.below(16)).map(|_| 1 + random.below(7) as u32).collect();
            let limits = TallyLimits::new(&quantities);
            let mut draw =
                || -> Vec<u32> { quantities.iter().map(|most| random.below(*most as usize + 1) as u32 / 2).collect() };
            let (one, other) = (draw(), draw());
            let tally = |counts: &[u32]| {
                counts.iter().enumerate().try_fold(Tally::NONE, |sum, (kind, count)| {
                    (0..*count).try_fold(sum, |sum, _| limits.sum(&sum, &limits.one(kind)))
                })
            };
            let (Some(a), Some(b)) = (tally(&one), tally(&other)) else { panic!("within the limits") };
            let sum: Vec<u32> = one.iter().zip(&other).map(|(one, other)| one + other).collect();
            let fits = sum.iter().zip(&quantities).all(|(sum, most)| sum <= most);
            assert_eq!(limits.sum(&a, &b), if fits { tally(&sum) } else { None });
            assert_eq!(limits.sum(&a, &b).is_some(), fits);
        }
    }

    #[test]
    fn many_kinds_go_beyond_the_bits() {
        let limits = TallyLimits::new(&vec![1; 200]);
        assert_eq!(limits.sum(&limits.one(0), &limits.one(0)), None);
        assert_eq!(limits.sum(&limits.one(127), &limits.one(127)), None);
        assert_eq!(limits.one(199), Tally::NONE);
        assert_eq!(TallyLimits::new(&[u32::MAX, u32::MAX, 0]).one(1), Tally::NONE);
    }
}
