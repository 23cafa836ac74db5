//! Regions of colour on their way to the sheet, and the light that falls on slopes.

use std::sync::Arc;

use kurbo::{Line, Point, Rect, Size, Vec2};

use crate::colour::Colour;
use crate::drawing::{Area, Drawing, Image, Mark, Role};
use crate::geometry::{Outline, Segment};
use crate::photo::Raster;
use crate::tolerance::SAME_LENGTH_MM;

/// Where the light comes from on the sheet, x to the right and y down: the upper left.
const LIGHT: Vec2 = Vec2::new(-std::f64::consts::FRAC_1_SQRT_2, -std::f64::consts::FRAC_1_SQRT_2);
/// How much of the way to white a slope that faces the light goes.
const LIGHTEN: f64 = 0.35;
/// How much of the way to black a slope that faces away goes.
const DARKEN: f64 = 0.3;
/// A curve is painted in pieces that turn by no more than this many radians: tones of neighbours can hardly be told apart.
const PIECE_RAD: f64 = 0.1;
/// Pieces need not be shorter than this on the sheet, in millimetres.
const PIECE_MM: f64 = 0.4;
/// However small it is drawn, a curve is painted in pieces that turn by no more than this many radians.
const COARSEST_RAD: f64 = 0.8;

/// A picture in the making. Everything it is given is in millimetres in the frame of reference of the mat.
pub(super) struct Painter {
    drawing: Drawing,
    scale: f64,
    shift: Vec2,
}

impl Painter {
    /// Shows a part of the plane of the mat, reduced to `scale`.
    pub(super) fn new(title: &str, bounds: Rect, scale: f64) -> Self {
        let sheet = bounds.size() * scale;
        let drawing = Drawing { title: title.to_owned(), view: "picture", sheet, layers: Vec::new() };
        Self { drawing, scale, shift: -bounds.origin().to_vec2() }
    }

    pub(super) fn finish(self) -> Drawing {
        self.drawing
    }

    fn outline(&self, outline: &Outline) -> Outline {
        outline.translated(self.shift).scaled(self.scale)
    }

    fn rect(&self, rect: Rect) -> Rect {
        (rect + self.shift).scale_from_origin(self.scale)
    }

    /// Fills what lies inside an odd number of outlines.
    pub(super) fn fill<'o>(&mut self, outlines: impl IntoIterator<Item = &'o Outline>, colour: Colour) {
        let outlines = outlines.into_iter().map(|outline| self.outline(outline)).collect();
        self.drawing.add(Role::Picture, Mark::Area(Area { outlines, colour }));
    }

    /// Fills a rectangle; one of no size is left out.
    pub(super) fn fill_rect(&mut self, rect: Rect, colour: Colour) {
        self.fill(&Outline::rectangle(rect), colour);
    }

    /// Draws a thin line round a rectangle.
    pub(super) fn line_round(&mut self, rect: Rect) {
        if let Some(outline) = Outline::rectangle(self.rect(rect)) {
            self.drawing.add(Role::Picture, Mark::Outline { outline, opening: None });
        }
    }

    /// Paints a photograph as far as it is seen in a rectangle.
    pub(super) fn photograph(&mut self, rect: Rect, seen: Rect, raster: Raster) {
        let (rect, seen) = (self.rect(rect), self.rect(seen));
        self.drawing.add(Role::Picture, Mark::Image(Image { rect, seen, raster: Arc::new(raster) }));
    }

    /// Returns how large a length in millimetres of the mat is on the sheet, in millimetres.
    pub(super) const fn on_sheet(&self, length: f64) -> f64 {
        length * self.scale
    }

    /// Paints a slope that falls from one outline to a parallel one, piece by piece as the light falls on it; `strength`
    /// is 1 for a slope of half a right angle.
    pub(super) fn slope(&mut self, high: &Outline, low: &Outline, colour: Colour, strength: f64) {
        // Below the pieces lies the whole in a middle tone, so that nothing shines through between two pieces.
        self.fill([high, low], colour);
        for (piece, facing) in pieces(high, low, self.scale) {
            self.fill([&piece], lit(colour, facing, strength));
        }
    }

    /// Paints the shadow that the steep edge of an opening, `thick` millimetres high, throws into the opening: where the edge
    /// is turned away from the light it is moved along the light.
    pub(super) fn shadow(&mut self, opening: &Outline, thick: f64, colour: Colour) {
        let fall = -LIGHT * thick;
        // Between the points where the edge runs along the light, it is turned towards the light or away from it throughout.
        let parts: Vec<Segment> = opening.segments().iter().flat_map(|segment| cut_along(segment, fall)).collect();
        // An outline runs so that its inside lies at the right hand of its direction, as seen on the sheet.
        let shaded = |part: &Segment| (part.end() - part.start()).turn_90().dot(fall) > 0.0;
        // The light reaches some side of every closed outline; runs of shaded sides are whole if counted from there.
        let start = parts.iter().position(|part| !shaded(part)).unwrap_or(0);
        let mut run: Vec<Segment> = Vec::new();
        for part in parts.iter().cycle().skip(start).take(parts.len()) {
            if shaded(part) {
                run.push(*part);
            } else {
                self.fill_shadow(&run, fall, colour);
                run.clear();
            }
        }
        self.fill_shadow(&run, fall, colour);
    }

    fn fill_shadow(&mut self, edge: &[Segment], fall: Vec2, colour: Colour) {
        let moved: Vec<Segment> = edge.iter().rev().map(|part| part.translated(fall).reversed()).collect();
        if let Some(outline) = joined(edge, &moved) {
            self.fill([&outline], colour);
        }
    }
}

