//! Every reading as a sum of what is not known of a cutter.

use super::ends::CutEnd;
use super::fit::LineFit;
use super::readings::{BevelReading, BorderReading, DiagonalReading, OpeningReading};
use super::set_length::{KindOfLength, PlaceOfLength, SetLength};
use crate::bench::{Cutter, End, Lean, Scale};

/// A scale of a cutter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ScaleOf {
    Guide,
    Arm,
    Stop(End),
}

/// A number that is not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unknown {
    /// What a scale gives at the middle of the numbers that it was set to.
    Distance(ScaleOf),
    Stretch(ScaleOf),
    /// How much sooner a cut ends than the mark on the head stands: where the blade goes in, or where it comes out.
    Lead {
        entry: bool,
    },
    /// The tangent of the blade's angle.
    Tangent,
    /// The sine of the angle of the corner beyond a right one.
    Sine,
    /// The share by which borders grow toward the far end.
    Drift,
    /// A length of a piece of which nobody knows the number that was set.
    Length(PlaceOfLength),
}

/// What least squares find for each part: near it the true numbers lie, and what has no fit keeps what the profile says.
pub(super) struct Guesses<'f> {
    pub(super) cutter: &'f Cutter,
    pub(super) guide: Option<&'f LineFit>,
    pub(super) arm: Option<&'f LineFit>,
    /// The far and the near stop; they gave so much less the lead.
    pub(super) stops: [Option<&'f LineFit>; 2],
    /// Where the blade goes in, and where it comes out.
    pub(super) leads: [Option<&'f LineFit>; 2],
    pub(super) tangent: Option<&'f LineFit>,
    pub(super) sine: Option<&'f LineFit>,
    pub(super) drift: Option<&'f LineFit>,
}

/// A scale as it was guessed.
pub(super) struct GuessedScale {
    pub(super) middle: f64,
    pub(super) distance: f64,
    pub(super) slope: f64,
    /// Whether its slope is to be found.
    pub(super) slopes: bool,
}

impl GuessedScale {
    /// Returns what a number gives.
    pub(super) fn at(&self, number: f64) -> f64 {
        self.distance + self.slope * (number - self.middle)
    }
}

impl Guesses<'_> {
    /// Returns the guess for a scale.
    pub(super) fn scale(&self, which: ScaleOf) -> GuessedScale {
        let (fit, profile) = match which {
            ScaleOf::Guide => (self.guide, Some(&self.cutter.guide)),
            ScaleOf::Arm => (self.arm, Some(&self.cutter.arm)),
            ScaleOf::Stop(end) => {
                let [far, near] = self.stops;
                (if end == End::Far { far } else { near }, self.cutter.stop_at(end))
            }
        };
        let Some(fit) = fit else {
            let scale = profile.copied().unwrap_or(Scale::true_up_to(f64::INFINITY));
            return GuessedScale { middle: 0.0, distance: scale.offset, slope: 1.0 + scale.stretch, slopes: false };
        };
        let lead = match which {
            ScaleOf::Stop(end) => self.away(end) * self.lead(self.is_entry(end)),
            _ => 0.0,
        };
        let middle = fit.middle();
        GuessedScale { middle, distance: fit.at(middle) + lead, slope: fit.slope(), slopes: fit.has_slope() }
    }

    fn lead(&self, entry: bool) -> f64 {
        let [entry_fit, exit_fit] = self.leads;
        let (fit, profile) =
            if entry { (entry_fit, self.cutter.lead.entry) } else { (exit_fit, self.cutter.lead.exit) };
        fit.map_or(profile, |fit| fit.at(0.0))
    }

    fn is_entry(&self, end: End) -> bool {
        end == self.cutter.starts
    }

    /// Returns the sign with which a stop and the lead there make the end of a cut: along the rail a stop counts from the
    /// other edge.
    fn away(&self, end: End) -> f64 {
        if self.cutter.counts_along_rail(end) { -1.0 } else { 1.0 }
    }

    /// Returns the guess for a number.
    pub(super) fn value(&self, unknown: Unknown) -> f64 {
        let fitted = |fit: Option<&LineFit>, other: f64| fit.map_or(other, |fit| fit.at(0.0));
        match unknown {
            Unknown::Distance(which) => self.scale(which).distance,
            Unknown::Stretch(which) => self.scale(which).slope,
            Unknown::Lead { entry } => self.lead(entry),
            Unknown::Tangent => fitted(self.tangent, self.cutter.bevel_angle_deg.to_radians().tan()),
            Unknown::Sine => fitted(self.sine, self.cutter.out_of_square_deg.to_radians().sin()),
            Unknown::Drift => fitted(self.drift, 0.0),
            Unknown::Length(_) => 0.0,
        }
    }
}

/// A sum of unknown numbers: how often each is in it, and what the sum is with all as they were guessed.
#[derive(Default)]
pub(super) struct Sum {
    pub(super) terms: Vec<(Unknown, f64)>,
    pub(super) guess: f64,
}

impl Sum {
    /// Adds a multiple of a number.
    pub(super) fn plus(mut self, times: f64, guesses: &Guesses<'_>, unknown: Unknown) -> Self {
        self.terms.push((unknown, times));
        self.guess += times * guesses.value(unknown);
        self
    }

