//! HP-GL for pen plotters and cutters: pens, moves and strokes, in steps of 0.025 mm.
//!
//! Only the instructions IN, SP, PU, PD, SI and LB with absolute coordinates are used, which every device of the family
//! has had from the first. The y axis runs up from the bottom left corner of the sheet. Each role has its pen; strokes
//! that share a pen are drawn together, so that a plotter changes pens as rarely as possible. Labels are written in the
//! device's own letters, at the size and width that they have on the other drawings; those with letters outside ASCII are
//! drawn stroke by stroke, since each device has letters of its own there. Sentences for the reader
//! ([`Role::Note`](crate::drawing::Role::Note)) are left out: a pen would write for minutes.

use kurbo::{Point, Size};

use super::syntax::{LETTER_PITCH, PlotterPoint, UNITS_PER_MM, end_instruction, push_instruction, push_position};
use crate::drawing::{FlattenedDrawing, Polyline, PolylineLayer, Role, StrokeFont, Text};
use crate::formats::{ExportError, Exported, Exporter, Source};
use crate::formats::{notes, number};

/// Writes HP-GL.
#[derive(Debug, Clone, Copy)]
pub(super) struct HpGlExporter;

/// The largest coordinate that a device with 16-bit numbers takes: 819.175 mm.
const LARGEST_16_BIT: i64 = 32_767;
/// A longer list of strokes is broken up: the buffers of old plotters are small.
const LONGEST_INSTRUCTION: usize = 240;
/// Room that the longest pair of coordinates may take, with its commas.
const LONGEST_PAIR: usize = 24;
/// The buffer for the letters of a label holds at least so many (common practice, no source).
const LONGEST_LABEL: usize = 150;
/// Ends a label (HP PCL 5 Technical Reference, part II, page 23-60).
const END_OF_LABEL: u8 = 3;

impl Exporter for HpGlExporter {
    fn name(&self) -> &'static str {
        "hpgl"
    }

    fn extension(&self) -> &'static str {
        "plt"
    }

    fn summary(&self) -> &'static str {
        "HP-GL for pen plotters and cutters, in steps of 0.025 mm"
    }

    fn encode(&self, source: &Source<'_>) -> Result<Exported, ExportError> {
        let polylines = source.polylines();
        let mut plot = DrawingPlot::new(polylines);
        push_instruction(&mut plot.out, "IN", &[]);
        for pen in pens(polylines) {
            push_instruction(&mut plot.out, "SP", &[i64::from(pen)]);
            for layer in plotted(polylines).filter(|layer| layer.role.style().pen == pen) {
                for polyline in &layer.polylines {
                    plot.polyline(polyline);
                }
                for text in &layer.texts {
                    plot.text(text);
                }
            }
        }
        push_instruction(&mut plot.out, "PU", &[]);
        push_instruction(&mut plot.out, "SP", &[0]);
        let notes = notes::about_missing(&plot.missing_letters).into_iter().chain(plot.note_on_reach()).collect();
        Ok(Exported::new(plot.out, notes))
    }
}

/// Returns the layers that a plotter draws.
fn plotted<'a>(polylines: &'a FlattenedDrawing<'a>) -> impl Iterator<Item = &'a PolylineLayer<'a>> {
    polylines.layers.iter().filter(|layer| layer.role != Role::Note)
}

/// Returns the pens in the order in which the layers first need them.
fn pens(polylines: &FlattenedDrawing<'_>) -> Vec<u8> {
    let mut pens = Vec::new();
    for layer in plotted(polylines) {
        let pen = layer.role.style().pen;
        if !pens.contains(&pen) {
            pens.push(pen);
        }
    }
    pens
}

/// The instructions of a file.
struct DrawingPlot {
    out: Vec<u8>,
    sheet: Size,
    /// The strokes at hand.
    stops: Vec<PlotterPoint>,
    /// How many positions there are beyond the reach of 16-bit numbers.
    beyond_16_bit: usize,
    /// Letters that the stroke font does not have, once each.
    missing_letters: String,
}

