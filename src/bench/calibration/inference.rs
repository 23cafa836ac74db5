//! What readings say of several unknown numbers at once.
//!
//! Every reading is a sum of the unknown numbers, each times a factor; it scatters as the hand and eye of a person do, and is
//! rounded to a mark of the ruler: the chance of a reading is that of a normal deviate to lie within half a mark of it. A few
//! readings are slips, which may be anything. How much the person scatters is not known: every size counts, each factor alike
//! (H. Jeffreys, 1946), as much as the readings go with it.
//!
//! For one size of the scatter the unknown numbers are taken as normal, with the means and covariances that match those of each
//! reading's chance beside all others (expectation propagation: T. P. Minka, "Expectation propagation for approximate Bayesian
//! inference", 2001, whose example is a line of readings with slips among them). Beginning with a large scatter, at which only
//! gross slips stand out, it finds its way to the small ones without being drawn aside by a slip.

use super::normal::{self, Normal};
use crate::tolerance::{LEAST_LEFT_OF_OTHERS, LEAST_WEIGHT, STILL_SHARE};

/// A reading: a sum of the unknown numbers.
#[derive(Debug, Clone)]
pub(super) struct SumReading {
    /// How often each unknown number is in it.
    pub(super) factors: Vec<f64>,
    /// What was read, less the sum with every number as it was guessed.
    pub(super) value: f64,
}

/// How lengths are read, whatever they are.
#[derive(Debug, Clone, Copy)]
pub(super) struct HowRead {
    /// The mark in millimetres that readings are rounded to.
    pub(super) mark: f64,
    /// Least and largest scatter in millimetres.
    pub(super) scatter: [f64; 2],
    /// The share of readings that are slips, and the millimetres over which these spread.
    pub(super) slips: f64,
    pub(super) anything: f64,
}

/// What readings say, for every size of the scatter that goes with them.
#[derive(Debug, Clone)]
pub(super) struct Inference {
    beliefs: Vec<Belief>,
}

/// What readings say for one size of the scatter.
#[derive(Debug, Clone)]
struct Belief {
    scatter: f64,
    /// How well it goes with the readings; all weights add up to one.
    weight: f64,
    mean: Vec<f64>,
    covariance: Vec<Vec<f64>>,
    judged: Vec<JudgedReading>,
}

/// A reading beside what all others say of it.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct JudgedReading {
    /// The chance that it is a slip.
    pub(super) slip: f64,
    /// How much more it is than the others say, in millimetres.
    pub(super) off: f64,
}

/// The ratio of one size of the scatter to the next.
const NEXT_SCATTER: f64 = 0.85;
/// The scatters at the beginning, as multiples of the largest that counts.
const FIRST_SCATTERS: [f64; 3] = [16.0, 6.0, 2.5];
/// Sizes of the scatter that go worse with the readings than the best by a factor of e^40 have no better ones behind them.
const NO_LONGER: f64 = 40.0;
/// Rounds in which every reading is seen beside all others.
const MOST_ROUNDS: usize = 40;

impl Inference {
    /// Weighs all readings; the unknown numbers deviate from their guesses by so much, before anything was read.
    pub(super) fn new(readings: &[SumReading], deviations: &[f64], how: HowRead) -> Self {
        let [least, largest] = how.scatter;
        let mut state = State::new(deviations, readings.len());
        for multiple in FIRST_SCATTERS {
            state.settle(readings, how, multiple * largest);
        }
        let mut found: Vec<(f64, Belief)> = Vec::new();
        let mut best = f64::NEG_INFINITY;
        let mut scatter = largest;
        while scatter >= least {
            state.settle(readings, how, scatter);
            let (evidence, judged) = state.judge(readings, how, scatter);
            let State { mean, covariance, .. } = state.clone();
            found.push((evidence, Belief { scatter, weight: 0.0, mean, covariance, judged }));
            best = best.max(evidence);
            if evidence < best - NO_LONGER {
                break;
            }
            scatter *= NEXT_SCATTER;
        }
        let total: f64 = found.iter().map(|(evidence, _)| (evidence - best).exp()).sum();
        let weighed = |(evidence, belief): (f64, Belief)| Belief { weight: (evidence - best).exp() / total, ..belief };
        let beliefs = found.into_iter().map(weighed).filter(|belief| belief.weight > LEAST_WEIGHT).collect();
        Self { beliefs }
    }

