//! Lengths measured on other scales: what fits side by side still fits, so areas on such scales bound the number of sheets.
//!
//! Conservative scales and dual feasible functions after Fekete and Schepers, "A general framework for bounds for
//! higher-dimensional orthogonal packing problems", Mathematical Methods of Operations Research 60 (2004), and Carlier,
//! Clautiaux and Moukrim, "New reduction procedures and lower bounds for the two-dimensional bin packing problem with
//! fixed orientation", Computers & Operations Research 34 (2007).

#![allow(clippy::indexing_slicing, reason = "a row is as long as its capacity plus one")]

use super::task::Units;

/// Steps of arithmetic that all scales of an axis may take.
const WORK: usize = 6_000_000;
/// Thresholds of each kind of scale at most.
const MOST_THRESHOLDS: usize = 56;
/// Largest number of parts into which the rounding scales divide a sheet.
const MOST_PARTS: i64 = 12;

/// A measure for lengths, and how much of it a sheet of each stock holds side by side.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct ConservativeScale {
    /// The measure of each of the lengths asked for.
    pub(super) measures: Vec<i64>,
    /// What fits along each of the sheets asked for.
    pub(super) capacities: Vec<i64>,
}

/// Scales for pieces of these lengths on sheets of those; a kerf is already added to both.
pub(super) fn scales(lengths: &[Units], sheets: &[Units]) -> Vec<ConservativeScale> {
    let mut references = sheets.to_vec();
    references.sort_unstable();
    references.dedup();
    let mut rows: Vec<(Vec<i64>, Units, i64)> = Vec::new();
    for &whole in &references {
        for (measures, most) in measures(lengths, whole) {
            if !rows.iter().any(|(other, ..)| *other == measures) {
                rows.push((measures, whole, most));
            }
        }
    }
    let largest = references.last().copied().unwrap_or(1).max(1);
    let grid = (WORK / (rows.len().max(1) * lengths.len().max(1))).max(64);
    let grid = largest.min(grid as i64);
    // Rounding lengths down on a coarser grid lets more fit, never less.
    let coarse = |length: Units| (i128::from(length) * i128::from(grid) / i128::from(largest)) as usize;
    let steps: Vec<usize> = lengths.iter().map(|length| coarse(*length)).collect();
    let mut row = Vec::new();
    rows.into_iter()
        .map(|(measures, whole, most)| {
            fill_row(&mut row, grid as usize, &steps, &measures);
            let capacity = |sheet: &Units| {
                let fits = row[coarse(*sheet)];
                if *sheet <= whole { fits.min(most) } else { fits }
            };
            ConservativeScale { capacities: sheets.iter().map(capacity).collect(), measures }
        })
        .collect()
}

/// The scales that say more than others do.
pub(super) fn strongest(scales: Vec<ConservativeScale>) -> Vec<ConservativeScale> {
    let mut kept: Vec<ConservativeScale> = Vec::new();
    for scale in scales {
        if !kept.iter().any(|other| scale.says_no_more_than(other)) {
            kept.retain(|other| !other.says_no_more_than(&scale));
            kept.push(scale);
        }
    }
    kept
}

impl ConservativeScale {
    /// Whether every length is at most as much of every sheet as on another scale, so that no bound by this one is higher.
    fn says_no_more_than(&self, other: &Self) -> bool {
        let share = |measure: i64, capacity: i64| i128::from(measure) * i128::from(capacity);
        let mut measures = self.measures.iter().zip(&other.measures);
        let no_more = measures.all(|(here, there)| {
            let mut capacities = self.capacities.iter().zip(&other.capacities);
            capacities.all(|(holds, held)| share(*here, *held) <= share(*there, *holds))
        });
        no_more && other.capacities.iter().any(|capacity| *capacity > 0)
    }
}

/// The largest sum of measures for every capacity, each length as often as wanted.
fn fill_row(row: &mut Vec<i64>, capacity: usize, steps: &[usize], measures: &[i64]) {
    row.clear();
    row.resize(capacity + 1, 0);
    for (&step, &measure) in steps.iter().zip(measures) {
        // Shorter lengths may measure as much already.
        if row.get(step).is_none_or(|most| *most >= measure) {
            continue;
        }
        if step == 0 {
            row.fill(i64::MAX / 4);
            return;
        }
        for at in step..=capacity {
            row[at] = row[at].max(row[at - step] + measure);
        }
    }
}

