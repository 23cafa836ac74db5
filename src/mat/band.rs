//! A closed strip between two outlines.

use crate::geometry::{OffsetError, Outline, TrimmedStretch};

/// The part of a face between two outlines, in the frame of reference of the mat.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Band {
    /// The edge nearer to the opening.
    pub inner: Outline,
    /// The edge farther from the opening.
    pub outer: Outline,
}

impl Band {
    /// Makes the band between the parallels of an outline at two distances in millimetres; both leave out what one of them has
    /// no room for. Returns it with what its edges lack.
    ///
    /// # Errors
    ///
    /// Returns an [`OffsetError`] if one of the parallels does not exist.
    pub fn around(outline: &Outline, from: f64, to: f64) -> Result<(Self, Vec<TrimmedStretch>), OffsetError> {
        let [inner, outer] = outline.parallels([from, to])?;
        let lost = if outer.lost.is_empty() { inner.lost } else { outer.lost };
        Ok((Self { inner: inner.outline, outer: outer.outline }, lost))
    }
}