    /// Returns all that is left open of a sum of the unknown numbers, each times a factor and as it differs from its guess.
    pub(super) fn sum(&self, factors: &[f64]) -> Vec<Normal> {
        let of = |belief: &Belief| Normal {
            weight: belief.weight,
            mean: dot(factors, &belief.mean),
            deviation: dot(factors, &times(&belief.covariance, factors)).max(0.0).sqrt(),
        };
        self.beliefs.iter().map(of).collect()
    }

    /// Returns the covariance of two sums.
    pub(super) fn covariance(&self, one: &[f64], other: &[f64]) -> f64 {
        let mean = |factors: &[f64]| -> f64 {
            self.beliefs.iter().map(|belief| belief.weight * dot(factors, &belief.mean)).sum()
        };
        let (one_mean, other_mean) = (mean(one), mean(other));
        let of = |belief: &Belief| {
            let apart = (dot(one, &belief.mean) - one_mean) * (dot(other, &belief.mean) - other_mean);
            belief.weight * (dot(one, &times(&belief.covariance, other)) + apart)
        };
        self.beliefs.iter().map(of).sum()
    }

    /// Returns the standard deviation of one reading in millimetres as the person scatters, without the rounding.
    pub(super) fn scatter(&self) -> f64 {
        self.beliefs.iter().map(|belief| belief.weight * belief.scatter).sum()
    }

    /// Returns a reading beside all others.
    pub(super) fn judged(&self, reading: usize) -> JudgedReading {
        self.beliefs.iter().fold(JudgedReading::default(), |sum, belief| {
            let JudgedReading { slip, off } = belief.judged.get(reading).copied().unwrap_or_default();
            JudgedReading { slip: sum.slip + belief.weight * slip, off: sum.off + belief.weight * off }
        })
    }
}

/// The unknown numbers as they are seen so far: normal, with these means and covariances.
#[derive(Debug, Clone)]
struct State {
    mean: Vec<f64>,
    covariance: Vec<Vec<f64>>,
    /// What each reading adds: the sum that it is of has this precision, and the mean `shift / precision`.
    sites: Vec<Site>,
    /// Logarithm of the volume of the covariance, as a share of that before anything was read.
    log_volume: f64,
}

#[derive(Debug, Clone, Copy, Default)]
struct Site {
    precision: f64,
    shift: f64,
}

/// The sum that a reading is of, as all others see it.
struct WithoutIt {
    mean: f64,
    variance: f64,
    /// The variance, and the mean, with the reading.
    with: (f64, f64),
    /// The covariance times the factors.
    along: Vec<f64>,
}

impl State {
    fn new(deviations: &[f64], readings: usize) -> Self {
        let count = deviations.len();
        let row = |(at, deviation): (usize, &f64)| {
            (0..count).map(|other| if other == at { deviation * deviation } else { 0.0 }).collect()
        };
        Self {
            mean: vec![0.0; count],
            covariance: deviations.iter().enumerate().map(row).collect(),
            sites: vec![Site::default(); readings],
            log_volume: 0.0,
        }
    }

    /// Goes round all readings until none changes anything.
    fn settle(&mut self, readings: &[SumReading], how: HowRead, scatter: f64) {
        let mut sites = std::mem::take(&mut self.sites);
        for _ in 0..MOST_ROUNDS {
            let mut moved = 0.0_f64;
            for (reading, site) in readings.iter().zip(&mut sites) {
                let Some(others) = self.without(reading, *site) else { continue };
                let tilted = how.tilt(reading.value, &others, scatter);
                moved = moved.max(self.replace(site, tilted.site(&others), &others));
            }
            if moved < STILL_SHARE {
                break;
            }
        }
        self.sites = sites;
    }

    fn without(&self, reading: &SumReading, site: Site) -> Option<WithoutIt> {
        let along = times(&self.covariance, &reading.factors);
        let (variance, mean) = (dot(&reading.factors, &along), dot(&reading.factors, &self.mean));
        let left = 1.0 - site.precision * variance;
        (left > LEAST_LEFT_OF_OTHERS).then(|| WithoutIt {
            mean: (mean - variance * site.shift) / left,
            variance: variance / left,
            with: (variance, mean),
            along,
        })
    }

