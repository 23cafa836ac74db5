//! One size of a mat.

use kurbo::{Point, Rect};
use serde::{Serialize, Serializer};

use crate::mat::Edge;
use crate::problem::KeyPath;

/// A size of a mat and where it stands on a drawing of it.
///
/// Points are in millimetres on the mat as it hangs: the origin is its top left corner, x runs to the right and y down.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Dimension {
    /// A name that is the same for the same size of the same job, for example `border-left` or `opening-2-width`: lower case
    /// words and numbers joined by hyphens.
    pub id: String,
    /// What is measured.
    pub kind: DimensionKind,
    /// Where it begins: the left or the upper end.
    #[serde(serialize_with = "as_pair")]
    #[cfg_attr(feature = "schema", schemars(with = "[f64; 2]"))]
    pub from: Point,
    /// Where it ends.
    #[serde(serialize_with = "as_pair")]
    #[cfg_attr(feature = "schema", schemars(with = "[f64; 2]"))]
    pub to: Point,
    /// The middle of the place where its figure belongs.
    #[serde(serialize_with = "as_pair")]
    #[cfg_attr(feature = "schema", schemars(with = "[f64; 2]"))]
    pub figure: Point,
    /// The size in millimetres.
    #[serde(serialize_with = "as_tidy")]
    pub mm: f64,
    /// The size as the framer reads it on the ruler of the job.
    pub text: String,
    /// The key of the job that sets it, or that of the table whose keys do.
    #[serde(serialize_with = "as_text")]
    #[cfg_attr(feature = "schema", schemars(with = "String"))]
    pub key: KeyPath,
    /// Where the number comes from.
    pub source: DimensionSource,
}

/// What a [`Dimension`] measures. It is written as the [`Dimension::id`].
///
/// Boards are counted from the top, the top one being 1; openings by their numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case", tag = "what")]
#[non_exhaustive]
pub enum DimensionKind {
    /// Width or height of the mat.
    Outer {
        /// Which of the two.
        axis: Axis,
    },
    /// Width or height of a board that is smaller than the mat.
    Board {
        /// Which of the two.
        axis: Axis,
        /// Which board.
        board: usize,
    },
    /// Width or height of the rabbet of the frame.
    Rabbet {
        /// Which of the two.
        axis: Axis,
    },
    /// Width or height of what is seen inside the frame.
    FrameSight {
        /// Which of the two.
        axis: Axis,
    },
    /// Width or height of the outside of the frame.
    FrameOutside {
        /// Which of the two.
        axis: Axis,
    },
    /// How far the lip of the frame reaches over the rabbet, on its left.
    Lip,
    /// The width of the moulding of the frame, on its left.
    Moulding,
    /// From the edge of the mat to the openings of a group, or to one that is placed by hand.
    Border {
        /// Which of the four.
        side: Side,
        /// The opening, if it is one placed by hand.
        opening: Option<usize>,
        /// The top board of those that the openings are cut through.
        board: usize,
    },
    /// Width or height of an opening, to the outline that the sizes of the job refer to.
    Opening {
        /// Which of the two.
        axis: Axis,
        /// Number of the opening.
        opening: usize,
    },
    /// Width or height of the work behind an opening.
    Art {
        /// Which of the two.
        axis: Axis,
        /// Number of the opening.
        opening: usize,
    },
    /// How far the work reaches beyond the sight opening on one side; below zero where paper shows.
    Overlap {
        /// Which of the four, of the work before it is turned.
        side: Side,
        /// Number of the opening.
        opening: usize,
    },
    /// The strip between two openings beside or above each other.
    Bar {
        /// Along x for one between openings beside each other.
        axis: Axis,
        /// Numbers of the two openings.
        between: [usize; 2],
        /// The top board of those that the openings are cut through.
        board: usize,
    },
    /// How far a lower board shows inside the one above, as the job measures it.
    Reveal {
        /// Which board.
        board: usize,
    },
    /// Width or height of the sight opening in one board.
    Sight {
        /// Which of the two.
        axis: Axis,
        /// Number of the opening.
        opening: usize,
        /// Which board.
        board: usize,
    },
    /// From the edge of one board to the sight opening, or to all sight openings of the board together.
    SightBorder {
        /// Which of the four.
        side: Side,
        /// Number of the opening; none for all of them together.
        opening: Option<usize>,
        /// Which board.
        board: usize,
    },
    /// From the edge of one board to the line that is cut on its back.
    CutBorder {
        /// Which of the four, as the mat hangs.
        side: Side,
        /// Number of the opening.
        opening: usize,
        /// Which board.
        board: usize,
    },
    /// The strip between two sight openings of one board.
    SightBar {
        /// Along x for one between openings beside each other.
        axis: Axis,
        /// Numbers of the two openings.
        between: [usize; 2],
        /// Which board.
        board: usize,
    },
    /// Width or height of all sight openings of one board together.
    SightGroup {
        /// Which of the two.
        axis: Axis,
        /// Which board.
        board: usize,
    },
    /// Between two neighbouring edges in the section through the left side of an opening: the width of a bevel, or of a strip
    /// of a lower board.
    Section {
        /// Board and edge on the left.
        from: (usize, Edge),
        /// Board and edge on the right.
        to: (usize, Edge),
    },
}

