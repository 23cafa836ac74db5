//! A scale of a cutter: what it says, and what it really gives.

use std::fmt;

use super::{Doubt, Known};
use crate::length::{Ruler, RulerReading};
use crate::tolerance::SAME_LENGTH_MM;

/// A scale whose number `s` stands for the distance `offset + (1 + stretch) · s`; lengths in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// The largest number that can be set.
    pub reach: f64,
    /// The distance that the number zero stands for: above zero where the scale says too little.
    pub offset: f64,
    /// How much more the distance grows than the number, as a share: 0.002 is 2 mm in a metre.
    pub stretch: f64,
}

/// A number to set on a scale, rounded to its marks, and what becomes of the distance that was wanted.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Setting {
    /// The number as it is read on the scale; its rest is what the exact number has more.
    pub reading: RulerReading,
    /// The same number in millimetres.
    pub number: f64,
    /// The distance that was wanted, in millimetres.
    pub wanted: f64,
    /// The distance that the number stands for, in millimetres.
    pub given: f64,
    /// Whether the scale reaches that far; a number below zero is never reached.
    pub within_reach: bool,
    /// How far it may be off, where the scale was measured.
    pub doubt: Option<Doubt>,
}

impl Scale {
    /// Makes a scale that says the truth, up to a largest number in millimetres.
    #[must_use]
    pub const fn true_up_to(reach: f64) -> Self {
        Self { reach, offset: 0.0, stretch: 0.0 }
    }

    /// Returns the distance in millimetres that a number in millimetres stands for.
    #[must_use]
    pub fn distance(&self, number: f64) -> f64 {
        self.offset + (1.0 + self.stretch) * number
    }

    /// Returns the exact number in millimetres for a distance in millimetres.
    #[must_use]
    pub fn number(&self, distance: f64) -> f64 {
        (distance - self.offset) / (1.0 + self.stretch)
    }

    /// Returns what to set for a distance in millimetres: the nearest mark, halfway the larger number.
    #[must_use]
    pub fn set(&self, wanted: f64, ruler: Ruler) -> Setting {
        let exact = self.number(wanted);
        self.at(exact - ruler.read(exact).rest, wanted, ruler)
    }

    /// Returns both marks that a distance in millimetres lies between, the nearer one first; one where it lies on a mark.
    #[must_use]
    pub fn between(&self, wanted: f64, ruler: Ruler) -> Vec<Setting> {
        let nearest = self.set(wanted, ruler);
        let rest = nearest.reading.rest;
        if rest.abs() <= SAME_LENGTH_MM {
            return vec![nearest];
        }
        let other = self.at(nearest.number + ruler.mark().copysign(rest), wanted, ruler);
        vec![nearest, other]
    }

    /// Returns what a mark, a number in millimetres, gives.
    fn at(&self, number: f64, wanted: f64, ruler: Ruler) -> Setting {
        let within_reach = number >= -SAME_LENGTH_MM && number <= self.reach + SAME_LENGTH_MM;
        let reading = RulerReading { rest: self.number(wanted) - number, ..ruler.read(number) };
        Setting { reading, number, wanted, given: self.distance(number), within_reach, doubt: None }
    }
}

impl Setting {
    /// Returns how much more than wanted the setting gives, in millimetres.
    #[must_use]
    pub fn error(&self) -> f64 {
        self.given - self.wanted
    }
}

/// Writes the number with what is left over: `3 1/16 in (+0.2 mm)`; `±0.10` behind it is how far it may be off in
/// millimetres where that was measured, with a `?` beyond what was measured.
impl fmt::Display for Setting {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.reading.fmt(f)?;
        match self.doubt {
            Some(Doubt { plus_minus, beyond }) => {
                write!(f, " ±{plus_minus:.2}{}", if beyond { "?" } else { "" })
            }
            None => Ok(()),
        }
    }
}

impl Setting {
    /// Returns the setting with how far it may be off.
    pub(super) fn known_by(self, known: Option<Known>) -> Self {
        let doubt = known.map(|known| known.doubt_at(self.number));
        Self { doubt, ..self }
    }
}

#[cfg(test)]
mod tests {
    use super::Scale;
    use crate::length::{Ruler, Unit};

    #[test]
    fn a_number_and_its_distance_are_inverse() {
        let scale = Scale { reach: 100.0, offset: 0.7, stretch: -0.01 };
        for distance in [0.7, 10.0, 55.5, 99.0] {
            assert!((scale.distance(scale.number(distance)) - distance).abs() < 1e-12);
        }
        // 50 on the scale: 0.7 + 0.99 · 50.
        assert!((scale.distance(50.0) - 50.2).abs() < 1e-12);
    }

    #[test]
    fn a_true_scale_is_set_to_the_distance() {
        let setting = Scale::true_up_to(152.4).set(76.2, Ruler::usual(Unit::Inch));
        assert_eq!(setting.to_string(), "3 in");
        assert!(setting.within_reach && setting.error().abs() < 1e-9);
    }

    #[test]
    fn the_error_is_what_the_mark_gives_more_than_wanted() {
        let scale = Scale { reach: 100.0, offset: 0.5, stretch: 0.0 };
        let setting = scale.set(30.2, Ruler::new(Unit::Millimetre, 1).unwrap());
        assert_eq!(setting.reading.text, "30");
        assert!((setting.error() - 0.3).abs() < 1e-9 && (setting.given - 30.5).abs() < 1e-9);
    }

    #[test]
    fn a_distance_lies_between_two_marks() {
        let scale = Scale { reach: 100.0, offset: 0.5, stretch: 0.0 };
        let ruler = Ruler::new(Unit::Millimetre, 1).unwrap();
        let both = scale.between(30.2, ruler);
        assert_eq!(both.iter().map(|setting| setting.reading.text.as_str()).collect::<Vec<_>>(), ["30", "29"]);
        assert!((both[1].reading.rest - 0.7).abs() < 1e-9 && (both[1].error() + 0.7).abs() < 1e-9);
        assert_eq!(scale.between(30.5, ruler).len(), 1);
    }

    #[test]
    fn reach_counts_on_the_scale() {
        let scale = Scale { reach: 100.0, offset: 2.0, stretch: 0.0 };
        let ruler = Ruler::usual(Unit::Millimetre);
        assert!(scale.set(102.0, ruler).within_reach);
        assert!(!scale.set(102.6, ruler).within_reach);
        assert!(!scale.set(1.0, ruler).within_reach);
    }
}