    /// Puts what a reading adds in place of what it added before, and returns by how many deviations its sum moved.
    fn replace(&mut self, site: &mut Site, new: Site, others: &WithoutIt) -> f64 {
        let (variance, mean) = others.with;
        let (precision, shift) = (new.precision - site.precision, new.shift - site.shift);
        *site = new;
        let share = 1.0 + precision * variance;
        self.log_volume -= share.ln();
        let pull = (shift - precision * mean) / share;
        for ((mean, row), along) in self.mean.iter_mut().zip(&mut self.covariance).zip(&others.along) {
            *mean += along * pull;
            let by = precision / share * along;
            row.iter_mut().zip(&others.along).for_each(|(entry, other)| *entry -= by * other);
        }
        (pull * variance.sqrt()).abs().max(0.1 * (precision * variance).abs())
    }

    /// Returns the logarithm of how well the scatter goes with the readings, and each reading beside all others.
    fn judge(&self, readings: &[SumReading], how: HowRead, scatter: f64) -> (f64, Vec<JudgedReading>) {
        let mut evidence = 0.5 * self.log_volume;
        let mut judged = Vec::with_capacity(readings.len());
        for (reading, site) in readings.iter().zip(&self.sites) {
            let Some(others) = self.without(reading, *site) else {
                judged.push(JudgedReading::default());
                continue;
            };
            let WithoutIt { mean, variance, with: (_, with), .. } = others;
            let tilted = how.tilt(reading.value, &others, scatter);
            // What the reading's own normal factor makes of the others, which stands in the place of its chance.
            let pulled = mean / variance + site.shift;
            evidence += tilted.log + 0.5 * (1.0 + site.precision * variance).ln() + 0.5 * mean * mean / variance
                - 0.5 * pulled * pulled / (1.0 / variance + site.precision)
                + 0.5 * site.shift * with;
            judged.push(JudgedReading { slip: tilted.slip, off: reading.value - mean });
        }
        (evidence, judged)
    }
}

/// The chance of a reading, and how it changes with the mean of the sum that it is of.
struct Tilted {
    log: f64,
    first: f64,
    second: f64,
    slip: f64,
}

impl HowRead {
    /// Returns the chance of a reading beside what the others say.
    fn tilt(&self, value: f64, others: &WithoutIt, scatter: f64) -> Tilted {
        let deviation = (scatter * scatter + others.variance).sqrt();
        let end = |half: f64| (value + half - others.mean) / deviation;
        let (low, high) = (end(-0.5 * self.mark), end(0.5 * self.mark));
        let fair = 1.0 - self.slips;
        let (at_low, at_high) = (normal::density(low), normal::density(high));
        let slip = self.slips / self.anything;
        let chance = fair * normal::chance_between(low, high) / self.mark + slip;
        let first = fair * (at_low - at_high) / (deviation * self.mark * chance);
        let second = fair * (low * at_low - high * at_high) / (deviation * deviation * self.mark * chance);
        Tilted { log: chance.ln(), first, second: second - first * first, slip: slip / chance }
    }
}

impl Tilted {
    /// Returns the normal factor that gives the same mean and variance; none where the chance of a slip would widen it.
    fn site(&self, others: &WithoutIt) -> Site {
        let below = 1.0 + others.variance * self.second;
        let precision = -self.second / below;
        if below <= 0.0 || precision <= 0.0 {
            return Site::default();
        }
        Site { precision, shift: (self.first - others.mean * self.second) / below }
    }
}

fn dot(one: &[f64], other: &[f64]) -> f64 {
    one.iter().zip(other).map(|(one, other)| one * other).sum()
}

fn times(matrix: &[Vec<f64>], vector: &[f64]) -> Vec<f64> {
    matrix.iter().map(|row| dot(row, vector)).collect()
}

#[cfg(test)]
mod tests {
    use super::{HowRead, Inference, SumReading};
    use crate::bench::calibration::normal::{interval, mean};

