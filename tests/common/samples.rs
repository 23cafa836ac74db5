//! Drawings made by hand, with every kind of outline, line and text.

use std::f64::consts::FRAC_PI_2;

use backline::drawing::{Anchor, Drawing, Mark, Role, Text};
use backline::geometry::{Arc, Outline, Segment};
use kurbo::{Line, Point, Rect, Size};

/// Width of a bevel in millimetres: a 45° bevel in four-ply board.
const BEVEL_MM: f64 = 1.4;

/// Makes an empty drawing.
pub(crate) fn empty(title: &str, width: f64, height: f64) -> Drawing {
    Drawing { title: title.to_owned(), view: "back template", sheet: Size::new(width, height), layers: Vec::new() }
}

/// Makes a drawing with every kind of outline, each with its parallel curve, guides and words.
pub(crate) fn every_outline() -> Drawing {
    let mut drawing = empty("Öl & Kreide, “Hof” <1> 漢字: back template", 1016.0, 1524.0);
    let edge = Outline::rectangle(Rect::new(0.0, 0.0, 1016.0, 1524.0)).unwrap();
    mark(&mut drawing, Role::Edge, Mark::Outline { outline: edge, opening: None });
    for (index, outline) in outlines().into_iter().enumerate() {
        let opening = Some(index + 1);
        for face in [outline.offset(BEVEL_MM), outline.offset(-BEVEL_MM)] {
            mark(&mut drawing, Role::Face, Mark::Outline { outline: face.unwrap(), opening });
        }
        // Work at a mirrored template runs through the same exporters.
        let mirrored = outline.mirrored(508.0);
        mark(&mut drawing, Role::Sight, Mark::Outline { outline: mirrored, opening });
        mark(&mut drawing, Role::Cut, Mark::Outline { outline, opening });
    }
    let guide = vec![Point::new(80.9625, 0.0), Point::new(80.9625, 700.123_456), Point::new(1016.0, 700.123_456)];
    mark(&mut drawing, Role::Guide, Mark::line(guide));
    for (row, (anchor, words)) in
        [(Anchor::Start, "Öffnung 1 (8 3/16 × 10½ in)"), (Anchor::Middle, "a\\b “c” & <d>"), (Anchor::End, "naïve €5")]
            .into_iter()
            .enumerate()
    {
        mark(&mut drawing, Role::Label, text(words, Point::new(500.0, 1450.0 + 10.0 * row as f64), 5.0, anchor));
    }
    mark(&mut drawing, Role::Scale, text("100 mm", Point::new(20.0, 1500.0), 3.0, Anchor::Start));
    drawing
}

/// Returns one outline of every kind, each at its own place.
pub(crate) fn outlines() -> Vec<Outline> {
    let at = Point::new;
    let l_shape =
        [at(40.0, 700.0), at(340.0, 700.0), at(340.0, 800.0), at(140.0, 800.0), at(140.0, 1000.0), at(40.0, 1000.0)];
    let star: Vec<Point> = (0..10)
        .map(|tip| {
            let radius = if tip % 2 == 0 { 120.0 } else { 55.0 };
            at(800.0, 900.0) + radius * kurbo::Vec2::from_angle(0.3 + f64::from(tip) * std::f64::consts::PI / 5.0)
        })
        .collect();
    vec![
        Outline::rectangle(Rect::new(80.9625, 50.8, 288.925, 317.5)).unwrap(),
        Outline::rounded_rectangle(Rect::new(320.0, 50.0, 520.0, 300.0), 12.7).unwrap(),
        Outline::rounded_rectangle(Rect::new(560.0, 50.0, 700.0, 300.0), 70.0).unwrap(),
        Outline::ellipse(at(850.0, 170.0), 110.0, 110.0, 0.0).unwrap(),
        Outline::ellipse(at(200.0, 480.0), 150.0, 95.25, 0.0).unwrap(),
        Outline::ellipse(at(200.0, 630.0), 150.0, 15.0, 0.0).unwrap(),
        Outline::ellipse(at(550.0, 480.0), 160.0, 80.0, 0.4).unwrap(),
        Outline::ellipse(at(850.0, 480.0), 140.0, 90.0, FRAC_PI_2).unwrap(),
        Outline::ellipse(at(560.0, 1150.0), 400.0, 40.0, 1.1).unwrap(),
        Outline::polygon(&l_shape).unwrap(),
        Outline::polygon(&star).unwrap(),
        arch(at(100.0, 1300.0), 160.0, 200.0),
        elliptical_arch(at(300.0, 1300.0), 160.0, 200.0),
    ]
}

/// Makes an opening with a half circle on top, from its lower left corner.
fn arch(corner: Point, width: f64, side: f64) -> Outline {
    half_arch(corner, width, side, width / 2.0)
}

/// Makes an opening with half an ellipse on top.
fn elliptical_arch(corner: Point, width: f64, side: f64) -> Outline {
    half_arch(corner, width, side, width / 5.0)
}

fn half_arch(corner: Point, width: f64, side: f64, rise: f64) -> Outline {
    let (left, right) = (corner.x, corner.x + width);
    let spring = corner.y - side;
    let center = Point::new(left + width / 2.0, spring);
    let arc = Arc::elliptical(center, width / 2.0, rise, 0.0, std::f64::consts::PI, std::f64::consts::PI);
    Outline::new(vec![
        Segment::Arc(arc),
        Segment::Line(Line::new(Point::new(right, spring), Point::new(right, corner.y))),
        Segment::Line(Line::new(Point::new(right, corner.y), corner)),
        Segment::Line(Line::new(corner, Point::new(left, spring))),
    ])
    .unwrap()
}

/// Makes a line of text.
pub(crate) fn text(content: &str, at: Point, cap_height: f64, anchor: Anchor) -> Mark {
    Mark::Text(Text::new(content, at, cap_height, anchor))
}

/// Adds a mark to the layer of a role.
pub(crate) fn mark(drawing: &mut Drawing, role: Role, mark: Mark) {
    drawing.add(role, mark);
}