/// A direction on the mat as it hangs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Axis {
    /// From left to right.
    Width,
    /// From the top down.
    Height,
}

/// A side of the mat as it hangs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Side {
    /// The left side.
    Left,
    /// The right side.
    Right,
    /// The top.
    Top,
    /// The bottom.
    Bottom,
}

/// Where the number of a [`Dimension`] comes from. In JSON an object with `what`, and with `key` if it is given.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case", tag = "what", content = "key")]
#[non_exhaustive]
pub enum DimensionSource {
    /// The job gives it, at this path: that of the dimension itself, or one for several, such as `border.all`.
    Given(
        #[serde(serialize_with = "as_text")]
        #[cfg_attr(feature = "schema", schemars(with = "String"))]
        KeyPath,
    ),
    /// The job says nothing, and the shop file gives it, at this path of the job.
    Shop(
        #[serde(serialize_with = "as_text")]
        #[cfg_attr(feature = "schema", schemars(with = "String"))]
        KeyPath,
    ),
    /// The job says nothing, and the usual value is taken.
    Default,
    /// It follows from other numbers.
    WorkedOut,
}

impl Axis {
    /// Both directions, in the order in which sizes name them.
    pub const ALL: [Self; 2] = [Self::Width, Self::Height];

    /// Returns the other one.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Width => Self::Height,
            Self::Height => Self::Width,
        }
    }

    /// Returns the coordinate of a point in this direction.
    pub(crate) const fn of(self, point: Point) -> f64 {
        match self {
            Self::Width => point.x,
            Self::Height => point.y,
        }
    }

    pub(super) const fn index(self) -> usize {
        match self {
            Self::Width => 0,
            Self::Height => 1,
        }
    }

    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Width => "width",
            Self::Height => "height",
        }
    }

    /// Returns the ends of a rectangle in this direction, halfway up or across.
    pub(super) fn ends(self, rect: Rect) -> [Point; 2] {
        let middle = rect.center();
        match self {
            Self::Width => [Point::new(rect.x0, middle.y), Point::new(rect.x1, middle.y)],
            Self::Height => [Point::new(middle.x, rect.y0), Point::new(middle.x, rect.y1)],
        }
    }
}

impl Side {
    /// The four sides, in the order in which borders are listed.
    pub const ALL: [Self; 4] = [Self::Left, Self::Right, Self::Top, Self::Bottom];

    /// Returns the side that this one comes to lie on when the mat is turned clockwise by quarters.
    #[must_use]
    pub fn turned(self, quarters: u32) -> Self {
        (0..quarters % 4).fold(self, |side, _| match side {
            Self::Left => Self::Top,
            Self::Top => Self::Right,
            Self::Right => Self::Bottom,
            Self::Bottom => Self::Left,
        })
    }

    /// Returns the direction in which distances from this side are measured.
    #[must_use]
    pub const fn axis(self) -> Axis {
        match self {
            Self::Left | Self::Right => Axis::Width,
            Self::Top | Self::Bottom => Axis::Height,
        }
    }

    /// Returns its name as in a job: `left`, `right`, `top` or `bottom`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
            Self::Top => "top",
            Self::Bottom => "bottom",
        }
    }

    /// Returns the ends of the distance between this side of a rectangle and of one round it, the left or upper one first.
    pub(super) fn between(self, inner: Rect, outer: Rect) -> [Point; 2] {
        let middle = inner.center();
        match self {
            Self::Left => [Point::new(outer.x0, middle.y), Point::new(inner.x0, middle.y)],
            Self::Right => [Point::new(inner.x1, middle.y), Point::new(outer.x1, middle.y)],
            Self::Top => [Point::new(middle.x, outer.y0), Point::new(middle.x, inner.y0)],
            Self::Bottom => [Point::new(middle.x, inner.y1), Point::new(middle.x, outer.y1)],
        }
    }
}

fn as_pair<S: Serializer>(point: &Point, serializer: S) -> Result<S::Ok, S::Error> {
    [tidy(point.x), tidy(point.y)].serialize(serializer)
}

fn as_tidy<S: Serializer>(mm: &f64, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_f64(tidy(*mm))
}

/// Rounds to a billionth, so that sums of exact lengths are written without the dust of `f64`.
fn tidy(mm: f64) -> f64 {
    (mm * 1e9).round() / 1e9 + 0.0
}

fn as_text<S: Serializer>(path: &KeyPath, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(path)
}
