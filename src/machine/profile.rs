//! A machine with nothing left to decide: every length in millimetres, a tool for each kind of work.

use kurbo::Size;

use super::tool_model::ToolModel;
use super::written::{BoardTurn, FalloutLabels, Head, SideUp, TravelDirection};
use crate::checked::Checked;
use crate::formats::{ProgramFormat, format_of};
use crate::mat::BevelDirection;
use crate::program::{Controller, Tool, WorkKind};

/// A machine that cuts boards or draws on them.
#[derive(Debug, Clone, PartialEq)]
pub struct Machine {
    /// Name by which it is chosen.
    pub name: String,
    /// What it is, in a sentence.
    pub about: String,
    /// What its controller reads.
    pub controller: Controller,
    /// Whether the unit is part of the file name.
    pub unit_in_name: bool,
    /// The side of the board that lies up.
    pub side_up: SideUp,
    /// Its bed in millimetres along its own x and y; `None` is unlimited.
    pub bed: Option<Size>,
    /// Whether a board is laid on the bed turned by a quarter.
    pub turn: BoardTurn,
    /// How the head follows an outline.
    pub head: Head,
    /// Which way round the head travels at a standard bevel.
    pub standard: TravelDirection,
    /// Which way round the head travels at a reverse bevel.
    pub reverse: TravelDirection,
    /// Which way round the head travels at a straight cut and at the outer edge.
    pub straight: TravelDirection,
    /// How far cuts run on beyond corners.
    pub over_run: OverRun,
    /// Length in millimetres of the stroke that leads from the waste into a closed cut.
    pub lead_in: f64,
    /// How far in millimetres a closed cut runs on beyond its start.
    pub overlap: f64,
    /// What is written into the pieces that fall out.
    pub labels: FalloutLabels,
    /// Length in millimetres of a line beside the board that is checked with a ruler.
    pub reference_line: Option<f64>,
    /// How far in millimetres a tool may go below the board.
    pub below_board: f64,
    /// Whether edges of a sheet that are edges of mats too are cut anew.
    pub cut_sheet_edges: bool,
    /// The tools in the order in which they work; at most one for each kind of work.
    pub tools: Vec<Tool>,
    /// What each of the tools can cut.
    pub models: Vec<ToolModel>,
}

/// How far cuts run on beyond the corners of openings. All lengths are millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct OverRun {
    /// Whether there is any.
    pub follows_bevel: bool,
    /// The lead of the blade, added at every corner.
    pub lead: f64,
    /// How far a cut may at most run into the board beyond its own bevel.
    pub into_bar: f64,
}

impl Machine {
    /// Returns the format of its files, if it suits the profile; problems have their places in the profile.
    pub fn format(&self) -> Checked<&'static dyn ProgramFormat> {
        format_of(&self.controller, &self.tools)
    }

    /// Returns the place of a kind of work among the tools; `None` if the machine does not do it.
    #[must_use]
    pub fn tool(&self, work: WorkKind) -> Option<usize> {
        self.tools.iter().position(|tool| tool.work == work)
    }

    /// Returns what the tool for a kind of work can cut; `None` if the machine does not do it.
    #[must_use]
    pub fn model(&self, work: WorkKind) -> Option<&ToolModel> {
        self.models.get(self.tool(work)?)
    }

    /// Returns which way round the head travels at a bevel.
    #[must_use]
    pub const fn round(&self, bevel: BevelDirection) -> TravelDirection {
        match bevel {
            BevelDirection::Standard => self.standard,
            BevelDirection::Reverse => self.reverse,
            BevelDirection::Straight => self.straight,
        }
    }
}
