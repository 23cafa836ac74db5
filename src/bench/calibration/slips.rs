//! Readings that do not go with the others.

use super::fit::Fit;
use super::fitted::Part;
use super::pair::Pair;
use super::student;
use crate::problem::Problem;
use crate::tolerance::LEAST_SCATTER_OF_FIGURES;

/// One part of a cutter with its readings, to be judged with all others: one person read them all off one ruler.
pub(super) struct Judged<'r> {
    pub(super) fit: Fit,
    pub(super) pairs: &'r [Pair],
    pub(super) part: Part,
    pub(super) shown: Box<dyn Fn(f64) -> String + 'r>,
}

/// The share of records without a slip in which a reading is warned of, and in which one is refused.
const FALSE_ALARMS: [f64; 2] = [0.05, 0.005];
/// No person reads a ruler more finely than this, in millimetres (common practice, no source).
const LEAST_SCATTER_MM: f64 = 0.05;
/// So many slips in one part are looked for.
const MOST_SLIPS: usize = 3;

impl Judged<'_> {
    /// By how much each measurement is off where every reading behind it is off by one, independently.
    fn scales(&self) -> Vec<f64> {
        self.pairs.iter().map(|pair| pair.scale * f64::from(pair.roundings).sqrt()).collect()
    }
}

/// Returns the standard deviation of one reading in millimetres as the usual ones say it, whatever a few slips are; no less
/// than the marks of the ruler give, if they are known.
pub(super) fn scatter(all: &[Judged<'_>], mark: f64) -> f64 {
    let mut misses: Vec<f64> =
        all.iter().flat_map(|judged| judged.fit.misses(&judged.scales())).map(f64::abs).collect();
    misses.sort_by(f64::total_cmp);
    // Half of all normal deviates lie within 0.6745 of their standard deviation.
    let usual = misses.get(misses.len() / 2).copied().unwrap_or_default() / 0.6745;
    // Numbers with all their figures were not read off a ruler.
    let least = if mark > 0.0 {
        (mark * mark / 12.0 + LEAST_SCATTER_MM * LEAST_SCATTER_MM).sqrt()
    } else {
        LEAST_SCATTER_OF_FIGURES
    };
    usual.max(least)
}

/// Names the readings that lie farther from the others than chance explains, the worst first (residuals over their standard
/// deviation: R. D. Cook and S. Weisberg, *Residuals and Influence in Regression*, 1982; one of so many by chance:
/// Bonferroni). One that is far beyond is refused.
pub(super) fn slips(all: Vec<Judged<'_>>, scatter: f64) -> Vec<Problem> {
    let among: usize = all.iter().map(|judged| judged.pairs.len()).sum();
    let freedom: usize = all.iter().map(|judged| judged.fit.freedom).sum();
    let [warned, refused] =
        FALSE_ALARMS.map(|share| student::quantile(1.0 - share / among.max(1) as f64, freedom.max(1)));
    let mut found: Vec<(f64, Problem)> = Vec::new();
    for judged in all {
        let (mut fit, mut scales) = (judged.fit.clone(), judged.scales());
        let mut pairs: Vec<&Pair> = judged.pairs.iter().collect();
        for _ in 0..MOST_SLIPS {
            let misses = fit.misses(&scales);
            let Some((worst, miss)) = misses.iter().enumerate().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs())) else {
                break;
            };
            let (miss, Some(rest)) = (miss.abs() / scatter, fit.without(worst)) else { break };
            if miss <= warned || worst >= pairs.len() {
                break;
            }
            let pair = pairs.remove(worst);
            scales.remove(worst);
            found.push((miss, slip(pair, &rest, &judged, miss, [warned, refused])));
            fit = rest;
        }
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    found.into_iter().map(|(_, problem)| problem).collect()
}

fn slip(pair: &Pair, others: &Fit, judged: &Judged<'_>, miss: f64, [warned, refused]: [f64; 2]) -> Problem {
    let off = pair.given - others.at(pair.set);
    let message = format!(
        "this is {} {} than the other {} say: {miss:.1} times what a reading is off, where chance explains {warned:.1}",
        (judged.shown)(off.abs()),
        if off > 0.0 { "more" } else { "less" },
        judged.part.what,
    );
    let help = "measure it again; if it stands, the cut slipped: take it out of the file and fit again";
    let problem = if miss > refused { Problem::error } else { Problem::warning };
    problem("outlier", &pair.path, message, help)
        .with_mm("off", off)
        .with_ratio("times", miss)
        .with_ratio("by_chance", warned)
}
