//! What a machine does and how its file is written: strokes in order, each with its tool, in the coordinates of the machine.
//!
//! A [`Program`] knows nothing about mats, jobs or how it was planned. [`Machine::plan`](../machine/struct.Machine.html#method.plan)
//! makes one of a board, and a [`ProgramFormat`](../formats/trait.ProgramFormat.html) writes it as its [`Controller`] reads it.
//!
//! ```
//! use backline::Job;
//! use backline::machine::Machine;
//!
//! let mat = Job::parse("unit = 'in'\nouter = [16, 20]\nopening.size = [8, 10]")?.mat()?;
//! let machine = Machine::starter("straight-head-cutter").ok_or("no such machine")?;
//! let program = machine.plan(&mat, &mat.layers()[0]).into_result()?;
//! assert_eq!(program.passes.iter().map(|pass| pass.strokes.len()).sum::<usize>(), 8);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod account;
mod controller;
mod stroke;
mod tool;
mod words;

use kurbo::Rect;

use crate::geometry::Segment;

pub use account::WorkAccount;
pub use controller::{
    AxisDirection, Controller, Curves, DatumPoint, DxfChoices, LargeNumbers, Lowering, MachineUnit, ModalWord, Origin,
    PathMode, Plotter, Router,
};
pub use stroke::{FlattenedStroke, Stroke};
pub use tool::{Tool, ToolKind, WorkKind};
pub use words::{OwnWords, fill, unknown_placeholder};

/// What a machine does with one board, from the first stroke to the last.
///
/// The rules that every program keeps, so that a format only has to write what it finds:
///
/// 1. All coordinates are millimetres in the frame of the machine: its zero, its directions of x and y
///    ([`Controller::origin`]). Nothing is left to be moved, flipped or mirrored.
/// 2. Passes are in the order of work. Each has one tool, and at least one stroke; no tool has two passes.
/// 3. Strokes are in the order in which they are made, and each is travelled from its first segment to its last, which is
///    the direction of the tool. Between two strokes the tool is up.
/// 4. The segments of a stroke meet within 1e-6 mm, and none is shorter than that. A stroke is `closed` if its end is its
///    start.
/// 5. Curves are exact. [`Stroke::as_arcs`] and [`Stroke::as_points`] reduce them to what a machine reads.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Program {
    /// What the file is called inside: job, board and machine.
    pub title: String,
    /// Name of the machine.
    pub machine: String,
    /// What reads its file.
    pub controller: Controller,
    /// The passes.
    pub passes: Vec<Pass>,
    /// The smallest upright rectangle round board and strokes, in millimetres.
    pub extent: Rect,
    /// The board as it lies on the bed, in millimetres.
    pub board: Rect,
    /// Whether the board lies turned by a quarter, clockwise.
    pub turned: bool,
    /// How far the tool travels while it is up.
    pub travel: Travel,
    /// Thickness of the board in millimetres.
    pub thickness: f64,
    /// What is made of the job, and what is not.
    pub account: WorkAccount,
}

impl Program {
    /// Tells whether all the numbers of its strokes are finite.
    #[must_use]
    pub fn is_finite(&self) -> bool {
        let strokes = self.passes.iter().flat_map(|pass| &pass.strokes);
        self.extent.is_finite() && strokes.flat_map(|stroke| &stroke.segments).all(Segment::is_finite)
    }
}

/// All strokes of one tool.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Pass {
    /// The tool.
    pub tool: Tool,
    /// Its strokes in order.
    pub strokes: Vec<Stroke>,
}

/// How far a tool travels while it is up, from the zero of the machine to the start of the last stroke, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Travel {
    /// How far it travels.
    pub length: f64,
    /// No order of the same strokes travels less than this.
    pub lower_bound: f64,
}
