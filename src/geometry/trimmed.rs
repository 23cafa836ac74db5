//! Parallel outlines from which whatever has no room in them is left out.

use kurbo::{Point, Rect, Vec2};

use super::move_path::{MovePath, moved};
use super::offset_error::OffsetError;
use super::{Outline, Segment};
use crate::fault::Certain;
use crate::limits::spend;
use crate::tolerance::{PARALLEL_MM, SAME_DIRECTION_RAD, SAME_LENGTH_MM};

/// A parallel outline, and what of the outline has no part in it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Trimmed {
    /// The parallel outline.
    pub outline: Outline,
    /// What vanishes, in the order of the outline.
    pub lost: Vec<TrimmedStretch>,
    /// Corners of the outline to which curves run on straight because they would not meet along themselves.
    pub straightened: Vec<Point>,
}

/// A part of an outline that has no room in its parallel: one piece, or several that follow each other.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct TrimmedStretch {
    /// Index of the first of the pieces.
    pub first: usize,
    /// How many there are.
    pub pieces: usize,
    /// The smallest upright rectangle round them, in millimetres.
    pub bounds: Rect,
    /// The middle of a single piece, otherwise that of the rectangle.
    pub at: Point,
    /// What is lost, by its measure.
    pub what: TrimmedExtent,
}

/// The measure of what has no room in a parallel outline, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum TrimmedExtent {
    /// A straight side.
    Side {
        /// Its length.
        length: f64,
        /// How much of it the move takes at both its ends together.
        taken: f64,
    },
    /// An arc with this smallest radius of curvature.
    Curve(f64),
    /// The place where an arc is bent most, to this radius: there it comes to a point.
    Tip(f64),
    /// Several pieces.
    Several,
}

/// An outline with more pieces than this is not trimmed: each of them is held against all others.
const MOST_PIECES: usize = 4_000;

impl Trimmed {
    fn whole(outline: Outline) -> Self {
        Self { outline, lost: Vec::new(), straightened: Vec::new() }
    }
}

impl Outline {
    /// Returns the parallel outline at `distance` millimetres outside, or inside if the distance is below zero, without what
    /// has no room in it: sides and curves that would shrink below nothing, and necks narrower than twice the distance.
    ///
    /// It encloses what the outline encloses together with all that its pieces sweep on the way out, mitres included; on the way
    /// in it encloses what they leave. Where [`Outline::offset`] lets a curve that grows tighter run on along itself to a
    /// corner, it runs on straight here, as its tangent does: its own circle may not reach the corner.
    ///
    /// # Errors
    ///
    /// Returns an [`OffsetError`] with the place if nothing is left, if what is left falls apart or closes round a hole, and if two
    /// sides meet at too sharp a corner.
    pub fn trimmed(&self, distance: f64) -> Result<Trimmed, OffsetError> {
        let own = self.segments();
        let middle = self.bounds().center();
        if distance == 0.0 {
            return Ok(Trimmed::whole(self.clone()));
        }
        if !distance.is_finite() {
            return Err(OffsetError::NotFinite { at: middle });
        }
        // What cannot be told apart is refused as it would be without trimming.
        let unclear = || self.offset(distance).err().unwrap_or(OffsetError::Crosses { at: middle });
        if own.len() > MOST_PIECES || !spend(own.len() as u64) {
            return Err(unclear());
        }
        let path = MovePath::new(self, distance)?;
        let kept = path.boundary().ok_or_else(unclear)?;
        let mut loops = Vec::with_capacity(kept.len());
        let mut stays = vec![false; own.len()];
        for chain in kept {
            chain.iter().filter_map(|part| part.own).for_each(|piece| {
                if let Some(stays) = stays.get_mut(piece) {
                    *stays = true;
                }
            });
            loops.push(closed(chain.into_iter().map(|part| part.piece).collect()).ok_or_else(unclear)?);
        }
        let outline = only(loops, middle).map_err(|error| self.at_its_neck(error, distance))?;
        if outline.crossing().is_some() || !outline.keeps_its_distance(self, distance) {
            return Err(unclear());
        }
        let mut lost = self.lost(&stays, distance);
        lost.extend(self.tips(&stays, distance));
        Ok(Trimmed { outline, lost, straightened: path.beyond_reach })
    }

