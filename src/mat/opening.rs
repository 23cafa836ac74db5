//! A window cut through one board.

use kurbo::{Point, Rect};

use super::{Bevel, Edge};
use crate::geometry::{OffsetError, Outline, Trimmed, TrimmedStretch};
use crate::tolerance::SAME_TURN_DEGREES;

/// A window cut through one board, placed on the mat (see the module's frame of reference).
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Opening {
    /// Number by which drawings and problems name it, counted from one; the same in every layer that repeats it.
    pub number: usize,
    /// What the framer calls it; empty if the job gives it no name.
    pub name: String,
    /// Name of its shape, as in a job file.
    pub shape: &'static str,
    /// How far it is turned clockwise about its middle, seen from the front, in degrees from 0 to 360.
    pub turn_deg: f64,
    /// Slope of its cut.
    pub bevel: Bevel,
    /// What the eye sees the art through: the smaller of the other two outlines.
    pub sight: Outline,
    /// Where it meets the face of the board.
    pub face: Outline,
    /// Where it meets the back of the board.
    pub back: Outline,
    /// What these outlines lack of the one that sizes are given for; empty where they lack nothing.
    pub trims: Vec<Trim>,
}

/// What an outline of an opening lacks of the outline that sizes are given for, since there is no room for it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Trim {
    /// Which of the outlines lacks it.
    pub edge: Edge,
    /// How far in millimetres the outline lies outside the one that sizes are given for; inside, if below zero.
    pub distance: f64,
    /// What it lacks.
    pub lost: Vec<TrimmedStretch>,
    /// Corners of the outline that sizes are given for, in the frame of reference of the mat, to which curves run on straight.
    pub straightened: Vec<Point>,
}

/// Distances in millimetres from the four edges of a board, seen from the front.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Borders {
    /// From the left edge.
    pub left: f64,
    /// From the right edge.
    pub right: f64,
    /// From the top edge.
    pub top: f64,
    /// From the bottom edge.
    pub bottom: f64,
}

/// Returns the number of an opening with its name, if it has one: `opening 2`, or `opening 2 (Anna)`.
#[must_use]
pub fn numbered(number: usize, name: &str) -> String {
    format!("opening {}", with_name(number, name))
}

/// Returns the number of an opening with its name, if it has one, for lists: `2`, or `2 (Anna)`.
#[must_use]
pub fn with_name(number: usize, name: &str) -> String {
    if name.is_empty() { number.to_string() } else { format!("{number} ({name})") }
}

impl Opening {
    /// Cuts an opening whose sight outline lies `outside` millimetres outside (inside, if below zero) of `base`.
    ///
    /// All three outlines are parallels of the one base, so that no rounding adds up over several layers; with `trims` they leave out
    /// what they have no room for.
    ///
    /// # Errors
    ///
    /// Returns an [`OffsetError`] if one of the outlines does not exist.
    pub fn around(
        base: &Outline,
        outside: f64,
        bevel: Bevel,
        thickness: f64,
        number: usize,
        shape: &'static str,
        trims: bool,
    ) -> Result<Self, OffsetError> {
        let mut lacking = Vec::new();
        let mut at = |edge: Edge, distance: f64| {
            let Trimmed { outline, lost, straightened } = base.parallel(distance, trims)?;
            if !(lost.is_empty() && straightened.is_empty()) {
                lacking.push(Trim { edge, distance, lost, straightened });
            }
            Ok(outline)
        };
        let sight = at(Edge::Sight, outside)?;
        let mut beyond = |edge: Edge| match bevel.outside_sight(edge, thickness) {
            0.0 => Ok(sight.clone()),
            width => at(edge, outside + width),
        };
        let (face, back) = (beyond(Edge::Face)?, beyond(Edge::Back)?);
        Ok(Self { number, name: String::new(), shape, turn_deg: 0.0, bevel, sight, face, back, trims: lacking })
    }

    /// Returns its number and name in words: `opening 2`, or `opening 2 (Anna)`.
    #[must_use]
    pub fn title(&self) -> String {
        numbered(self.number, &self.name)
    }

    /// Returns by how many whole quarters it is turned; `None` if it is turned by anything else.
    #[must_use]
    pub fn quarter_turns(&self) -> Option<u32> {
        quarters(self.turn_deg)
    }

    /// Returns one of the three outlines.
    #[must_use]
    pub fn outline(&self, edge: Edge) -> &Outline {
        match edge {
            Edge::Sight => &self.sight,
            Edge::Face => &self.face,
            Edge::Back => &self.back,
        }
    }

    /// Returns the borders between the sight outline and the edges of a board.
    #[must_use]
    pub fn borders(&self, board: Rect) -> Borders {
        Borders::around(self.sight.bounds(), board)
    }
}

/// Returns how many whole quarters a turn of some degrees from 0 to 360 is; `None` if it is none.
pub(crate) fn quarters(turn_deg: f64) -> Option<u32> {
    [0, 1, 2, 3].into_iter().find(|&quarters| (turn_deg - 90.0 * f64::from(quarters)).abs() < SAME_TURN_DEGREES)
}

impl Borders {
    /// Returns the distances of a rectangle from the edges of a board round it.
    #[must_use]
    pub fn around(inner: Rect, board: Rect) -> Self {
        Self {
            left: inner.x0 - board.x0,
            right: board.x1 - inner.x1,
            top: inner.y0 - board.y0,
            bottom: board.y1 - inner.y1,
        }
    }
}
