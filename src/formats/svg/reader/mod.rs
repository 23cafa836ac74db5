//! SVG: basic shapes and paths with their transforms, groups and views, read with all digits of `f64`.

mod path_data;
mod texts;
mod view;

use std::collections::BTreeMap;

use kurbo::{Affine, Point, Vec2};
use svgtypes::Transform;
use usvg::roxmltree::{Document, Node, ParsingOptions};

use super::facts::FACTS;
use crate::formats::FileUnit;
use crate::formats::reading::{ConjugateArc, LARGEST, LineColor, Pen, ReadDrawing, Unreadable, shown};
use crate::formats::{Facts, Reader};
use crate::tolerance::ROUNDING_MM;
use crate::xml;
use view::{nested_view, page, property, style, symbol_view, user_units};

/// Reads SVG.
#[derive(Debug, Clone, Copy)]
pub(super) struct SvgReader;

const NAMESPACE: &str = "http://www.w3.org/2000/svg";
/// Most nodes of a file.
const MOST_NODES: u32 = 4_000_000;
/// Most elements that are drawn, those repeated by `use` counted again.
const MOST_ELEMENTS: usize = 200_000;
/// Deepest nesting of elements.
const DEEPEST: usize = 200;
/// Elements whose content is not drawn where it stands.
const UNDRAWN: &[&str] = &[
    "defs",
    "symbol",
    "clipPath",
    "mask",
    "marker",
    "pattern",
    "style",
    "script",
    "title",
    "desc",
    "metadata",
    "linearGradient",
    "radialGradient",
    "filter",
    "font",
    "namedview",
];

impl Reader for SvgReader {
    fn facts(&self) -> &'static Facts {
        &FACTS
    }

    fn endings(&self) -> &'static [&'static str] {
        &["svg"]
    }

    fn recognises(&self, text: &str) -> bool {
        let start = text.trim_start();
        start.starts_with('<')
            && start.char_indices().nth(20_000).map_or(start, |(end, _)| start.split_at(end).0).contains("<svg")
    }

    fn read(&self, text: &str, unit: Option<FileUnit>) -> Result<ReadDrawing, Unreadable> {
        let help = "save the drawing as plain SVG";
        xml::check(text).map_err(|reason| Unreadable::new(format!("the file {reason}"), help))?;
        let options = ParsingOptions { allow_dtd: true, nodes_limit: MOST_NODES, ..ParsingOptions::default() };
        let document = Document::parse_with_options(text, options).map_err(|error| {
            Unreadable::at(
                error.pos().row as usize,
                format!("the file is not XML: {error}"),
                "save the drawing as plain SVG",
            )
        })?;
        let root = document.root_element();
        if root.tag_name().name() != "svg" {
            let message = format!("the first element is `{}`, not `svg`", shown(root.tag_name().name()));
            return Err(Unreadable::new(message, "save the drawing as plain SVG"));
        }
        let (to_millimetres, found) = page(root, unit);
        let ids =
            root.descendants().filter(Node::is_element).rev().filter_map(|node| Some((node.attribute("id")?, node)));
        let mut walk = SvgWalk {
            ids: ids.collect(),
            pen: Pen::default(),
            reading: ReadDrawing::new(&FACTS, found),
            elements: 0,
            inside: Vec::new(),
            line_ends: text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(at, _)| at).collect(),
        };
        walk.children(root, to_millimetres, Inherited { layer: "", stroke: property(root, "stroke") }, 0);
        if root.descendants().any(has_hiding_styles) {
            walk.reading.doubt("a style sheet in the file may hide or move lines, and was not followed");
        }
        Ok(ReadDrawing { paths: walk.pen.into_paths(), ..walk.reading })
    }
}

/// Draws elements one after the other.
struct SvgWalk<'a, 'input> {
    ids: BTreeMap<&'a str, Node<'a, 'input>>,
    pen: Pen,
    reading: ReadDrawing,
    elements: usize,
    /// The elements that are being repeated by `use`, outermost first: none may repeat itself.
    inside: Vec<Node<'a, 'input>>,
    /// Where the lines of the text end.
    line_ends: Vec<usize>,
}

