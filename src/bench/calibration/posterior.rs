//! What readings off a ruler say of a line: each is rounded to a mark, and scatters as well.
//!
//! The chance of a reading `y` where the truth is `μ` is that of a normal deviate with the scatter of the person, spread
//! over the mark that it was rounded to. A sum or a difference of two rounded readings spreads over two marks. The scatter
//! is not known: every size that a person may have counts, each factor alike (Jeffreys 1946). What is left after all
//! readings is summed up on a grid; it holds however large the marks are beside the scatter, where least squares with
//! Student's t takes readings that were rounded to the same mark for certain.

use super::student::{self, CONFIDENCE};
use crate::fault::Certain;
use crate::tolerance::{LEAST_DENSITY, LEAST_FALL, LEAST_SPREAD};

/// A measurement as the sum of readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct SummedReading {
    pub(super) x: f64,
    pub(super) y: f64,
    /// By how much `y` is off where one reading is off by one unit.
    pub(super) scale: f64,
    /// How many rounded readings it is the sum of: one or two.
    pub(super) roundings: u8,
}

/// The line that least squares find, near which the likely ones lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct LeastSquaresLine {
    /// The middle of the settings.
    pub(super) middle: f64,
    /// The fitted value there.
    pub(super) height: f64,
    pub(super) slope: f64,
    /// Standard error of the slope; zero if it was not fitted.
    pub(super) slope_error: f64,
    /// How far apart the settings lie, if a slope was fitted.
    pub(super) width: Option<f64>,
    /// Standard deviation of one measurement.
    pub(super) spread: f64,
    /// Measurements beyond those that the fit uses up.
    pub(super) freedom: usize,
}

/// Lines with their weights; the weights add up to one.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Posterior {
    middle: f64,
    /// Height at the middle, slope, weight.
    lines: Vec<(f64, f64, f64)>,
}

/// A number with all that is left open about it: equally likely values in order.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Distribution(Vec<f64>);

/// Points of the grid along each number, and sizes of the scatter.
const STEPS: usize = 41;
const SCATTERS: usize = 12;
/// Least and largest scatter of a person with a ruler, in millimetres (common practice, no source).
const SCATTER_MM: [f64; 2] = [0.04, 1.0];
/// How much denser the grid is in the middle: the steps grow like a hyperbolic sine.
const DENSER: f64 = 3.0;
/// Values that stand for a distribution.
const VALUES: usize = 120;

impl Posterior {
    /// Weighs all lines near a guess against the readings, which were rounded to a mark in millimetres.
    pub(super) fn new(readings: &[SummedReading], guess: &LeastSquaresLine, mark: f64) -> Option<Self> {
        let LeastSquaresLine { middle, height, slope, .. } = *guess;
        let far = student::quantile(0.9995, guess.freedom);
        let floor = readings.iter().map(|reading| reading.scale * mark).fold(0.0, f64::max);
        let spread = guess.spread.max(floor);
        let heights = grid(height, far.min(12.0) * spread / (readings.len() as f64).sqrt() + floor, STEPS);
        let slopes = match (guess.slope_error, guess.width) {
            (error, _) if error > 0.0 => {
                grid(slope, far.min(12.0) * error * spread / guess.spread.max(LEAST_SPREAD), STEPS)
            }
            (_, Some(width)) => grid(slope, far.min(12.0) * spread / width, STEPS),
            (_, None) => vec![(slope, 1.0)],
        };
        let scatters: Vec<[DensityTable; 2]> = (0..SCATTERS)
            .map(|step| scatter(step as f64 / (SCATTERS - 1) as f64))
            .map(|scatter| [1, 2].map(|roundings| DensityTable::new(mark, scatter, roundings)))
            .collect();
        let mut lines = Vec::with_capacity(heights.len() * slopes.len());
        let mut best = f64::NEG_INFINITY;
        let mut logs = Vec::new();
        for &(height, height_step) in &heights {
            for &(slope, slope_step) in &slopes {
                let of_scatter = |[one, two]: &[DensityTable; 2]| -> f64 {
                    let log = |reading: &SummedReading| {
                        let miss = (reading.y - height - slope * (reading.x - middle)) / reading.scale;
                        if reading.roundings < 2 { one.log(miss) } else { two.log(miss) }
                    };
                    readings.iter().map(log).sum()
                };
                let all: Vec<f64> = scatters.iter().map(of_scatter).collect();
                best = all.iter().copied().fold(best, f64::max);
                logs.push((height, slope, height_step * slope_step, all));
            }
        }
        let mut total = 0.0;
        for (height, slope, step, all) in logs {
            let weight = step * all.into_iter().map(|log| (log - best).exp()).sum::<f64>();
            total += weight;
            lines.push((height, slope, weight));
        }
        lines.iter_mut().for_each(|line| line.2 /= total);
        (total.is_finite() && total > 0.0).then_some(Self { middle, lines })
    }

