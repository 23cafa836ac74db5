//! Lengths as read off a ruler, to the nearest mark.

use std::fmt;

use super::Unit;
use crate::tolerance::{READING_MM, SAME_LENGTH_MM};

/// A ruler: a unit and the number of parts that its marks divide the unit into.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Ruler {
    unit: Unit,
    parts: u32,
}

/// A length as read off a ruler.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct RulerReading {
    /// The number without its unit, such as `3 1/4` or `82.6`.
    pub text: String,
    /// The unit of the number.
    pub unit: Unit,
    /// The true length less the reading, in millimetres: above zero where the mark falls short.
    pub rest: f64,
}

impl Ruler {
    /// Makes a ruler whose unit is divided into `parts`; `None` if [`Ruler::divisions`] does not list them.
    #[must_use]
    pub fn new(unit: Unit, parts: u32) -> Option<Self> {
        Self::divisions(unit).contains(&parts).then_some(Self { unit, parts })
    }

    /// Makes the usual ruler of a unit: sixteenths of an inch, or half millimetres (common practice, no source).
    #[must_use]
    pub const fn usual(unit: Unit) -> Self {
        let parts = match unit {
            Unit::Inch => 16,
            Unit::Millimetre => 2,
            Unit::Centimetre => 20,
        };
        Self { unit, parts }
    }

    /// Returns the numbers of parts that a ruler of the unit may have: halves of halves of an inch down to 1/64, and
    /// whole, half or tenth millimetres.
    #[must_use]
    pub const fn divisions(unit: Unit) -> &'static [u32] {
        match unit {
            Unit::Inch => &[1, 2, 4, 8, 16, 32, 64],
            Unit::Millimetre => &[1, 2, 10],
            Unit::Centimetre => &[10, 20, 100],
        }
    }

    /// Returns the unit of the ruler.
    #[must_use]
    pub const fn unit(self) -> Unit {
        self.unit
    }

    /// Returns the number of parts that the unit is divided into.
    #[must_use]
    pub const fn parts(self) -> u32 {
        self.parts
    }

    /// Returns the distance in millimetres from one mark to the next.
    #[must_use]
    pub fn mark(self) -> f64 {
        self.unit.millimetres() / f64::from(self.parts)
    }

    /// Reads a length in millimetres off the nearest mark; halfway between two marks the longer one counts.
    ///
    /// Fractions are reduced and carried, so that 15.97 in is `16` on a ruler of sixteenths. A length below zero gets
    /// a minus sign. A number that is not finite is given as it is, with no rest.
    #[must_use]
    pub fn read(self, mm: f64) -> RulerReading {
        if !mm.is_finite() {
            return RulerReading { text: mm.to_string(), unit: self.unit, rest: 0.0 };
        }
        let parts = f64::from(self.parts);
        // A length computed in `f64` may miss the halfway point by a hair.
        let marks = ((mm.abs() + SAME_LENGTH_MM) / self.unit.millimetres() * parts + 0.5).floor();
        let mut text = String::with_capacity(16);
        if mm < 0.0 && marks > 0.0 {
            text.push('-');
        }
        match self.unit {
            Unit::Inch => self.push_fraction(&mut text, marks as u64),
            Unit::Millimetre | Unit::Centimetre => self.push_decimal(&mut text, marks as u64),
        }
        let rest = mm - (marks * self.unit.millimetres() / parts).copysign(mm);
        RulerReading { text, unit: self.unit, rest }
    }

    /// Returns a length in millimetres as `3 1/4 in` or `82.6 mm`, without a word about rounding.
    ///
    /// The [`RulerReading`] of [`Ruler::read`] also shows the rest.
    #[must_use]
    pub fn show(self, mm: f64) -> String {
        format!("{} {}", self.read(mm).text, self.unit)
    }

    /// Returns a width and a height in millimetres as `7 3/4 × 9 3/4 in`, without a word about rounding.
    #[must_use]
    pub fn show_size(self, width: f64, height: f64) -> String {
        format!("{} × {} {}", self.read(width).text, self.read(height).text, self.unit)
    }

    /// Returns a length in millimetres with what the mark leaves over, for messages in which numbers clash: `82.5 mm (+0.2 mm)`.
    #[must_use]
    pub fn tell(self, mm: f64) -> String {
        self.read(mm).to_string()
    }

    /// Returns a width and a height in millimetres with what the marks leave over; `7 3/4 × 9 3/4 in` where they leave nothing.
    #[must_use]
    pub fn tell_size(self, width: f64, height: f64) -> String {
        let on_marks = [width, height].iter().all(|side| self.read(*side).rest.abs() < READING_MM);
        if on_marks { self.show_size(width, height) } else { format!("{} × {}", self.tell(width), self.tell(height)) }
    }

    /// Returns a length in millimetres that is read off no ruler, such as an error or the depth of a blade: to a hundredth of a
    /// millimetre, or to a thousandth of an inch or a centimetre; fractions of an inch where it is one of 64ths.
    #[must_use]
    pub fn fine(self, mm: f64) -> String {
        let finest = Self { unit: Unit::Inch, parts: 64 };
        match self.unit {
            Unit::Millimetre => format!("{mm:.2} mm"),
            Unit::Inch if mm != 0.0 && finest.read(mm).rest.abs() < READING_MM => finest.show(mm),
            unit => format!("{:.3} {unit}", mm / unit.millimetres()),
        }
    }

    fn push_fraction(self, text: &mut String, marks: u64) {
        let parts = u64::from(self.parts);
        let (whole, over) = (marks / parts, marks % parts);
        // The parts are a power of two, so that common factors are twos.
        let common = 1 << over.trailing_zeros().min(self.parts.trailing_zeros());
        if whole > 0 || over == 0 {
            push(text, whole);
        }
        if over > 0 {
            text.push_str(if whole > 0 { " " } else { "" });
            push(text, over / common);
            text.push('/');
            push(text, parts / common);
        }
    }

    /// The parts of a metric ruler divide a hundred.
    fn push_decimal(self, text: &mut String, marks: u64) {
        push_hundredths(text, marks.saturating_mul(100 / u64::from(self.parts)));
    }
}

