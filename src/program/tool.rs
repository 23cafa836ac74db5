//! A tool and the kind of work that it does.

use serde::{Deserialize, Serialize};

use crate::drawing::Role;

/// The tool for one kind of work.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Tool {
    /// What it does.
    pub work: WorkKind,
    /// Number of the pen or tool.
    pub number: u16,
    /// Name of the layer in drawings: printable ASCII without the signs that DXF forbids.
    pub layer: String,
    /// Red, green and blue, each from 0 to 255.
    pub color: [u8; 3],
    /// Number in the DXF colour table.
    pub dxf_color: u8,
    /// Speed, passed through.
    pub speed: Option<f64>,
    /// Force, passed through.
    pub force: Option<f64>,
    /// What it is.
    pub kind: ToolKind,
    /// Width in millimetres of its lines in drawings; no tool is so thin or thick for that.
    pub line_width: f64,
    /// At how many depths it goes over each stroke, each deeper than the one before; 0 if the profile does not say how deep.
    pub depths: usize,
    /// Lines of the profile's own before each of its strokes.
    pub before_cut: Vec<String>,
    /// Lines of the profile's own after each of its strokes.
    pub after_cut: Vec<String>,
}

/// What a tool is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[non_exhaustive]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum ToolKind {
    /// No tool: a line for another program, which plans the cuts itself.
    Line,
    /// A pen: it draws and cuts nothing.
    Pen,
    /// A knife that stands upright, or that trails behind its axis; it cuts square to the board.
    UprightKnife,
    /// A knife that leans.
    BevelKnife,
    /// A tool that cuts a V.
    VTool,
    /// A wheel or blunt blade that presses or scores a line.
    ScoringWheel,
    /// A rotating tool of some width.
    RouterBit,
    /// A beam of light or a jet, which takes away a line of some width.
    Beam,
}

impl ToolKind {
    /// Every kind.
    pub const ALL: [Self; 8] = [
        Self::Line,
        Self::Pen,
        Self::UprightKnife,
        Self::BevelKnife,
        Self::VTool,
        Self::ScoringWheel,
        Self::RouterBit,
        Self::Beam,
    ];

    /// Returns its name as in a profile.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Line => "line",
            Self::Pen => "pen",
            Self::UprightKnife => "upright-knife",
            Self::BevelKnife => "bevel-knife",
            Self::VTool => "v-tool",
            Self::ScoringWheel => "scoring-wheel",
            Self::RouterBit => "router-bit",
            Self::Beam => "beam",
        }
    }

    /// Returns what people call it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Line => "line for another program",
            Self::Pen => "pen",
            Self::UprightKnife => "upright knife",
            Self::BevelKnife => "bevel knife",
            Self::VTool => "V tool",
            Self::ScoringWheel => "scoring wheel",
            Self::RouterBit => "router bit",
            Self::Beam => "beam",
        }
    }

    /// Tells whether it takes away a line of some width, so that its middle runs beside the outline.
    #[must_use]
    pub const fn has_width(self) -> bool {
        matches!(self, Self::RouterBit | Self::Beam)
    }

    /// Tells whether it goes through a board, square to it.
    #[must_use]
    pub const fn cuts_square(self) -> bool {
        matches!(self, Self::UprightKnife | Self::RouterBit | Self::Beam)
    }
}

/// A kind of work that a machine does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[non_exhaustive]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum WorkKind {
    /// Register marks.
    Register,
    /// Edges of bands of wash.
    Wash,
    /// Ruled lines.
    Ruling,
    /// Opening numbers and names.
    Label,
    /// The reference line.
    Scale,
    /// V-grooves.
    Groove,
    /// Openings; those with a bevel, if the machine has a tool of its own for the others.
    Cut,
    /// Openings that are cut square to the board, where the machine has a tool of its own for them.
    Straight,
    /// The outer edge.
    Edge,
}

impl WorkKind {
    /// Every kind of work in the usual order: pen work on the whole board, grooves, openings, and the outer edge last.
    pub const ALL: [Self; 9] = [
        Self::Register,
        Self::Wash,
        Self::Ruling,
        Self::Label,
        Self::Scale,
        Self::Groove,
        Self::Cut,
        Self::Straight,
        Self::Edge,
    ];

    /// Returns the role of its marks in drawings.
    #[must_use]
    pub const fn role(self) -> Role {
        match self {
            Self::Register => Role::Register,
            Self::Wash => Role::Wash,
            Self::Ruling => Role::Ruling,
            Self::Label => Role::Label,
            Self::Scale => Role::Scale,
            Self::Groove => Role::Groove,
            Self::Cut | Self::Straight => Role::Cut,
            Self::Edge => Role::Edge,
        }
    }

    /// Returns its name as in a profile.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Straight => "straight",
            other => other.role().name(),
        }
    }

    /// Tells whether it cuts openings.
    #[must_use]
    pub const fn cuts_openings(self) -> bool {
        matches!(self, Self::Cut | Self::Straight)
    }

    /// Tells whether it goes through the board.
    #[must_use]
    pub const fn goes_through(self) -> bool {
        matches!(self, Self::Cut | Self::Straight | Self::Edge)
    }
}
