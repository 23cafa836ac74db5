//! What a family of file formats is, as far as anything outside its folder may ask.

/// What a family of file formats is.
#[derive(Debug, PartialEq)]
#[non_exhaustive]
pub struct Facts {
    /// The name by which its files are called when they are read: lower case ASCII.
    pub name: &'static str,
    /// The name in documents.
    pub title: &'static str,
    /// Which way the y axis of its files runs.
    pub y: YAxis,
    /// The curves that stay what they are.
    pub curves: KeptCurves,
    /// The smallest step of its coordinates in millimetres; `None` where it is chosen for each file.
    pub step: Option<f64>,
    /// The largest distance in millimetres by which this crate's files may be off where they draw no chords for curves:
    /// the rounding of their numbers, and what is written for curves that the family has no figure for.
    pub slack: f64,
    /// The unit of its numbers.
    pub unit: CoordinateUnit,
    /// Whether machines obey the unit that a file states; the others take its bare numbers for their own steps.
    pub unit_is_obeyed: bool,
    /// Whether one file can have several pages.
    pub has_pages: bool,
    /// By what machines tell the tools of its files apart.
    pub tools: ToolMark,
    /// Whether files for machines say how deep tools go.
    pub has_depths: bool,
    /// Whether files for machines say how fast tools go.
    pub has_speeds: bool,
    /// Whether texts, lines and outlines keep the names of the sizes and openings that they show; the others leave names out.
    pub keeps_names: bool,
}

/// Returns the step of numbers in millimetres with so many decimals.
pub(super) const fn step_of(decimals: usize) -> Option<f64> {
    let mut steps = 1.0;
    let mut left = decimals;
    while left > 0 {
        steps *= 10.0;
        left -= 1;
    }
    Some(1.0 / steps)
}

/// By what machines tell the tools of a file apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ToolMark {
    /// Names and colours of layers.
    Layer,
    /// Colours of lines.
    Color,
    /// Numbers of pens.
    Pen,
    /// Stops and words for a change of tools.
    Change,
    /// The kind of work and the number of the tool.
    Number,
    /// Nothing.
    Nothing,
}

/// Which way the y axis of a file runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum YAxis {
    /// Down from the top left corner of the sheet, as in a [`Drawing`](crate::drawing::Drawing).
    Down,
    /// Up from the bottom left corner of the sheet.
    Up,
}

/// The curves that a family keeps as curves; the others become straight pieces or arcs within a tolerance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum KeptCurves {
    /// None.
    Nothing,
    /// Arcs of circles, where a profile or an option asks for them.
    Arcs,
    /// Arcs of circles, and in some releases circles and ellipses.
    ArcsAndEllipses,
    /// Every curve of a drawing, with Bézier curves where there is no other figure.
    All,
}

/// The unit of the numbers in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum CoordinateUnit {
    /// Millimetres, whatever is chosen.
    Millimetre,
    /// Millimetres or inches, as chosen, and said in the file.
    Chosen,
    /// Steps of a plotter.
    PlotterUnit,
    /// Points of 1/72 in.
    Point,
    /// Pixels of a density that is chosen.
    Pixel,
}

impl YAxis {
    /// Names it in documents.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Down => "down",
            Self::Up => "up",
        }
    }
}

impl KeptCurves {
    /// Names them in documents.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Nothing => "none",
            Self::Arcs => "arcs",
            Self::ArcsAndEllipses => "arcs, circles, ellipses",
            Self::All => "all",
        }
    }
}

impl CoordinateUnit {
    /// Names it in documents.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Chosen => "mm or in",
            Self::PlotterUnit => "plotter units",
            Self::Point => "points",
            Self::Pixel => "pixels",
        }
    }
}
