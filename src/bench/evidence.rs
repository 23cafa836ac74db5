//! The numbers that tell causes of trouble apart: those that a framer measures, and those that follow from them.

use std::collections::BTreeMap;

use crate::length::{LengthError, Ruler, Unit, parse, parse_signed};
use crate::mat::{BoardError, board_thickness};

/// Numbers known of some trouble; lengths in millimetres.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    numbers: BTreeMap<&'static str, f64>,
    /// On which lengths are shown.
    ruler: Ruler,
}

/// Nothing is known, and lengths are shown in millimetres.
impl Default for Evidence {
    fn default() -> Self {
        Self::new(Ruler::usual(Unit::Millimetre))
    }
}

/// What a number is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum NumberKind {
    /// A length.
    Length,
    /// The thickness of a board, as a length or in words for it.
    Thickness,
    /// How many.
    Count,
}

/// A number that may be known of some trouble.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Number {
    /// The name by which it is given.
    pub name: &'static str,
    /// What it is, in words.
    pub meaning: &'static str,
    /// Whether it is a length or a count.
    pub kind: NumberKind,
    /// Whether it may lie below zero.
    pub signed: bool,
    /// The least and the most that is believed: millimetres, or a count (common practice, no source).
    pub range: [f64; 2],
}

/// Every number that a framer can give.
pub const GIVEN: [Number; 11] = [
    Number {
        name: "board",
        meaning: "thickness of the board: measured, or words such as 8-ply rag",
        kind: NumberKind::Thickness,
        signed: false,
        range: [0.3, 10.0],
    },
    number("depth", "how far the blade reaches below the head, square to the board", [0.0, 25.4]),
    Number {
        name: "cuts",
        meaning: "cuts made with this blade",
        kind: NumberKind::Count,
        signed: false,
        range: [0.0, 10_000.0],
    },
    number(
        "far_over",
        "how far the cut runs past the corner at the far end; below zero if it falls short",
        [-50.0, 50.0],
    ),
    number("near_over", "how far it runs past the corner at the near end; below zero if it falls short", [-50.0, 50.0]),
    number("border_far", "border at the far end of the cut", [1.0, 2000.0]),
    number("border_near", "border at the near end of the cut", [1.0, 2000.0]),
    number("length", "length of the cut between these borders", [10.0, 4000.0]),
    number("wanted", "border that was wanted", [1.0, 2000.0]),
    number("first_diagonal", "one diagonal of the blank", [50.0, 5000.0]),
    number("second_diagonal", "the other diagonal of the blank", [50.0, 5000.0]),
];

/// A number that follows from others: its name, those it takes, and how.
type Derived = (&'static str, [&'static str; 3], fn([f64; 3]) -> f64);

/// Every number that follows from others; one that takes two names the second twice.
const DERIVED: [Derived; 10] = [
    ("spare_depth", ["depth", "board", "board"], |[depth, board, _]| depth - board),
    ("mean_over", ["far_over", "near_over", "near_over"], |[far, near, _]| 0.5 * (far + near)),
    ("uneven_over", ["far_over", "near_over", "near_over"], |[far, near, _]| (far - near).abs()),
    ("drift_size", ["border_far", "border_near", "border_near"], |[far, near, _]| (far - near).abs()),
    ("drift_per_metre", ["border_far", "border_near", "length"], |[far, near, length]| 1000.0 * (far - near) / length),
    ("border_error", ["border_far", "border_near", "wanted"], |[far, near, wanted]| 0.5 * (far + near) - wanted),
    ("border_error_size", ["border_far", "border_near", "wanted"], |[far, near, wanted]| {
        (0.5 * (far + near) - wanted).abs()
    }),
    ("error_less_bevel", ["border_error_size", "board", "board"], |[error, board, _]| (error - board).abs()),
    ("diagonals_differ", ["first_diagonal", "second_diagonal", "second_diagonal"], |[first, second, _]| {
        (first - second).abs()
    }),
    ("border", ["border_far", "border_near", "border_near"], |[far, near, _]| 0.5 * (far + near)),
];

const fn number(name: &'static str, meaning: &'static str, range: [f64; 2]) -> Number {
    Number { name, meaning, kind: NumberKind::Length, signed: range[0] < 0.0, range }
}

impl Number {
    /// Returns the number that a framer can give by a name.
    #[must_use]
    pub fn by_name(name: &str) -> Option<&'static Self> {
        GIVEN.iter().find(|number| number.name == name)
    }

    /// Tells why a value cannot be right; `None` if it may be.
    #[must_use]
    pub fn disbelieved(&self, value: f64) -> Option<String> {
        let [least, most] = self.range;
        let shown = |value: f64| match self.kind {
            NumberKind::Length | NumberKind::Thickness => crate::length::exact_mm(value),
            NumberKind::Count => format!("{value}"),
        };
        let range = format!("{} to {}", shown(least), shown(most));
        (!(least..=most).contains(&value)).then(|| {
            format!(
                "{}, {}: {} is outside the possible range, {range}; check the number and its unit",
                self.name,
                self.meaning,
                shown(value)
            )
        })
    }

    /// Reads its value: a length, in `unit` if it names none, words for a board that say how thick it is, or a count.
    ///
    /// # Errors
    ///
    /// Returns a [`LengthError`] for anything else.
    pub fn read(&self, text: &str, unit: Option<Unit>) -> Result<f64, LengthError> {
        match self.kind {
            NumberKind::Length if self.signed => parse_signed(text, unit),
            NumberKind::Length => parse(text, unit),
            NumberKind::Thickness => {
                let error = |BoardError { range, message, help }| LengthError { range, message, help };
                board_thickness(text, unit).map_err(error)
            }
            NumberKind::Count => text.trim().parse::<u32>().map(f64::from).map_err(|_| LengthError {
                range: 0..text.len(),
                message: "this is not a count".to_owned(),
                help: "write a whole number such as 12".to_owned(),
            }),
        }
    }
}

