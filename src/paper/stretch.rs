//! How much larger a printer prints than it is told to.

/// By what factors a printer prints longer than it is told to; 1 where it prints true.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Along the width of an upright page: the short side of a sheet, or the width of a roll.
    pub across: f64,
    /// Along the height of an upright page.
    pub down: f64,
}

impl Stretch {
    /// Makes a stretch of its two factors.
    #[must_use]
    pub const fn new(across: f64, down: f64) -> Self {
        Self { across, down }
    }

    /// A printer that prints true.
    pub const NONE: Self = Self { across: 1.0, down: 1.0 };

    /// Returns the factors along the width and the height of a page that lies on its side.
    #[must_use]
    pub const fn turned(self) -> Self {
        Self { across: self.down, down: self.across }
    }
}
