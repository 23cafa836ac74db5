//! The tables of a file of defaults, by what they are for.

/// Which table of a file of defaults holds those of a kind of file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum DefaultsTable {
    /// Those of jobs, `[job]`.
    Job,
    /// Those of orders of blanks, `[order]`.
    Order,
    /// Those of stocks of board, `[stock]`.
    Stock,
}

impl DefaultsTable {
    pub(super) const ALL: [Self; 3] = [Self::Job, Self::Order, Self::Stock];

    /// Returns the key of the table.
    pub(super) const fn key(self) -> &'static str {
        match self {
            Self::Job => "job",
            Self::Order => "order",
            Self::Stock => "stock",
        }
    }
}
