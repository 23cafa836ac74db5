//! What a machine would do with a file, compared with what it should do: every stroke with its tool, depth, speed, direction and place in
//! the order.
//!
//! A file need not be as this crate writes it. Closed cuts may start elsewhere, and cuts of one kind may come in another order, so long as
//! what lies inside is cut first; what the job, the machine and its profile fix must be as they say.

mod difference;
mod expected;
mod found;
mod mark;
mod near;
mod order;
mod pairing;
mod settings;

use kurbo::Affine;

pub use difference::{RunCheck, RunDifference, RunFault};

use self::expected::ExpectedRun;
use self::pairing::Pairing;
use super::wanted::bring_to_bed;
use crate::formats::reading::ReadDrawing;
use crate::program::Program;

/// How far a file may be from a program.
#[derive(Debug, Clone, Copy)]
pub(super) struct RunBounds {
    /// Largest distance in millimetres of what is drawn.
    pub(super) place: f64,
    /// Largest difference of depths in millimetres.
    pub(super) depth: f64,
}

/// Compares what was read of a file with a program; `way` brings what was read, once it lies on the bed as the machine reads it, to where the
/// program has it.
pub(super) fn check(reading: &ReadDrawing, program: &Program, way: Affine, bounds: RunBounds) -> RunCheck {
    let mut reading = reading.clone();
    bring_to_bed(&mut reading, program);
    reading.transform(way);
    let expected = ExpectedRun::new(program);
    let found = found::assemble(&reading.paths, &expected.strokes, bounds.place);
    let pairing = Pairing::new(&found, &expected, reading.format, bounds.place);
    let mut check = RunCheck::default();
    pairing.report(&mut check);
    settings::compare(&pairing, &reading, program, bounds.depth, &mut check);
    order::compare(&pairing, reading.format, program, &mut check);
    unread(&reading, program, &mut check);
    check.sort();
    check
}

/// Reports what the reader could not follow; words of the profile's own are known to be unknown.
fn unread(reading: &ReadDrawing, program: &Program, check: &mut RunCheck) {
    let words = &program.controller.words;
    let tools = program.passes.iter().flat_map(|pass| pass.tool.before_cut.iter().chain(&pass.tool.after_cut));
    let own: Vec<String> = words
        .before_file
        .iter()
        .chain(&words.after_file)
        .chain(&words.tool_change)
        .chain(tools)
        .map(|line| line.to_ascii_uppercase())
        .collect();
    for (what, count) in &reading.left_out {
        if !own.iter().any(|line| line.contains(what.as_str())) {
            check.add(
                RunFault::Unread,
                None,
                None,
                format!("the file contains {what} ({count} ×), which was not understood"),
            );
        }
    }
    for doubt in &reading.doubts {
        check.add(RunFault::Unread, None, None, doubt.clone());
    }
    if reading.format.unit_is_obeyed && !reading.unit.stated {
        check.leave("the unit, which the file does not state");
    }
    if !own.is_empty() {
        check.leave("what the profile's own lines do");
    }
}
