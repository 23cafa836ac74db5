//! Outlines made from Bézier paths: lines stay lines, circles and ellipses become exact arcs again, all other curves
//! become chains of touching arcs.

use kurbo::{BezPath, CubicBez, Line, ParamCurve, PathEl, PathSeg, Vec2};

use super::biarc::{TangentPoint, fit};
use super::offset::{meet, with_end, with_start};
use super::recognise::{RecognisedArc, arc_of, joined};
use super::{Arc, Outline, Segment};
use crate::fault::Certain;
use crate::tolerance::{SAME_ARC_MM, SHORTEST_PIECE_MM, SMOOTH_RAD};

/// A piece on its way to an outline.
#[derive(Debug, Clone, Copy)]
enum OutlinePiece {
    Line(Line),
    Arc(Arc),
    Curve(CubicBez),
    /// An arc that touches another one, to be joined to it by arcs within the tolerance.
    Loose(Arc),
}

impl Outline {
    /// Makes an outline from a closed Bézier path, which may have a single contour; an open end is joined by a line.
    ///
    /// Curves that are the customary stand-ins for arcs of circles and ellipses become those arcs exactly. All other
    /// curves become arcs of circles within `tolerance` millimetres that touch each other without a corner, measured
    /// at sixteen places for every two arcs. Corners of less than 0.005 radians next to curves are smoothed.
    ///
    /// Returns `None` if the path has several contours or none, a number is not finite or the area is zero.
    #[must_use]
    pub fn from_bezier(path: &BezPath, tolerance: f64) -> Option<Self> {
        if !path.elements().iter().all(is_finite) || !tolerance.is_finite() || tolerance <= 0.0 {
            return None;
        }
        let mut pieces = recognised(pieces(path)?);
        if let [OutlinePiece::Arc(arc)] = pieces.as_slice() {
            return Self::new(vec![Segment::Arc(*arc)]);
        }
        loosen(&mut pieces);
        settle_lines(&mut pieces);
        settle_corners(&mut pieces);
        Self::new(fitted(&pieces, tolerance))
    }
}

fn is_finite(element: &PathEl) -> bool {
    match element {
        PathEl::MoveTo(p) | PathEl::LineTo(p) => p.is_finite(),
        PathEl::QuadTo(p1, p2) => p1.is_finite() && p2.is_finite(),
        PathEl::CurveTo(p1, p2, p3) => p1.is_finite() && p2.is_finite() && p3.is_finite(),
        PathEl::ClosePath => true,
    }
}

/// Lists the pieces of the one contour without those that have no length; `None` if there are several contours.
fn pieces(path: &BezPath) -> Option<Vec<OutlinePiece>> {
    let contours = path.elements().iter().filter(|element| matches!(element, PathEl::MoveTo(_))).count();
    if contours != 1 {
        return None;
    }
    let start = path.segments().next()?.start();
    let mut at = start;
    let mut pieces: Vec<OutlinePiece> = Vec::new();
    for segment in path.segments() {
        let end = segment.end();
        let cubic = segment.to_cubic();
        let spread = [cubic.p1, cubic.p2, cubic.p3].into_iter().map(|p| p.distance(at)).fold(0.0, f64::max);
        if spread <= SHORTEST_PIECE_MM {
            continue;
        }
        pieces.push(match segment {
            PathSeg::Line(_) => OutlinePiece::Line(Line::new(at, end)),
            _ if is_straight(&cubic) => OutlinePiece::Line(Line::new(at, end)),
            _ => OutlinePiece::Curve(CubicBez { p0: at, ..cubic }),
        });
        at = end;
    }
    match pieces.last_mut() {
        Some(last) if at.distance(start) <= SHORTEST_PIECE_MM => match last {
            OutlinePiece::Line(line) => line.p1 = start,
            OutlinePiece::Curve(cubic) => cubic.p3 = start,
            OutlinePiece::Arc(_) | OutlinePiece::Loose(_) => {}
        },
        _ => pieces.push(OutlinePiece::Line(Line::new(at, start))),
    }
    Some(pieces)
}

