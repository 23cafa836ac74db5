//! SVG at full scale: one user unit is one millimetre, and circles, ellipses and their arcs stay what they are.

use std::collections::BTreeMap;

use kurbo::{Point, Rect};

use crate::dimensions::DimensionKind;
use crate::drawing::{Anchor, Area, Drawing, DrawingLayer, Image, Lettering, Mark, Role, Style, Text};
use crate::formats::exporter::refuse_endless;
use crate::formats::letters::{note_once, quoted};
use crate::formats::{ExportError, Exported, Exporter, Source, number};
use crate::geometry::{Arc, Outline};
use crate::photo::RasterForm;
use crate::tolerance::SAME_DIRECTION_RAD;

use super::base64::push_base64;
use super::path_data::{PathData, PathNumbers, ellipse_axes};

/// Decimals of the width and height of the sheet; six hold every 64th of an inch exactly.
const SHEET_DECIMALS: usize = 6;
/// Decimals of all other numbers; an arc of an ellipse twenty times as long as wide magnifies the rounding of its ends
/// twentyfold, which leaves 0.0001 mm.
pub(super) const DECIMALS: usize = 5;
/// The fonts asked for, most alike first; their widths are those of Helvetica.
const FONTS: &str = "Helvetica, Arial, 'Liberation Sans', sans-serif";
/// Height of the capitals of Helvetica as a share of the font size (`CapHeight 718` in Adobe's Core 14 AFM files).
const CAP_SHARE: f64 = 0.718;
/// Bytes for which room is made at first: most drawings are smaller.
const LIKELY_SIZE: usize = 16 * 1024;
/// Stands for a character that XML cannot hold.
const REPLACEMENT: char = '\u{FFFD}';

/// The exporter for SVG.
pub(super) struct SvgExporter;

impl Exporter for SvgExporter {
    fn name(&self) -> &'static str {
        "svg"
    }

    fn extension(&self) -> &'static str {
        "svg"
    }

    fn summary(&self) -> &'static str {
        "SVG in millimetres, for laser cutters, cutting plotters and drawing programs"
    }

    fn encode(&self, source: &Source<'_>) -> Result<Exported, ExportError> {
        let mut writer = SvgWriter { out: Vec::with_capacity(LIKELY_SIZE), ..SvgWriter::default() };
        writer.drawing(source.drawing);
        Ok(writer.finish())
    }
}

/// Writes a page whose text has been laid out: each line states its width in print, so that a program without Helvetica
/// squeezes its own letters into it instead of running over what stands beside.
///
/// # Errors
///
/// Returns an [`ExportError`] if a number of the drawing is not finite.
pub fn svg_page(drawing: &Drawing) -> Result<Exported, ExportError> {
    refuse_endless(drawing)?;
    let mut writer = SvgWriter { out: Vec::with_capacity(LIKELY_SIZE), states_widths: true, ..SvgWriter::default() };
    writer.drawing(drawing);
    Ok(writer.finish())
}

/// Writes a drawing for a renderer that is coarse with circles and arcs: every curve is a cubic, as near as `CURVE_FIT_MM`.
#[cfg(feature = "pictures")]
pub(in crate::formats) fn svg_of_cubics(drawing: &Drawing) -> Exported {
    let mut writer = SvgWriter { out: Vec::with_capacity(LIKELY_SIZE), only_cubics: true, ..SvgWriter::default() };
    writer.drawing(drawing);
    writer.finish()
}

/// Numbers of drawings: a user unit is a millimetre.
struct Millimetres;

impl PathNumbers for Millimetres {
    fn push_length(&self, out: &mut Vec<u8>, millimetres: f64) {
        number::push::<DECIMALS>(out, millimetres);
    }

    fn push_angle(&self, out: &mut Vec<u8>, degrees: f64) {
        number::push::<DECIMALS>(out, degrees);
    }
}

/// What an outline belongs to: its role, and its opening if it has one.
type Owner = (Role, Option<usize>);

