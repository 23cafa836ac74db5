//! HP-GL for plotters: a pen for each tool, moves and strokes in whole steps, arcs where the profile allows them.
//!
//! Instructions are IN, IP, SC, SP, VS, FS, PU, PD and AA. None is longer than the buffer of the profile. A drawing that needs
//! larger numbers than the device reads is written in coarser steps: IP says where the first hundred steps end in plotter
//! units, SC that they are a hundred; it is never clamped. HP-GL knows no comments.

use kurbo::Point;

use super::syntax::{Position, end_instruction, push_instruction, push_position};
use crate::formats::about::Flattener;
use crate::formats::number;
use crate::formats::{ExportError, Exported, ProgramFormat};
use crate::geometry::{Arc, Segment};
use crate::machine::{Curves, LargeNumbers, Machine, Program, Stroke};
use crate::problem::{KeyPath, Problem};

/// Writes HP-GL.
pub(super) struct HpGl;

/// So many steps are scaled by IP and SC.
const SCALED_STEPS: u32 = 100;
/// The smallest chord of an arc in degrees (HP-GL/2 takes 0.36 and more; from memory).
const SMALLEST_CHORD_DEG: f64 = 0.36;

impl ProgramFormat for HpGl {
    fn name(&self) -> &'static str {
        "hpgl"
    }

    fn extension(&self) -> &'static str {
        "plt"
    }

    fn summary(&self) -> &'static str {
        "HP-GL for plotters, with the arcs of HP-GL/2 if the profile allows them"
    }

    fn check(&self, machine: &Machine) -> Vec<Problem> {
        let mut problems = Vec::new();
        if machine.unit.millimetres > 0.5 {
            let message = format!("a plotter that counts in steps of {} draws no mat", machine.unit.name);
            let help = "HP-GL counts in plotter units: set unit = \"0.025 mm\", or what the manual says";
            problems.push(
                Problem::error("format", KeyPath::root().key("unit"), message, help)
                    .with_mm("step", machine.unit.millimetres),
            );
        }
        if machine.curves == Curves::Native {
            let help = "set curves = \"arcs\" for arcs of circles";
            problems.push(Problem::error("format", KeyPath::root().key("curves"), "HP-GL has no ellipses", help));
        }
        problems
    }

    fn encode(&self, program: &Program, machine: &Machine) -> Result<Exported, ExportError> {
        let steps = steps(program, machine)?;
        let mut flattener = Flattener::new(machine);
        let mut plot = Plot { out: Vec::new(), step: f64::from(steps) * machine.unit.millimetres, machine };
        plot.instruction("IN", &[]);
        if steps > 1 {
            let units = i64::from(SCALED_STEPS * steps);
            plot.instruction("IP", &[0, 0, units, units]);
            let scaled = i64::from(SCALED_STEPS);
            plot.instruction("SC", &[0, scaled, 0, scaled]);
        }
        for pass in &program.passes {
            plot.instruction("SP", &[i64::from(pass.tool.number)]);
            plot.setting("VS", pass.tool.speed);
            plot.setting("FS", pass.tool.force);
            for stroke in &pass.strokes {
                plot.stroke(stroke, &mut flattener);
            }
        }
        plot.instruction("PU", &[]);
        plot.instruction("SP", &[0]);
        let mut notes = flattener.notes();
        if steps > 1 {
            notes.push(format!(
                "the drawing needs numbers beyond {}, so it is written in steps of {} mm by the instructions IP and SC; check that your plotter obeys them",
                machine.plotter.largest_number, plot.step
            ));
        }
        Ok(Exported { bytes: plot.out, notes })
    }
}

/// Returns how many plotter units a step must have so that the device reads all numbers.
fn steps(program: &Program, machine: &Machine) -> Result<u32, ExportError> {
    let extent = program.extent;
    let farthest = [extent.x0, extent.x1, extent.y0, extent.y1].into_iter().map(f64::abs).fold(0.0, f64::max);
    let largest = f64::from(machine.plotter.largest_number);
    let units = farthest / machine.unit.millimetres;
    // Centres of arcs may lie outside; half a step is left for rounding.
    let steps = ((units + 1.0) / largest).ceil().max(1.0);
    if steps > 1.0 && machine.plotter.beyond == LargeNumbers::Refuse {
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
struct Plot<'m> {
    out: Vec<u8>,
    /// Length of a step in millimetres.
    step: f64,
    machine: &'m Machine,
}

impl Plot<'_> {
    fn instruction(&mut self, mnemonic: &str, numbers: &[i64]) {
        push_instruction(&mut self.out, mnemonic, numbers);
    }

    fn setting(&mut self, mnemonic: &str, value: Option<f64>) {
        if let Some(value) = value {
            self.out.extend_from_slice(mnemonic.as_bytes());
            number::push::<2>(&mut self.out, value);
            end_instruction(&mut self.out);
        }
    }

    fn to_steps(&self, point: Point) -> Position {
        (number::nearest(point.x / self.step), number::nearest(point.y / self.step))
    }

    fn stroke(&mut self, stroke: &Stroke, flattener: &mut Flattener<'_>) {
        let start = self.to_steps(stroke.start());
        self.instruction("PU", &[start.0, start.1]);
        if self.machine.curves == Curves::Lines {
            let points = flattener.points(stroke);
            let back = points.first().copied().filter(|_| stroke.closed);
            let stops = points.into_iter().skip(1).chain(back).map(|point| self.to_steps(point)).collect();
            self.lines(Some(start), stops);
            return;
        }
        let mut at = Some(start);
        let mut stops = Vec::new();
        for segment in stroke.as_arcs(self.machine.tolerance) {
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
    fn lines(&mut self, from: Option<Position>, mut stops: Vec<Position>) {
        stops.dedup();
        if stops.len() > 1 && stops.first().copied() == from {
            stops.remove(0);
        }
        let longest = self.machine.plotter.longest_instruction;
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
        let share = (0.5 * self.machine.tolerance / radius).sqrt().min(1.0);
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
