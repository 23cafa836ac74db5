//! A free outline of straight lines and arcs.

use kurbo::{Line, Point, Size, Vec2};
use serde::{Deserialize, Serialize};

use super::contract::{Shape, simple};
use crate::geometry::{Arc, Outline, Segment};
#[cfg(feature = "schema")]
use crate::job::short::ShortOr;
use crate::job::short::{self, Short};
use crate::job::{Measure, Scope};
use crate::problem::Problem;
use crate::tolerance::{FLATTEST_ARC_MM, SAME_LENGTH_MM, SLIT_RAD};

/// A closed outline at its true size, given by points in order; from each of them a line or an arc leads to the next.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PathShape {
    /// Points in order; the last one is joined to the first.
    ///
    /// Each is `[x, y]`, from which a straight line starts, or a table `{ at = [x, y], bulge = … }` or
    /// `{ at = [x, y], through = [x, y] }`, from which an arc starts; x to the right and y down from any point, seen
    /// from the front.
    #[serde(deserialize_with = "short::list")]
    #[cfg_attr(feature = "schema", schemars(with = "Vec<ShortOr<[Measure; 2], PathPoint>>"))]
    pub points: Vec<PathPoint>,
}

/// A point of a free outline, with the arc that leads from it to the next point.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PathPoint {
    /// Where it lies: x to the right, y down.
    pub at: [Measure; 2],
    /// The tangent of a quarter of the angle of the arc to the next point, as in the DXF reference.
    ///
    /// Seen from the front, an arc with a bulge above zero runs anticlockwise and one with a bulge below zero clockwise,
    /// as in a DXF drawing; 1 is a semicircle, 0.41421356 a quarter of a circle. Only y runs the other way here: to
    /// copy a DXF polyline, turn the sign of every y and keep the bulges.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bulge: Option<f64>,
    /// A point on the arc to the next point.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub through: Option<[Measure; 2]>,
}

impl PathPoint {
    /// Makes a point from which the outline goes straight on to the next.
    #[must_use]
    pub fn new(at: [impl Into<Measure>; 2]) -> Self {
        Self { at: at.map(Into::into), bulge: None, through: None }
    }
}

impl Short for PathPoint {
    type Form = [Measure; 2];
    const TAKES_LIST: bool = true;
    const EXPECTED: &'static str = "a point such as [3, 4], or a table with `at` and `bulge` or `through`";

    fn from_short(at: [Measure; 2]) -> Self {
        Self { at, bulge: None, through: None }
    }
}

/// Most points that an outline may have: far more than a hand could cut.
const MOST_POINTS: usize = 10_000;
/// Arcs with a larger bulge are within a degree of a whole circle, and their ends cannot be told apart.
const LARGEST_BULGE: f64 = 200.0;
/// A point that has been read.
struct LocatedPoint<'a> {
    point: Point,
    written: &'a PathPoint,
    scope: Scope,
}

fn read_point([x, y]: &[Measure; 2], scope: &Scope) -> Result<Point, Problem> {
    Ok(Point::new(scope.index(0).signed_mm(x)?, scope.index(1).signed_mm(y)?))
}

impl PathShape {
    /// Reads the points.
    fn places(&self, scope: &Scope) -> Result<Vec<LocatedPoint<'_>>, Problem> {
        let mut places = Vec::with_capacity(self.points.len());
        for (index, written) in self.points.iter().enumerate() {
            let scope = scope.index(index);
            // In its short form the point stands for the whole table; the reader falls back to that.
            let point = read_point(&written.at, &scope.key("at"))?;
            places.push(LocatedPoint { point, written, scope });
        }
        Ok(places)
    }
}