/// Tells whether the handles of a curve lie on its chord.
fn is_straight(cubic: &CubicBez) -> bool {
    let chord = cubic.p3 - cubic.p0;
    let length = chord.hypot();
    [cubic.p1, cubic.p2].into_iter().all(|handle| {
        let from_start = handle - cubic.p0;
        let along = from_start.dot(chord) / length;
        (from_start.cross(chord) / length).abs() <= 0.1 * SAME_ARC_MM && (0.0..=length).contains(&along)
    })
}

/// Puts arcs in the place of the curves that stand for them.
fn recognised(mut pieces: Vec<OutlinePiece>) -> Vec<OutlinePiece> {
    let find = |piece: &OutlinePiece| match piece {
        OutlinePiece::Curve(cubic) => arc_of(cubic, SAME_ARC_MM),
        _ => None,
    };
    let follows = |a: &Option<RecognisedArc>, b: &Option<RecognisedArc>| match (a, b) {
        (Some(a), Some(b)) => a.continues(b, SAME_ARC_MM),
        _ => false,
    };
    let mut found: Vec<Option<RecognisedArc>> = pieces.iter().map(find).collect();
    // A run that goes on over the start of the path is turned so that it starts there.
    let start = found.iter().zip(found.iter().cycle().skip(1)).position(|(a, b)| !follows(a, b)).map_or(0, |at| at + 1);
    let start = if start == found.len() { 0 } else { start };
    pieces.rotate_left(start);
    found.rotate_left(start);
    let mut done = Vec::with_capacity(pieces.len());
    let mut rest = pieces.as_slice();
    for run in found.chunk_by(follows) {
        let (own, after) = rest.split_at(run.len().min(rest.len()));
        rest = after;
        let all: Option<Vec<RecognisedArc>> = run.iter().copied().collect();
        match all.and_then(|all| joined(&all)) {
            Some(arc) => done.push(OutlinePiece::Arc(arc)),
            None => done.extend_from_slice(own),
        }
    }
    done
}

impl OutlinePiece {
    fn ends(&self) -> [TangentPoint; 2] {
        match self {
            Self::Line(line) => {
                let along = line.p1 - line.p0;
                let direction = along / along.hypot().max(f64::MIN_POSITIVE);
                [TangentPoint { point: line.p0, direction }, TangentPoint { point: line.p1, direction }]
            }
            Self::Arc(arc) | Self::Loose(arc) => [tangent_point(arc, 0.0), tangent_point(arc, 1.0)],
            Self::Curve(cubic) => [tangent_point(cubic, 0.0), tangent_point(cubic, 1.0)],
        }
    }

    fn is_curve(&self) -> bool {
        matches!(self, Self::Curve(_) | Self::Loose(_))
    }

    fn segment(&self) -> Option<Segment> {
        match self {
            Self::Line(line) => Some(Segment::Line(*line)),
            Self::Arc(arc) => Some(Segment::Arc(*arc)),
            Self::Curve(_) | Self::Loose(_) => None,
        }
    }
}

fn tangent_point(curve: &impl super::biarc::Curve, share: f64) -> TangentPoint {
    curve.tangent_point(share)
}

/// Tells whether one piece goes on from another without a corner.
fn touch(before: &OutlinePiece, after: &OutlinePiece) -> bool {
    let ([_, end], [start, _]) = (before.ends(), after.ends());
    let turn = end.direction.cross(start.direction).atan2(end.direction.dot(start.direction));
    turn.abs() < SMOOTH_RAD
}

/// Lists the indices of each piece and the one before it.
fn joints(count: usize) -> impl Iterator<Item = (usize, usize)> {
    (0..count).map(move |index| ((index + count - 1) % count, index))
}

/// Loosens each arc that touches the arc before it, since two fixed arcs touch only by chance.
fn loosen(pieces: &mut [OutlinePiece]) {
    for (previous, index) in joints(pieces.len()) {
        if let (Some(before @ OutlinePiece::Arc(_)), Some(after @ OutlinePiece::Arc(arc))) =
            (pieces.get(previous), pieces.get(index))
            && touch(before, after)
        {
            let arc = *arc;
            if let Some(piece) = pieces.get_mut(index) {
                *piece = OutlinePiece::Loose(arc);
            }
        }
    }
}

