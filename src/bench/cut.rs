//! One straight cut on a hand cutter: the edge against the guide, the guide, and where the cut starts and ends.

use kurbo::{Line, Vec2};

use super::setup::Stop;
use super::{BoardEdge, Cutter, Facing, Guide, Scale, Setting, Setup};
use crate::length::Ruler;
use crate::mat::{BevelDirection, with_name};
use crate::tolerance::SAME_LENGTH_MM;

/// A straight cut along one side of an opening.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Cut {
    /// Number of the opening.
    pub opening: usize,
    /// What the framer calls the opening; may be empty.
    pub opening_name: String,
    /// Number of the side among the straight and curved pieces of the opening, counted from one.
    pub side: usize,
    /// What the side is called: `left`, or `side 3` where that is not enough.
    pub name: String,
    /// The line that the blade follows on the side of the board that lies up, in the frame of reference of the mat.
    pub line: Line,
    /// Which side of the board has the larger outline.
    pub direction: BevelDirection,
    /// Which side of the board lies up.
    pub facing: Facing,
    /// The edge of the board that lies against the guide; for an oblique side the edge that comes nearest to it.
    pub edge: BoardEdge,
    /// Whether the border, and not the opening, lies on the guide's side of the cut: the lean of the blade demands it.
    pub border_at_guide: bool,
    /// How the board is laid and the blade is led.
    pub course: CutMethod,
    /// How far in millimetres the mark on the head would go beyond the rail; zero where the rail is long enough.
    pub beyond_rail: f64,
}

/// How a straight cut is made.
#[derive(Debug, Clone, PartialEq)]
pub enum CutMethod {
    /// Along the rail, with an edge of the board parallel to it.
    Square {
        /// The distance from the edge to the cut.
        guide: DistanceSetting,
        /// Where the blade starts and ends.
        ends: Ends,
    },
    /// Along a pencil line that is oblique to all edges of the board.
    Oblique {
        /// Angle of the line, anticlockwise from level as seen from the back with the top up, in degrees from 0 to 180.
        angle_deg: f64,
        /// The two ends of the line on the back, in its direction seen from the front: distances from the left and the
        /// top edge.
        marks: [[Setting; 2]; 2],
        /// How far before and beyond these ends the mark on the head stands when the blade goes in or comes out, in
        /// millimetres; below zero where it stops short of them.
        beyond: [f64; 2],
    },
}

/// A distance that is set on a scale of the cutter or, beyond its reach, marked with a pencil.
#[derive(Debug, Clone, PartialEq)]
pub enum DistanceSetting {
    /// The number to set.
    Scale(Setting),
    /// The number to measure with a ruler; the cut is made to the pencil line.
    Pencil(Setting),
}

/// Where the blade starts and ends.
#[derive(Debug, Clone, PartialEq)]
pub enum Ends {
    /// The stops, each set to the distance from the edge of the board at its end, or both to that from the near edge (see
    /// [`StopsFrom`](super::StopsFrom)); or pencil marks, each at the distance from the edge at its end.
    Stops {
        /// The near stop.
        near: DistanceSetting,
        /// The far stop.
        far: DistanceSetting,
        /// Whether the far stop counts from the near edge.
        far_from_near: bool,
    },
    /// On a cutter without stops: along the scale of the rail, both from the edge of the board at the near end.
    Rail {
        /// Where the mark on the head stands at the near end of the cut.
        near: Setting,
        /// Where it stands at the far end.
        far: Setting,
    },
}

impl DistanceSetting {
    /// Returns the number.
    #[must_use]
    pub const fn setting(&self) -> &Setting {
        match self {
            Self::Scale(setting) | Self::Pencil(setting) => setting,
        }
    }

    /// Tells whether the distance is beyond the reach of the scale.
    #[must_use]
    pub const fn is_pencil(&self) -> bool {
        matches!(self, Self::Pencil(_))
    }

    /// Returns what the squaring arm is set to for a blank of a size in millimetres; beyond its reach the size itself, as
    /// a ruler reads it.
    pub(super) fn of_blank(cutter: &Cutter, size: f64, ruler: Ruler) -> Self {
        let setting = cutter.set_arm(size);
        if setting.within_reach { Self::Scale(setting) } else { Self::Pencil(measured(size, ruler)) }
    }

