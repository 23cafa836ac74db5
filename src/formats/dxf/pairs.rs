//! The atom of DXF: a group code and a value, each on a line of its own that ends with CR LF.
//!
//! The programs of the time of release 12 read no other line ends, and later ones read both.

use kurbo::Point;

use crate::formats::coordinate::CoordinateGrid;
use crate::formats::{ascii, number};

/// A comment is broken here; old programs read at most 255 characters a line.
const LONGEST_COMMENT: usize = 240;

/// The group codes and values of a file, one pair after the other.
pub(super) struct PairWriter {
    pub(super) out: Vec<u8>,
    grid: CoordinateGrid,
    /// The last handle that was given away.
    last_handle: u32,
}

impl PairWriter {
    pub(super) const fn new(out: Vec<u8>, grid: CoordinateGrid) -> Self {
        Self { out, grid, last_handle: 0 }
    }

    pub(super) fn text(&mut self, code: &str, value: &str) {
        self.line(code);
        self.line(value);
    }

    pub(super) fn texts(&mut self, pairs: &[(&str, &str)]) {
        pairs.iter().for_each(|(code, value)| self.text(code, value));
    }

    pub(super) fn integer(&mut self, code: &str, value: impl itoa::Integer) {
        self.line(code);
        number::push_integer(&mut self.out, value);
        self.line("");
    }

    /// Appends a number that is not a length, with nine decimals.
    pub(super) fn number(&mut self, code: &str, value: f64) {
        self.line(code);
        number::push::<9>(&mut self.out, value);
        self.line("");
    }

    /// Appends an angle in radians or a share so exactly that what is measured along an axis of some metres is not off.
    pub(super) fn exact(&mut self, code: &str, value: f64) {
        self.text(code, &format!("{value}"));
    }

    /// Appends the angles in radians at which an arc starts and ends, as degrees from 0 to 360.
    pub(super) fn angles(&mut self, angles: [f64; 2]) {
        for (code, angle) in ["50", "51"].into_iter().zip(angles) {
            self.exact(code, angle.to_degrees().rem_euclid(360.0));
        }
    }

    /// Appends a length in the unit of the file.
    pub(super) fn length(&mut self, code: &str, millimetres: f64) {
        self.line(code);
        self.grid.push(&mut self.out, millimetres);
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

    /// Appends x and y of a point after its first code, of which polylines have thousands.
    #[inline]
    pub(super) fn vertex(&mut self, up_to_x: &[u8], point: Point) {
        self.out.extend_from_slice(up_to_x);
        self.grid.push(&mut self.out, point.x);
        self.out.extend_from_slice(b"\r\n20\r\n");
        self.grid.push(&mut self.out, point.y);
        self.out.extend_from_slice(b"\r\n");
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
    pub(super) fn comments(&mut self, comments: &[String]) {
        for comment in comments {
            for line in ascii::lines(&ascii::ascii(comment), LONGEST_COMMENT) {
                self.text("999", line);
            }
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

#[cfg(test)]
mod tests {
    use super::{CoordinateGrid, PairWriter};

    #[test]
    fn a_comment_is_ascii_on_short_lines() {
        let comment = |content: &str| {
            let mut pairs = PairWriter::new(Vec::new(), CoordinateGrid { millimetres: 1.0 });
            pairs.comments(&[content.to_owned()]);
            String::from_utf8(pairs.out).unwrap_or_default()
        };
        assert_eq!(comment("Öl\n0\nEOF & Müller"), "999\r\nOl 0 EOF & Muller\r\n");
        let long = comment(&"Kunsthalle Köln ".repeat(40));
        assert!(long.lines().all(|line| line.len() <= 240));
        assert_eq!(long.matches("Kunsthalle").count(), 40);
        assert_eq!(long.matches("Koln").count(), 40);
    }
}
