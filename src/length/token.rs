//! The pieces that the text of a length is made of: numbers, fraction signs, unit words and marks.

use std::ops::Range;

use super::ratio::Ratio;
use super::{LengthError, Unit};

/// One piece of the text of a length.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Token {
    pub(super) range: Range<usize>,
    pub(super) kind: TokenKind,
}

/// What a piece is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum TokenKind {
    /// A number of figures alone, or with a decimal point.
    Number { value: Ratio, decimal: bool },
    /// A fraction that is one character, such as `¼`.
    Fraction(Ratio),
    /// The stroke between the numbers of a fraction.
    Slash,
    /// A hyphen or minus sign.
    Dash,
    /// A unit, as a word or a mark.
    Scale(WrittenUnit),
    /// The sign between width and height.
    By,
}

/// Everything that a length can be measured in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum WrittenUnit {
    Inch,
    Foot,
    Thou,
    Micrometre,
    Millimetre,
    Centimetre,
    Metre,
}

const UNITS: &str = "the units are in (or \"), ft (or '), mm, cm, m and micron";

impl WrittenUnit {
    /// Returns how many millimetres one of it is.
    pub(super) fn millimetres(self) -> Option<Ratio> {
        match self {
            // An inch is 25.4 mm, a foot 12 in.
            Self::Inch => Ratio::new(127, 5),
            Self::Foot => Ratio::new(1524, 5),
            Self::Thou => Ratio::new(127, 5000),
            Self::Micrometre => Ratio::new(1, 1000),
            Self::Millimetre => Ratio::new(1, 1),
            Self::Centimetre => Ratio::new(10, 1),
            Self::Metre => Ratio::new(1000, 1),
        }
    }

    /// Returns the unit of readings that goes with it.
    pub(super) const fn unit(self) -> Unit {
        match self {
            Self::Inch | Self::Foot | Self::Thou => Unit::Inch,
            Self::Micrometre | Self::Millimetre | Self::Metre => Unit::Millimetre,
            Self::Centimetre => Unit::Centimetre,
        }
    }

    pub(super) fn of_word(word: &str) -> Option<Self> {
        Some(match word {
            "in" | "ins" | "inch" | "inches" => Self::Inch,
            "ft" | "foot" | "feet" => Self::Foot,
            "thou" | "thous" => Self::Thou,
            // The sign for micro is one of two characters that look alike.
            "µm" | "μm" | "um" | "mic" | "mics" | "micron" | "microns" | "micrometre" | "micrometres"
            | "micrometer" | "micrometers" => Self::Micrometre,
            "mm" | "mms" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => Self::Millimetre,
            "cm" | "cms" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => Self::Centimetre,
            "m" | "metre" | "metres" | "meter" | "meters" => Self::Metre,
            _ => return None,
        })
    }
}

/// Splits a text into its pieces, leaving out the space between them.
pub(super) fn tokens(text: &str) -> Result<Vec<Token>, LengthError> {
    let mut tokens = Vec::with_capacity(8);
    let mut at = 0;
    while let Some(rest) = text.get(at..)
        && let Some(first) = rest.chars().next()
    {
        let length = match first {
            space if space.is_whitespace() => space.len_utf8(),
            '0'..='9' | '.' => {
                let length = run(rest, |c| c.is_ascii_digit() || matches!(c, '.' | ','));
                push_number(text, at..at + length, &mut tokens)?
            }
            letter if letter.is_alphabetic() => {
                let length = run(rest, char::is_alphabetic);
                push_word(text, at..at + length, &mut tokens)?;
                let after = rest.get(length..).unwrap_or_default();
                let is_unit = matches!(tokens.last(), Some(Token { kind: TokenKind::Scale(_), .. }));
                length + if is_unit { abbreviation_point(text, at..at + length, after)? } else { 0 }
            }
            _ => {
                let one = first.len_utf8();
                let (kind, length) = match sign(first) {
                    // Two single marks are one double mark.
                    Some(TokenKind::Scale(WrittenUnit::Foot))
                        if rest.get(one..).is_some_and(|rest| rest.starts_with(first)) =>
                    {
                        (TokenKind::Scale(WrittenUnit::Inch), 2 * one)
                    }
                    Some(kind) => (kind, one),
                    None => return Err(not_in_a_length(first, at..at + one)),
                };
                tokens.push(Token { range: at..at + length, kind });
                length
            }
        };
        at += length;
    }
    Ok(tokens)
}

/// Returns 1 if the text after a unit starts with the point of an abbreviation, as in "3 in.", and 0 if it has none.
///
/// In "3ft.9 in" the point may belong to either side, and it is refused.
fn abbreviation_point(text: &str, unit: Range<usize>, after: &str) -> Result<usize, LengthError> {
    let Some(rest) = after.strip_prefix('.') else { return Ok(0) };
    let figures = run(rest, |c| c.is_ascii_digit());
    if figures == 0 {
        return Ok(1);
    }
    let (unit_word, figures) = (text.get(unit.clone()).unwrap_or_default(), rest.get(..figures).unwrap_or_default());
    let message = format!("the point in `{unit_word}.{figures}` may end the unit or begin a decimal");
    let help = format!("write {unit_word}. {figures}, or {unit_word} 0.{figures}, whichever is meant");
    Err(LengthError { range: unit.start..unit.end + 1 + figures.len(), message, help })
}

