//! The board that a blank or a sheet is of: what framers call it, and what is known of it.

use crate::colour::{BOARD_COLOURS, Colour, ColourTable};
use crate::job::{BoardKey, KnownBoard, Measure, WrittenBoard};
use crate::length::{Ratio, Unit, exact_mm, write_exact};
use crate::mat::{Board, BoardWords, Thickness};
use crate::tolerance::SAME_LENGTH_MM;

/// A kind of board: its name, and what is known of it.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardName {
    /// What the framer calls it; empty where an order knows only one.
    pub name: String,
    /// Its thickness, as far as it is known.
    pub thickness: Thickness,
    /// Colour of its face, where something other than its name says it.
    pub colour: Option<Colour>,
    /// Colour of its core: white where nothing else is said.
    pub core: Colour,
    /// What its name says.
    words: BoardWords,
}

impl Default for BoardName {
    fn default() -> Self {
        Self::named("")
    }
}

impl BoardName {
    /// Makes the board of a name that was read before; what cannot be understood in it is part of the name.
    #[must_use]
    pub fn named(name: &str) -> Self {
        let words = words_of(name);
        let core = words.core.unwrap_or(Colour::WHITE);
        Self { name: name.trim().to_owned(), thickness: words.thickness, colour: None, core, words }
    }

    /// Returns the board of a mat.
    #[must_use]
    pub fn of(board: &Board) -> Self {
        let thickness = Thickness { plies: board.plies, measured: Some(board.thickness) };
        // By its plies alone, a board is as thick as others of so many plies.
        let by_plies = board.plies.is_some_and(|plies| same(Thickness::by_plies(plies), board.thickness));
        let thickness = if by_plies { Thickness { measured: None, ..thickness } } else { thickness };
        Self { thickness, core: board.core, ..Self::coloured_by(&board.name, board.colour) }
    }

    /// Returns the board of which an order or a stock says so much.
    #[must_use]
    pub(super) fn known(board: &KnownBoard) -> Self {
        let core = board.core.unwrap_or(Colour::WHITE);
        Self { thickness: board.thickness, core, ..Self::coloured_by(&board.name, board.colour) }
    }

    /// Makes the board of a name and of a colour, which counts where the name does not say it.
    fn coloured_by(name: &str, colour: Option<Colour>) -> Self {
        let named = Self::named(name);
        Self { colour: colour.filter(|colour| named.words.colour != Some(*colour)), ..named }
    }

    /// Tells whether both may be the same board.
    ///
    /// Their names must say the same, whatever the order of plies and thickness in them and capitals aside; thicknesses, and colours
    /// that are said beside the name, only where both are known; cores always.
    #[must_use]
    pub fn agrees(&self, other: &Self) -> bool {
        let (own, others) = (&self.words, &other.words);
        let (colour, other_colour) = (self.colour.or(own.colour), other.colour.or(others.colour));
        // A name that is a colour, and a board without a name of that colour, are the same.
        let by_colour =
            |name: &BoardWords| Colour::by_name(&name.kind, &ColourTable::new()).is_some() || name.kind.is_empty();
        let same_name = own.kind == others.kind
            || (colour.is_some() && colour == other_colour && by_colour(own) && by_colour(others));
        let same_colour = self.colour.zip(other.colour).is_none_or(|(a, b)| a == b);
        same_name && same_colour && self.core == other.core && self.is_as_thick_as(other)
    }

    fn is_as_thick_as(&self, other: &Self) -> bool {
        if let Some((own, others)) = self.thickness.plies.zip(other.thickness.plies) {
            let measured = self.thickness.measured.zip(other.thickness.measured);
            return own == others && measured.is_none_or(|(a, b)| same(a, b));
        }
        self.thickness.mm().zip(other.thickness.mm()).is_none_or(|(a, b)| same(a, b))
    }

    /// Returns how many facts beside its name are known of it.
    pub(super) fn known_facts(&self) -> usize {
        let Thickness { plies, measured } = self.thickness;
        usize::from(plies.is_some()) + 2 * usize::from(measured.is_some()) + usize::from(self.colour.is_some())
    }

    /// Takes over what another board, which agrees with this one, says more of its thickness.
    pub(super) fn learn(&mut self, other: &Self) {
        self.thickness.plies = self.thickness.plies.or(other.thickness.plies);
        self.thickness.measured = self.thickness.measured.or(other.thickness.measured);
    }

    /// Describes the board in words: name, colour and core where the name does not say them, and thickness as far as it is known.
    #[must_use]
    pub fn describe(&self) -> String {
        let name = self.coloured();
        let shown = self.thickness.mm().map(exact_mm);
        match (name.as_str(), shown) {
            ("", None) => "board".to_owned(),
            (_, None) => name,
            ("", Some(thickness)) => format!("{thickness} thick"),
            (name, Some(thickness)) if name == thickness => format!("{thickness} thick"),
            (name, Some(thickness)) => format!("{name}, {thickness} thick"),
        }
    }

    /// Returns its name in short: what a drawing or a label has room for.
    #[must_use]
    pub fn short(&self) -> String {
        match (self.coloured(), self.thickness.mm()) {
            (name, None) if name.is_empty() => "board".to_owned(),
            (name, Some(thickness)) if name.is_empty() => exact_mm(thickness),
            (name, _) => name,
        }
    }

    /// Returns the name with the colour where it does not say it, and a core that is not white: `Coal, black, black core`.
    fn coloured(&self) -> String {
        let mut words = vec![self.name.clone()];
        words.extend(self.colour.map(colour_name));
        if self.core != Colour::WHITE && self.words.core != Some(self.core) {
            words.push(format!("{} core", colour_name(self.core)));
        }
        words.retain(|words| !words.is_empty());
        words.join(", ")
    }

