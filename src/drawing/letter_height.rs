//! The one table of letter heights: how high the capitals are of everything that people read on paper, in millimetres.
//!
//! The capitals of Helvetica are 0.718 of the font size high, so that 1 mm of capitals is a font of 3.95 points.

/// Names that a machine writes on pieces of board, which are read at arm's length when a stack is sorted (32 pt).
pub const ON_BOARD: f64 = 8.0;
/// What a page is about: the name of a job, the numbers to set at the bench (16 pt).
pub const TITLE: f64 = 4.0;
/// Numbers beside those that are set: what the exact one has more than the mark, and how far it may be off (14.2 pt).
pub const BESIDE: f64 = 3.6;
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
pub const FITTED: [f64; 7] = [ON_BOARD, TITLE, HEADING, TEXT, FINE, SMALL, LEAST];

/// Returns the heights of [`FITTED`] from one to another, the largest first.
pub fn from_to(largest: f64, least: f64) -> impl DoubleEndedIterator<Item = f64> + Clone {
    FITTED.into_iter().filter(move |height| (least..=largest).contains(height))
}

/// Returns the largest height of [`FITTED`] that is not more than one that would fit; `None` if nothing can be read at that.
#[must_use]
pub fn fitting(most: f64) -> Option<f64> {
    FITTED.into_iter().find(|height| *height <= most)
}

#[cfg(test)]
mod tests {
    use super::{FINE, FITTED, HEADING, LEAST, TEXT, TITLE, fitting, from_to};
    use crate::drawing::Helvetica;

    #[test]
    fn heights_fall_and_are_chosen_by_their_ends() {
        assert!(FITTED.windows(2).all(|pair| pair[0] > pair[1]));
        assert_eq!(from_to(HEADING, FINE).collect::<Vec<_>>(), [HEADING, TEXT, FINE]);
        assert_eq!(from_to(LEAST, LEAST).count(), 1);
        assert_eq!((fitting(TITLE), fitting(2.9), fitting(1.1)), (Some(TITLE), Some(TEXT), None));
    }

    #[test]
    fn ordinary_text_is_nine_points_or_more() {
        // A point is 1/72 in.
        const { assert!(TEXT / Helvetica::CAP_SHARE * 72.0 / 25.4 >= 9.0) };
    }
}
