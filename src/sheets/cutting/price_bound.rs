//! The least that whole sheets can cost, given that they cost no less than something.

use std::collections::BTreeSet;

/// Sums looked at before the search gives up; some thousand sheets of a few prices have fewer.
const MOST_SUMS: usize = 100_000;

/// Returns the smallest sum of prices, each taken any number of times, that is not below a bound.
///
/// A plan that may not cost less than the bound may not cost less than this. The bound itself is returned where there are
/// too many sums to look at, or no price above zero.
pub(in crate::sheets) fn whole_sheets(bound: i64, prices: &[i64]) -> i64 {
    let prices: BTreeSet<i64> = prices.iter().copied().filter(|price| *price > 0).collect();
    let mut sums = BTreeSet::from([0]);
    for _ in 0..MOST_SUMS {
        let Some(sum) = sums.pop_first() else { break };
        if sum >= bound {
            return sum;
        }
        sums.extend(prices.iter().filter_map(|price| sum.checked_add(*price)));
    }
    bound
}

#[cfg(test)]
mod tests {
    use super::whole_sheets;

    #[test]
    fn is_the_next_sum_of_prices() {
        for (bound, prices, expected) in [
            (17, &[12, 23][..], 23),
            (24, &[12, 23], 24),
            (25, &[12, 23], 35),
            (0, &[12], 0),
            (-3, &[12], 0),
            (5, &[], 5),
            (5, &[0], 5),
            // Too many sums to look at.
            (1_000_000_007, &[1_000_000, 999_999], 1_000_000_007),
        ] {
            assert_eq!(whole_sheets(bound, prices), expected, "{bound} {prices:?}");
        }
    }
}
