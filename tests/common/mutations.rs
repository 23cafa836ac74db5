//! Ways to spoil the file of a machine, as a slip in a post-processor or a hand that edits it would.

use super::machine_goldens::Golden;
use super::program_text::{Part, ProgramText, TextFormat};
use super::reversed_text;
use backline::machine::Machine;
use backline::measure::RunFault;
use backline::program::{Pass, Program, Stroke, ToolKind, WorkKind};

/// A file that the writer made of a golden job.
pub(crate) struct Written {
    pub(crate) machine: Machine,
    pub(crate) program: Program,
    pub(crate) bytes: Vec<u8>,
    pub(crate) ending: &'static str,
}

/// Writes every board of a golden job for every machine that takes it.
pub(crate) fn written_programs(golden: &Golden) -> Vec<Written> {
    let mut all = Vec::new();
    for layer in golden.mat().layers() {
        for machine in golden.machines.iter().cloned().chain(in_polylines()) {
            let Some(program) = machine.plan(golden.mat(), layer).value.filter(|program| !program.passes.is_empty())
            else {
                continue;
            };
            let format = machine.format().into_result().unwrap();
            let Ok(written) = format.write(&program) else { continue };
            all.push(Written { machine, program, bytes: written.bytes, ending: format.extension() });
        }
    }
    all
}

/// No machine of the program reads polylines.
fn in_polylines() -> Option<Machine> {
    let text = "format = 'polylines'\nside_up = 'face'\n[tools.groove]\nkind = 'v-tool'\nnumber = 3\n\
        [tools.cut]\nkind = 'upright-knife'\nnumber = 1\n[tools.edge]\nkind = 'upright-knife'\nnumber = 2\n";
    let written = backline::machine::WrittenMachine::read(text, backline::job::Syntax::Toml).unwrap();
    Some(written.resolve("in-polylines").into_result().unwrap())
}

/// A way to spoil a file.
pub(crate) struct Mutation {
    pub(crate) name: &'static str,
    /// Spoils a text; `None` where that cannot be.
    pub(crate) alter: fn(&str, &Program) -> Option<String>,
    /// What must be found then; one of these.
    pub(crate) faults: &'static [RunFault],
    /// At least so many files can be spoilt so.
    pub(crate) least: usize,
}

pub(crate) const MUTATIONS: &[Mutation] = &[
    Mutation { name: "a cut twice", alter: twice, faults: &[RunFault::Twice], least: 2 },
    Mutation { name: "a stroke missing", alter: missing, faults: &[RunFault::Missing, RunFault::Incomplete], least: 2 },
    Mutation {
        name: "one side missing",
        alter: side_missing,
        faults: &[RunFault::Incomplete, RunFault::OverRun, RunFault::Missing],
        least: 2,
    },
    Mutation { name: "edge first", alter: edge_first, faults: &[RunFault::Order], least: 2 },
    Mutation { name: "direction reversed", alter: reversed, faults: &[RunFault::Direction], least: 2 },
    Mutation { name: "0.2 mm too shallow", alter: shallow, faults: &[RunFault::Depth], least: 2 },
    Mutation { name: "0.2 mm too deep", alter: deep, faults: &[RunFault::Depth], least: 2 },
    Mutation { name: "rapids at cutting depth", alter: low_rapids, faults: &[RunFault::Rapid], least: 2 },
    Mutation {
        name: "pen down on the way",
        alter: pen_down,
        faults: &[RunFault::Surplus, RunFault::OverRun, RunFault::Place],
        least: 2,
    },
    Mutation { name: "feed ten times", alter: fast, faults: &[RunFault::Speed], least: 2 },
    Mutation { name: "down by a rapid move", alter: rapid_plunge, faults: &[RunFault::Speed], least: 2 },
    Mutation { name: "force changed", alter: strong, faults: &[RunFault::Force], least: 2 },
    Mutation { name: "no force", alter: no_force, faults: &[RunFault::Force], least: 2 },
    Mutation { name: "pens not selected", alter: no_pens, faults: &[RunFault::Tool], least: 2 },
    Mutation { name: "no stop for the tool", alter: no_stops, faults: &[RunFault::Tool], least: 2 },
    Mutation { name: "layers, pens or tools swapped", alter: swapped, faults: &[RunFault::Tool], least: 2 },
    Mutation { name: "colours swapped", alter: colours, faults: &[RunFault::Color], least: 2 },
    Mutation {
        name: "over-run 1 mm short",
        alter: short,
        faults: &[RunFault::OverRun, RunFault::Incomplete],
        least: 2,
    },
    Mutation { name: "a stroke too many", alter: surplus, faults: &[RunFault::Surplus], least: 2 },
    Mutation { name: "a stroke 1 mm beside its place", alter: beside, faults: &[RunFault::Place], least: 2 },
    Mutation {
        name: "lead-in from the board that stays",
        alter: lead_in_from_outside,
        faults: &[RunFault::Place, RunFault::OverRun],
        least: 1,
    },
    Mutation { name: "no lead-in", alter: no_lead_in, faults: &[RunFault::OverRun, RunFault::Incomplete], least: 1 },
    Mutation { name: "a hole", alter: hole, faults: &[RunFault::Surplus], least: 2 },
];

