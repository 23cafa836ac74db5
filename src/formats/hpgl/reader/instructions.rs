//! The instructions of HP-GL: two letters, their parameters, and labels up to their terminator.

use crate::formats::reading::{Unreadable, number, shown};

/// Ends a label unless DT names another character.
const END_OF_LABEL: char = '\u{3}';

/// An instruction with its parameters.
#[derive(Debug)]
pub(super) struct HpGlInstruction<'t> {
    /// Two capital letters.
    pub(super) name: String,
    /// The numbers, or the words of a label.
    pub(super) parameters: &'t str,
    pub(super) line: usize,
}

/// The instructions of a text.
pub(super) struct Instructions<'t> {
    rest: &'t str,
    line: usize,
    end_of_label: char,
}

impl<'t> Instructions<'t> {
    pub(super) fn new(text: &'t str) -> Self {
        Self { rest: text, line: 1, end_of_label: END_OF_LABEL }
    }

    /// Steps over so many bytes.
    fn take(&mut self, bytes: usize) -> &'t str {
        let (taken, rest) = self.rest.split_at_checked(bytes).unwrap_or((self.rest, ""));
        self.line += taken.matches('\n').count();
        self.rest = rest;
        taken
    }

    fn take_until(&mut self, stops: impl Fn(char) -> bool) -> &'t str {
        let end = self.rest.find(stops).unwrap_or(self.rest.len());
        self.take(end)
    }

    /// Steps over what stands between instructions: separators and the control sequences of printers and serial lines.
    fn skip(&mut self) {
        loop {
            self.take_until(|c| !(c.is_whitespace() || c == ';' || c == ',' || (c.is_control() && c != '\u{1b}')));
            if !self.rest.starts_with('\u{1b}') {
                return;
            }
            self.take(1);
            if self.rest.starts_with('.') {
                // A device control instruction: a letter, and numbers up to a colon if there are any.
                self.take(2);
                if self.rest.starts_with(|c: char| c.is_ascii_digit() || c == ';') {
                    self.take_until(|c| !(c.is_ascii_digit() || c == ';'));
                }
                if self.rest.starts_with(':') {
                    self.take(1);
                }
            } else {
                // A printer command ends with a capital letter.
                self.take_until(|c: char| c.is_ascii_uppercase());
                self.take(1);
            }
        }
    }

    /// Takes a single character.
    fn take_char(&mut self) -> Option<char> {
        let letter = self.rest.chars().next()?;
        self.take(letter.len_utf8());
        Some(letter)
    }
}

impl<'t> Iterator for Instructions<'t> {
    type Item = Result<HpGlInstruction<'t>, Unreadable>;

    fn next(&mut self) -> Option<Self::Item> {
        self.skip();
        let line = self.line;
        let start = self.rest;
        let name: String = [self.take_char()?, self.take_char()?].iter().map(char::to_ascii_uppercase).collect();
        if !name.chars().all(|letter| letter.is_ascii_uppercase()) {
            self.rest = "";
            let message = format!("`{}` is not an instruction of HP-GL", shown(start));
            return Some(Err(Unreadable::at(line, message, "check that it is the right file")));
        }
        let parameters = match name.as_str() {
            "LB" | "BL" => {
                let end = self.end_of_label;
                let words = self.take_until(|c| c == end);
                self.take(end.len_utf8());
                words
            }
            "DT" => {
                self.end_of_label = match self.rest.chars().next() {
                    Some(';') | None => END_OF_LABEL,
                    Some(_) => self.take_char().unwrap_or(END_OF_LABEL),
                };
                ""
            }
            "CO" => {
                self.take_until(|c| c == ';');
                ""
            }
            "PE" => self.take_until(|c| c == ';'),
            _ => self.take_until(|c| c == ';' || c.is_ascii_alphabetic() || c == '\u{1b}'),
        };
        Some(Ok(HpGlInstruction { name, parameters, line }))
    }
}

/// Reads the parameters of an instruction as numbers.
pub(super) fn numbers(instruction: &HpGlInstruction<'_>) -> Result<Vec<f64>, Unreadable> {
    let words = instruction.parameters.split(|c: char| c == ',' || c.is_whitespace()).filter(|word| !word.is_empty());
    words
        .map(|word| {
            number(word).ok_or_else(|| {
                let message = format!("`{}` is not a number for {}", shown(word), instruction.name);
                Unreadable::at(instruction.line, message, "check that it is the right file")
            })
        })
        .collect()
}
