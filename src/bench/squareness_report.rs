//! What a test of squareness says, in words and as data: the object that `square --json` prints.

use std::fmt::Write;

use kurbo::Size;
use serde::Serialize;

use super::{CAUTIONS, Pivot, SquareTest, Squareness, Verdict};
use crate::length::{Ruler, Unit};

/// Name and version of the object; another version means that a key changed its meaning or went away.
pub const SQUARE_SCHEMA: &str = "backline-square/1";

/// What an arm is judged by; lengths in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SquareDemand {
    /// The largest blank that is cut with it.
    pub largest: Size,
    /// How far its longest cut may run off square.
    pub tolerance: f64,
    /// How far each measured length may be off either way.
    pub reading: f64,
    /// From the pivot of the arm to the bracket by which it is set; `None` if nobody said.
    pub bracket: Option<f64>,
    /// The end about which the arm turns.
    pub pivot: Pivot,
    /// On which lengths are shown.
    pub ruler: Ruler,
}

impl SquareDemand {
    /// Makes a demand on an arm that turns about its end at the rail, and whose bracket nobody measured; lengths in millimetres.
    #[must_use]
    pub const fn new(largest: Size, tolerance: f64, reading: f64, ruler: Ruler) -> Self {
        Self { largest, tolerance, reading, bracket: None, pivot: Pivot::Rail, ruler }
    }
}

