//! Machines that cut boards or draw on them: their profiles, and the way from a board to what one of them does with it.
//!
//! A [`WrittenMachine`] is a profile as a shop writes it, in TOML; resolved it is a [`Machine`]. [`Machine::plan`] makes of a
//! board a [`Program`](crate::program::Program): strokes in order, each with its tool, in the coordinates of the machine, with
//! exact curves. [`formats`](crate::formats) write a program and know nothing of boards and machines.
//!
//! ```
//! use backline::job::{Syntax, WrittenJob};
//! use backline::machine::Machine;
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let job = WrittenJob::read("unit = 'in'\nouter = [16, 20]\nopening.size = [8, 10]", Syntax::Toml)?;
//! let resolved = job.resolve();
//! let mat = resolved.sound().ok_or("the job has errors")?;
//!
//! let machine = Machine::starter("straight-head-cutter").ok_or("no such machine")?;
//! let planned = machine.plan(mat, &mat.layers()[0]);
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
mod bed_picture;
mod board_work;
mod contour;
mod depth;
mod explain;
mod findings;
mod follow;
mod left_out;
#[cfg(feature = "sheets")]
mod nested;
mod order;
mod path;
mod placing;
mod plan;
mod profile;
mod reach;
mod resolve;
mod resolve_tool;
mod shortest;
mod starters;
mod tabs;
mod tool_model;
mod way;
mod words;
mod written;
mod written_tool;

pub use depth::Depth;
pub use profile::{Machine, OverRun};
pub use starters::{MACHINE_STARTER, STARTERS, Starter};
pub use tool_model::{Tabs, ToolModel};
#[cfg(feature = "schema")]
pub use written::machine_schema;
pub use written::{
    BoardTurn, FalloutLabels, Head, OverRunRule, SideUp, TravelDirection, WrittenDirection, WrittenDxf,
    WrittenFlattening, WrittenMachine, WrittenOrigin, WrittenOverRun, WrittenPlotter, WrittenRouter, WrittenWords,
};
pub use written_tool::{Bevelled, BladeLean, Compensation, WrittenDepth, WrittenDepthTerm, WrittenTabs, WrittenTool};
