//! HP-GL for plotters: a pen for each tool, moves and strokes in whole steps, arcs where the profile allows them.
//!
//! Instructions are IN, IP, SC, SP, VS, FS, PU, PD and AA. None is longer than the buffer of the profile. A drawing that needs
//! larger numbers than the device reads is written in coarser steps: IP says where the first hundred steps end in plotter
//! units, SC that they are a hundred; it is never clamped. HP-GL knows no comments.

use kurbo::Point;

use super::syntax::{PlotterPoint, end_instruction, push_instruction, push_position};
use crate::formats::about::{self, Flattener};
use crate::formats::number;
use crate::formats::{ExportError, Exported, ProgramFormat};
use crate::geometry::{Arc, Segment};
use crate::problem::{KeyPath, Problem};
use crate::program::{Controller, Curves, LargeNumbers, Program, Stroke, Tool};

/// Writes HP-GL.
pub(super) struct HpGlPrograms;

/// Speeds in centimetres a second, for the instruction VS, that are taken for meant (common practice, no source).
const SPEEDS: std::ops::RangeInclusive<f64> = 0.1..=200.0;
/// Forces in steps of the machine or in grams, for the instruction FS, that are taken for meant (common practice, no source).
const FORCES: std::ops::RangeInclusive<f64> = 1.0..=5000.0;
/// Said where the file should say something in a comment.
const NO_COMMENTS: &str =
    "HP-GL has no comments, so the file itself does not say what is different or left out; keep this message with it";

/// So many steps are scaled by IP and SC.
const SCALED_STEPS: u32 = 100;
/// The smallest chord of an arc in degrees (HP-GL/2 takes 0.36 and more; from memory).
const SMALLEST_CHORD_DEG: f64 = 0.36;

impl ProgramFormat for HpGlPrograms {
    fn name(&self) -> &'static str {
        "hpgl"
    }

    fn extension(&self) -> &'static str {
        "plt"
    }

    fn summary(&self) -> &'static str {
        "HP-GL for plotters, with the arcs of HP-GL/2 if the profile allows them"
    }

    fn check(&self, controller: &Controller, tools: &[Tool]) -> Vec<Problem> {
        let mut problems = about::no_several_depths(tools);
        problems.extend(tools.iter().flat_map(settings_out_of_range));
        if controller.unit.millimetres > 0.5 {
            let message = format!("a plotter with steps of {} cannot draw a mat", controller.unit.name);
            let help = "HP-GL counts in plotter units: set unit = \"0.025 mm\", or what the manual says";
            problems.push(
                Problem::error("format", KeyPath::root().key("unit"), message, help)
                    .with_mm("step", controller.unit.millimetres),
            );
        }
        if controller.curves == Curves::Native {
            let help = "set curves = \"arcs\" for arcs of circles";
            problems.push(Problem::error("format", KeyPath::root().key("curves"), "HP-GL has no ellipses", help));
        }
        problems
    }

    fn encode(&self, program: &Program) -> Result<Exported, ExportError> {
        let controller = &program.controller;
        let steps = steps(program)?;
        let mut flattener = Flattener::new(controller);
        let mut plot =
            ProgramPlot { out: Vec::new(), step: f64::from(steps) * controller.unit.millimetres, controller };
        plot.instruction("IN", &[]);
        if steps > 1 {
            let units = i64::from(SCALED_STEPS * steps);
            plot.instruction("IP", &[0, 0, units, units]);
            let scaled = i64::from(SCALED_STEPS);
            plot.instruction("SC", &[0, scaled, 0, scaled]);
        }
        let words = &controller.words;
        plot.own(about::filled(&words.before_file, program, None, None));
        let mut before: Option<u16> = None;
        for pass in &program.passes {
            let tool = &pass.tool;
            if before != Some(tool.number) {
                plot.own(about::filled(&words.tool_change, program, Some(tool), None));
            }
            before = Some(tool.number);
            plot.instruction("SP", &[i64::from(tool.number)]);
            plot.setting("VS", tool.speed);
            plot.setting("FS", tool.force);
            for stroke in &pass.strokes {
                let start = plot.to_steps(stroke.start());
                plot.instruction("PU", &[start.0, start.1]);
                plot.own(about::filled(&tool.before_cut, program, Some(tool), Some(stroke)));
                plot.stroke(stroke, &mut flattener);
                if !tool.after_cut.is_empty() {
                    plot.instruction("PU", &[]);
                    plot.own(about::filled(&tool.after_cut, program, Some(tool), Some(stroke)));
                }
            }
        }
        plot.instruction("PU", &[]);
        plot.own(about::filled(&words.after_file, program, None, None));
        plot.instruction("SP", &[0]);
        flattener.refuse()?;
        let mut notes = flattener.notes();
        if !(program.account.differs.is_empty() && program.account.leaves_out.is_empty()) {
            notes.push(NO_COMMENTS.to_owned());
        }
        if steps > 1 {
            notes.push(format!(
                "the drawing needs numbers beyond {}, so it is written in steps of {} mm by the instructions IP and SC; check that your plotter supports them",
                controller.plotter.largest_number, plot.step
            ));
        }
        Ok(Exported::new(plot.out, notes))
    }
}

/// Finds speeds and forces that no plotter has.
fn settings_out_of_range(tool: &Tool) -> Vec<Problem> {
    let mut problems = Vec::new();
    let path = KeyPath::root().key("tools").key(tool.work.name());
    for (name, value, range, what) in
        [("speed", tool.speed, SPEEDS, "cm a second"), ("force", tool.force, FORCES, "steps of the machine")]
    {
        if let Some(value) = value.filter(|value| !range.contains(value)) {
            let message = format!("{value} is not a possible {name} for a plotter");
            let help = format!("give {what} from {} to {}", range.start(), range.end());
            let problem = Problem::error("machine-number", path.key(name), message, help);
            problems.push(problem.with_plain(name, value));
        }
    }
    problems
}

