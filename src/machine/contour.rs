//! From one line of a drawing to the strokes in which a machine follows it, and the places where it may start.

use kurbo::{Line, Point, Vec2};

use super::profile::Machine;
use super::program::Stroke;
use super::written::{Head, Round};
use crate::fault::Certain;
use crate::geometry::{Arc, Outline, Segment};
use crate::mat::over_run;
use crate::tolerance::{CORNER_RAD, SAME_LENGTH_MM};

/// So many places are considered for the start of one outline.
const MOST_STARTS: usize = 8;

/// One line of a drawing on its way into strokes.
#[derive(Debug, Clone)]
pub(super) struct Item {
    /// What the strokes are made of.
    course: Course,
    pub(super) opening: Option<usize>,
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
enum Course {
    /// Followed in one stroke that comes back to its start.
    Closed { segments: Vec<Segment>, lead_in: Option<Vec2>, overlap: f64 },
    /// Strokes that go round, each from corner to corner.
    Sides(Vec<Vec<Segment>>),
    /// Strokes in a fixed order.
    Fixed(Vec<Vec<Segment>>),
    /// A line that may be drawn from either end.
    Open(Vec<Segment>),
}

/// How an outline is to be followed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Way {
    pub(super) round: Round,
    /// How far the cut must run on for a corner of a right angle: the width of the bevel towards the far side of the board.
    pub(super) over: f64,
    /// Lead of the blade, added at every corner; `None` for no over-run at all.
    pub(super) lead: Option<f64>,
    /// Whether the waste lies inside.
    pub(super) waste_inside: bool,
    /// Whether the outline is cut rather than drawn, so that lead-in and overlap make sense.
    pub(super) is_cut: bool,
}

/// A stretch of a cut beyond a corner.
#[derive(Debug, Clone, Copy)]
pub(super) struct CornerOverRun {
    pub(super) corner: Point,
    pub(super) direction: Vec2,
    /// How far the cut runs on.
    pub(super) length: f64,
    /// How far it must, for the bevel alone.
    pub(super) needed: f64,
}

impl Item {
    /// Follows an outline; `limit` may shorten a stretch beyond a corner.
    pub(super) fn of_outline(
        outline: &Outline,
        opening: Option<usize>,
        machine: &Machine,
        way: Way,
        mut limit: impl FnMut(CornerOverRun) -> f64,
    ) -> Self {
        let segments = travelled(outline, way.round);
        let turns: Vec<f64> = turns(&segments, way.round);
        let has_corner = turns.iter().any(|turn| turn.abs() > CORNER_RAD);
        let splits = has_corner && (way.lead.is_some() || machine.head == Head::Straight);
        let course = if splits {
            Course::Sides(sides(&segments, &turns, way, &mut limit))
        } else {
            let inwards = if (way.round == Round::Clockwise) == way.waste_inside { 1.0 } else { -1.0 };
            let lead_in =
                (way.is_cut && machine.lead_in > 0.0).then(|| Vec2::new(-1.0, inwards) * machine.lead_in / 2f64.sqrt());
            Course::Closed { segments, lead_in, overlap: if way.is_cut { machine.overlap } else { 0.0 } }
        };
        Self::new(course, opening)
    }

    /// Follows an open line through points, from either end.
    pub(super) fn of_line(points: &[Point]) -> Option<Self> {
        let segments = chain(points);
        (!segments.is_empty()).then(|| Self::new(Course::Open(segments), None))
    }

