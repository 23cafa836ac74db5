//! A place in a job together with what is needed to read and to show the lengths there.

use std::borrow::Cow;

use kurbo::Size;

use super::{Measure, SizeMeasure};
use crate::length::{Ruler, Unit};
use crate::mat::UsualLengths;
use crate::problem::{KeyPath, Problem};

/// A place in a job, the unit of bare numbers there and the ruler of its messages.
#[derive(Debug, Clone)]
pub struct Scope {
    path: KeyPath,
    unit: Option<Unit>,
    ruler: Ruler,
}

/// Names longer than this many letters are refused: no template has room for them.
const LONGEST_NAME: usize = 200;

/// Returns the ruler of a unit whose smallest marks are named by the key `ruler_parts`; the usual one if it is left out.
///
/// # Errors
///
/// Returns a problem at `ruler_parts` if the unit has no such ruler.
pub fn read_ruler(unit: Unit, parts: Option<u32>) -> Result<Ruler, Problem> {
    let Some(parts) = parts else {
        return Ok(Ruler::usual(unit));
    };
    Ruler::new(unit, parts).ok_or_else(|| {
        let known: Vec<String> = Ruler::divisions(unit).iter().map(ToString::to_string).collect();
        Problem::error(
            "ruler",
            KeyPath::root().key("ruler_parts"),
            format!("no ruler in {unit} has {parts} parts"),
            format!("use one of {}", known.join(", ")),
        )
        .with_count("parts", parts as usize)
    })
}

impl Scope {
    /// Makes the scope of a whole job; without a `unit`, bare numbers are errors.
    #[must_use]
    pub const fn root(unit: Option<Unit>, ruler: Ruler) -> Self {
        Self { path: KeyPath::root(), unit, ruler }
    }

    /// Returns the scope of the value of a key.
    #[must_use]
    pub fn key(&self, key: impl Into<Cow<'static, str>>) -> Self {
        Self { path: self.path.key(key), ..*self }
    }

    /// Returns the scope of an item of a list, counted from zero.
    #[must_use]
    pub fn index(&self, index: usize) -> Self {
        Self { path: self.path.index(index), ..*self }
    }

    /// Returns the keys that lead to the place.
    #[must_use]
    pub const fn path(&self) -> &KeyPath {
        &self.path
    }

    /// Returns the scope of another place of the same file.
    #[must_use]
    pub fn at(&self, path: KeyPath) -> Self {
        Self { path, ..*self }
    }

    /// Returns the unit of bare numbers, if there is one.
    #[must_use]
    pub const fn unit(&self) -> Option<Unit> {
        self.unit
    }

    /// Returns how lengths are shown to the framer.
    #[must_use]
    pub const fn ruler(&self) -> Ruler {
        self.ruler
    }

    /// Returns what is taken where nothing is said, in the unit in which lengths are shown.
    #[must_use]
    pub const fn usual(&self) -> &'static UsualLengths {
        UsualLengths::of(self.ruler.unit())
    }

    /// Reads a length that may not be below zero, in millimetres.
    ///
    /// # Errors
    ///
    /// Returns a problem at this place if it is not a length.
    pub fn mm(&self, measure: &Measure) -> Result<f64, Problem> {
        measure.resolve(self.unit, &self.path)
    }

    /// Reads a length of either sign, in millimetres.
    ///
    /// # Errors
    ///
    /// Returns a problem at this place if it is not a length.
    pub fn signed_mm(&self, measure: &Measure) -> Result<f64, Problem> {
        measure.resolve_signed(self.unit, &self.path)
    }

    /// Reads a width and a height in millimetres, both above zero.
    ///
    /// # Errors
    ///
    /// Returns a problem at this place if one is not a length or is zero.
    pub fn size(&self, size: &SizeMeasure) -> Result<Size, Problem> {
        let size = size.resolve(self.unit, &self.path)?;
        if size.width > 0.0 && size.height > 0.0 {
            return Ok(size);
        }
        let shown = self.ruler.show_size(size.width, size.height);
        Err(self
            .error("length", format!("a size of {shown} has no area"), "give a width and a height above zero")
            .with_size("size", size))
    }

    /// Refuses a name that no template has room for, and control characters, which a terminal would obey.
    #[must_use]
    pub fn bad_name(&self, name: &str) -> Option<Problem> {
        let letters = name.chars().count();
        if letters > LONGEST_NAME {
            let message = format!("a name of {letters} letters does not fit on a template");
            return Some(
                self.error("name", message, format!("use at most {LONGEST_NAME} letters"))
                    .with_count("letters", letters)
                    .with_count("most", LONGEST_NAME),
            );
        }
        let turns = |letter: char| matches!(letter, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}');
        let control = name.chars().find(|&letter| letter.is_control() || turns(letter))?;
        let message = format!("the name has the control character U+{:04X} in it", u32::from(control));
        Some(self.error("name", message, "use letters, digits and punctuation only"))
    }

    /// Makes an error at this place.
    pub fn error(&self, code: &'static str, message: impl Into<String>, help: impl Into<String>) -> Problem {
        Problem::error(code, &self.path, message, help)
    }

    /// Makes a warning at this place.
    pub fn warning(&self, code: &'static str, message: impl Into<String>, help: impl Into<String>) -> Problem {
        Problem::warning(code, &self.path, message, help)
    }
}
