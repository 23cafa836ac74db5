//! Lengths read from text, exactly: `3 1/4 in`, `5' 4 1/2"`, `81.3 cm`.

use std::ops::Range;

use kurbo::Size;

use super::Unit;
use super::error::LengthError;
use super::ratio::Ratio;
use super::sheet_sizes::SheetSize;
use super::token::{Token, TokenKind, WrittenUnit, tokens};

/// No length or size needs more bytes.
const LONGEST_TEXT: usize = 100;

/// Longer than any board, moulding or wall: such a length is a slip of the pen or of the unit.
const LONGEST_MM: f64 = 100_000.0;

/// Reads a length of zero or more and returns it in millimetres; a bare number is in the `default` unit.
///
/// The value is the `f64` nearest to what is written: `3 3/16 in` is 80.9625. Understood are whole, decimal and
/// mixed numbers (`3`, `3.25`, `3 1/4`, `3-1/4`, `3¼`, `23/8`), the units in, ft, mm, cm and m as words or marks,
/// and feet with inches (`5' 4 1/2"`).
///
/// # Errors
///
/// Returns a [`LengthError`] for whatever could be read in two ways, has no unit while there is no default one, is
/// below zero or is longer than 100 m.
pub fn parse(text: &str, default: Option<Unit>) -> Result<f64, LengthError> {
    let length = single(text)?;
    length.refuse_negative(text)?;
    length.to_mm(text, default)
}

/// Reads a length that may have a minus sign and returns it in millimetres; otherwise like [`parse`].
///
/// # Errors
///
/// Returns a [`LengthError`] for the same reasons as [`parse`], except that lengths below zero are welcome.
pub fn parse_signed(text: &str, default: Option<Unit>) -> Result<f64, LengthError> {
    single(text)?.to_mm(text, default)
}

/// Reads a width and a height, such as `8 x 10 in`, in millimetres; one length alone is a square, and a name such as
/// `A2` or `A2 landscape` is a size of [`SHEET_SIZES`](super::SHEET_SIZES).
///
/// A unit after the height serves the width too if that has none.
///
/// # Errors
///
/// Returns a [`LengthError`] if width or height is none that [`parse`] would read, or it is not clear which unit
/// one of them has.
pub fn parse_size(text: &str, default: Option<Unit>) -> Result<Size, LengthError> {
    let [width, height] = parse_exact_size(text, default)?;
    Ok(Size::new(width.to_f64(), height.to_f64()))
}

/// Reads a length of zero or more and returns it in millimetres as an exact fraction; otherwise like [`parse`].
///
/// # Errors
///
/// Returns a [`LengthError`] for the same reasons as [`parse`].
pub fn parse_exact(text: &str, default: Option<Unit>) -> Result<Ratio, LengthError> {
    let length = single(text)?;
    length.refuse_negative(text)?;
    length.exact_mm(text, default)
}

/// Reads a width and a height in millimetres as exact fractions; otherwise like [`parse_size`].
///
/// # Errors
///
/// Returns a [`LengthError`] for the same reasons as [`parse_size`].
pub fn parse_exact_size(text: &str, default: Option<Unit>) -> Result<[Ratio; 2], LengthError> {
    let tokens = match checked_tokens(text) {
        Ok(tokens) => tokens,
        Err(error) => return SheetSize::lying(text).map(|(_, sides)| sides).ok_or_else(|| no_size(text, error)),
    };
    let sides: Vec<&[Token]> = tokens.split(|token| token.kind == TokenKind::By).collect();
    match *sides.as_slice() {
        [side] => {
            let side = read_positive(text, side, "size")?.exact_mm(text, default)?;
            Ok([side, side])
        }
        [width, height] => {
            let mut width = read_positive(text, width, "width")?;
            let height = read_positive(text, height, "height")?;
            share_unit(text, &mut width, &height, default)?;
            Ok([width.exact_mm(text, default)?, height.exact_mm(text, default)?])
        }
        _ => {
            let range = tokens.first().map_or(0, |token| token.range.start)..text.trim_end().len();
            let help = "write only width and height, such as 8 x 10 in";
            Err(LengthError::new(range, "a size has only two lengths", help))
        }
    }
}

