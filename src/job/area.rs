//! Areas and shares as written in a job file: `"264 sq cm"`, `"2/3"`, `"60 %"`.

use serde::{Deserialize, Serialize};

use super::Scope;
use crate::length::{self, Unit};
use crate::problem::Problem;

/// An area or a share: a number, or text with fractions, signs and units such as `"264 sq cm"` or `"60 %"`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(untagged, expecting = "a number is needed here, or text such as \"264 sq cm\", \"2/3\" or \"60 %\"")]
pub enum Quantity {
    /// A bare number.
    Number(f64),
    /// A text.
    Text(String),
}

/// Reads an area in square millimetres, above zero: a number in the square of the job's unit, or text with a unit such as
/// `"264 sq cm"`, `"264 cm²"` or `"40 1/2 square inches"`.
///
/// # Errors
///
/// Returns a problem at this place if it is not such an area.
pub(super) fn read_area(quantity: &Quantity, unit: Option<Unit>, scope: &Scope) -> Result<f64, Problem> {
    let wrong = |message: String| scope.error("area", message, "write an area such as \"264 sq cm\" or \"40 sq in\"");
    let (number, unit) = match quantity {
        Quantity::Number(number) => {
            let Some(unit) = unit else {
                return Err(wrong(format!("the area {number} has no unit")));
            };
            (*number, unit.millimetres())
        }
        Quantity::Text(text) => {
            let (number, named) = parts(text);
            let unit = match (named, unit) {
                ("", Some(unit)) => unit.millimetres(),
                ("", None) => return Err(wrong(format!("the area {text} has no unit"))),
                (named, _) => side_of(named).ok_or_else(|| wrong(format!("\"{text}\" is not an area")))?,
            };
            (plain_number(number).ok_or_else(|| wrong(format!("\"{text}\" is not an area")))?, unit)
        }
    };
    let area = number * unit * unit;
    if area > 0.0 && area.is_finite() { Ok(area) } else { Err(wrong(format!("an area of {number} is empty"))) }
}

/// Reads a share between zero and one, both excluded.
///
/// # Errors
///
/// Returns a problem at this place if it is not such a share.
pub(super) fn read_share(quantity: &Quantity, scope: &Scope) -> Result<f64, Problem> {
    let (shown, share) = match quantity {
        Quantity::Number(number) => (number.to_string(), Some(*number)),
        Quantity::Text(text) => {
            let share = match text.trim().strip_suffix('%') {
                Some(percent) => plain_number(percent).map(|percent| percent / 100.0),
                None => plain_number(text),
            };
            (text.clone(), share)
        }
    };
    share.filter(|share| *share > 0.0 && *share < 1.0).ok_or_else(|| {
        let message = format!("`{shown}` is not a share of the mat");
        let help = "give a share between none and all, such as 0.5, \"2/3\" or \"60 %\"";
        let problem = scope.error("area", message, help);
        share.into_iter().fold(problem, |problem, share| problem.with_ratio("share", share))
    })
}

/// Takes an area as written apart into its number and its unit.
fn parts(text: &str) -> (&str, &str) {
    let text = text.trim();
    let end = text.find(|letter: char| letter.is_alphabetic()).unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    (number.trim(), unit.trim())
}

/// Returns how many millimetres the side of a square unit is.
fn side_of(unit: &str) -> Option<f64> {
    let plain = ["square", "sq.", "sq"].into_iter().find_map(|word| unit.strip_prefix(word));
    let plain = plain.or_else(|| ["^2", "²", "2"].into_iter().find_map(|power| unit.strip_suffix(power)))?.trim();
    length::parse(&format!("1 {plain}"), None).ok()
}

/// Reads a number as lengths write it: with fractions, and without a unit.
fn plain_number(text: &str) -> Option<f64> {
    let bare = !text.contains(|letter: char| letter.is_alphabetic() || matches!(letter, '"' | '\''));
    if bare { length::parse(text.trim(), Some(Unit::Millimetre)).ok() } else { None }
}

impl Scope {
    /// Reads an area in square millimetres, above zero; a bare number is in the square of the unit.
    ///
    /// # Errors
    ///
    /// Returns a problem at this place if it is not an area.
    pub fn area(&self, quantity: &Quantity) -> Result<f64, Problem> {
        read_area(quantity, self.unit(), self)
    }

    /// Reads a share of a whole, such as 0.5, `"2/3"` or `"60 %"`, between zero and one.
    ///
    /// # Errors
    ///
    /// Returns a problem at this place if it is not such a share.
    pub fn share(&self, quantity: &Quantity) -> Result<f64, Problem> {
        read_share(quantity, self)
    }
}

#[cfg(test)]
mod tests {
    use super::{Quantity, Scope, Unit, read_area, read_share};
    use crate::length::Ruler;

    #[test]
    fn areas_are_read_as_framers_write_them() {
        let scope = Scope::root(None, Ruler::usual(Unit::Inch));
        let area = |text: &str, unit| read_area(&Quantity::Text(text.to_owned()), unit, &scope).ok();
        for text in ["264 sq cm", "264 cm²", "264 cm2", "264cm^2", "264 square cm", "264 sq. cm", "26400 sq mm"] {
            assert_eq!(area(text, None), Some(26_400.0), "{text}");
        }
        assert_eq!(area("40 1/2 sq in", None), Some(40.5 * 25.4 * 25.4));
        assert_eq!(area("264", Some(Unit::Centimetre)), Some(26_400.0));
        for text in ["264", "264 cm", "sq cm", "0 sq cm", "-4 sq cm", "264 sq", "264 sq yards of it", ""] {
            assert_eq!(area(text, None), None, "{text}");
        }
    }

    #[test]
    fn shares_lie_between_none_and_all() {
        let scope = Scope::root(None, Ruler::usual(Unit::Inch));
        let share = |text: &str| read_share(&Quantity::Text(text.to_owned()), &scope).ok();
        assert_eq!([share("1/2"), share("50 %"), share("0.5")], [Some(0.5); 3]);
        assert_eq!(share("2/3"), Some(2.0 / 3.0));
        for text in ["0", "1", "100 %", "half", "-0.5", "1/2 in", "5'", ""] {
            assert_eq!(share(text), None, "{text}");
        }
    }
}
