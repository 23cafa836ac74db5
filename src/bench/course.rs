//! From the sides of an opening to its cuts: which side of the board lies up, which edge is against the guide, where the
//! blade starts and ends.

use kurbo::{Line, Point, Rect, Vec2};

use super::cut::measured;
use super::rounding::{self, Choices, RoundedLine};
use super::{BoardEdge, Cut, CutMethod, Cutter, DistanceSetting, End, Ends, Facing, Lean, RailSide, Setting};
use crate::geometry::Segment;
use crate::length::Ruler;
use crate::mat::{BevelDirection, over_run};
use crate::tolerance::{CORNER_RAD, SAME_LENGTH_MM};

/// What all cuts of one opening share.
#[derive(Debug, Clone, Copy)]
pub(super) struct OpeningSetup<'a> {
    pub(super) cutter: &'a Cutter,
    /// Ruler for what is measured with a pencil.
    pub(super) ruler: Ruler,
    /// The board whose edges lie against the guide.
    pub(super) board: Rect,
    pub(super) direction: BevelDirection,
    /// Width of the bevel in millimetres.
    pub(super) bevel_width: f64,
    /// Whether the board can be cut with its face up: not one that is taped behind another.
    pub(super) may_face_up: bool,
}

/// How a straight side is cut, before it is known where its neighbours come to lie.
#[derive(Debug, Clone)]
pub(super) struct SideCourse {
    /// The line on the side of the board that lies up.
    line: Line,
    facing: Facing,
    edge: BoardEdge,
    /// The edge of the board that the side faces; `None` for an oblique one.
    pub(super) faces: Option<BoardEdge>,
    border_at_guide: bool,
    guide: Option<DistanceSetting>,
    /// How far the line comes to lie from its place by the rounding.
    pub(super) moved: Vec2,
    choices: Option<Choices>,
}

fn outward(line: Line) -> Vec2 {
    let along = (line.p1 - line.p0).normalize();
    Vec2::new(along.y, -along.x)
}

impl SideCourse {
    /// Returns how far towards an edge the line lies, in millimetres.
    pub(super) fn reach(&self, edge: BoardEdge) -> f64 {
        self.line.p0.to_vec2().dot(edge.outward())
    }

    /// Returns from where to where the line runs along an edge, in millimetres.
    fn span(&self, edge: BoardEdge) -> [f64; 2] {
        let along = |point: Point| point.to_vec2().cross(edge.outward());
        let (one, two) = (along(self.line.p0), along(self.line.p1));
        [one.min(two), one.max(two)]
    }
}

