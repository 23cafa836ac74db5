//! How a file differs from a job, in words for people and as data for programs.

use std::fmt::Write;

use kurbo::Size;
use serde::Serialize;

use super::against::Comparison;
use super::fit::Fit;
use super::run::{RunDifference, RunFault};
use super::words::{counted, millimetres, tidy, words_of};

/// How a file differs from a drawing.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(super) struct ComparisonFound {
    job: String,
    /// Name of the view; empty if it is held against the program of a machine.
    view: String,
    /// Name of the machine.
    #[serde(skip_serializing_if = "Option::is_none")]
    machine: Option<String>,
    board: String,
    /// The largest distance, either way; `None` if the file does not fit the drawing at all.
    deviation: Option<f64>,
    agrees: bool,
    /// Whether it has the size of the job; what no factor explains is a deviation.
    true_size: bool,
    scale: f64,
    /// What was probably mixed up.
    #[serde(skip_serializing_if = "Option::is_none")]
    mix_up: Option<String>,
    quarter_turns: u8,
    mirrored: bool,
    /// By how many degrees clockwise, beyond quarter turns, it must be turned; only if it must.
    #[serde(skip_serializing_if = "Option::is_none")]
    turn: Option<f64>,
    /// How many times it is too wide and too high, where these differ.
    #[serde(skip_serializing_if = "Option::is_none")]
    stretch: Option<[f64; 2]>,
    /// How far the file of a machine lies from its place on the bed, along x and y; only if it does, and not turned.
    #[serde(skip_serializing_if = "Option::is_none")]
    moved: Option<[f64; 2]>,
    asked: Vec<ExpectedLinesFound>,
    drawn: Option<DrawnFound>,
    /// What the file has none of and may be without.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    absent: Vec<&'static str>,
    /// The cut that runs on farthest beyond a corner.
    #[serde(skip_serializing_if = "Option::is_none")]
    over_run: Option<OverRunFound>,
    /// What a machine would do otherwise than its program says.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    differences: Vec<DifferenceFound>,
    /// What the file of a machine does not say, so that it was not compared.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    not_checked: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct DifferenceFound {
    fault: RunFault,
    /// Number of the line of the file.
    #[serde(skip_serializing_if = "Option::is_none")]
    line: Option<usize>,
    /// Where, in the frame of the machine.
    #[serde(skip_serializing_if = "Option::is_none")]
    at: Option<[f64; 2]>,
    message: String,
}

impl DifferenceFound {
    fn new(difference: &RunDifference) -> Self {
        Self {
            fault: difference.fault,
            line: difference.line,
            at: difference.at.map(|at| [tidy(at.x), tidy(at.y)]),
            message: difference.message.clone(),
        }
    }

    fn write(&self, out: &mut String) -> std::fmt::Result {
        write!(out, "    {}: ", self.fault.name().to_uppercase())?;
        if let Some(line) = self.line {
            write!(out, "line {line}: ")?;
        }
        out.push_str(&self.message);
        match self.at {
            Some([x, y]) => writeln!(out, ", at {x}, {y}"),
            None => writeln!(out),
        }
    }
}

/// Differences of one kind that are listed in words.
const MOST_ALIKE: usize = 3;

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct OverRunFound {
    length: f64,
    /// Where it ends.
    at: [f64; 2],
}

/// What a file is held against, in words for the user.
#[derive(Debug, Clone, Copy)]
pub struct ExpectedFile<'a> {
    /// Name of the job.
    pub job: &'a str,
    /// Name of the view, or of the machine.
    pub what: ExpectedContent<'a>,
    /// Name of the board; empty if there is one only.
    pub board: &'a str,
}

impl<'a> ExpectedFile<'a> {
    /// Makes what a file is held against, for a mat of one board.
    #[must_use]
    pub const fn new(job: &'a str, what: ExpectedContent<'a>) -> Self {
        Self { job, what, board: "" }
    }
}

