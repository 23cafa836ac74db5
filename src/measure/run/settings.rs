//! How each stroke of a file is made, held against tool and profile: tool, depth, speed, force and direction.

use super::difference::{RunCheck, RunFault};
use super::mark::has_mark;
use super::pairing::{Pairing, StrokePair};
use crate::formats::reading::{LineColor, ReadDrawing};
use crate::formats::{Facts, ToolMark};
use crate::program::{Lowering, Program};
use crate::tolerance::SAME_SPEED_SHARE;

/// What is compared, and with what.
struct SettingsCheck<'a> {
    format: &'static Facts,
    program: &'a Program,
    /// Millimetres or other units in the unit of a speed of the profile.
    speed_unit: f64,
    depth_bound: f64,
}

/// Compares the settings of all strokes that the file shares with the program.
pub(super) fn compare(
    pairing: &Pairing<'_>,
    reading: &ReadDrawing,
    program: &Program,
    depth_bound: f64,
    check: &mut RunCheck,
) {
    let format = reading.format;
    let speed_unit = if format.has_depths { program.controller.unit.millimetres } else { 1.0 };
    let settings = SettingsCheck { format, program, speed_unit, depth_bound };
    for pair in &pairing.pairs {
        settings.tool(pair, check);
        settings.depth(pair, check);
        settings.speed(pair, check);
        settings.force(pair, check);
        direction(pair, check);
        if pair.found.run.is_rapid {
            let message = format!("{} is a rapid move", pair.expected.words());
            check.add(RunFault::Rapid, Some(pair.found.line), Some(pair.found.ends()[0]), message);
        }
    }
    settings.leave_unchecked(check);
}

