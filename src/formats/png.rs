//! PNG at a stated density of pixels, rendered from the SVG file by resvg.

use std::fmt;

use resvg::tiny_skia::{FilterQuality, IntSize, Paint, Pattern, Pixmap, SpreadMode, Transform};
use resvg::usvg;

use super::exporter::{refuse_endless, refuse_no_page};
use super::notes::about_missing;
use super::svg::svg_of_cubics;
use super::{CoordinateUnit, ExportError, Exported, Facts, Family, KeptCurves, Options, PageFormat, ToolMark, YAxis};
use crate::drawing::{Drawing, DrawingLayer, Image, Mark};
use crate::limits;

/// What PNG is.
static FACTS: Facts = Facts {
    name: "png",
    title: "PNG",
    y: YAxis::Down,
    curves: KeptCurves::Nothing,
    step: None,
    slack: 0.0,
    unit: CoordinateUnit::Pixel,
    unit_is_obeyed: true,
    has_pages: false,
    tools: ToolMark::Nothing,
    has_depths: false,
    has_speeds: false,
    keeps_names: false,
};

/// PNG is for pages and pictures.
pub(super) const FAMILY: Family =
    Family { facts: &FACTS, drawings: &[], programs: &[], pages: Some(&Png), tiles: None, reader: None };

/// Writes pages as PNG.
struct Png;

impl PageFormat for Png {
    fn facts(&self) -> &'static Facts {
        &FACTS
    }

    fn write_pages(&self, _: &str, pages: &[&Drawing], options: &Options) -> Result<Vec<Exported>, ExportError> {
        refuse_no_page(pages)?;
        pages.iter().map(|page| png(page, options.pixels_per_inch)).collect()
    }
}

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
    let count = u64::from(width) * u64::from(height);
    if !limits::has_room_for_pixels(count) {
        let message = format!("the picture would have {count} pixels, more than are allowed");
        return Err(ExportError { message, help: "make it smaller, or ask for fewer pixels to the inch".to_owned() });
    }
    // The renderer has no fonts.
    let (stroked, missing_letters) = drawing.with_stroked_letters();
    let mut notes: Vec<String> = about_missing(&missing_letters).into_iter().collect();
    let mut pixmap = Pixmap::new(width, height).ok_or_else(|| failed("it has no pixels"))?;
    pixmap.fill(resvg::tiny_skia::Color::WHITE);
    let scale = PixelScale { x: f64::from(width) / drawing.sheet.width, y: f64::from(height) / drawing.sheet.height };
    // The renderer reads formats of photographs that nobody gives it, and is left without all of them: photographs are laid
    // between what is drawn below and above them.
    for part in parts(&stroked) {
        match part {
            PicturePart::Drawn(drawing) => notes.extend(render(&drawing, scale, &mut pixmap)?),
            PicturePart::Photograph(image) => lay(image, scale, &mut pixmap)?,
        }
    }
    let bytes = encode(&pixmap, pixels_per_inch).map_err(failed)?;
    Ok(Exported::new(bytes, notes))
}

fn failed(error: impl fmt::Display) -> ExportError {
    ExportError {
        message: format!("the picture cannot be rendered: {error}"),
        help: "choose another format".to_owned(),
    }
}

/// Pixels to the millimetre.
#[derive(Clone, Copy)]
struct PixelScale {
    x: f64,
    y: f64,
}

/// What is rendered in one go.
enum PicturePart<'d> {
    Drawn(Box<Drawing>),
    Photograph(&'d Image),
}

/// Parts a drawing at its photographs; what is drawn first comes first.
fn parts(drawing: &Drawing) -> Vec<PicturePart<'_>> {
    let blank = || Drawing { title: String::new(), view: drawing.view, sheet: drawing.sheet, layers: Vec::new() };
    let mut parts = Vec::new();
    let mut open = blank();
    for layer in &drawing.layers {
        let mut marks = Vec::new();
        for mark in &layer.marks {
            if let Mark::Image(image) = mark {
                open.layers.push(DrawingLayer { role: layer.role, marks: std::mem::take(&mut marks) });
                parts.push(PicturePart::Drawn(Box::new(std::mem::replace(&mut open, blank()))));
                parts.push(PicturePart::Photograph(image));
            } else {
                marks.push(mark.clone());
            }
        }
        open.layers.push(DrawingLayer { role: layer.role, marks });
    }
    parts.push(PicturePart::Drawn(Box::new(open)));
    parts
}

