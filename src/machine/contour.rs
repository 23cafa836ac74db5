//! From one line of a drawing to the strokes in which a machine follows it, and the places where it may start.

use kurbo::{Line, Point, Vec2};

use super::follow::Pose;
use super::path::{first_part, parts};
use super::profile::Machine;
use super::tabs::with_tabs;
use super::tool_model::Tabs;
use super::way::{ContourRules, CornerOverRun};
use super::written::{Head, TravelDirection};
use crate::fault::Certain;
use crate::geometry::{Arc, Outline, Segment};
use crate::mat::over_run;
use crate::pairs::pairs;
use crate::program::Stroke;
use crate::tolerance::{CORNER_RAD, SAME_LENGTH_MM};

/// So many places are considered for the start of one outline.
const MOST_STARTS: usize = 8;

/// One line of a drawing on its way into strokes.
#[derive(Debug, Clone)]
pub(super) struct WorkItem {
    /// What the strokes are made of.
    course: Toolpath,
    pub(super) opening: Option<usize>,
    /// How the tool stands meanwhile.
    pub(super) pose: Pose,
    tabs: Option<Tabs>,
    /// Where it may start.
    pub(super) starts: Vec<Start>,
}

/// A place where an item may start, with where the tool goes down for it and where it comes up again.
#[derive(Debug, Clone, Copy)]
pub(super) struct Start {
    piece: usize,
    /// Share of the piece that comes last rather than first.
    within: f64,
    pub(super) entry: Point,
    pub(super) exit: Point,
    /// Travel between the strokes of the item.
    pub(super) inner: f64,
}

#[derive(Debug, Clone)]
enum Toolpath {
    /// Followed in one stroke that comes back to its start.
    Closed { segments: Vec<Segment>, lead_in: Option<Vec2>, overlap: f64 },
    /// Strokes that go round, each from corner to corner.
    Sides(Vec<Vec<Segment>>),
    /// Strokes in a fixed order.
    Fixed(Vec<Vec<Segment>>),
    /// A line that may be drawn from either end.
    Open(Vec<Segment>),
}

impl WorkItem {
    /// Follows an outline; `limit` may shorten a stretch beyond a corner.
    pub(super) fn of_outline(
        outline: &Outline,
        opening: Option<usize>,
        machine: &Machine,
        way: ContourRules,
        mut limit: impl FnMut(CornerOverRun) -> f64,
    ) -> Self {
        let segments = travelled(outline, way.round);
        let turns: Vec<f64> = turns(&segments, way.round);
        let has_corner = turns.iter().any(|turn| turn.abs() > CORNER_RAD);
        let runs_on = turns.iter().any(|turn| way.stretch(*turn).1 > SAME_LENGTH_MM);
        let splits = has_corner && (runs_on || machine.head == Head::Straight);
        let course = if splits {
            Toolpath::Sides(sides(&segments, &turns, way, &mut limit))
        } else if way.tabs.is_some() {
            // A cut that is left open has no need to start elsewhere, nor to run on over its start.
            Toolpath::Closed { segments, lead_in: None, overlap: 0.0 }
        } else {
            let inwards = if (way.round == TravelDirection::Clockwise) == way.waste_inside { 1.0 } else { -1.0 };
            let lead_in =
                (way.is_cut && machine.lead_in > 0.0).then(|| Vec2::new(-1.0, inwards) * machine.lead_in / 2f64.sqrt());
            Toolpath::Closed { segments, lead_in, overlap: if way.is_cut { machine.overlap } else { 0.0 } }
        };
        Self { tabs: way.tabs, ..Self::new(course, opening) }.started()
    }

    /// Returns the item with the tool in a pose.
    pub(super) fn posed(self, pose: Pose) -> Self {
        Self { pose, ..self }.started()
    }

    /// Follows an open line through points, from either end.
    pub(super) fn of_line(points: &[Point]) -> Option<Self> {
        let segments = chain(points);
        (!segments.is_empty()).then(|| Self::new(Toolpath::Open(segments), None))
    }