/// Lets each line touch the arcs beside it exactly, and these end where it touches them.
fn settle_lines(pieces: &mut [OutlinePiece]) {
    let count = pieces.len();
    for index in 0..count {
        let (previous, next) = ((index + count - 1) % count, (index + 1) % count);
        let [Some(&before), Some(&OutlinePiece::Line(line)), Some(&after)] =
            [pieces.get(previous), pieces.get(index), pieces.get(next)]
        else {
            continue;
        };
        let own = OutlinePiece::Line(line);
        let arc_before =
            if let OutlinePiece::Arc(arc) = before { Some(arc).filter(|_| touch(&before, &own)) } else { None };
        let arc_after =
            if let OutlinePiece::Arc(arc) = after { Some(arc).filter(|_| touch(&own, &after)) } else { None };
        let (mut start, mut end) = (line.p0, line.p1);
        // Moving a point of contact moves it along the line, so that each round squares the error of the direction.
        for _ in 0..4 {
            let along = end - start;
            let on = |arc: &Arc| arc.point(contact_angle(arc, along));
            (start, end) = (arc_before.as_ref().map_or(line.p0, on), arc_after.as_ref().map_or(line.p1, on));
        }
        if (end - start).dot(line.p1 - line.p0) <= 0.0 {
            continue;
        }
        let along = end - start;
        // One arc may lie on both sides of the line.
        if arc_before.is_some()
            && let Some(OutlinePiece::Arc(arc)) = pieces.get_mut(previous)
        {
            let angle = near(contact_angle(arc, along), arc.end());
            *arc = arc.between(arc.start, angle);
        }
        if arc_after.is_some()
            && let Some(OutlinePiece::Arc(arc)) = pieces.get_mut(next)
        {
            let angle = near(contact_angle(arc, along), arc.start);
            *arc = arc.between(angle, arc.end());
        }
        if let Some(piece) = pieces.get_mut(index) {
            *piece = OutlinePiece::Line(Line::new(start, end));
        }
    }
}

/// Returns the normal angle at which an arc runs in a direction.
fn contact_angle(arc: &Arc, along: Vec2) -> f64 {
    let normal = Vec2::new(along.y, -along.x) * arc.sweep.signum();
    arc.axis.cross(normal).atan2(arc.axis.dot(normal))
}

fn near(angle: f64, to: f64) -> f64 {
    let turn = std::f64::consts::TAU;
    angle + turn * ((to - angle) / turn).round()
}

/// Lets lines and arcs meet exactly at their corners.
fn settle_corners(pieces: &mut [OutlinePiece]) {
    for (previous, index) in joints(pieces.len()) {
        let [Some(&before), Some(&after)] = [pieces.get(previous), pieces.get(index)] else {
            continue;
        };
        let has_arc = matches!(before, OutlinePiece::Arc(_)) || matches!(after, OutlinePiece::Arc(_));
        let (Some(a), Some(b)) = (before.segment(), after.segment()) else {
            continue;
        };
        if !has_arc || previous == index || touch(&before, &after) {
            continue;
        }
        let corner = a.end().midpoint(b.start());
        let Some(meeting) = meet(&a, &b, corner).filter(|meeting| meeting.distance(corner) < 0.1) else {
            continue;
        };
        for (at, segment) in [(previous, with_end(&a, meeting)), (index, with_start(&b, meeting))] {
            if let Some(piece) = pieces.get_mut(at) {
                *piece = match segment {
                    Segment::Line(line) => OutlinePiece::Line(line),
                    Segment::Arc(arc) => OutlinePiece::Arc(arc),
                };
            }
        }
    }
}

