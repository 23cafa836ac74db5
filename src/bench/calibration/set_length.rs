//! A length of a test piece, with the number that a scale was set to for it.

/// A length as read, and the number that a scale was set to for it, if it is known.
#[derive(Debug, Clone, Copy)]
pub(super) struct SetLength {
    pub(super) read: f64,
    pub(super) set: Option<f64>,
    pub(super) place: PlaceOfLength,
}

/// Which length of which piece it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct PlaceOfLength {
    pub(super) piece: usize,
    pub(super) kind: KindOfLength,
}

/// A length of a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum KindOfLength {
    /// The border of the left, bottom, right or top side: 0 to 3.
    Border(usize),
    /// The width or the height of the blank: 0 or 1.
    Blank(usize),
    /// The bevels of the piece.
    Bevel,
}
