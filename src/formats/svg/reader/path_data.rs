//! The data of SVG paths, with all digits of `f64` and arcs kept as arcs.

use std::f64::consts::TAU;

use kurbo::{CubicBez, Line, Point, Vec2};
use svgtypes::{PathParser, PathSegment};

use crate::formats::reading::{ConjugateArc, Pen, ReadSegment};

/// Where the last control point of a curve was, for the curves that go on smoothly.
#[derive(Clone, Copy, PartialEq)]
enum Control {
    None,
    Cubic(Point),
    Quadratic(Point),
}

/// Draws path data up to its end or to the first fault; tells whether it came to the end.
pub(super) fn draw(data: &str, pen: &mut Pen) -> bool {
    let mut control = Control::None;
    for segment in PathParser::from(data) {
        let Ok(segment) = segment else {
            return false;
        };
        control = step(segment, control, pen);
    }
    true
}

fn step(segment: PathSegment, control: Control, pen: &mut Pen) -> Control {
    let at = pen.at;
    let place = |abs: bool, x: f64, y: f64| if abs { Point::new(x, y) } else { at + Vec2::new(x, y) };
    match segment {
        PathSegment::MoveTo { abs, x, y } => pen.move_to(place(abs, x, y)),
        PathSegment::LineTo { abs, x, y } => pen.line_to(place(abs, x, y)),
        PathSegment::HorizontalLineTo { abs, x } => pen.line_to(Point::new(place(abs, x, 0.0).x, at.y)),
        PathSegment::VerticalLineTo { abs, y } => pen.line_to(Point::new(at.x, place(abs, 0.0, y).y)),
        PathSegment::CurveTo { abs, x1, y1, x2, y2, x, y } => {
            return cubic(place(abs, x1, y1), place(abs, x2, y2), place(abs, x, y), pen);
        }
        PathSegment::SmoothCurveTo { abs, x2, y2, x, y } => {
            let first = if let Control::Cubic(last) = control { at + (at - last) } else { at };
            return cubic(first, place(abs, x2, y2), place(abs, x, y), pen);
        }
        PathSegment::Quadratic { abs, x1, y1, x, y } => return quadratic(place(abs, x1, y1), place(abs, x, y), pen),
        PathSegment::SmoothQuadratic { abs, x, y } => {
            let middle = if let Control::Quadratic(last) = control { at + (at - last) } else { at };
            return quadratic(middle, place(abs, x, y), pen);
        }
        PathSegment::EllipticalArc { abs, rx, ry, x_axis_rotation, large_arc, sweep, x, y } => {
            let to = place(abs, x, y);
            match arc(at, to, (rx.abs(), ry.abs()), x_axis_rotation.to_radians(), (large_arc, sweep)) {
                Some(arc) => pen.arc(arc),
                None if to != at => pen.line_to(to),
                None => {}
            }
            pen.at = to;
        }
        PathSegment::ClosePath { .. } => pen.close(),
    }
    Control::None
}

fn cubic(first: Point, second: Point, to: Point, pen: &mut Pen) -> Control {
    pen.draw(CubicBez::new(pen.at, first, second, to).into());
    Control::Cubic(second)
}

fn quadratic(middle: Point, to: Point, pen: &mut Pen) -> Control {
    let from = pen.at;
    pen.draw(if middle == from || middle == to {
        ReadSegment::Line(Line::new(from, to))
    } else {
        CubicBez::new(from, from.lerp(middle, 2.0 / 3.0), to.lerp(middle, 2.0 / 3.0), to).into()
    });
    Control::Quadratic(middle)
}