/// A judged test: lengths in millimetres, angles in degrees; ± is half a 95 % interval.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct SquareReport {
    #[cfg_attr(feature = "schema", schemars(extend("const" = SQUARE_SCHEMA)))]
    schema: &'static str,
    /// `square`, `out-of-square` or `unsure`.
    verdict: &'static str,
    #[serde(skip)]
    judged: Verdict,
    /// How much more than a right angle the corner between arm and blade has.
    angle_deg: f64,
    angle_uncertainty_deg: f64,
    largest: Largest,
    tolerance: f64,
    reading: f64,
    bracket: Option<Move>,
    /// The end about which the arm turns: `rail` or `outer`.
    pivot: &'static str,
    #[serde(skip)]
    turns_about: Pivot,
    /// What the lengths do not agree in.
    warning: Option<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct Largest {
    width: f64,
    height: f64,
    /// How far the longest cut runs off square; above zero where the blank becomes wider away from the arm.
    error: f64,
    uncertainty: f64,
    diagonals_differ: f64,
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct Move {
    distance: f64,
    /// How far to move the arm there: above zero towards the board.
    toward_board: f64,
    uncertainty: f64,
}

/// Returns the JSON Schema of [`SquareReport`].
#[cfg(feature = "schema")]
#[must_use]
pub fn square_schema() -> serde_json::Value {
    crate::job::output_schema_of::<SquareReport>()
}

impl SquareReport {
    /// Judges a test.
    ///
    /// # Errors
    ///
    /// Returns the reason in words if no corner has such lengths.
    pub fn new(test: &SquareTest, demand: &SquareDemand) -> Result<Self, String> {
        let found = test.evaluate(demand.reading)?;
        let Size { width, height } = demand.largest;
        let longest = width.max(height);
        let (error, uncertainty) = found.over(longest);
        let warning = contradiction(test, &found, demand);
        let judged = match found.judge(longest, demand.tolerance) {
            // Nothing passes on lengths that do not agree.
            Verdict::Square if warning.is_some() => Verdict::Unsure,
            judged => judged,
        };
        let bracket = demand.bracket.map(|distance| Move {
            distance,
            // About its outer end the arm turns the same way with the end at the rail moved the other way.
            toward_board: if demand.pivot == Pivot::Rail { 1.0 } else { -1.0 } * found.move_at(distance),
            uncertainty: found.over(distance).1,
        });
        Ok(Self {
            schema: SQUARE_SCHEMA,
            verdict: judged.name(),
            judged,
            angle_deg: found.angle.to_degrees(),
            angle_uncertainty_deg: found.uncertainty.to_degrees(),
            largest: Largest {
                width,
                height,
                error,
                uncertainty,
                diagonals_differ: found.diagonals_differ(width, height),
            },
            tolerance: demand.tolerance,
            reading: demand.reading,
            bracket,
            pivot: demand.pivot.name(),
            turns_about: demand.pivot,
            warning,
        })
    }

    /// Returns what the test says of the arm.
    #[must_use]
    pub const fn verdict(&self) -> Verdict {
        self.judged
    }

    /// Returns the end about which the arm turns.
    #[must_use]
    pub const fn pivot(&self) -> Pivot {
        self.turns_about
    }

    /// Returns 1 where the corner between arm and blade is too wide, -1 where it is too narrow, and 0 where the measurement does
    /// not tell it from a right angle.
    pub(super) fn error_sign(&self) -> f64 {
        if self.is_left_as_it_is() { 0.0 } else { self.angle_deg.signum() }
    }

    /// Tells whether the end of the arm that moves is moved towards the board or away from it; `None` if the arm is left as it is.
    #[must_use]
    pub fn moves_toward_board(&self) -> Option<bool> {
        let sign = if self.turns_about == Pivot::Rail { 1.0 } else { -1.0 };
        (!self.is_left_as_it_is()).then_some(sign * self.angle_deg > 0.0)
    }

    fn is_left_as_it_is(&self) -> bool {
        self.angle_deg.abs() <= self.angle_uncertainty_deg
    }

    /// Describes the test for a framer; lengths of blanks are read off `ruler`, errors are in its unit.
    #[must_use]
    pub fn describe(&self, ruler: Ruler) -> String {
        let mut text = String::new();
        // Writing to a string cannot fail.
        let _ = self.write_words(ruler, &mut text);
        text
    }

    fn write_words(&self, ruler: Ruler, out: &mut String) -> std::fmt::Result {
        let Largest { width, height, error, uncertainty, diagonals_differ } = self.largest;
        let angle = format!("{:.3}° ± {:.3}°", self.angle_deg.abs(), self.angle_uncertainty_deg);
        match self.angle_deg {
            wide if wide > 0.0 => {
                writeln!(out, "The corner between arm and blade is {angle} wider than a right angle.")?
            }
            narrow if narrow < 0.0 => {
                writeln!(out, "The corner between arm and blade is {angle} narrower than a right angle.")?;
            }
            _ => writeln!(out, "The corner between arm and blade is off a right angle by {angle}.")?,
        }
        writeln!(
            out,
            "The longest cut of a blank of {} runs off by {} ± {}; its diagonals would differ by {}.",
            ruler.show_size(width, height),
            ruler.fine(error.abs()),
            ruler.fine(uncertainty),
            ruler.fine(diagonals_differ.abs())
        )?;
        let tolerance = format!("the allowed {}", ruler.fine(self.tolerance));
        match self.judged {
            Verdict::Square => writeln!(out, "PASS: within {tolerance}.")?,
            Verdict::OutOfSquare => writeln!(out, "FAIL: more than {tolerance}.")?,
            Verdict::Unsure if self.warning.is_some() => {
                writeln!(out, "NOT SURE: the lengths do not agree; measure again.")?
            }
            Verdict::Unsure => {
                writeln!(out, "NOT SURE: the uncertainty of the measurement spans {tolerance}.")?;
                writeln!(out, "Measure a larger blank, or with a finer ruler (--reading).")?;
            }
        }
        self.write_cure(ruler, out)?;
        CAUTIONS.iter().take(1).try_for_each(|caution| writeln!(out, "{caution}"))
    }

    fn write_cure(&self, ruler: Ruler, out: &mut String) -> std::fmt::Result {
        let Some(toward_board) = self.moves_toward_board() else {
            return writeln!(out, "Leave the arm as it is: the measurement cannot tell it from a square one.");
        };
        let (pivot, moved) = match self.turns_about {
            Pivot::Rail => ("at the rail", "the outer end"),
            Pivot::Outer => ("away from the rail", "the end at the rail"),
        };
        let way = if toward_board { "towards the board" } else { "away from the board" };
        let seen = if toward_board { "away from you" } else { "towards you" };
        // Ten inches, or ten centimetres.
        let step = if ruler.unit() == Unit::Inch { 254.0 } else { 100.0 };
        match self.bracket {
            Some(Move { distance, toward_board, uncertainty }) => writeln!(
                out,
                "Move the arm {way} by {} ± {} at the bracket, {} from its pivot {pivot}; then cut and measure again.",
                ruler.fine(toward_board.abs()),
                ruler.fine(uncertainty),
                ruler.show(distance)
            )?,
            None => writeln!(
                out,
                "Move {moved} {way}, by {} for every {} from the pivot of the arm {pivot} (--bracket works it out).",
                ruler.fine(step * self.angle_deg.to_radians().tan().abs()),
                ruler.show(step)
            )?,
        }
        writeln!(out, "As you stand with the arm at the near end of the rail and the board behind it, that is {seen}.")
    }

    /// Returns what the measured lengths do not agree in, in words.
    #[must_use]
    pub fn warning(&self) -> Option<&str> {
        self.warning.as_deref()
    }
}

/// Says what lengths contradict each other, or lie farther from square than an arm can be.
fn contradiction(test: &SquareTest, found: &Squareness, demand: &SquareDemand) -> Option<String> {
    /// No arm is that far out of square; a length has been misread.
    const MISREAD_DEG: f64 = 5.0;
    if let Some(excess) = test.contradiction(demand.reading) {
        let way = if excess > 0.0 { "longer" } else { "shorter" };
        return Some(format!(
            "the diagonals are {} {way} overall than such sides allow, more than reading errors of {} can explain; \
             measure again: in every parallelogram d₁² + d₂² = 2 (W² + H²)",
            demand.ruler.fine(excess.abs()),
            demand.ruler.fine(demand.reading)
        ));
    }
    let degrees = found.angle.to_degrees().abs();
    let words = || format!("{degrees:.1}° is more than an arm is ever off: look for a misread length");
    (degrees > MISREAD_DEG).then(words)
}