    /// Returns the number in marks of the scale; `None` with a pencil.
    fn marks(&self, ruler: Ruler) -> Option<i64> {
        match self {
            Self::Scale(setting) => Some((setting.number / ruler.mark()).round() as i64),
            Self::Pencil(_) => None,
        }
    }

    /// Returns how a stop stands that is set there: out of the way of a pencil mark.
    fn stop(&self, ruler: Ruler) -> Stop {
        self.marks(ruler).map_or(Stop::Away, Stop::At)
    }
}

/// Reads a distance in millimetres off a ruler.
pub(super) fn measured(distance: f64, ruler: Ruler) -> Setting {
    Scale::true_up_to(f64::INFINITY).set(distance, ruler)
}

impl Cut {
    /// Returns how the cutter is set for the cut; `lie` tells apart how boards lie, `blade` heads and depths.
    pub(super) fn setup(&self, cutter: &Cutter, lie: usize, blade: usize) -> Setup {
        let ruler = cutter.ruler;
        let unused = if cutter.stops.is_some() { Stop::Away } else { Stop::None };
        let free = Setup { guide: Guide::Off, stops: [unused; 2], lie, blade };
        let CutMethod::Square { guide, ends } = &self.course else { return free };
        let Some(guide) = guide.marks(ruler) else { return free };
        let stops = match ends {
            Ends::Stops { near, far, .. } => [near.stop(ruler), far.stop(ruler)],
            Ends::Rail { .. } => [unused; 2],
        };
        Setup { guide: Guide::At(guide), stops, ..free }
    }

    /// Returns the number and the name of the opening: `2 (Anna)`.
    #[must_use]
    pub fn opening_words(&self) -> String {
        with_name(self.opening, &self.opening_name)
    }

    /// Returns what lies on the guide's side of the cut: `border` or `opening`.
    #[must_use]
    pub const fn at_guide(&self) -> &'static str {
        if self.border_at_guide { "border" } else { "opening" }
    }

    /// Returns the direction from the cut square to the guide, as a unit vector in the frame of reference of the mat.
    #[must_use]
    pub fn toward_guide(&self) -> Vec2 {
        let along = (self.line.p1 - self.line.p0).normalize();
        let outward = Vec2::new(along.y, -along.x);
        if self.border_at_guide { outward } else { -outward }
    }

    /// Tells whether the cut is led along a pencil line, since no edge is parallel to it or the guide does not reach.
    #[must_use]
    pub const fn is_to_pencil_line(&self) -> bool {
        match &self.course {
            CutMethod::Square { guide, .. } => guide.is_pencil(),
            CutMethod::Oblique { .. } => true,
        }
    }

    /// Tells whether an end of the cut is at a pencil mark.
    #[must_use]
    pub const fn has_pencil_ends(&self) -> bool {
        match &self.course {
            CutMethod::Square { ends: Ends::Stops { near, far, .. }, .. } => near.is_pencil() || far.is_pencil(),
            CutMethod::Square { ends: Ends::Rail { .. }, .. } => false,
            CutMethod::Oblique { .. } => true,
        }
    }

    /// Tells whether the rail is too short for it.
    #[must_use]
    pub fn is_longer_than_rail(&self) -> bool {
        self.beyond_rail > SAME_LENGTH_MM
    }

    /// Returns how much farther from the edge against the guide than wanted the cut comes to lie, in millimetres, by the
    /// rounding to marks; zero for an oblique cut.
    #[must_use]
    pub fn line_error(&self) -> f64 {
        match &self.course {
            CutMethod::Square { guide, .. } => guide.setting().error(),
            CutMethod::Oblique { .. } => 0.0,
        }
    }

    /// Returns how much too far the blade runs at the near and at the far end, in millimetres, by the rounding to
    /// marks: above zero an overcut, below zero an undercut; zero for an oblique cut.
    #[must_use]
    pub fn end_errors(&self) -> [f64; 2] {
        match &self.course {
            CutMethod::Square { ends: Ends::Stops { near, far, far_from_near }, .. } => {
                let along = *far_from_near && !far.is_pencil();
                [-near.setting().error(), if along { far.setting().error() } else { -far.setting().error() }]
            }
            CutMethod::Square { ends: Ends::Rail { near, far }, .. } => [-near.error(), far.error()],
            CutMethod::Oblique { .. } => [0.0; 2],
        }
    }
}