    /// Returns the height of the line at a setting.
    pub(super) fn at(&self, x: f64) -> Distribution {
        Distribution::weighed(
            self.lines.iter().map(|(height, slope, weight)| (height + slope * (x - self.middle), *weight)),
        )
    }

    /// Returns its slope.
    pub(super) fn slope(&self) -> Distribution {
        Distribution::weighed(self.lines.iter().map(|(_, slope, weight)| (*slope, *weight)))
    }
}

/// The logarithm of a density at evenly spaced misses, for one mark and one scatter.
pub(super) struct DensityTable {
    step: f64,
    logs: Vec<f64>,
}

/// Steps of a table.
const TABLE: usize = 200;

impl DensityTable {
    fn new(mark: f64, scatter: f64, roundings: u8) -> Self {
        let step = (mark + 6.0 * scatter) * f64::from(roundings) / TABLE as f64;
        let log = |at: usize| density(at as f64 * step, mark, scatter, roundings).max(LEAST_DENSITY).ln();
        Self { step, logs: (0..=TABLE).map(log).collect() }
    }

    /// Makes the table of readings that may be anything with a small density besides.
    pub(super) fn with_slips(mark: f64, scatter: f64, roundings: u8, slip: f64) -> Self {
        let step = (mark + 6.0 * scatter) * f64::from(roundings) / TABLE as f64;
        let log = |at: usize| (density(at as f64 * step, mark, scatter, roundings) + slip).ln();
        Self { step, logs: (0..=TABLE).map(log).collect() }
    }

    /// Returns the logarithm between two steps; beyond the last one it goes on falling.
    pub(super) fn log(&self, miss: f64) -> f64 {
        let at = miss.abs() / self.step;
        let below = (at as usize).min(TABLE - 1);
        match (self.logs.get(below), self.logs.get(below + 1)) {
            (Some(low), Some(high)) => low + (high - low).min(-LEAST_FALL) * (at - below as f64),
            _ => f64::NEG_INFINITY,
        }
    }
}

/// Returns points about a middle, with the width that each stands for.
pub(super) fn grid(middle: f64, reach: f64, steps: usize) -> Vec<(f64, f64)> {
    let half = (steps / 2) as f64;
    let point = |step: usize| {
        let at = DENSER * (step as f64 - half) / half;
        (middle + reach * at.sinh() / DENSER.sinh(), at.cosh())
    };
    (0..steps).map(point).collect()
}

/// Returns a size of the scatter, from the least to the largest, each factor alike.
fn scatter(share: f64) -> f64 {
    let [least, largest] = SCATTER_MM;
    least * (largest / least).powf(share)
}

/// Returns the density of a miss that is a normal deviate plus one or two roundings to a mark.
fn density(miss: f64, mark: f64, scatter: f64, roundings: u8) -> f64 {
    if roundings < 2 {
        let within = |end: f64| normal_up_to((miss + end) / scatter);
        return (within(0.5 * mark) - within(-0.5 * mark)) / mark;
    }
    // Two independent readings: their scatter adds up too, and the roundings spread like a triangle.
    let scatter = scatter * std::f64::consts::SQRT_2;
    let twice = |at: f64| scatter * integral_of_normal((miss + at) / scatter);
    (twice(mark) - 2.0 * twice(0.0) + twice(-mark)) / (mark * mark)
}

