//! The records of a DXF file: pairs of a group code and a value, each record from one group 0 to the next.

use kurbo::Point;

use crate::formats::reading::{Unreadable, number, shown};

/// A group code and its value.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pair<'t> {
    pub(super) code: i32,
    pub(super) value: &'t str,
    /// Number of the line of the value.
    pub(super) line: usize,
}

/// An entity or another record: the value of its group 0, and the pairs up to the next one.
#[derive(Debug)]
pub(super) struct Record<'t> {
    pub(super) kind: &'t str,
    /// Number of the line of its name.
    pub(super) line: usize,
    pub(super) pairs: Vec<Pair<'t>>,
}

/// The pairs of a text.
pub(super) struct Pairs<'t> {
    lines: std::iter::Enumerate<std::str::Lines<'t>>,
}

impl<'t> Pairs<'t> {
    pub(super) fn new(text: &'t str) -> Self {
        Self { lines: text.lines().enumerate() }
    }
}

impl<'t> Iterator for Pairs<'t> {
    type Item = Result<Pair<'t>, Unreadable>;

    fn next(&mut self) -> Option<Self::Item> {
        let (at, code) = self.lines.next()?;
        let (line, value) = self.lines.next()?;
        Some(match code.trim().parse() {
            Ok(code) => Ok(Pair { code, value: value.trim(), line: line + 1 }),
            Err(_) => {
                let message = format!("`{}` is not a group code", shown(code));
                Err(Unreadable::at(
                    at + 1,
                    message,
                    "in a DXF file every other line is a whole number; a line is missing or too many",
                ))
            }
        })
    }
}

/// The records of a text, one after the other.
pub(super) struct Records<'t> {
    pairs: std::iter::Peekable<Pairs<'t>>,
}

impl<'t> Records<'t> {
    pub(super) fn new(text: &'t str) -> Self {
        Self { pairs: Pairs::new(text).peekable() }
    }

    /// Reads the next record; comments go to a function.
    pub(super) fn next(&mut self, comment: &mut dyn FnMut(&str)) -> Result<Option<Record<'t>>, Unreadable> {
        let mut record: Option<Record<'t>> = None;
        while let Some(pair) = self.pairs.next_if(|pair| record.is_none() || !starts_record(pair)) {
            let pair = pair?;
            match &mut record {
                _ if pair.code == 999 => comment(pair.value),
                Some(record) => record.pairs.push(pair),
                None if pair.code == 0 => {
                    record = Some(Record { kind: pair.value, line: pair.line, pairs: Vec::new() })
                }
                None => {}
            }
        }
        Ok(record)
    }
}

fn starts_record(pair: &Result<Pair<'_>, Unreadable>) -> bool {
    pair.as_ref().is_ok_and(|pair| pair.code == 0)
}

impl<'t> Record<'t> {
    /// Returns the value of a group, empty if there is none.
    pub(super) fn text(&self, code: i32) -> &'t str {
        self.pairs.iter().find(|pair| pair.code == code).map_or("", |pair| pair.value)
    }

    /// Returns the number of a group, or what stands for it if it is left out.
    pub(super) fn number_or(&self, code: i32, left_out: f64) -> Result<f64, Unreadable> {
        self.pairs.iter().find(|pair| pair.code == code).map_or(Ok(left_out), Pair::number)
    }

    /// Returns the whole number of a group, zero if there is none.
    pub(super) fn flags(&self, code: i32) -> Result<i64, Unreadable> {
        let Some(pair) = self.pairs.iter().find(|pair| pair.code == code) else { return Ok(0) };
        pair.value.trim().parse().map_err(|_| {
            let message = format!("`{}` is not a whole number (group {code})", shown(pair.value));
            Unreadable::at(pair.line, message, "check the program that wrote the file")
        })
    }

    /// Returns the point of two groups, each zero if left out.
    pub(super) fn point(&self, x: i32, y: i32) -> Result<Point, Unreadable> {
        Ok(Point::new(self.number_or(x, 0.0)?, self.number_or(y, 0.0)?))
    }
}

impl Pair<'_> {
    /// Returns the value as a number.
    pub(super) fn number(&self) -> Result<f64, Unreadable> {
        number(self.value).ok_or_else(|| {
            let message = format!("`{}` is not a coordinate (group {})", shown(self.value), self.code);
            Unreadable::at(self.line, message, "check the program that wrote the file")
        })
    }
}
