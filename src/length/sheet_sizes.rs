//! The one table of sheet sizes that have a name.

use super::{Ratio, Unit};

/// A size of sheet that has a name.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct SheetSize {
    /// Its usual name, for example `A4` or `Letter`.
    pub name: &'static str,
    /// Its short side in millimetres.
    pub short: f64,
    /// Its long side in millimetres.
    pub long: f64,
    /// The unit in which it is published.
    pub unit: Unit,
    /// Where the size is published.
    pub source: &'static str,
}

impl SheetSize {
    /// Returns the size with a name; capitals, spaces and hyphens do not count.
    #[must_use]
    pub fn by_name(name: &str) -> Option<&'static Self> {
        let wanted = plain(name);
        // ISO and DIN give the sizes of their series the same names.
        let wanted = ["iso", "din"].iter().find_map(|body| wanted.strip_prefix(body)).unwrap_or(&wanted);
        let known = |name: &str| plain(name) == wanted;
        let alias = ALIASES.iter().find(|(alias, _)| known(alias)).map(|(_, name)| *name);
        SHEET_SIZES.iter().find(|size| alias.map_or_else(|| known(size.name), |name| name == size.name))
    }

    /// Reads a name with or without the way that the sheet lies, such as `A2` or `A2 landscape`, as width and height in
    /// millimetres; a name alone stands upright. Returns `None` for other words.
    pub(super) fn lying(words: &str) -> Option<(&'static Self, [Ratio; 2])> {
        let words = words.trim();
        let way = |ways: &[&str]| {
            let (name, last) = words.rsplit_once(char::is_whitespace)?;
            ways.iter().any(|way| last.eq_ignore_ascii_case(way)).then_some(name)
        };
        let (name, lies) = match (way(&LYING), way(&UPRIGHT)) {
            (Some(name), _) => (name, true),
            (None, Some(name)) => (name, false),
            (None, None) => (words, false),
        };
        let size = Self::by_name(name)?;
        let (short, long) = (Ratio::near(size.short)?, Ratio::near(size.long)?);
        Some((size, if lies { [long, short] } else { [short, long] }))
    }

    /// Returns every name that [`SheetSize::by_name`] knows.
    pub fn names() -> impl Iterator<Item = &'static str> {
        SHEET_SIZES.iter().map(|size| size.name).chain(ALIASES.iter().map(|(alias, _)| *alias))
    }
}

/// Returns a name without what does not count in it.
fn plain(name: &str) -> String {
    let counts = |letter: &char| !letter.is_whitespace() && !matches!(letter, '-' | '_');
    name.chars().filter(counts).flat_map(char::to_lowercase).collect()
}

/// Words for a sheet whose width is its long side.
const LYING: [&str; 2] = ["landscape", "lying"];
/// Words for a sheet whose width is its short side.
const UPRIGHT: [&str; 2] = ["portrait", "upright"];

/// Other names in use.
const ALIASES: [(&str, &str); 7] = [
    ("US Letter", "Letter"),
    ("ANSI A", "Letter"),
    ("US Legal", "Legal"),
    ("ANSI B", "Tabloid"),
    ("Ledger", "Tabloid"),
    ("11x17", "Tabloid"),
    ("Architectural D", "ARCH D"),
];

const ISO_216: &str = "ISO 216, https://www.wiki3.en-us.nina.az/ISO_216.html";
const DIN_476: &str = "DIN 476, https://www.wiki3.en-us.nina.az/ISO_216.html";
const ASME: &str = "ASME Y14.1, from memory, the standard was not opened";
const LEGAL: &str = "US trade size, from memory, no standard was opened";
const PHOTO: &str = "common practice, no source";

