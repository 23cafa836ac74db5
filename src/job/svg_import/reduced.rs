//! An SVG text reduced to what has an outline: groups, shapes, paths and their places.
//!
//! Pictures, text, fills, filters, masks and links to other files never reach the drawing code, so that none of them
//! can cost time or open a file; what is left is bounded in number, nesting and size, `use` included.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use usvg::roxmltree::{Document, Node, ParsingOptions};

use super::number::too_large;
use super::remark::Remark;
use super::wording::{count, shortened};
use crate::xml;

/// An SVG text that is safe to draw.
#[derive(Debug)]
pub(super) struct Reduced {
    pub(super) text: String,
    /// What was left out and matters.
    pub(super) remarks: Vec<Remark>,
}

/// Most nodes of the file.
const MOST_NODES: u32 = 200_000;
/// Deepest nesting of elements; each costs some kilobytes of the stack.
const DEEPEST: usize = 64;
/// Most elements, those repeated by `use` counted again.
const MOST_ELEMENTS: usize = 10_000;
/// Most bytes of path data, repeated ones counted again; an outline of ten thousand curves needs half of it.
const MOST_DATA: usize = 1 << 20;
/// Most bytes of style sheets: each of their rules is tried on each element.
const MOST_STYLE: usize = 32 << 10;

const SVG: &str = "http://www.w3.org/2000/svg";
const ELEMENTS: &[&str] = &[
    "svg", "g", "a", "switch", "symbol", "defs", "use", "path", "rect", "circle", "ellipse", "line", "polyline",
    "polygon",
];
const ATTRIBUTES: &[&str] = &[
    "id",
    "class",
    "transform",
    "transform-origin",
    "d",
    "points",
    "x",
    "y",
    "x1",
    "y1",
    "x2",
    "y2",
    "width",
    "height",
    "r",
    "rx",
    "ry",
    "cx",
    "cy",
    "viewBox",
    "preserveAspectRatio",
    "display",
    "visibility",
    "systemLanguage",
];
/// Properties of a `style` attribute that say where and whether something is drawn.
const PROPERTIES: &[&str] = &["display", "visibility", "transform", "transform-origin"];
/// Cuts off parts of what is drawn.
const CUTTING: &[&str] = &["clip-path", "mask", "filter"];

/// Reduces an SVG text; with an `id`, to what is drawn by the element of that id.
pub(super) fn reduce(text: &str, file: &str, id: Option<&str>) -> Result<Reduced, Remark> {
    let not_svg = |reason: &dyn std::fmt::Display| {
        Remark::new(format!("{file} is not an SVG file: {reason}"), "save the drawing as plain SVG")
    };
    xml::check(text).map_err(|reason| Remark::new(format!("{file} {reason}"), "save the drawing as plain SVG"))?;
    let options = ParsingOptions { allow_dtd: true, nodes_limit: MOST_NODES, ..ParsingOptions::default() };
    let document = Document::parse_with_options(text, options).map_err(|error| not_svg(&error))?;
    let root = document.root_element();
    if !is_svg(root) || root.tag_name().name() != "svg" {
        return Err(not_svg(&format!("its first element is `{}`", shortened(root.tag_name().name()))));
    }
    for side in ["width", "height"] {
        let length = root.attribute(side).unwrap_or("auto");
        if !is_length(length) {
            let message = format!("{file}: `{}` is not a {side} of a page", shortened(length));
            return Err(Remark::new(message, "write a length such as 90mm, or leave it out"));
        }
    }
    let elements = || root.descendants().filter(|node| node.is_element() && is_svg(*node));
    let ids: BTreeMap<&str, Node<'_, '_>> =
        elements().rev().filter_map(|node| Some((node.attribute("id")?, node))).collect();
    let wanted = match id {
        None => None,
        Some(id) => Some(*ids.get(id).ok_or_else(|| no_such_id(file, id, &ids))?),
    };
    Costs { ids: &ids, known: BTreeMap::new() }.of(root, 0).map_err(|reason| {
        Remark::new(format!("{file} {reason}"), "save only the outline in a file, with its path simplified")
    })?;
    let style: String = elements()
        .filter(|node| node.tag_name().name() == "style")
        .flat_map(|node| node.descendants().filter_map(|node| node.text()))
        .collect();
    if style.len() > MOST_STYLE {
        let help = "save only the outline in a file";
        return Err(Remark::new(format!("the style sheet of {file} is too large"), help));
    }
    if let Some(number) = elements().flat_map(|node| node.attributes()).find_map(|attribute| {
        let measures = ATTRIBUTES.contains(&attribute.name()) && !matches!(attribute.name(), "id" | "class");
        too_large(attribute.value()).filter(|_| measures)
    }) {
        let message = format!("{file} has numbers that are too large: {}", shortened(number));
        return Err(Remark::new(message, "check width, height, viewBox and the coordinates of the file"));
    }
    // Marks of importance would win over the style that is written to each element.
    let style = style.replace("!important", "").replace('!', "");
    let mut writer = ReducedSvgWriter { text: String::with_capacity(text.len().min(MOST_DATA)), wanted, style };
    writer.element(root);
    Ok(Reduced { text: writer.text, remarks: remarks(file, root, wanted.unwrap_or(root)) })
}

