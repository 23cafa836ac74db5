//! Polylines as plain text, for scripts and for machines with software of their own.
//!
//! The file is UTF-8 with one line feed after each line. It has four kinds of lines:
//!
//! - **Comments** start with `#`. They stand only at the top and say what the drawing shows, its unit, its sheet and
//!   how the file is built; a reader may skip them.
//! - A **polyline** line has six words with one space between: the word `polyline`, the role (`edge`, `cut`, `face`,
//!   `sight`, `guide`, `tick`, `scale` and so on), the number of the opening or `-`, `closed` or `open`, the number of
//!   its points, and the unit (`mm` or `in`).
//! - As many **point** lines follow, each with x and y as decimal numbers with one space between.
//! - **Text** lines stand at the end, one for each line of words on the drawing: the word `text`, the role, `start`,
//!   `middle` or `end` for the part of the baseline that lies at the point, the height of capitals, the unit, x, y, and
//!   the words up to the end of the line.
//!
//! The origin is the top left corner of the sheet, x runs to the right and y down. A closed polyline does not repeat
//! its first point. Polylines stand in the order in which they are drawn.
//!
//! ```text
//! # Backline polylines, version 1
//! # title: Portrait, back template
//! # view: back template
//! # sheet: 406.4 x 508 mm; origin at its top left corner, x to the right, y down
//! # curves: within 0.01 mm
//! # polyline ROLE OPENING closed|open POINTS UNIT, then one point a line: X Y
//! polyline edge - closed 4 mm
//! 0 0
//! 406.4 0
//! 406.4 508
//! 0 508
//! text label middle 3.9 mm 203.2 6.5 TOP
//! ```

use crate::drawing::{FlattenedDrawing, Polyline, Role, Text};
use crate::formats::{ExportError, Exported, Exporter, FileUnit, Source};
use crate::formats::{coordinate, number};

/// Writes polylines as plain text.
#[derive(Debug, Clone, Copy)]
pub(super) struct PolylinesText;

impl Exporter for PolylinesText {
    fn name(&self) -> &'static str {
        "polylines"
    }

    fn extension(&self) -> &'static str {
        "txt"
    }

    fn has_unit(&self) -> bool {
        true
    }

    fn summary(&self) -> &'static str {
        "polylines as plain text, one point a line"
    }

    fn encode(&self, source: &Source<'_>) -> Result<Exported, ExportError> {
        let polylines = source.polylines();
        let unit = source.options.unit;
        let mut out = Vec::with_capacity(likely_size(polylines));
        push_comments(&mut out, source);
        for layer in &polylines.layers {
            for polyline in &layer.polylines {
                push_polyline(&mut out, polyline, layer.role, unit);
            }
        }
        for layer in &polylines.layers {
            for text in &layer.texts {
                push_text(&mut out, text, layer.role, unit);
            }
        }
        Ok(Exported::new(out, Vec::new()))
    }
}

/// Returns about how many bytes the file will have, rather more than fewer.
fn likely_size(polylines: &FlattenedDrawing<'_>) -> usize {
    let all = polylines.layers.iter().flat_map(|layer| &layer.polylines);
    4096 + all.map(|polyline| 40 + 24 * polyline.points.len()).sum::<usize>()
}

fn push_comments(out: &mut Vec<u8>, source: &Source<'_>) {
    let (drawing, unit) = (source.drawing, source.options.unit);
    let title = drawing.title.replace(char::is_control, " ");
    out.extend_from_slice(b"# Backline polylines, version 1\n# title: ");
    out.extend_from_slice(title.as_bytes());
    out.extend_from_slice(b"\n# view: ");
    out.extend_from_slice(drawing.view.as_bytes());
    out.extend_from_slice(b"\n# sheet: ");
    coordinate::push(out, drawing.sheet.width, unit);
    out.extend_from_slice(b" x ");
    coordinate::push(out, drawing.sheet.height, unit);
    out.push(b' ');
    out.extend_from_slice(unit.name().as_bytes());
    out.extend_from_slice(b"; origin at its top left corner, x to the right, y down\n# curves: within ");
    number::push::<9>(out, source.options.tolerance);
    out.extend_from_slice(b" mm\n# polyline ROLE OPENING closed|open POINTS UNIT, then one point a line: X Y\n");
}

fn push_polyline(out: &mut Vec<u8>, polyline: &Polyline, role: Role, unit: FileUnit) {
    out.extend_from_slice(b"polyline ");
    out.extend_from_slice(role.name().as_bytes());
    out.push(b' ');
    match polyline.opening {
        Some(opening) => number::push_integer(out, opening),
        None => out.push(b'-'),
    }
    out.extend_from_slice(if polyline.closed { b" closed " } else { b" open " });
    number::push_integer(out, polyline.points.len());
    out.push(b' ');
    out.extend_from_slice(unit.name().as_bytes());
    out.push(b'\n');
    for point in &polyline.points {
        coordinate::push(out, point.x, unit);
        out.push(b' ');
        coordinate::push(out, point.y, unit);
        out.push(b'\n');
    }
}

fn push_text(out: &mut Vec<u8>, text: &Text, role: Role, unit: FileUnit) {
    for word in ["text ", role.name(), " ", text.anchor.name(), " "] {
        out.extend_from_slice(word.as_bytes());
    }
    coordinate::push(out, text.cap_height, unit);
    out.push(b' ');
    out.extend_from_slice(unit.name().as_bytes());
    for length in [text.at.x, text.at.y] {
        out.push(b' ');
        coordinate::push(out, length, unit);
    }
    out.push(b' ');
    out.extend_from_slice(text.content.replace(char::is_control, " ").as_bytes());
    out.push(b'\n');
}
