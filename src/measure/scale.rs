//! The factors by which drawings come out too large or too small when units are mixed up.

use std::fmt;

use crate::tolerance::NEAR_FACTOR_SHARE;

use kurbo::Size;

/// A mix-up of units: numbers that were meant in one and read in another.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct UnitMixUp {
    /// How many times too large a drawing comes out.
    pub factor: f64,
    /// The factor in words, for example `1/25.4`.
    pub name: &'static str,
    /// The unit in which the numbers were meant.
    pub meant: &'static str,
    /// The unit in which they were read.
    pub read: &'static str,
}

/// The usual mix-ups, those that enlarge: factor, its name, the name of its inverse, what was meant, as what it was read.
///
/// The units are those of CSS Values and Units, "Absolute lengths"; the plotter unit is that of HP-GL.
const ENLARGING: [(f64, &str, &str, &str, &str); 6] = [
    (25.4, "25.4", "1/25.4", "millimetres", "inches"),
    (96.0 / 72.0, "96/72", "72/96", "pixels of 1/96 in", "points of 1/72 in"),
    (72.0 / 25.4, "72/25.4", "25.4/72", "points of 1/72 in", "millimetres"),
    (96.0 / 25.4, "96/25.4", "25.4/96", "pixels of 1/96 in", "millimetres"),
    (40.0, "40", "1/40", "plotter units of 0.025 mm", "millimetres"),
    (10.0, "10", "1/10", "millimetres", "centimetres"),
];

impl UnitMixUp {
    /// Lists all mix-ups.
    pub fn all() -> impl Iterator<Item = Self> {
        ENLARGING.into_iter().flat_map(|(factor, name, inverse, meant, read)| {
            [Self { factor, name, meant, read }, Self { factor: 1.0 / factor, name: inverse, meant: read, read: meant }]
        })
    }

    /// Recognises the mix-up behind a size that is `ratio` times what it should be.
    #[must_use]
    pub fn recognise(ratio: f64) -> Option<Self> {
        Self::all().find(|mix_up| (ratio / mix_up.factor - 1.0).abs() <= NEAR_FACTOR_SHARE)
    }
}

/// Writes for example `25.4 times too large, as if millimetres were read as inches`.
impl fmt::Display for UnitMixUp {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { name, meant, read, .. } = self;
        let (name, how) = if self.factor > 1.0 { (*name, "large") } else { (name.trim_start_matches("1/"), "small") };
        let name = match name.split_once('/') {
            // Said the other way round it is a number above one again.
            Some((a, b)) if self.factor < 1.0 => format!("{b}/{a}"),
            _ => name.to_owned(),
        };
        write!(f, "{name} times too {how}, as if {meant} were read as {read}")
    }
}

/// The sides in millimetres between which the longer side of a mat usually lies *(common practice, no source)*.
const USUAL_MM: std::ops::RangeInclusive<f64> = 50.0..=2000.0;
/// What is farther away from that, by this factor, is odd.
const ODD: f64 = 2.0;

/// Returns the mix-ups that would explain an odd size; none if a mat may well be as large.
#[must_use]
pub fn explain(size: Size) -> Vec<UnitMixUp> {
    let side = size.width.max(size.height);
    let odd = side > 0.0 && (side < USUAL_MM.start() / ODD || side > USUAL_MM.end() * ODD);
    UnitMixUp::all().filter(|mix_up| odd && USUAL_MM.contains(&(side / mix_up.factor))).collect()
}

#[cfg(test)]
mod tests {
    use kurbo::Size;

    use super::{UnitMixUp, explain};

    #[test]
    fn every_factor_is_told_from_every_other() {
        for mix_up in UnitMixUp::all() {
            assert_eq!(UnitMixUp::recognise(mix_up.factor * 1.004), Some(mix_up));
        }
        for ratio in [1.0, 1.02, 0.97, 2.0, 0.5, 20.0] {
            assert_eq!(UnitMixUp::recognise(ratio), None);
        }
    }

    #[test]
    fn odd_sizes_are_explained() {
        assert_eq!(explain(Size::new(400.0, 500.0)), []);
        let inches = explain(Size::new(16.0, 20.0));
        assert!(inches.iter().any(|mix_up| mix_up.name == "1/25.4"));
        let huge = explain(Size::new(10_160.0, 12_700.0));
        assert!(huge.first().is_some_and(|mix_up| mix_up.name == "25.4"));
    }
}