/// Words the error of a text that is neither two lengths nor the name of a size.
fn no_size(text: &str, error: LengthError) -> LengthError {
    if !text.trim_start().starts_with(char::is_alphabetic) || text.len() > LONGEST_TEXT {
        return error;
    }
    let message = format!("there is no size called `{}`", text.trim());
    let help = "write width and height, such as 8 x 10 in, or a name such as A2, A2 landscape or Letter";
    LengthError::new(0..text.len(), message, help)
}

fn read_positive(text: &str, tokens: &[Token], name: &str) -> Result<WrittenLength, LengthError> {
    if tokens.is_empty() {
        let help = "write width and height, such as 8 x 10 in";
        return Err(LengthError::new(0..text.len(), format!("the {name} is missing"), help));
    }
    let length = read(text, tokens)?;
    length.refuse_negative(text)?;
    Ok(length)
}

/// A length as written, before its unit is settled.
struct WrittenLength {
    range: Range<usize>,
    negative: bool,
    value: Ratio,
    scale: Option<WrittenUnit>,
    feet_and_inches: bool,
}

impl WrittenLength {
    fn refuse_negative(&self, text: &str) -> Result<(), LengthError> {
        if self.negative {
            let written = text.get(self.range.clone()).unwrap_or_default();
            let help = "write it without the minus sign, or 0";
            return Err(LengthError::new(self.range.clone(), format!("`{written}` is below zero"), help));
        }
        Ok(())
    }

    fn to_mm(&self, text: &str, default: Option<Unit>) -> Result<f64, LengthError> {
        let mm = self.exact_mm(text, default)?.to_f64();
        Ok(if self.negative { -mm } else { mm })
    }

    /// Returns the millimetres without the sign.
    fn exact_mm(&self, text: &str, default: Option<Unit>) -> Result<Ratio, LengthError> {
        let written = || text.get(self.range.clone()).unwrap_or_default();
        let scale = self.scale.or(default.map(WrittenUnit::from)).ok_or_else(|| {
            let message = format!("`{}` has no unit", written());
            let help =
                format!("write \"{} in\" or \"{0} mm\", or name a unit for the whole job: unit = \"in\"", written());
            LengthError::new(self.range.clone(), message, help)
        })?;
        let mm = scale
            .millimetres()
            .and_then(|scale| self.value.times(scale))
            .ok_or_else(|| too_many_figures(self.range.clone()))?;
        if mm.to_f64() > LONGEST_MM {
            let message = format!("`{}` is longer than {} m", written(), LONGEST_MM / 1000.0);
            return Err(LengthError::new(self.range.clone(), message, "check the number and its unit"));
        }
        Ok(mm)
    }
}

impl From<Unit> for WrittenUnit {
    fn from(unit: Unit) -> Self {
        match unit {
            Unit::Inch => Self::Inch,
            Unit::Millimetre => Self::Millimetre,
            Unit::Centimetre => Self::Centimetre,
        }
    }
}

fn single(text: &str) -> Result<WrittenLength, LengthError> {
    let tokens = checked_tokens(text)?;
    if let Some(by) = tokens.iter().find(|token| token.kind == TokenKind::By) {
        let help = "write one length, such as 8 in";
        return Err(LengthError::new(by.range.clone(), "this is a size, but one length is needed", help));
    }
    read(text, &tokens)
}

fn checked_tokens(text: &str) -> Result<Vec<Token>, LengthError> {
    let example = "write a length such as 3 1/4 in or 81.3 cm";
    if text.len() > LONGEST_TEXT {
        let message = format!("this text of {} bytes is too long for a length", text.len());
        return Err(LengthError::new(0..text.len(), message, example));
    }
    let tokens = tokens(text)?;
    if tokens.is_empty() {
        return Err(LengthError::new(0..text.len(), "the length is missing", example));
    }
    Ok(tokens)
}

/// Settles the unit of a size of which only one side names one.
fn share_unit(
    text: &str,
    width: &mut WrittenLength,
    height: &WrittenLength,
    default: Option<Unit>,
) -> Result<(), LengthError> {
    let (bare, name) = match (width.scale, height.scale) {
        (None, Some(scale)) if !height.feet_and_inches => {
            width.scale = Some(scale);
            return Ok(());
        }
        (None, Some(_)) => (&*width, "width"),
        (Some(scale), None) if default.map(WrittenUnit::from) != Some(scale) => (height, "height"),
        _ => return Ok(()),
    };
    let number = text.get(bare.range.clone()).unwrap_or_default();
    let message = format!("it is not clear which unit the {name} `{number}` has");
    Err(LengthError::new(bare.range.clone(), message, "write the unit after both numbers, such as 8 in x 10 in"))
}

