//! Polylines as JSON, for programs.
//!
//! One object with these members, in this order:
//!
//! | member | meaning |
//! |---|---|
//! | `format` | `"backline-polylines/1"` |
//! | `title` | what the drawing shows, in words |
//! | `view` | name of the view |
//! | `unit` | `"mm"` or `"in"`, of every number but the tolerance |
//! | `sheet` | `width` and `height` of the sheet |
//! | `tolerance_mm` | largest distance in millimetres between a curve and its polyline |
//! | `polylines` | the polylines in the order in which they are drawn |
//! | `texts` | the lines of words on the drawing |
//!
//! Each polyline has its `role`, the number of its `opening` or `null`, whether it is `closed`, and its `points` as
//! pairs of x and y. Each text has its `role`, the `content`, the point `at` which the `anchor` part of its baseline lies
//! (`"start"`, `"middle"` or `"end"`), and the `cap_height` of its capitals. The origin is the top left corner of the sheet, x runs to the right and y down. A closed polyline
//! does not repeat its first point. Each of them has a line of its own, so that two files can be compared line by line.

use crate::drawing::{FlattenedDrawing, Polyline, Role, Text};
use crate::formats::{ExportError, Exported, Exporter, FileUnit, Source};
use crate::formats::{coordinate, number};

/// Writes polylines as JSON.
#[derive(Debug, Clone, Copy)]
pub(super) struct PolylinesJson;

impl Exporter for PolylinesJson {
    fn name(&self) -> &'static str {
        "json"
    }

    fn extension(&self) -> &'static str {
        "json"
    }

    fn has_unit(&self) -> bool {
        true
    }

    fn summary(&self) -> &'static str {
        "polylines as JSON, for programs"
    }

    fn encode(&self, source: &Source<'_>) -> Result<Exported, ExportError> {
        let polylines = source.polylines();
        let unit = source.options.unit;
        let mut out = Vec::with_capacity(likely_size(polylines));
        push_head(&mut out, source);
        let mut separator: &[u8] = b"\n";
        for layer in &polylines.layers {
            for polyline in &layer.polylines {
                out.extend_from_slice(separator);
                push_polyline(&mut out, polyline, layer.role, unit);
                separator = b",\n";
            }
        }
        out.extend_from_slice(b"\n],\"texts\":[");
        separator = b"\n";
        for layer in &polylines.layers {
            for text in &layer.texts {
                out.extend_from_slice(separator);
                push_text(&mut out, text, layer.role, unit);
                separator = b",\n";
            }
        }
        out.extend_from_slice(b"\n]}\n");
        Ok(Exported::new(out, Vec::new()))
    }
}

/// Returns about how many bytes the file will have, rather more than fewer.
fn likely_size(polylines: &FlattenedDrawing<'_>) -> usize {
    let all = polylines.layers.iter().flat_map(|layer| &layer.polylines);
    4096 + all.map(|polyline| 72 + 26 * polyline.points.len()).sum::<usize>()
}

fn push_head(out: &mut Vec<u8>, source: &Source<'_>) {
    let (drawing, unit) = (source.drawing, source.options.unit);
    out.extend_from_slice(b"{\"format\":\"backline-polylines/1\",\"title\":");
    push_string(out, &drawing.title);
    out.extend_from_slice(b",\"view\":");
    push_string(out, drawing.view);
    out.extend_from_slice(b",\"unit\":");
    push_string(out, unit.name());
    out.extend_from_slice(b",\"sheet\":{\"width\":");
    coordinate::push(out, drawing.sheet.width, unit);
    out.extend_from_slice(b",\"height\":");
    coordinate::push(out, drawing.sheet.height, unit);
    out.extend_from_slice(b"},\"tolerance_mm\":");
    number::push::<9>(out, source.options.tolerance);
    out.extend_from_slice(b",\"polylines\":[");
}

fn push_string(out: &mut Vec<u8>, content: &str) {
    // Writing into memory does not fail.
    let _ = serde_json::to_writer(out, content);
}

fn push_polyline(out: &mut Vec<u8>, polyline: &Polyline, role: Role, unit: FileUnit) {
    out.extend_from_slice(b"{\"role\":\"");
    out.extend_from_slice(role.name().as_bytes());
    out.extend_from_slice(b"\",\"opening\":");
    match polyline.opening {
        Some(opening) => number::push_integer(out, opening),
        None => out.extend_from_slice(b"null"),
    }
    out.extend_from_slice(if polyline.closed { b",\"closed\":true" } else { b",\"closed\":false" });
    out.extend_from_slice(b",\"points\":[");
    for (index, point) in polyline.points.iter().enumerate() {
        if index > 0 {
            out.push(b',');
        }
        out.push(b'[');
        coordinate::push(out, point.x, unit);
        out.push(b',');
        coordinate::push(out, point.y, unit);
        out.push(b']');
    }
    out.extend_from_slice(b"]}");
}

fn push_text(out: &mut Vec<u8>, text: &Text, role: Role, unit: FileUnit) {
    for word in ["{\"role\":\"", role.name(), "\",\"content\":"] {
        out.extend_from_slice(word.as_bytes());
    }
    push_string(out, &text.content);
    out.extend_from_slice(b",\"at\":[");
    coordinate::push(out, text.at.x, unit);
    out.push(b',');
    coordinate::push(out, text.at.y, unit);
    for word in ["],\"anchor\":\"", text.anchor.name(), "\",\"cap_height\":"] {
        out.extend_from_slice(word.as_bytes());
    }
    coordinate::push(out, text.cap_height, unit);
    out.push(b'}');
}