/// Cuts a piece of an outline where it runs along a direction.
fn cut_along(segment: &Segment, direction: Vec2) -> Vec<Segment> {
    match segment {
        Segment::Line(_) => vec![*segment],
        Segment::Arc(arc) => arc.split_along(direction).map(Segment::Arc).collect(),
    }
}

/// Closes two chains of pieces into an outline: the ends that face each other are joined by straight lines.
fn joined(there: &[Segment], back: &[Segment]) -> Option<Outline> {
    let line = |from: &Segment, to: &Segment| Segment::Line(Line::new(from.end(), to.start()));
    let (turn, home) = (line(there.last()?, back.first()?), line(back.last()?, there.first()?));
    let pieces = there.iter().chain([&turn]).chain(back).chain([&home]);
    Outline::new(pieces.copied().collect())
}

/// Returns the colour of a slope that faces a direction on the sheet.
fn lit(colour: Colour, facing: Vec2, strength: f64) -> Colour {
    match facing.dot(LIGHT) {
        light if light > 0.0 => colour.towards(Colour::WHITE, LIGHTEN * strength * light),
        shade => colour.towards(Colour::BLACK, DARKEN * strength * -shade),
    }
}

/// Cuts the band between two parallel outlines, drawn to a scale, into pieces with straight ends, each with the direction in which it falls.
fn pieces(high: &Outline, low: &Outline, scale: f64) -> Vec<(Outline, Vec2)> {
    let mut pieces = Vec::new();
    if !are_twins(high, low) {
        return pieces_beside(high, low, scale);
    }
    for (upper, lower) in high.segments().iter().zip(low.segments()) {
        let count = match upper {
            Segment::Line(_) => 1,
            Segment::Arc(arc) => {
                let turns = arc.sweep.abs() / PIECE_RAD;
                let lengths = arc.signed_length().abs() * scale / PIECE_MM;
                turns.min(lengths.max(arc.sweep.abs() / COARSEST_RAD)).ceil().max(1.0) as usize
            }
        };
        for step in 0..count {
            let [from, to] = [step, step + 1].map(|step| step as f64 / count as f64);
            let (outer, inner) = (part(upper, from, to), part(lower, from, to).reversed());
            let facing = falling(outer.start(), outer.end(), inner.start().midpoint(inner.end()));
            pieces.extend(joined(&[outer], &[inner]).map(|piece| (piece, facing)));
        }
    }
    pieces
}

/// Tells whether each piece of an outline has its parallel in the other.
fn are_twins(high: &Outline, low: &Outline) -> bool {
    let (high, low) = (high.segments(), low.segments());
    let same_way = |(a, b): (&Segment, &Segment)| {
        let ends = [(a.start_direction(), b.start_direction()), (a.end_direction(), b.end_direction())];
        ends.into_iter().all(|(a, b)| a.dot(b) > 0.0 && a.cross(b).abs() < PIECE_RAD)
    };
    high.len() == low.len() && high.iter().zip(low).all(same_way)
}

/// Cuts the band between two outlines of which one leaves out parts of the other: each piece ends where the other outline is nearest.
fn pieces_beside(high: &Outline, low: &Outline, scale: f64) -> Vec<(Outline, Vec2)> {
    let mut pieces = Vec::new();
    for upper in high.segments() {
        let mut open = vec![(0.0, 1.0)];
        while let Some((from, to)) = open.pop() {
            let outer = part(upper, from, to);
            let middle = 0.5 * (from + to);
            let inner = [low.nearest(outer.end()), low.nearest(outer.start())];
            if !is_one_piece(&outer, inner, low, scale) {
                open.extend([(middle, to), (from, middle)]);
                continue;
            }
            let facing = falling(outer.start(), outer.end(), inner[0].midpoint(inner[1]));
            let piece = Outline::polygon(&[outer.start(), outer.end(), inner[0], inner[1]]);
            pieces.extend(piece.map(|piece| (piece, facing)));
        }
    }
    pieces
}

