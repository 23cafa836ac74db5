//! DXF of release 12, the version that every cutter and every drawing program reads.
//!
//! The file has a header, the tables of line types and layers, and one POLYLINE for each polyline of the drawing, and
//! nothing else: words are left out, for a cutter would cut their strokes. Its y axis runs up from the bottom left
//! corner of the sheet. The release has no variable for the unit and knows only ASCII, so comments (group code 999) at
//! the top name the drawing, the unit, the sheet and the tolerance. Lines end with CR LF: the programs of that time read nothing else, and later ones read both.

use kurbo::{Point, Rect};

use super::exporter::{ExportError, Exported, Exporter, FileUnit, Source};
use super::{coordinate, number};
use crate::drawing::{Polyline, PolylineLayer, Polylines, Role};

/// Writes DXF of release 12.
#[derive(Debug, Clone, Copy)]
pub(super) struct Dxf;

/// A comment is broken here; programs of the time read at most 255 characters a line.
const LONGEST_COMMENT: usize = 240;
/// Name of the solid line type.
const SOLID: &str = "CONTINUOUS";
/// Name of the dashed line type.
const DASHED: &str = "DASHED";

impl Exporter for Dxf {
    fn name(&self) -> &'static str {
        "dxf"
    }

    fn extension(&self) -> &'static str {
        "dxf"
    }

    fn summary(&self) -> &'static str {
        "DXF release 12 for cutters and CAD, curves as polylines, no words"
    }

    fn export(&self, source: &Source<'_>) -> Result<Exported, ExportError> {
        let polylines = source.polylines();
        let mut pairs = Pairs { out: Vec::with_capacity(likely_size(polylines)), unit: source.options.unit };
        pairs.comments(source);
        pairs.header(polylines);
        pairs.tables(polylines);
        pairs.entities(polylines);
        pairs.text("0", "EOF");
        Ok(Exported { bytes: pairs.out, notes: Vec::new() })
    }
}

/// Returns about how many bytes the file will have, rather more than fewer.
fn likely_size(polylines: &Polylines<'_>) -> usize {
    let all = polylines.layers.iter().flat_map(|layer| &layer.polylines);
    2048 + all.map(|polyline| 100 + 56 * polyline.points.len()).sum::<usize>()
}

/// The group codes and values of a file, one pair after the other.
struct Pairs {
    out: Vec<u8>,
    unit: FileUnit,
}

impl Pairs {
    fn text(&mut self, code: &str, value: &str) {
        self.line(code);
        self.line(value);
    }

    fn length(&mut self, code: &str, millimetres: f64) {
        self.line(code);
        coordinate::push(&mut self.out, millimetres, self.unit);
        self.line("");
    }

    fn line(&mut self, content: &str) {
        self.out.extend_from_slice(content.as_bytes());
        self.out.extend_from_slice(b"\r\n");
    }

    fn comments(&mut self, source: &Source<'_>) {
        let drawing = source.drawing;
        self.comment(&drawing.title);
        self.comment(match self.unit {
            FileUnit::Millimetre => "unit: mm (one drawing unit is one millimetre)",
            FileUnit::Inch => "unit: in (one drawing unit is one inch)",
        });
        let mut size = b"sheet: ".to_vec();
        coordinate::push(&mut size, drawing.sheet.width, self.unit);
        size.extend_from_slice(b" x ");
        coordinate::push(&mut size, drawing.sheet.height, self.unit);
        size.extend_from_slice(b", origin at its bottom left corner");
        self.comment(&String::from_utf8_lossy(&size));
        let mut tolerance = b"tolerance of curves: ".to_vec();
        number::push::<9>(&mut tolerance, source.options.tolerance);
        tolerance.extend_from_slice(b" mm");
        self.comment(&String::from_utf8_lossy(&tolerance));
    }

    /// Appends a comment in ASCII, over several pairs if it is long; line breaks and the like become spaces.
    fn comment(&mut self, content: &str) {
        let mut line = String::new();
        for letter in content.chars() {
            if line.len() >= LONGEST_COMMENT {
                self.text("999", &line);
                line.clear();
            }
            match letter {
                letter if letter.is_control() => line.push(' '),
                letter if letter.is_ascii() => line.push(letter),
                letter => {
                    for unit in letter.encode_utf16(&mut [0; 2]) {
                        line.push_str(&format!("\\U+{unit:04X}"));
                    }
                }
            }
        }
        self.text("999", &line);
    }

    fn header(&mut self, polylines: &Polylines<'_>) {
        self.start_section("HEADER");
        self.text("9", "$ACADVER");
        self.text("1", "AC1009");
        match bounds(polylines) {
            Some(bounds) => {
                let height = polylines.sheet.height;
                self.extent("$EXTMIN", Point::new(bounds.x0, height - bounds.y1));
                self.extent("$EXTMAX", Point::new(bounds.x1, height - bounds.y0));
            }
            // What the format prescribes for a drawing with nothing in it.
            None => {
                self.empty_extent("$EXTMIN", "1.0E+20");
                self.empty_extent("$EXTMAX", "-1.0E+20");
            }
        }
        self.text("0", "ENDSEC");
    }

    fn extent(&mut self, variable: &str, corner: Point) {
        self.text("9", variable);
        self.length("10", corner.x);
        self.length("20", corner.y);
        self.text("30", "0");
    }

