//! DXF of any release, as text: sections, header, blocks and the list of entities.

mod blocks;
mod canvas;
mod entities;
mod records;
mod spline;
mod texts;

use std::collections::{BTreeMap, BTreeSet};

use kurbo::Affine;

use super::facts::FACTS;
use crate::formats::FileUnit;
use crate::formats::reading::{FoundUnit, LineColor, ReadDrawing, RunSettings, SharedRuns, Unreadable, shown};
use crate::formats::{Facts, Reader};
use crate::length::{self, Unit};
use crate::tolerance::SAME_SHARE;
use blocks::{Block, Blocks};
use canvas::Canvas;
use records::{Pair, Pairs, Record, Records};

/// Reads DXF.
#[derive(Debug, Clone, Copy)]
pub(super) struct Dxf;

impl Reader for Dxf {
    fn facts(&self) -> &'static Facts {
        &FACTS
    }

    fn endings(&self) -> &'static [&'static str] {
        &["dxf"]
    }

    fn recognises(&self, text: &str) -> bool {
        let is_section = |pair: Pair<'_>| pair.code == 0 && pair.value == "SECTION";
        text.starts_with("AutoCAD Binary DXF")
            || Pairs::new(text).map_while(Result::ok).find(|pair| pair.code != 999).is_some_and(is_section)
    }

    fn read(&self, text: &str, unit: Option<FileUnit>) -> Result<ReadDrawing, Unreadable> {
        if text.starts_with("AutoCAD Binary DXF") {
            return Err(Unreadable::new("the file is binary DXF", "save it as DXF in text form"));
        }
        let mut file = DxfFile::default();
        let whole = file.read(text)?;
        let DxfFile { canvas: Canvas { pen, texts, left_out, .. }, doubts, is_imperial, comment, colors, .. } = file;
        let differs = |stated: &FoundUnit, said: &FoundUnit| !same_length(stated.millimetres, said.millimetres);
        let disagreement = file.insunits.clone().zip(comment.clone()).filter(|(stated, said)| differs(stated, said));
        let unit = match unit {
            Some(unit) => FoundUnit::asked(unit),
            None => file.insunits.or(comment).unwrap_or_else(FoundUnit::not_stated),
        };
        let scale = unit.millimetres;
        let mut paths = pen.into_paths();
        let mut shared = SharedRuns::default();
        for path in paths.iter_mut().filter(|path| path.run.color.is_none()) {
            let color = colors.get(&*path.layer).copied().map(LineColor::Dxf);
            path.run = shared.share(RunSettings { color, ..*path.run });
        }
        let mut reading = ReadDrawing { texts, left_out, paths, ..ReadDrawing::new(&FACTS, unit) };
        doubts.into_iter().for_each(|doubt| reading.doubt(doubt));
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
            reading.doubt("the file ends in the middle: it has no EOF");
        }
        reading.transform(Affine::scale_non_uniform(scale, -scale));
        Ok(reading)
    }
}

/// What is known of a file so far.
#[derive(Default)]
struct DxfFile<'t> {
    comment: Option<FoundUnit>,
    insunits: Option<FoundUnit>,
    /// Whether $MEASUREMENT says that the drawing is not metric; `None` if it is not there.
    is_imperial: Option<bool>,
    blocks: Blocks<'t>,
    canvas: Canvas,
    /// Names of layers that are switched off or frozen.
    unseen: BTreeSet<&'t str>,
    /// Colours of layers by their names.
    colors: BTreeMap<&'t str, u8>,
    doubts: Vec<String>,
}

impl<'t> DxfFile<'t> {
    /// Reads all records; tells whether the file comes to a proper end.
    fn read(&mut self, text: &'t str) -> Result<bool, Unreadable> {
        let mut records = Records::new(text);
        let mut section = String::new();
        let mut block: Option<Block<'t>> = None;
        while let Some(record) = records.next(&mut |comment| self.comment(comment))? {
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
                "LAYER" if section == "TABLES" => self.layer(&record)?,
                "BLOCK" if section == "BLOCKS" => block = Some(Block::new(&record)),
                "ENDBLK" => self.blocks.add(block.take()),
                _ => match &mut block {
                    Some(block) => block.records.push(record),
                    None if section == "ENTITIES" => {
                        entities::draw(&record, &mut self.canvas, &mut self.blocks)?;
                        self.remark_unseen(&record);
                    }
                    None => {}
                },
            }
        }
        Ok(false)
    }

    fn layer(&mut self, record: &Record<'t>) -> Result<(), Unreadable> {
        const FROZEN: i64 = 1;
        // Below zero the layer is switched off.
        if let Ok(color) = u8::try_from(record.flags(62)?.abs()) {
            self.colors.insert(record.text(2), color);
        }
        if record.flags(62)? < 0 || record.flags(70)? & FROZEN != 0 {
            self.unseen.insert(record.text(2));
        }
        Ok(())
    }

    fn remark_unseen(&mut self, record: &Record<'t>) {
        let layer = record.text(8);
        if self.unseen.remove(layer) {
            let layer = shown(layer);
            self.doubts
                .push(format!("layer {layer} is switched off or frozen in the file, and is measured all the same"));
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
    (a / b - 1.0).abs() < SAME_SHARE
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