    /// Follows several open lines in the order given.
    pub(super) fn of_lines<'p>(lines: impl Iterator<Item = &'p [Point]>, opening: Option<usize>) -> Option<Self> {
        let strokes: Vec<_> = lines.map(chain).filter(|segments| !segments.is_empty()).collect();
        (!strokes.is_empty()).then(|| Self::new(Toolpath::Fixed(strokes), opening))
    }

    /// Returns the item somewhere else; `place` moves and turns pieces, but mirrors none.
    pub(super) fn placed(&self, place: impl Fn(&Segment) -> Segment) -> Self {
        let moved = |segments: &Vec<Segment>| -> Vec<Segment> { segments.iter().map(&place).collect() };
        let course = match &self.course {
            Toolpath::Closed { segments, lead_in, overlap } => {
                Toolpath::Closed { segments: moved(segments), lead_in: *lead_in, overlap: *overlap }
            }
            Toolpath::Sides(strokes) => Toolpath::Sides(strokes.iter().map(moved).collect()),
            Toolpath::Fixed(strokes) => Toolpath::Fixed(strokes.iter().map(moved).collect()),
            Toolpath::Open(segments) => Toolpath::Open(moved(segments)),
        };
        Self { course, opening: self.opening, pose: self.pose.clone(), tabs: self.tabs, starts: Vec::new() }.started()
    }

    fn new(course: Toolpath, opening: Option<usize>) -> Self {
        Self { course, opening, pose: Pose::default(), tabs: None, starts: Vec::new() }.started()
    }

    /// Works out where it may start.
    fn started(mut self) -> Self {
        self.starts = self.places().into_iter().filter_map(|(piece, within)| self.start_at(piece, within)).collect();
        self
    }

    /// Tells whether some stroke is not straight.
    pub(super) fn is_curved(&self) -> bool {
        let curved = |segments: &Vec<Segment>| segments.iter().any(|segment| matches!(segment, Segment::Arc(_)));
        match &self.course {
            Toolpath::Closed { segments, .. } | Toolpath::Open(segments) => curved(segments),
            Toolpath::Sides(strokes) | Toolpath::Fixed(strokes) => strokes.iter().any(curved),
        }
    }

    /// Lists where the item may start: at corners of polygons, in the middle of pieces where there are curves or a lead-in.
    fn places(&self) -> Vec<(usize, f64)> {
        let all: Vec<(usize, f64)> = match &self.course {
            Toolpath::Closed { segments, lead_in, .. } => match segments.as_slice() {
                [Segment::Arc(_)] => [0.0, 0.25, 0.5, 0.75].map(|share| (0, share)).to_vec(),
                _ => {
                    // At a corner of an opening a lead-in would come from the board.
                    let within = if self.is_curved() || lead_in.is_some() { 0.5 } else { 0.0 };
                    (0..segments.len()).map(|piece| (piece, within)).collect()
                }
            },
            Toolpath::Sides(strokes) => (0..strokes.len()).map(|piece| (piece, 0.0)).collect(),
            Toolpath::Fixed(_) => vec![(0, 0.0)],
            Toolpath::Open(_) => vec![(0, 0.0), (1, 0.0)],
        };
        let every = all.len().div_ceil(MOST_STARTS).max(1);
        all.into_iter().step_by(every).collect()
    }

    fn start_at(&self, piece: usize, within: f64) -> Option<Start> {
        let start = Start { piece, within, entry: Point::ORIGIN, exit: Point::ORIGIN, inner: 0.0 };
        let strokes = self.made(&start);
        let (first, last) = (strokes.first()?, strokes.last()?);
        let inner = pairs(&strokes).map(|(before, after)| before.end().distance(after.start()));
        Some(Start { entry: first.start(), exit: last.end(), inner: inner.sum(), ..start })
    }

    /// Returns the strokes from a start on as they are made: with gaps for tabs, and once for each depth.
    pub(super) fn made(&self, start: &Start) -> Vec<Stroke> {
        let whole = self.strokes(start);
        let strokes = match self.tabs {
            Some(tabs) => with_tabs(&whole, tabs),
            None => whole,
        };
        let angle_deg = self.pose.angle_deg;
        if self.pose.depths.is_empty() {
            return strokes.into_iter().map(|stroke| Stroke { angle_deg, ..stroke }).collect();
        }
        let deeper = |stroke: Stroke| {
            let depths = self.pose.depths.iter();
            depths.map(move |depth| Stroke { depth: Some(*depth), angle_deg, ..stroke.clone() })
        };
        strokes.into_iter().flat_map(deeper).collect()
    }

    /// Returns the strokes from a start on, whole and at no depth.
    pub(super) fn strokes(&self, start: &Start) -> Vec<Stroke> {
        let stroke = |segments: Vec<Segment>, closed| Stroke {
            segments,
            closed,
            opening: self.opening,
            depth: None,
            angle_deg: 0.0,
        };
        match &self.course {
            Toolpath::Closed { segments, lead_in, overlap } => {
                let mut path = turned_to(segments, start.piece, start.within);
                let closed = lead_in.is_none() && *overlap == 0.0;
                let again = first_part(&path, *overlap);
                if let (Some(lead_in), Some(first)) = (lead_in, path.first()) {
                    let (to, along) = (first.start(), first.start_direction());
                    let from = to + along * lead_in.x + Vec2::new(-along.y, along.x) * lead_in.y;
                    path.insert(0, Segment::Line(Line::new(from, to)));
                }
                path.extend(again);
                vec![stroke(path, closed)]
            }
            Toolpath::Sides(strokes) => {
                let (before, after) = strokes.split_at(start.piece.min(strokes.len()));
                after.iter().chain(before).map(|segments| stroke(segments.clone(), false)).collect()
            }
            Toolpath::Fixed(strokes) => strokes.iter().map(|segments| stroke(segments.clone(), false)).collect(),
            Toolpath::Open(segments) if start.piece == 0 => vec![stroke(segments.clone(), false)],
            Toolpath::Open(segments) => vec![stroke(segments.iter().rev().map(Segment::reversed).collect(), false)],
        }
    }
}

