//! DXF of any release, as text: sections, header, blocks and the list of entities.

use kurbo::{Affine, Point};

use super::dxf_blocks::{Block, Blocks};
use super::dxf_entities::{self, Canvas};
use super::reader::Reader;
use super::reading::{FoundUnit, Reading, Unreadable, number, shown};
use crate::export::FileUnit;
use crate::length::{self, Unit};

/// Reads DXF.
#[derive(Debug, Clone, Copy)]
pub(super) struct Dxf;

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
    pub(super) pairs: Vec<Pair<'t>>,
}

impl Reader for Dxf {
    fn name(&self) -> &'static str {
        "dxf"
    }

    fn endings(&self) -> &'static [&'static str] {
        &["dxf"]
    }

    fn recognises(&self, text: &str) -> bool {
        let is_section = |pair: Pair<'_>| pair.code == 0 && pair.value == "SECTION";
        text.starts_with("AutoCAD Binary DXF")
            || Pairs::new(text).map_while(Result::ok).find(|pair| pair.code != 999).is_some_and(is_section)
    }

    fn grid(&self) -> f64 {
        0.0005
    }

    fn read(&self, text: &str, unit: Option<FileUnit>) -> Result<Reading, Unreadable> {
        if text.starts_with("AutoCAD Binary DXF") {
            return Err(Unreadable::new("the file is binary DXF", "save it as DXF in text form"));
        }
        let mut file = File::default();
        let whole = file.read(text)?;
        let File { canvas: Canvas { pen, texts, left_out, .. }, remarks, is_imperial, comment, .. } = file;
        let differs = |stated: &FoundUnit, said: &FoundUnit| !same_length(stated.millimetres, said.millimetres);
        let disagreement = file.insunits.clone().zip(comment.clone()).filter(|(stated, said)| differs(stated, said));
        let unit = match unit {
            Some(unit) => FoundUnit::stated(1.0 / unit.per_millimetre(), format!("{} (as asked)", unit.name())),
            None => {
                file.insunits.or(comment).unwrap_or_else(|| FoundUnit::assumed(1.0, "not stated; mm taken for granted"))
            }
        };
        let scale = unit.millimetres;
        let mut reading = Reading { texts, left_out, paths: pen.into_paths(), ..Reading::new("dxf", unit) };
        remarks.into_iter().for_each(|remark| reading.remark(remark));
        if let Some(words) = contradiction(&reading.unit, is_imperial) {
            reading.remark(words);
        }
        if let Some((stated, said)) = disagreement {
            reading.remark(format!(
                "the header says that the unit is {}, a comment that it is {}",
                stated.words, said.words
            ));
        }
        if !whole {
            reading.remark("the file ends in the middle: it has no EOF");
        }
        reading.transform(Affine::scale_non_uniform(scale, -scale));
        Ok(reading)
    }
}

/// What is known of a file so far.
#[derive(Default)]
struct File<'t> {
    comment: Option<FoundUnit>,
    insunits: Option<FoundUnit>,
    /// Whether $MEASUREMENT says that the drawing is not metric; `None` if it is not there.
    is_imperial: Option<bool>,
    blocks: Blocks<'t>,
    canvas: Canvas,
    /// Names of layers that are switched off or frozen.
    unseen: Vec<&'t str>,
    remarks: Vec<String>,
}

impl<'t> File<'t> {
    /// Reads all records; tells whether the file comes to a proper end.
    fn read(&mut self, text: &'t str) -> Result<bool, Unreadable> {
        let mut records = Records::new(text);
        let mut section = String::new();
        let mut block: Option<Block<'t>> = None;
        while let Some(record) = records.next(self)? {
            match record.kind {
                "EOF" => return Ok(true),
                "SECTION" => {
                    section = record.text(2).to_ascii_uppercase();
                    // The variables of the header follow without a group 0 of their own.
                    if section == "HEADER" {
                        self.header(&record.pairs);
                    }
                }
                "ENDSEC" => section.clear(),
                "LAYER" if section == "TABLES" => self.layer(&record),
                "BLOCK" if section == "BLOCKS" => block = Some(Block::new(&record)),
                "ENDBLK" => self.blocks.add(block.take()),
                _ => match &mut block {
                    Some(block) => block.records.push(record),
                    None if section == "ENTITIES" => {
                        dxf_entities::draw(&record, &mut self.canvas, &mut self.blocks)?;
                        self.remark_unseen(&record);
                    }
                    None => {}
                },
            }
        }
        Ok(false)
    }

    fn layer(&mut self, record: &Record<'t>) {
        const FROZEN: i64 = 1;
        if record.flags(62) < 0 || record.flags(70) & FROZEN != 0 {
            self.unseen.push(record.text(2));
        }
    }