    fn plus_known(mut self, number: f64) -> Self {
        self.guess += number;
        self
    }

    /// Adds a multiple of what a number on a scale gives.
    pub(super) fn plus_scale(mut self, times: f64, guesses: &Guesses<'_>, which: ScaleOf, number: f64) -> Self {
        let scale = guesses.scale(which);
        self.terms.push((Unknown::Distance(which), times));
        if scale.slopes {
            self.terms.push((Unknown::Stretch(which), times * (number - scale.middle)));
        }
        self.guess += times * scale.at(number);
        self
    }

    fn plus_length(mut self, times: f64, guesses: &Guesses<'_>, which: ScaleOf, length: SetLength) -> Self {
        match length.set {
            Some(number) => self.plus_scale(times, guesses, which, number),
            None => {
                self.terms.push((Unknown::Length(length.place), times));
                self
            }
        }
    }
}

impl Guesses<'_> {
    /// Returns what a border is the sum of.
    pub(super) fn border(&self, border: &BorderReading) -> Sum {
        self.drifting(Sum::default().plus_length(1.0, self, ScaleOf::Guide, border.length), border.half_length)
    }

    fn drifting(&self, sum: Sum, half_length: Option<f64>) -> Sum {
        match half_length.filter(|_| self.drift.is_some()) {
            Some(half) => sum.plus(half, self, Unknown::Drift),
            None => sum,
        }
    }

    /// Returns what the size of a blank is the sum of.
    pub(super) fn blank(&self, length: SetLength) -> Sum {
        Sum::default().plus_length(1.0, self, ScaleOf::Arm, length)
    }

    /// Returns what the width of a bevel is the sum of.
    pub(super) fn bevel(&self, bevel: &BevelReading) -> Sum {
        self.plus_bevel(Sum::default(), 1.0, bevel.thickness, bevel.piece)
    }

    fn plus_bevel(&self, mut sum: Sum, times: f64, thickness: Option<f64>, piece: usize) -> Sum {
        if let Some(thickness) = thickness {
            return sum.plus(times * thickness, self, Unknown::Tangent);
        }
        sum.terms.push((Unknown::Length(PlaceOfLength { piece, kind: KindOfLength::Bevel }), times));
        sum
    }

    /// Returns what an opening is the sum of: what the borders leave of the blank. Drift turns both its sides alike.
    pub(super) fn opening(&self, opening: &OpeningReading) -> Sum {
        let [one, other] = opening.borders;
        let sum = self.blank(opening.blank);
        sum.plus_length(-1.0, self, ScaleOf::Guide, one).plus_length(-1.0, self, ScaleOf::Guide, other)
    }

    /// Returns what a diagonal is the sum of, near the blank as it was read: `d² = W² + H² ± 2 W H s` with the sine `s` of the angle
    /// beyond a right one.
    pub(super) fn diagonal(&self, diagonal: &DiagonalReading) -> Sum {
        let DiagonalReading { sides: [width, height], sign, sine, .. } = diagonal;
        let (w, h) = (width.read, height.read);
        let length = (w * w + h * h + 2.0 * sign * w * h * sine).sqrt();
        let [by_width, by_height, by_sine] =
            [w + sign * h * sine, h + sign * w * sine, sign * w * h].map(|slope| slope / length);
        Sum::default()
            .plus_length(by_width, self, ScaleOf::Arm, *width)
            .plus_length(by_height, self, ScaleOf::Arm, *height)
            .plus(by_sine, self, Unknown::Sine)
            .plus_known(length - by_width * w - by_height * h - by_sine * sine)
    }

    /// Returns what an over-cut is the sum of: from the end of the cut to the corner. `None` for cuts by eye where nothing tells the
    /// lead.
    pub(super) fn over(&self, end: &CutEnd) -> Option<Sum> {
        let entry = self.is_entry(end.end);
        let [entry_lead, exit_lead] = self.leads;
        let lead_fitted = if entry { entry_lead } else { exit_lead }.is_some();
        let corner = Sum::default().plus_length(1.0, self, ScaleOf::Guide, end.corner);
        let corner = self.drifting(corner, end.half_length);
        let corner = match self.cutter.lean {
            Lean::TowardGuide => self.plus_bevel(corner, -1.0, end.thickness, end.piece),
            Lean::AwayFromGuide => corner,
        };
        let lead = |sum: Sum| {
            if lead_fitted { sum.plus(1.0, self, Unknown::Lead { entry }) } else { sum.plus_known(self.lead(entry)) }
        };
        if end.by_eye {
            return lead_fitted.then(|| lead(corner.plus_known(-end.set)));
        }
        let stop = ScaleOf::Stop(end.end);
        let stopped = match end.along.filter(|_| self.cutter.counts_along_rail(end.end)) {
            Some(along) => corner.plus_length(-1.0, self, ScaleOf::Arm, along).plus_scale(1.0, self, stop, end.set),
            None => corner.plus_scale(-1.0, self, stop, end.set),
        };
        Some(lead(stopped))
    }
}
