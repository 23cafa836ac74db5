//! The views of SVG: what a user unit is, how a view box fills its place, and lengths with units of their own.

use kurbo::{Affine, Rect, Size, Vec2};
use svgtypes::{Length, LengthUnit};
use usvg::roxmltree::Node;

use crate::formats::FileUnit;
use crate::formats::reading::{FoundUnit, LARGEST};

/// Millimetres of a pixel: 96 to the inch (CSS Values and Units, absolute lengths).
const PIXEL_MM: f64 = 25.4 / 96.0;
/// Returns the way from user units of the root to millimetres, and what is to be said of the unit.
pub(super) fn page(root: Node<'_, '_>, asked: Option<FileUnit>) -> (Affine, FoundUnit) {
    let width = root.attribute("width").and_then(millimetres);
    let height = root.attribute("height").and_then(millimetres);
    let view = view_box(root);
    if let Some(unit) = asked {
        let size = 1.0 / unit.per_millimetre();
        return (Affine::scale(size), FoundUnit::asked(unit));
    }
    let is_stated = width.or(height).is_some_and(|(_, stated)| stated);
    let (way, per_unit) = match (width.map(|side| side.0), height.map(|side| side.0), view) {
        (None, None, _) => (Affine::scale(PIXEL_MM), PIXEL_MM),
        (width, height, Some(view)) => {
            let width = width.or_else(|| height.map(|height| height * view.width() / view.height())).unwrap_or(0.0);
            let height = height.unwrap_or_else(|| width * view.height() / view.width());
            (fitted(root, view, Rect::new(0.0, 0.0, width, height)), width / view.width())
        }
        (_, _, None) => (Affine::scale(PIXEL_MM), PIXEL_MM),
    };
    let words = |how: &str| format!("one user unit is {} mm ({how})", tidy(per_unit));
    let found = match (width.or(height), view.is_some()) {
        (None, _) => FoundUnit::assumed(per_unit, words("no size stated, 96 to the inch assumed")),
        (Some(_), false) => FoundUnit::assumed(per_unit, words("no viewBox, 96 to the inch")),
        (Some(_), true) if is_stated => FoundUnit::stated(per_unit, words("width, height and viewBox")),
        (Some(_), true) => FoundUnit::assumed(per_unit, words("size in pixels, 96 to the inch assumed")),
    };
    (way, found)
}

fn tidy(number: f64) -> f64 {
    (number * 1e6).round() / 1e6
}

/// Reads a length with its unit as millimetres, and whether the unit is one of length rather than a pixel.
fn millimetres(text: &str) -> Option<(f64, bool)> {
    let length: Length = text.trim().parse().ok()?;
    let (unit, stated) = match length.unit {
        LengthUnit::Mm => (1.0, true),
        LengthUnit::Cm => (10.0, true),
        LengthUnit::In => (25.4, true),
        LengthUnit::Pt => (25.4 / 72.0, true),
        LengthUnit::Pc => (25.4 / 6.0, true),
        LengthUnit::Px | LengthUnit::None => (PIXEL_MM, false),
        LengthUnit::Percent | LengthUnit::Em | LengthUnit::Ex => return None,
    };
    let millimetres = length.number * unit;
    (millimetres > 0.0 && millimetres <= LARGEST).then_some((millimetres, stated))
}

/// Reads a length in user units, in which a pixel is one; a share is one of the view around it.
pub(super) fn user_units(node: Node<'_, '_>, name: &str) -> f64 {
    let Some(length) = node.attribute(name).and_then(|text| text.trim().parse::<Length>().ok()) else {
        return 0.0;
    };
    match length.unit {
        LengthUnit::None => length.number,
        LengthUnit::Percent => 0.01 * length.number * whole(node, name),
        _ => node
            .attribute(name)
            .and_then(millimetres)
            .map_or(length.number, |(millimetres, _)| millimetres.copysign(length.number) / PIXEL_MM),
    }
}