fn run(text: &str, belongs: impl Fn(char) -> bool) -> usize {
    text.find(|c| !belongs(c)).unwrap_or(text.len())
}

fn sign(character: char) -> Option<TokenKind> {
    let fraction = |numerator, denominator| Ratio::new(numerator, denominator).map(TokenKind::Fraction);
    match character {
        '/' | '⁄' | '∕' => Some(TokenKind::Slash),
        '-' | '−' | '‐' | '‑' | '–' => Some(TokenKind::Dash),
        '"' | '″' | '”' | '“' => Some(TokenKind::Scale(WrittenUnit::Inch)),
        '\'' | '′' | '’' | '‘' => Some(TokenKind::Scale(WrittenUnit::Foot)),
        '×' => Some(TokenKind::By),
        '¼' => fraction(1, 4),
        '½' => fraction(1, 2),
        '¾' => fraction(3, 4),
        '⅓' => fraction(1, 3),
        '⅔' => fraction(2, 3),
        '⅕' => fraction(1, 5),
        '⅖' => fraction(2, 5),
        '⅗' => fraction(3, 5),
        '⅘' => fraction(4, 5),
        '⅙' => fraction(1, 6),
        '⅚' => fraction(5, 6),
        '⅛' => fraction(1, 8),
        '⅜' => fraction(3, 8),
        '⅝' => fraction(5, 8),
        '⅞' => fraction(7, 8),
        _ => None,
    }
}

/// Adds the number that the figures, points and commas of a range are, and returns their length.
///
/// A comma is refused: `1,524` is one and a half millimetres to one framer and a metre and a half to another, and
/// `8,10` may be a width and a height.
fn push_number(text: &str, range: Range<usize>, tokens: &mut Vec<Token>) -> Result<usize, LengthError> {
    let figures = text.get(range.clone()).unwrap_or_default();
    let fault = |message: String, help: String| LengthError { range: range.clone(), message, help };
    if let Some((before, after)) = figures.split_once(',') {
        let (point, plain) = (figures.replacen(',', ".", 1), figures.replace(',', ""));
        let help = if after.len() == 3 && !before.is_empty() {
            format!("write {plain}, or {point} with a point, whichever is meant")
        } else if Ratio::decimal(&point).is_some() && !after.is_empty() {
            format!("write {point} with a point")
        } else {
            "write decimals with a point and nothing between thousands".to_owned()
        };
        return Err(fault(format!("`{figures}` has a comma, which can be read in two ways"), help));
    }
    if figures.starts_with('.') && figures.len() == 1 || figures.matches('.').count() > 1 {
        return Err(fault(format!("`{figures}` is not a number"), "write a number such as 3.25".to_owned()));
    }
    let value = Ratio::decimal(figures)
        .ok_or_else(|| fault("this number has too many digits".to_owned(), "write it with fewer digits".to_owned()))?;
    let decimal = figures.contains('.');
    let length = range.len();
    tokens.push(Token { range, kind: TokenKind::Number { value, decimal } });
    Ok(length)
}

fn push_word(text: &str, range: Range<usize>, tokens: &mut Vec<Token>) -> Result<(), LengthError> {
    let written = text.get(range.clone()).unwrap_or_default();
    let word = written.to_lowercase();
    if let Some(scale) = WrittenUnit::of_word(&word) {
        tokens.push(Token { range, kind: TokenKind::Scale(scale) });
    } else if matches!(word.as_str(), "x" | "by") {
        tokens.push(Token { range, kind: TokenKind::By });
    } else if let Some(scale) = word.strip_suffix('x').and_then(WrittenUnit::of_word) {
        // "20cmx30cm"
        let middle = range.end - 1;
        tokens.push(Token { range: range.start..middle, kind: TokenKind::Scale(scale) });
        tokens.push(Token { range: middle..range.end, kind: TokenKind::By });
    } else {
        let exponent = word == "e" && matches!(tokens.last(), Some(Token { kind: TokenKind::Number { .. }, .. }));
        let help = match word.as_str() {
            _ if exponent => "write the number out, without `e`".to_owned(),
            "w" | "h" | "wide" | "high" | "tall" => {
                "write the width first, then the height, without a word: 8 x 10 in".to_owned()
            }
            "mil" | "mils" => {
                "to some it is a millimetre, to others a thousandth of an inch: write mm or thou".to_owned()
            }
            _ => UNITS.to_owned(),
        };
        return Err(LengthError { range, message: format!("`{written}` is not a unit of length"), help });
    }
    Ok(())
}

fn not_in_a_length(character: char, range: Range<usize>) -> LengthError {
    let shown: String = character.escape_debug().collect();
    LengthError {
        range,
        message: format!("`{shown}` has no meaning in a length"),
        help: if character == '*' {
            "write x between a width and a height, such as 8 x 10 in".to_owned()
        } else {
            "write a length such as 3 1/4 in, 5' 4 1/2\", 81.3 cm or 813 mm".to_owned()
        },
    }
}
