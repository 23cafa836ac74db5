//! Lengths that have to add up: border, opening and border make the blank.

use super::fit::LineFit;
use super::pair::CalibrationPoint;
use super::student;
use crate::problem::{KeyPath, Problem};
use crate::tolerance::LEAST_SLIP_MM;

/// One direction of a test piece, in millimetres.
#[derive(Debug, Clone)]
pub(super) struct Closure {
    pub(super) borders: [f64; 2],
    pub(super) opening: f64,
    pub(super) blank: f64,
    /// Mean width of its bevels, if they were measured.
    pub(super) bevel: Option<f64>,
    pub(super) border_paths: [KeyPath; 2],
    pub(super) opening_path: KeyPath,
    pub(super) blank_path: KeyPath,
}

/// Four readings may be off together by so many standard deviations of one: 2 for four independent ones, 3.3 for a false
/// alarm in a thousand.
const FOUR_READINGS: f64 = 2.0 * 3.3;
/// The same for the two diagonals and sides of a blank, which count with 1/2, 1/2 and at most 1 together.
const DIAGONALS: f64 = 1.23 * 3.3;

impl Closure {
    /// Returns how much more than the blank the parts make.
    pub(super) fn excess(&self) -> f64 {
        self.borders.iter().sum::<f64>() + self.opening - self.blank
    }

    /// Checks that the parts make the blank, where one reading scatters by so many millimetres; names the reading that goes
    /// with its scale the least.
    pub(super) fn check(&self, scatter: f64, guide: Residuals<'_>, arm: Residuals<'_>) -> Option<Problem> {
        let excess = self.excess();
        if excess.abs() <= FOUR_READINGS * scatter {
            return None;
        }
        let [one, other] = &self.border_paths;
        let off = [guide.of(one), guide.of(other), 0.0, -arm.of(&self.blank_path)];
        let paths = [one, other, &self.opening_path, &self.blank_path];
        // If a reading is the one that slipped, its own residual is the excess and the others are none.
        let left = |at: usize| {
            let own = |other: usize, residual: f64| match other {
                2 => 0.0,
                _ if other == at => (excess - residual).abs(),
                _ => residual.abs(),
            };
            off.iter().enumerate().map(|(other, residual)| own(other, *residual)).sum::<f64>()
        };
        let worst = (0..paths.len()).min_by(|a, b| left(*a).total_cmp(&left(*b))).unwrap_or_default();
        let path = paths.into_iter().nth(worst)?;
        let [first, second] = self.borders;
        let on_face = self.bevel.is_some_and(|bevel| (excess + 2.0 * bevel).abs() <= FOUR_READINGS * scatter);
        let hint = if on_face { ON_THE_FACE } else { "" };
        let message = format!(
            "the borders and the opening, {first:.2} + {:.2} + {second:.2} mm, make {:.2} mm {} than the blank of {:.2} mm{hint}; \
             this reading fits the others least",
            self.opening,
            excess.abs(),
            if excess > 0.0 { "more" } else { "less" },
            self.blank
        );
        let help = "measure it again, on the BACK of the board and in the unit of the file; then the other three";
        Some(
            Problem::error("closure", path, message, help)
                .with_mm("first_border", first)
                .with_mm("opening", self.opening)
                .with_mm("second_border", second)
                .with_mm("blank", self.blank)
                .with_mm("excess", excess),
        )
    }
}

/// Begins with what the message says before it.
const ON_THE_FACE: &str = "; that is both bevels: the borders look as if they were measured on the face";
/// The share of records without a slip in which all lengths seem to be off alike: one in a thousand.
const ALL_ALIKE: f64 = 0.999;
/// Fewer lengths than this do not tell what all of them have from chance.
const LEAST_CLOSURES: usize = 3;

/// Checks that lengths do not fail to add up in the same way on all pieces, which no scatter explains however large it is; the
/// readings were rounded to a mark in millimetres.
///
/// Such an error moves all borders, openings or blanks alike, so that they go with each other. It is told by the scatter of the
/// sums alone (Student's t).
pub(super) fn check_all(closures: &[Closure], mark: f64) -> Option<Problem> {
    let first = closures.first().filter(|_| closures.len() >= LEAST_CLOSURES)?;
    let count = closures.len() as f64;
    let mean = closures.iter().map(Closure::excess).sum::<f64>() / count;
    let squares: f64 = closures.iter().map(|closure| (closure.excess() - mean).powi(2)).sum();
    // Four readings, each rounded to a mark.
    let spread = (squares / (count - 1.0)).sqrt().max(2.0 * mark / 12.0_f64.sqrt());
    let open = student::quantile(ALL_ALIKE, closures.len() - 1) * spread / count.sqrt();
    if mean.abs() <= open.max(LEAST_SLIP_MM) {
        return None;
    }
    let bevels: Vec<f64> = closures.iter().filter_map(|closure| closure.bevel).collect();
    let bevel = bevels.iter().sum::<f64>() / bevels.len().max(1) as f64;
    let near = |excess: f64| bevel > 0.0 && (mean - excess).abs() <= 0.5 * bevel;
    let (path, hint) = if near(-2.0 * bevel) {
        (&first.border_paths[0], ON_THE_FACE)
    } else if near(2.0 * bevel) {
        (&first.opening_path, "; that is both bevels: the openings look as if they were measured on the face")
    } else {
        (&first.opening_path, "")
    };
    let message = format!(
        "on all pieces the borders and the opening make about {:.2} mm {} than the blank{hint}",
        mean.abs(),
        if mean > 0.0 { "more" } else { "less" },
    );
    let help = "measure borders and openings again, on the BACK of the board; then the blanks";
    Some(Problem::error("closure", path, message, help).with_mm("excess", mean))
}

/// Checks that the diagonals of a blank go with its sides; `excess` is how much longer they are.
pub(super) fn check_diagonals(excess: f64, path: &KeyPath, scatter: f64) -> Option<Problem> {
    (excess.abs() > DIAGONALS * scatter).then(|| {
        let longer = if excess > 0.0 { "longer" } else { "shorter" };
        let message = format!("the diagonals are {:.2} mm {longer} than such sides allow", excess.abs());
        Problem::error("closure", path, message, "measure both diagonals and both sides of this piece again")
            .with_mm("excess", excess)
    })
}

/// How far readings lie from what the others say.
#[derive(Debug, Clone, Copy)]
pub(super) struct Residuals<'f> {
    pub(super) fit: Option<&'f LineFit>,
    pub(super) pairs: &'f [CalibrationPoint],
}

impl Residuals<'_> {
    /// Returns how far the readings at a place of the record lie from a fit to the others, on the mean; zero without a fit.
    fn of(&self, path: &KeyPath) -> f64 {
        let Some(fit) = self.fit else { return 0.0 };
        let place = path.to_string();
        let here = |pair: &&CalibrationPoint| {
            let own = pair.path.to_string();
            own == place || own.strip_prefix(&place).is_some_and(|rest| rest.starts_with('['))
        };
        let residuals: Vec<f64> =
            self.pairs.iter().filter(here).map(|pair| fit.residual_without(pair.set, pair.given)).collect();
        if residuals.is_empty() { 0.0 } else { residuals.iter().sum::<f64>() / residuals.len() as f64 }
    }
}
