//! PNG at a stated density of pixels, rendered from the SVG file by resvg.

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg;

use super::exporter::refuse_endless;
use super::notes::about_missing;
use super::svg::svg_of_cubics;
use super::{ExportError, Exported, Facts, Family, KeptCurves, NumberUnit, YAxis};
use crate::drawing::Drawing;

/// What PNG is.
static FACTS: Facts = Facts {
    name: "png",
    title: "PNG",
    y: YAxis::Down,
    curves: KeptCurves::Nothing,
    step: None,
    slack: 0.0,
    unit: NumberUnit::Pixel,
    unit_is_obeyed: true,
    has_pages: false,
};

/// PNG is for pictures, which are chosen by other means than drawings.
pub(super) const FAMILY: Family = Family { facts: &FACTS, drawings: &[], programs: &[], reader: None };

/// Most pixels of a file: more need over half a gigabyte to draw.
const MOST_PIXELS: f64 = 150e6;
/// Densities from a thumbnail to a film recorder, in pixels to the inch.
const DENSITIES: std::ops::RangeInclusive<f64> = 1.0..=4800.0;

/// Renders a drawing on white, with so many pixels to the inch, which the file states too.
///
/// Letters are drawn as strokes. The bytes depend on nothing but the arguments.
///
/// # Errors
///
/// Returns an [`ExportError`] if the density is below 1 or above 4800 pixels to the inch, or the picture would have more
/// than 150 million pixels.
pub fn png(drawing: &Drawing, pixels_per_inch: f64) -> Result<Exported, ExportError> {
    refuse_endless(drawing)?;
    let (width, height) = pixels(drawing, pixels_per_inch)?;
    // The renderer has no fonts.
    let (stroked, missing_letters) = drawing.with_stroked_letters();
    // The renderer makes one cubic of a quarter of a circle, 0.03 % of the radius off: half a pixel in a large picture.
    let svg = svg_of_cubics(&stroked);
    let notes = about_missing(&missing_letters).into_iter().chain(svg.notes).collect();
    let failed = |error: String| ExportError {
        message: format!("the picture cannot be rendered: {error}"),
        help: "choose another format".to_owned(),
    };
    let tree = usvg::Tree::from_data(&svg.bytes, &reading()).map_err(|error| failed(error.to_string()))?;
    let mut pixmap = Pixmap::new(width, height).ok_or_else(|| failed("it has no pixels".to_owned()))?;
    pixmap.fill(resvg::tiny_skia::Color::WHITE);
    let scale = |pixels: u32, length: f32| pixels as f32 / length;
    let size = tree.size();
    let transform = Transform::from_scale(scale(width, size.width()), scale(height, size.height()));
    resvg::render(&tree, transform, &mut pixmap.as_mut());
    let bytes = encode(&pixmap, pixels_per_inch).map_err(|error| failed(error.to_string()))?;
    Ok(Exported { bytes, notes })
}

/// Pictures are in the file; nothing that a file names is opened.
fn reading() -> usvg::Options<'static> {
    let mut reading = usvg::Options::default();
    reading.image_href_resolver.resolve_string = Box::new(|_, _| None);
    reading
}

fn pixels(drawing: &Drawing, pixels_per_inch: f64) -> Result<(u32, u32), ExportError> {
    let [lowest, highest] = [DENSITIES.start(), DENSITIES.end()];
    if !DENSITIES.contains(&pixels_per_inch) {
        return Err(ExportError {
            message: format!("{pixels_per_inch} pixels to the inch are not a usable density"),
            help: format!("give a number from {lowest} to {highest}"),
        });
    }
    let count = |mm: f64| (mm / 25.4 * pixels_per_inch).round().max(1.0);
    let (width, height) = (count(drawing.sheet.width), count(drawing.sheet.height));
    if width * height > MOST_PIXELS {
        return Err(ExportError {
            message: format!("the picture would be {width} × {height} pixels"),
            help: format!("choose a lower density or a smaller picture: at most {} million pixels", MOST_PIXELS / 1e6),
        });
    }
    Ok((width as u32, height as u32))
}

/// Writes the pixels, which are opaque, with the density in pixels to the metre.
fn encode(pixmap: &Pixmap, pixels_per_inch: f64) -> Result<Vec<u8>, ::png::EncodingError> {
    let colours: Vec<u8> =
        pixmap.pixels().iter().flat_map(|pixel| [pixel.red(), pixel.green(), pixel.blue()]).collect();
    let mut bytes = Vec::new();
    let mut encoder = ::png::Encoder::new(&mut bytes, pixmap.width(), pixmap.height());
    encoder.set_color(::png::ColorType::Rgb);
    encoder.set_depth(::png::BitDepth::Eight);
    let to_metre = (pixels_per_inch / 0.0254).round() as u32;
    encoder.set_pixel_dims(Some(::png::PixelDimensions { xppu: to_metre, yppu: to_metre, unit: ::png::Unit::Meter }));
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&colours)?;
    writer.finish()?;
    Ok(bytes)
}
