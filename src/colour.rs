//! Colours as framers name them: words for boards and mouldings, the names of CSS, `#rrggbb` and `rgb(…)`.
//!
//! ```
//! use backline::colour::{Colour, ColourTable};
//!
//! let own = ColourTable::default();
//! assert_eq!(Colour::by_name("#f3e7c9", &own), Some(Colour::new(0xf3, 0xe7, 0xc9)));
//! assert!(Colour::by_name("burgundy", &own).is_some_and(|colour| colour.brightness() < 0.5));
//! ```

use std::collections::BTreeMap;
use std::fmt;
use std::str::FromStr;
use std::sync::LazyLock;

use svgtypes::Color;

/// A colour as screens show it (sRGB).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub struct Colour {
    /// Red, from 0 to 255.
    pub red: u8,
    /// Green, from 0 to 255.
    pub green: u8,
    /// Blue, from 0 to 255.
    pub blue: u8,
}

/// Words for the colours of boards and mouldings, as they look on a screen. They are our own guesses at what the words mean
/// (common practice, no source); a job extends or overrides them in `colours`.
///
/// They go before the words of CSS, whose `gold` is lemon, whose `chocolate` is orange and whose `red`, `green` and `blue` are
/// those of a lamp: no board or moulding looks like that. `#ffd700` is still what it says.
pub const BOARD_COLOURS: [(&str, Colour); 70] = [
    ("bright white", Colour::new(253, 253, 251)),
    ("warm white", Colour::new(246, 241, 229)),
    ("cool white", Colour::new(240, 243, 246)),
    ("natural white", Colour::new(243, 238, 224)),
    ("antique white", Colour::new(238, 228, 207)),
    ("off white", Colour::new(244, 241, 234)),
    ("cream", Colour::new(243, 231, 201)),
    ("parchment", Colour::new(232, 218, 188)),
    ("sand", Colour::new(214, 196, 164)),
    ("buff", Colour::new(219, 196, 150)),
    ("stone", Colour::new(196, 190, 178)),
    ("pale grey", Colour::new(214, 214, 211)),
    ("mid grey", Colour::new(142, 143, 142)),
    ("charcoal", Colour::new(64, 66, 68)),
    ("smooth black", Colour::new(30, 30, 31)),
    ("burgundy", Colour::new(108, 27, 44)),
    ("brick", Colour::new(150, 70, 52)),
    ("rust", Colour::new(164, 86, 44)),
    ("ochre", Colour::new(200, 151, 62)),
    ("sage", Colour::new(156, 168, 142)),
    ("bottle green", Colour::new(30, 68, 52)),
    ("slate blue grey", Colour::new(98, 112, 126)),
    ("oak", Colour::new(184, 141, 92)),
    ("walnut", Colour::new(92, 62, 42)),
    ("mahogany", Colour::new(96, 40, 30)),
    ("ash", Colour::new(214, 198, 170)),
    ("old gold", Colour::new(176, 142, 72)),
    ("silver leaf", Colour::new(190, 190, 186)),
    ("gold", Colour::new(203, 167, 94)),
    ("gold leaf", Colour::new(211, 175, 100)),
    ("antique gold", Colour::new(158, 126, 70)),
    ("white gold", Colour::new(212, 202, 172)),
    ("champagne", Colour::new(214, 198, 166)),
    ("silver", Colour::new(178, 180, 180)),
    ("antique silver", Colour::new(150, 148, 140)),
    ("pewter", Colour::new(132, 134, 134)),
    ("nickel", Colour::new(168, 166, 158)),
    ("steel", Colour::new(140, 146, 150)),
    ("aluminium", Colour::new(182, 186, 188)),
    ("aluminum", Colour::new(182, 186, 188)),
    ("brass", Colour::new(176, 144, 74)),
    ("copper", Colour::new(172, 104, 72)),
    ("bronze", Colour::new(124, 92, 58)),
    ("cherry", Colour::new(142, 80, 54)),
    ("maple", Colour::new(214, 180, 136)),
    ("beech", Colour::new(206, 166, 124)),
    ("birch", Colour::new(222, 198, 160)),
    ("pine", Colour::new(220, 184, 132)),
    ("teak", Colour::new(156, 112, 68)),
    ("rosewood", Colour::new(92, 46, 38)),
    ("ebony", Colour::new(44, 38, 35)),
    ("wenge", Colour::new(70, 55, 46)),
    ("brown", Colour::new(104, 74, 52)),
    ("dark brown", Colour::new(74, 54, 40)),
    ("light brown", Colour::new(158, 124, 90)),
    ("chocolate", Colour::new(78, 53, 41)),
    ("black", Colour::new(27, 27, 28)),
    ("red", Colour::new(166, 38, 42)),
    ("blue", Colour::new(46, 76, 128)),
    ("navy", Colour::new(32, 42, 74)),
    ("green", Colour::new(58, 98, 66)),
    ("forest green", Colour::new(48, 84, 58)),
    ("olive", Colour::new(110, 106, 62)),
    ("yellow", Colour::new(224, 188, 80)),
    ("orange", Colour::new(206, 120, 58)),
    ("terracotta", Colour::new(176, 98, 72)),
    ("purple", Colour::new(90, 60, 108)),
    ("plum", Colour::new(98, 54, 78)),
    ("pink", Colour::new(220, 172, 176)),
    ("maroon", Colour::new(102, 32, 38)),
];