impl SettingsCheck<'_> {
    fn tool(&self, pair: &StrokePair<'_>, check: &mut RunCheck) {
        let (found, tool) = (pair.found, pair.expected.tool);
        let (line, at, words) = (Some(found.line), Some(found.ends()[0]), pair.expected.words());
        if !has_mark(found, tool, self.format) {
            let message = match self.format.tools {
                ToolMark::Layer => {
                    format!("{words} is on layer \"{}\"; it should be on \"{}\"", found.layer, tool.layer)
                }
                ToolMark::Color => format!("{words} does not have the colour of its tool, {}", color_words(tool.color)),
                ToolMark::Pen if found.run.tool.is_none() => {
                    format!("{words} has no pen selected (SP); it should use pen {}", tool.number)
                }
                ToolMark::Pen => format!("{words} uses {}; it should use pen {}", found.layer, tool.number),
                ToolMark::Number | ToolMark::Change | ToolMark::Nothing => {
                    let number = found.run.tool.map_or_else(|| "no tool".to_owned(), |number| format!("tool {number}"));
                    format!("{words} uses {number} ({}); it should use tool {}", found.layer, tool.number)
                }
            };
            let fault = if self.format.tools == ToolMark::Color { RunFault::Color } else { RunFault::Tool };
            check.add(fault, line, at, message);
        }
        // Of tools that share a layer the first gives it its colour.
        let mut tools = self.program.passes.iter().map(|pass| &pass.tool);
        let asked = tools.find(|other| other.layer == tool.layer).map_or(tool.dxf_color, |first| first.dxf_color);
        if let Some(LineColor::Dxf(color)) = found.run.color
            && color != asked
        {
            let message = format!("{words} has colour {color}; it should have {asked}");
            check.add(RunFault::Color, line, at, message);
        }
    }

    fn depth(&self, pair: &StrokePair<'_>, check: &mut RunCheck) {
        if !self.says_depths() {
            return;
        }
        let (line, at, words) = (Some(pair.found.line), Some(pair.found.ends()[0]), pair.expected.words());
        let asked = pair.expected.stroke.depth.unwrap_or(0.0);
        let Some([least, most]) = pair.found.run.depth else {
            return check.add(RunFault::Depth, line, at, format!("the file gives no depth for {words}"));
        };
        let shown = |depth: f64| (depth * 1e4).round() / 1e4;
        let (asked_words, least_words, most_words) = (shown(asked), shown(least), shown(most));
        if most > asked + self.depth_bound {
            let message = format!("{words} is {most_words} mm deep; it should be {asked_words} mm");
            check.add(RunFault::Depth, line, at, message);
        } else if least < asked - self.depth_bound {
            let message = format!("{words} is only {least_words} mm deep; it should be {asked_words} mm");
            check.add(RunFault::Depth, line, at, message);
        }
    }

    fn speed(&self, pair: &StrokePair<'_>, check: &mut RunCheck) {
        if !self.format.has_speeds {
            return;
        }
        let (run, tool) = (&pair.found.run, pair.expected.tool);
        let (line, at, words) = (Some(pair.found.line), Some(pair.found.ends()[0]), pair.expected.words());
        let asked = tool.speed.map(|speed| speed * self.speed_unit);
        let all = self.program.passes.iter().filter_map(|pass| pass.tool.speed).map(|speed| speed * self.speed_unit);
        let allowed: Vec<f64> = asked.map_or_else(|| all.collect(), |speed| vec![speed]);
        let off = run.speed.and_then(|speeds| speeds.into_iter().find(|speed| !is_one_of(*speed, &allowed)));
        match (off, asked) {
            (Some(speed), Some(asked)) => {
                let message = format!("{words} runs at speed {speed}; the profile says {asked}");
                check.add(RunFault::Speed, line, at, message);
            }
            (Some(speed), None) => {
                let message = format!("{words} runs at speed {speed}; the profile sets none");
                check.add(RunFault::Speed, line, at, message);
            }
            (None, Some(asked)) if run.speed.is_none() && !run.is_rapid => {
                let message = format!("the file sets no speed for {words}; the profile says {asked}");
                check.add(RunFault::Speed, line, at, message);
            }
            _ => {}
        }
        let plunge = self.program.controller.router.plunge_speed.or(tool.speed).map(|speed| speed * self.speed_unit);
        if let (Some(plunge), Some(asked)) = (run.plunge, plunge)
            && !is_one_of(plunge, &[asked])
        {
            let how = if plunge.is_finite() { format!("at speed {plunge}") } else { "in a rapid move".to_owned() };
            let message = format!("for {words} the tool plunges {how}; the profile says {asked}");
            check.add(RunFault::Speed, line, at, message);
        }
    }

    fn force(&self, pair: &StrokePair<'_>, check: &mut RunCheck) {
        if !self.format.has_speeds || self.format.has_depths {
            return;
        }
        let (run, tool) = (&pair.found.run, pair.expected.tool);
        let (line, at, words) = (Some(pair.found.line), Some(pair.found.ends()[0]), pair.expected.words());
        let all = self.program.passes.iter().filter_map(|pass| pass.tool.force);
        let allowed: Vec<f64> = tool.force.map_or_else(|| all.collect(), |force| vec![force]);
        let asked = tool.force.map_or_else(|| "none".to_owned(), |force| force.to_string());
        match run.force {
            Some(force) if !is_one_of(force, &allowed) => {
                let message = format!("{words} uses force {force}; the profile says {asked}");
                check.add(RunFault::Force, line, at, message);
            }
            None if tool.force.is_some() => {
                let message = format!("the file sets no force for {words}; the profile says {asked}");
                check.add(RunFault::Force, line, at, message);
            }
            _ => {}
        }
    }

    fn says_depths(&self) -> bool {
        self.format.has_depths && self.program.controller.router.lowered == Lowering::ByZ
    }

    fn leave_unchecked(&self, check: &mut RunCheck) {
        if !self.says_depths()
            && self.program.passes.iter().any(|pass| pass.tool.kind != crate::program::ToolKind::Line)
        {
            check.leave("depth");
        }
        if !self.format.has_speeds {
            check.leave("speed and force");
        }
    }
}

fn is_one_of(number: f64, allowed: &[f64]) -> bool {
    allowed.iter().any(|allowed| (number - allowed).abs() <= SAME_SPEED_SHARE * allowed.abs())
}

fn direction(pair: &StrokePair<'_>, check: &mut RunCheck) {
    if pair.expected.is_free() {
        return;
    }
    if pair.found.run.is_undirected {
        return check.leave("the direction of separate circles and arcs");
    }
    if pair.is_reversed {
        let leans = pair.expected.stroke.angle_deg > 0.0;
        let why = if leans { ", so the blade leans to the other side" } else { "" };
        let message = format!("{} runs the wrong way{why}", pair.expected.words());
        check.add(RunFault::Direction, Some(pair.found.line), Some(pair.found.ends()[0]), message);
    }
}

fn color_words([red, green, blue]: [u8; 3]) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}
