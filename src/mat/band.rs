//! A closed strip between two outlines.

use crate::geometry::{OffsetError, Outline};

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
    /// Makes the band between the parallels of an outline at two distances in millimetres.
    ///
    /// # Errors
    ///
    /// Returns an [`OffsetError`] if one of the parallels does not exist.
    pub fn around(outline: &Outline, from: f64, to: f64) -> Result<Self, OffsetError> {
        Ok(Self { inner: outline.offset(from)?, outer: outline.offset(to)? })
    }
}