/// Colours of the user's own, by name in small letters.
pub type ColourTable = BTreeMap<String, Colour>;

/// The colours of [`BOARD_COLOURS`] by their names in plain letters.
static BUILT_IN: LazyLock<BTreeMap<String, Colour>> = LazyLock::new(|| {
    let mut colours = BTreeMap::new();
    for (name, colour) in BOARD_COLOURS {
        colours.entry(plain(name)).or_insert(colour);
    }
    colours
});

impl Colour {
    /// White.
    pub const WHITE: Self = Self::new(255, 255, 255);
    /// Black.
    pub const BLACK: Self = Self::new(0, 0, 0);

    /// Makes a colour of its parts, each from 0 to 255.
    #[must_use]
    pub const fn new(red: u8, green: u8, blue: u8) -> Self {
        Self { red, green, blue }
    }

    /// Returns the colour that a name stands for: one of `own`, of [`BOARD_COLOURS`], or a CSS colour such as
    /// `dark grey`, `#7a1f2b` or `rgb(122, 31, 43)`. Case, spaces and hyphens in names do not count.
    ///
    /// Returns `None` for any other text, and for one with transparency: no board has that.
    #[must_use]
    pub fn by_name(name: &str, own: &ColourTable) -> Option<Self> {
        let wanted = plain(name);
        if wanted.is_empty() {
            return None;
        }
        let same = |other: &str| plain(other) == wanted;
        let of_own = own.iter().find(|(name, _)| same(name)).map(|(_, colour)| *colour);
        let built_in = || BUILT_IN.get(&wanted).copied();
        of_own.or_else(built_in).or_else(|| Self::css(name.trim())).or_else(|| Self::css(&wanted))
    }

    /// Returns the name of a board's colour, or of the user's own, that is most like a word; `None` if none is as much like it as
    /// `alike` (1 is equal).
    #[must_use]
    pub fn nearest_name<'n>(word: &str, own: &'n ColourTable, alike: f64) -> Option<&'n str> {
        let known = own.keys().map(String::as_str).chain(BOARD_COLOURS.iter().map(|(name, _)| *name));
        let word = word.to_lowercase();
        known
            .map(|known| (strsim::jaro_winkler(&word, known), known))
            .filter(|(likeness, _)| *likeness > alike)
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, name)| name)
    }

    fn css(text: &str) -> Option<Self> {
        let Color { red, green, blue, alpha } = Color::from_str(text).ok()?;
        (alpha == u8::MAX).then_some(Self { red, green, blue })
    }

    /// Returns its red, green and blue, each from 0 to 255.
    #[must_use]
    pub const fn parts(self) -> [u8; 3] {
        [self.red, self.green, self.blue]
    }

    /// Returns the colour on the way from this one to another; `share` is 0 here and 1 there.
    #[must_use]
    pub fn towards(self, other: Self, share: f64) -> Self {
        let mix = |from: u8, to: u8| (f64::from(from) + (f64::from(to) - f64::from(from)) * share).round() as u8;
        Self::new(mix(self.red, other.red), mix(self.green, other.green), mix(self.blue, other.blue))
    }

    /// Returns how bright the colour looks, from 0 for black to 1 for white (the weights of ITU-R BT.601).
    #[must_use]
    pub fn brightness(self) -> f64 {
        let [red, green, blue] = self.parts().map(|part| f64::from(part) / 255.0);
        0.299 * red + 0.587 * green + 0.114 * blue
    }
}

