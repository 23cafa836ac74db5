//! Reads SVG files of this crate in `f64`: roxmltree for the markup, svgtypes for path data, kurbo for arcs.

use kurbo::{Arc, BezPath, Circle, Ellipse, Point, Shape, Size, SvgArc, Vec2};
use roxmltree::{Document, Node};
use svgtypes::{PathParser, PathSegment};

use super::reading::Reading;

/// Largest distance in millimetres between an arc and the Bézier curves that stand for it in a reading.
const ARC_MM: f64 = 1e-6;

/// Reads a file; panics with the reason if it is not one that this crate writes.
pub(crate) fn read(bytes: &[u8]) -> Reading {
    let text = std::str::from_utf8(bytes).unwrap();
    let document = Document::parse(text).unwrap();
    let svg = document.root_element();
    assert!(document.descendants().all(|node| !node.has_attribute("transform")));
    let millimetres = |name| svg.attribute(name).unwrap().strip_suffix("mm").unwrap().parse::<f64>().unwrap();
    let sheet = Size::new(millimetres("width"), millimetres("height"));
    let view_box: Vec<f64> = svg.attribute("viewBox").unwrap().split(' ').map(|n| n.parse().unwrap()).collect();
    assert_eq!(view_box, [0.0, 0.0, sheet.width, sheet.height], "one user unit is one millimetre");

    let title = svg.children().find(|node| node.has_tag_name("title")).and_then(|node| node.text());
    let title = title.unwrap_or_default().to_owned();
    let mut reading = Reading { title, sheet, paths: Vec::new(), texts: Vec::new() };
    for group in svg.children().filter(|node| node.has_tag_name("g")) {
        let role = group.attribute("id").unwrap();
        for mark in group.children().filter(Node::is_element) {
            match mark.tag_name().name() {
                "text" => {
                    let words = mark.text().unwrap_or_default().to_owned();
                    let at = Point::new(number(mark, "x"), number(mark, "y"));
                    reading.texts.push((role.to_owned(), words, at));
                }
                _ => reading.paths.push((role.to_owned(), figure(mark))),
            }
        }
    }
    reading
}

fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

pub(crate) fn figure(node: Node<'_, '_>) -> BezPath {
    let center = || Point::new(number(node, "cx"), number(node, "cy"));
    match node.tag_name().name() {
        "circle" => Circle::new(center(), number(node, "r")).to_path(ARC_MM),
        "ellipse" => Ellipse::new(center(), (number(node, "rx"), number(node, "ry")), 0.0).to_path(ARC_MM),
        "path" => path(node.attribute("d").unwrap()),
        other => panic!("unexpected element {other}"),
    }
}

/// Reads path data with absolute commands.
fn path(data: &str) -> BezPath {
    let mut path = BezPath::new();
    for segment in PathParser::from(data) {
        match segment.unwrap() {
            PathSegment::MoveTo { abs: true, x, y } => path.move_to((x, y)),
            PathSegment::LineTo { abs: true, x, y } => path.line_to((x, y)),
            PathSegment::CurveTo { abs: true, x1, y1, x2, y2, x, y } => path.curve_to((x1, y1), (x2, y2), (x, y)),
            PathSegment::EllipticalArc { abs: true, rx, ry, x_axis_rotation, large_arc, sweep, x, y } => {
                let from = path.elements().last().and_then(|element| element.end_point()).unwrap();
                let arc = SvgArc {
                    from,
                    to: Point::new(x, y),
                    radii: Vec2::new(rx, ry),
                    x_rotation: x_axis_rotation.to_radians(),
                    large_arc,
                    sweep,
                };
                let arc = Arc::from_svg_arc(&arc).unwrap();
                arc.to_cubic_beziers(ARC_MM, |a, b, to| path.curve_to(a, b, to));
            }
            PathSegment::ClosePath { .. } => path.close_path(),
            other => panic!("unexpected command {other:?}"),
        }
    }
    path
}
