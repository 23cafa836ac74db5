//! Readings that do not go with the others.
//!
//! Every reading is one of a line through others: borders over the numbers of the guide, openings over the borders beside
//! them, ends of cuts over the numbers of the stops. Each of them may be a slip, and a slip may be anything; all lines near
//! the likely ones are weighed by that, so that a slip does not draw the line to itself, and the chance that a reading is one
//! follows from all lines together (a mixture with a contaminating distribution: G. E. P. Box and G. C. Tiao, "A Bayesian
//! approach to some outlier problems", Biometrika 55, 1968). Readings are rounded to marks, as in the intervals: one mark
//! beside its neighbours is no slip where the truth may lie between two marks. One person read them all off one ruler, so
//! that the scatter is that of all parts.

use super::pair::CalibrationPoint;
use super::posterior::{DensityTable, grid};
use crate::problem::Problem;
use crate::tolerance::{FIGURES_MM, LEAST_WEIGHT, LEAST_WITH_FIGURES_MM, SLIP_SHARE};

/// Readings of one kind that lie on a line.
pub(super) struct ReadingsLine {
    pub(super) pairs: Vec<CalibrationPoint>,
    /// Whether it may have a slope.
    pub(super) slopes: bool,
    /// What was measured: `borders`.
    pub(super) what: &'static str,
}

/// A slip may be anything within so many millimetres.
const ANYTHING_MM: f64 = 25.4;
/// A reading is warned of when it is more likely a slip than not, and refused when hardly anything else is left.
const WARNED: f64 = 0.5;
const REFUSED: f64 = 0.99;
/// Least and largest scatter of a person with a ruler in millimetres (common practice, no source).
const SCATTER_MM: [f64; 2] = [0.05, 1.0];
const SCATTERS: usize = 8;
/// Points of the grid along each number.
const STEPS: usize = 21;
/// A slope is looked for in so many readings or more.
const LEAST_FOR_SLOPE: usize = 4;
/// Half of all normal deviates lie within this many of their standard deviations.
const HALF_WITHIN: f64 = 0.6745;

/// What all readings together say.
pub(super) struct Judgement {
    /// Standard deviation of one reading in millimetres, rounding included.
    pub(super) scatter: f64,
    /// Readings that are slips, the most certain first.
    pub(super) slips: Vec<Problem>,
}

