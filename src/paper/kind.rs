//! A kind of paper: a sheet or a roll, read from what a person types.

use std::fmt;
use std::str::FromStr;

use super::{SHEET_SIZES, SheetSize};
use crate::length;

/// A kind of paper, read from a name, a size or the width of a roll.
///
/// ```
/// use backline::paper::Paper;
///
/// for written in ["A4", "letter", "arch d", "13 x 19 in", "roll 24 in"] {
///     assert!(written.parse::<Paper>().is_ok());
/// }
/// let a4: Paper = "a4".parse()?;
/// assert_eq!(a4, Paper::Sheet { name: "A4".into(), short: 210.0, long: 297.0 });
/// # Ok::<(), backline::paper::PaperError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub enum Paper {
    /// A sheet.
    Sheet {
        /// Its name, such as `A4`, or its size as words.
        name: String,
        /// Its short side in millimetres.
        short: f64,
        /// Its long side in millimetres.
        long: f64,
    },
    /// A roll, of which a page takes as much as it needs.
    Roll {
        /// Its width in millimetres.
        width: f64,
    },
}

/// Why words are not a kind of paper.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct PaperError {
    /// What is wrong.
    pub message: String,
    /// What to write instead.
    pub help: String,
}

impl fmt::Display for PaperError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message, self.help)
    }
}

impl std::error::Error for PaperError {}

/// Starts the words for a roll.
const ROLL: &str = "roll";
/// The longest side of a sheet and the widest roll in millimetres: a page of a PDF file has at most 200 in.
const LONGEST_MM: f64 = 5080.0;
/// The least alike that a name must be to be suggested, from 0 to 1.
const ALIKE: f64 = 0.7;

impl FromStr for Paper {
    type Err = PaperError;

    fn from_str(text: &str) -> Result<Self, PaperError> {
        let text = text.trim();
        if let Some(size) = SheetSize::by_name(text) {
            return Ok(Self::from(size));
        }
        if let Some(width) = text.get(..ROLL.len()).filter(|word| word.eq_ignore_ascii_case(ROLL)) {
            return Self::roll(text.get(width.len()..).unwrap_or_default().trim());
        }
        if text.starts_with(|first: char| first.is_ascii_digit() || first == '.') {
            return Self::sheet(text);
        }
        Err(unknown(text))
    }
}

impl Paper {
    fn roll(width: &str) -> Result<Self, PaperError> {
        let fault = |message: String, help: String| PaperError { message, help };
        let width =
            length::parse(width, None).map_err(|error| fault(format!("the width of the roll: {error}"), example()))?;
        check(width, "the width of the roll")?;
        Ok(Self::Roll { width })
    }

    fn sheet(text: &str) -> Result<Self, PaperError> {
        let size = length::parse_size(text, None)
            .map_err(|error| PaperError { message: format!("the size of the paper: {error}"), help: example() })?;
        let (short, long) = (size.width.min(size.height), size.width.max(size.height));
        check(short, "the short side of the paper")?;
        check(long, "the long side of the paper")?;
        Ok(Self::Sheet { name: text.to_owned(), short, long })
    }

    /// Returns its short side, or the width of the roll, in millimetres.
    #[must_use]
    pub const fn short(&self) -> f64 {
        match self {
            Self::Sheet { short, .. } => *short,
            Self::Roll { width } => *width,
        }
    }
}

impl From<&SheetSize> for Paper {
    fn from(size: &SheetSize) -> Self {
        Self::Sheet { name: size.name.to_owned(), short: size.short, long: size.long }
    }
}

/// Writes `A4`, `13 x 19 in` or `roll 609.6 mm`: words that are read back as the same paper.
impl fmt::Display for Paper {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Sheet { name, .. } => f.write_str(name),
            Self::Roll { width } => write!(f, "{ROLL} {}", length::exact_mm(*width)),
        }
    }
}

fn check(side: f64, what: &str) -> Result<(), PaperError> {
    if side > 0.0 && side <= LONGEST_MM {
        return Ok(());
    }
    Err(PaperError {
        message: format!("{what} is {}", length::exact_mm(side)),
        help: format!("it must be more than 0 and at most {LONGEST_MM} mm (200 in)"),
    })
}

fn unknown(text: &str) -> PaperError {
    let alike = |name: &str| strsim::jaro_winkler(&name.to_lowercase(), &text.to_lowercase());
    let nearest = SheetSize::names().max_by(|a, b| alike(a).total_cmp(&alike(b)));
    let suggestion = nearest.filter(|name| alike(name) >= ALIKE).map(|name| format!("did you mean {name}? "));
    PaperError {
        message: format!("there is no paper called “{text}”"),
        help: format!("{}{}", suggestion.unwrap_or_default(), example()),
    }
}

fn example() -> String {
    let names: Vec<&str> = SHEET_SIZES.iter().map(|size| size.name).collect();
    format!("write a name ({}), a size like “13 x 19 in”, or a roll like “roll 24 in”", names.join(", "))
}

#[cfg(test)]
mod tests {
    use super::Paper;

    #[test]
    fn names_sizes_and_rolls_are_read() {
        for (written, short, shown) in [
            ("A4", 210.0, "A4"),
            (" us letter ", 215.9, "Letter"),
            ("13 x 19 in", 330.2, "13 x 19 in"),
            ("500x400mm", 400.0, "500x400mm"),
            ("Roll 24 in", 609.6, "roll 609.6 mm"),
            ("roll 610mm", 610.0, "roll 610 mm"),
        ] {
            let paper: Paper = written.parse().unwrap_or_else(|error| panic!("{written}: {error}"));
            assert!((paper.short() - short).abs() < 1e-9, "{written}");
            assert_eq!(paper.to_string(), shown);
            assert_eq!(shown.parse(), Ok(paper), "{shown} is read back");
        }
    }

    #[test]
    fn errors_say_what_to_write() {
        for (written, message, help) in [
            ("leter", "no paper called “leter”", "did you mean Letter?"),
            ("", "no paper called “”", "write a name (4A0, "),
            ("roll", "the width of the roll", "roll 24 in"),
            ("roll 24", "the width of the roll", "roll 24 in"),
            ("0 x 10 in", "the short side of the paper is 0 mm", "more than 0"),
            ("210 x 9000 mm", "the long side of the paper is 9000 mm", "at most 5080 mm"),
            ("210 x 297", "the size of the paper", "13 x 19 in"),
            ("日本", "no paper called “日本”", "write a name"),
        ] {
            let error = written.parse::<Paper>().err().unwrap_or_else(|| panic!("{written} is read"));
            assert!(error.message.contains(message) && error.help.contains(help), "{written}: {error}");
        }
    }
}
