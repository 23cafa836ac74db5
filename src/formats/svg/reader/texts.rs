//! The texts of SVG: where they stand, and about the room that they take.

use kurbo::{Affine, Vec2};
use usvg::roxmltree::Node;

use super::view::{property, user_units};
use crate::drawing::Helvetica;
use crate::formats::reading::ReadText;

/// The size of letters where no element around them says one: `medium`, 16 pixels in every browser.
const MEDIUM: f64 = 16.0;

/// Reads a `text`; `way` leads from its user units to millimetres, y down.
pub(super) fn label(node: Node<'_, '_>, way: Affine) -> ReadText {
    let words: String = node.descendants().filter(Node::is_text).filter_map(|node| node.text()).collect();
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    let inherited = |name: &'static str| node.ancestors().find_map(|around| property(around, name));
    let font_size = node
        .ancestors()
        .find(|around| property(*around, "font-size").is_some())
        .map_or(Some(MEDIUM), |around| size_of(around));
    let Some(font_size) = font_size else {
        return ReadText::somewhere(words);
    };
    let share = match inherited("text-anchor") {
        Some("middle") => 0.5,
        Some("end") => 1.0,
        _ => 0.0,
    };
    // Parts of a text may say where they stand themselves; the first one does for all.
    let placed = node.descendants().find(|part| part.attribute("x").is_some()).unwrap_or(node);
    let at = Vec2::new(user_units(placed, "x"), user_units(placed, "y"));
    let place = way * Affine::translate(at) * Affine::FLIP_Y;
    ReadText::lettered(words, font_size * Helvetica::CAP_SHARE, Vec2::new(share, 0.0), place)
}

/// Returns the size of the letters in user units; `None` in units that depend on other letters.
fn size_of(node: Node<'_, '_>) -> Option<f64> {
    let written = property(node, "font-size")?.trim();
    let plain = written.strip_suffix("px").unwrap_or(written);
    let millimetres = |suffix: &str, size: f64| Some(written.strip_suffix(suffix)?.parse::<f64>().ok()? * size);
    // In user units, of which 96 are an inch (CSS Values and Units, absolute lengths).
    let size = plain
        .parse()
        .ok()
        .or_else(|| millimetres("mm", 96.0 / 25.4))
        .or_else(|| millimetres("pt", 96.0 / 72.0))
        .or_else(|| millimetres("in", 96.0));
    size.filter(|size: &f64| size.is_finite() && *size > 0.0)
}
