//! Paths of lines and arcs, taken apart at lengths along them.

use kurbo::Line;

use crate::geometry::{Outline, Segment};
use crate::tolerance::SAME_LENGTH_MM;

/// Takes a piece apart at a share of its parameter.
pub(super) fn parts(segment: &Segment, share: f64) -> [Segment; 2] {
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
pub(super) fn first_part(path: &[Segment], length: f64) -> Vec<Segment> {
    split(path, length)[0].clone()
}

/// Takes a path apart at a length in millimetres along it.
pub(super) fn split(path: &[Segment], length: f64) -> [Vec<Segment>; 2] {
    let mut left = length;
    let (mut before, mut after) = (Vec::new(), Vec::new());
    for segment in path {
        let whole = segment.length();
        if left <= SAME_LENGTH_MM {
            after.push(*segment);
        } else if whole <= left + SAME_LENGTH_MM {
            before.push(*segment);
        } else {
            let [start, rest] = parts(segment, share_of_length(segment, left));
            before.push(start);
            after.push(rest);
        }
        left -= whole;
    }
    [before, after]
}

/// Returns the length of a path in millimetres.
pub(super) fn length_of(path: &[Segment]) -> f64 {
    path.iter().map(Segment::length).sum()
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

/// Tells whether two outlines are the same line.
pub(super) fn is_same(a: &Outline, b: &Outline) -> bool {
    let near = |(a, b): (&Segment, &Segment)| {
        a.start().distance(b.start()) <= SAME_LENGTH_MM && (a.length() - b.length()).abs() <= SAME_LENGTH_MM
    };
    a.segments().len() == b.segments().len() && a.segments().iter().zip(b.segments()).all(near)
}
