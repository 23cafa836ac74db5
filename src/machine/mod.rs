//! Machines that cut boards or draw on them: their profiles, and the way from a board to what one of them does with it.
//!
//! A [`WrittenMachine`] is a profile as a shop writes it, in TOML; resolved it is a [`Machine`]. [`Machine::plan`] makes of a
//! board a [`Program`]: strokes in order, each with its tool, in the coordinates of the machine, with exact curves. The
//! formats for machines in [`export`](../export/index.html) write a program and know nothing of boards.
//!
//! ```
//! use backline::job::{Job, Syntax};
//! use backline::machine::Machine;
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let job = Job::read("unit = 'in'\nouter = [16, 20]\nopening.size = [8, 10]", Syntax::Toml)?;
//! let resolved = job.resolve();
//! let mat = resolved.sound().ok_or("the job has errors")?;
//!
//! let machine = Machine::starter("straight-head-cutter").ok_or("no such machine")?;
//! let planned = machine.plan(mat, &mat.layers[0]);
//! let program = planned.value.ok_or("it cannot be cut; see planned.problems")?;
//!
//! // Four sides of the opening, each a stroke of its own, and then the four of the outer edge.
//! let strokes: Vec<usize> = program.passes.iter().map(|pass| pass.strokes.len()).collect();
//! assert_eq!(strokes, [4, 4]);
//! # Ok(())
//! # }
//! ```
//!
//! [`Machine::plan_sheet`] does the same for a sheet on which several mats lie beside each other, and
//! [`Machine::usable_area`] says how much of such a sheet a machine reaches.

mod bed;
mod board_work;
mod contour;
mod nested;
mod order;
mod placing;
mod plan;
mod profile;
mod program;
mod reach;
mod resolve;
mod shortest;
mod starters;
mod words;
mod written;

pub use profile::{DxfChoices, Machine, MachineUnit, Origin, OverRun, Plotter, Router, Tool};
pub use program::{Pass, Points, Program, Stroke, Travel};
pub use starters::{MACHINE_STARTER, STARTERS, Starter};
pub use written::{
    Corner, Curves, Head, Labels, LargeNumbers, ModalWord, OverRunRule, PathMode, Round, SideUp, Toward, Turn, Work,
    WrittenDirection, WrittenDxf, WrittenFlattening, WrittenMachine, WrittenOrigin, WrittenOverRun, WrittenPlotter,
    WrittenRouter, WrittenTool, machine_schema,
};
