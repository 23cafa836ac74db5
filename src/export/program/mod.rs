//! Formats for machines: pure functions from a program to the bytes of a file, and the one table of them.
//!
//! A [`Program`] has everything decided but the words of the format; see its rules. A new format is one file with a
//! [`ProgramFormat`] and one line in [`PROGRAM_FORMATS`].

mod about;
mod dxf_pairs;
mod dxf_r12;
mod dxf_r2000;
mod gcode;
mod hpgl;
mod polylines;
mod svg;
mod units;

use super::{ExportError, Exported};
use crate::machine::{Machine, Program};
use crate::problem::{KeyPath, Problem};

/// One format that machines read.
pub trait ProgramFormat: Sync {
    /// Returns the name by which a profile chooses it: lower case ASCII.
    fn name(&self) -> &'static str;

    /// Returns the ending of its files, without a dot.
    fn extension(&self) -> &'static str;

    /// Returns one line for the help text.
    fn summary(&self) -> &'static str;

    /// Lists what the format lacks of a profile, or the profile for the format, with the places in the profile.
    fn check(&self, machine: &Machine) -> Vec<Problem>;

    /// Writes a program; the bytes depend on nothing but the program and the profile.
    ///
    /// # Errors
    ///
    /// Returns an [`ExportError`] if the format cannot hold the program without harm to it.
    fn write(&self, program: &Program, machine: &Machine) -> Result<Exported, ExportError>;
}

/// Every format for machines, in the order in which help and documents list them.
pub const PROGRAM_FORMATS: &[&dyn ProgramFormat] = &[
    &dxf_r12::POLYLINES,
    &dxf_r12::LINES,
    &dxf_r2000::DxfR2000,
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