/// Reads one length from all the pieces of it.
fn read(text: &str, tokens: &[Token]) -> Result<WrittenLength, LengthError> {
    let mut reader = LengthReader { text, tokens };
    let range = reader.rest_range();
    let negative = reader.take_if(|kind| kind == TokenKind::Dash).is_some();
    let (mut value, number_range) = reader.number()?;
    let mut scale = reader.scale();
    let mut feet_and_inches = false;
    if scale == Some(WrittenUnit::Foot) && !reader.tokens.is_empty() {
        value = reader.inches_after(value, number_range)?;
        scale = Some(WrittenUnit::Inch);
        feet_and_inches = true;
    }
    if let Some(token) = reader.tokens.first() {
        return Err(reader.not_the_end(token, scale.is_some()));
    }
    Ok(WrittenLength { range, negative: negative && !value.is_zero(), value, scale, feet_and_inches })
}

/// Takes the pieces of a length from the front.
struct LengthReader<'t> {
    text: &'t str,
    tokens: &'t [Token],
}

impl<'t> LengthReader<'t> {
    fn take(&mut self) -> Option<&'t Token> {
        let (first, rest) = self.tokens.split_first()?;
        self.tokens = rest;
        Some(first)
    }

    fn take_if(&mut self, wanted: impl Fn(TokenKind) -> bool) -> Option<&'t Token> {
        self.tokens.first().filter(|token| wanted(token.kind))?;
        self.take()
    }

    fn rest_range(&self) -> Range<usize> {
        let end = self.text.len();
        self.tokens.first().map_or(end, |token| token.range.start)
            ..self.tokens.last().map_or(end, |token| token.range.end)
    }

    fn scale(&mut self) -> Option<WrittenUnit> {
        let TokenKind::Scale(scale) = self.tokens.first()?.kind else { return None };
        self.take();
        Some(scale)
    }

    /// Takes a whole, decimal or mixed number or a fraction, and gives the range that it was written in.
    fn number(&mut self) -> Result<(Ratio, Range<usize>), LengthError> {
        let range = self.rest_range();
        let Some(first) = self.take() else {
            return Err(LengthError::new(range, "a number is missing", "write a length such as 3 1/4 in"));
        };
        let (value, decimal) = match first.kind {
            TokenKind::Fraction(fraction) => return Ok((fraction, first.range.clone())),
            TokenKind::Number { value, decimal } => (value, decimal),
            _ => {
                let message = format!("there is no number before `{}`", self.written(&first.range));
                return Err(LengthError::new(first.range.clone(), message, "write a length such as 3 1/4 in"));
            }
        };
        if let Some(fraction) = self.fraction_over(first)? {
            return Ok(fraction);
        }
        let Some((fraction, end)) = self.fraction_after(first)? else { return Ok((value, first.range.clone())) };
        let range = first.range.start..end;
        let written = self.written(&range);
        if decimal {
            let message = format!("`{written}` mixes a decimal and a fraction in one number");
            return Err(LengthError::new(range, message, "write either 3.25 or 3 1/4"));
        }
        if !fraction.is_below(1) {
            let message = format!("the fraction in `{written}` is not less than one");
            return Err(LengthError::new(
                range,
                message,
                "write the whole number and a fraction below one, such as 3 1/4",
            ));
        }
        let sum = value.plus(fraction).ok_or_else(|| too_many_figures(range.clone()))?;
        Ok((sum, range))
    }

    /// Takes the stroke and the lower number of a fraction whose upper number was taken.
    fn fraction_over(&mut self, upper: &Token) -> Result<Option<(Ratio, Range<usize>)>, LengthError> {
        let Some(slash) = self.take_if(|kind| kind == TokenKind::Slash) else { return Ok(None) };
        let lower = self.take_if(|kind| matches!(kind, TokenKind::Number { .. }));
        let range = upper.range.start..lower.map_or(slash.range.end, |lower| lower.range.end);
        let whole = |token: &Token| match token.kind {
            TokenKind::Number { value, decimal: false } => Some(value),
            _ => None,
        };
        let (Some(numerator), Some(denominator)) = (whole(upper), lower.and_then(whole)) else {
            let message = format!("`{}` is not a fraction", self.written(&range));
            return Err(LengthError::new(range, message, "write a fraction of two whole numbers, such as 1/4"));
        };
        let Some(inverse) = denominator.inverse() else {
            let message = format!("`{}` divides by zero", self.written(&range));
            return Err(LengthError::new(range, message, "write a fraction such as 1/4"));
        };
        let value = numerator.times(inverse).ok_or_else(|| too_many_figures(range.clone()))?;
        Ok(Some((value, range)))
    }

    /// Takes the fraction of a mixed number whose whole number was taken, and gives the end of its range.
    fn fraction_after(&mut self, whole: &Token) -> Result<Option<(Ratio, usize)>, LengthError> {
        if let [dash, next, ..] = self.tokens
            && dash.kind == TokenKind::Dash
            && matches!(next.kind, TokenKind::Number { .. } | TokenKind::Fraction(_))
        {
            // A hyphen that touches both numbers joins them; with space around it, it could be a minus.
            if dash.range.start != whole.range.end || dash.range.end != next.range.start {
                let range = whole.range.start..next.range.end;
                let message = "this could be a subtraction or a whole number with a fraction";
                return Err(LengthError::new(range, message, "write 3 1/4 or 3-1/4 for three and a quarter"));
            }
            self.take();
        }
        let Some(token) = self.take_if(|kind| matches!(kind, TokenKind::Number { .. } | TokenKind::Fraction(_))) else {
            return Ok(None);
        };
        if let TokenKind::Fraction(value) = token.kind {
            return Ok(Some((value, token.range.end)));
        }
        if let Some((value, range)) = self.fraction_over(token)? {
            return Ok(Some((value, range.end)));
        }
        let range = whole.range.start..token.range.end;
        let message = format!("`{}` is two numbers, not one", self.written(&range));
        Err(LengthError::new(range, message, "write one number, such as 3 1/4 or 3.25"))
    }

    /// Takes the inches after feet that were taken, and returns the sum in inches. What follows feet without a unit is inches.
    fn inches_after(&mut self, feet: Ratio, feet_range: Range<usize>) -> Result<Ratio, LengthError> {
        let example = "write feet and inches such as 5' 4 1/2\"";
        // Builders write 5'-4 1/2".
        self.take_if(|kind| kind == TokenKind::Dash);
        let (inches, inches_range) = self.number()?;
        let unit = self.tokens.first();
        let range = feet_range.start..unit.map_or(inches_range.end, |unit| unit.range.end);
        match self.scale() {
            Some(WrittenUnit::Inch) | None => {}
            Some(_) => {
                let message = "these units do not go together in one length";
                return Err(LengthError::new(range, message, "write the length in one unit, or in feet and inches"));
            }
        }
        if !feet.is_whole() {
            let message = format!("`{}` is not a whole number of feet, yet inches follow", self.written(&feet_range));
            return Err(LengthError::new(feet_range, message, example));
        }
        if !inches.is_below(12) {
            let message = format!("`{}` inches after the feet are a foot or more", self.written(&inches_range));
            return Err(LengthError::new(inches_range, message, example));
        }
        let twelve = Ratio::new(12, 1).and_then(|twelve| feet.times(twelve));
        twelve.and_then(|feet| feet.plus(inches)).ok_or_else(|| too_many_figures(range))
    }

    fn not_the_end(&self, token: &Token, has_unit: bool) -> LengthError {
        let range = token.range.start..self.rest_range().end;
        let number_follows = matches!(token.kind, TokenKind::Number { .. } | TokenKind::Fraction(_));
        if has_unit && number_follows {
            let help = "write the length in one unit, or in feet and inches such as 5' 4 1/2\"";
            return LengthError::new(range, "a second number follows the unit", help);
        }
        let message = format!("the length should end before `{}`", self.written(&token.range));
        LengthError::new(range, message, "write a length such as 3 1/4 in or 81.3 cm")
    }

    fn written(&self, range: &Range<usize>) -> &'t str {
        self.text.get(range.clone()).unwrap_or_default()
    }
}

fn too_many_figures(range: Range<usize>) -> LengthError {
    LengthError::new(range, "this number has too many digits", "write it with fewer digits")
}
