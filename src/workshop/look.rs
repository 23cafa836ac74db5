//! The mat as it will hang, small, in a corner of the sheet.

use kurbo::{Point, Rect};

use super::letterhead::LINE;
use crate::drawing::Anchor;
use crate::mat::Mat;
use crate::page::Page;
use crate::picture::{self, Scene};

/// Least height in millimetres that the picture is given.
pub(super) const HEIGHT: f64 = 46.0;
/// Pixels to the inch of photographs: enough for what an office printer shows.
const PIXELS_PER_INCH: f64 = 200.0;

/// Draws the picture of the mat into a part of the page.
pub(super) fn draw(mat: &Mat, area: Rect, sheet: &mut Page) {
    sheet.text("As it hangs", Point::new(area.x0, area.y0 + LINE - 1.0), Anchor::Start);
    let room = Rect::new(area.x0, area.y0 + LINE + 0.8, area.x1, area.y1);
    let whole = picture::bounds(mat).size();
    let longest = whole.width.max(whole.height);
    let scale = (room.width() / whole.width).min(room.height() / whole.height);
    let scene = Scene { longest: Some(longest * scale), pixels_per_inch: PIXELS_PER_INCH };
    let drawn = picture::draw(mat, &scene).drawing;
    let corner = Point::new(room.center().x - 0.5 * drawn.sheet.width, room.y0);
    sheet.drawing().add_drawing(&drawn, corner.to_vec2());
}
