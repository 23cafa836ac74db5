//! Patterns of ruled lines and bands of wash, with their sources.

/// A pattern of ruled lines round an opening; distances in inches from its outline in the face.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct RuledPattern {
    /// The name by which a job calls it.
    pub name: &'static str,
    /// Where it was published.
    pub source: &'static str,
    /// Distances of the lines.
    pub lines: &'static [f64],
    /// Inner and outer edge of each band.
    pub bands: &'static [(f64, f64)],
}

/// Every built-in pattern.
pub const RULED_PATTERNS: &[RuledPattern] = &[
    RuledPattern {
        name: "single-line",
        source: "a French line 3/4 in from the bevel, https://www.earlscourtart.com/blogs/news/whats-that-french-line",
        lines: &[0.75],
        bands: &[],
    },
    RuledPattern {
        name: "six-line",
        source: "first line 1/2 in out, then steps of 1/8, 1/4, 3/8, 5/8 (the wash panel) and 3/8 in, \
                 https://www.thegrumble.com/threads/french-mats-to-be-a-no-brainer.4853/",
        lines: &[0.5, 0.625, 0.875, 1.25, 1.875, 2.25],
        bands: &[(1.25, 1.875)],
    },
];

impl RuledPattern {
    /// Returns the pattern with a name.
    #[must_use]
    pub fn by_name(name: &str) -> Option<&'static Self> {
        RULED_PATTERNS.iter().find(|pattern| pattern.name == name)
    }
}