/// A file in the making.
#[derive(Default)]
pub(super) struct SvgWriter {
    out: Vec<u8>,
    /// Characters that XML cannot hold, once each.
    replaced: String,
    /// Stands before the names of layers, which must differ within a file.
    pub(super) prefix: &'static str,
    /// How many outlines have had the same name so far.
    named: BTreeMap<Owner, usize>,
    /// Whether each line of text says how wide it is in print.
    states_widths: bool,
    /// Whether circles, ellipses and their arcs are written as cubic Bézier curves too.
    only_cubics: bool,
    /// Room for the name of a size.
    id: String,
}

impl SvgWriter {
    fn drawing(&mut self, drawing: &Drawing) {
        self.start(drawing);
        for layer in drawing.layers.iter().filter(|layer| !layer.marks.is_empty()) {
            self.layer(layer);
        }
        self.raw("</svg>\n");
    }

    /// Writes all that comes before the layers.
    pub(super) fn start(&mut self, drawing: &Drawing) {
        self.raw("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"");
        number::push::<SHEET_DECIMALS>(&mut self.out, drawing.sheet.width);
        self.raw("mm\" height=\"");
        number::push::<SHEET_DECIMALS>(&mut self.out, drawing.sheet.height);
        self.raw("mm\" viewBox=\"0 0 ");
        number::push::<SHEET_DECIMALS>(&mut self.out, drawing.sheet.width);
        self.raw(" ");
        number::push::<SHEET_DECIMALS>(&mut self.out, drawing.sheet.height);
        self.raw("\" font-family=\"");
        self.raw(FONTS);
        self.raw("\" xml:space=\"preserve\">\n<title>");
        self.escaped(&drawing.title);
        self.raw("</title>\n");
    }

    pub(super) fn finish(self) -> Exported {
        let mut notes = Vec::new();
        if !self.replaced.is_empty() {
            let letters = quoted(&self.replaced);
            notes.push(format!("SVG cannot hold the characters {letters}; each is written as “{REPLACEMENT}”"));
        }
        Exported::new(self.out, notes)
    }

    pub(super) fn layer(&mut self, layer: &DrawingLayer) {
        let style = layer.role.style();
        self.raw("<g id=\"");
        self.raw(self.prefix);
        self.raw(style.name);
        self.raw("\" fill=\"none\" stroke=\"");
        self.color(&style);
        self.raw("\"");
        self.attribute("stroke-width", style.line_width);
        if let Some([dash, gap]) = style.dash {
            self.raw(" stroke-dasharray=\"");
            self.number(dash);
            self.raw(" ");
            self.number(gap);
            self.raw("\"");
        }
        self.raw(">\n");
        for mark in &layer.marks {
            match mark {
                // Some programs that cut read nothing but paths.
                Mark::Outline { outline, opening } if layer.role.is_work() => {
                    self.closed_path(outline, (layer.role, *opening));
                }
                Mark::Outline { outline, opening } => self.outline(outline, (layer.role, *opening)),
                Mark::Line { points, dimensions } => self.line(points, dimensions),
                Mark::Text(text) => self.text(text, &style),
                Mark::Area(area) => self.area(area),
                Mark::Image(image) => self.image(image),
            }
        }
        self.raw("</g>\n");
    }

    fn outline(&mut self, outline: &Outline, of: Owner) {
        match outline.as_closed_arc().and_then(upright_axes) {
            Some((center, rx, ry)) if !self.only_cubics => self.whole_ellipse(center, rx, ry, of),
            _ => self.closed_path(outline, of),
        }
    }

    fn whole_ellipse(&mut self, center: Point, rx: f64, ry: f64, of: Owner) {
        let is_circle = rx.to_bits() == ry.to_bits();
        self.raw(if is_circle { "<circle" } else { "<ellipse" });
        self.owner(of);
        self.attribute("cx", center.x);
        self.attribute("cy", center.y);
        if is_circle {
            self.attribute("r", rx);
        } else {
            self.attribute("rx", rx);
            self.attribute("ry", ry);
        }
        self.raw("/>\n");
    }

    fn closed_path(&mut self, outline: &Outline, of: Owner) {
        self.raw("<path");
        self.owner(of);
        self.raw(" d=\"");
        self.closed_steps(outline);
        self.raw("\"/>\n");
    }

    fn closed_steps(&mut self, outline: &Outline) {
        self.path_data().chain(outline.segments(), true);
    }

    fn path_data(&mut self) -> PathData<'_, Millimetres> {
        PathData { out: &mut self.out, numbers: Millimetres, only_cubics: self.only_cubics }
    }