impl OpeningSetup<'_> {
    /// Works out how the straight sides of an opening are laid, all of them together: those on both sides of the opening
    /// are rounded so that the opening keeps its size. `back` and `face` are the pieces of its two outlines.
    pub(super) fn lay(&self, back: &[Segment], face: &[Segment]) -> Vec<Option<SideCourse>> {
        let twins = |at: usize| {
            let pair = back.get(at).zip(face.get(at)).filter(|_| face.len() == back.len());
            // Outlines that leave out what has no room may differ although they have as many pieces.
            pair.filter(|(back, face)| {
                let (along, own) = (back.start_direction(), face.start_direction());
                along.dot(own) > 0.0 && along.cross(own).abs() <= CORNER_RAD
            })
            .map(|(_, face)| face)
        };
        let lay = |(at, piece): (usize, &Segment)| match piece {
            Segment::Line(line) => Some(self.lay_side(*line, twins(at))),
            Segment::Arc(_) => None,
        };
        let mut laid: Vec<Option<SideCourse>> = back.iter().enumerate().map(lay).collect();
        for side in laid.iter_mut().flatten() {
            if let Some(choices) = &side.choices {
                side.guide = Some(choices.nearest(self.ruler, side.edge.distance(self.board, side.line.p0)));
            }
        }
        for edge in [BoardEdge::Left, BoardEdge::Top] {
            Self::round_together(&mut laid, edge);
        }
        for side in laid.iter_mut().flatten() {
            if let (Some(choices), Some(guide)) = (&side.choices, &side.guide) {
                side.moved = outward(side.line) * choices.moved(guide);
            }
        }
        laid
    }

    /// Rounds all sides that face an edge or the one opposite together, so that the opening keeps its size between any two of them.
    fn round_together(laid: &mut [Option<SideCourse>], edge: BoardEdge) {
        let mut lines: Vec<RoundedLine> = Vec::new();
        for side in laid.iter().flatten().filter(|side| side.faces == Some(edge) || side.faces == Some(edge.opposite()))
        {
            let (Some(faces), Some(choices)) = (side.faces, side.choices.clone()) else { continue };
            let reach = side.reach(edge);
            let span = side.span(edge);
            let same = |line: &&mut RoundedLine| {
                line.is_near == (faces == edge) && (line.reach - reach).abs() <= SAME_LENGTH_MM
            };
            match lines.iter_mut().find(same) {
                Some(line) => line.spans.push(span),
                None => lines.push(RoundedLine { is_near: faces == edge, reach, spans: vec![span], choices }),
            }
        }
        // Of equally good ways the nearer edge has its nearest marks.
        lines.sort_by_key(|line| !line.is_near);
        let Some(places) = rounding::together(&lines) else { return };
        for (line, place) in lines.iter().zip(places) {
            let faces = if line.is_near { edge } else { edge.opposite() };
            let in_line = |side: &&mut SideCourse| {
                side.faces == Some(faces) && (side.reach(edge) - line.reach).abs() <= SAME_LENGTH_MM
            };
            laid.iter_mut().flatten().filter(in_line).for_each(|side| side.guide = Some(place.clone()));
        }
    }

    fn lay_side(&self, back: Line, face: Option<&Segment>) -> SideCourse {
        let faces = BoardEdge::toward(outward(back));
        let way = |line: Line, facing: Facing, border_at_guide: bool| {
            let facing_edge = BoardEdge::nearest_to(outward(line));
            let edge = if border_at_guide { facing_edge } else { facing_edge.opposite() };
            let distance = edge.distance(self.board, line.p0);
            let choices = faces.map(|_| Choices::new(self.cutter, self.ruler, distance, border_at_guide));
            SideCourse { line, facing, edge, faces, border_at_guide, guide: None, moved: Vec2::ZERO, choices }
        };
        let usual = way(back, Facing::Down, self.border_at_guide(Facing::Down));
        if !usual.choices.as_ref().is_some_and(Choices::is_pencil) {
            return usual;
        }
        let other = match (self.direction, face) {
            // An upright blade cuts with either edge against the guide.
            (BevelDirection::Straight, _) => Some(way(back, Facing::Down, false)),
            (_, Some(Segment::Line(face))) if self.may_face_up && !usual.border_at_guide => {
                Some(way(*face, Facing::Up, true))
            }
            _ => None,
        };
        other.filter(|other| other.choices.as_ref().is_some_and(|choices| !choices.is_pencil())).unwrap_or(usual)
    }

    /// Tells whether the border, and not the opening, lies between the cut and the guide. A straight cut has no lean, and
    /// its border is the shorter distance as a rule.
    fn border_at_guide(&self, facing: Facing) -> bool {
        let toward = match self.direction {
            BevelDirection::Straight => return true,
            BevelDirection::Standard => Lean::TowardGuide,
            BevelDirection::Reverse => Lean::AwayFromGuide,
        };
        (self.cutter.lean == toward) == (facing == Facing::Down)
    }

    /// Returns how far outside the outline on the side that lies up the cuts have to meet, in millimetres: where the
    /// opening is larger.
    fn over(&self, facing: Facing) -> f64 {
        match (self.direction, facing) {
            (BevelDirection::Standard, Facing::Down) | (BevelDirection::Reverse, Facing::Up) => self.bevel_width,
            _ => 0.0,
        }
    }

    /// Makes the cut along a side, between the pieces before and after it and how these are laid.
    pub(super) fn cut(&self, side: &SideCourse, pieces: [&Segment; 3], neighbours: [Option<&SideCourse>; 2]) -> Cut {
        let [before, piece, after] = pieces;
        let over = self.over(side.facing);
        let beyond = [(before, piece), (piece, after)]
            .map(|(before, after)| over_run::beyond(over_run::turn(before, after), over));
        let moved = neighbours.map(|neighbour| neighbour.map_or(Vec2::ZERO, |neighbour| neighbour.moved));
        let (course, beyond_rail) = match &side.guide {
            Some(guide) => self.square(side, guide.clone(), beyond, moved),
            None => self.oblique(side, beyond),
        };
        Cut {
            opening: 0,
            opening_name: String::new(),
            side: 0,
            name: String::new(),
            line: side.line,
            direction: self.direction,
            facing: side.facing,
            edge: side.edge,
            border_at_guide: side.border_at_guide,
            course,
            beyond_rail: beyond_rail.max(0.0),
        }
    }

    /// Returns the end of the rail at which the first point of a side lies.
    ///
    /// An outline runs clockwise as seen from the front, anticlockwise as seen from the back: with the back up and the
    /// border on the left hand it comes towards the framer.
    fn first_end(&self, side: &SideCourse) -> End {
        let comes = side.border_at_guide == (self.cutter.guide_side == RailSide::Left);
        if comes == (side.facing == Facing::Down) { End::Far } else { End::Near }
    }

    /// Returns the course along the rail, and how far the head would go beyond the rail.
    fn square(
        &self,
        side: &SideCourse,
        guide: DistanceSetting,
        beyond: [f64; 2],
        moved: [Vec2; 2],
    ) -> (CutMethod, f64) {
        let cutter = self.cutter;
        let length = side.edge.length(self.board);
        // Distance of the end of the cut from the edge at that end of the rail: where the cut that crosses there really
        // lies, so that the corner is clean although both are rounded.
        let end_of_cut = |end: End| {
            let ([first, last], [at_first, at_last]) = (beyond, moved);
            let (point, beyond, moved) = if end == self.first_end(side) {
                (side.line.p0, first, at_first)
            } else {
                (side.line.p1, last, at_last)
            };
            side.edge.at_end(end, cutter.guide_side, side.facing).distance(self.board, point + moved) - beyond
        };
        let (near, far) = (end_of_cut(End::Near), end_of_cut(End::Far));
        let (near_mark, far_mark) = (cutter.mark(End::Near, near), cutter.mark(End::Far, far));
        let pencil = |mark: f64| DistanceSetting::Pencil(measured(mark, self.ruler));
        let place = |setting: Setting, mark: f64| {
            if setting.within_reach { DistanceSetting::Scale(setting) } else { pencil(mark) }
        };
        let far_from_near = cutter.counts_along_rail(End::Far);
        let ends = match (cutter.set_stop(End::Near, near, length), cutter.set_stop(End::Far, far, length)) {
            // A board that no fence holds is not where the stops and the scale of the rail expect it.
            _ if guide.is_pencil() => Ends::Stops { near: pencil(near_mark), far: pencil(far_mark), far_from_near },
            (Some(near), Some(far)) => {
                Ends::Stops { near: place(near, near_mark), far: place(far, far_mark), far_from_near }
            }
            _ => Ends::Rail { near: measured(near_mark, cutter.ruler), far: measured(length - far_mark, cutter.ruler) },
        };
        // A scale along the rail begins at the near edge of the board; one that lies free is laid as it suits the rail.
        let along_rail = !guide.is_pencil() && (matches!(ends, Ends::Rail { .. }) || far_from_near);
        let way = length - far_mark - if along_rail { near_mark.min(0.0) } else { near_mark };
        (CutMethod::Square { guide, ends }, way - cutter.rail)
    }

    fn oblique(&self, side: &SideCourse, beyond: [f64; 2]) -> (CutMethod, f64) {
        let line = side.line;
        let along = line.p1 - line.p0;
        // Both x and y change their direction when the sheet is seen from the back with y up.
        let angle_deg = along.y.atan2(along.x).to_degrees().rem_euclid(180.0);
        let first = self.first_end(side);
        let last = if first == End::Far { End::Near } else { End::Far };
        let [before, after] = beyond;
        let beyond = [before - self.cutter.lead_at(first), after - self.cutter.lead_at(last)];
        let way = along.hypot() + beyond.iter().sum::<f64>();
        let marks = [line.p0, line.p1].map(|point| self.marks(point));
        (CutMethod::Oblique { angle_deg, marks, beyond }, way - self.cutter.rail)
    }

    /// Returns how far a point lies from the left and the top edge, as read off a ruler.
    pub(super) fn marks(&self, point: Point) -> [Setting; 2] {
        [BoardEdge::Left, BoardEdge::Top].map(|edge| measured(edge.distance(self.board, point), self.ruler))
    }
}
