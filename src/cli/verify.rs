//! `backline draw --verify`: files read back before the program says that they are done.

use crate::formats::Options;
use crate::formats::reading::Unreadable;
use crate::measure::{Verified, is_read_back, verify_drawing, verify_program};

use super::batch::JobOutcome;
use super::drawn_file::{DrawnFile, FileContent};

/// Said of files in formats without a reader.
const NOT_READ_BACK: &str = "files of this format are not read back, so this one was not verified";

/// Holds what was read of a file against the drawing or the program that it was made from.
pub(super) fn verify(file: &DrawnFile<'_>, bytes: &[u8], options: &Options, outcome: &mut JobOutcome) {
    let ending = file.path.extension().unwrap_or_default().to_string_lossy();
    let name = file.path.display().to_string();
    if !is_read_back(&ending) {
        outcome.entry.notes.push(format!("{name}: {NOT_READ_BACK}"));
        outcome.notes.push((name, NOT_READ_BACK.to_owned()));
        return;
    }
    let verified = match file.content {
        FileContent::Drawing(view, _) => verify_drawing(bytes, &ending, &file.subject.draw(view), options),
        FileContent::Program(chosen) => match file.subject.plan(&chosen.machine).value {
            Some(program) => verify_program(bytes, &ending, &program),
            None => return,
        },
    };
    if let Some(wrong) = complaint(verified) {
        outcome.fail(&format!("{name}: {wrong}; do not use this file, and draw it again"));
    }
}

/// Says what is wrong with a file, if anything is.
fn complaint(verified: Result<Verified, Unreadable>) -> Option<String> {
    let verified = match verified {
        Ok(verified) => verified,
        Err(error) => return Some(format!("cannot be read back: {error}")),
    };
    if let Some(first) = verified.differences.first() {
        let more = match verified.differences.len() {
            1 => String::new(),
            count => format!(", and {} more differences", count - 1),
        };
        return Some(format!("when read back, it is not the program: {first}{more}"));
    }
    let farthest = verified.farthest.filter(|_| !verified.agrees())?;
    let (at, bound) = (farthest.at, verified.bound);
    let off = if farthest.distance.is_finite() {
        format!("is {:.4} mm off", farthest.distance)
    } else {
        "lacks a line or has one too many".to_owned()
    };
    Some(format!("when read back, it {off} at x {:.3} mm, y {:.3} mm, where {bound:.4} mm is allowed", at.x, at.y))
}