impl DrawingPlot {
    fn new(polylines: &FlattenedDrawing<'_>) -> Self {
        let all = polylines.layers.iter().flat_map(|layer| &layer.polylines);
        let likely_size = 1024 + all.map(|polyline| 24 + 13 * polyline.points.len()).sum::<usize>();
        Self {
            out: Vec::with_capacity(likely_size),
            sheet: polylines.sheet,
            stops: Vec::new(),
            beyond_16_bit: 0,
            missing_letters: String::new(),
        }
    }

    fn polyline(&mut self, polyline: &Polyline) {
        self.set_stops(polyline);
        let Some((&first, rest)) = self.stops.split_first() else {
            return;
        };
        self.out.extend_from_slice(b"PU");
        push_position(&mut self.out, first);
        end_instruction(&mut self.out);
        let mut start = self.out.len();
        for &stop in rest {
            let used = self.out.len() - start;
            if used > LONGEST_INSTRUCTION - LONGEST_PAIR {
                end_instruction(&mut self.out);
                start = self.out.len();
            }
            if self.out.len() == start {
                self.out.extend_from_slice(b"PD");
            } else {
                self.out.push(b',');
            }
            push_position(&mut self.out, stop);
        }
        end_instruction(&mut self.out);
    }

    /// Writes a line of text, as a label where every device has its letters, else stroke by stroke.
    fn text(&mut self, text: &Text) {
        let content = StrokeFont::spelled(&text.content).replace('×', "x");
        let is_plain = content.len() <= LONGEST_LABEL && content.bytes().all(|letter| (b' '..=b'~').contains(&letter));
        if is_plain {
            self.label(text, &content);
        } else {
            for stroke in StrokeFont::strokes(text, &mut self.missing_letters) {
                self.polyline(&stroke);
            }
        }
    }

    fn label(&mut self, text: &Text, content: &str) {
        let width = StrokeFont::width(&text.content, text.cap_height);
        let start = Point::new(text.at.x - text.anchor.share() * width, text.at.y);
        let position = to_units(start, self.sheet.height);
        self.count_if_beyond(position);
        self.out.extend_from_slice(b"PU");
        push_position(&mut self.out, position);
        // All letters are equally wide, and the last one has no space after it. SI takes centimetres.
        let letter_width = width / (LETTER_PITCH * content.len() as f64 - (LETTER_PITCH - 1.0));
        self.out.extend_from_slice(b";SI");
        number::push::<4>(&mut self.out, 0.1 * letter_width);
        self.out.push(b',');
        number::push::<4>(&mut self.out, 0.1 * text.cap_height);
        self.out.extend_from_slice(b";LB");
        self.out.extend_from_slice(content.as_bytes());
        self.out.extend_from_slice(&[END_OF_LABEL, b'\n']);
    }

    fn count_if_beyond(&mut self, (x, y): PlotterPoint) {
        self.beyond_16_bit += usize::from(x.abs() > LARGEST_16_BIT || y.abs() > LARGEST_16_BIT);
    }

    /// Rounds the points to plotter units; those that fall together are one stop, but a dot keeps two.
    fn set_stops(&mut self, polyline: &Polyline) {
        let height = self.sheet.height;
        let first = polyline.points.first();
        let back_to_first = first.filter(|_| polyline.closed);
        self.stops.clear();
        self.stops.extend(polyline.points.iter().chain(back_to_first).map(|point| to_units(*point, height)));
        self.stops.dedup();
        if let [dot] = self.stops[..] {
            self.stops.push(dot);
        }
        for index in 0..self.stops.len() {
            if let Some(&stop) = self.stops.get(index) {
                self.count_if_beyond(stop);
            }
        }
    }

    fn note_on_reach(&self) -> Option<String> {
        let count = self.beyond_16_bit;
        let positions = if count == 1 { "position lies" } else { "positions lie" };
        (count > 0).then(|| {
            let Size { width, height } = self.sheet;
            format!(
                "the sheet is {width:.1} × {height:.1} mm, and {count} {positions} beyond 32,767 plotter units (819.175 mm), \
                 where plotters with 16-bit numbers stop; check that yours reads larger numbers"
            )
        })
    }
}

/// Turns a point on the sheet, y down, into plotter units, y up.
fn to_units(point: Point, height: f64) -> PlotterPoint {
    (number::nearest(point.x * UNITS_PER_MM), number::nearest((height - point.y) * UNITS_PER_MM))
}