    /// Follows several open lines in the order given.
    pub(super) fn of_lines<'p>(lines: impl Iterator<Item = &'p [Point]>, opening: Option<usize>) -> Option<Self> {
        let strokes: Vec<_> = lines.map(chain).filter(|segments| !segments.is_empty()).collect();
        (!strokes.is_empty()).then(|| Self::new(Course::Fixed(strokes), opening))
    }

    /// Returns the item somewhere else; `place` moves and turns pieces, but mirrors none.
    pub(super) fn placed(&self, place: impl Fn(&Segment) -> Segment) -> Self {
        let moved = |segments: &Vec<Segment>| -> Vec<Segment> { segments.iter().map(&place).collect() };
        let course = match &self.course {
            Course::Closed { segments, lead_in, overlap } => {
                Course::Closed { segments: moved(segments), lead_in: *lead_in, overlap: *overlap }
            }
            Course::Sides(strokes) => Course::Sides(strokes.iter().map(moved).collect()),
            Course::Fixed(strokes) => Course::Fixed(strokes.iter().map(moved).collect()),
            Course::Open(segments) => Course::Open(moved(segments)),
        };
        Self::new(course, self.opening)
    }

    fn new(course: Course, opening: Option<usize>) -> Self {
        let mut item = Self { course, opening, starts: Vec::new() };
        item.starts = item.places().into_iter().filter_map(|(piece, within)| item.start_at(piece, within)).collect();
        item
    }

    /// Tells whether some stroke is not straight.
    pub(super) fn is_curved(&self) -> bool {
        let curved = |segments: &Vec<Segment>| segments.iter().any(|segment| matches!(segment, Segment::Arc(_)));
        match &self.course {
            Course::Closed { segments, .. } | Course::Open(segments) => curved(segments),
            Course::Sides(strokes) | Course::Fixed(strokes) => strokes.iter().any(curved),
        }
    }

    /// Lists where the item may start: at corners of polygons, in the middle of pieces where there are curves or a lead-in.
    fn places(&self) -> Vec<(usize, f64)> {
        let all: Vec<(usize, f64)> = match &self.course {
            Course::Closed { segments, lead_in, .. } => match segments.as_slice() {
                [Segment::Arc(_)] => [0.0, 0.25, 0.5, 0.75].map(|share| (0, share)).to_vec(),
                _ => {
                    // At a corner of an opening a lead-in would come from the board.
                    let within = if self.is_curved() || lead_in.is_some() { 0.5 } else { 0.0 };
                    (0..segments.len()).map(|piece| (piece, within)).collect()
                }
            },
            Course::Sides(strokes) => (0..strokes.len()).map(|piece| (piece, 0.0)).collect(),
            Course::Fixed(_) => vec![(0, 0.0)],
            Course::Open(_) => vec![(0, 0.0), (1, 0.0)],
        };
        let every = all.len().div_ceil(MOST_STARTS).max(1);
        all.into_iter().step_by(every).collect()
    }

    fn start_at(&self, piece: usize, within: f64) -> Option<Start> {
        let start = Start { piece, within, entry: Point::ORIGIN, exit: Point::ORIGIN, inner: 0.0 };
        let strokes = self.strokes(&start);
        let (first, last) = (strokes.first()?, strokes.last()?);
        let inner = strokes.windows(2).map(|pair| match pair {
            [before, after] => before.end().distance(after.start()),
            _ => 0.0,
        });
        Some(Start { entry: first.start(), exit: last.end(), inner: inner.sum(), ..start })
    }

    /// Returns the strokes from a start on.
    pub(super) fn strokes(&self, start: &Start) -> Vec<Stroke> {
        let stroke = |segments: Vec<Segment>, closed| Stroke { segments, closed, opening: self.opening };
        match &self.course {
            Course::Closed { segments, lead_in, overlap } => {
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
            Course::Sides(strokes) => {
                let (before, after) = strokes.split_at(start.piece.min(strokes.len()));
                after.iter().chain(before).map(|segments| stroke(segments.clone(), false)).collect()
            }
            Course::Fixed(strokes) => strokes.iter().map(|segments| stroke(segments.clone(), false)).collect(),
            Course::Open(segments) if start.piece == 0 => vec![stroke(segments.clone(), false)],
            Course::Open(segments) => vec![stroke(segments.iter().rev().map(Segment::reversed).collect(), false)],
        }
    }
}

/// Returns the pieces of an outline in the direction of travel, straight ones that go on from each other as one.
fn travelled(outline: &Outline, round: Round) -> Vec<Segment> {
    // Outlines run clockwise as they are seen, y down.
    let pieces: Vec<Segment> = match round {
        Round::Clockwise => outline.segments().to_vec(),
        Round::Counterclockwise => outline.segments().iter().rev().map(Segment::reversed).collect(),
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
fn turns(segments: &[Segment], round: Round) -> Vec<f64> {
    if let [only] = segments {
        return vec![over_run::turn(only, only)];
    }
    let outwards = if round == Round::Clockwise { 1.0 } else { -1.0 };
    let before = segments.iter().cycle().skip(segments.len().saturating_sub(1));
    before.zip(segments).map(|(before, after)| outwards * over_run::turn(before, after)).collect()
}

/// Takes an outline apart at its corners and lets the parts run on beyond those that point outwards.
fn sides(
    segments: &[Segment],
    turns: &[f64],
    way: Way,
    limit: &mut impl FnMut(CornerOverRun) -> f64,
) -> Vec<Vec<Segment>> {
    let count = segments.len();
    let first = turns.iter().position(|turn| turn.abs() > CORNER_RAD).unwrap_or(0);
    let mut sides: Vec<(f64, Vec<Segment>, f64)> = Vec::new();
    for step in 0..count {
        let index = (first + step) % count;
        let (Some(segment), Some(&turn)) = (segments.get(index), turns.get(index)) else { continue };
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
    way: Way,
    limit: &mut impl FnMut(CornerOverRun) -> f64,
) -> Vec<Segment> {
    let Some(lead) = way.lead else { return side };
    let mut stretch = |corner: Point, direction: Vec2, turn: f64| {
        let needed = over_run::beyond(turn, way.over);
        let wanted = if turn > CORNER_RAD { needed + lead } else { 0.0 };
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

/// Takes a piece apart at a share of its parameter.
fn parts(segment: &Segment, share: f64) -> [Segment; 2] {
    match segment {
        Segment::Line(line) => {
            let middle = line.p0.lerp(line.p1, share);
            [Segment::Line(Line::new(line.p0, middle)), Segment::Line(Line::new(middle, line.p1))]
        }
        Segment::Arc(arc) => {
            let middle = arc.start + share * arc.sweep;
            [Segment::Arc(arc.between(arc.start, middle)), Segment::Arc(arc.between(middle, arc.end()))]
        }
    }
}

/// Returns the first part of a path, of a length in millimetres, at most the whole.
fn first_part(path: &[Segment], length: f64) -> Vec<Segment> {
    let mut left = length;
    let mut part = Vec::new();
    for segment in path {
        let whole = segment.length();
        if left <= SAME_LENGTH_MM {
            break;
        }
        if whole <= left {
            part.push(*segment);
        } else {
            let [start, _] = parts(segment, share_of_length(segment, left));
            part.push(start);
        }
        left -= whole;
    }
    part
}

/// Returns the share of the parameter of a piece at which it has a length, by halving.
fn share_of_length(segment: &Segment, length: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        let [start, _] = parts(segment, middle);
        if start.length() < length { low = middle } else { high = middle }
    }
    0.5 * (low + high)
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
