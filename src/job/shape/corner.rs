//! The corners of a rectangle: square, rounded, clipped, scooped or stepped.

use std::f64::consts::{FRAC_PI_2, PI};

use kurbo::{Line, Point, Size, Vec2};
use serde::{Deserialize, Serialize};

use crate::geometry::{Arc, Segment};
#[cfg(feature = "schema")]
use crate::job::short::ShortOr;
use crate::job::short::{self, Short};
use crate::job::{Measure, Scope, SizeMeasure};
use crate::problem::Problem;

/// One kind of corner for all four, and others for single ones.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Corners {
    /// Every corner that is not named.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub all: Option<Corner>,
    /// At the top left, seen from the front.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub top_left: Option<Corner>,
    /// At the top right.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub top_right: Option<Corner>,
    /// At the bottom right.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bottom_right: Option<Corner>,
    /// At the bottom left.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bottom_left: Option<Corner>,
}

/// How one corner is worked.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Corner {
    /// As it is.
    #[default]
    Square,
    /// A quarter of a circle of this radius that touches both sides.
    Rounded(Measure),
    /// Cut straight across: so far along the level side, then along the upright one; one length for both.
    Clipped(SizeMeasure),
    /// A quarter of a circle of this radius round the corner itself, hollowed out of the opening.
    Scooped(Measure),
    /// Square notches.
    Stepped(
        #[serde(deserialize_with = "short::one")]
        #[cfg_attr(feature = "schema", schemars(with = "ShortOr<SizeMeasure, Steps>"))]
        Steps,
    ),
}

/// The notches of a stepped corner.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Steps {
    /// Width and height of each notch; one length for both.
    pub step: SizeMeasure,
    /// How many notches; one if it is left out.
    #[serde(default = "one_step")]
    pub count: u32,
}

impl Steps {
    /// Makes a single notch of a size.
    #[must_use]
    pub fn new(step: impl Into<SizeMeasure>) -> Self {
        Self { step: step.into(), count: one_step() }
    }
}

const fn one_step() -> u32 {
    1
}

/// More steps than this at one corner are taken for a slip of the pen.
const MOST_STEPS: u32 = 100;

impl Short for Steps {
    type Form = SizeMeasure;
    const TAKES_LIST: bool = true;
    const EXPECTED: &'static str = "a length, a width and a height, or a table with `step` and `count`";

    fn from_short(step: SizeMeasure) -> Self {
        Self { step, count: one_step() }
    }
}

impl Corners {
    /// Reads the four corners clockwise from the top left.
    pub(super) fn worked(&self, scope: &Scope) -> Result<[WorkedCorner; 4], Problem> {
        let read = |key: &'static str, own: &Option<Corner>| match (own, &self.all) {
            (Some(own), _) => own.worked(&scope.key(key)),
            (None, Some(all)) => all.worked(&scope.key("all")),
            (None, None) => Ok(WorkedCorner::SQUARE),
        };
        Ok([
            read("top_left", &self.top_left)?,
            read("top_right", &self.top_right)?,
            read("bottom_right", &self.bottom_right)?,
            read("bottom_left", &self.bottom_left)?,
        ])
    }
}

impl Corner {
    fn worked(&self, scope: &Scope) -> Result<WorkedCorner, Problem> {
        let (kind, size) = match self {
            Self::Square => return Ok(WorkedCorner::SQUARE),
            Self::Rounded(radius) => (CornerKind::Rounded, square(scope.key("rounded").mm(radius)?)),
            Self::Scooped(radius) => (CornerKind::Scooped, square(scope.key("scooped").mm(radius)?)),
            Self::Clipped(size) => (CornerKind::Clipped, scope.key("clipped").size(size)?),
            Self::Stepped(Steps { step, count }) => {
                let scope = scope.key("stepped");
                if !(1..=MOST_STEPS).contains(count) {
                    let message = format!("a corner cannot have {count} steps");
                    return Err(scope
                        .key("count")
                        .error("corner", message, format!("give it 1 to {MOST_STEPS}"))
                        .with_count("steps", *count as usize)
                        .with_count("most", MOST_STEPS as usize));
                }
                // In its short form the size stands for the whole table; the reader falls back to that.
                (CornerKind::Stepped { count: *count }, scope.key("step").size(step)? * f64::from(*count))
            }
        };
        Ok(if size.width > 0.0 { WorkedCorner { kind, size } } else { WorkedCorner::SQUARE })
    }
}

const fn square(side: f64) -> Size {
    Size::new(side, side)
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum CornerKind {
    Square,
    Rounded,
    Clipped,
    Scooped,
    Stepped { count: u32 },
}

/// A corner with what it takes of the level and of the upright side, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct WorkedCorner {
    kind: CornerKind,
    pub(super) size: Size,
}

impl WorkedCorner {
    const SQUARE: Self = Self { kind: CornerKind::Square, size: Size::ZERO };

    /// Tells whether the corner leaves its sides at a right angle into the opening, so that two that meet leave a slit.
    pub(super) const fn goes_inwards(&self) -> bool {
        matches!(self.kind, CornerKind::Scooped | CornerKind::Stepped { .. })
    }

    /// Returns the pieces of the corner at `corner`, travelled clockwise; `quarter` counts the corners from the top right.
    ///
    /// Returns no piece for a square corner, and where the corner starts and ends.
    pub(super) fn pieces(&self, corner: Point, quarter: u32) -> (Point, Vec<Segment>, Point) {
        let level = quarter.is_multiple_of(2);
        // What lies before the corner along its one side, and after it along the other.
        let (before, after) =
            if level { (self.size.width, self.size.height) } else { (self.size.height, self.size.width) };
        let [incoming, outgoing] = [quarter, quarter + 1].map(quarter_direction);
        let (start, end) = (corner - incoming * before, corner + outgoing * after);
        let heading = f64::from(quarter) * FRAC_PI_2;
        let pieces = match self.kind {
            CornerKind::Square => Vec::new(),
            CornerKind::Clipped => vec![Segment::Line(Line::new(start, end))],
            CornerKind::Rounded => {
                let center = start + outgoing * after;
                vec![Segment::Arc(Arc::circular(center, before, heading - FRAC_PI_2, FRAC_PI_2))]
            }
            CornerKind::Scooped => vec![Segment::Arc(Arc::circular(corner, before, heading + PI, -FRAC_PI_2))],
            CornerKind::Stepped { count } => {
                let steps = f64::from(count);
                let at = |down: u32, along: u32| {
                    start
                        + outgoing * (after * f64::from(down) / steps)
                        + incoming * (before * f64::from(along) / steps)
                };
                let step = |k: u32| [Line::new(at(k, k), at(k + 1, k)), Line::new(at(k + 1, k), at(k + 1, k + 1))];
                (0..count).flat_map(step).map(Segment::Line).collect()
            }
        };
        (start, pieces, end)
    }
}

/// Returns the direction in which a rectangle is travelled after a number of quarter turns from its upper side.
fn quarter_direction(quarter: u32) -> Vec2 {
    match quarter % 4 {
        0 => Vec2::new(1.0, 0.0),
        1 => Vec2::new(0.0, 1.0),
        2 => Vec2::new(-1.0, 0.0),
        _ => Vec2::new(0.0, -1.0),
    }
}