    /// Writes the board so that it is read back as the same; `None` if nothing is known of it.
    pub(super) fn written(&self, unit: Unit) -> Option<BoardKey> {
        let words = &self.words;
        let said = words.thickness.mm();
        let more = self.thickness.mm().filter(|mm| !said.is_some_and(|said| same(said, *mm)));
        let is_measured = self.thickness.measured.is_some();
        let written = WrittenBoard {
            name: self.name.clone(),
            plies: self.thickness.plies.filter(|_| words.thickness.plies.is_none()),
            thickness: more
                .filter(|_| is_measured)
                .and_then(Ratio::near)
                .map(|mm| Measure::Text(write_exact(mm, unit))),
            colour: self.colour.map(colour_name).unwrap_or_default(),
            core: if self.core == words.core.unwrap_or(Colour::WHITE) { String::new() } else { colour_name(self.core) },
        };
        (!written.is_empty()).then_some(BoardKey(written))
    }
}

/// Reads a name of which every figure is part of it unless it is understood; one that contradicts itself is only a name.
fn words_of(name: &str) -> BoardWords {
    let own = ColourTable::new();
    BoardWords::of_name(name, &own)
        .unwrap_or_else(|_| BoardWords { kind: name.trim().to_lowercase(), ..BoardWords::default() })
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= SAME_LENGTH_MM
}

/// Returns the first name of a colour that is read back as the same, or its figures.
fn colour_name(colour: Colour) -> String {
    let names = BOARD_COLOURS.iter().map(|(name, _)| *name).chain(["black", "white"]);
    let named = names.into_iter().find(|name| Colour::by_name(name, &ColourTable::new()) == Some(colour));
    named.map_or_else(|| colour.to_string(), str::to_owned)
}

#[cfg(test)]
mod tests {
    use super::BoardName;
    use crate::checked::Checked;
    use crate::colour::Colour;
    use crate::length::Unit;
    use crate::mat::{Board, Thickness};

    fn black() -> Colour {
        Colour::by_name("black", &Default::default()).unwrap_or(Colour::BLACK)
    }

    #[test]
    fn boards_with_other_cores_are_other_boards() {
        let white = Board { colour: Some(black()), ..Board::new("Coal", 1.4) };
        let black = Board { core: black(), ..white.clone() };
        assert_eq!(BoardName::of(&white).short(), "Coal, black");
        assert_eq!(BoardName::of(&black).short(), "Coal, black, black core");
        assert!(!BoardName::of(&white).agrees(&BoardName::of(&black)));
        assert!(BoardName::of(&black).agrees(&BoardName::named("coal, black core")));
    }

    #[test]
    fn a_board_of_a_colour_of_its_own_is_found_by_its_name_in_the_stock() {
        let cream = Board { colour: Some(Colour::new(250, 240, 210)), ..Board::new("our cream", 1.4) };
        assert!(BoardName::of(&cream).agrees(&BoardName::named("our cream")));
        let grey = Board { colour: Some(Colour::new(9, 9, 9)), ..cream.clone() };
        assert!(!BoardName::of(&cream).agrees(&BoardName::of(&grey)), "one name for two colours");
    }

    #[test]
    fn names_agree_whatever_the_order_of_their_words() {
        for (one, other, agree) in [
            (" Warm White ", "warm white", true),
            ("warm-white", "warm white", true),
            ("8-ply rag", "rag 8 ply", true),
            ("8ply white", "white, 1/8 in", true),
            ("white 1400 micron", "1.4 mm white", true),
            ("white 1400 micron", "white", true),
            ("white 1400 micron", "white 2 mm", false),
            ("8-ply rag", "4-ply rag", false),
            ("white board", "white", true),
            ("cream, black core", "black core cream", true),
            ("cream, black core", "cream", false),
            ("a", "b", false),
        ] {
            assert_eq!(BoardName::named(one).agrees(&BoardName::named(other)), agree, "{one} and {other}");
        }
        let plies =
            |plies, measured| BoardName { thickness: Thickness { plies, measured }, ..BoardName::named("white") };
        assert!(plies(Some(4), Some(1.4)).agrees(&plies(Some(4), None)), "4-ply that was measured");
        assert!(!plies(Some(4), Some(1.4)).agrees(&plies(Some(4), Some(1.5))));
        let coloured = BoardName { colour: Some(Colour::WHITE), ..BoardName::named("8-ply") };
        assert!(coloured.agrees(&BoardName::named("8-ply white")));
    }

    #[test]
    fn a_board_is_read_back_as_it_was_written() {
        use crate::job::Scope;
        let scope = Scope::root(None, crate::length::Ruler::usual(Unit::Inch));
        let black = |name: &str| BoardName { core: black(), ..BoardName::named(name) };
        let thick = |name: &str, mm| BoardName {
            thickness: Thickness { plies: None, measured: Some(mm) },
            ..BoardName::named(name)
        };
        for board in [
            BoardName::named("warm white"),
            BoardName::named("8-ply rag"),
            BoardName::named("cream, black core"),
            black("cream"),
            thick("white", 1.4),
            thick("white 2297", 1.5875),
            BoardName { thickness: Thickness { plies: Some(4), measured: Some(1.4) }, ..BoardName::named("rag") },
            BoardName { thickness: Thickness { plies: Some(8), measured: None }, ..BoardName::named("white 2297") },
            BoardName { colour: Some(Colour::new(1, 2, 3)), ..BoardName::named("rag") },
        ] {
            let written = board.written(Unit::Inch).unwrap_or_default();
            let known = written.understand(&Default::default(), &scope).map(|known| BoardName::known(&known));
            assert_eq!(known, Checked::good(board), "{written:?}");
        }
    }
}
