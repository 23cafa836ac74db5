//! How thick a board is: by its plies, or as measured, and which thicknesses go together.

use crate::length::exact_mm;

/// Most plies of a board: more are a slip of the pen.
pub(crate) const MOST_PLIES: u32 = 16;
/// A measured board has between two thirds and one and a half times the thickness of its plies: published figures for 4-ply run
/// from 1.27 mm (S. Saitzyk, *Art Hardware*, 1987) to "about 2 mm" (a frame shop's answers to questions).
const LEAST_OF_PLIES: f64 = 2.0 / 3.0;
/// See [`LEAST_OF_PLIES`].
const MOST_OF_PLIES: f64 = 3.0 / 2.0;
/// A measured board differs from the thickness in its name by no larger share than this: one maker's nominal 0.055 in spreads by
/// 0.004 in (S. Saitzyk, *Art Hardware*, 1987), and rulers err too.
const NOMINAL_SHARE: f64 = 0.15;

/// What is said of the thickness of a board.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[non_exhaustive]
pub struct Thickness {
    /// Its plies.
    pub plies: Option<u32>,
    /// Its thickness in millimetres, as measured or as it is sold.
    pub measured: Option<f64>,
}

impl Thickness {
    /// Makes the thickness of a number of plies.
    ///
    /// # Errors
    ///
    /// Says why no board has so many plies.
    pub fn of_plies(plies: u32) -> Result<Self, String> {
        if (1..=MOST_PLIES).contains(&plies) {
            return Ok(Self { plies: Some(plies), measured: None });
        }
        Err(format!("no board has {plies} plies: give 1 to {MOST_PLIES}, or the measured thickness"))
    }

    /// Makes a measured thickness in millimetres.
    ///
    /// # Errors
    ///
    /// Says that a board has some thickness.
    pub fn of_mm(mm: f64) -> Result<Self, String> {
        if mm > 0.0 {
            return Ok(Self { plies: None, measured: Some(mm) });
        }
        Err("a board of no thickness cannot be cut".to_owned())
    }

    /// Returns the millimetres: as measured, else by its plies; `None` if nothing is known.
    #[must_use]
    pub fn mm(self) -> Option<f64> {
        self.measured.or_else(|| self.plies.map(Self::by_plies))
    }

    /// Returns how many millimetres thick a board of some plies is: 1/64 in for each, a linear rule (common practice, no source).
    ///
    /// Published figures differ: 4-ply museum board is 0.050 to 0.060 in, one maker's nominal value spreads by up to 0.004 in
    /// (S. Saitzyk, *Art Hardware*, 1987). A measured thickness is always better than the name.
    #[must_use]
    pub fn by_plies(plies: u32) -> f64 {
        f64::from(plies) * 25.4 / 64.0
    }

    /// Joins two statements about one board; what the other one measures counts.
    ///
    /// # Errors
    ///
    /// Returns both in words if they contradict each other.
    pub fn and(self, other: Self) -> Result<Self, [String; 2]> {
        let both = Self { plies: other.plies.or(self.plies), measured: other.measured.or(self.measured) };
        let same_plies = self.plies.zip(other.plies).is_none_or(|(a, b)| a == b);
        let same_mm = self.measured.zip(other.measured).is_none_or(|(a, b)| (a - b).abs() <= NOMINAL_SHARE * a.max(b));
        if same_plies && same_mm && both.is_consistent() {
            return Ok(both);
        }
        Err([self.describe(), other.describe()])
    }

    /// Tells whether a measured thickness can be that of its plies.
    fn is_consistent(self) -> bool {
        let Some((plies, measured)) = self.plies.zip(self.measured) else { return true };
        (LEAST_OF_PLIES..=MOST_OF_PLIES).contains(&(measured / Self::by_plies(plies)))
    }

    fn describe(self) -> String {
        match (self.plies, self.measured) {
            (_, Some(measured)) => exact_mm(measured),
            (Some(plies), None) => format!("{plies}-ply ({})", exact_mm(Self::by_plies(plies))),
            (None, None) => String::new(),
        }
    }
}
