//! The atom of DXF: a group code and a value, each on a line of its own that ends with CR LF.

use kurbo::Point;

use super::units;
use crate::export::number;
use crate::machine::MachineUnit;

/// A comment is broken here; old programs read at most 255 characters a line.
const LONGEST_COMMENT: usize = 240;

/// The group codes and values of a file, one pair after the other.
pub(super) struct Pairs<'u> {
    pub(super) out: Vec<u8>,
    unit: &'u MachineUnit,
    /// The last handle that was given away.
    last_handle: u32,
}

impl<'u> Pairs<'u> {
    pub(super) const fn new(unit: &'u MachineUnit) -> Self {
        Self { out: Vec::new(), unit, last_handle: 0 }
    }

    pub(super) fn text(&mut self, code: &str, value: &str) {
        self.line(code);
        self.line(value);
    }

    pub(super) fn integer(&mut self, code: &str, value: impl itoa::Integer) {
        self.line(code);
        number::push_integer(&mut self.out, value);
        self.line("");
    }

    /// Appends a number that is no length, with nine decimals.
    pub(super) fn number(&mut self, code: &str, value: f64) {
        self.line(code);
        number::push::<9>(&mut self.out, value);
        self.line("");
    }

    /// Appends a length in the unit of the file.
    pub(super) fn length(&mut self, code: &str, millimetres: f64) {
        self.line(code);
        units::push(&mut self.out, millimetres, self.unit);
        self.line("");
    }

    /// Appends the x and y of a point under two codes.
    pub(super) fn point(&mut self, codes: [&str; 2], point: Point) {
        self.length(codes[0], point.x);
        self.length(codes[1], point.y);
    }

    /// Appends a point under the codes 10, 20 and 30, its height zero.
    pub(super) fn location(&mut self, point: Point) {
        self.point(["10", "20"], point);
        self.text("30", "0");
    }

    pub(super) fn variable(&mut self, name: &str) {
        self.text("9", name);
    }

    pub(super) fn start_section(&mut self, name: &str) {
        self.text("0", "SECTION");
        self.text("2", name);
    }

    pub(super) fn end_section(&mut self) {
        self.text("0", "ENDSEC");
    }

    /// Appends comments, in ASCII, over several pairs where they are long.
    pub(super) fn comments(&mut self, lines: &[String]) {
        for line in lines {
            let mut rest = String::new();
            for letter in line.chars() {
                if rest.len() >= LONGEST_COMMENT {
                    self.text("999", &rest);
                    rest.clear();
                }
                match letter {
                    letter if letter.is_control() => rest.push(' '),
                    letter if letter.is_ascii() => rest.push(letter),
                    letter => {
                        let units = letter
                            .encode_utf16(&mut [0; 2])
                            .iter()
                            .map(|unit| format!("\\U+{unit:04X}"))
                            .collect::<String>();
                        rest.push_str(&units);
                    }
                }
            }
            self.text("999", &rest);
        }
    }

    /// Gives away the next handle.
    pub(super) fn new_handle(&mut self) -> String {
        self.last_handle += 1;
        format!("{:X}", self.last_handle)
    }

    fn line(&mut self, content: &str) {
        self.out.extend_from_slice(content.as_bytes());
        self.out.extend_from_slice(b"\r\n");
    }
}