    fn area(&mut self, area: &Area) {
        self.raw(&format!("<path fill=\"{}\" fill-rule=\"evenodd\" stroke=\"none\" d=\"", area.colour));
        area.outlines.iter().for_each(|outline| self.closed_steps(outline));
        self.raw("\"/>\n");
    }

    /// Writes a picture inside the part of the sheet in which it is seen, with its bytes in the file.
    fn image(&mut self, image: &Image) {
        self.raw("<svg");
        self.place(image.seen);
        self.raw(" viewBox=\"");
        for (index, value) in [image.seen.x0, image.seen.y0, image.seen.width(), image.seen.height()].iter().enumerate()
        {
            self.raw(if index == 0 { "" } else { " " });
            self.number(*value);
        }
        self.raw("\">\n<image");
        self.place(image.rect);
        self.raw(match image.raster.form {
            RasterForm::Jpeg => " preserveAspectRatio=\"none\" href=\"data:image/jpeg;base64,",
            RasterForm::Png => " preserveAspectRatio=\"none\" href=\"data:image/png;base64,",
        });
        push_base64(&mut self.out, &image.raster.bytes);
        self.raw("\"/>\n</svg>\n");
    }

    pub(super) fn place(&mut self, rect: Rect) {
        self.attribute("x", rect.x0);
        self.attribute("y", rect.y0);
        self.attribute("width", rect.width());
        self.attribute("height", rect.height());
    }

    fn line(&mut self, points: &[Point], dimensions: &[DimensionKind]) {
        self.raw("<path");
        self.dimensions(dimensions);
        self.raw(" d=\"");
        self.path_data().lines(points.iter().copied(), false);
        self.raw("\"/>\n");
    }

    fn text(&mut self, text: &Text, style: &Style) {
        self.raw("<text");
        self.dimensions(&text.dimensions);
        self.attribute("x", text.at.x);
        self.attribute("y", text.at.y);
        self.attribute("font-size", text.cap_height / CAP_SHARE);
        self.raw(match text.anchor {
            Anchor::Start => "",
            Anchor::Middle => " text-anchor=\"middle\"",
            Anchor::End => " text-anchor=\"end\"",
        });
        if self.states_widths && !text.content.is_empty() {
            self.attribute("textLength", Lettering::width(&text.content, text.cap_height));
            self.raw(" lengthAdjust=\"spacingAndGlyphs\"");
        }
        self.raw(" fill=\"");
        self.color(style);
        self.raw("\" stroke=\"none\">");
        self.escaped(&text.content);
        self.raw("</text>\n");
    }

    pub(super) fn raw(&mut self, markup: &str) {
        self.out.extend_from_slice(markup.as_bytes());
    }

    fn number(&mut self, value: f64) {
        number::push::<DECIMALS>(&mut self.out, value);
    }

    fn attribute(&mut self, name: &str, value: f64) {
        self.raw(" ");
        self.raw(name);
        self.raw("=\"");
        self.number(value);
        self.raw("\"");
    }

