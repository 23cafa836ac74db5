//! The board that a blank or a sheet is of: what framers call it, and its thickness where that is known.

use crate::colour::{BOARD_COLOURS, Colour, ColourTable};
use crate::length::exact_mm;
use crate::mat::Board;
use crate::tolerance::SAME_LENGTH_MM;

/// A kind of board: its name, and its thickness if it is known.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BoardName {
    /// What the framer calls it; empty where an order knows only one.
    pub name: String,
    /// Its thickness in millimetres.
    pub thickness: Option<f64>,
}

impl BoardName {
    /// Makes the name of a board of unknown thickness.
    #[must_use]
    pub fn named(name: &str) -> Self {
        Self { name: name.trim().to_owned(), thickness: None }
    }

    /// Returns the name of the board of a mat, with its colour where the name does not say it and a core that is not
    /// white: `Coal, black, black core`.
    #[must_use]
    pub fn of(board: &Board) -> Self {
        let named = Colour::by_name(&board.name, &ColourTable::new());
        let mut name = board.name.clone();
        if let Some(colour) = board.colour.filter(|colour| Some(*colour) != named) {
            name = format!("{name}, {}", colour_name(colour));
        }
        if board.core != Colour::WHITE {
            name = format!("{name}, {} core", colour_name(board.core));
        }
        Self { name, thickness: Some(board.thickness) }
    }

    /// Tells whether both may be the same board: the same name, capitals aside, and no two different thicknesses.
    #[must_use]
    pub fn agrees(&self, other: &Self) -> bool {
        let thickness = match (self.thickness, other.thickness) {
            (Some(a), Some(b)) => (a - b).abs() <= SAME_LENGTH_MM,
            _ => true,
        };
        thickness && self.name.to_lowercase() == other.name.to_lowercase()
    }

    /// Describes the board in words: name and thickness, as far as they are known.
    #[must_use]
    pub fn describe(&self) -> String {
        match (self.name.as_str(), self.thickness) {
            ("", None) => "board".to_owned(),
            (name, None) => name.to_owned(),
            (name, Some(thickness)) => {
                let thickness = exact_mm(thickness);
                if name.is_empty() || name == thickness {
                    format!("{thickness} thick")
                } else {
                    format!("{name}, {thickness} thick")
                }
            }
        }
    }

    /// Returns its name in short: what a drawing or a label has room for.
    #[must_use]
    pub fn short(&self) -> String {
        match (self.name.as_str(), self.thickness) {
            ("", None) => "board".to_owned(),
            ("", Some(thickness)) => exact_mm(thickness),
            (name, _) => name.to_owned(),
        }
    }
}

/// Returns the first name of a colour, or its figures.
fn colour_name(colour: Colour) -> String {
    let plain = [("black", Colour::BLACK), ("white", Colour::WHITE)];
    let named =
        BOARD_COLOURS.iter().chain(&plain).find(|(_, other)| *other == colour).map(|(name, _)| (*name).to_owned());
    let [red, green, blue] = colour.parts();
    named.unwrap_or_else(|| format!("#{red:02x}{green:02x}{blue:02x}"))
}

#[cfg(test)]
mod tests {
    use super::BoardName;
    use crate::colour::Colour;
    use crate::mat::Board;

    #[test]
    fn boards_with_other_cores_are_other_boards() {
        let white = Board { colour: Some(Colour::BLACK), ..Board::new("Coal", 1.4) };
        let black = Board { core: Colour::BLACK, ..white.clone() };
        assert_eq!(BoardName::of(&white).name, "Coal, black");
        assert_eq!(BoardName::of(&black).name, "Coal, black, black core");
        assert!(!BoardName::of(&white).agrees(&BoardName::of(&black)));
    }

    #[test]
    fn names_agree_without_capitals() {
        let board = |name: &str, thickness| BoardName { name: name.to_owned(), thickness };
        assert!(BoardName::named(" Warm White ").agrees(&board("warm white", Some(1.4))));
        assert!(board("a", Some(1.4)).agrees(&board("A", Some(1.4))));
        assert!(!board("a", Some(1.4)).agrees(&board("a", Some(2.8))));
        assert!(!board("a", None).agrees(&board("b", None)));
    }
}
