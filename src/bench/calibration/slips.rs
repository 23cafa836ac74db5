//! Readings that do not go with the others.

use super::inference::JudgedReading;
use super::together::Together;
use crate::problem::{KeyPath, Problem};

/// A reading is warned of when the chance that it is a slip is worth a second look, and refused when hardly anything else is left.
const WARNED: f64 = 0.1;
const REFUSED: f64 = 0.99;

/// Names readings that may be slips, the most certain first.
pub(super) fn slips(known: &Together<'_>) -> Vec<Problem> {
    let mut found: Vec<(&KeyPath, JudgedReading)> = known.judged().filter(|(_, judged)| judged.slip > WARNED).collect();
    found.sort_by(|(_, a), (_, b)| b.slip.total_cmp(&a.slip));
    found.into_iter().map(|(place, judged)| slip(place, judged)).collect()
}

fn slip(place: &KeyPath, judged: JudgedReading) -> Problem {
    let JudgedReading { slip, off } = judged;
    let certain = slip > REFUSED;
    let message = format!(
        "this is {:.2} mm {} than all other readings say, which rounding and scatter {}",
        off.abs(),
        if off > 0.0 { "more" } else { "less" },
        if certain { "cannot explain" } else { "can hardly explain" },
    );
    let help = "measure it again; if it is right, the cut slipped: remove it from the file and fit again";
    let problem = if certain { Problem::error } else { Problem::warning };
    problem("outlier", place, message, help).with_mm("off", off).with_ratio("chance_of_a_slip", slip)
}