    fn remark_unseen(&mut self, record: &Record<'t>) {
        let layer = record.text(8);
        if let Some(at) = self.unseen.iter().position(|unseen| *unseen == layer) {
            self.unseen.remove(at);
            let layer = shown(layer);
            self.remarks
                .push(format!("layer {layer} is switched off or frozen in the file, and measured all the same"));
        }
    }

    fn header(&mut self, pairs: &[Pair<'_>]) {
        let mut variable = "";
        for pair in pairs {
            if pair.code == 9 {
                variable = pair.value;
            } else if variable == "$INSUNITS" && pair.code == 70 {
                self.insunits = insunits(pair.value)
                    .map(|(millimetres, name)| FoundUnit::stated(millimetres, format!("{name} ($INSUNITS)")));
            } else if variable == "$MEASUREMENT" && pair.code == 70 {
                self.is_imperial = match pair.value.trim() {
                    "0" => Some(true),
                    "1" => Some(false),
                    _ => None,
                };
            }
        }
    }

    /// Finds the unit in comments as this crate writes them.
    fn comment(&mut self, comment: &str) {
        // Such as `unit: mm (one drawing unit is one millimetre)`.
        let said = comment.trim().strip_prefix("unit: ").map(|rest| rest.split(" (").next().unwrap_or(rest).trim());
        let length = |said: &str| match Unit::parse(said) {
            Some(unit) => Some(unit.millimetres()),
            None => length::parse(said, None).ok(),
        };
        if let Some((said, millimetres)) = said.and_then(|said| Some((said, length(said)?))).filter(|(_, mm)| *mm > 0.0)
        {
            self.comment = Some(FoundUnit::stated(millimetres, format!("{} (comment)", shown(said))));
        }
    }
}

/// Says where $MEASUREMENT does not go with the unit that was found.
fn contradiction(unit: &FoundUnit, is_imperial: Option<bool>) -> Option<&'static str> {
    let is_inch = [25.4, 304.8, 914.4, 0.0254, 25.4e-6].iter().any(|mm| same_length(unit.millimetres, *mm));
    match is_imperial? {
        true if !unit.stated => {
            Some("the header says that the drawing is not metric ($MEASUREMENT): its numbers may be inches")
        }
        true if !is_inch => Some("the header says that the drawing is not metric ($MEASUREMENT), but its unit is"),
        false if is_inch => Some("the header says that the drawing is metric ($MEASUREMENT), but its unit is not"),
        _ => None,
    }
}

fn same_length(a: f64, b: f64) -> bool {
    (a / b - 1.0).abs() < 1e-9
}

/// Returns millimetres and name of a value of $INSUNITS (Autodesk DXF reference, header variables).
fn insunits(value: &str) -> Option<(f64, &'static str)> {
    Some(match value.trim().parse::<i32>().ok()? {
        1 => (25.4, "in"),
        2 => (304.8, "ft"),
        4 => (1.0, "mm"),
        5 => (10.0, "cm"),
        6 => (1000.0, "m"),
        8 => (25.4e-6, "microinch"),
        9 => (0.0254, "mil"),
        10 => (914.4, "yd"),
        13 => (0.001, "micron"),
        14 => (100.0, "dm"),
        _ => return None,
    })
}

/// The pairs of a text.
struct Pairs<'t> {
    lines: std::iter::Enumerate<std::str::Lines<'t>>,
}

impl<'t> Pairs<'t> {
    fn new(text: &'t str) -> Self {
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
                let message = format!("`{}` is no group code", shown(code));
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
struct Records<'t> {
    pairs: std::iter::Peekable<Pairs<'t>>,
}

impl<'t> Records<'t> {
    fn new(text: &'t str) -> Self {
        Self { pairs: Pairs::new(text).peekable() }
    }

    fn next(&mut self, file: &mut File<'_>) -> Result<Option<Record<'t>>, Unreadable> {
        let mut record: Option<Record<'t>> = None;
        while let Some(pair) = self.pairs.next_if(|pair| record.is_none() || !starts_record(pair)) {
            let pair = pair?;
            match &mut record {
                _ if pair.code == 999 => file.comment(pair.value),
                Some(record) => record.pairs.push(pair),
                None if pair.code == 0 => record = Some(Record { kind: pair.value, pairs: Vec::new() }),
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
    pub(super) fn flags(&self, code: i32) -> i64 {
        self.text(code).parse().unwrap_or(0)
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
            let message = format!("`{}` is no coordinate (group {})", shown(self.value), self.code);
            Unreadable::at(self.line, message, "check the program that wrote the file")
        })
    }
}
