//! The ruler that lengths were read off, told from the lengths themselves.

use crate::tolerance::SAME_LENGTH_MM;

/// The marks in millimetres of usual rulers, the coarsest first.
const MARKS: [f64; 6] = [25.4 / 16.0, 1.0, 25.4 / 32.0, 0.5, 25.4 / 64.0, 0.1];
/// Fewer lengths than this lie on the marks of some ruler by chance.
const LEAST_LENGTHS: usize = 6;

/// Returns the coarsest usual mark in millimetres that all lengths lie on; zero if there is none, or too few lengths.
pub(super) fn mark_of(lengths: &[f64]) -> f64 {
    if lengths.len() < LEAST_LENGTHS {
        return 0.0;
    }
    let fits = |mark: &&f64| {
        lengths.iter().all(|length| (length / **mark - (length / **mark).round()).abs() * **mark <= SAME_LENGTH_MM)
    };
    MARKS.iter().find(fits).copied().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::mark_of;

    #[test]
    fn the_ruler_shows_in_the_lengths() {
        let inches = [33.0, 35.0, 70.0, 71.0, 96.0, 1.0].map(|marks| 25.4 / 32.0 * marks);
        assert!((mark_of(&inches) - 25.4 / 32.0).abs() < 1e-12);
        assert!((mark_of(&[30.5, 31.0, 60.0, 90.5, 1.5, 0.0]) - 0.5).abs() < 1e-12);
        assert!((mark_of(&[30.5, 31.1, 60.0, 90.5, 1.5, 0.0]) - 0.1).abs() < 1e-12);
        assert!(mark_of(&[30.51, 31.1, 60.0, 90.5, 1.5, 0.0]) == 0.0 && mark_of(&[1.0; 3]) == 0.0);
    }
}