    fn empty_extent(&mut self, variable: &str, value: &str) {
        self.text("9", variable);
        for code in ["10", "20", "30"] {
            self.text(code, value);
        }
    }

    fn tables(&mut self, polylines: &Polylines<'_>) {
        self.start_section("TABLES");
        let layers: Vec<&PolylineLayer<'_>> = drawn(polylines).collect();
        let dash = layers.iter().find_map(|layer| layer.role.style().dash);
        self.start_table("LTYPE", if dash.is_some() { 2 } else { 1 });
        self.line_type(SOLID, "Solid line", &[]);
        if let Some([stroke, gap]) = dash {
            self.line_type(DASHED, "Dashed line", &[stroke, -gap]);
        }
        self.text("0", "ENDTAB");
        self.start_table("LAYER", layers.len());
        for layer in layers {
            self.layer(layer.role);
        }
        self.text("0", "ENDTAB");
        self.text("0", "ENDSEC");
    }

    fn start_section(&mut self, name: &str) {
        self.text("0", "SECTION");
        self.text("2", name);
    }

    fn start_table(&mut self, name: &str, entries: usize) {
        self.text("0", "TABLE");
        self.text("2", name);
        self.text("70", &entries.to_string());
    }

    /// Appends a line type; its dashes are lengths in millimetres, gaps below zero.
    fn line_type(&mut self, name: &str, description: &str, dashes: &[f64]) {
        self.text("0", "LTYPE");
        self.text("2", name);
        self.text("70", "0");
        self.text("3", description);
        self.text("72", "65");
        self.text("73", &dashes.len().to_string());
        self.length("40", dashes.iter().map(|dash| dash.abs()).sum());
        for &dash in dashes {
            self.length("49", dash);
        }
    }

    fn layer(&mut self, role: Role) {
        let style = role.style();
        self.text("0", "LAYER");
        self.text("2", &layer_name(role));
        self.text("70", "0");
        self.text("62", &style.dxf_color.to_string());
        self.text("6", if style.dash.is_some() { DASHED } else { SOLID });
    }

    fn entities(&mut self, polylines: &Polylines<'_>) {
        self.start_section("ENTITIES");
        for layer in drawn(polylines) {
            let name = layer_name(layer.role);
            let vertex = format!("0\r\nVERTEX\r\n8\r\n{name}\r\n10\r\n");
            for polyline in &layer.polylines {
                self.polyline(polyline, &name, &vertex, polylines.sheet.height);
            }
        }
        self.text("0", "ENDSEC");
    }

    fn polyline(&mut self, polyline: &Polyline, layer: &str, vertex: &str, height: f64) {
        self.text("0", "POLYLINE");
        self.text("8", layer);
        // Says that vertices follow: without it programs of the time show nothing.
        self.text("66", "1");
        for code in ["10", "20", "30"] {
            self.text(code, "0");
        }
        self.text("70", if polyline.closed { "1" } else { "0" });
        for point in &polyline.points {
            self.out.extend_from_slice(vertex.as_bytes());
            coordinate::push(&mut self.out, point.x, self.unit);
            self.out.extend_from_slice(b"\r\n20\r\n");
            coordinate::push(&mut self.out, height - point.y, self.unit);
            self.out.extend_from_slice(b"\r\n");
        }
        self.text("0", "SEQEND");
        self.text("8", layer);
    }
}

/// Returns the layers of which something is drawn.
fn drawn<'a>(polylines: &'a Polylines<'a>) -> impl Iterator<Item = &'a PolylineLayer<'a>> {
    polylines.layers.iter().filter(|layer| !layer.polylines.is_empty())
}

fn layer_name(role: Role) -> String {
    role.name().to_ascii_uppercase()
}

/// Returns the smallest upright rectangle round all points, in millimetres on the sheet; `None` if there is no point.
fn bounds(polylines: &Polylines<'_>) -> Option<Rect> {
    let all = polylines.layers.iter().flat_map(|layer| &layer.polylines);
    let mut points = all.flat_map(|polyline| &polyline.points);
    let first = *points.next()?;
    Some(points.fold(Rect::from_points(first, first), |bounds, &point| bounds.union_pt(point)))
}

#[cfg(test)]
mod tests {
    use super::{FileUnit, Pairs, Role};

    #[test]
    fn a_comment_is_ascii_on_short_lines() {
        let comment = |content: &str| {
            let mut pairs = Pairs { out: Vec::new(), unit: FileUnit::Millimetre };
            pairs.comment(content);
            String::from_utf8(pairs.out).unwrap_or_default()
        };
        assert_eq!(comment("Öl\n0\nEOF & 漢"), "999\r\n\\U+00D6l 0 EOF & \\U+6F22\r\n");
        assert_eq!(comment("🖼"), "999\r\n\\U+D83D\\U+DDBC\r\n");
        let long = comment(&"ä".repeat(100));
        assert!(long.lines().all(|line| line.len() <= 255));
        assert_eq!(long.matches("\\U+00E4").count(), 100);
    }

    #[test]
    fn all_dashed_roles_share_the_one_dashed_line_type() {
        let mut dashes: Vec<_> = Role::ALL.iter().filter_map(|role| role.style().dash).collect();
        dashes.dedup();
        assert!(dashes.len() <= 1);
    }
}