/// Returns the pieces of an outline in the direction of travel, straight ones that go on from each other as one.
fn travelled(outline: &Outline, round: TravelDirection) -> Vec<Segment> {
    // Outlines run clockwise as they are seen, y down.
    let pieces: Vec<Segment> = match round {
        TravelDirection::Clockwise => outline.segments().to_vec(),
        TravelDirection::Counterclockwise => outline.segments().iter().rev().map(Segment::reversed).collect(),
    };
    let mut whole: Vec<Segment> = Vec::with_capacity(pieces.len());
    for piece in pieces {
        match whole.last_mut().and_then(|last| joined(last, &piece)) {
            Some(longer) => {
                whole.pop();
                whole.push(longer);
            }
            None => whole.push(piece),
        }
    }
    if let [first, .., last] = whole.as_slice()
        && let Some(longer) = joined(last, first)
    {
        whole.pop();
        if let Some(first) = whole.first_mut() {
            *first = longer;
        }
    }
    whole
}

/// Returns one line for two that go on straight from each other.
fn joined(before: &Segment, after: &Segment) -> Option<Segment> {
    match (before, after) {
        (Segment::Line(a), Segment::Line(b)) if over_run::turn(before, after).abs() <= CORNER_RAD => {
            Some(Segment::Line(Line::new(a.p0, b.p1)))
        }
        _ => None,
    }
}

/// Returns the turn at the start of each piece, above zero where the corner points outwards.
fn turns(segments: &[Segment], round: TravelDirection) -> Vec<f64> {
    if let [only] = segments {
        return vec![over_run::turn(only, only)];
    }
    let outwards = if round == TravelDirection::Clockwise { 1.0 } else { -1.0 };
    let before = segments.iter().cycle().skip(segments.len().saturating_sub(1));
    before.zip(segments).map(|(before, after)| outwards * over_run::turn(before, after)).collect()
}

