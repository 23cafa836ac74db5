//! Why an outline has no parallel at some distance.

use std::fmt;

use kurbo::Point;

/// Why an outline cannot be moved sideways by a distance. All lengths are millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum OffsetError {
    /// An arc would need a radius of curvature below zero.
    ArcVanishes {
        /// Index of the arc among the pieces of the outline.
        piece: usize,
        /// Where the arc is bent most.
        at: Point,
        /// Its smallest radius of curvature: the distance must stay below it.
        radius: f64,
    },
    /// A side would shrink to nothing because its neighbours close in on it.
    SideVanishes {
        /// Index of the side among the pieces of the outline.
        piece: usize,
        /// The middle of the side.
        at: Point,
        /// Length of the side.
        length: f64,
    },
    /// Two pieces that meet in a corner no longer meet, or only touch and turn straight back, or meet much too far away.
    CornerOpens {
        /// The corner.
        at: Point,
    },
    /// The moved outline crosses itself.
    Crosses {
        /// A place where it does.
        at: Point,
    },
    /// The distance is not a finite number, or the moved outline has numbers that are not.
    NotFinite {
        /// Where the outline starts.
        at: Point,
    },
    /// Nothing of what the outline encloses is left.
    NothingLeft {
        /// The middle of the outline.
        at: Point,
    },
    /// What the moved outline would enclose falls into several parts.
    FallsApart {
        /// The place where they part.
        at: Point,
    },
    /// The moved outline would close round a part of what it does not enclose.
    ClosesRound {
        /// The middle of that part.
        at: Point,
    },
}

impl OffsetError {
    /// Returns the place in the unmoved outline (in the moved one where that crosses itself, falls apart or closes), in millimetres.
    #[must_use]
    pub fn place(&self) -> Point {
        match *self {
            Self::ArcVanishes { at, .. }
            | Self::SideVanishes { at, .. }
            | Self::CornerOpens { at }
            | Self::Crosses { at }
            | Self::NotFinite { at }
            | Self::NothingLeft { at }
            | Self::FallsApart { at }
            | Self::ClosesRound { at } => at,
        }
    }
}

impl OffsetError {
    /// Returns its numbers with their names, in millimetres.
    pub(crate) fn numbers(&self) -> Vec<(&'static str, f64)> {
        let Point { x, y } = self.place();
        let place = [("x", x), ("y", y)];
        match *self {
            Self::ArcVanishes { radius, .. } => place.into_iter().chain([("radius", radius)]).collect(),
            Self::SideVanishes { length, .. } => place.into_iter().chain([("side", length)]).collect(),
            Self::NotFinite { .. } => Vec::new(),
            _ => place.to_vec(),
        }
    }
}

impl fmt::Display for OffsetError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Point { x, y } = self.place();
        match self {
            Self::ArcVanishes { radius, .. } => {
                write!(f, "the curve at ({x:.3}, {y:.3}) mm has a radius of only {radius:.3} mm")
            }
            Self::SideVanishes { length, .. } => {
                write!(f, "the side at ({x:.3}, {y:.3}) mm is only {length:.3} mm long and would vanish")
            }
            Self::CornerOpens { .. } => write!(f, "the sides that meet at ({x:.3}, {y:.3}) mm would no longer meet"),
            Self::Crosses { .. } => write!(f, "the moved outline would cross itself at ({x:.3}, {y:.3}) mm"),
            Self::NotFinite { .. } => f.write_str("the distance is not a finite number"),
            Self::NothingLeft { .. } => write!(f, "nothing is left of the outline round ({x:.3}, {y:.3}) mm"),
            Self::FallsApart { .. } => write!(f, "the moved outline would fall apart at ({x:.3}, {y:.3}) mm"),
            Self::ClosesRound { .. } => write!(f, "the moved outline would close round ({x:.3}, {y:.3}) mm"),
        }
    }
}

impl std::error::Error for OffsetError {}