fn parted(text: &str, program: &Program) -> ProgramText {
    ProgramText::new(text, TextFormat::of(program))
}

fn is_separate(program: &Program) -> bool {
    program.controller.dxf.separate || program.controller.format == "dxf-r12-lines"
}

fn is_free(pass: &Pass) -> bool {
    matches!(pass.tool.kind, ToolKind::Line | ToolKind::Pen)
}

/// Returns the place of the last stroke in the text, and its pass.
fn last_stroke(text: &ProgramText, program: &Program) -> (usize, usize) {
    (*text.strokes().last().unwrap(), *text.passes(program).last().unwrap())
}

fn twice(text: &str, program: &Program) -> Option<String> {
    let mut text = parted(text, program);
    let at = text.strokes()[0];
    let again = text.parts[at].clone();
    text.parts.insert(at, again);
    Some(text.text())
}

fn missing(text: &str, program: &Program) -> Option<String> {
    let mut text = parted(text, program);
    let (at, _) = last_stroke(&text, program);
    text.parts.remove(at);
    Some(text.text())
}

/// Leaves the last piece of the last stroke out.
fn side_missing(text: &str, program: &Program) -> Option<String> {
    let mut text = parted(text, program);
    let (at, _) = last_stroke(&text, program);
    let stroke = text.stroke(at).to_owned();
    let altered = match text.format {
        TextFormat::GCode => {
            let line = stroke
                .split_inclusive('\n')
                .rfind(|line| line.starts_with("G1 X") || line.starts_with("G2") || line.starts_with("G3"))?;
            stroke.replacen(line, "", 1)
        }
        TextFormat::HpGl => {
            let pairs = stroke.rsplit_once("PD")?.1.matches(',').count();
            if pairs < 3 {
                return None;
            }
            let (before, _) = stroke.rsplit_once(',')?;
            format!("{};\n", before.rsplit_once(',')?.0)
        }
        TextFormat::Dxf if stroke.contains("\n70\n1\n") => stroke.replacen("\n70\n1\n", "\n70\n0\n", 1),
        TextFormat::Dxf => return None,
        TextFormat::Svg => stroke.contains('L').then(|| stroke.replace('Z', ""))?,
        TextFormat::Polylines => stroke.replacen("closed", "open", 1),
    };
    text.parts[at] = Part::Stroke(altered);
    Some(text.text())
}

fn edge_first(text: &str, program: &Program) -> Option<String> {
    let edge = program.passes.iter().position(|pass| pass.tool.work == WorkKind::Edge)?;
    let other = program.passes.iter().position(|pass| pass.tool.work.cuts_openings())?;
    if edge < other || program.passes[edge].tool.kind == ToolKind::Line {
        return None;
    }
    let text = parted(text, program);
    let passes = text.passes(program);
    let strokes = text.strokes();
    let start = |pass: usize| {
        let at = strokes[passes.iter().position(|of| *of == pass).unwrap()];
        // What sets the pass up goes with it.
        let mine = |part: &Part| match part {
            Part::Stroke(_) => false,
            Part::Other(line) => {
                ["SP", "VS", "FS", "(tool", "M6", "<g"].iter().any(|lead| line.starts_with(lead)) || line == "M0\n"
            }
        };
        let before = text.parts[..at].iter().rev().take_while(|part| mine(part)).count();
        at - before
    };
    let end = *strokes.last().unwrap() + 1;
    let end = if text.format == TextFormat::Svg { end + 1 } else { end };
    let (first, edge) = (start(other), start(edge));
    let mut parts = text.parts[..first].to_vec();
    parts.extend_from_slice(&text.parts[edge..end]);
    parts.extend_from_slice(&text.parts[first..edge]);
    parts.extend_from_slice(&text.parts[end..]);
    Some(ProgramText { parts, format: text.format }.text())
}