/// Writes `#rrggbb`.
impl fmt::Display for Colour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "#{:02x}{:02x}{:02x}", self.red, self.green, self.blue)
    }
}

/// Returns a name without what does not count in it; grey is spelt in the British way.
fn plain(name: &str) -> String {
    let letters = name.chars().filter(|letter| !letter.is_whitespace() && *letter != '-');
    letters.flat_map(char::to_lowercase).collect::<String>().replace("gray", "grey")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail by panic")]

    use super::{BOARD_COLOURS, Colour, ColourTable};

    #[test]
    fn a_name_is_looked_up_in_the_users_table_then_in_ours_then_in_css() {
        let own = ColourTable::from([("Our Cream".to_owned(), Colour::new(1, 2, 3)), ("sage".into(), Colour::BLACK)]);
        for (name, expected) in [
            ("our cream", Some("#010203")),
            ("Sage", Some("#000000")),
            ("Warm-White", Some("#f6f1e5")),
            ("dark grey", Some("#a9a9a9")),
            ("DarkSlateBlue", Some("#483d8b")),
            ("pale gray", Some("#d6d6d3")),
            ("Slate Gray", Some("#708090")),
            ("#7A1F2B", Some("#7a1f2b")),
            ("#abc", Some("#aabbcc")),
            ("rgb(122, 31, 43)", Some("#7a1f2b")),
            ("rgba(122, 31, 43, 0.5)", None),
            ("transparent", None),
            ("4-ply", None),
            ("", None),
        ] {
            let found = Colour::by_name(name, &own).map(|colour| colour.to_string());
            assert_eq!(found.as_deref(), expected, "{name}");
        }
    }

    /// The words of CSS gave a lemon frame for `gold` and an orange one for `chocolate`.
    #[test]
    fn metals_and_woods_are_not_the_colours_of_a_lamp() {
        let words = "gold, gold leaf, antique gold, old gold, white gold, silver, silver leaf, pewter, nickel, steel, brass, \
            copper, bronze, oak, walnut, mahogany, ash, cherry, maple, beech, birch, pine, teak, rosewood, ebony, wenge, brown, \
            chocolate, black";
        for word in words.split(", ") {
            let colour = Colour::by_name(word, &ColourTable::new()).unwrap();
            let [red, green, blue] = colour.parts();
            let (most, least) = (red.max(green).max(blue), red.min(green).min(blue));
            assert!(f64::from(most - least) <= 0.72 * f64::from(most), "{word} {colour}");
            // Warm or grey: none is greener or bluer than it is red by more than a trace.
            assert!(green <= red.saturating_add(6) && blue <= red.saturating_add(10), "{word} {colour}");
        }
        assert_eq!(Colour::by_name("#ffd700", &ColourTable::new()).unwrap().to_string(), "#ffd700");
    }

    #[test]
    fn no_name_is_in_the_table_twice() {
        for (index, (name, _)) in BOARD_COLOURS.iter().enumerate() {
            assert!(BOARD_COLOURS.iter().skip(index + 1).all(|(other, _)| super::plain(other) != super::plain(name)));
        }
    }

    #[test]
    fn mixes_and_weighs() {
        assert_eq!(Colour::BLACK.towards(Colour::WHITE, 0.5).to_string(), "#808080");
        assert!((Colour::WHITE.brightness() - 1.0).abs() < 1e-12 && Colour::BLACK.brightness() < 1e-12);
    }
}
