//! The lengths in a file as written: which unit they speak for, and which may be slips of the pen.
//!
//! Any file is looked through by the way it would be written out again, so that a new key needs no word here.

use std::fmt;

use serde::ser::{self, Impossible, Serialize, Serializer};

use super::measure::MEASURE;
use crate::fault::Certain;
use crate::length::{self, Unit};
use crate::problem::{KeyPath, KeyStep, Place, Problem};

/// The unit of a board's thickness says nothing of the unit in which a framer measures.
const NOT_MEASURED: &str = "board";

/// Returns the unit in which a file is reported: the `declared` one, else that of most of its lengths, boards aside.
///
/// See [`length::reported_unit`].
pub fn reported_unit(declared: Option<Unit>, file: &impl Serialize) -> Unit {
    if let Some(unit) = declared {
        return unit;
    }
    let mut units = Vec::new();
    each_length(file, |steps, length| {
        let is_of_board = steps.iter().any(|step| matches!(step, KeyStep::Key(key) if key == NOT_MEASURED));
        if let (WrittenFigure::Text(text), false) = (length, is_of_board) {
            units.extend(length::unit_named(text));
        }
    });
    length::reported_unit(None, &units)
}

/// Warns of every length in a file that can be read but may be a slip of the pen.
pub fn doubtful_lengths(file: &impl Serialize) -> Vec<Problem> {
    let mut problems = Vec::new();
    each_length(file, |steps, length| {
        let WrittenFigure::Text(text) = length else { return };
        problems.extend(length::doubt(text).map(|doubt| {
            let place = Place::within(path_of(steps), doubt.range);
            Problem::warning("doubtful-length", place, doubt.message, doubt.help)
        }));
    });
    problems
}

/// A length as written, or a width and a height in one text.
#[derive(Clone, Copy)]
pub(super) enum WrittenFigure<'f> {
    Number(f64),
    Text(&'f str),
}

/// Returns the path that steps lead along.
pub(super) fn path_of(steps: &[KeyStep]) -> KeyPath {
    steps.iter().fold(KeyPath::root(), |path, step| match step {
        KeyStep::Key(key) => path.key(key.clone()),
        KeyStep::Index(index) => path.index(*index),
    })
}

/// Shows every length in a file to a visitor, with the steps that lead to it.
pub(super) fn each_length(file: &impl Serialize, visit: impl FnMut(&[KeyStep], WrittenFigure<'_>)) {
    let mut search = LengthSearch { steps: Vec::new(), is_length: false, visit };
    file.serialize(&mut search).certain("length that is read of this file");
}

/// Where the search stands, and who sees what it finds.
struct LengthSearch<V> {
    steps: Vec<KeyStep>,
    is_length: bool,
    visit: V,
}

impl<V: FnMut(&[KeyStep], WrittenFigure<'_>)> LengthSearch<V> {
    fn show(&mut self, figure: WrittenFigure<'_>) {
        if self.is_length {
            (self.visit)(&self.steps, figure);
        }
    }

    fn at(&mut self, step: KeyStep, value: &(impl Serialize + ?Sized)) -> Result<(), Nothing> {
        self.steps.push(step);
        let done = value.serialize(&mut *self);
        self.steps.pop();
        done
    }
}

/// The error that never comes.
#[derive(Debug)]
struct Nothing;

impl fmt::Display for Nothing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a file was not looked through")
    }
}

impl std::error::Error for Nothing {}

impl ser::Error for Nothing {
    fn custom<T: fmt::Display>(_: T) -> Self {
        Self
    }
}

/// A list or a table that is being looked through.
struct NestedValue<'s, V> {
    search: &'s mut LengthSearch<V>,
    index: usize,
    key: KeyStep,
}

/// Passes over values that are not lengths.
macro_rules! pass_over {
    ($($name:ident($type:ty))*) => {
        $(fn $name(self, _: $type) -> Result<(), Nothing> { Ok(()) })*
    };
}