/// Returns the length that is 100 % (SVG 1.1, section 7.10): a side of the view around a node, or for radii its diagonal
/// over √2.
fn whole(node: Node<'_, '_>, name: &str) -> f64 {
    let Some(around) = node.ancestors().skip(1).find(|around| matches!(around.tag_name().name(), "svg" | "symbol"))
    else {
        return 0.0;
    };
    let side = |name: &str| around.attribute(name).and_then(millimetres).map_or(0.0, |(length, _)| length / PIXEL_MM);
    let size = view_box(around).map_or_else(|| Size::new(side("width"), side("height")), |view| view.size());
    match name {
        "x" | "x1" | "x2" | "cx" | "rx" | "width" => size.width,
        "y" | "y1" | "y2" | "cy" | "ry" | "height" => size.height,
        _ => size.to_vec2().hypot() / std::f64::consts::SQRT_2,
    }
}

fn view_box(node: Node<'_, '_>) -> Option<Rect> {
    let view: svgtypes::ViewBox = node.attribute("viewBox")?.parse().ok()?;
    let rect = Rect::from_origin_size((view.x, view.y), (view.w, view.h));
    (view.w > 0.0 && view.h > 0.0 && rect.is_finite()).then_some(rect)
}

/// Maps a view box to the rectangle that shows it, by `preserveAspectRatio`.
fn fitted(node: Node<'_, '_>, view: Rect, shown: Rect) -> Affine {
    let asked = node.attribute("preserveAspectRatio").unwrap_or_default();
    let (mut sx, mut sy) = (shown.width() / view.width(), shown.height() / view.height());
    let mut spare = Vec2::ZERO;
    if !asked.contains("none") {
        let both = if asked.contains("slice") { sx.max(sy) } else { sx.min(sy) };
        (sx, sy) = (both, both);
        let left_over = shown.size().to_vec2() - view.size().to_vec2() * both;
        let share = |low: &str, high: &str| {
            if asked.contains(low) {
                0.0
            } else if asked.contains(high) {
                1.0
            } else {
                0.5
            }
        };
        spare = Vec2::new(left_over.x * share("xMin", "xMax"), left_over.y * share("YMin", "YMax"));
    }
    Affine::translate(shown.origin().to_vec2() + spare)
        * Affine::scale_non_uniform(sx, sy)
        * Affine::translate(-view.origin().to_vec2())
}

/// The view of an `svg` inside another: its place and size, and what it shows of its own.
pub(super) fn nested_view(node: Node<'_, '_>) -> Affine {
    let (x, y) = (user_units(node, "x"), user_units(node, "y"));
    let (width, height) = (user_units(node, "width"), user_units(node, "height"));
    match view_box(node) {
        Some(view) if width > 0.0 && height > 0.0 => {
            fitted(node, view, Rect::from_origin_size((x, y), (width, height)))
        }
        _ => Affine::translate((x, y)),
    }
}

/// The view of a symbol: the size stands at the `use`.
pub(super) fn symbol_view(reference: Node<'_, '_>, symbol: Node<'_, '_>) -> Affine {
    let (width, height) = (user_units(reference, "width"), user_units(reference, "height"));
    match view_box(symbol) {
        Some(view) if width > 0.0 && height > 0.0 => fitted(symbol, view, Rect::new(0.0, 0.0, width, height)),
        Some(view) => Affine::translate(-view.origin().to_vec2()),
        None => Affine::IDENTITY,
    }
}

/// Returns a property from the `style` of an element or from the attribute of that name.
pub(super) fn property<'a>(node: Node<'a, '_>, name: &str) -> Option<&'a str> {
    style(node, name).or_else(|| node.attribute(name))
}

pub(super) fn style<'a>(node: Node<'a, '_>, name: &str) -> Option<&'a str> {
    let declarations = node.attribute("style").unwrap_or_default().split(';').filter_map(|part| part.split_once(':'));
    declarations.rev().find(|(key, _)| key.trim() == name).map(|(_, value)| value.trim())
}
