//! What a mark is for, and the one place where colour, pen, line width and layer name follow from that.

/// What a mark is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum Role {
    /// A mark by which pen work and cutting, or the pages of a tiled template, are laid on each other.
    Register,
    /// The outer edge of the board.
    Edge,
    /// A line that the blade follows.
    Cut,
    /// The outline of an opening in the face of the board.
    Face,
    /// The outline through which the art is seen.
    Sight,
    /// A groove in the face of the board: where it is deepest, and where its walls meet the face.
    Groove,
    /// An edge of a band that is filled with a wash of colour.
    Wash,
    /// A line ruled on the face with a pen.
    Ruling,
    /// A pencil line that runs out to the edges of the board.
    Guide,
    /// A tick at a corner, or where a cut starts or stops.
    Tick,
    /// Words and numbers that belong to the drawing.
    Label,
    /// Sentences for the reader. Plotters leave them out: a pen would write for minutes.
    Note,
    /// The bar that is checked with a ruler.
    Scale,
    /// Coloured regions and photographs: how something looks.
    Picture,
    /// Dimension lines with their arrows, and the witness lines that they run between.
    Dimension,
    /// Rules, boxes to tick and hatches of a printed form.
    Form,
    /// Where a page is cut off to be joined to the next.
    Seam,
}

/// How the marks of a role look.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Style {
    /// Name for layers and groups: lower case ASCII letters.
    pub name: &'static str,
    /// Red, green and blue, each from 0 to 255.
    pub color: [u8; 3],
    /// Width of the line in millimetres.
    pub line_width: f64,
    /// Lengths in millimetres of a dash and the gap after it; `None` for a solid line.
    pub dash: Option<[f64; 2]>,
    /// Number of the plotter's pen, counted from one.
    pub pen: u8,
    /// Number in the DXF colour table that comes nearest to the colour.
    pub dxf_color: u8,
}

impl Role {
    /// Every role, in the order in which layers are drawn.
    pub const ALL: [Self; 17] = [
        Self::Picture,
        Self::Form,
        Self::Guide,
        Self::Edge,
        Self::Wash,
        Self::Ruling,
        Self::Groove,
        Self::Face,
        Self::Sight,
        Self::Cut,
        Self::Register,
        Self::Tick,
        Self::Dimension,
        Self::Scale,
        Self::Label,
        Self::Note,
        Self::Seam,
    ];

    /// Returns the name of the role as used for layers and groups: lower case ASCII letters.
    #[must_use]
    pub const fn name(self) -> &'static str {
        self.style().name
    }

    /// Tells whether a machine or a pen follows the marks of the role, rather than a reader's eye.
    #[must_use]
    pub const fn is_work(self) -> bool {
        matches!(self, Self::Register | Self::Edge | Self::Cut | Self::Groove | Self::Wash | Self::Ruling)
    }

    /// Returns how the marks of the role look.
    #[must_use]
    pub const fn style(self) -> Style {
        let (name, color, line_width, dash, pen, dxf_color) = match self {
            Self::Edge => ("edge", [0, 0, 0], 0.25, None, 1, 7),
            Self::Cut => ("cut", [190, 20, 20], 0.25, None, 2, 1),
            Self::Face => ("face", [30, 70, 170], 0.18, None, 3, 5),
            Self::Sight => ("sight", [120, 60, 140], 0.18, None, 4, 6),
            Self::Register => ("register", [20, 120, 60], 0.18, None, 5, 3),
            Self::Groove => ("groove", [200, 110, 0], 0.13, None, 6, 30),
            Self::Wash => ("wash", [0, 140, 150], 0.13, None, 8, 4),
            Self::Ruling => ("ruling", [110, 70, 30], 0.3, None, 7, 34),
            Self::Guide => ("guide", [140, 140, 140], 0.13, Some([3.0, 2.0]), 5, 8),
            Self::Tick => ("tick", [20, 120, 60], 0.18, None, 5, 3),
            Self::Label => ("label", [0, 0, 0], 0.18, None, 1, 7),
            Self::Note => ("note", [0, 0, 0], 0.18, None, 1, 7),
            Self::Scale => ("scale", [0, 0, 0], 0.18, None, 1, 7),
            Self::Picture => ("picture", [120, 120, 120], 0.13, None, 1, 8),
            Self::Dimension => ("dimension", [20, 90, 130], 0.13, None, 3, 5),
            Self::Form => ("form", [90, 90, 90], 0.13, None, 1, 8),
            Self::Seam => ("seam", [0, 90, 200], 0.18, Some([3.0, 2.0]), 5, 5),
        };
        Style { name, color, line_width, dash, pen, dxf_color }
    }
}