/// Adds a decimal number without zeros at its end.
fn push_hundredths(text: &mut String, hundredths: u64) {
    push(text, hundredths / 100);
    let (tenth, hundredth) = (hundredths / 10 % 10, hundredths % 10);
    if tenth + hundredth > 0 {
        text.push('.');
        push(text, tenth);
    }
    if hundredth > 0 {
        push(text, hundredth);
    }
}

fn push(text: &mut String, number: u64) {
    text.push_str(itoa::Buffer::new().format(number));
}

/// Returns a measured length as it is, in millimetres to a tenth of a thousandth: `1.5875 mm`.
#[must_use]
pub fn exact_mm(mm: f64) -> String {
    let text = format!("{mm:.4}");
    format!("{} mm", text.trim_end_matches('0').trim_end_matches('.'))
}

/// Writes `3 1/4 in`, and `3 1/4 in (+0.3 mm)` where the true length is 0.3 mm more.
///
/// A rest of less than 0.005 mm is not shown.
impl fmt::Display for RulerReading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut text = String::with_capacity(32);
        self.push_to(&mut text);
        f.write_str(&text)
    }
}

impl RulerReading {
    /// Adds what is displayed to a text.
    pub(crate) fn push_to(&self, text: &mut String) {
        text.push_str(&self.text);
        text.push(' ');
        text.push_str(self.unit.name());
        if self.rest.abs() >= READING_MM {
            text.push_str(if self.rest < 0.0 { " (-" } else { " (+" });
            push_hundredths(text, (self.rest.abs() * 100.0).round_ties_even() as u64);
            text.push_str(" mm)");
        }
    }
}
