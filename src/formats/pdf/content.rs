//! The content of the page: lines, curves and text of every layer, in millimetres from the top left corner.

use kurbo::{Affine, PathEl, Point, Rect, Size, Vec2};
use pdf_writer::Name;

use super::images::Images;
use super::letters::DocumentFonts;
use super::units::POINTS_PER_MM;
use crate::drawing::{Area, Drawing, DrawingLayer, Image, Mark, Style, Text};
use crate::formats::{ExportError, number};
use crate::tolerance::CURVE_FIT_MM;

/// Decimals of coordinates in millimetres.
pub(super) const DECIMALS: usize = 4;
/// Decimals of the scale from millimetres to points: over five metres the last one is two nanometres.
const SCALE_DECIMALS: usize = 9;

/// Bytes for which room is made at first: most drawings are smaller.
const LIKELY_SIZE: usize = 16 * 1024;

/// The content of a page in the making, in `f64` throughout.
#[derive(Default)]
pub(super) struct ContentStream {
    out: Vec<u8>,
}

impl ContentStream {
    /// Starts the content of a page: from millimetres with y down to points with y up.
    pub(super) fn new(sheet: Size) -> Self {
        let mut content = Self { out: Vec::with_capacity(LIKELY_SIZE) };
        content.transform(Affine::new([POINTS_PER_MM, 0.0, 0.0, -POINTS_PER_MM, 0.0, sheet.height * POINTS_PER_MM]));
        content
    }

    /// Maps all that follows.
    pub(super) fn transform(&mut self, map: Affine) {
        self.values::<SCALE_DECIMALS>(&map.as_coeffs());
        self.raw("cm\n");
    }

    /// Shows a drawing of the document, moved, as far as it lies in one of the windows.
    pub(super) fn show(&mut self, shared: Name<'_>, shift: Vec2, windows: &[Rect]) {
        self.raw("q\n");
        for window in windows {
            self.values::<DECIMALS>(&[window.x0, window.y0, window.width(), window.height()]);
            self.raw("re\n");
        }
        self.raw("W n\n");
        self.transform(Affine::translate(shift));
        self.raw("/");
        self.out.extend_from_slice(shared.0);
        self.raw(" Do\nQ\n");
    }

    /// Draws the layers of a drawing.
    pub(super) fn layers(
        &mut self,
        drawing: &Drawing,
        letters: &mut DocumentFonts<'_>,
        images: &mut Images,
    ) -> Result<(), ExportError> {
        drawing
            .layers
            .iter()
            .filter(|layer| !layer.marks.is_empty())
            .try_for_each(|layer| self.layer(layer, letters, images))
    }

    /// Returns the bytes.
    pub(super) fn finish(self) -> Vec<u8> {
        self.out
    }

    fn layer(
        &mut self,
        layer: &DrawingLayer,
        letters: &mut DocumentFonts<'_>,
        images: &mut Images,
    ) -> Result<(), ExportError> {
        self.raw("/OC /");
        self.raw(layer.role.name());
        self.raw(" BDC\n");
        self.style(&layer.role.style());
        for mark in &layer.marks {
            match mark {
                Mark::Outline { outline, .. } => {
                    outline.to_bezier(CURVE_FIT_MM).elements().iter().for_each(|element| self.element(*element));
                    self.raw("S\n");
                }
                Mark::Line { points, .. } => {
                    self.line(points);
                    self.raw("S\n");
                }
                Mark::Text(text) => self.text(text, letters)?,
                Mark::Area(area) => self.area(area),
                Mark::Image(image) => self.image(image, images),
            }
        }
        self.raw("EMC\n");
        Ok(())
    }

    fn style(&mut self, style: &Style) {
        let color = style.color.map(|part| f64::from(part) / 255.0);
        self.values::<DECIMALS>(&color);
        self.raw("RG ");
        self.values::<DECIMALS>(&color);
        self.raw("rg ");
        self.values::<DECIMALS>(&[style.line_width]);
        self.raw("w [");
        self.values::<DECIMALS>(style.dash.as_ref().map_or(&[], |dash| dash));
        self.raw("] 0 d\n");
    }

    fn element(&mut self, element: PathEl) {
        match element {
            PathEl::MoveTo(to) => self.points(&[to], "m\n"),
            PathEl::LineTo(to) => self.points(&[to], "l\n"),
            PathEl::QuadTo(control, to) => self.points(&[control, to, to], "c\n"),
            PathEl::CurveTo(a, b, to) => self.points(&[a, b, to], "c\n"),
            PathEl::ClosePath => self.raw("h "),
        }
    }

    fn line(&mut self, points: &[Point]) {
        for (index, point) in points.iter().enumerate() {
            self.points(&[*point], if index == 0 { "m\n" } else { "l\n" });
        }
    }

    /// Fills a region and leaves the colour of the layer as it was.
    fn area(&mut self, area: &Area) {
        self.raw("q ");
        self.values::<DECIMALS>(&area.colour.parts().map(|part| f64::from(part) / 255.0));
        self.raw("rg\n");
        for outline in &area.outlines {
            outline.to_bezier(CURVE_FIT_MM).elements().iter().for_each(|element| self.element(*element));
        }
        self.raw("f* Q\n");
    }

    fn image(&mut self, image: &Image, images: &mut Images) {
        let (seen, rect) = (image.seen, image.rect);
        self.raw("q ");
        self.values::<DECIMALS>(&[seen.x0, seen.y0, seen.width(), seen.height()]);
        self.raw("re W n ");
        // A picture fills the unit square, upright where y runs up.
        self.values::<DECIMALS>(&[rect.width(), 0.0, 0.0, -rect.height(), rect.x0, rect.y1]);
        self.raw("cm /");
        self.raw(&images.name(&image.raster));
        self.raw(" Do Q\n");
    }

    fn text(&mut self, text: &Text, letters: &mut DocumentFonts<'_>) -> Result<(), ExportError> {
        let line = letters.set(&text.content)?;
        let size = text.cap_height / line.cap_share;
        let left = text.at.x - line.width * size * text.anchor.share();
        self.raw("BT /");
        self.out.extend_from_slice(line.font.0);
        self.raw(" ");
        self.values::<DECIMALS>(&[size]);
        // Letters stand upright although y runs down.
        self.raw("Tf ");
        self.values::<DECIMALS>(&[1.0, 0.0, 0.0, -1.0, left, text.at.y]);
        self.raw("Tm ");
        self.out.extend_from_slice(&line.string);
        self.raw(" Tj ET\n");
        Ok(())
    }

    fn points(&mut self, points: &[Point], operator: &str) {
        for point in points {
            self.values::<DECIMALS>(&[point.x, point.y]);
        }
        self.raw(operator);
    }

    fn values<const PLACES: usize>(&mut self, values: &[f64]) {
        for value in values {
            number::push::<PLACES>(&mut self.out, *value);
            self.out.push(b' ');
        }
    }

    fn raw(&mut self, code: &str) {
        self.out.extend_from_slice(code.as_bytes());
    }
}