/// Every size of sheet with a name, in the order in which documents list them.
pub const SHEET_SIZES: &[SheetSize] = &[
    mm("4A0", 1682.0, 2378.0, DIN_476),
    mm("2A0", 1189.0, 1682.0, DIN_476),
    mm("A0", 841.0, 1189.0, ISO_216),
    mm("A1", 594.0, 841.0, ISO_216),
    mm("A2", 420.0, 594.0, ISO_216),
    mm("A3+", 329.0, 483.0, PHOTO),
    mm("A3", 297.0, 420.0, ISO_216),
    mm("A4", 210.0, 297.0, ISO_216),
    mm("A5", 148.0, 210.0, ISO_216),
    mm("A6", 105.0, 148.0, ISO_216),
    mm("A7", 74.0, 105.0, ISO_216),
    mm("A8", 52.0, 74.0, ISO_216),
    mm("A9", 37.0, 52.0, ISO_216),
    mm("A10", 26.0, 37.0, ISO_216),
    mm("B0", 1000.0, 1414.0, ISO_216),
    mm("B1", 707.0, 1000.0, ISO_216),
    mm("B2", 500.0, 707.0, ISO_216),
    mm("B3", 353.0, 500.0, ISO_216),
    mm("B4", 250.0, 353.0, ISO_216),
    mm("B5", 176.0, 250.0, ISO_216),
    mm("B6", 125.0, 176.0, ISO_216),
    mm("B7", 88.0, 125.0, ISO_216),
    mm("B8", 62.0, 88.0, ISO_216),
    mm("B9", 44.0, 62.0, ISO_216),
    mm("B10", 31.0, 44.0, ISO_216),
    inches("Letter", 8.5, 11.0, ASME),
    inches("Legal", 8.5, 14.0, LEGAL),
    inches("Tabloid", 11.0, 17.0, ASME),
    inches("ANSI C", 17.0, 22.0, ASME),
    inches("ANSI D", 22.0, 34.0, ASME),
    inches("ANSI E", 34.0, 44.0, ASME),
    inches("ANSI F", 28.0, 40.0, ASME),
    inches("ARCH A", 9.0, 12.0, ASME),
    inches("ARCH B", 12.0, 18.0, ASME),
    inches("ARCH C", 18.0, 24.0, ASME),
    inches("ARCH D", 24.0, 36.0, ASME),
    inches("ARCH E", 36.0, 48.0, ASME),
];

const fn mm(name: &'static str, short: f64, long: f64, source: &'static str) -> SheetSize {
    SheetSize { name, short, long, unit: Unit::Millimetre, source }
}

const fn inches(name: &'static str, short: f64, long: f64, source: &'static str) -> SheetSize {
    SheetSize { name, short: short * 25.4, long: long * 25.4, unit: Unit::Inch, source }
}

#[cfg(test)]
mod tests {
    use super::{SHEET_SIZES, SheetSize};

    #[test]
    fn capitals_spaces_and_hyphens_do_not_count() {
        for (written, name) in [
            ("a4", "A4"),
            ("LETTER", "Letter"),
            ("arch-d", "ARCH D"),
            ("Ansi_B", "Tabloid"),
            ("iso a 4", "A4"),
            ("DIN A2", "A2"),
        ] {
            assert_eq!(SheetSize::by_name(written).map(|size| size.name), Some(name), "{written}");
        }
        assert!(SheetSize::by_name("A11").is_none() && SheetSize::by_name("").is_none());
    }

    #[test]
    fn every_name_is_of_one_size() {
        for name in SheetSize::names() {
            assert!(SheetSize::by_name(name).is_some(), "{name}");
            assert_eq!(SheetSize::names().filter(|other| other.eq_ignore_ascii_case(name)).count(), 1, "{name}");
        }
    }

    #[test]
    fn iso_sizes_are_halves_rounded_down() {
        // The rule of ISO 216; A3+ lies outside it.
        for series in ["A", "B"] {
            for number in 0..10 {
                let size = |number| SheetSize::by_name(&format!("{series}{number}"));
                let (whole, half) = (size(number), size(number + 1));
                let halved = whole.map(|whole| ((whole.long / 2.0).floor(), whole.short));
                assert_eq!(halved, half.map(|half| (half.short, half.long)), "{series}{number}");
            }
        }
    }

    #[test]
    fn the_short_side_comes_first_and_every_size_has_a_source() {
        for size in SHEET_SIZES {
            assert!(size.short < size.long && !size.source.is_empty(), "{}", size.name);
        }
    }

    #[test]
    fn letter_is_612_by_792_points() {
        // 8.5 × 11 in at 72 points to the inch (PDF Reference 1.7).
        let letter = SheetSize::by_name("Letter").map(|size| (size.short / 25.4 * 72.0, size.long / 25.4 * 72.0));
        assert!(letter.is_some_and(|(short, long)| (short - 612.0).abs() < 1e-9 && (long - 792.0).abs() < 1e-9));
    }
}