fn reversed(text: &str, program: &Program) -> Option<String> {
    let mut text = parted(text, program);
    let passes = text.passes(program);
    if is_separate(program)
        && program.passes.iter().flat_map(|pass| &pass.strokes).any(|stroke| stroke.segments.len() > 1)
    {
        return None;
    }
    let strokes = text.strokes();
    let mine = strokes.into_iter().zip(passes).filter(|(_, pass)| !is_free(&program.passes[*pass]));
    let found =
        mine.filter_map(|(at, _)| Some((at, reversed_text::reversed(text.stroke(at), text.format)?))).next_back();
    let (at, altered) = found?;
    text.parts[at] = Part::Stroke(altered);
    Some(text.text())
}

/// Changes the number after a letter in all lines that start with something.
fn changed(text: &str, starts: &str, letter: char, by: impl Fn(f64) -> f64) -> Option<String> {
    let mut is_changed = false;
    let mut line_of = |line: &str| {
        if !line.starts_with(starts) || line.starts_with('(') {
            return line.to_owned();
        }
        let words = line.trim_end().split(' ').map(|word| match word.strip_prefix(letter).map(str::parse::<f64>) {
            Some(Ok(number)) => {
                is_changed = true;
                format!("{letter}{}", by(number))
            }
            _ => word.to_owned(),
        });
        words.collect::<Vec<_>>().join(" ") + "\n"
    };
    let text: String = text.split_inclusive('\n').map(&mut line_of).collect();
    is_changed.then_some(text)
}

fn in_gcode(program: &Program) -> Option<()> {
    (program.controller.format == "gcode").then_some(())
}

fn shallow(text: &str, program: &Program) -> Option<String> {
    in_gcode(program)?;
    changed(text, "G1 Z", 'Z', |z| z + 0.2 / program.controller.unit.millimetres)
}

fn deep(text: &str, program: &Program) -> Option<String> {
    in_gcode(program)?;
    changed(text, "G1 Z", 'Z', |z| z - 0.2 / program.controller.unit.millimetres)
}

fn low_rapids(text: &str, program: &Program) -> Option<String> {
    in_gcode(program)?;
    changed(text, "G0 Z", 'Z', |_| -1.0 / program.controller.unit.millimetres)
}

/// Leaves the pen down between two strokes.
fn pen_down(text: &str, program: &Program) -> Option<String> {
    let text = parted(text, program);
    let strokes = text.strokes();
    let at = strokes.windows(2).find(|pair| pair[1] == pair[0] + 1)?[1];
    let stroke = text.stroke(at).strip_prefix("PU")?;
    let mut text = text.clone();
    text.parts[at] = Part::Stroke(format!("PD{stroke}"));
    Some(text.text())
}

fn fast(text: &str, program: &Program) -> Option<String> {
    match TextFormat::of(program) {
        TextFormat::GCode => changed(text, "G", 'F', |feed| 10.0 * feed),
        TextFormat::HpGl => {
            let speed = program.passes.iter().find_map(|pass| pass.tool.speed)?;
            Some(text.replace(&format!("VS{speed};"), &format!("VS{};", 10.0 * speed)))
        }
        _ => None,
    }
}

fn rapid_plunge(text: &str, program: &Program) -> Option<String> {
    in_gcode(program)?;
    Some(text.replace("G1 Z-", "G0 Z-"))
}

fn strong(text: &str, program: &Program) -> Option<String> {
    let force = program.passes.iter().find_map(|pass| pass.tool.force)?;
    text.contains("FS").then(|| text.replace(&format!("FS{force};"), &format!("FS{};", force + 7.0)))
}

fn no_force(text: &str, program: &Program) -> Option<String> {
    let force = program.passes.first()?.tool.force?;
    text.contains("FS").then(|| text.replace(&format!("FS{force};\n"), ""))
}

fn no_pens(text: &str, program: &Program) -> Option<String> {
    (TextFormat::of(program) == TextFormat::HpGl)
        .then(|| text.split_inclusive('\n').filter(|line| !line.starts_with("SP") || *line == "SP0;\n").collect())
}

fn no_stops(text: &str, program: &Program) -> Option<String> {
    in_gcode(program)?;
    let altered: String =
        text.split_inclusive('\n').filter(|line| *line != "M0\n" && !line.starts_with("M6 ")).collect();
    (altered != text).then_some(altered)
}

/// Returns two tools of a program that differ in something.
fn two<T: PartialEq>(program: &Program, of: impl Fn(&Pass) -> T) -> Option<(T, T)> {
    let first = of(program.passes.first()?);
    let other = program.passes.iter().map(&of).find(|other| *other != first)?;
    Some((first, other))
}

fn exchanged(text: &str, a: &str, b: &str) -> String {
    text.replace(a, "\u{0}").replace(b, a).replace('\u{0}', b)
}

