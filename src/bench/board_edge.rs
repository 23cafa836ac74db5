//! The four edges of a board, and how the board lies when one of them is against the guide.

use kurbo::{Point, Rect, Vec2};
use serde::Serialize;

use super::{End, RailSide};

/// An edge of a board, named as seen from the front, as the mat hangs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum BoardEdge {
    /// The left edge, which lies on the right when the board is seen from the back.
    Left,
    /// The top edge.
    Top,
    /// The right edge, which lies on the left when the board is seen from the back.
    Right,
    /// The bottom edge.
    Bottom,
}

/// Which way the face of a board looks while it is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Facing {
    /// The back lies up, as usual.
    #[default]
    Down,
    /// The face lies up: a blade that always leans one way cuts the other bevel.
    Up,
}

impl Facing {
    /// Returns the word for it: `down` or `up`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Down => "down",
            Self::Up => "up",
        }
    }
}

impl BoardEdge {
    /// Every edge, clockwise as seen from the front.
    pub const ALL: [Self; 4] = [Self::Left, Self::Top, Self::Right, Self::Bottom];

    /// Every edge in the order in which borders are listed.
    pub const LEFT_RIGHT_TOP_BOTTOM: [Self; 4] = [Self::Left, Self::Right, Self::Top, Self::Bottom];

    /// Returns the direction out of the board across this edge, as a unit vector in the frame of the mat.
    #[must_use]
    pub const fn outward(self) -> Vec2 {
        match self {
            Self::Left => Vec2::new(-1.0, 0.0),
            Self::Top => Vec2::new(0.0, -1.0),
            Self::Right => Vec2::new(1.0, 0.0),
            Self::Bottom => Vec2::new(0.0, 1.0),
        }
    }

    /// Returns the word for it: `left`, `top`, `right` or `bottom`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Top => "top",
            Self::Right => "right",
            Self::Bottom => "bottom",
        }
    }

    /// Returns the edge on the other side of the board.
    #[must_use]
    pub const fn opposite(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Top => Self::Bottom,
            Self::Right => Self::Left,
            Self::Bottom => Self::Top,
        }
    }

    /// Returns the edge that follows clockwise as seen from the front.
    const fn next(self) -> Self {
        match self {
            Self::Left => Self::Top,
            Self::Top => Self::Right,
            Self::Right => Self::Bottom,
            Self::Bottom => Self::Left,
        }
    }

    /// Returns the edge that a direction in the frame of the mat points at squarely; `None` for an oblique one.
    #[must_use]
    pub fn toward(direction: Vec2) -> Option<Self> {
        let level = direction.y.abs() <= crate::tolerance::SAME_DIRECTION_RAD * direction.x.abs();
        let upright = direction.x.abs() <= crate::tolerance::SAME_DIRECTION_RAD * direction.y.abs();
        match (level, upright) {
            (true, false) => Some(if direction.x > 0.0 { Self::Right } else { Self::Left }),
            (false, true) => Some(if direction.y > 0.0 { Self::Bottom } else { Self::Top }),
            _ => None,
        }
    }

    /// Returns the edge that a direction in the frame of the mat points at most squarely.
    pub(super) fn nearest_to(direction: Vec2) -> Self {
        if direction.x.abs() >= direction.y.abs() {
            if direction.x > 0.0 { Self::Right } else { Self::Left }
        } else if direction.y > 0.0 {
            Self::Bottom
        } else {
            Self::Top
        }
    }

    /// Returns how far a point lies from this edge of a board, in millimetres.
    #[must_use]
    pub fn distance(self, board: Rect, point: Point) -> f64 {
        match self {
            Self::Left => point.x - board.x0,
            Self::Top => point.y - board.y0,
            Self::Right => board.x1 - point.x,
            Self::Bottom => board.y1 - point.y,
        }
    }

    /// Returns how long this edge of a board is, in millimetres.
    #[must_use]
    pub fn length(self, board: Rect) -> f64 {
        match self {
            Self::Left | Self::Right => board.height(),
            Self::Top | Self::Bottom => board.width(),
        }
    }

    /// Returns the edge at an end of the rail while this edge of a board is against the guide.
    ///
    /// Seen from the back the edges follow each other anticlockwise. With the guide on the left hand and the back up the
    /// edge that follows anticlockwise is the one at the near end.
    #[must_use]
    pub const fn at_end(self, end: End, guide: RailSide, facing: Facing) -> Self {
        let following = match (end, guide) {
            (End::Near, RailSide::Left) | (End::Far, RailSide::Right) => self.next(),
            (End::Far, RailSide::Left) | (End::Near, RailSide::Right) => self.next().opposite(),
        };
        match facing {
            Facing::Down => following,
            Facing::Up => following.opposite(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{BoardEdge, Facing};
    use crate::bench::{End, RailSide};

    #[test]
    fn the_ends_are_those_of_a_board_that_lies_face_down() {
        let at = |edge: BoardEdge, end, guide| edge.at_end(end, guide, Facing::Down);
        // Seen from the back with the top up, the right edge of the front lies on the left: against the guide.
        assert_eq!(at(BoardEdge::Right, End::Far, RailSide::Left), BoardEdge::Top);
        assert_eq!(at(BoardEdge::Right, End::Near, RailSide::Left), BoardEdge::Bottom);
        // Turned by half a turn, the left edge comes to the guide and the bottom to the far end.
        assert_eq!(at(BoardEdge::Left, End::Far, RailSide::Left), BoardEdge::Bottom);
        // Turned a quarter anticlockwise from there on, the top edge comes to the guide.
        assert_eq!(at(BoardEdge::Top, End::Far, RailSide::Left), BoardEdge::Left);
        assert_eq!(at(BoardEdge::Bottom, End::Near, RailSide::Left), BoardEdge::Left);
        // A guide on the right hand changes the ends, and so does the face up.
        assert_eq!(at(BoardEdge::Left, End::Far, RailSide::Right), BoardEdge::Top);
        assert_eq!(BoardEdge::Left.at_end(End::Far, RailSide::Left, Facing::Up), BoardEdge::Top);
    }
}
