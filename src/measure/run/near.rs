//! Lengths and bounds of chords, and how chains lie on each other.

use kurbo::Rect;

use super::super::deviation::{Chord, Chords};
use super::super::effort;

pub(super) fn bounds_of(chords: &[Chord]) -> Rect {
    chords.iter().map(Chord::bounds).reduce(|all, one| all.union(one)).unwrap_or_default()
}

pub(super) fn length_of(chords: &[Chord]) -> f64 {
    chords.iter().map(Chord::length).sum()
}

pub(super) fn same_bounds(a: Rect, b: Rect, bound: f64) -> bool {
    effort::step();
    [a.x0 - b.x0, a.y0 - b.y0, a.x1 - b.x1, a.y1 - b.y1].iter().all(|side| side.abs() <= bound)
}

/// Returns how much the bounds of two chains differ.
pub(super) fn apart(a: Rect, b: Rect) -> f64 {
    [a.x0 - b.x0, a.y0 - b.y0, a.x1 - b.x1, a.y1 - b.y1].iter().map(|side| side.abs()).sum()
}

/// Chords of a chain that are looked at for its direction.
const MOST_LOOKED_AT: usize = 200;

/// Returns which way chords run along others: near 1 the same way, near -1 against them.
pub(super) fn same_way(chords: &[Chord], along: &Chords) -> f64 {
    let step = chords.len().div_ceil(MOST_LOOKED_AT).max(1);
    let (mut sum, mut length) = (0.0, 0.0);
    for chord in chords.iter().step_by(step) {
        sum += chord.length() * chord.direction().dot(along.direction_at(chord.from.midpoint(chord.to)));
        length += chord.length();
    }
    if length > 0.0 { sum / length } else { 0.0 }
}
