//! The cutter profile that a command is given.

use std::path::Path;

use crate::bench::{Cutter, WrittenCutter};

use super::text_file::TextFile;

/// Reads a cutter profile.
///
/// # Errors
///
/// Returns what the user must read, with colours and without a line break at the end, if the file cannot be read or
/// is not a profile.
pub(super) fn read(path: &Path) -> Result<Cutter, String> {
    let file = TextFile::read(path).map_err(|unreadable| unreadable.report)?;
    let written: WrittenCutter = file.parse_and_doubt().map_err(|unreadable| unreadable.report)?;
    written.resolve().into_result().map_err(|problems| file.report(&problems.0).trim_end().to_owned())
}