/// Replaces the curves by arcs that leave and reach their neighbours where and as those end.
fn fitted(pieces: &[OutlinePiece], tolerance: f64) -> Vec<Segment> {
    let count = pieces.len();
    // The common knot of each joint, as the piece before it and the piece after it see it.
    let shared: Vec<[TangentPoint; 2]> = joints(count)
        .map(|(previous, index)| {
            let (before, after) = pieces.get(previous).zip(pieces.get(index)).certain("pieces at this joint");
            shared_tangent_point(before, after)
        })
        .collect();
    let mut segments = Vec::with_capacity(count);
    for (index, piece) in pieces.iter().enumerate() {
        let (&[_, start], &[end, _]) =
            shared.get(index).zip(shared.get((index + 1) % count)).certain("joints of this piece");
        match piece {
            OutlinePiece::Line(line) if line.p0 == line.p1 => {}
            OutlinePiece::Line(line) => segments.push(Segment::Line(*line)),
            OutlinePiece::Arc(arc) => segments.push(Segment::Arc(*arc)),
            OutlinePiece::Curve(cubic) => fit(cubic, [start, end], tolerance, &mut segments),
            OutlinePiece::Loose(arc) => fit(arc, [start, end], tolerance, &mut segments),
        }
    }
    segments
}

/// Returns where and in what direction one piece ends and the next one starts: lines and arcs stay, curves follow them.
fn shared_tangent_point(before: &OutlinePiece, after: &OutlinePiece) -> [TangentPoint; 2] {
    let ([_, end], [start, _]) = (before.ends(), after.ends());
    let (point, fixed) = match (before.is_curve(), after.is_curve()) {
        (true, false) => (start.point, Some(start.direction)),
        (false, _) => (end.point, Some(end.direction)),
        (true, true) => (end.point, None),
    };
    if !touch(before, after) {
        return [TangentPoint { point, ..end }, TangentPoint { point, ..start }];
    }
    let middle = end.direction + start.direction;
    let direction = fixed.unwrap_or_else(|| middle / middle.hypot());
    [TangentPoint { point, direction }; 2]
}

#[cfg(test)]
mod tests {
    use kurbo::{Point, Shape};

    use super::Outline;
    use crate::geometry::Segment;

    #[test]
    fn a_circle_written_as_curves_is_a_circle_again() {
        let path = kurbo::Circle::new((30.0, 40.0), 25.0).to_path(0.1);
        let outline = Outline::from_bezier(&path, 0.001);
        let arc = outline.as_ref().and_then(|outline| outline.as_closed_arc());
        assert!(arc.is_some_and(|arc| arc.center.distance(Point::new(30.0, 40.0)) < 1e-9
            && arc.circle_radius().is_some_and(|radius| (radius - 25.0).abs() < 1e-9)));
    }

    #[test]
    fn a_turned_ellipse_is_an_ellipse_again() {
        let path = kurbo::Ellipse::new((3.0, 4.0), (50.0, 20.0), 0.3).to_path(0.1);
        let outline = Outline::from_bezier(&path, 0.001);
        let arc = outline.as_ref().and_then(|outline| outline.as_closed_arc());
        assert!(arc.is_some_and(|arc| (arc.rx - 50.0).abs() < 1e-6 && (arc.ry - 20.0).abs() < 1e-6));
    }

    #[test]
    fn lines_touch_the_arcs_of_a_rounded_rectangle_exactly() {
        let path = kurbo::RoundedRect::new(0.0, 0.0, 100.0, 60.0, 9.0).to_path(0.1);
        let rounded = |p: Point| Point::new(f64::from(p.x as f32 + 1e-5), f64::from(p.y as f32));
        let path = kurbo::BezPath::from_vec(
            path.elements()
                .iter()
                .map(|element| match *element {
                    kurbo::PathEl::CurveTo(a, b, c) => kurbo::PathEl::CurveTo(a, rounded(b), c),
                    other => other,
                })
                .collect(),
        );
        let outline = Outline::from_bezier(&path, 0.001);
        assert_eq!(outline.as_ref().map(|outline| outline.segments().len()), Some(8));
        for (before, after) in outline.iter().flat_map(Outline::corners) {
            assert!(before.end().distance(after.start()) < 1e-9);
            assert!(before.end_direction().cross(after.start_direction()).abs() < 1e-9);
        }
        assert!(outline.is_some_and(|outline| outline.segments().iter().any(|s| matches!(s, Segment::Arc(_)))));
    }
}
