//! Single marks of a page: lines, words, tints.

use kurbo::{Affine, Point, Rect};

use crate::colour::Colour;
use crate::drawing::{Anchor, Area, Drawing, Mark, Role, StrokeFont, Text};
use crate::geometry::Outline;

/// Draws a line.
pub(crate) fn add_line(drawing: &mut Drawing, role: Role, from: Point, to: Point) {
    drawing.add(role, Mark::line(vec![from, to]));
}

/// Draws the edges of a rectangle; nothing of one without width or height.
pub(crate) fn add_rectangle(drawing: &mut Drawing, role: Role, rect: Rect) {
    if let Some(outline) = Outline::rectangle(rect) {
        drawing.add(role, Mark::Outline { outline, opening: None });
    }
}

/// Fills a rectangle with a colour; nothing of one without width or height.
pub(crate) fn add_area(drawing: &mut Drawing, rect: Rect, colour: Colour) {
    let outlines: Vec<Outline> = Outline::rectangle(rect).into_iter().collect();
    drawing.add(Role::Picture, Mark::Area(Area { outlines, colour }));
}

/// Writes a line of text as a label.
pub(crate) fn add_text(drawing: &mut Drawing, content: impl Into<String>, at: Point, cap_height: f64, anchor: Anchor) {
    drawing.add(Role::Label, Mark::Text(Text::new(content, at, cap_height, anchor)));
}

/// Writes letters round a middle, turned counter-clockwise by so many quarters.
pub(crate) fn add_turned(drawing: &mut Drawing, content: &str, middle: Point, cap_height: f64, quarters: u8) {
    if quarters == 0 {
        let at = Point::new(middle.x, middle.y + 0.5 * cap_height);
        return add_text(drawing, content, at, cap_height, Anchor::Middle);
    }
    let at = Point::new(0.0, 0.5 * cap_height);
    let text = Text::new(content, at, cap_height, Anchor::Middle);
    let turn = Affine::translate(middle.to_vec2()) * Affine::rotate(-f64::from(quarters) * std::f64::consts::FRAC_PI_2);
    for stroke in StrokeFont::narrow_strokes(&text, &mut String::new()) {
        drawing.add(Role::Label, Mark::line(stroke.points.into_iter().map(|point| turn * point).collect()));
    }
}

/// Sorts the layers of a page so that tints lie below lines, and lines below words, whichever was drawn first.
pub(crate) fn in_drawing_order(drawing: &mut Drawing) {
    drawing.layers.sort_by_key(|layer| Role::ALL.iter().position(|role| *role == layer.role));
}
