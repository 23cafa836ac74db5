//! A drawing as an independent reader finds it in a file, and its comparison with the drawing that was written.

use backline::drawing::{Drawing, DrawingLayer, Mark, Role, Text};
use backline::geometry::Outline;
use kurbo::{BezPath, ParamCurve, ParamCurveNearest, PathSeg, Point, Rect, Shape, Size};

/// The largest distance in millimetres between a curve in a file and the curve of the drawing.
pub(crate) const READ_BACK_MM: f64 = 0.001;

/// Places on each piece of a curve where it is compared.
const SAMPLES: usize = 48;

/// What a reader found in a file, in millimetres from the top left corner of the sheet, y down.
#[derive(Debug, Clone)]
pub(crate) struct Reading {
    pub(crate) title: String,
    pub(crate) sheet: Size,
    /// Name of the role and path of each stroke, in the order of the file.
    pub(crate) paths: Vec<(String, BezPath)>,
    /// Name of the role, words and start of the baseline (or its anchor) of each text, in the order of the file.
    pub(crate) texts: Vec<(String, String, Point)>,
}

impl Reading {
    /// Checks sheet, title, layers and every outline and line of the file against the drawing.
    pub(crate) fn assert_matches(&self, drawing: &Drawing) {
        assert_eq!(self.title, drawing.title);
        assert!((self.sheet.width - drawing.sheet.width).abs() < READ_BACK_MM, "{}", self.sheet);
        assert!((self.sheet.height - drawing.sheet.height).abs() < READ_BACK_MM, "{}", self.sheet);
        let strokes = |layer: &DrawingLayer| layer.marks.iter().filter(|mark| !matches!(mark, Mark::Text(_))).count();
        assert_eq!(self.paths.len(), drawing.layers.iter().map(strokes).sum::<usize>());
        let mut paths = self.paths.iter();
        for (role, mark) in marks(drawing) {
            if matches!(mark, Mark::Text(_)) {
                continue;
            }
            let (name, path) = paths.next().unwrap();
            assert_eq!(name, role.name());
            match mark {
                Mark::Outline { outline, .. } => assert_same_outline(outline, path),
                Mark::Line { points, .. } => assert_same_line(points, path),
                Mark::Text(_) | Mark::Area(_) | Mark::Image(_) => {}
            }
        }
        assert!(paths.next().is_none());
    }

    /// Checks that the texts of the file are those of the drawing, in the same layers.
    pub(crate) fn assert_same_words(&self, drawing: &Drawing) {
        let read: Vec<_> = self.texts.iter().map(|(role, words, _)| (role.as_str(), words.as_str())).collect();
        let drawn: Vec<_> = texts(drawing).map(|(role, text)| (role.name(), text.content.as_str())).collect();
        assert_eq!(read, drawn);
    }
}

/// Returns the texts of a drawing in order.
pub(crate) fn texts(drawing: &Drawing) -> impl Iterator<Item = (Role, &Text)> {
    marks(drawing).filter_map(|(role, mark)| match mark {
        Mark::Text(text) => Some((role, text)),
        _ => None,
    })
}

fn marks(drawing: &Drawing) -> impl Iterator<Item = (Role, &Mark)> {
    drawing.layers.iter().flat_map(|layer| layer.marks.iter().map(move |mark| (layer.role, mark)))
}

/// Checks that a closed path and an outline are never farther apart than [`READ_BACK_MM`], either way.
pub(crate) fn assert_same_outline(outline: &Outline, path: &BezPath) {
    let segments: Vec<PathSeg> = path.segments().collect();
    let ends = segments.first().unwrap().start().distance(segments.last().unwrap().end());
    assert!(ends < READ_BACK_MM, "the path is open by {ends} mm");
    for segment in &segments {
        for sample in 0..=SAMPLES {
            let point = segment.eval(sample as f64 / SAMPLES as f64);
            let distance = point.distance(outline.nearest(point));
            assert!(distance < READ_BACK_MM, "the path is {distance} mm off the outline at {point}");
        }
    }
    // The points of a polyline this fine lie on the outline itself.
    for point in outline.flatten(1e-3).into_iter().chain(corners_and_middles(outline)) {
        let distance = distance(&segments, point);
        assert!(distance < READ_BACK_MM, "the outline is {distance} mm off the path at {point}");
    }
    assert_same_bounds(outline.bounds(), path.bounding_box());
}

fn corners_and_middles(outline: &Outline) -> impl Iterator<Item = Point> + '_ {
    outline
        .segments()
        .iter()
        .flat_map(|segment| [segment.start(), segment.start().midpoint(segment.end())])
        .map(|point| outline.nearest(point))
}

fn distance(segments: &[PathSeg], point: Point) -> f64 {
    let squares = segments.iter().map(|segment| segment.nearest(point, 1e-9).distance_sq);
    squares.fold(f64::INFINITY, f64::min).sqrt()
}

fn assert_same_bounds(drawn: Rect, read: Rect) {
    for (a, b) in [(drawn.x0, read.x0), (drawn.y0, read.y0), (drawn.x1, read.x1), (drawn.y1, read.y1)] {
        assert!((a - b).abs() < READ_BACK_MM, "{drawn} was drawn, {read} was read");
    }
}

fn assert_same_line(points: &[Point], path: &BezPath) {
    let read: Vec<Point> = path.elements().iter().filter_map(|element| element.end_point()).collect();
    assert_eq!(read.len(), points.len());
    for (a, b) in points.iter().zip(read) {
        assert!(a.distance(b) < READ_BACK_MM, "{a} was drawn, {b} was read");
    }
}