    /// Returns the parallel outlines at several distances in millimetres: all as [`Outline::offset`] makes them, or all
    /// trimmed where one of them does not exist otherwise. Either way each lies round those at lesser distances.
    ///
    /// # Errors
    ///
    /// Returns the [`OffsetError`] of the first that exists in neither way.
    pub fn parallels<const N: usize>(&self, distances: [f64; N]) -> Result<[Trimmed; N], OffsetError> {
        let trims = distances.iter().any(|&distance| self.offset(distance).is_err());
        let mut made = Vec::with_capacity(N);
        for distance in distances {
            made.push(self.parallel(distance, trims)?);
        }
        made.try_into().map_err(|_| OffsetError::Crosses { at: self.bounds().center() })
    }

    /// Returns the parallel outline at a distance in millimetres, trimmed or not.
    pub(crate) fn parallel(&self, distance: f64, trims: bool) -> Result<Trimmed, OffsetError> {
        if trims {
            return self.trimmed(distance);
        }
        self.offset(distance).map(Trimmed::whole)
    }

    /// Puts the place where a parallel outline falls apart at the neck that is too narrow for it.
    fn at_its_neck(&self, error: OffsetError, distance: f64) -> OffsetError {
        let is_inside = distance < 0.0;
        let necks = self.narrow_places(2.0 * distance.abs());
        match (error, necks.iter().find(|neck| neck.is_inside == is_inside)) {
            (OffsetError::FallsApart { .. }, Some(neck)) => OffsetError::FallsApart { at: neck.at },
            _ => error,
        }
    }

    /// Tells whether no point of a parallel outline is nearer to `from` than it should be, nor on its other side.
    fn keeps_its_distance(&self, from: &Self, distance: f64) -> bool {
        self.segments().iter().all(|piece| {
            [piece.start(), middle_of(piece)].into_iter().all(|point| {
                let away = from.nearest(point).distance(point);
                away > distance.abs() - PARALLEL_MM && from.contains(point) == (distance < 0.0)
            })
        })
    }

    /// Lists the places where curves that stay are bent too much to be moved.
    fn tips(&self, stays: &[bool], distance: f64) -> Vec<TrimmedStretch> {
        let staying = self.segments().iter().enumerate().filter(|(first, _)| stays.get(*first) == Some(&true));
        let tips = staying.flat_map(|(first, piece)| {
            let arcs = match (piece, moved(piece, distance)) {
                (Segment::Arc(arc), Segment::Arc(moved)) => Some((*arc, moved)),
                _ => None,
            };
            arcs.into_iter().flat_map(move |(arc, moved)| {
                let bent: Vec<f64> = arc.split_at_axes().map(|part| part.start).collect();
                bent.into_iter().filter(move |&angle| moved.radius_at(angle) < SAME_LENGTH_MM).map(move |angle| {
                    let at = arc.point(angle);
                    let what = TrimmedExtent::Tip(arc.radius_at(angle));
                    TrimmedStretch { first, pieces: 1, bounds: Rect::from_points(at, at), at, what }
                })
            })
        });
        tips.collect()
    }

    /// Lists runs of pieces that do not stay.
    fn lost(&self, stays: &[bool], distance: f64) -> Vec<TrimmedStretch> {
        let count = stays.len();
        let taken = |index: usize| {
            let corner = |at: usize| {
                let (before, after) = (self.segments().get((at + count - 1) % count), self.segments().get(at % count));
                before
                    .zip(after)
                    .map_or(0.0, |(before, after)| half_turn(before.end_direction(), after.start_direction()))
            };
            -distance * (corner(index) + corner(index + 1))
        };
        let is_lost = |index: usize| stays.get(index % count) == Some(&false);
        let starts = (0..count).filter(|&index| is_lost(index) && !is_lost(index + count - 1));
        starts
            .filter_map(|first| {
                let run = (first..first + count).take_while(|&index| is_lost(index));
                let pieces: Vec<&Segment> =
                    run.map(|index| self.segments().get(index % count).certain("side of this number")).collect();
                let bounds = pieces.iter().map(|piece| piece.bounds()).reduce(|a, b| a.union(b))?;
                let (at, what) = match pieces.as_slice() {
                    [only @ Segment::Line(_)] => {
                        (middle_of(only), TrimmedExtent::Side { length: only.length(), taken: taken(first) })
                    }
                    [only @ Segment::Arc(arc)] => (middle_of(only), TrimmedExtent::Curve(arc.smallest_radius())),
                    _ => (bounds.center(), TrimmedExtent::Several),
                };
                Some(TrimmedStretch { first, pieces: pieces.len(), bounds, at, what })
            })
            .collect()
    }
}