    /// Names an outline: `opening-2-sight` by its opening and its role, or `outline-edge` where a machine follows it; where there are several so named the
    /// others are numbered from 2, in the order in which they are drawn.
    fn owner(&mut self, of: Owner) {
        let (role, opening) = of;
        if opening.is_none() && !role.is_work() {
            return;
        }
        self.raw(" id=\"");
        self.raw(self.prefix);
        match opening {
            None => self.raw("outline-"),
            Some(opening) => {
                self.raw("opening-");
                number::push_integer(&mut self.out, opening);
                self.raw("-");
            }
        }
        self.raw(role.name());
        let named = self.named.entry(of).or_insert(0);
        *named += 1;
        let count = *named;
        if count > 1 {
            self.raw("-");
            number::push_integer(&mut self.out, count);
        }
        self.raw("\"");
        if let Some(opening) = opening {
            self.raw(" data-opening=\"");
            number::push_integer(&mut self.out, opening);
            self.raw("\"");
        }
    }

    /// Writes the names of the sizes that a text or a line shows.
    fn dimensions(&mut self, dimensions: &[DimensionKind]) {
        if dimensions.is_empty() {
            return;
        }
        self.raw(" data-dimension=\"");
        for (index, dimension) in dimensions.iter().enumerate() {
            self.raw(if index == 0 { "" } else { " " });
            self.id.clear();
            dimension.push_id(&mut self.id);
            self.out.extend_from_slice(self.id.as_bytes());
        }
        self.raw("\"");
    }

    fn color(&mut self, style: &Style) {
        self.raw("#");
        for part in style.color {
            let digit = |four_bits: u8| char::from_digit(u32::from(four_bits), 16).map_or(b'0', |digit| digit as u8);
            self.out.extend([digit(part >> 4), digit(part & 15)]);
        }
    }

    /// Writes words so that they read the same in XML, whatever they hold.
    fn escaped(&mut self, words: &str) {
        if words.bytes().all(|byte| matches!(byte, b' '..=b'~') && !matches!(byte, b'&' | b'<' | b'>')) {
            return self.raw(words);
        }
        for letter in words.chars() {
            match letter {
                '&' => self.raw("&amp;"),
                '<' => self.raw("&lt;"),
                '>' => self.raw("&gt;"),
                '\r' => self.raw("&#13;"),
                letter if is_xml(letter) => self.raw(letter.encode_utf8(&mut [0; 4])),
                letter => {
                    note_once(&mut self.replaced, letter);
                    self.raw(REPLACEMENT.encode_utf8(&mut [0; 4]));
                }
            }
        }
    }
}

/// Tells whether XML 1.0 can hold a character (its production 2, `Char`).
fn is_xml(letter: char) -> bool {
    matches!(letter, '\t' | '\n' | '\r' | ' '..='\u{D7FF}' | '\u{E000}'..='\u{FFFD}' | '\u{10000}'..)
}

/// Returns centre, half width and half height of a circle, or of an ellipse whose axes are not turned.
fn upright_axes(arc: &Arc) -> Option<(Point, f64, f64)> {
    let (rx, ry) = ellipse_axes(arc)?;
    if rx.to_bits() == ry.to_bits() || arc.axis.y.abs() < SAME_DIRECTION_RAD {
        Some((arc.center, rx, ry))
    } else if arc.axis.x.abs() < SAME_DIRECTION_RAD {
        Some((arc.center, ry, rx))
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::SvgWriter;

    #[test]
    fn keeps_words_whole_in_xml() {
        for (words, expected, replaced) in [
            ("Öl & “Kreide” <2>", "Öl &amp; “Kreide” &lt;2&gt;", ""),
            ("漢字 \u{1F5BC}", "漢字 \u{1F5BC}", ""),
            ("]]>", "]]&gt;", ""),
            ("a\u{7}b\u{7}\u{FFFE}", "a\u{FFFD}b\u{FFFD}\u{FFFD}", "\u{7}\u{FFFE}"),
        ] {
            let mut writer = SvgWriter::default();
            writer.escaped(words);
            assert_eq!(String::from_utf8_lossy(&writer.out), expected);
            assert_eq!(writer.replaced, replaced);
        }
    }
}
