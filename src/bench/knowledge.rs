//! What a profile knows of its own numbers: what was measured, and how far a setting may be off.

use super::End;

/// How well a scale is known by measurement; lengths in millimetres, ± are half 95 % intervals.
///
/// Height and slope of a line through measurements are independent at the middle of the settings, so that these two say
/// what a covariance says.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Known {
    /// The smallest number that was tried.
    pub from: f64,
    /// The largest number that was tried.
    pub to: f64,
    /// The middle of the numbers that were tried.
    pub middle: f64,
    /// How far the distance may be off at the middle.
    pub plus_minus: f64,
    /// How far the stretch may be off, as a share.
    pub stretch_plus_minus: f64,
}

/// What is known of the scales of a cutter; nothing of those that nobody measured.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[non_exhaustive]
pub struct Knowledge {
    /// The guide.
    pub guide: Option<Known>,
    /// The stop at the far end.
    pub far_stop: Option<Known>,
    /// The stop at the near end.
    pub near_stop: Option<Known>,
    /// The squaring arm.
    pub arm: Option<Known>,
}

/// How far a setting may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Doubt {
    /// Half the 95 % interval of the distance that the setting gives, in millimetres.
    pub plus_minus: f64,
    /// Whether the number lies beyond those that were tried, so that this is a guess.
    pub beyond: bool,
}

impl Known {
    /// Returns how far the distance may be off at a number in millimetres.
    #[must_use]
    pub fn doubt_at(&self, number: f64) -> Doubt {
        let plus_minus = self.plus_minus.hypot(self.stretch_plus_minus * (number - self.middle));
        let within = (self.from - crate::tolerance::SAME_LENGTH_MM)..=(self.to + crate::tolerance::SAME_LENGTH_MM);
        Doubt { plus_minus, beyond: !within.contains(&number) }
    }
}

impl Knowledge {
    /// Returns what is known of the stop at an end.
    #[must_use]
    pub const fn stop(&self, end: End) -> Option<Known> {
        match end {
            End::Far => self.far_stop,
            End::Near => self.near_stop,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Known;

    #[test]
    fn a_setting_is_known_best_in_the_middle_of_what_was_tried() {
        let known = Known { from: 20.0, to: 100.0, middle: 60.0, plus_minus: 0.03, stretch_plus_minus: 0.001 };
        assert!((known.doubt_at(60.0).plus_minus - 0.03).abs() < 1e-12);
        // 0.03 and 0.04 are 0.05 together.
        assert!((known.doubt_at(100.0).plus_minus - 0.05).abs() < 1e-12 && !known.doubt_at(100.0).beyond);
        assert!(known.doubt_at(100.1).beyond && known.doubt_at(19.0).beyond);
    }
}
