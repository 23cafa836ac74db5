//! The closed line that the pieces of an outline make when all of them are moved, before what has no room is left out.

use kurbo::{Line, Point, Vec2};

use super::offset::{LONGEST_MITRE, corner_moved, mitre, with_end, with_start};
use super::offset_error::OffsetError;
use super::{Outline, Segment};
use crate::tolerance::{SAME_DIRECTION_RAD, SAME_LENGTH_MM};

/// The moved pieces of an outline and what joins them, in order.
///
/// How often the line goes round a point is how often the outline does, and once more for each piece that sweeps over it on its way
/// out, once less on its way in. The parallel outline is the border of the places round which it goes at all.
pub(super) struct MovePath {
    pub(super) parts: Vec<PathPart>,
    /// Corners that curves would not reach along themselves.
    pub(super) beyond_reach: Vec<Point>,
}

/// A piece of the line, or a part of one.
#[derive(Debug, Clone, Copy)]
pub(super) struct PathPart {
    pub(super) piece: Segment,
    /// Index of the piece of the outline that it was; `None` for what joins two of them.
    pub(super) own: Option<usize>,
    /// Whether it can be part of a parallel outline: not where a curve has turned inside out, nor on the way to a corner that the
    /// moved pieces have left behind.
    pub(super) is_sound: bool,
}

impl MovePath {
    /// Moves an outline sideways by a distance in millimetres, outwards if it is above zero.
    pub(super) fn new(outline: &Outline, distance: f64) -> Result<Self, OffsetError> {
        let joins = outline
            .corners()
            .map(|(before, after)| Join::new(before, after, distance))
            .collect::<Result<Vec<Join>, OffsetError>>()?;
        let following = joins.iter().cycle().skip(1);
        let mut parts = Vec::new();
        for (own, ((piece, before), after)) in outline.segments().iter().zip(&joins).zip(following).enumerate() {
            let mut moved = moved(piece, distance);
            if let Join::Meet { at, straight: [_, leg] } = *before {
                if leg {
                    parts.push(PathPart::joining(at, moved.start(), true));
                } else {
                    moved = with_start(&moved, at);
                }
            }
            if let Join::Meet { at, straight: [false, _] } = *after {
                moved = with_end(&moved, at);
            }
            parts.extend(sound_parts(&moved).map(|(piece, is_sound)| PathPart { piece, own: Some(own), is_sound }));
            match *after {
                Join::Meet { at, straight: [true, _] } => parts.push(PathPart::joining(moved.end(), at, true)),
                Join::Overlap { corner, next } => {
                    parts.push(PathPart::joining(moved.end(), corner, false));
                    parts.push(PathPart::joining(corner, next, false));
                }
                Join::Meet { .. } | Join::Smooth => {}
            }
        }
        parts.retain(|part| !matches!(part.piece, Segment::Line(line) if line.p0 == line.p1));
        let beyond_reach = outline.corners().zip(&joins).filter_map(|((before, after), join)| match join {
            Join::Meet { straight: [false, false], .. } | Join::Smooth | Join::Overlap { .. } => None,
            Join::Meet { .. } if [before, after].into_iter().any(|piece| has_vanished(piece, distance)) => None,
            Join::Meet { .. } => corner_moved(before, after, distance).is_none().then(|| after.start()),
        });
        Ok(Self { beyond_reach: beyond_reach.collect(), parts })
    }
}

impl PathPart {
    fn joining(from: Point, to: Point, is_sound: bool) -> Self {
        Self { piece: Segment::Line(Line::new(from, to)), own: None, is_sound }
    }
}

/// How two moved pieces that met at a corner are joined.
enum Join {
    /// They still meet: one goes on in the direction of the other.
    Smooth,
    /// A gap between them is closed by a mitre; the piece before or after runs straight on to it if it says so.
    Meet { at: Point, straight: [bool; 2] },
    /// They cross: the line goes back to the corner, and from there to where the next piece starts.
    Overlap { corner: Point, next: Point },
}

impl Join {
    fn new(before: &Segment, after: &Segment, distance: f64) -> Result<Self, OffsetError> {
        let (incoming, outgoing) = (before.end_direction(), after.start_direction());
        let (turn, corner) = (incoming.cross(outgoing), after.start());
        let ahead = incoming.dot(outgoing) > 0.0;
        if turn.abs() <= SAME_DIRECTION_RAD.max(0.1 * SAME_LENGTH_MM / distance.abs()) && ahead {
            return Ok(Self::Smooth);
        }
        if turn * distance < 0.0 {
            return Ok(Self::Overlap { corner, next: moved(after, distance).start() });
        }
        let tightens = |piece: &Segment| matches!(piece, Segment::Arc(arc) if arc.sweep * distance < 0.0);
        let straight = [tightens(before), tightens(after)];
        let tangent = |from: Point, to: Point| Segment::Line(Line::new(from, to));
        let into = if tightens(before) { tangent(corner - incoming, corner) } else { *before };
        let out_of = if tightens(after) { tangent(corner, corner + outgoing) } else { *after };
        if let Some(at) = corner_moved(&into, &out_of, distance) {
            return Ok(Self::Meet { at, straight });
        }
        let at = corner + mitre(incoming, outgoing) * distance;
        if at.distance(corner) >= LONGEST_MITRE * distance.abs() {
            return Err(OffsetError::CornerOpens { at: corner });
        }
        let is_arc = |piece: &Segment| matches!(piece, Segment::Arc(_));
        Ok(Self::Meet { at, straight: [is_arc(before), is_arc(after)] })
    }
}

/// Moves a piece sideways; a curve may turn inside out.
pub(super) fn moved(piece: &Segment, distance: f64) -> Segment {
    match piece {
        Segment::Line(_) => {
            let along = piece.start_direction();
            piece.translated(Vec2::new(along.y, -along.x) * distance)
        }
        Segment::Arc(arc) => Segment::Arc(arc.grown(distance * arc.sweep.signum())),
    }
}

/// Tells whether a curve turns inside out when it is moved.
fn has_vanished(piece: &Segment, distance: f64) -> bool {
    matches!(moved(piece, distance), Segment::Arc(arc) if arc.smallest_radius() < SAME_LENGTH_MM)
}

/// Cuts a moved curve where it turns inside out, and tells of each part whether it has not.
fn sound_parts(piece: &Segment) -> impl Iterator<Item = (Segment, bool)> + use<> {
    const HALVINGS: usize = 60;
    let mut parts = Vec::new();
    match piece {
        Segment::Line(_) => parts.push((*piece, true)),
        Segment::Arc(arc) if arc.smallest_radius() > SAME_LENGTH_MM => parts.push((*piece, true)),
        Segment::Arc(arc) if arc.circle_radius().is_some() => parts.push((*piece, false)),
        Segment::Arc(arc) => {
            for part in arc.split_at_axes() {
                // Between two axes the curvature grows or falls all the way.
                let is_sound = |angle: f64| arc.radius_at(angle) > SAME_LENGTH_MM;
                let (mut from, mut to) = (part.start, part.end());
                let ends = [is_sound(from), is_sound(to)];
                if ends[0] == ends[1] {
                    parts.push((Segment::Arc(part), ends[0]));
                    continue;
                }
                for _ in 0..HALVINGS {
                    let middle = 0.5 * (from + to);
                    if is_sound(middle) == ends[0] { from = middle } else { to = middle }
                }
                parts.push((Segment::Arc(arc.between(part.start, from)), ends[0]));
                parts.push((Segment::Arc(arc.between(from, part.end())), ends[1]));
            }
        }
    }
    parts.into_iter()
}
