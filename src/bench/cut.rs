//! One straight cut on a hand cutter: the edge against the guide, the guide, and where the cut starts and ends.

use kurbo::{Line, Point, Rect, Vec2};

use super::{BoardEdge, Cutter, End, Lean, Scale, Setting, Setup, Side};
use crate::geometry::Segment;
use crate::length::Ruler;
use crate::mat::{Direction, over_run};

/// A straight cut along one side of an opening.
#[derive(Debug, Clone, PartialEq)]
pub struct Cut {
    /// Number of the opening.
    pub opening: usize,
    /// Number of the side among the straight and curved pieces of the opening, counted from one.
    pub side: usize,
    /// What the side is called: `left`, or `side 3` where that is not enough.
    pub name: String,
    /// The line that the blade follows on the back, in the frame of reference of the mat.
    pub line: Line,
    /// Which side of the board has the larger outline.
    pub direction: Direction,
    /// The edge of the board that lies against the guide; for an oblique side the edge that comes nearest to it.
    pub edge: BoardEdge,
    /// Whether the border, and not the opening, lies on the guide's side of the cut: the lean of the blade demands it.
    pub border_at_guide: bool,
    /// How the board is laid and the blade is led.
    pub course: Course,
}

/// How a straight cut is made.
#[derive(Debug, Clone, PartialEq)]
pub enum Course {
    /// Along the rail, with an edge of the board parallel to it.
    Square {
        /// The distance from the edge to the cut.
        guide: Place,
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
pub enum Place {
    /// The number to set.
    Scale(Setting),
    /// The number to measure with a ruler; the cut is made to the pencil line.
    Pencil(Setting),
}

/// Where the blade starts and ends.
#[derive(Debug, Clone, PartialEq)]
pub enum Ends {
    /// The stops, each set to the distance from the edge of the board at its end; or pencil marks at that distance.
    Stops {
        /// The near stop.
        near: Place,
        /// The far stop.
        far: Place,
    },
    /// On a cutter without stops: along the scale of the rail, both from the edge of the board at the near end.
    Rail {
        /// Where the mark on the head stands at the near end of the cut.
        near: Setting,
        /// Where it stands at the far end.
        far: Setting,
    },
}

/// What all cuts of one opening share.
#[derive(Debug, Clone, Copy)]
pub(super) struct Opened<'a> {
    pub(super) cutter: &'a Cutter,
    /// Ruler for what is measured with a pencil.
    pub(super) ruler: Ruler,
    /// The board whose edges lie against the guide.
    pub(super) board: Rect,
    pub(super) direction: Direction,
    /// How far outside the back outline the cuts have to meet, in millimetres.
    pub(super) over: f64,
}

impl Place {
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

    /// Takes what a scale says, or a ruler where the scale does not reach.
    fn new(setting: Setting, ruler: Ruler) -> Self {
        if setting.within_reach { Self::Scale(setting) } else { Self::Pencil(measured(setting.wanted, ruler)) }
    }

    /// Returns the number in marks of the scale; `None` with a pencil.
    fn marks(&self, ruler: Ruler) -> Option<i64> {
        match self {
            Self::Scale(setting) => {
                Some((setting.number / ruler.unit().millimetres() * f64::from(ruler.parts())).round() as i64)
            }
            Self::Pencil(_) => None,
        }
    }
}

/// Reads a distance in millimetres off a ruler.
pub(super) fn measured(distance: f64, ruler: Ruler) -> Setting {
    Scale::true_up_to(f64::INFINITY).set(distance, ruler)
}

impl Cut {
    /// Works out the cut along a straight piece between the pieces before and after it.
    pub(super) fn new(opened: &Opened<'_>, [before, piece, after]: [&Segment; 3], line: Line) -> Self {
        let along = piece.start_direction();
        let outward = Vec2::new(along.y, -along.x);
        let beyond = [(before, piece), (piece, after)]
            .map(|(before, after)| over_run::beyond(over_run::turn(before, after), opened.over));
        let facing = BoardEdge::nearest_to(outward);
        let border_at_guide = opened.border_at_guide();
        let edge = if border_at_guide { facing } else { facing.opposite() };
        let course = match BoardEdge::toward(outward) {
            Some(_) => opened.square(edge, line, beyond),
            None => opened.oblique(line, along, beyond),
        };
        Self {
            opening: 0,
            side: 0,
            name: String::new(),
            line,
            direction: opened.direction,
            edge,
            border_at_guide,
            course,
        }
    }

