//! Lines and words as the figures of a plan need them.

use kurbo::{Affine, Point};

use crate::drawing::{Anchor, Drawing, Mark, Role, StrokeFont, Text};

/// Draws a line.
pub(super) fn add_line(drawing: &mut Drawing, role: Role, from: Point, to: Point) {
    drawing.add(role, Mark::Line(vec![from, to]));
}

/// Writes a line of text.
pub(super) fn add_text(drawing: &mut Drawing, content: String, at: Point, cap_height: f64, anchor: Anchor) {
    drawing.add(Role::Label, Mark::Text(Text { content, at, cap_height, anchor }));
}

/// Writes letters round a middle, turned counter-clockwise by so many quarters.
pub(super) fn add_turned(drawing: &mut Drawing, content: &str, middle: Point, cap_height: f64, quarters: u8) {
    if quarters == 0 {
        let at = Point::new(middle.x, middle.y + 0.5 * cap_height);
        return add_text(drawing, content.to_owned(), at, cap_height, Anchor::Middle);
    }
    let at = Point::new(0.0, 0.5 * cap_height);
    let text = Text { content: content.to_owned(), at, cap_height, anchor: Anchor::Middle };
    let turn = Affine::translate(middle.to_vec2()) * Affine::rotate(-f64::from(quarters) * std::f64::consts::FRAC_PI_2);
    for stroke in StrokeFont::strokes(&text, &mut String::new()) {
        drawing.add(Role::Label, Mark::Line(stroke.points.into_iter().map(|point| turn * point).collect()));
    }
}
