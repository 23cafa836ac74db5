//! An opening with its place on the mat.

use super::given_opening::GivenOpening;
use crate::geometry::Outline;

/// An opening with its place.
#[derive(Clone)]
pub(super) struct PlacedOpening<'a> {
    pub(super) item: GivenOpening<'a>,
    /// The outline that sizes refer to, in the board that they are given for, placed on the mat.
    pub(super) outline: Outline,
    /// Whether one of its parallels has no room for all of it, so that all of them are trimmed.
    pub(super) trims: bool,
}
