//! What all readings of a record together say of a cutter.
//!
//! One person read them all off one ruler, and most of them share what they are sums of: a border is in the opening beside it, in
//! the blank and in the ends of the cuts that cross it. So all numbers are found at once; what is open of one is open of
//! those that go with it, and a slip stands out against everything else that was read.

use super::estimate::Estimate;
use super::inference::{HowRead, Inference, JudgedReading, SumReading};
use super::normal::Normal;
use super::readings::Readings;
use super::sums::{Guesses, ScaleOf, Sum, Unknown};
use crate::problem::KeyPath;
use crate::tolerance::{FIGURES_MM, LEAST_WITH_FIGURES_MM, SLIP_SHARE};

/// What all readings say of a cutter.
pub(super) struct Together<'f> {
    guesses: Guesses<'f>,
    unknown: Vec<Unknown>,
    places: Vec<KeyPath>,
    inference: Inference,
}

/// Least and largest scatter in millimetres of a person with a ruler (common practice, no source).
const SCATTER_MM: [f64; 2] = [0.04, 0.5];
/// A slip may be anything within so many millimetres.
const ANYTHING_MM: f64 = 25.4;
/// Before anything was read, lengths may deviate from their guesses by so many millimetres, and shares by so much: more than
/// what is refused as impossible leaves.
const DISTANCE_MM: f64 = 10.0;
const LENGTH_MM: f64 = 3000.0;
const STRETCH: f64 = 0.03;
const TANGENT: f64 = 0.5;
const SINE: f64 = 0.02;

const fn deviation(unknown: Unknown) -> f64 {
    match unknown {
        Unknown::Distance(_) | Unknown::Lead { .. } => DISTANCE_MM,
        Unknown::Stretch(_) => STRETCH,
        Unknown::Tangent => TANGENT,
        Unknown::Sine | Unknown::Drift => SINE,
        Unknown::Length(_) => LENGTH_MM,
    }
}

impl<'f> Together<'f> {
    /// Finds what the readings say; `mark` is that of the ruler in millimetres, zero if nobody knows.
    pub(super) fn new(readings: &Readings, guesses: Guesses<'f>, mark: f64) -> Self {
        let List { unknown, sums, places } = List::of(readings, &guesses);
        let dense = |(value, sum): &(f64, Sum)| SumReading { factors: factors(&unknown, &sum.terms), value: *value };
        let least = if mark > 0.0 { SCATTER_MM[0] } else { LEAST_WITH_FIGURES_MM };
        let how = HowRead {
            mark: mark.max(FIGURES_MM),
            scatter: [least, SCATTER_MM[1]],
            slips: SLIP_SHARE,
            anything: ANYTHING_MM,
        };
        let deviations: Vec<f64> = unknown.iter().map(|unknown| deviation(*unknown)).collect();
        let inference = Inference::new(&sums.iter().map(dense).collect::<Vec<_>>(), &deviations, how);
        Self { guesses, unknown, places, inference }
    }

    /// Returns a number with its interval.
    pub(super) fn value(&self, unknown: Unknown) -> Estimate {
        self.estimate(&Sum::default().plus(1.0, &self.guesses, unknown))
    }

    /// Returns what a number on a scale gives.
    pub(super) fn at(&self, which: ScaleOf, number: f64) -> Estimate {
        self.estimate(&Sum::default().plus_scale(1.0, &self.guesses, which, number))
    }

    /// Returns by how much more what a scale gives grows than its number, as a share.
    pub(super) fn stretch(&self, which: ScaleOf) -> Estimate {
        let scale = self.guesses.scale(which);
        if scale.slopes {
            self.value(Unknown::Stretch(which)).map(|slope| slope - 1.0)
        } else {
            Estimate::around(scale.slope - 1.0, 0.0)
        }
    }

    /// Returns the number on a scale at which what it gives is found independently of its stretch.
    pub(super) fn middle(&self, which: ScaleOf) -> f64 {
        let scale = self.guesses.scale(which);
        if !scale.slopes {
            return scale.middle;
        }
        let of = |unknown| factors(&self.unknown, &[(unknown, 1.0)]);
        let (distance, slope) = (of(Unknown::Distance(which)), of(Unknown::Stretch(which)));
        scale.middle - self.inference.covariance(&distance, &slope) / self.inference.covariance(&slope, &slope)
    }

    /// Returns the standard deviation of one reading in millimetres, without the rounding.
    pub(super) fn scatter(&self) -> f64 {
        self.inference.scatter()
    }

    /// Returns every reading, by its place in the record, beside all others.
    pub(super) fn judged(&self) -> impl Iterator<Item = (&KeyPath, JudgedReading)> {
        self.places.iter().enumerate().map(|(at, place)| (place, self.inference.judged(at)))
    }

    fn estimate(&self, sum: &Sum) -> Estimate {
        let moved = |part: Normal| Normal { mean: sum.guess + part.mean, ..part };
        let mixture = self.inference.sum(&factors(&self.unknown, &sum.terms)).into_iter().map(moved);
        Estimate::of(&mixture.collect::<Vec<_>>())
    }
}

/// All readings as they are collected.
#[derive(Default)]
struct List {
    unknown: Vec<Unknown>,
    sums: Vec<(f64, Sum)>,
    places: Vec<KeyPath>,
}

impl List {
    fn of(readings: &Readings, guesses: &Guesses<'_>) -> Self {
        let mut list = Self::default();
        for border in &readings.borders {
            list.add(border.length.read, guesses.border(border), &border.path);
        }
        for blank in &readings.blanks {
            list.add(blank.length.read, guesses.blank(blank.length), &blank.path);
        }
        for bevel in &readings.bevel_widths {
            list.add(bevel.read, guesses.bevel(bevel), &bevel.path);
        }
        for opening in &readings.openings {
            list.add(opening.read, guesses.opening(opening), &opening.path);
        }
        for diagonal in &readings.single_diagonals {
            list.add(diagonal.read, guesses.diagonal(diagonal), &diagonal.path);
        }
        for end in &readings.ends {
            if let Some(sum) = guesses.over(end) {
                list.add(end.over, sum, &end.path);
            }
        }
        list
    }

    /// Adds a reading with the sum that it is of.
    fn add(&mut self, read: f64, sum: Sum, path: &KeyPath) {
        for (unknown, _) in &sum.terms {
            if !self.unknown.contains(unknown) {
                self.unknown.push(*unknown);
            }
        }
        self.sums.push((read - sum.guess, sum));
        self.places.push(path.clone());
    }
}

/// Returns how often each unknown number is in a sum.
fn factors(unknown: &[Unknown], terms: &[(Unknown, f64)]) -> Vec<f64> {
    let times = |one: &Unknown| terms.iter().filter(|(other, _)| other == one).map(|(_, times)| times).sum();
    unknown.iter().map(times).collect()
}
