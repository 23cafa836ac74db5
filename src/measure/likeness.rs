//! How much of a file lies on a drawing, and of the drawing on the file, brought together in some way.

use kurbo::{Affine, Point};

use super::deviation::{Chord, Chords};
use crate::tolerance::ALIKE_MM;

/// Places that are looked at on either side.
const PLACES: usize = 240;

/// Lines of which a share can be found on others.
pub(super) struct SampledLines {
    places: Vec<Point>,
    lines: Chords,
}

impl SampledLines {
    pub(super) fn new(chords: Vec<Chord>) -> Self {
        Self { places: places(&chords), lines: Chords::new(chords) }
    }

    /// Returns which share of both lies on the other, from 0 to 1, if this is brought there by `way`; one place of `every` is looked at.
    pub(super) fn likeness(&self, other: &Self, way: Affine, every: usize) -> f64 {
        let scale = way.determinant().abs().sqrt();
        if !(scale.is_finite() && scale > 0.0) || self.places.is_empty() || other.places.is_empty() {
            return 0.0;
        }
        let back = way.inverse();
        // A file that is too small has steps that are as much larger on the drawing.
        let alike = ALIKE_MM * scale.max(1.0);
        let share = |places: &[Point], distance: &dyn Fn(Point) -> f64| {
            let near = places.iter().step_by(every).filter(|place| distance(**place) <= alike).count();
            near as f64 / places.len().div_ceil(every) as f64
        };
        let here = share(&self.places, &|place| other.lines.distance(way * place));
        let there = share(&other.places, &|place| scale * self.lines.distance(back * place));
        0.5 * (here + there)
    }
}

/// Returns places that lie evenly along chords.
fn places(chords: &[Chord]) -> Vec<Point> {
    let length: f64 = chords.iter().map(Chord::length).sum();
    let step = length / PLACES as f64;
    let (mut places, mut next, mut before) = (Vec::with_capacity(PLACES), 0.5 * step, 0.0);
    if !(step.is_finite() && step > 0.0) {
        return places;
    }
    for chord in chords {
        let own = chord.length();
        while next <= before + own && places.len() < PLACES {
            places.push(chord.from.lerp(chord.to, (next - before) / own));
            next += step;
        }
        before += own;
    }
    places
}