/// Renders a drawing without photographs over what is there, and returns what is to be known about it.
fn render(drawing: &Drawing, scale: PixelScale, pixmap: &mut Pixmap) -> Result<Vec<String>, ExportError> {
    // The renderer makes one cubic of a quarter of a circle, 0.03 % of the radius off: half a pixel in a large picture.
    let svg = svg_of_cubics(drawing);
    let tree = usvg::Tree::from_data(&svg.bytes, &reading()).map_err(failed)?;
    let size = tree.size();
    let [x, y] = [scale.x * drawing.sheet.width, scale.y * drawing.sheet.height];
    let transform = Transform::from_scale(x as f32 / size.width(), y as f32 / size.height());
    resvg::render(&tree, transform, &mut pixmap.as_mut());
    Ok(svg.notes)
}

/// Lays a photograph over what is there.
fn lay(image: &Image, scale: PixelScale, pixmap: &mut Pixmap) -> Result<(), ExportError> {
    let raster = &image.raster;
    let colours = raster.colours().map_err(failed)?;
    let opaque = colours.chunks_exact(3).flat_map(|pixel| pixel.iter().copied().chain([u8::MAX])).collect();
    let size = IntSize::from_wh(raster.width, raster.height).ok_or_else(|| failed("it has no pixels"))?;
    let photograph = Pixmap::from_vec(opaque, size).ok_or_else(|| failed("its photograph is cut off"))?;
    let rect = image.rect;
    let transform = Transform::from_row(
        (scale.x * rect.width() / f64::from(raster.width)) as f32,
        0.0,
        0.0,
        (scale.y * rect.height() / f64::from(raster.height)) as f32,
        (scale.x * rect.x0) as f32,
        (scale.y * rect.y0) as f32,
    );
    let shader = Pattern::new(photograph.as_ref(), SpreadMode::Pad, FilterQuality::Bicubic, 1.0, transform);
    let seen = image.seen.intersect(rect);
    let [x0, x1] = [seen.x0, seen.x1].map(|x| (scale.x * x) as f32);
    let [y0, y1] = [seen.y0, seen.y1].map(|y| (scale.y * y) as f32);
    if let Some(seen) = resvg::tiny_skia::Rect::from_ltrb(x0, y0, x1, y1) {
        pixmap.fill_rect(seen, &Paint { shader, ..Paint::default() }, Transform::identity(), None);
    }
    Ok(())
}

/// Nothing that a file names is opened.
fn reading() -> usvg::Options<'static> {
    let mut reading = usvg::Options::default();
    reading.image_href_resolver.resolve_string = Box::new(|_, _| None);
    reading
}

fn pixels(drawing: &Drawing, pixels_per_inch: f64) -> Result<(u32, u32), ExportError> {
    let [lowest, highest] = [DENSITIES.start(), DENSITIES.end()];
    if !DENSITIES.contains(&pixels_per_inch) {
        return Err(ExportError {
            message: format!("{pixels_per_inch} pixels per inch is not a usable resolution"),
            help: format!("give a number from {lowest} to {highest}"),
        });
    }
    let count = |mm: f64| (mm / 25.4 * pixels_per_inch).round().max(1.0);
    let (width, height) = (count(drawing.sheet.width), count(drawing.sheet.height));
    if width * height > MOST_PIXELS {
        return Err(ExportError {
            message: format!("the picture would be {width} × {height} pixels"),
            help: format!(
                "choose a lower resolution or a smaller picture: at most {} million pixels",
                MOST_PIXELS / 1e6
            ),
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