/// Takes an outline apart at its corners and lets the parts run on beyond those that point outwards.
fn sides(
    segments: &[Segment],
    turns: &[f64],
    way: ContourRules,
    limit: &mut impl FnMut(CornerOverRun) -> f64,
) -> Vec<Vec<Segment>> {
    let count = segments.len();
    let first = turns.iter().position(|turn| turn.abs() > CORNER_RAD).unwrap_or(0);
    let mut sides: Vec<(f64, Vec<Segment>, f64)> = Vec::new();
    for step in 0..count {
        let index = (first + step) % count;
        let (segment, &turn) = segments.get(index).zip(turns.get(index)).certain("piece of this number");
        match sides.last_mut() {
            Some((_, side, end)) if turn.abs() <= CORNER_RAD => {
                side.push(*segment);
                *end = following(turns, index);
            }
            _ => sides.push((turn, vec![*segment], following(turns, index))),
        }
    }
    sides.into_iter().map(|(start_turn, side, end_turn)| run_on(side, [start_turn, end_turn], way, limit)).collect()
}

/// Returns the turn at the end of a piece.
fn following(turns: &[f64], index: usize) -> f64 {
    turns.get((index + 1) % turns.len()).copied().certain("turn at the end of this piece")
}

/// Lengthens a side at both ends by straight stretches.
fn run_on(
    mut side: Vec<Segment>,
    [start_turn, end_turn]: [f64; 2],
    way: ContourRules,
    limit: &mut impl FnMut(CornerOverRun) -> f64,
) -> Vec<Segment> {
    if way.lead.is_none() {
        return side;
    }
    let mut stretch = |corner: Point, direction: Vec2, turn: f64| {
        let (needed, wanted) = way.stretch(turn);
        if wanted <= SAME_LENGTH_MM { 0.0 } else { limit(CornerOverRun { corner, direction, length: wanted, needed }) }
    };
    if let Some(first) = side.first().copied() {
        let length = stretch(first.start(), -first.start_direction(), start_turn);
        if length > SAME_LENGTH_MM {
            let from = first.start() - first.start_direction() * length;
            match side.first_mut() {
                Some(Segment::Line(line)) => line.p0 = from,
                _ => side.insert(0, Segment::Line(Line::new(from, first.start()))),
            }
        }
    }
    if let Some(last) = side.last().copied() {
        let length = stretch(last.end(), last.end_direction(), end_turn);
        if length > SAME_LENGTH_MM {
            let to = last.end() + last.end_direction() * length;
            match side.last_mut() {
                Some(Segment::Line(line)) => line.p1 = to,
                _ => side.push(Segment::Line(Line::new(last.end(), to))),
            }
        }
    }
    side
}

/// Returns the pieces of a closed line from a place in one of them on.
fn turned_to(segments: &[Segment], piece: usize, within: f64) -> Vec<Segment> {
    if let [Segment::Arc(arc)] = segments {
        return vec![Segment::Arc(Arc { start: arc.start + within * arc.sweep, ..*arc })];
    }
    let (before, after) = segments.split_at(piece.min(segments.len()));
    let mut path: Vec<Segment> = after.iter().chain(before).copied().collect();
    if within > 0.0
        && let Some(first) = path.first().copied()
    {
        let [start, rest] = parts(&first, within);
        if let Some(first) = path.first_mut() {
            *first = rest;
        }
        path.push(start);
    }
    path
}

/// Returns the lines through points without those of no length.
fn chain(points: &[Point]) -> Vec<Segment> {
    let mut from: Option<Point> = None;
    let mut segments = Vec::with_capacity(points.len());
    for &point in points {
        match from {
            Some(last) if last.distance(point) <= SAME_LENGTH_MM => continue,
            Some(last) => segments.push(Segment::Line(Line::new(last, point))),
            None => {}
        }
        from = Some(point);
    }
    segments
}