/// What of a board a file is held against.
#[derive(Debug, Clone, Copy)]
pub enum ExpectedContent<'a> {
    /// The view of this name.
    View(&'a str),
    /// The program for the machine of this name.
    Machine(&'a str),
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct ExpectedLinesFound {
    what: String,
    width: f64,
    height: f64,
    deviation: f64,
    /// Where, on the sheet of the drawing: x to the right, y down.
    at: [f64; 2],
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct DrawnFound {
    layer: String,
    deviation: f64,
    at: [f64; 2],
}

impl ComparisonFound {
    pub(super) fn new(against: ExpectedFile<'_>, comparison: Option<&Comparison>, bound: f64) -> Self {
        let fit = comparison.map(|comparison| comparison.fit);
        let run = comparison.and_then(|comparison| comparison.run.as_ref());
        let (view, machine) = match against.what {
            ExpectedContent::View(view) => (view, None),
            ExpectedContent::Machine(machine) => ("", Some(machine.to_owned())),
        };
        let elsewhere = comparison.filter(|comparison| comparison.is_elsewhere && !comparison.fit.is_turned());
        Self {
            job: against.job.to_owned(),
            view: view.to_owned(),
            machine,
            board: against.board.to_owned(),
            deviation: comparison.map(|comparison| tidy(comparison.largest())),
            agrees: comparison.is_some_and(|comparison| comparison.agrees(bound)),
            true_size: fit.is_none_or(|fit| fit.has_true_size()),
            scale: fit.map_or(1.0, |fit| fit.scale),
            mix_up: fit.and_then(|fit| fit.mix_up()).map(|mix_up| mix_up.to_string()),
            quarter_turns: fit.map_or(0, |fit| fit.quarter_turns),
            mirrored: fit.is_some_and(|fit| fit.mirrored),
            turn: fit.map(|fit| tidy(fit.turn_deg)).filter(|turn| *turn != 0.0),
            stretch: fit.filter(Fit::is_stretched).map(|fit| [tidy(fit.stretch.x), tidy(fit.stretch.y)]),
            moved: elsewhere.map(|comparison| comparison.fit.moved()).map(|moved| [tidy(moved.x), tidy(moved.y)]),
            asked: comparison.map(asked).unwrap_or_default(),
            drawn: comparison.and_then(|comparison| comparison.drawn.as_ref()).map(|(far, layer)| DrawnFound {
                layer: layer.clone(),
                deviation: tidy(far.distance),
                at: [tidy(far.at.x), tidy(far.at.y)],
            }),
            absent: comparison.iter().flat_map(|comparison| &comparison.absent).map(|role| role.name()).collect(),
            over_run: comparison
                .and_then(|comparison| comparison.over_run)
                .map(|end| OverRunFound { length: tidy(end.distance), at: [tidy(end.at.x), tidy(end.at.y)] }),
            differences: run.iter().flat_map(|run| &run.differences).map(DifferenceFound::new).collect(),
            not_checked: run.iter().flat_map(|run| run.not_checked.iter().cloned()).collect(),
        }
    }

    pub(super) fn write(&self, out: &mut String) -> std::fmt::Result {
        let board = if self.board.is_empty() { String::new() } else { format!(", {} board", self.board) };
        match &self.machine {
            Some(machine) => writeln!(out, "  against {}, as {machine} cuts it{board}:", self.job)?,
            None => writeln!(out, "  against {}, view {}{board}:", self.job, self.view)?,
        }
        let Some(deviation) = self.deviation else {
            return writeln!(out, "    NOT THE SAME: no outline in the file has a shape that the job asks for");
        };
        if !self.true_size {
            match &self.mix_up {
                Some(mix_up) => writeln!(out, "    WRONG SIZE: {mix_up}")?,
                None => writeln!(out, "    WRONG SIZE: {} times that of the job", (self.scale * 1e4).round() / 1e4)?,
            }
        }
        if self.mirrored {
            writeln!(out, "    MIRRORED: left and right are swapped")?;
        }
        if let Some(turn) = self.turn {
            let way = if turn > 0.0 { "clockwise" } else { "counterclockwise" };
            writeln!(out, "    TURNED: turn it {}° {way} to match the drawing", turn.abs())?;
        }
        if let Some([x, y]) = self.stretch {
            let part = |factor: f64, size: &str| {
                if (factor - 1.0).abs() > 0.0 {
                    format!("{factor} times the {size}")
                } else {
                    format!("the true {size}")
                }
            };
            writeln!(out, "    STRETCHED: it has {} and {} of the job", part(x, "width"), part(y, "height"))?;
        }
        if self.quarter_turns > 0 {
            let turns = counted(usize::from(self.quarter_turns), "quarter turn", "quarter turns");
            writeln!(out, "    turned: {turns} clockwise would match it to the drawing")?;
        }
        if let Some([x, y]) = self.moved {
            writeln!(out, "    WRONG PLACE: {x} mm along x and {y} mm along y from its place on the bed")?;
        }
        for asked in &self.asked {
            let size = words_of(Size::new(asked.width, asked.height));
            let [x, y] = asked.at;
            writeln!(out, "    {} {size}: within {}, at {x}, {y}", asked.what, millimetres(asked.deviation))?;
        }
        if let Some(drawn) = &self.drawn {
            let [x, y] = drawn.at;
            let layer = if drawn.layer.is_empty() { String::new() } else { format!(" on {}", drawn.layer) };
            writeln!(out, "    the file{layer} is off by {} at {x}, {y}", millimetres(drawn.deviation))?;
        }
        if !self.absent.is_empty() {
            writeln!(out, "    missing from the file: {}", self.absent.join(", "))?;
        }
        if let Some(OverRunFound { length, at: [x, y] }) = self.over_run {
            writeln!(out, "    cuts run past corners by up to {length} mm, at {x}, {y}")?;
        }
        self.write_differences(out)?;
        let verdict = if self.agrees { "agrees" } else { "DOES NOT AGREE" };
        write!(out, "    {verdict}: ")?;
        if !self.differences.is_empty() {
            write!(out, "{}, ", counted(self.differences.len(), "difference", "differences"))?;
        }
        writeln!(out, "largest deviation {}", millimetres(deviation))
    }
}

impl ComparisonFound {
    /// Lists a few differences of each kind, and how many more there are.
    fn write_differences(&self, out: &mut String) -> std::fmt::Result {
        let mut faults: Vec<RunFault> = Vec::new();
        for difference in &self.differences {
            if !faults.contains(&difference.fault) {
                faults.push(difference.fault);
            }
        }
        for fault in faults {
            let alike: Vec<&DifferenceFound> = self.differences.iter().filter(|one| one.fault == fault).collect();
            alike.iter().take(MOST_ALIKE).try_for_each(|one| one.write(out))?;
            match alike.len().saturating_sub(MOST_ALIKE) {
                0 => {}
                more => writeln!(out, "    {}: and {more} more", fault.name().to_uppercase())?,
            }
        }
        if self.not_checked.is_empty() {
            Ok(())
        } else {
            writeln!(out, "    not checked: {}", self.not_checked.join("; "))
        }
    }
}

fn asked(comparison: &Comparison) -> Vec<ExpectedLinesFound> {
    let found = comparison.asked.iter().map(|asked| ExpectedLinesFound {
        what: match asked.opening {
            Some(opening) if asked.name.is_empty() => format!("{} {opening}", asked.role.name()),
            Some(opening) => format!("{} {opening} ({})", asked.role.name(), asked.name),
            None => asked.role.name().to_owned(),
        },
        width: tidy(asked.size.width),
        height: tidy(asked.size.height),
        deviation: tidy(asked.farthest.distance),
        at: [tidy(asked.farthest.at.x), tidy(asked.farthest.at.y)],
    });
    found.collect()
}
