//! An opening with its place on the mat.

use super::item::Item;
use crate::geometry::Outline;

/// An opening with its place.
#[derive(Clone)]
pub(super) struct Placed<'a> {
    pub(super) item: Item<'a>,
    /// The outline that sizes refer to, in the board that they are given for, placed on the mat.
    pub(super) outline: Outline,
}
