//! The contract between a program and a format for machines.

use crate::formats::{ExportError, Exported};
use crate::machine::{Machine, Program};
use crate::problem::Problem;

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
    fn write(&self, program: &Program, machine: &Machine) -> Result<Exported, ExportError> {
        if program.is_finite() { self.encode(program, machine) } else { Err(ExportError::endless("the program")) }
    }

    /// Writes a program all of whose numbers are finite; see [`ProgramFormat::write`], which makes sure of that.
    ///
    /// # Errors
    ///
    /// Returns an [`ExportError`] if the format cannot hold the program without harm to it.
    fn encode(&self, program: &Program, machine: &Machine) -> Result<Exported, ExportError>;
}