fn is_svg(node: Node<'_, '_>) -> bool {
    node.tag_name().namespace().is_none_or(|namespace| namespace == SVG)
}

/// Tells whether a text is a number, perhaps with a unit, or leaves the length open.
fn is_length(text: &str) -> bool {
    let number = text.trim().trim_end_matches(|letter: char| letter.is_ascii_alphabetic() || letter == '%');
    text.trim() == "auto" || number.parse().is_ok_and(f64::is_finite)
}

fn no_such_id(file: &str, id: &str, ids: &BTreeMap<&str, Node<'_, '_>>) -> Remark {
    let drawn = |node: &Node<'_, '_>| ELEMENTS.contains(&node.tag_name().name());
    let list: Vec<String> =
        ids.iter().filter(|(_, node)| drawn(node)).take(12).map(|(id, _)| format!("`{}`", shortened(id))).collect();
    let help = if list.is_empty() { "it has no ids at all".to_owned() } else { format!("it has {}", list.join(", ")) };
    Remark::new(format!("{file} has no element with the id `{}`", shortened(id)), help)
}

/// Returns the target of a link within the file.
fn link<'a>(node: Node<'a, '_>) -> Option<&'a str> {
    node.attributes().find(|attribute| attribute.name() == "href").map(|attribute| attribute.value().trim())
}

/// What drawing an element takes: elements, bytes of data and levels of nesting, `use` followed.
#[derive(Debug, Clone, Copy)]
struct ElementCost {
    elements: usize,
    data: usize,
    depth: usize,
}

struct Costs<'d, 'ids> {
    ids: &'ids BTreeMap<&'d str, Node<'d, 'd>>,
    /// `None` while an element is being worked out, to which nothing in it may refer.
    known: BTreeMap<usize, Option<ElementCost>>,
}

impl<'d> Costs<'d, '_> {
    fn of(&mut self, node: Node<'d, 'd>, level: usize) -> Result<ElementCost, String> {
        match self.known.get(&node.id().get_usize()) {
            Some(Some(cost)) => return Ok(*cost),
            Some(None) => return Err("has an element that is used within itself".to_owned()),
            None => {}
        }
        if level > DEEPEST {
            return Err(format!("is nested deeper than {DEEPEST} levels"));
        }
        self.known.insert(node.id().get_usize(), None);
        let own = ["d", "points"].into_iter().filter_map(|name| node.attribute(name)).map(str::len).sum();
        let mut cost = ElementCost { elements: 1, data: own, depth: 1 };
        let used = link(node).filter(|_| node.tag_name().name() == "use").and_then(|link| link.strip_prefix('#'));
        let used = used.and_then(|id| self.ids.get(id).copied());
        for below in node.children().filter(Node::is_element).chain(used) {
            let below = self.of(below, level + 1)?;
            cost.elements = cost.elements.saturating_add(below.elements);
            cost.data = cost.data.saturating_add(below.data);
            cost.depth = cost.depth.max(below.depth.saturating_add(1));
        }
        if cost.depth > DEEPEST {
            return Err(format!("is nested deeper than {DEEPEST} levels"));
        }
        if cost.elements > MOST_ELEMENTS {
            return Err(format!("draws more than {MOST_ELEMENTS} elements"));
        }
        if cost.data > MOST_DATA {
            return Err("has more than 1 MiB of path data, which is too detailed to be cut".to_owned());
        }
        self.known.insert(node.id().get_usize(), Some(cost));
        Ok(cost)
    }
}

struct ReducedSvgWriter<'d> {
    text: String,
    /// The one element to draw; `None` for all.
    wanted: Option<Node<'d, 'd>>,
    style: String,
}

impl<'d> ReducedSvgWriter<'d> {
    fn element(&mut self, node: Node<'d, 'd>) {
        let name = node.tag_name().name();
        if !is_svg(node) || !ELEMENTS.contains(&name) {
            return;
        }
        let is_root = node.parent_element().is_none();
        let _ = write!(self.text, "<{name}");
        if is_root {
            let _ = write!(self.text, " xmlns=\"{SVG}\"");
        }
        self.attributes(node);
        self.text.push('>');
        if is_root && !self.style.is_empty() {
            let style = std::mem::take(&mut self.style);
            self.text.push_str("<style>");
            self.escaped(&style);
            self.text.push_str("</style>");
        }
        for child in node.children().filter(Node::is_element) {
            if self.leads_away(node, child) {
                // Out of sight, but still there for `use`.
                self.text.push_str("<defs>");
                self.element(child);
                self.text.push_str("</defs>");
            } else {
                self.element(child);
            }
        }
        let _ = write!(self.text, "</{name}>");
    }

