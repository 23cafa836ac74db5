//! What every file for a machine says of itself, in the comments of its format.

use super::{ExportError, coordinate, number};
use crate::problem::{KeyPath, Problem};
use crate::program::{self as words, Controller, FlattenedStroke, Program, Stroke, Tool};

/// Returns the lines of the comment at the top of a file: what it is, for which machine, the unit, where the board lies.
pub(super) fn lines(program: &Program) -> Vec<String> {
    let controller = &program.controller;
    let length = |mm| coordinate::text(mm, &controller.unit);
    let (board, unit) = (program.board, &controller.unit);
    let turned = if program.turned { ", turned by a quarter" } else { "" };
    let mut lines = vec![
        program.title.clone(),
        format!("machine: {}", program.machine),
        format!("unit: {}", unit.describe()),
        format!(
            "board: {} x {}, its corner of least x and y at {}, {}{turned}",
            length(board.width()),
            length(board.height()),
            length(board.x0),
            length(board.y0)
        ),
        format!("tolerance of curves: {} mm", number::text::<6>(controller.tolerance)),
    ];
    lines.extend(program.account.lines());
    lines
}

/// Said in every file that has comments.
const CAUTION: &str =
    "CAUTION: blades cut people. Run it above the board first, then on scrap; the manual of the machine comes first";

/// Returns the same lines and a caution.
pub(super) fn cautioned(program: &Program) -> Vec<String> {
    let mut lines = lines(program);
    lines.push(CAUTION.to_owned());
    lines
}

/// Returns lines of a profile's own with their places filled in for a tool, and for a stroke if there is one.
pub(super) fn filled<'p>(
    lines: &'p [String],
    program: &'p Program,
    tool: Option<&'p Tool>,
    stroke: Option<&'p Stroke>,
) -> impl Iterator<Item = String> + 'p {
    let unit = &program.controller.unit;
    let length = move |mm| coordinate::text(mm, unit);
    let plain = number::text::<4>;
    lines.iter().map(move |line| {
        words::fill(line, move |name| match name {
            "tool" => tool.map(|tool| tool.number.to_string()),
            "work" => tool.map(|tool| tool.work.name().to_owned()),
            "speed" => tool.and_then(|tool| tool.speed).map(plain),
            "force" => tool.and_then(|tool| tool.force).map(plain),
            "depth" => stroke.and_then(|stroke| stroke.depth).map(length),
            "angle" => stroke.map(|stroke| plain(stroke.angle_deg)),
            "opening" => stroke.map(|stroke| stroke.opening.unwrap_or(0).to_string()),
            "thickness" => Some(length(program.thickness)),
            "safe_height" => Some(length(program.controller.router.safe_height)),
            _ => None,
        })
    })
}

/// Finds what a format without lines of a profile's own and without depths cannot hold of a profile.
pub(super) fn neither_words_nor_depths(controller: &Controller, tools: &[Tool]) -> Vec<Problem> {
    let mut problems = no_several_depths(tools);
    let mut add = |place: KeyPath| {
        let help = "choose a format that holds them, or leave the lines out";
        problems.push(Problem::error("format", place, "files of this format cannot hold lines of your own", help));
    };
    if !controller.words.is_empty() {
        add(KeyPath::root().key("words"));
    }
    for tool in tools.iter().filter(|tool| !(tool.before_cut.is_empty() && tool.after_cut.is_empty())) {
        add(KeyPath::root().key("tools").key(tool.work.name()));
    }
    problems
}

/// Finds tools that would go over their strokes several times in a format that does not say how deep.
pub(super) fn no_several_depths(tools: &[Tool]) -> Vec<Problem> {
    let several = tools.iter().filter(|tool| tool.depths > 1);
    several
        .map(|tool| {
            let place = KeyPath::root().key("tools").key(tool.work.name()).key("depth");
            let message = "files of this format do not state depths, so the passes would lie on top of each other";
            Problem::error("format", place, message, "give one depth, and let the machine make its passes")
        })
        .collect()
}

/// Curves that are farther off than this many millimetres are seen on a mat (common practice, no source).
const MOST_OFF_MM: f64 = 0.25;

/// Reduces strokes to points and remembers how far they are off the curves.
pub(super) struct Flattener<'c> {
    controller: &'c Controller,
    error: f64,
}

impl<'c> Flattener<'c> {
    pub(super) const fn new(controller: &'c Controller) -> Self {
        Self { controller, error: 0.0 }
    }

    pub(super) fn points(&mut self, stroke: &Stroke) -> Vec<kurbo::Point> {
        let FlattenedStroke { points, error } =
            stroke.as_points(self.controller.tolerance, self.controller.flattening, self.controller.smallest_segment);
        self.error = self.error.max(error);
        points
    }

    /// Refuses curves that are farther off than anybody means.
    ///
    /// # Errors
    ///
    /// Returns how far they are off.
    pub(super) fn refuse(&self) -> Result<(), ExportError> {
        if self.error <= MOST_OFF_MM.max(self.controller.tolerance) {
            return Ok(());
        }
        let smallest = self.controller.smallest_segment;
        Err(ExportError {
            message: format!(
                "since strokes shorter than {smallest} mm are left out, curves would be off by {:.3} mm",
                self.error
            ),
            help: format!("make smallest_segment shorter; up to {MOST_OFF_MM} mm is accepted with a note"),
        })
    }

    /// Returns the note that curves are farther off than the tolerance, if they are.
    pub(super) fn notes(&self) -> Vec<String> {
        let Controller { tolerance, smallest_segment, .. } = self.controller;
        if self.error <= *tolerance {
            return Vec::new();
        }
        vec![format!(
            "since strokes shorter than {smallest_segment} mm are left out, curves may be off by {:.3} mm instead of {tolerance} mm",
            self.error
        )]
    }
}
