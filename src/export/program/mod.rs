//! Formats for machines: pure functions from a program to the bytes of a file, and the one table of them.
//!
//! A [`Program`] has everything decided but the words of the format; see its rules. A new format is one file with a
//! [`ProgramFormat`] and one line in [`PROGRAM_FORMATS`].

pub(super) mod about;
mod gcode;
mod hpgl;
mod polylines;
pub(super) mod program_format;
mod svg;
mod units;

pub use program_format::ProgramFormat;

use super::{ExportError, Exported, dxf};
use crate::machine::Machine;
use crate::problem::{KeyPath, Problem};

/// Every format for machines, in the order in which help and documents list them.
pub const PROGRAM_FORMATS: &[&dyn ProgramFormat] = &[
    &dxf::machine::R12,
    &dxf::machine::R12_LINES,
    &dxf::machine::R2000,
    &hpgl::HpGl,
    &svg::CutSvg,
    &gcode::GCode,
    &polylines::Polylines,
];

/// Returns the format for machines with a name, for example `dxf-r12`.
#[must_use]
pub fn program_format(name: &str) -> Option<&'static dyn ProgramFormat> {
    PROGRAM_FORMATS.iter().copied().find(|format| format.name() == name)
}

/// Returns the format of a machine, if it suits the profile.
///
/// # Errors
///
/// Returns what is wrong with the profile, with the places in it.
pub fn format_of(machine: &Machine) -> Result<&'static dyn ProgramFormat, Vec<Problem>> {
    let Some(format) = program_format(&machine.format) else {
        let names: Vec<&str> = PROGRAM_FORMATS.iter().map(|format| format.name()).collect();
        let message = format!("there is no format `{}` for machines", machine.format);
        let place = KeyPath::root().key("format");
        return Err(vec![Problem::error("format", place, message, format!("use one of {}", names.join(", ")))]);
    };
    let problems = format.check(machine);
    if problems.is_empty() { Ok(format) } else { Err(problems) }
}