fn swapped(text: &str, program: &Program) -> Option<String> {
    match TextFormat::of(program) {
        TextFormat::Dxf => {
            let (a, b) = two(program, |pass| pass.tool.layer.clone())?;
            let mut text = parted(text, program);
            for part in &mut text.parts {
                if let Part::Stroke(stroke) = part {
                    *stroke = exchanged(stroke, &format!("\n8\n{a}\n"), &format!("\n8\n{b}\n"));
                }
            }
            Some(text.text())
        }
        TextFormat::HpGl => {
            let (a, b) = two(program, |pass| pass.tool.number)?;
            Some(exchanged(text, &format!("SP{a};"), &format!("SP{b};")))
        }
        TextFormat::Polylines => {
            let (a, b) = two(program, |pass| pass.tool.number)?;
            let end = |number: u16| format!(" {} {number}\n", program.controller.unit.name);
            Some(exchanged(text, &end(a), &end(b)))
        }
        TextFormat::GCode => {
            let (a, b) = two(program, |pass| pass.tool.number)?;
            text.contains("M6 ").then(|| exchanged(text, &format!("M6 T{a}\n"), &format!("M6 T{b}\n")))
        }
        TextFormat::Svg => None,
    }
}

fn colours(text: &str, program: &Program) -> Option<String> {
    match TextFormat::of(program) {
        TextFormat::Svg => {
            let (a, b) = two(program, |pass| pass.tool.color)?;
            let hex = |[red, green, blue]: [u8; 3]| format!("#{red:02x}{green:02x}{blue:02x}");
            Some(exchanged(text, &hex(a), &hex(b)))
        }
        TextFormat::Dxf => {
            let (a, b) = two(program, |pass| pass.tool.dxf_color)?;
            let (start, end) = (text.find("LAYER")?, text.find("ENTITIES")?);
            let table = exchanged(&text[start..end], &format!("\n62\n{a}\n"), &format!("\n62\n{b}\n"));
            Some(format!("{}{table}{}", &text[..start], &text[end..]))
        }
        _ => None,
    }
}

/// Lets a cut that runs on stop a millimetre sooner.
fn short(text: &str, program: &Program) -> Option<String> {
    if is_separate(program)
        && program.passes.iter().flat_map(|pass| &pass.strokes).any(|stroke| stroke.segments.len() > 1)
    {
        return None;
    }
    let mut text = parted(text, program);
    let passes = text.passes(program);
    let open: Vec<bool> = program.passes.iter().flat_map(|pass| &pass.strokes).map(|stroke| !stroke.closed).collect();
    let mine: Vec<usize> = text
        .strokes()
        .into_iter()
        .zip(passes)
        .zip(open)
        .filter(|((_, pass), open)| {
            *open && program.passes[*pass].tool.work.goes_through() && !is_free(&program.passes[*pass])
        })
        .map(|((at, _), _)| at)
        .collect();
    let step = if text.format == TextFormat::HpGl { program.controller.unit.millimetres } else { 1.0 };
    let unit = if text.format == TextFormat::HpGl { step } else { program.controller.unit.millimetres };
    if text.text().contains("IP0") {
        return None;
    }
    let found = mine
        .into_iter()
        .filter_map(|at| Some((at, reversed_text::shortened(text.stroke(at), text.format, 1.0 / unit)?)));
    let (at, altered) = found.collect::<Vec<_>>().pop()?;
    text.parts[at] = Part::Stroke(altered);
    Some(text.text())
}

/// Alters the points of the last stroke that leads into a closed cut.
fn lead_in(text: &str, program: &Program, alter: impl Fn(&mut Vec<(f64, f64)>)) -> Option<String> {
    // The cut comes back to where the first piece ends.
    let leads_in = |stroke: &Stroke| {
        let inner = stroke.segments.first().map(|first| first.end());
        inner.is_some_and(|inner| stroke.segments.iter().skip(1).any(|later| later.end().distance(inner) < 1e-6))
    };
    let mut text = parted(text, program);
    let strokes = program.passes.iter().flat_map(|pass| &pass.strokes);
    let mine = text.strokes().into_iter().zip(strokes).filter(|(_, stroke)| !stroke.closed && leads_in(stroke));
    let (at, altered) =
        mine.filter_map(|(at, _)| Some((at, reversed_text::altered(text.stroke(at), text.format, &alter)?))).last()?;
    text.parts[at] = Part::Stroke(altered);
    Some(text.text())
}