    /// Weighs readings of a line, whose height at 65 and whose slope are not known.
    fn line(readings: &[(f64, f64)], mark: f64) -> Inference {
        let reading = |(set, given): &(f64, f64)| SumReading { factors: vec![1.0, set - 65.0], value: given - set };
        let how = HowRead { mark, scatter: [0.04, 0.5], slips: 0.003, anything: 25.4 };
        Inference::new(&readings.iter().map(reading).collect::<Vec<_>>(), &[10.0, 0.03], how)
    }

    fn slips(readings: &[(f64, f64)], mark: f64) -> Vec<usize> {
        let inference = line(readings, mark);
        (0..readings.len()).filter(|at| inference.judged(*at).slip > 0.1).collect()
    }

    const CLEAN: [(f64, f64); 10] = [
        (20.0, 20.5),
        (30.0, 30.5),
        (40.0, 41.0),
        (50.0, 50.5),
        (60.0, 61.0),
        (70.0, 70.5),
        (80.0, 81.0),
        (90.0, 91.0),
        (100.0, 101.0),
        (110.0, 111.0),
    ];

    #[test]
    fn a_mark_beside_its_neighbours_is_no_slip() {
        assert!(slips(&CLEAN, 0.5).is_empty());
    }

    #[test]
    fn two_marks_beside_as_many_as_a_record_has_are_one() {
        let clean: Vec<(f64, f64)> = (0..31)
            .map(|at| 20.0 + 3.0 * f64::from(at))
            .map(|set| (set, ((0.42 + 1.006 * set) / 0.5).round() * 0.5))
            .collect();
        assert!(slips(&clean, 0.5).is_empty());
        for at in 0..clean.len() {
            let mut readings = clean.clone();
            readings[at].1 += 1.0;
            assert_eq!(slips(&readings, 0.5), [at]);
            // Two slips do not hide each other.
            let other = (at + 2) % clean.len();
            readings[other].1 -= 1.0;
            assert_eq!(slips(&readings, 0.5).len(), 2, "{at}");
        }
    }

    #[test]
    fn readings_on_the_same_mark_leave_half_a_mark_open() {
        let readings: Vec<SumReading> = (0..6).map(|_| SumReading { factors: vec![1.0], value: 0.0 }).collect();
        let how = HowRead { mark: 0.5, scatter: [0.04, 0.5], slips: 0.003, anything: 25.4 };
        let (low, high) = interval(&Inference::new(&readings, &[10.0], how).sum(&[1.0]));
        assert!((low + 0.23).abs() < 0.04 && (high - 0.23).abs() < 0.04, "{low} {high}");
    }

    #[test]
    fn with_fine_marks_it_is_the_textbook_interval() {
        // Mean 2, standard deviation 0.1, t(9) = 2.262: ± 0.0715.
        let values = [1.85, 1.9, 1.95, 1.95, 2.0, 2.0, 2.05, 2.05, 2.1, 2.15];
        let readings = values.map(|value| SumReading { factors: vec![1.0], value });
        let how = HowRead { mark: 0.01, scatter: [0.005, 0.5], slips: 0.0001, anything: 25.4 };
        let sum = Inference::new(&readings, &[10.0], how).sum(&[1.0]);
        let (low, high) = interval(&sum);
        assert!((mean(&sum) - 2.0).abs() < 1e-3);
        assert!((0.5 * (high - low) / 0.0653 - 1.0).abs() < 0.05, "{low} {high}");
    }

    #[test]
    fn numbers_that_only_their_sum_tells_stay_open() {
        let readings: Vec<SumReading> = (0..8).map(|_| SumReading { factors: vec![1.0, 1.0], value: 0.3 }).collect();
        let how = HowRead { mark: 0.1, scatter: [0.04, 0.5], slips: 0.003, anything: 25.4 };
        let inference = Inference::new(&readings, &[10.0, 10.0], how);
        let width = |factors: &[f64]| {
            let (low, high) = interval(&inference.sum(factors));
            high - low
        };
        assert!(width(&[1.0, 1.0]) < 0.2 && width(&[1.0, 0.0]) > 20.0);
        assert!(inference.covariance(&[1.0, 0.0], &[0.0, 1.0]) < -40.0);
    }
}