/// What elements take over from those around them.
#[derive(Clone, Copy)]
struct Inherited<'s> {
    layer: &'s str,
    /// The colour of lines as it is written.
    stroke: Option<&'s str>,
}

impl<'a, 'input> SvgWalk<'a, 'input> {
    fn children(&mut self, node: Node<'a, 'input>, way: Affine, inherited: Inherited<'_>, depth: usize) {
        for child in node.children().filter(Node::is_element) {
            self.element(child, way, inherited, depth + 1);
        }
    }

    fn element(&mut self, node: Node<'a, 'input>, way: Affine, inherited: Inherited<'_>, depth: usize) {
        let name = node.tag_name().name();
        let foreign = node.tag_name().namespace().is_some_and(|space| space != NAMESPACE);
        if foreign || UNDRAWN.contains(&name) || property(node, "display") == Some("none") {
            return;
        }
        self.elements += 1;
        if depth > DEEPEST || self.elements > MOST_ELEMENTS {
            return self.reading.leave_out("too deep or too many elements");
        }
        let way = way * transform(node);
        if !is_finite(way) {
            return self.reading.leave_out("endless transform");
        }
        if style(node, "transform").is_some() {
            self.reading.leave_out("transform of a style");
        }
        let hidden = matches!(property(node, "visibility"), Some("hidden" | "collapse"));
        let own = Inherited {
            layer: layer_of(node, inherited.layer),
            stroke: property(node, "stroke").filter(|stroke| *stroke != "inherit").or(inherited.stroke),
        };
        match name {
            "g" | "a" | "switch" => self.children(node, way, own, depth),
            "svg" => self.children(node, way * nested_view(node), own, depth),
            "use" => self.repeat(node, way, own, depth),
            "text" => self.reading.texts.push(texts::label(node, way)),
            "image" | "foreignObject" => self.reading.leave_out(name),
            _ if hidden => {}
            _ => self.shape(node, way, own),
        }
    }

    /// Draws what a `use` refers to in the same file.
    fn repeat(&mut self, node: Node<'a, 'input>, way: Affine, inherited: Inherited<'_>, depth: usize) {
        let link = node.attributes().find(|attribute| attribute.name() == "href").map(|attribute| attribute.value());
        let target = link.and_then(|link| link.trim().strip_prefix('#')).and_then(|id| self.ids.get(id).copied());
        let Some(target) = target.filter(|target| !self.inside.contains(target)) else {
            return self.reading.leave_out("use");
        };
        self.inside.push(target);
        let way = way * Affine::translate((user_units(node, "x"), user_units(node, "y")));
        match target.tag_name().name() {
            "symbol" => self.children(target, way * symbol_view(node, target), inherited, depth + 1),
            _ => self.element(target, way, inherited, depth + 1),
        }
        self.inside.pop();
    }

    fn shape(&mut self, node: Node<'a, 'input>, way: Affine, inherited: Inherited<'_>) {
        let mut pen = Pen::default();
        pen.line = self.line_ends.partition_point(|end| *end < node.range().start) + 1;
        pen.run.color = inherited.stroke.and_then(color);
        pen.run.is_undirected = matches!(node.tag_name().name(), "rect" | "circle" | "ellipse");
        let number = |name: &str| user_units(node, name);
        match node.tag_name().name() {
            "path" => {
                if !path_data::draw(node.attribute("d").unwrap_or_default(), &mut pen) {
                    self.reading.doubt("the data of a path is faulty: what comes before the fault is drawn");
                }
            }
            "rect" => rect(node, &mut pen),
            "circle" => ellipse(Point::new(number("cx"), number("cy")), number("r"), number("r"), &mut pen),
            "ellipse" => ellipse(Point::new(number("cx"), number("cy")), number("rx"), number("ry"), &mut pen),
            "line" => {
                pen.move_to(Point::new(number("x1"), number("y1")));
                pen.line_to(Point::new(number("x2"), number("y2")));
            }
            "polyline" => points(node, &mut pen),
            "polygon" => {
                points(node, &mut pen);
                pen.close();
            }
            other => return self.reading.leave_out(other),
        }
        inherited.layer.clone_into(&mut self.pen.layer);
        self.pen.adopt(pen, way);
    }
}

