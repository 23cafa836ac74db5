//! Mat board: a name and a measured thickness.

use crate::colour::Colour;
use crate::length::exact_mm;

/// A board of a certain thickness.
#[derive(Debug, Clone, PartialEq)]
pub struct Board {
    /// What the framer calls it, for example `4-ply` or a colour.
    pub name: String,
    /// Thickness in millimetres, above zero.
    pub thickness: f64,
    /// Its plies, if the job says.
    pub plies: Option<u32>,
    /// Colour of its face, if the job says or its name is that of a colour.
    pub colour: Option<Colour>,
    /// Colour of its core, which a bevel shows.
    pub core: Colour,
}

/// Thickness in millimetres of board sold by plies: a linear rule, 1/64 in a ply (common practice, no source).
///
/// Published figures differ: 4-ply museum board is 0.050 to 0.060 in, one maker's nominal value spreads by up to
/// 0.004 in (S. Saitzyk, *Art Hardware*, 1987). A measured thickness is always better than the name.
pub const PLIES: [(&str, f64); 5] = [
    ("2-ply", 25.4 / 32.0),
    ("4-ply", 25.4 / 16.0),
    ("6-ply", 25.4 * 3.0 / 32.0),
    ("8-ply", 25.4 / 8.0),
    ("12-ply", 25.4 * 3.0 / 16.0),
];

impl Board {
    /// Makes a board that is known by its thickness in millimetres alone.
    #[must_use]
    pub fn unnamed(thickness: f64) -> Self {
        Self::new(exact_mm(thickness), thickness)
    }

    /// Makes a board with a white core and no colour of a name and a thickness in millimetres.
    #[must_use]
    pub fn new(name: impl Into<String>, thickness: f64) -> Self {
        Self { name: name.into(), thickness, plies: None, colour: None, core: Colour::WHITE }
    }

    /// Describes the board in words: its name, if it has one, and its thickness.
    #[must_use]
    pub fn describe(&self) -> String {
        let thickness = exact_mm(self.thickness);
        if self.name == thickness { format!("{thickness} thick") } else { format!("{}, {thickness} thick", self.name) }
    }

    /// Returns the board with a ply name such as `4-ply` (also `4 ply`), or `None` if there is no such name.
    #[must_use]
    pub fn by_plies(name: &str) -> Option<Self> {
        let wanted = name.trim().to_ascii_lowercase().replace(' ', "-");
        let &(name, thickness) = PLIES.iter().find(|(name, _)| *name == wanted)?;
        let plies = name.split('-').next().and_then(|plies| plies.parse().ok());
        Some(Self { plies, ..Self::new(name, thickness) })
    }
}
