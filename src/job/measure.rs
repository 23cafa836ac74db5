//! Lengths and sizes as written in a job file: a number, or text with fractions and units.

use std::borrow::Cow;
use std::fmt;

use kurbo::Size;
use serde::de::{self, Deserialize, Deserializer, SeqAccess, Visitor};
use serde::{Serialize, Serializer};

use crate::length::{self, LengthError, Ratio, Unit};
use crate::problem::{KeyPath, Problem};

/// The name by which a length is known when a file is looked through.
pub(super) const MEASURE: &str = "Measure";

/// A length: a number in the unit of the job, or text such as "3 1/4 in", "5' 4 1/2\"" or "81.3 cm".
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema), schemars(untagged))]
pub enum Measure {
    /// A bare number, in the unit of the job.
    Number(f64),
    /// A text, which may have a unit of its own.
    Text(String),
}

/// A width and a height: two lengths, text such as "8 x 10 in", or one length for a square.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(untagged)]
pub enum SizeMeasure {
    /// Width, then height.
    Pair([Measure; 2]),
    /// A text with both, or one length for a square.
    One(Measure),
}

impl Measure {
    /// Returns the length in millimetres, zero or more; a bare number is in the `default` unit.
    ///
    /// A number counts as the shortest decimal that stands for it, so that 3.1875 in is 80.9625 mm exactly.
    ///
    /// # Errors
    ///
    /// Returns a [`LengthError`] as [`length::parse`] does; its range counts the bytes of the text or number.
    pub fn to_mm(&self, default: Option<Unit>) -> Result<f64, LengthError> {
        match self.plain_mm(default) {
            Some(mm) if mm > 0.0 => Ok(mm),
            _ => length::parse(&self.text()?, default),
        }
    }

    /// Returns the length in millimetres, which may be below zero; otherwise like [`Measure::to_mm`].
    ///
    /// # Errors
    ///
    /// Returns a [`LengthError`] as [`length::parse_signed`] does.
    pub fn to_signed_mm(&self, default: Option<Unit>) -> Result<f64, LengthError> {
        match self.plain_mm(default) {
            Some(mm) => Ok(mm),
            None => length::parse_signed(&self.text()?, default),
        }
    }

    /// Returns a bare number of millimetres of a plausible size: the `f64` nearest to it is the number itself.
    fn plain_mm(&self, default: Option<Unit>) -> Option<f64> {
        match (self, default) {
            (Self::Number(mm), Some(Unit::Millimetre)) if (1e-3..1e4).contains(&mm.abs()) => Some(*mm),
            _ => None,
        }
    }

    /// Returns the length in millimetres, zero or more, of the value at a path of the job.
    ///
    /// # Errors
    ///
    /// Returns a [`Problem`] at that path if it is not such a length.
    pub fn resolve(&self, default: Option<Unit>, path: &KeyPath) -> Result<f64, Problem> {
        self.to_mm(default).map_err(|error| Problem::length(path, error))
    }

    /// Returns the length in millimetres, which may be below zero, of the value at a path of the job.
    ///
    /// # Errors
    ///
    /// Returns a [`Problem`] at that path if it is not a length.
    pub fn resolve_signed(&self, default: Option<Unit>, path: &KeyPath) -> Result<f64, Problem> {
        self.to_signed_mm(default).map_err(|error| Problem::length(path, error))
    }

    /// Returns the length in millimetres as an exact fraction, zero or more, of the value at a path.
    ///
    /// # Errors
    ///
    /// Returns a [`Problem`] at that path if it is not such a length.
    pub fn resolve_exact(&self, default: Option<Unit>, path: &KeyPath) -> Result<Ratio, Problem> {
        let exact = self.text().and_then(|text| length::parse_exact(&text, default));
        exact.map_err(|error| Problem::length(path, error))
    }

    /// Returns the text, or the number in figures without an exponent.
    fn text(&self) -> Result<Cow<'_, str>, LengthError> {
        match self {
            Self::Text(text) => Ok(text.into()),
            // Beyond these bounds the figures would fill lines; none is a length.
            Self::Number(number) if *number == 0.0 || (1e-12..1e12).contains(&number.abs()) => {
                Ok(number.to_string().into())
            }
            Self::Number(number) => {
                let text = format!("{number:e}");
                Err(LengthError {
                    range: 0..text.len(),
                    message: format!("{text} is not a length that a mat can have"),
                    help: "write a number such as 3.25".to_owned(),
                })
            }
        }
    }
}