/// Tells whether an element is a style sheet that does more to lines than to colour them.
fn has_hiding_styles(node: Node<'_, '_>) -> bool {
    const HIDING: [&str; 5] = ["display", "visibility", "transform", "clip-path", "mask"];
    let is_sheet = node.tag_name().name() == "style";
    is_sheet && node.children().filter_map(|child| child.text()).any(|text| HIDING.iter().any(|key| text.contains(key)))
}

/// Reads a colour; none of one that is a pattern or a gradient.
fn color(text: &str) -> Option<LineColor> {
    let svgtypes::Color { red, green, blue, .. } = text.parse().ok()?;
    Some(LineColor::Rgb([red, green, blue]))
}

fn rect(node: Node<'_, '_>, pen: &mut Pen) {
    let number = |name: &str| node.attribute(name).map(|_| user_units(node, name));
    let (x, y) = (number("x").unwrap_or(0.0), number("y").unwrap_or(0.0));
    let (width, height) = (number("width").unwrap_or(0.0), number("height").unwrap_or(0.0));
    if !(width > 0.0 && height > 0.0) {
        return;
    }
    // Either radius stands for the other, and neither is more than half a side.
    let rx = number("rx").or(number("ry")).unwrap_or(0.0).clamp(0.0, 0.5 * width);
    let ry = number("ry").or(number("rx")).unwrap_or(0.0).clamp(0.0, 0.5 * height);
    let (x1, y1) = (x + width, y + height);
    if rx == 0.0 || ry == 0.0 {
        pen.move_to(Point::new(x, y));
        [(x1, y), (x1, y1), (x, y1)].into_iter().for_each(|corner| pen.line_to(corner.into()));
        return pen.close();
    }
    pen.move_to(Point::new(x + rx, y));
    let corners = [(x1 - rx, y + ry), (x1 - rx, y1 - ry), (x + rx, y1 - ry), (x + rx, y + ry)];
    for (quarter, center) in corners.into_iter().enumerate() {
        let start = (quarter as f64 - 1.0) * std::f64::consts::FRAC_PI_2;
        let (u, v) = (Vec2::new(rx, 0.0), Vec2::new(0.0, ry));
        let arc = ConjugateArc { center: center.into(), u, v, start, sweep: std::f64::consts::FRAC_PI_2 };
        let from = arc.point(arc.start);
        if pen.at.distance(from) > ROUNDING_MM {
            pen.line_to(from);
        }
        pen.arc(arc);
    }
    pen.close();
}

fn ellipse(center: Point, rx: f64, ry: f64, pen: &mut Pen) {
    if rx > 0.0 && ry > 0.0 {
        let (u, v) = (Vec2::new(rx, 0.0), Vec2::new(0.0, ry));
        let arc = ConjugateArc { center, u, v, start: 0.0, sweep: std::f64::consts::TAU };
        pen.move_to(arc.point(0.0));
        pen.arc(arc);
        pen.close();
    }
}

fn points(node: Node<'_, '_>, pen: &mut Pen) {
    let mut first = true;
    for (x, y) in svgtypes::PointsParser::from(node.attribute("points").unwrap_or_default()) {
        if std::mem::take(&mut first) {
            pen.move_to(Point::new(x, y));
        } else {
            pen.line_to(Point::new(x, y));
        }
    }
}

fn transform(node: Node<'_, '_>) -> Affine {
    let written: Option<Transform> = node.attribute("transform").and_then(|text| text.parse().ok());
    written.map_or(Affine::IDENTITY, |t| Affine::new([t.a, t.b, t.c, t.d, t.e, t.f]))
}

fn is_finite(way: Affine) -> bool {
    way.as_coeffs().iter().all(|number| number.abs() <= LARGEST)
}

/// Returns the layer of an element: the name of the group around it, or the colour of its line where no group has one.
fn layer_of<'n>(node: Node<'n, '_>, around: &'n str) -> &'n str {
    let is_named = !around.is_empty() && !around.starts_with('#');
    if is_named {
        return around;
    }
    let label = node.attributes().find(|attribute| attribute.name() == "label").map(|attribute| attribute.value());
    let name = label.or_else(|| node.attribute("id")).filter(|_| node.tag_name().name() == "g");
    name.or_else(|| property(node, "stroke")).unwrap_or(around)
}
