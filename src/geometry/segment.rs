//! One piece of an outline: a straight line or an arc.

use kurbo::{Line, Point, Rect, Vec2};

use super::Arc;

/// One piece of an [`Outline`](super::Outline), travelled from its start to its end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Segment {
    /// A straight line.
    Line(Line),
    /// An arc of a circle, an ellipse or the parallel curve of an ellipse.
    Arc(Arc),
}

impl Segment {
    /// Returns where the piece starts.
    #[must_use]
    pub fn start(&self) -> Point {
        match self {
            Self::Line(line) => line.p0,
            Self::Arc(arc) => arc.point(arc.start),
        }
    }

    /// Returns where the piece ends.
    #[must_use]
    pub fn end(&self) -> Point {
        match self {
            Self::Line(line) => line.p1,
            Self::Arc(arc) => arc.point(arc.end()),
        }
    }

    /// Returns the unit direction of travel at the start.
    #[must_use]
    pub fn start_direction(&self) -> Vec2 {
        match self {
            Self::Line(line) => direction(line),
            Self::Arc(arc) => arc.tangent(arc.start),
        }
    }

    /// Returns the unit direction of travel at the end.
    #[must_use]
    pub fn end_direction(&self) -> Vec2 {
        match self {
            Self::Line(line) => direction(line),
            Self::Arc(arc) => arc.tangent(arc.end()),
        }
    }

    /// Tells whether all its numbers are finite.
    #[must_use]
    pub fn is_finite(&self) -> bool {
        self.start().is_finite() && self.end().is_finite()
    }

    /// Returns the length in millimetres.
    #[must_use]
    pub fn length(&self) -> f64 {
        match self {
            Self::Line(line) => (line.p1 - line.p0).hypot(),
            Self::Arc(arc) => arc.signed_length().abs(),
        }
    }

    /// Returns the smallest upright rectangle round the piece, in millimetres; exact for curves too.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        match self {
            Self::Line(line) => Rect::from_points(line.p0, line.p1),
            Self::Arc(arc) => {
                let ends = Rect::from_points(arc.point(arc.start), arc.point(arc.end()));
                arc.split_at_extremes().fold(ends, |bounds, part| bounds.union_pt(part.point(part.start)))
            }
        }
    }

    /// Returns `½∫(x dy − y dx)` along the piece about the origin, in square millimetres.
    #[must_use]
    pub fn signed_area(&self) -> f64 {
        match self {
            Self::Line(line) => 0.5 * line.p0.to_vec2().cross(line.p1.to_vec2()),
            Self::Arc(arc) => arc.signed_area(),
        }
    }

    /// Returns the piece moved by a vector in millimetres.
    #[must_use]
    pub fn translated(&self, by: Vec2) -> Self {
        match self {
            Self::Line(line) => Self::Line(Line::new(line.p0 + by, line.p1 + by)),
            Self::Arc(arc) => Self::Arc(Arc { center: arc.center + by, ..*arc }),
        }
    }

    /// Returns the piece enlarged from the origin by a factor above zero.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        let grown = |point: Point| (point.to_vec2() * factor).to_point();
        match self {
            Self::Line(line) => Self::Line(Line::new(grown(line.p0), grown(line.p1))),
            Self::Arc(arc) => Self::Arc(Arc {
                center: grown(arc.center),
                rx: arc.rx * factor,
                ry: arc.ry * factor,
                distance: arc.distance * factor,
                ..*arc
            }),
        }
    }

    /// Returns the piece turned about a point so that what pointed right points along the unit vector `direction`.
    #[must_use]
    pub fn turned(&self, direction: Vec2, about: Point) -> Self {
        let spun = |vector: Vec2| {
            Vec2::new(direction.x * vector.x - direction.y * vector.y, direction.y * vector.x + direction.x * vector.y)
        };
        let moved = |point: Point| about + spun(point - about);
        match self {
            Self::Line(line) => Self::Line(Line::new(moved(line.p0), moved(line.p1))),
            Self::Arc(arc) => Self::Arc(Arc { center: moved(arc.center), axis: spun(arc.axis), ..*arc }),
        }
    }

    /// Returns the mirror image in the vertical line at `x`, travelled the other way, so that the outside stays outside.
    #[must_use]
    pub fn mirrored(&self, x: f64) -> Self {
        let flip = |point: Point| Point::new(2.0 * x - point.x, point.y);
        match self {
            Self::Line(line) => Self::Line(Line::new(flip(line.p1), flip(line.p0))),
            Self::Arc(arc) => Self::Arc(arc.mirrored(x).reversed()),
        }
    }

    /// Returns the same piece travelled the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        match self {
            Self::Line(line) => Self::Line(Line::new(line.p1, line.p0)),
            Self::Arc(arc) => Self::Arc(arc.reversed()),
        }
    }

    /// Returns the point of the piece that is nearest to `point`.
    #[must_use]
    pub fn nearest(&self, point: Point) -> Point {
        match self {
            Self::Line(line) => {
                let along = line.p1 - line.p0;
                let t = (point - line.p0).dot(along) / along.hypot2();
                line.p0 + along * t.clamp(0.0, 1.0)
            }
            Self::Arc(arc) => arc.point(arc.nearest_angle(point)),
        }
    }
}

fn direction(line: &Line) -> Vec2 {
    (line.p1 - line.p0).normalize()
}
