//! The contract between a program and a format for machines.

use crate::formats::{ExportError, Exported};
use crate::problem::Problem;
use crate::program::{Controller, Program, Tool};

/// One format that machines read.
pub trait ProgramFormat: Sync {
    /// Returns the name by which a profile chooses it: lower case ASCII.
    fn name(&self) -> &'static str;

    /// Returns the ending of its files, without a dot.
    fn extension(&self) -> &'static str;

    /// Returns one line for the help text.
    fn summary(&self) -> &'static str;

    /// Lists what the format lacks for a controller and its tools, or they for the format, with the places in the profile.
    fn check(&self, controller: &Controller, tools: &[Tool]) -> Vec<Problem>;

    /// Writes a program; the bytes depend on nothing but the program.
    ///
    /// # Errors
    ///
    /// Returns an [`ExportError`] if the format cannot hold the program without harm to it.
    fn write(&self, program: &Program) -> Result<Exported, ExportError> {
        if program.is_finite() { self.encode(program) } else { Err(ExportError::endless("the program")) }
    }

    /// Writes a program all of whose numbers are finite; see [`ProgramFormat::write`], which makes sure of that.
    ///
    /// # Errors
    ///
    /// Returns an [`ExportError`] if the format cannot hold the program without harm to it.
    fn encode(&self, program: &Program) -> Result<Exported, ExportError>;
}
