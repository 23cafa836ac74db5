//! The unit of PDF, and the numbers of its objects.

use pdf_writer::Ref;

/// Length of a millimetre in points, the unit of PDF: 72 to the inch.
pub(super) const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// Hands out the numbers of objects.
pub(super) struct ObjectNumbers(Ref);

impl ObjectNumbers {
    /// Starts with the first number.
    pub(super) fn new() -> Self {
        Self(Ref::new(1))
    }

    /// Returns the next number.
    pub(super) fn next(&mut self) -> Ref {
        self.0.bump()
    }
}