fn lead_in_from_outside(text: &str, program: &Program) -> Option<String> {
    lead_in(text, program, |points| {
        let (from, to) = (points[0], points[1]);
        points[0] = (2.0 * to.0 - from.0, 2.0 * to.1 - from.1);
    })
}

fn no_lead_in(text: &str, program: &Program) -> Option<String> {
    lead_in(text, program, |points| {
        points.remove(0);
    })
}

/// Lets every closed cut of straight sides start at its next corner, with the same overlap.
pub(crate) fn started_elsewhere(text: &str, program: &Program) -> Option<String> {
    let mut text = parted(text, program);
    let mut count = 0;
    // Letters may come back to their start on the way.
    let cuts = |pass: &Pass| pass.tool.work.goes_through() && !is_free(pass);
    let mine: Vec<usize> = text
        .strokes()
        .into_iter()
        .zip(text.passes(program))
        .filter(|(_, pass)| cuts(&program.passes[*pass]))
        .map(|(at, _)| at)
        .collect();
    for at in mine {
        let moved = reversed_text::altered(text.stroke(at), text.format, |points| {
            let Some(back) = (2..points.len()).rev().find(|at| points[*at] == points[0]) else { return };
            let beyond = points.get(back + 1).map_or(0.0, |end| (end.0 - points[0].0).hypot(end.1 - points[0].1));
            if points.len() > back + 2 {
                return;
            }
            points.truncate(back);
            points.rotate_left(1);
            let (first, second) = (points[0], points[1]);
            points.push(first);
            if beyond > 0.0 {
                let share = beyond / (second.0 - first.0).hypot(second.1 - first.1);
                points.push((first.0 + share * (second.0 - first.0), first.1 + share * (second.1 - first.1)));
            }
        });
        if let Some(moved) = moved {
            count += usize::from(moved != text.stroke(at));
            text.parts[at] = Part::Stroke(moved);
        }
    }
    (count > 0).then(|| text.text())
}

/// A line of some length on the board, where nothing is.
fn surplus(text: &str, program: &Program) -> Option<String> {
    let mut text = parted(text, program);
    let (at, _) = last_stroke(&text, program);
    let board = program.board;
    let unit = program.controller.unit.millimetres;
    let (x, y) = ((board.x0 + 0.013 * board.width()) / unit, (board.y0 + 0.017 * board.height()) / unit);
    let (to_x, to_y) = (x + 7.3 / unit, y + 5.1 / unit);
    let Part::Stroke(model) = text.parts[at].clone() else { return None };
    let line = match text.format {
        TextFormat::GCode => format!("G0 X{x} Y{y}\nG1 Z{}\nG1 X{to_x} Y{to_y}\nG0 Z5\n", -1.0 / unit),
        TextFormat::HpGl => format!("PU{x:.0},{y:.0};\nPD{to_x:.0},{to_y:.0};\n"),
        TextFormat::Svg => format!("<path d=\"M{x} {y}L{to_x} {to_y}\"/>\n"),
        TextFormat::Polylines => {
            let head = model.lines().next()?;
            let mut words: Vec<&str> = head.split(' ').collect();
            (words[3], words[4]) = ("open", "2");
            format!("{}\n{x} {y}\n{to_x} {to_y}\n", words.join(" "))
        }
        TextFormat::Dxf => {
            let layer = model.split_once("\n8\n")?.1.split_once('\n')?.0;
            format!("0\nLINE\n8\n{layer}\n10\n{x}\n20\n{y}\n11\n{to_x}\n21\n{to_y}\n")
        }
    };
    text.parts.insert(at + 1, Part::Stroke(line));
    Some(text.text())
}

/// Moves a stroke.
fn beside(text: &str, program: &Program) -> Option<String> {
    let mut text = parted(text, program);
    if is_separate(program) || text.text().contains("IP0") {
        return None;
    }
    let (at, pass) = last_stroke(&text, program);
    if is_free(&program.passes[pass]) {
        return None;
    }
    let altered = reversed_text::moved(text.stroke(at), text.format, 1.0 / program.controller.unit.millimetres)?;
    text.parts[at] = Part::Stroke(altered);
    Some(text.text())
}

fn hole(text: &str, program: &Program) -> Option<String> {
    in_gcode(program)?;
    let unit = program.controller.unit.millimetres;
    let (x, y) = ((program.board.x0 + 3.0) / unit, (program.board.y0 + 3.0) / unit);
    let hole = format!("G0 X{x} Y{y}\nG1 Z{} F900\nG0 Z5\n", -1.0 / unit);
    let at = text.rfind("G0 X0 Y0\n")?;
    Some(format!("{}{hole}{}", &text[..at], &text[at..]))
}