/// Returns the tangent of half the turn at a corner: a side grows there by so much for each millimetre that it moves outwards.
fn half_turn(incoming: Vec2, outgoing: Vec2) -> f64 {
    incoming.cross(outgoing) / (1.0 + incoming.dot(outgoing))
}

/// Returns the one outline that is left, which encloses a positive area.
fn only(mut loops: Vec<Outline>, middle: Point) -> Result<Outline, OffsetError> {
    let area = |outline: &Outline| outline.area();
    // The largest goes round all that is left, unless it has fallen apart.
    loops.sort_by(|a, b| area(b).abs().total_cmp(&area(a).abs()));
    match loops.as_slice() {
        [] => Err(OffsetError::NothingLeft { at: middle }),
        [_] => loops.pop().filter(|only| area(only) > 0.0).ok_or(OffsetError::NothingLeft { at: middle }),
        [largest, other, ..] if area(other) > 0.0 => Err(OffsetError::FallsApart { at: between(largest, other) }),
        [_, hole, ..] => Err(OffsetError::ClosesRound { at: hole.bounds().center() }),
    }
}

/// Returns the place half way between the nearest corners of two outlines.
fn between(a: &Outline, b: &Outline) -> Point {
    let starts = a.segments().iter().map(Segment::start);
    let nearest = starts.map(|from| (from, b.nearest(from)));
    let nearest = nearest.min_by(|one, other| one.0.distance(one.1).total_cmp(&other.0.distance(other.1)));
    nearest.map_or(Point::ORIGIN, |(from, to)| from.midpoint(to))
}

/// Returns the point in the middle of a piece.
fn middle_of(piece: &Segment) -> Point {
    match piece {
        Segment::Line(line) => line.p0.midpoint(line.p1),
        Segment::Arc(arc) => arc.point(arc.start + 0.5 * arc.sweep),
    }
}

/// Closes a chain of pieces, joining those that go straight on and dropping those of no length; `None` if they do not meet.
fn closed(chain: Vec<Segment>) -> Option<Outline> {
    let mut pieces: Vec<Segment> = Vec::with_capacity(chain.len());
    for piece in chain.into_iter().filter(|piece| piece.length() > SAME_LENGTH_MM) {
        match pieces.last_mut().and_then(|last| joined(last, &piece).map(|joint| (last, joint))) {
            Some((last, joint)) => *last = joint,
            None => pieces.push(piece),
        }
    }
    // The chain may start in the middle of a piece.
    if let [first, .., last] = pieces.as_slice()
        && let Some(joint) = joined(last, first)
    {
        pieces.pop();
        *pieces.first_mut()? = joint;
    }
    for index in 0..pieces.len() {
        let end = pieces.get((index + pieces.len() - 1) % pieces.len())?.end();
        let piece = pieces.get_mut(index)?;
        if piece.start().distance(end) > SAME_LENGTH_MM {
            return None;
        }
        if let Segment::Line(line) = piece {
            line.p0 = end;
        }
    }
    for index in 0..pieces.len() {
        let start = pieces.get((index + 1) % pieces.len())?.start();
        if let Some(Segment::Line(line)) = pieces.get_mut(index) {
            line.p1 = start;
        }
    }
    let outline = Outline::from_positive(pieces);
    (outline.area() != 0.0).then_some(outline)
}

/// Returns one piece for two of which the second goes on as the first.
fn joined(before: &Segment, after: &Segment) -> Option<Segment> {
    match (before, after) {
        (Segment::Line(a), Segment::Line(b)) => {
            let turn = before.end_direction().cross(after.start_direction());
            let goes_on = before.end_direction().dot(after.start_direction()) > 0.0;
            (turn.abs() <= SAME_DIRECTION_RAD && goes_on).then(|| Segment::Line(kurbo::Line::new(a.p0, b.p1)))
        }
        (Segment::Arc(a), Segment::Arc(b)) => {
            let same = (a.center, a.rx, a.ry, a.axis, a.distance) == (b.center, b.rx, b.ry, b.axis, b.distance);
            let goes_on = (a.end() - b.start).abs() < SAME_DIRECTION_RAD && a.sweep.signum() == b.sweep.signum();
            (same && goes_on).then(|| Segment::Arc(a.between(a.start, b.end())))
        }
        _ => None,
    }
}