/// Finds the centre of an arc between two points (SVG 1.1, appendix F.6.5); `None` where it is a straight line.
fn arc(
    from: Point,
    to: Point,
    (rx, ry): (f64, f64),
    turn: f64,
    (large, positive): (bool, bool),
) -> Option<ConjugateArc> {
    if from == to || rx == 0.0 || ry == 0.0 {
        return None;
    }
    let axis = Vec2::from_angle(turn);
    // In the frame of the axes, stretched to a circle of radius 1.
    let to_circle = |vector: Vec2| Vec2::new(vector.dot(axis) / rx, axis.cross(vector) / ry);
    let half = to_circle(to - from) * 0.5;
    let reach = half.hypot();
    // Radii that are too small are enlarged (F.6.6).
    let grown = reach.max(1.0);
    let side = if large == positive { -1.0 } else { 1.0 };
    let off = Vec2::new(half.y, -half.x) * (side * (1.0 - (reach / grown).powi(2)).max(0.0).sqrt() * grown / reach);
    // From the centre to both ends, on the circle.
    let (start, end) = (-(half) + off, half + off);
    let (start_angle, end_angle) = (start.atan2(), end.atan2());
    let turned = (end_angle - start_angle).rem_euclid(TAU);
    let sweep = if positive { turned } else { turned - TAU };
    let u = axis * (rx * grown);
    let v = Vec2::new(-axis.y, axis.x) * (ry * grown);
    let mut arc = ConjugateArc { center: Point::ORIGIN, u, v, start: start_angle, sweep };
    // Half way between what both ends say, so that neither is off.
    let last = start_angle + sweep;
    arc.center = (from - arc.point(start_angle).to_vec2()).midpoint(to - arc.point(last).to_vec2());
    (arc.center.is_finite() && sweep != 0.0 && sweep.abs() < TAU).then_some(arc)
}

#[cfg(test)]
mod tests {
    use kurbo::Rect;

    use super::draw;
    use crate::formats::reading::Pen;

    fn bounds(data: &str) -> Vec<Rect> {
        let mut pen = Pen::default();
        draw(data, &mut pen);
        let round = |number: f64| (number * 1e6).round() / 1e6 + 0.0;
        let rounded = |rect: Rect| Rect::new(round(rect.x0), round(rect.y0), round(rect.x1), round(rect.y1));
        pen.into_paths().iter().map(|path| rounded(path.bounds())).collect()
    }

    #[test]
    fn arcs_bulge_to_the_side_that_the_flags_say() {
        // The four arcs of the figure in SVG 1.1, section 8.3.8: from (0, 0) to (2, 0) with radius 1.25.
        let (small, large) = (0.5, 2.0);
        for (flags, x, low, high) in [
            ("0 0", 0.0, 0.0, small),
            ("0 1", 0.0, -small, 0.0),
            ("1 0", -0.25, 0.0, large),
            ("1 1", -0.25, -large, 0.0),
        ] {
            assert_eq!(bounds(&format!("M0 0A1.25 1.25 0 {flags} 2 0")), [Rect::new(x, low, 2.0 - x, high)], "{flags}");
        }
        // Too small a radius is enlarged to a half circle.
        assert_eq!(bounds("M0 0A0.1 0.1 0 0 1 2 0"), [Rect::new(0.0, -1.0, 2.0, 0.0)]);
    }

    #[test]
    fn every_command_has_its_relative_twin() {
        let square = Rect::new(1.0, 1.0, 3.0, 3.0);
        for data in ["M1 1H3V3H1Z", "m1 1h2v2h-2z", "M1 1L3 1 3 3 1 3Z", "m1 1 2 0 0 2-2 0z", "M1 1h2v2h-2zM1 1"] {
            assert_eq!(bounds(data), [square], "{data}");
        }
        assert_eq!(bounds("M0 0C0 1 2 1 2 0S4-1 4 0"), bounds("m0 0c0 1 2 1 2 0s2-1 2 0"));
        assert_eq!(bounds("M0 0Q1 2 2 0T4 0"), bounds("m0 0q1 2 2 0t2 0"));
    }

    #[test]
    fn a_fault_keeps_what_came_before() {
        let mut pen = Pen::default();
        assert!(!draw("M0 0L5 5 L x", &mut pen));
        assert_eq!(pen.into_paths().len(), 1);
    }
}