/// Judges the readings of all lines, which were rounded to a mark in millimetres; zero if nobody said.
pub(super) fn judge(lines: &[ReadingsLine], mark: f64) -> Judgement {
    let least = if mark > 0.0 { SCATTER_MM[0] } else { LEAST_WITH_FIGURES_MM };
    let mark = mark.max(FIGURES_MM);
    let scatters: Vec<f64> =
        (0..SCATTERS).map(|step| least * (SCATTER_MM[1] / least).powf(step as f64 / (SCATTERS - 1) as f64)).collect();
    let judged: Vec<Vec<Weighed>> = scatters
        .iter()
        .map(|scatter| {
            let tables =
                [1, 2].map(|roundings| DensityTable::with_slips(mark, *scatter, roundings, SLIP_SHARE / ANYTHING_MM));
            lines.iter().map(|line| line.weigh(mark, &tables)).collect()
        })
        .collect();
    let evidence: Vec<f64> = judged.iter().map(|lines| lines.iter().map(|line| line.evidence).sum()).collect();
    let best = evidence.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let weights: Vec<f64> = evidence.iter().map(|evidence| (evidence - best).exp()).collect();
    let all: f64 = weights.iter().sum();
    let mean =
        |of: &dyn Fn(usize) -> f64| weights.iter().enumerate().map(|(at, weight)| weight * of(at)).sum::<f64>() / all;
    let person = mean(&|at| scatters.get(at).copied().unwrap_or_default());
    let mut found: Vec<(f64, Problem)> = Vec::new();
    for (number, line) in lines.iter().enumerate() {
        for (index, pair) in line.pairs.iter().enumerate() {
            let at = |scatter: usize| judged.get(scatter)?.get(number)?.readings.get(index).copied();
            let chance = mean(&|scatter| at(scatter).map_or(0.0, |reading: JudgedReading| reading.slip));
            if chance > WARNED {
                let off = mean(&|scatter| at(scatter).map_or(0.0, |reading| reading.off));
                found.push((chance, slip(pair, line.what, off, chance)));
            }
        }
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    Judgement {
        scatter: person.hypot(mark / 12.0_f64.sqrt()),
        slips: found.into_iter().map(|(_, problem)| problem).collect(),
    }
}

/// A line with all near the likely one weighed, for one scatter.
struct Weighed {
    /// Logarithm of how well the scatter goes with the readings.
    evidence: f64,
    readings: Vec<JudgedReading>,
}

/// A reading beside the line.
#[derive(Debug, Clone, Copy, Default)]
struct JudgedReading {
    /// The chance that it is a slip.
    slip: f64,
    /// How much more it is than the line says, in millimetres.
    off: f64,
}

impl ReadingsLine {
    fn weigh(&self, mark: f64, tables: &[DensityTable; 2]) -> Weighed {
        let LikelyLine { x: middle, height, slope, spread, width } = self.middle();
        let count = self.pairs.len() as f64;
        let roundings = if self.pairs.iter().any(|pair| pair.roundings > 1) { 2.0 } else { 1.0 };
        let reach = 0.75 * mark * roundings + 6.0 * spread.max(SCATTER_MM[0]) / count.max(1.0).sqrt();
        let heights = grid(height, reach, STEPS);
        let slopes = if width > 0.0 { grid(slope, 2.0 * reach / width, STEPS) } else { vec![(slope, 1.0)] };
        let [one, two] = tables;
        let table = |pair: &CalibrationPoint| if pair.roundings < 2 { one } else { two };
        let off = |pair: &CalibrationPoint, height: f64, slope: f64| pair.given - height - slope * (pair.set - middle);
        let mut lines = Vec::with_capacity(heights.len() * slopes.len());
        let mut best = f64::NEG_INFINITY;
        let whole: f64 =
            heights.iter().map(|(_, step)| step).sum::<f64>() * slopes.iter().map(|(_, step)| step).sum::<f64>();
        for &(height, height_step) in &heights {
            for &(slope, slope_step) in &slopes {
                let log: f64 = self.pairs.iter().map(|pair| table(pair).log(off(pair, height, slope))).sum();
                best = best.max(log);
                lines.push((height, slope, height_step * slope_step / whole, log));
            }
        }
        let mut total = 0.0;
        let mut readings = vec![JudgedReading::default(); self.pairs.len()];
        for (height, slope, step, log) in lines {
            let weight = step * (log - best).exp();
            // Lines that hardly count are left out.
            if weight <= LEAST_WEIGHT * step {
                continue;
            }
            total += weight;
            for (judged, pair) in readings.iter_mut().zip(&self.pairs) {
                let off = off(pair, height, slope);
                judged.off += weight * off;
                judged.slip += weight * (SLIP_SHARE / ANYTHING_MM / table(pair).log(off).exp()).min(1.0);
            }
        }
        for judged in &mut readings {
            *judged = JudgedReading { slip: judged.slip / total, off: judged.off / total };
        }
        Weighed { evidence: best + total.ln(), readings }
    }

    /// Returns a line that a few slips do not move: the median of all slopes between two readings, and of what is left (H. Theil, 1950;
    /// P. K. Sen, 1968).
    fn middle(&self) -> LikelyLine {
        let x = self.pairs.iter().map(|pair| pair.set).sum::<f64>() / self.pairs.len().max(1) as f64;
        let width = self.pairs.iter().map(|pair| (pair.set - x).powi(2)).sum::<f64>() / self.pairs.len().max(1) as f64;
        let width = if self.slopes && self.pairs.len() >= LEAST_FOR_SLOPE { width.sqrt() } else { 0.0 };
        // Numbers that are nearly the same say nothing of a slope.
        let width = if width < 1.0 { 0.0 } else { width };
        let between = |(at, one): (usize, &CalibrationPoint)| {
            let (set, given) = (one.set, one.given);
            self.pairs
                .iter()
                .skip(at + 1)
                .filter(move |other| (other.set - set).abs() > 0.5 * width)
                .map(move |other| (other.given - given) / (other.set - set))
        };
        let slope = if width > 0.0 { median(self.pairs.iter().enumerate().flat_map(between).collect()) } else { 0.0 };
        let left = |pair: &CalibrationPoint| pair.given - slope * (pair.set - x);
        let height = median(self.pairs.iter().map(left).collect());
        let spread = median(self.pairs.iter().map(|pair| (left(pair) - height).abs()).collect()) / HALF_WITHIN;
        LikelyLine { x, height, slope, spread, width }
    }
}

/// A line near which the likely ones lie.
struct LikelyLine {
    x: f64,
    height: f64,
    slope: f64,
    spread: f64,
    /// Root mean square of the numbers about their middle; zero if no slope is looked for.
    width: f64,
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let (low, high) = (values.get(values.len().saturating_sub(1) / 2), values.get(values.len() / 2));
    low.zip(high).map_or(0.0, |(low, high)| 0.5 * (low + high))
}

fn slip(pair: &CalibrationPoint, what: &str, off: f64, chance: f64) -> Problem {
    let message = format!(
        "this is {:.2} mm {} than the other {what} say, which rounding and scatter do not explain",
        off.abs(),
        if off > 0.0 { "more" } else { "less" },
    );
    let help = "measure it again; if it stands, the cut slipped: take it out of the file and fit again";
    let problem = if chance > REFUSED { Problem::error } else { Problem::warning };
    problem("outlier", &pair.path, message, help).with_mm("off", off).with_ratio("chance_of_a_slip", chance)
}

#[cfg(test)]
mod tests {
    use super::{ReadingsLine, judge};
    use crate::bench::calibration::pair::CalibrationPoint;
    use crate::problem::KeyPath;

    fn line(readings: &[(f64, f64)]) -> ReadingsLine {
        let pair = |(at, (set, given)): (usize, &(f64, f64))| CalibrationPoint {
            set: *set,
            given: *given,
            scale: 1.0,
            roundings: 1,
            path: KeyPath::root().index(at),
        };
        ReadingsLine { pairs: readings.iter().enumerate().map(pair).collect(), slopes: true, what: "borders" }
    }

    fn places(readings: &[(f64, f64)], mark: f64) -> Vec<String> {
        judge(&[line(readings)], mark).slips.iter().map(|problem| problem.place.path.to_string()).collect()
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
        assert!(places(&CLEAN, 0.5).is_empty());
    }

    #[test]
    fn five_millimetres_beside_them_is_one() {
        let mut readings = CLEAN;
        readings[8].1 += 5.0;
        assert_eq!(places(&readings, 0.5), ["[8]"]);
        // Two slips do not hide each other.
        readings[2].1 -= 5.0;
        assert_eq!(places(&readings, 0.5).len(), 2);
    }
}