    /// Tells whether a child of a node that lies around the wanted element neither is that element nor lies around it.
    fn leads_away(&self, node: Node<'d, 'd>, child: Node<'d, 'd>) -> bool {
        let Some(wanted) = self.wanted else {
            return false;
        };
        let mut around = wanted.ancestors();
        let inside = node != wanted && around.any(|ancestor| ancestor == node);
        inside && !wanted.ancestors().any(|ancestor| ancestor == child)
    }

    fn attributes(&mut self, node: Node<'d, 'd>) {
        let mut style = String::new();
        for attribute in node.attributes() {
            let (name, value) = (attribute.name(), attribute.value());
            if attribute.namespace().is_none() && ATTRIBUTES.contains(&name) {
                self.attribute(name, value);
            } else if attribute.namespace().is_none() && name == "style" {
                let kept = declarations(value).filter(|(property, _)| PROPERTIES.contains(property));
                style.extend(kept.map(|(property, value)| format!("{property}:{value};")));
            }
        }
        if let Some(link) = link(node).filter(|link| link.starts_with('#')) {
            self.attribute("href", link);
        }
        // Whatever a style sheet says, the outline counts.
        style.push_str("fill:#000;stroke:none;clip-path:none;mask:none;filter:none;font-size:12px");
        self.attribute("style", &style);
    }

    fn attribute(&mut self, name: &str, value: &str) {
        let _ = write!(self.text, " {name}=\"");
        self.escaped(value);
        self.text.push('"');
    }

    fn escaped(&mut self, value: &str) {
        for letter in value.chars() {
            match letter {
                '&' => self.text.push_str("&amp;"),
                '<' => self.text.push_str("&lt;"),
                '>' => self.text.push_str("&gt;"),
                '"' => self.text.push_str("&quot;"),
                '\t' | '\n' | '\r' => self.text.push(' '),
                letter => self.text.push(letter),
            }
        }
    }
}

/// Lists the properties and values of a `style` attribute.
fn declarations(style: &str) -> impl Iterator<Item = (&str, &str)> {
    style.split(';').filter_map(|declaration| {
        let (property, value) = declaration.split_once(':')?;
        Some((property.trim(), value.trim()))
    })
}

/// Tells what in the wanted part of a file was left out.
fn remarks(file: &str, root: Node<'_, '_>, wanted: Node<'_, '_>) -> Vec<Remark> {
    let number = |test: &dyn Fn(Node<'_, '_>) -> bool| {
        wanted.descendants().filter(|node| node.is_element() && is_svg(*node) && test(*node)).count()
    };
    let named = |names: &'static [&'static str]| move |node: Node<'_, '_>| names.contains(&node.tag_name().name());
    let mut remarks = Vec::new();
    let mut add = |found: usize, one: &str, many: &str, help: &str| {
        if found > 0 {
            remarks.push(Remark::new(format!("{file}: {} left out", count(found, one, many)), help));
        }
    };
    let help = "to have it cut, convert it to paths in the program that drew it";
    add(number(&named(&["text", "foreignObject"])), "text is", "texts are", help);
    let help = "to have its outline cut, trace it in the program that drew it";
    add(number(&named(&["image"])), "image is", "images are", help);
    let cuts = number(&|node| {
        let set = |property: &str, value: &str| CUTTING.contains(&property) && value.trim() != "none";
        node.attributes().any(|attribute| set(attribute.name(), attribute.value()))
            || declarations(node.attribute("style").unwrap_or_default()).any(|(property, value)| set(property, value))
    });
    let help = "the whole path is cut; apply clips and masks in the program that drew it";
    add(cuts, "clip, mask or filter is", "clips, masks and filters are", help);
    let away = root
        .descendants()
        .filter(|node| node.tag_name().name() == "use" && link(*node).is_some_and(|link| !link.starts_with('#')))
        .count();
    add(away, "link to another file is", "links to other files are", "copy the linked content into the file");
    let strokes = wanted.descendants().filter_map(stroke_width).fold(0.0, f64::max);
    if strokes > 0.0 {
        let message = format!("{file}: the outline is the middle of the stroke, which is {strokes} units wide");
        remarks.push(Remark::new(
            message,
            "if you mean its edge, convert the stroke to a path in the program that drew it",
        ));
    }
    remarks
}

/// Strokes thinner than this, in the unit of the drawing, only show where the path is.
const WIDE_STROKE: f64 = 3.0;

/// Returns the width of a stroke that a viewer might take for a shape of its own.
fn stroke_width(node: Node<'_, '_>) -> Option<f64> {
    let style = node.attribute("style").unwrap_or_default();
    let set = declarations(style).find(|(property, _)| *property == "stroke-width").map(|(_, value)| value);
    let text = set.or_else(|| node.attribute("stroke-width"))?;
    let width: f64 = text.trim().trim_end_matches(|letter: char| letter.is_alphabetic()).parse().ok()?;
    Some(width).filter(|width| *width > WIDE_STROKE && width.is_finite())
}