impl SizeMeasure {
    /// Returns width and height in millimetres of the value at a path of the job.
    ///
    /// A bare number is in the `default` unit.
    ///
    /// # Errors
    ///
    /// Returns a [`Problem`] at that path, or in a list at the side that is at fault.
    pub fn resolve(&self, default: Option<Unit>, path: &KeyPath) -> Result<Size, Problem> {
        match self {
            Self::Pair([width, height]) => {
                Ok(Size::new(width.resolve(default, &path.index(0))?, height.resolve(default, &path.index(1))?))
            }
            Self::One(one) => one
                .text()
                .and_then(|text| length::parse_size(&text, default))
                .map_err(|error| Problem::length(path, error)),
        }
    }

    /// Returns width and height in millimetres as exact fractions of the value at a path.
    ///
    /// # Errors
    ///
    /// Returns a [`Problem`] at that path, or in a list at the side that is at fault.
    pub fn resolve_exact(&self, default: Option<Unit>, path: &KeyPath) -> Result<[Ratio; 2], Problem> {
        match self {
            Self::Pair([width, height]) => {
                Ok([width.resolve_exact(default, &path.index(0))?, height.resolve_exact(default, &path.index(1))?])
            }
            Self::One(one) => one
                .text()
                .and_then(|text| length::parse_exact_size(&text, default))
                .map_err(|error| Problem::length(path, error)),
        }
    }
}

/// Writes the number or the text alone, marked for those who look for lengths.
impl Serialize for Measure {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Number(number) => serializer.serialize_newtype_struct(MEASURE, number),
            Self::Text(text) => serializer.serialize_newtype_struct(MEASURE, text),
        }
    }
}

impl<'de> Deserialize<'de> for Measure {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct MeasureVisitor;

        impl Visitor<'_> for MeasureVisitor {
            type Value = Measure;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a length such as 3.25 or \"3 1/4 in\"")
            }

            fn visit_f64<E: de::Error>(self, number: f64) -> Result<Measure, E> {
                Ok(Measure::Number(number))
            }

            fn visit_i64<E: de::Error>(self, number: i64) -> Result<Measure, E> {
                Ok(Measure::Number(number as f64))
            }

            fn visit_u64<E: de::Error>(self, number: u64) -> Result<Measure, E> {
                Ok(Measure::Number(number as f64))
            }

            fn visit_str<E: de::Error>(self, text: &str) -> Result<Measure, E> {
                Ok(text.into())
            }
        }

        deserializer.deserialize_any(MeasureVisitor)
    }
}

impl<'de> Deserialize<'de> for SizeMeasure {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct SizeVisitor;

        impl<'de> Visitor<'de> for SizeVisitor {
            type Value = SizeMeasure;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a width and a height such as [8, 10] or \"8 x 10 in\"")
            }

            fn visit_f64<E: de::Error>(self, number: f64) -> Result<SizeMeasure, E> {
                Ok(SizeMeasure::One(Measure::Number(number)))
            }

            fn visit_i64<E: de::Error>(self, number: i64) -> Result<SizeMeasure, E> {
                self.visit_f64(number as f64)
            }

            fn visit_u64<E: de::Error>(self, number: u64) -> Result<SizeMeasure, E> {
                self.visit_f64(number as f64)
            }

            fn visit_str<E: de::Error>(self, text: &str) -> Result<SizeMeasure, E> {
                Ok(text.into())
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut sides: A) -> Result<SizeMeasure, A::Error> {
                let mut side =
                    |position| sides.next_element()?.ok_or_else(|| de::Error::invalid_length(position, &self));
                let pair = [side(0)?, side(1)?];
                match sides.next_element::<de::IgnoredAny>()? {
                    None => Ok(SizeMeasure::Pair(pair)),
                    Some(_) => Err(de::Error::invalid_length(3, &self)),
                }
            }
        }

        deserializer.deserialize_any(SizeVisitor)
    }
}

impl From<f64> for Measure {
    fn from(number: f64) -> Self {
        Self::Number(number)
    }
}

impl From<&str> for Measure {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl<M: Into<Measure>> From<[M; 2]> for SizeMeasure {
    fn from(pair: [M; 2]) -> Self {
        Self::Pair(pair.map(Into::into))
    }
}

impl From<f64> for SizeMeasure {
    fn from(number: f64) -> Self {
        Self::One(number.into())
    }
}

impl From<&str> for SizeMeasure {
    fn from(text: &str) -> Self {
        Self::One(text.into())
    }
}
