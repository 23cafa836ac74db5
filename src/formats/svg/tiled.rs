//! A drawing divided into pages, as SVG: a file a page.

use kurbo::{Affine, Rect};

use super::drawing::SvgWriter;
use crate::drawing::{Drawing, DrawingLayer};
use crate::formats::exporter::refuse_endless;
use crate::formats::{ExportError, Exported, number};
use crate::tiling::{TilePage, Tiled};

/// Decimals of the factors against the stretch of a printer.
const FACTOR_DECIMALS: usize = 9;

/// Writes each page of a divided drawing as an SVG file, to be printed at 100 %.
///
/// A file has only those marks of the drawing that reach into its window.
///
/// ```
/// use backline::drawing::{Drawing, Mark, Role};
/// use backline::formats::tiled_svg;
/// use backline::tiling::Tiling;
/// use kurbo::{Point, Size};
///
/// let mut drawing =
///     Drawing { title: "Line".into(), view: "example", sheet: Size::new(500.0, 40.0), layers: Vec::new() };
/// drawing.add(Role::Cut, Mark::line(vec![Point::new(10.0, 20.0), Point::new(490.0, 20.0)]));
/// let tiled = Tiling::default().lay_out(&drawing)?;
/// assert_eq!(tiled_svg(&tiled)?.len(), 2);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
///
/// Returns an [`ExportError`] if a number of the drawing is not finite.
pub fn tiled_svg(tiled: &Tiled) -> Result<Vec<Exported>, ExportError> {
    refuse_endless(&tiled.whole)?;
    Ok(tiled.pages.iter().map(|page| write(tiled, page)).collect())
}

fn write(tiled: &Tiled, page: &TilePage) -> Exported {
    let mut writer = SvgWriter::default();
    writer.start(&page.surround);
    let windows = tiled.windows(page);
    writer.raw("<clipPath id=\"window\">\n");
    for window in &windows {
        writer.raw("<rect");
        writer.place(*window);
        writer.raw("/>\n");
    }
    writer.raw("</clipPath>\n<g");
    if let Some(correction) = tiled.correction() {
        writer.transform(correction);
    }
    writer.raw(">\n<g clip-path=\"url(#window)\">\n<g");
    writer.transform(Affine::translate(page.shift));
    writer.raw(">\n");
    let windows: Vec<Rect> = windows.into_iter().map(|window| window - page.shift).collect();
    writer.layers(&tiled.seen_through(&windows));
    writer.raw("</g>\n</g>\n");
    // The layers of the page itself need names of their own.
    writer.prefix = "page-";
    writer.layers(&page.surround);
    writer.raw("</g>\n</svg>\n");
    writer.finish()
}

impl SvgWriter {
    fn layers(&mut self, drawing: &Drawing) {
        let drawn: Vec<&DrawingLayer> = drawing.layers.iter().filter(|layer| !layer.marks.is_empty()).collect();
        drawn.into_iter().for_each(|layer| self.layer(layer));
    }

    fn transform(&mut self, map: Affine) {
        self.raw(" transform=\"matrix(");
        for (index, value) in map.as_coeffs().into_iter().enumerate() {
            self.raw(if index == 0 { "" } else { " " });
            self.raw(&number::text::<FACTOR_DECIMALS>(value));
        }
        self.raw(")\"");
    }
}