impl LocatedPoint<'_> {
    /// Returns the piece from here to the next point; `None` for a straight line of no length.
    fn piece(&self, to: Point) -> Result<Option<Segment>, Problem> {
        let chord = to - self.point;
        let straight = Segment::Line(Line::new(self.point, to));
        // The sine and cosine of half the clockwise turn of the arc.
        let half = match (self.written.bulge, &self.written.through) {
            (None, None) => return Ok((chord.hypot() > SAME_LENGTH_MM).then_some(straight)),
            (Some(_), Some(_)) => {
                let message = "`bulge` and `through` both define the arc";
                return Err(self.scope.key("through").error("contradiction", message, "keep one of the two"));
            }
            (Some(bulge), None) => {
                if !bulge.is_finite() || bulge.abs() > LARGEST_BULGE {
                    let help = format!("give a bulge from -{LARGEST_BULGE} to {LARGEST_BULGE}; 1 is a semicircle");
                    let message = format!("an arc with a bulge of {bulge} is nearly a whole circle");
                    return Err(self
                        .scope
                        .key("bulge")
                        .error("path", message, help)
                        .with_ratio("bulge", bulge)
                        .with_ratio("most", LARGEST_BULGE));
                }
                if 0.5 * bulge.abs() * chord.hypot() < FLATTEST_ARC_MM && chord.hypot() > SAME_LENGTH_MM {
                    return Ok(Some(straight));
                }
                Vec2::new(1.0 - bulge * bulge, -2.0 * bulge) / (1.0 + bulge * bulge)
            }
            (None, Some(through)) => self.half_turn(through, to)?,
        };
        if chord.hypot() <= SAME_LENGTH_MM {
            let help = "end it at another point; a whole circle is two semicircles, each with a bulge of 1";
            return Err(self.scope.error("path", "the arc ends where it starts", help));
        }
        Ok(Some(Segment::Arc(arc(self.point, to, half))))
    }

    /// Returns cosine and sine of half the turn of an arc through a point: the turn between the two chords there.
    fn half_turn(&self, through: &[Measure; 2], to: Point) -> Result<Vec2, Problem> {
        let scope = self.scope.key("through");
        let through = read_point(through, &scope)?;
        let (first, second) = (through - self.point, to - through);
        let half = Vec2::new(first.dot(second), first.cross(second));
        // Where the arc is flattest its rise is that of a triangle with the three points as corners.
        let flat = half.y.abs() <= FLATTEST_ARC_MM * (to - self.point).hypot();
        if flat || first.hypot().min(second.hypot()) <= SAME_LENGTH_MM {
            let message = "the point of the arc lies on the straight line through its ends";
            return Err(scope.error("path", message, "leave out `through` for a straight line, or move the point"));
        }
        Ok(half / half.hypot())
    }
}

/// Returns the arc between two points from cosine and sine of half its turn; above zero it turns clockwise, y down.
fn arc(from: Point, to: Point, half: Vec2) -> Arc {
    let chord = to - from;
    let across = Vec2::new(-chord.y, chord.x);
    let center = from.midpoint(to) + across * (0.5 * half.x / half.y);
    let radius = 0.5 * chord.hypot() / half.y.abs();
    Arc::circular(center, radius, (from - center).atan2(), 2.0 * half.atan2())
}

impl Shape for PathShape {
    fn outline(&self, _fit: Option<Size>, scope: &Scope) -> Result<Outline, Problem> {
        let scope = scope.key("points");
        if self.points.len() > MOST_POINTS {
            let message = format!("an outline cannot have {} points", self.points.len());
            return Err(scope
                .error("path", message, format!("give it at most {MOST_POINTS} points"))
                .with_count("points", self.points.len())
                .with_count("most", MOST_POINTS));
        }
        let places = self.places(&scope)?;
        let mut pieces = Vec::with_capacity(places.len());
        for (place, next) in places.iter().zip(places.iter().cycle().skip(1)) {
            pieces.extend(place.piece(next.point)?);
        }
        for (before, after) in pieces.iter().cycle().skip(pieces.len().saturating_sub(1)).zip(&pieces) {
            let (incoming, outgoing) = (before.end_direction(), after.start_direction());
            if incoming.dot(outgoing) < 0.0 && incoming.cross(outgoing).abs() < SLIT_RAD {
                let at = after.start();
                let (x, y) = (scope.ruler().show(at.x), scope.ruler().show(at.y));
                let message = format!("the outline turns straight back at x {x}, y {y}");
                return Err(scope
                    .error("path", message, "leave an angle there, or remove the point")
                    .with_mm("x", at.x)
                    .with_mm("y", at.y));
            }
        }
        simple(Outline::new(pieces), &scope, "list the points in order round the opening, as you would cut them")
    }

    fn has_own_size(&self) -> bool {
        true
    }
}