/// Returns the integral of the chance that a normal deviate is at most `z`, up to there.
fn integral_of_normal(z: f64) -> f64 {
    z * normal_up_to(z) + (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt()
}

/// Returns the chance that a normal deviate is at most `z`: M. Abramowitz and I. A. Stegun, *Handbook of Mathematical
/// Functions*, 26.2.17, with an error below 7.5e-8.
fn normal_up_to(z: f64) -> f64 {
    const B: [f64; 5] = [0.319_381_530, -0.356_563_782, 1.781_477_937, -1.821_255_978, 1.330_274_429];
    let t = 1.0 / (1.0 + 0.231_641_9 * z.abs());
    let sum = B.iter().rev().fold(0.0, |sum, factor| (sum + factor) * t);
    let above = (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt() * sum;
    if z < 0.0 { above } else { 1.0 - above }
}

impl Distribution {
    fn weighed(values: impl Iterator<Item = (f64, f64)>) -> Self {
        let mut values: Vec<(f64, f64)> = values.collect();
        values.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut ends = Vec::with_capacity(values.len());
        let mut sum = 0.0;
        for (value, weight) in values {
            ends.push((value, sum + 0.5 * weight));
            sum += weight;
        }
        let at = |share: f64| {
            let next = ends.partition_point(|(_, end)| *end < share);
            match (next.checked_sub(1).and_then(|before| ends.get(before)), ends.get(next)) {
                (Some(a), Some(b)) if b.1 > a.1 => a.0 + (b.0 - a.0) * (share - a.1) / (b.1 - a.1),
                (Some(only), _) | (None, Some(only)) => only.0,
                (None, None) => 0.0,
            }
        };
        Self((0..VALUES).map(|step| at((step as f64 + 0.5) / VALUES as f64)).collect())
    }

    /// Returns that of a number that is not in doubt.
    pub(super) fn certain(value: f64) -> Self {
        Self(vec![value])
    }

    /// Returns the distribution of the sum with an independent number.
    pub(super) fn plus(&self, other: &Self) -> Self {
        if let [only] = other.0.as_slice() {
            return self.times_plus(1.0, *only);
        }
        let sums = self.0.iter().flat_map(|a| other.0.iter().map(move |b| a + b));
        let each = 1.0 / (self.0.len() * other.0.len()) as f64;
        Self::weighed(sums.map(|sum| (sum, each)))
    }

    /// Returns the distribution of a multiple of the number and another number besides.
    pub(super) fn times_plus(&self, factor: f64, more: f64) -> Self {
        let mut values: Vec<f64> = self.0.iter().map(|value| factor * value + more).collect();
        values.sort_by(f64::total_cmp);
        Self(values)
    }

    /// Returns its mean.
    pub(super) fn mean(&self) -> f64 {
        self.0.iter().sum::<f64>() / self.0.len() as f64
    }

    /// Returns the ends of the interval that holds the number in 95 % of cases.
    pub(super) fn interval(&self) -> (f64, f64) {
        let beyond = 0.5 * (1.0 - CONFIDENCE);
        let at = |share: f64| {
            let place = (share * self.0.len() as f64 - 0.5).clamp(0.0, self.0.len() as f64 - 1.0);
            let value = |at: f64| self.0.get(at as usize).copied().certain("value at this share");
            let (low, high) = (value(place.floor()), value(place.ceil()));
            low + (high - low) * place.fract()
        };
        (at(beyond), at(1.0 - beyond))
    }
}

#[cfg(test)]
mod tests {
    use super::{Posterior, SummedReading, density, normal_up_to};
    use crate::bench::calibration::fit::LineFit;

    #[test]
    fn the_normal_distribution_is_that_of_the_tables() {
        // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1: 0.5, 0.84134, 0.97725, 0.00135.
        for (z, share) in [(0.0, 0.5), (1.0, 0.841_345), (2.0, 0.977_250), (-3.0, 0.001_350)] {
            assert!((normal_up_to(z) - share).abs() < 1e-6, "{z}");
        }
    }

    #[test]
    fn densities_add_up_to_one() {
        for roundings in [1, 2] {
            let sum: f64 = (-4000..4000).map(|at| 0.001 * density(0.001 * f64::from(at), 0.5, 0.2, roundings)).sum();
            assert!((sum - 1.0).abs() < 1e-4, "{sum}");
        }
    }

    #[test]
    fn readings_on_the_same_mark_leave_half_a_mark_open() {
        let reading = |y| SummedReading { x: 0.0, y, scale: 1.0, roundings: 1 };
        let readings = [1.5; 6].map(reading);
        let fit = LineFit::value([1.5; 6]).unwrap();
        let (low, high) = Posterior::new(&readings, &fit.guess(), 0.5).unwrap().at(0.0).interval();
        assert!((low - 1.27).abs() < 0.03 && (high - 1.73).abs() < 0.03, "{low} {high}");
    }

    #[test]
    fn with_fine_marks_it_is_the_textbook_interval() {
        // Mean 2, standard deviation 0.1, t(9) = 2.262: ± 0.0715.
        let values = [1.85, 1.9, 1.95, 1.95, 2.0, 2.0, 2.05, 2.05, 2.1, 2.15];
        let fit = LineFit::value(values).unwrap();
        let readings = values.map(|y| SummedReading { x: 0.0, y, scale: 1.0, roundings: 1 });
        let (low, high) = Posterior::new(&readings, &fit.guess(), 0.01).unwrap().at(0.0).interval();
        let expected = fit.widest();
        assert!((0.5 * (high - low) / expected - 1.0).abs() < 0.06, "{low} {high} {expected}");
    }
}
