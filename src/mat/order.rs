//! What goes with the boards of a mat: the pictures behind its openings, notes for the bench.

use std::sync::Arc;

use kurbo::Rect;

use super::OwnData;
use crate::photo::Photo;

/// What the bench must know beside the boards.
#[derive(Debug, Clone, PartialEq, Default)]
#[non_exhaustive]
pub struct Extras {
    /// Notes, a paragraph each.
    pub notes: Vec<String>,
    /// What the job carries along for those who wrote it.
    pub own: OwnData,
    /// The address of the schema that the job names; may be empty.
    pub schema: String,
}

/// A picture file that lies behind an opening.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct PlacedPhoto {
    /// Number of the opening that shows it.
    pub opening: usize,
    /// Where it lies, in the frame of reference of the mat.
    pub rect: Rect,
    /// The picture.
    pub photo: Arc<Photo>,
}
