//! The contours of an SVG file at true size, as usvg finds them.

use kurbo::{Affine, BezPath, Point, Rect, Shape};
use usvg::tiny_skia_path::PathSegment;

use super::remark::Remark;

/// One contour of a path, in millimetres from the top left of the page.
#[derive(Debug, Clone)]
pub(super) struct Contour {
    /// The id of its element, or of the nearest group around it that has one; may be empty.
    pub(super) id: String,
    /// The number of its element in the file.
    pub(super) element: usize,
    /// The contour, closed.
    pub(super) path: BezPath,
    /// Distance between its ends in millimetres; zero if it is closed.
    pub(super) gap: f64,
    /// How far in millimetres its points may lie from where they were drawn.
    pub(super) coarseness: f64,
}

/// SVG's own pixel: 96 of them are an inch.
const MM_PER_PIXEL: f64 = 25.4 / 96.0;
/// Most segments of all paths together; more are not an outline for a hand or a machine.
const MOST_SEGMENTS: usize = 10_000;

impl Contour {
    pub(super) fn bounds(&self) -> Rect {
        self.path.bounding_box()
    }

    pub(super) fn shown_size(&self) -> String {
        let size = self.bounds().size();
        format!("{:.1} × {:.1} mm", size.width, size.height)
    }
}

/// Lists the contours of an SVG text.
pub(super) fn contours(text: &str, file: &str) -> Result<Vec<Contour>, Remark> {
    let options = usvg::Options {
        image_href_resolver: usvg::ImageHrefResolver {
            resolve_data: Box::new(|_, _, _| None),
            resolve_string: Box::new(|_, _| None),
        },
        ..usvg::Options::default()
    };
    let tree = usvg::Tree::from_str(text, &options).map_err(|error| {
        Remark::new(format!("{file} cannot be drawn: {error}"), "check width, height and viewBox of the file")
    })?;
    let mut found = FoundContours { contours: Vec::new(), segments: 0, elements: 0 };
    found.add_group(tree.root(), "");
    if found.segments > MOST_SEGMENTS {
        let message = format!("{file} has more than {MOST_SEGMENTS} lines and curves, which is too detailed to be cut");
        return Err(Remark::new(message, "simplify the path in the program that drew it"));
    }
    let finite = |contour: &Contour| contour.path.elements().iter().all(|element| element.is_finite());
    if !found.contours.iter().all(finite) {
        let help = "check width, height, viewBox and the coordinates of the file";
        return Err(Remark::new(format!("{file} has numbers that are too large"), help));
    }
    Ok(found.contours)
}

struct FoundContours {
    contours: Vec<Contour>,
    segments: usize,
    elements: usize,
}

impl FoundContours {
    fn add_group(&mut self, group: &usvg::Group, around: &str) {
        let id = if group.id().is_empty() { around } else { group.id() };
        for node in group.children() {
            match node {
                usvg::Node::Group(group) => self.add_group(group, id),
                usvg::Node::Path(path) if path.is_visible() => self.add_path(path, id),
                usvg::Node::Path(_) | usvg::Node::Image(_) | usvg::Node::Text(_) => {}
            }
        }
    }

    fn add_path(&mut self, path: &usvg::Path, around: &str) {
        self.elements += 1;
        self.segments = self.segments.saturating_add(path.data().len());
        if self.segments > MOST_SEGMENTS {
            return;
        }
        let id = if path.id().is_empty() { around } else { path.id() };
        let page = to_millimetres(path.abs_transform());
        let [a, b, c, d, e, f] = page.as_coeffs();
        let mut coarseness: f64 = 0.0;
        let mut place = |point: usvg::tiny_skia_path::Point| {
            let (x, y) = (f64::from(point.x), f64::from(point.y));
            // Every product and sum was or will be rounded to 24 bits.
            let sum = (a * x).abs() + (c * y).abs() + e.abs() + (b * x).abs() + (d * y).abs() + f.abs();
            coarseness = coarseness.max(sum * f64::from(f32::EPSILON));
            page * Point::new(x, y)
        };
        let mut parts: Vec<BezPath> = Vec::new();
        for segment in path.data().segments() {
            if let PathSegment::MoveTo(point) = segment {
                let mut part = BezPath::new();
                part.move_to(place(point));
                parts.push(part);
                continue;
            }
            let Some(part) = parts.last_mut() else {
                continue;
            };
            match segment {
                PathSegment::LineTo(to) => part.line_to(place(to)),
                PathSegment::QuadTo(handle, to) => part.quad_to(place(handle), place(to)),
                PathSegment::CubicTo(first, second, to) => part.curve_to(place(first), place(second), place(to)),
                PathSegment::MoveTo(_) | PathSegment::Close => part.close_path(),
            }
        }
        let element = self.elements;
        self.contours.extend(parts.into_iter().filter(|part| part.elements().len() > 1).map(|mut path| {
            let gap = gap(&path);
            if gap > 0.0 {
                path.close_path();
            }
            Contour { id: id.to_owned(), element, path, gap, coarseness }
        }));
    }
}

/// Returns the distance between the ends of a part; zero if it is closed.
fn gap(path: &BezPath) -> f64 {
    let (Some(kurbo::PathEl::MoveTo(start)), Some(last)) = (path.elements().first(), path.elements().last()) else {
        return 0.0;
    };
    last.end_point().map_or(0.0, |end| end.distance(*start))
}

fn to_millimetres(transform: usvg::Transform) -> Affine {
    let usvg::Transform { sx, kx, ky, sy, tx, ty } = transform;
    Affine::scale(MM_PER_PIXEL) * Affine::new([sx, ky, kx, sy, tx, ty].map(f64::from))
}