/// Returns how many plotter units a step must have so that the device reads all numbers.
fn steps(program: &Program) -> Result<u32, ExportError> {
    let controller = &program.controller;
    let extent = program.extent;
    let farthest = [extent.x0, extent.x1, extent.y0, extent.y1].into_iter().map(f64::abs).fold(0.0, f64::max);
    let largest = f64::from(controller.plotter.largest_number);
    let units = farthest / controller.unit.millimetres;
    // Centres of arcs may lie outside; half a step is left for rounding.
    let steps = ((units + 1.0) / largest).ceil().max(1.0);
    if steps > 1.0 && controller.plotter.beyond == LargeNumbers::Refuse {
        return Err(ExportError {
            message: format!(
                "the drawing reaches {farthest:.1} mm from zero, {units:.0} plotter units, but the device reads no number beyond {largest}"
            ),
            help: "set beyond = \"coarser\" in [plotter], move the origin to the centre, or turn the board".to_owned(),
        });
    }
    // IP is in plotter units and must be readable too.
    if steps * f64::from(SCALED_STEPS) > largest {
        return Err(ExportError {
            message: format!(
                "the drawing reaches {farthest:.1} mm from zero, too far for a device that reads numbers up to {largest}"
            ),
            help: "check largest_number in [plotter] and the unit".to_owned(),
        });
    }
    Ok(steps as u32)
}

/// The instructions of a file.
struct ProgramPlot<'c> {
    out: Vec<u8>,
    /// Length of a step in millimetres.
    step: f64,
    controller: &'c Controller,
}

impl ProgramPlot<'_> {
    fn instruction(&mut self, mnemonic: &str, numbers: &[i64]) {
        push_instruction(&mut self.out, mnemonic, numbers);
    }

    /// Writes lines of the profile's own, each an instruction.
    fn own(&mut self, lines: impl Iterator<Item = String>) {
        for line in lines {
            self.out.extend_from_slice(line.trim_end_matches(';').as_bytes());
            end_instruction(&mut self.out);
        }
    }

    fn setting(&mut self, mnemonic: &str, value: Option<f64>) {
        if let Some(value) = value {
            self.out.extend_from_slice(mnemonic.as_bytes());
            number::push::<2>(&mut self.out, value);
            end_instruction(&mut self.out);
        }
    }

    fn to_steps(&self, point: Point) -> PlotterPoint {
        (number::nearest(point.x / self.step), number::nearest(point.y / self.step))
    }

    fn stroke(&mut self, stroke: &Stroke, flattener: &mut Flattener<'_>) {
        let start = self.to_steps(stroke.start());
        if self.controller.curves == Curves::Lines {
            let points = flattener.points(stroke);
            let back = points.first().copied().filter(|_| stroke.closed);
            let stops = points.into_iter().skip(1).chain(back).map(|point| self.to_steps(point)).collect();
            self.lines(Some(start), stops);
            return;
        }
        let mut at = Some(start);
        let mut stops = Vec::new();
        for segment in stroke.as_arcs(self.controller.tolerance) {
            if let Segment::Arc(arc) = segment {
                self.lines(at, std::mem::take(&mut stops));
                arc.half_turns().for_each(|part| self.arc(&part));
                // The arc ends where its rounded centre says; a short line brings the pen to its place.
                at = None;
            }
            stops.push(self.to_steps(segment.end()));
        }
        self.lines(at, stops);
    }

    /// Draws lines through stops; those that fall together are one, but a dot keeps one.
    fn lines(&mut self, from: Option<PlotterPoint>, mut stops: Vec<PlotterPoint>) {
        stops.dedup();
        if stops.len() > 1 && stops.first().copied() == from {
            stops.remove(0);
        }
        let longest = self.controller.plotter.longest_instruction;
        let mut instruction: Vec<u8> = Vec::new();
        for (x, y) in stops {
            let mut pair = Vec::new();
            push_position(&mut pair, (x, y));
            // A separator before the pair and the end of the instruction after it.
            if !instruction.is_empty() && instruction.len() + pair.len() + 2 > longest {
                self.end(&mut instruction);
            }
            instruction.extend_from_slice(if instruction.is_empty() { b"PD" } else { b"," });
            instruction.append(&mut pair);
        }
        if !instruction.is_empty() {
            self.end(&mut instruction);
        }
    }

    fn end(&mut self, instruction: &mut Vec<u8>) {
        self.out.append(instruction);
        end_instruction(&mut self.out);
    }

    /// Draws an arc with chords within the tolerance, the pen being at its start.
    fn arc(&mut self, arc: &Arc) {
        let radius = arc.circle_radius().unwrap_or(arc.rx);
        let share = (0.5 * self.controller.tolerance / radius).sqrt().min(1.0);
        let chord = (4.0 * share.asin()).to_degrees().clamp(SMALLEST_CHORD_DEG, 90.0);
        let center = self.to_steps(arc.center);
        self.out.extend_from_slice(b"PD;\nAA");
        push_position(&mut self.out, center);
        self.out.push(b',');
        number::push::<4>(&mut self.out, arc.sweep.to_degrees());
        self.out.push(b',');
        number::push::<2>(&mut self.out, chord);
        end_instruction(&mut self.out);
    }
}
