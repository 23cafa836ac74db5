//! What every file for a machine says of itself, in the comments of its format.

use super::{coordinate, number};
use crate::machine::{Machine, Points, Program, Stroke};

/// Returns the lines of the comment at the top of a file: what it is, for which machine, the unit, where the board lies.
pub(super) fn lines(program: &Program, machine: &Machine) -> Vec<String> {
    let length = |mm| coordinate::text(mm, &machine.unit);
    let (board, unit) = (program.board, &machine.unit);
    let turned = if program.turned { ", turned by a quarter" } else { "" };
    vec![
        program.title.clone(),
        format!("machine: {}", machine.name),
        format!("unit: {}", unit.describe()),
        format!(
            "board: {} x {}, its corner of least x and y at {}, {}{turned}",
            length(board.width()),
            length(board.height()),
            length(board.x0),
            length(board.y0)
        ),
        format!("tolerance of curves: {} mm", number::text::<6>(machine.tolerance)),
    ]
}

/// Reduces strokes to points and remembers how far they are off the curves.
pub(super) struct Flattener<'m> {
    machine: &'m Machine,
    error: f64,
}

impl<'m> Flattener<'m> {
    pub(super) const fn new(machine: &'m Machine) -> Self {
        Self { machine, error: 0.0 }
    }

    pub(super) fn points(&mut self, stroke: &Stroke) -> Vec<kurbo::Point> {
        let Points { points, error } =
            stroke.as_points(self.machine.tolerance, self.machine.flattening, self.machine.smallest_segment);
        self.error = self.error.max(error);
        points
    }

    /// Returns the note that curves are farther off than the tolerance, if they are.
    pub(super) fn notes(&self) -> Vec<String> {
        let Machine { tolerance, smallest_segment, .. } = self.machine;
        if self.error <= *tolerance {
            return Vec::new();
        }
        vec![format!(
            "since strokes shorter than {smallest_segment} mm are left out, curves may be off by {:.3} mm instead of {tolerance} mm",
            self.error
        )]
    }
}
