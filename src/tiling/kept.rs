//! What is kept of a drawing when only a part of it is to be printed.

use kurbo::{Point, Rect, Vec2};

use super::PrintedPart;
use super::TilingError;
use super::ink::{self, Ink};
use crate::drawing::{Drawing, DrawingLayer, Mark, Role};
use crate::geometry::{Outline, Segment};

/// So much is kept round a corner, an arc or a single opening, in millimetres.
const AROUND: f64 = 25.0;
/// So much is kept round a piece of a curve.
const AROUND_CURVE: f64 = 6.0;
/// Half the length of a centre mark, and what is kept round it.
const CENTRE_MARK: f64 = 5.0;
const AROUND_CENTRE: f64 = 8.0;
/// A curve is kept in pieces of which each turns by so much at most, in radians.
const PIECE: f64 = 0.1;

/// A part of a drawing.
pub(super) struct KeptPart {
    /// The drawing without what lies wholly outside the regions, and with the marks that they need.
    pub(super) drawing: Drawing,
    /// Outside these rectangles nothing is printed.
    pub(super) regions: Vec<Rect>,
}

impl KeptPart {
    /// Keeps what is wanted of a drawing.
    ///
    /// # Errors
    ///
    /// Returns an error if there is nothing to print, or the opening that is wanted is not there.
    pub(super) fn of(drawing: &Drawing, only: &PrintedPart) -> Result<Self, TilingError> {
        let nothing = || TilingError::new("nothing is drawn in this view", "choose another view");
        let everything = Ink::bounds_of(&Ink::of(drawing, &[Rect::new(-1e9, -1e9, 1e9, 1e9)])).ok_or_else(nothing)?;
        match only {
            PrintedPart::All => {
                Ok(Self { drawing: drawing.clone(), regions: vec![everything.inflate(1.0, 1.0).expand()] })
            }
            PrintedPart::Corners => Ok(corners(drawing)),
            PrintedPart::Opening { number, .. } => opening(drawing, *number),
        }
    }
}

/// Keeps one opening and what stands round it.
fn opening(drawing: &Drawing, wanted: usize) -> Result<KeptPart, TilingError> {
    let of = |mark: &Mark| match mark {
        Mark::Outline { outline, opening: Some(number) } => Some((*number, outline.bounds())),
        _ => None,
    };
    let openings: Vec<(usize, Rect)> = drawing.layers.iter().flat_map(|layer| &layer.marks).filter_map(of).collect();
    let own = openings.iter().filter(|(number, _)| *number == wanted).map(|(_, bounds)| *bounds);
    let Some(bounds) = own.reduce(|a, b| a.union(b)) else {
        let last = openings.iter().map(|(number, _)| *number).max();
        let known = last.map_or("it shows none".to_owned(), |last| format!("its openings are numbered up to {last}"));
        return Err(TilingError::new(
            format!("there is no opening {wanted} in this view"),
            format!("{known}; `backline check` lists them"),
        ));
    };
    let region = bounds.inflate(AROUND, AROUND).expand();
    let keep = |mark: &Mark| match mark {
        Mark::Outline { opening: Some(number), .. } => *number == wanted,
        Mark::Text(text) => contains(region, ink::words(text)),
        _ => Ink::of_mark(mark).iter().any(|piece| piece.within(region).is_some()),
    };
    Ok(KeptPart { drawing: filtered(drawing, keep), regions: vec![region] })
}

/// Keeps corners, curves and the middles of sides, and marks these.
fn corners(drawing: &Drawing) -> KeptPart {
    let outlines: Vec<&Outline> = drawing
        .layers
        .iter()
        .flat_map(|layer| &layer.marks)
        .filter_map(|mark| match mark {
            Mark::Outline { outline, .. } => Some(outline),
            _ => None,
        })
        .collect();
    let mut regions: Vec<Rect> = Vec::new();
    let mut centre_marks = Vec::new();
    for outline in outlines {
        regions.extend(outline.segments().iter().flat_map(around));
        for (middle, across) in middles(outline.bounds()) {
            regions.push(Rect::from_center_size(middle, (2.0 * AROUND_CENTRE, 2.0 * AROUND_CENTRE)));
            centre_marks.push(Mark::line(vec![middle - across * CENTRE_MARK, middle + across * CENTRE_MARK]));
        }
    }
    let regions = without_contained(regions.into_iter().map(|region| region.expand()).collect());
    let keep = |mark: &Mark| match mark {
        Mark::Text(text) => regions.iter().any(|region| contains(*region, ink::words(text))),
        _ => Ink::of_mark(mark).iter().any(|piece| regions.iter().any(|region| piece.within(*region).is_some())),
    };
    let mut drawing = filtered(drawing, keep);
    centre_marks.into_iter().for_each(|mark| drawing.add(Role::Tick, mark));
    KeptPart { drawing, regions }
}

/// Returns what is kept round a piece of an outline: the ends of a line, the whole of a curve.
fn around(segment: &Segment) -> Vec<Rect> {
    match segment {
        Segment::Line(line) => {
            [line.p0, line.p1].map(|end| Rect::from_center_size(end, (2.0 * AROUND, 2.0 * AROUND))).to_vec()
        }
        Segment::Arc(arc) => {
            let pieces = (arc.sweep.abs() / PIECE).ceil().max(1.0);
            let at = |share: f64| arc.start + arc.sweep * share / pieces;
            let points = |piece: f64| [0.0, 0.25, 0.5, 0.75, 1.0].map(|part| arc.point(at(piece + part)));
            (0..pieces as usize).map(|piece| bounds(points(piece as f64)).inflate(AROUND_CURVE, AROUND_CURVE)).collect()
        }
    }
}

fn bounds(points: [Point; 5]) -> Rect {
    let [first, rest @ ..] = points;
    rest.into_iter().fold(Rect::from_points(first, first), |bounds, point| bounds.union_pt(point))
}

/// Returns the middles of the sides of a rectangle, each with the direction across the side.
fn middles(rect: Rect) -> [(Point, Vec2); 4] {
    let Point { x, y } = rect.center();
    let (level, upright) = (Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0));
    [
        (Point::new(rect.x0, y), level),
        (Point::new(rect.x1, y), level),
        (Point::new(x, rect.y0), upright),
        (Point::new(x, rect.y1), upright),
    ]
}

/// Leaves out rectangles that lie in others, which a dense drawing has many of.
fn without_contained(mut rects: Vec<Rect>) -> Vec<Rect> {
    rects.sort_by(|a, b| b.area().total_cmp(&a.area()));
    let mut kept: Vec<Rect> = Vec::new();
    for rect in rects {
        if !kept.iter().any(|other| contains(*other, rect)) {
            kept.push(rect);
        }
    }
    kept
}

fn contains(outer: Rect, inner: Rect) -> bool {
    outer.x0 <= inner.x0 && inner.x1 <= outer.x1 && outer.y0 <= inner.y0 && inner.y1 <= outer.y1
}

fn filtered(drawing: &Drawing, keep: impl Fn(&Mark) -> bool) -> Drawing {
    let layers = drawing
        .layers
        .iter()
        .map(|layer| DrawingLayer {
            role: layer.role,
            marks: layer.marks.iter().filter(|mark| keep(mark)).cloned().collect(),
        })
        .collect();
    Drawing { layers, ..drawing.clone() }
}
