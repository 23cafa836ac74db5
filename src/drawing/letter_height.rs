//! The one table of letter heights: how high the capitals are of everything that people read on paper, in millimetres.
//!
//! The capitals of Helvetica are 0.718 of the font size high, so that 1 mm of capitals is a font of 3.95 points.

/// What a page is about: the name of a job, the numbers to set at the bench (16 pt).
pub const TITLE: f64 = 4.0;
/// Headings, and words on drawings at full scale, which are read from farther away (12 pt).
pub const HEADING: f64 = 3.0;
/// Ordinary text, the figures of dimensions, what a number at the bench stands for (9 pt).
pub const TEXT: f64 = 2.3;
/// Small print: cautions, remarks, the words round a tile (7.5 pt).
pub const FINE: f64 = 1.9;
/// Numbers in narrow places (6 pt).
pub const SMALL: f64 = 1.5;
/// The least that can be read; where even this has no room, nothing is written (4.7 pt).
pub const LEAST: f64 = 1.2;

/// Heights that are tried in turn where room is scarce, the largest first.
pub const FITTED: [f64; 6] = [TITLE, HEADING, TEXT, FINE, SMALL, LEAST];

/// Returns the heights of [`FITTED`] from one to another, the largest first.
pub fn from_to(largest: f64, least: f64) -> impl DoubleEndedIterator<Item = f64> + Clone {
    FITTED.into_iter().filter(move |height| (least..=largest).contains(height))
}

#[cfg(test)]
mod tests {
    use super::{FINE, FITTED, HEADING, LEAST, TEXT, from_to};
    use crate::drawing::Helvetica;

    #[test]
    fn heights_fall_and_are_chosen_by_their_ends() {
        assert!(FITTED.windows(2).all(|pair| pair[0] > pair[1]));
        assert_eq!(from_to(HEADING, FINE).collect::<Vec<_>>(), [HEADING, TEXT, FINE]);
        assert_eq!(from_to(LEAST, LEAST).count(), 1);
    }

    #[test]
    fn ordinary_text_is_nine_points_or_more() {
        // A point is 1/72 in.
        const { assert!(TEXT / Helvetica::CAP_SHARE * 72.0 / 25.4 >= 9.0) };
    }
}