/// Measures of the lengths for a sheet of a given length, with what such a sheet holds.
fn measures(lengths: &[Units], whole: Units) -> Vec<(Vec<i64>, i64)> {
    let mut all = Vec::new();
    let mut add = |measure: &dyn Fn(Units) -> i64| {
        let measures: Vec<i64> = lengths.iter().map(|length| measure((*length).min(whole))).collect();
        all.push((measures, measure(whole)));
    };
    add(&|length| length);
    for parts in 1..=MOST_PARTS {
        add(&|length| rounded(length, whole, parts));
    }
    for threshold in thresholds(lengths, whole) {
        add(&|length| without_small(length, whole, threshold));
        add(&|length| stepped(length, whole, threshold));
        add(&|length| counted(length, whole, threshold));
    }
    all
}

/// Lengths at which the scales with a threshold change, up to half of the sheet.
fn thresholds(lengths: &[Units], whole: Units) -> Vec<Units> {
    let near = lengths.iter().flat_map(|length| [*length, whole - length, whole - length + 1, length + 1]);
    let mut found: Vec<Units> = near.filter(|threshold| *threshold > 0 && 2 * threshold <= whole + 1).collect();
    found.sort_unstable();
    found.dedup();
    let step = found.len().div_ceil(MOST_THRESHOLDS).max(1);
    found.into_iter().step_by(step).collect()
}

/// Rounds down to parts of a sheet, unless it is an exact multiple: u⁽ᵏ⁾ of Fekete and Schepers.
fn rounded(length: Units, whole: Units, parts: i64) -> i64 {
    if (parts + 1) * length % whole == 0 { parts * length } else { whole * ((parts + 1) * length / whole) }
}

/// Leaves out what is small and fills up what is large: U⁽ᵋ⁾ of Fekete and Schepers.
fn without_small(length: Units, whole: Units, threshold: Units) -> i64 {
    if length > whole - threshold {
        whole
    } else if length < threshold {
        0
    } else {
        length
    }
}

/// Counts whole steps of the threshold, from both ends: f₂ of Carlier, Clautiaux and Moukrim.
fn stepped(length: Units, whole: Units, threshold: Units) -> i64 {
    match (2 * length).cmp(&whole) {
        std::cmp::Ordering::Greater => 2 * (whole / threshold - (whole - length) / threshold),
        std::cmp::Ordering::Equal => whole / threshold,
        std::cmp::Ordering::Less => 2 * (length / threshold),
    }
}

/// Counts what is not small, and what does not fit beside what is large: φ⁽ᵋ⁾ of Fekete and Schepers.
fn counted(length: Units, whole: Units, threshold: Units) -> i64 {
    if 2 * length > whole { whole / threshold - (whole - length) / threshold } else { i64::from(length >= threshold) }
}

#[cfg(test)]
mod tests {
    use super::super::random::Random;
    use super::*;

    /// Every set of lengths that fits a sheet fits it on every scale.
    #[test]
    fn what_fits_still_fits() {
        for whole in 1..=24 {
            let lengths: Vec<Units> = (1..=whole).collect();
            for scale in scales(&lengths, &[whole, whole + 5]) {
                // The largest sum of measures, from scratch.
                let mut most = vec![0; whole as usize + 6];
                for at in 0..most.len() {
                    for (length, measure) in lengths.iter().zip(&scale.measures) {
                        if *length as usize <= at {
                            most[at] = most[at].max(most[at - *length as usize] + measure);
                        }
                    }
                }
                assert!(most[whole as usize] <= scale.capacities[0], "{whole}: {scale:?}");
                assert!(most[whole as usize + 5] <= scale.capacities[1], "{whole}: {scale:?}");
            }
        }
    }

    #[test]
    fn two_of_more_than_half_do_not_fit_side_by_side() {
        let scales = scales(&[51], &[100]);
        assert!(scales.iter().any(|scale| scale.measures[0] == scale.capacities[0]));
    }

    /// Whatever is ordered, the scales left out bound the sheets no better.
    #[test]
    fn the_strongest_scales_say_all() {
        let mut random = Random::new(4);
        for _ in 0..40 {
            let sheets = [30 + random.below(30) as Units, 25 + random.below(40) as Units];
            let mut lengths: Vec<Units> = (0..8).map(|_| 1 + random.below(25) as Units).collect();
            lengths.sort_unstable();
            lengths.dedup();
            let all = scales(&lengths, &sheets);
            let kept = strongest(all.clone());
            assert!(kept.len() < all.len());
            for _ in 0..20 {
                let quantities: Vec<i64> = lengths.iter().map(|_| random.below(4) as i64).collect();
                let numbers = [random.below(3) as i64, random.below(3) as i64];
                let enough = |scale: &ConservativeScale| {
                    let taken: i64 = scale.measures.iter().zip(&quantities).map(|(one, many)| one * many).sum();
                    taken <= scale.capacities.iter().zip(&numbers).map(|(one, many)| one * many).sum()
                };
                assert_eq!(all.iter().all(enough), kept.iter().all(enough), "{lengths:?} {sheets:?}");
            }
        }
    }
}