/// Tells whether a part of an outline is straight, and what is nearest to it in another outline is too, or it is short on the sheet.
fn is_one_piece(outer: &Segment, inner: [Point; 2], low: &Outline, scale: f64) -> bool {
    if outer.length() * scale < PIECE_MM {
        return true;
    }
    let is_straight = matches!(outer, Segment::Line(_));
    is_straight
        && [0.25, 0.5, 0.75].into_iter().all(|share| {
            let between = low.nearest(outer.start().lerp(outer.end(), share));
            between.distance(inner[1].lerp(inner[0], share)) < SAME_LENGTH_MM
        })
}

/// Returns the part of a piece between two shares of it; curves are shared out by how far they turn.
fn part(segment: &Segment, from: f64, to: f64) -> Segment {
    match segment {
        Segment::Line(line) => Segment::Line(Line::new(line.p0.lerp(line.p1, from), line.p0.lerp(line.p1, to))),
        Segment::Arc(arc) => Segment::Arc(arc.between(arc.start + arc.sweep * from, arc.start + arc.sweep * to)),
    }
}

/// Returns the direction square to a side, towards a point beside it.
fn falling(a: Point, b: Point, towards: Point) -> Vec2 {
    let along = b - a;
    let square = Vec2::new(-along.y, along.x);
    let square = if square.dot(towards - a.midpoint(b)) < 0.0 { -square } else { square };
    let length = square.hypot();
    if length > 0.0 { square / length } else { Vec2::ZERO }
}

/// Returns the sheet of a picture in whole pixels.
pub(super) fn pixels(size: Size, pixels_per_inch: f64) -> u32 {
    let longest = size.width.max(size.height) / 25.4 * pixels_per_inch;
    // A number beyond the largest becomes the largest.
    longest.ceil().max(1.0) as u32
}

#[cfg(test)]
mod tests {
    use kurbo::{Point, Rect};

    use super::{LIGHT, pieces};
    use crate::geometry::Outline;

    #[test]
    fn a_slope_into_an_opening_is_light_at_the_bottom_right() {
        let high = Outline::rectangle(Rect::new(0.0, 0.0, 100.0, 80.0));
        let low = Outline::rectangle(Rect::new(2.0, 2.0, 98.0, 78.0));
        let (Some(high), Some(low)) = (high, low) else { panic!("no outline") };
        let mut seen = Vec::new();
        for (piece, facing) in pieces(&high, &low, 1.0) {
            let Point { x, y } = piece.bounds().center();
            let side = if x < 10.0 || y < 10.0 { "upper left" } else { "lower right" };
            assert_eq!(facing.dot(LIGHT) > 0.0, side == "lower right", "{side}: {facing:?}");
            seen.push(side);
        }
        assert_eq!(seen.len(), 4);
    }

    #[test]
    fn the_pieces_of_a_curve_fill_its_band() {
        let circle = |radius| Outline::ellipse(Point::new(50.0, 50.0), radius, radius, 0.0);
        let (Some(high), Some(low)) = (circle(40.0), circle(38.0)) else { panic!("no outline") };
        assert!(pieces(&high, &low, 0.01).len() < 12);
        let pieces = pieces(&high, &low, 1.0);
        assert!(pieces.len() > 60);
        let area: f64 = pieces.iter().map(|(piece, _)| piece.area()).sum();
        let band = high.area() - low.area();
        assert!((area / band - 1.0).abs() < 0.002, "{area} {band}");
    }

    #[test]
    fn the_slope_of_a_tooth_that_only_one_edge_has_is_filled() {
        let polygon = |corners: &[(f64, f64)]| {
            Outline::polygon(&corners.iter().map(|&corner| Point::from(corner)).collect::<Vec<_>>())
        };
        let high = Outline::rectangle(Rect::new(-2.0, -2.0, 102.0, 62.0));
        let low = polygon(&[
            (0.0, 0.0),
            (50.0, 0.0),
            (50.0, 3.0),
            (53.0, 3.0),
            (53.0, 0.0),
            (100.0, 0.0),
            (100.0, 60.0),
            (0.0, 60.0),
        ]);
        let (Some(high), Some(low)) = (high, low) else { panic!("no outline") };
        let pieces = pieces(&high, &low, 1.0);
        let area: f64 = pieces.iter().map(|(piece, _)| piece.area()).sum();
        let band = high.area() - low.area();
        // The tooth itself keeps the middle tone below the pieces.
        assert!((band - area - 9.0).abs() < 1.0 && pieces.len() < 80, "{area} of {band} in {} pieces", pieces.len());
    }
}