    /// Returns the setup for the cut; `lie` tells apart how boards lie. `None` for a cut to a pencil line.
    pub(super) fn setup(&self, cutter: &Cutter, lie: usize) -> Option<Setup> {
        match &self.course {
            Course::Square { guide, ends } => {
                let guide = Some(guide.marks(cutter.ruler)?);
                let stops = match ends {
                    Ends::Stops { near, far } => [near.marks(cutter.ruler), far.marks(cutter.ruler)],
                    Ends::Rail { .. } => [None; 2],
                };
                Some(Setup { guide, stops, lie })
            }
            Course::Oblique { .. } => None,
        }
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
            Course::Square { guide, .. } => guide.is_pencil(),
            Course::Oblique { .. } => true,
        }
    }

    /// Returns how much farther from the edge against the guide than wanted the cut comes to lie, in millimetres, by the
    /// rounding to marks; zero for an oblique cut.
    #[must_use]
    pub fn line_error(&self) -> f64 {
        match &self.course {
            Course::Square { guide, .. } => guide.setting().error(),
            Course::Oblique { .. } => 0.0,
        }
    }

    /// Returns how much too far the blade runs at the near and at the far end, in millimetres, by the rounding to
    /// marks: above zero an overcut, below zero an undercut; zero for an oblique cut.
    #[must_use]
    pub fn end_errors(&self) -> [f64; 2] {
        match &self.course {
            Course::Square { ends: Ends::Stops { near, far }, .. } => [-near.setting().error(), -far.setting().error()],
            Course::Square { ends: Ends::Rail { near, far }, .. } => [-near.error(), far.error()],
            Course::Oblique { .. } => [0.0; 2],
        }
    }
}

impl Opened<'_> {
    /// Tells whether the border, and not the opening, lies between the cut and the guide. A straight cut has no lean, and
    /// its border is the shorter distance.
    fn border_at_guide(&self) -> bool {
        match self.direction {
            Direction::Straight => true,
            Direction::Standard => self.cutter.lean == Lean::TowardGuide,
            Direction::Reverse => self.cutter.lean == Lean::AwayFromGuide,
        }
    }

    /// Returns the end of the rail at which the first point of a side lies.
    ///
    /// An outline runs clockwise as seen from the front, anticlockwise as seen from the back: with the border on the
    /// left hand it comes toward the framer.
    fn first_end(&self) -> End {
        if self.border_at_guide() == (self.cutter.guide_side == Side::Left) { End::Far } else { End::Near }
    }

    fn square(&self, edge: BoardEdge, line: Line, beyond: [f64; 2]) -> Course {
        let guide = Place::new(self.cutter.set_guide(edge.distance(self.board, line.p0)), self.ruler);
        // Distance of the end of the cut from the edge at that end of the rail.
        let end_of_cut = |end: End| {
            let [first, last] = beyond;
            let (point, beyond) = if end == self.first_end() { (line.p0, first) } else { (line.p1, last) };
            edge.at_end(end, self.cutter.guide_side).distance(self.board, point) - beyond
        };
        let (near, far) = (end_of_cut(End::Near), end_of_cut(End::Far));
        let marked = |end: End, at: f64| Place::Pencil(measured(self.cutter.mark(end, at), self.ruler));
        let ends = match (self.cutter.set_stop(End::Near, near), self.cutter.set_stop(End::Far, far)) {
            // A board that no fence holds is not where the stops and the scale of the rail expect it.
            _ if guide.is_pencil() => Ends::Stops { near: marked(End::Near, near), far: marked(End::Far, far) },
            (Some(near), Some(far)) => {
                Ends::Stops { near: Place::new(near, self.ruler), far: Place::new(far, self.ruler) }
            }
            _ => {
                let far = edge.length(self.board) - self.cutter.mark(End::Far, far);
                let near = self.cutter.mark(End::Near, near);
                Ends::Rail { near: measured(near, self.cutter.ruler), far: measured(far, self.cutter.ruler) }
            }
        };
        Course::Square { guide, ends }
    }

    fn oblique(&self, line: Line, along: Vec2, beyond: [f64; 2]) -> Course {
        // Both x and y change their direction when the sheet is seen from the back with y up.
        let angle_deg = along.y.atan2(along.x).to_degrees().rem_euclid(180.0);
        let first = self.first_end();
        let last = if first == End::Far { End::Near } else { End::Far };
        let [before, after] = beyond;
        let beyond = [before - self.cutter.lead_at(first), after - self.cutter.lead_at(last)];
        Course::Oblique { angle_deg, marks: [line.p0, line.p1].map(|point| self.marks(point)), beyond }
    }

    /// Returns how far a point lies from the left and the top edge, as read off a ruler.
    pub(super) fn marks(&self, point: Point) -> [Setting; 2] {
        [BoardEdge::Left, BoardEdge::Top].map(|edge| measured(edge.distance(self.board, point), self.ruler))
    }
}