impl Evidence {
    /// Starts with nothing known; lengths are shown on a ruler.
    #[must_use]
    pub const fn new(ruler: Ruler) -> Self {
        Self { numbers: BTreeMap::new(), ruler }
    }

    /// Returns the ruler on which lengths are shown.
    #[must_use]
    pub const fn ruler(&self) -> Ruler {
        self.ruler
    }

    /// Takes note of a number that was measured.
    pub fn give(&mut self, number: &Number, value: f64) {
        self.numbers.insert(number.name, value);
    }

    /// Returns a number, measured or worked out from others; `None` if it is not known.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<f64> {
        if let Some(value) = self.numbers.get(name) {
            return Some(*value);
        }
        let (_, [first, second, third], work_out) = DERIVED.iter().find(|(derived, ..)| *derived == name)?;
        let value = work_out([self.get(first)?, self.get(second)?, self.get(third)?]);
        value.is_finite().then_some(value)
    }

    /// Returns a number in words; `None` if it is not known.
    #[must_use]
    pub fn show(&self, name: &str) -> Option<String> {
        let value = self.get(name)?;
        Some(match kind_of(name)? {
            NumberKind::Length | NumberKind::Thickness => self.ruler.fine(value),
            NumberKind::Count => format!("{value:.0}"),
        })
    }
}

/// Returns what a number is, given or worked out; `None` if there is none of that name.
pub(super) fn kind_of(name: &str) -> Option<NumberKind> {
    match Number::by_name(name) {
        Some(number) => Some(number.kind),
        None => DERIVED.iter().any(|(derived, ..)| *derived == name).then_some(NumberKind::Length),
    }
}

/// Returns the numbers that a framer has to give for one to be known.
pub(super) fn takes(name: &str) -> Vec<&'static str> {
    if let Some(number) = Number::by_name(name) {
        return vec![number.name];
    }
    let Some((_, parts, _)) = DERIVED.iter().find(|(derived, ..)| *derived == name) else {
        return Vec::new();
    };
    let mut all: Vec<&'static str> = parts.iter().flat_map(|part| takes(part)).collect();
    let mut seen = std::collections::BTreeSet::new();
    all.retain(|name| seen.insert(*name));
    all
}

#[cfg(test)]
mod tests {
    use super::{DERIVED, Evidence, GIVEN, Number, kind_of, takes};
    use crate::length::Unit;

    fn evidence(numbers: &[(&str, f64)]) -> Evidence {
        let mut evidence = Evidence::default();
        for (name, value) in numbers {
            evidence.give(Number::by_name(name).unwrap(), *value);
        }
        evidence
    }

    #[test]
    fn numbers_follow_from_others() {
        let evidence =
            evidence(&[("depth", 4.0), ("board", 1.5), ("border_far", 50.5), ("border_near", 50.0), ("wanted", 50.0)]);
        assert_eq!(evidence.show("spare_depth").as_deref(), Some("2.50 mm"));
        assert_eq!(evidence.show("border_error").as_deref(), Some("0.25 mm"));
        assert_eq!(evidence.show("error_less_bevel").as_deref(), Some("1.25 mm"));
        assert_eq!(evidence.get("drift_per_metre"), None);
    }

    #[test]
    fn no_length_is_divided_by_nothing() {
        let evidence = evidence(&[("border_far", 50.0), ("border_near", 50.0), ("length", 0.0)]);
        assert_eq!(evidence.get("drift_per_metre"), None);
    }

    #[test]
    fn every_number_takes_numbers_that_can_be_given() {
        for (name, parts, _) in DERIVED {
            assert!(!takes(name).is_empty() && parts.iter().all(|part| kind_of(part).is_some()), "{name}");
        }
        assert_eq!(takes("error_less_bevel"), ["border_far", "border_near", "wanted", "board"]);
        assert!(GIVEN.iter().all(|number| takes(number.name) == [number.name]));
    }

    #[test]
    fn counts_and_lengths_are_read() {
        assert!(Number::by_name("cuts").unwrap().read("12", None).is_ok_and(|cuts| (cuts - 12.0).abs() < 1e-12));
        assert!(Number::by_name("cuts").unwrap().read("12 mm", None).is_err());
        assert!(Number::by_name("far_over").unwrap().read("-1/32", Some(Unit::Inch)).is_ok());
        assert!(Number::by_name("board").unwrap().read("-1", Some(Unit::Inch)).is_err());
    }
}