impl<'s, V: FnMut(&[KeyStep], WrittenFigure<'_>)> Serializer for &'s mut LengthSearch<V> {
    type Ok = ();
    type Error = Nothing;
    type SerializeSeq = NestedValue<'s, V>;
    type SerializeTuple = NestedValue<'s, V>;
    type SerializeTupleStruct = Impossible<(), Nothing>;
    type SerializeTupleVariant = Impossible<(), Nothing>;
    type SerializeMap = NestedValue<'s, V>;
    type SerializeStruct = NestedValue<'s, V>;
    type SerializeStructVariant = Impossible<(), Nothing>;

    pass_over! {
        serialize_bool(bool) serialize_i8(i8) serialize_i16(i16) serialize_i32(i32) serialize_i64(i64)
        serialize_u8(u8) serialize_u16(u16) serialize_u32(u32) serialize_u64(u64)
        serialize_f32(f32) serialize_char(char) serialize_bytes(&[u8]) serialize_unit_struct(&'static str)
    }

    fn serialize_str(self, text: &str) -> Result<(), Nothing> {
        self.show(WrittenFigure::Text(text));
        Ok(())
    }

    fn serialize_f64(self, number: f64) -> Result<(), Nothing> {
        self.show(WrittenFigure::Number(number));
        Ok(())
    }

    fn serialize_none(self) -> Result<(), Nothing> {
        Ok(())
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<(), Nothing> {
        value.serialize(self)
    }

    fn serialize_unit(self) -> Result<(), Nothing> {
        Ok(())
    }

    fn serialize_unit_variant(self, _: &'static str, _: u32, _: &'static str) -> Result<(), Nothing> {
        Ok(())
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(self, name: &'static str, value: &T) -> Result<(), Nothing> {
        let outer = std::mem::replace(&mut self.is_length, name == MEASURE);
        let done = value.serialize(&mut *self);
        self.is_length = outer;
        done
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        value: &T,
    ) -> Result<(), Nothing> {
        self.at(KeyStep::Key(variant.into()), value)
    }

    fn serialize_seq(self, _: Option<usize>) -> Result<NestedValue<'s, V>, Nothing> {
        Ok(NestedValue { search: self, index: 0, key: KeyStep::Index(0) })
    }

    fn serialize_tuple(self, _: usize) -> Result<NestedValue<'s, V>, Nothing> {
        self.serialize_seq(None)
    }

    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<Self::SerializeTupleStruct, Nothing> {
        Err(Nothing)
    }

    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeTupleVariant, Nothing> {
        Err(Nothing)
    }

    fn serialize_map(self, _: Option<usize>) -> Result<NestedValue<'s, V>, Nothing> {
        self.serialize_seq(None)
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<NestedValue<'s, V>, Nothing> {
        self.serialize_seq(None)
    }

    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeStructVariant, Nothing> {
        Err(Nothing)
    }
}

impl<V: FnMut(&[KeyStep], WrittenFigure<'_>)> ser::SerializeSeq for NestedValue<'_, V> {
    type Ok = ();
    type Error = Nothing;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Nothing> {
        self.index += 1;
        self.search.at(KeyStep::Index(self.index - 1), value)
    }

    fn end(self) -> Result<(), Nothing> {
        Ok(())
    }
}

impl<V: FnMut(&[KeyStep], WrittenFigure<'_>)> ser::SerializeTuple for NestedValue<'_, V> {
    type Ok = ();
    type Error = Nothing;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Nothing> {
        ser::SerializeSeq::serialize_element(self, value)
    }

    fn end(self) -> Result<(), Nothing> {
        Ok(())
    }
}

impl<V: FnMut(&[KeyStep], WrittenFigure<'_>)> ser::SerializeMap for NestedValue<'_, V> {
    type Ok = ();
    type Error = Nothing;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), Nothing> {
        self.key = KeyStep::Key(
            serde_json::to_value(key).map_err(|_| Nothing)?.as_str().unwrap_or_default().to_owned().into(),
        );
        Ok(())
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Nothing> {
        self.search.at(self.key.clone(), value)
    }

    fn end(self) -> Result<(), Nothing> {
        Ok(())
    }
}

impl<V: FnMut(&[KeyStep], WrittenFigure<'_>)> ser::SerializeStruct for NestedValue<'_, V> {
    type Ok = ();
    type Error = Nothing;

    fn serialize_field<T: Serialize + ?Sized>(&mut self, key: &'static str, value: &T) -> Result<(), Nothing> {
        self.search.at(KeyStep::Key(key.into()), value)
    }

    fn end(self) -> Result<(), Nothing> {
        Ok(())
    }
}
