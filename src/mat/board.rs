//! Mat board: a name and a measured thickness.

use super::board_thickness::Thickness;
use crate::colour::Colour;
use crate::length::exact_mm;

/// A board of a certain thickness.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
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

impl Board {
    /// Plies of a board of which nothing is said (common practice, no source).
    pub const USUAL_PLIES: u32 = 4;

    /// Makes a board that is known by its thickness in millimetres alone.
    #[must_use]
    pub fn unnamed(thickness: f64) -> Self {
        Self::new(exact_mm(thickness), thickness)
    }

    /// Makes the board of which a job says nothing: 4-ply.
    #[must_use]
    pub fn usual() -> Self {
        Self::of_plies(Self::USUAL_PLIES)
    }

    /// Makes a board that is known by its plies alone.
    #[must_use]
    pub fn of_plies(plies: u32) -> Self {
        Self { plies: Some(plies), ..Self::new(format!("{plies}-ply"), Thickness::by_plies(plies)) }
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
}
