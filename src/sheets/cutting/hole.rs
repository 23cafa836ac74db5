//! A rectangle of a sheet that is free.

use super::task::Units;

/// A rectangle that is free.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hole {
    pub(super) size: [Units; 2],
    /// See [`AreaScale::worth`](super::worth::AreaScale::worth).
    pub(super) worth: i64,
    pub(super) id: Id,
}

/// A rectangle of a tree, by its place in the tree's list.
pub(super) type Id = u32;

/// No rectangle.
pub(super) const NONE: Id = Id::MAX;
