//! From a machine profile as written to a machine, with everything that is wrong with it.

use std::ops::RangeInclusive;

use kurbo::Vec2;

use super::profile::{Machine, OverRun};
use super::tool_model::ToolModel;
use super::written::{OverRunRule, WrittenFlattening, WrittenMachine, WrittenOrigin};
use crate::checked::Checked;
use crate::geometry::Flattening;
use crate::job::Measure;
use crate::length::{self, Unit};
use crate::problem::NumberUnit::{self, Millimetre};
use crate::problem::{KeyPath, Problem};
use crate::program::{
    AxisDirection, Controller, DxfChoices, Lowering, MachineUnit, Origin, OwnWords, Plotter, Router, Tool, WorkKind,
};
use crate::tolerance::{FINEST_TOLERANCE_MM, FLATTEN_MM, SMALLEST_UNIT_MM};

/// The finest and the coarsest tolerance in millimetres that are taken for meant.
const TOLERANCES: RangeInclusive<f64> = FINEST_TOLERANCE_MM..=1.0;
/// How far a cut may usually run into the board: visible overcuts beyond about 1.5 mm make a mat scrap (a practitioner's page,
/// blog.ukpictureframingsupplies.co.uk/tag/picture-mounting).
const INTO_BAR_MM: f64 = 1.5;
/// The usual height of travel of a router in millimetres (common practice, no source).
const SAFE_HEIGHT_MM: f64 = 5.0;
/// How far a tool may usually go below the board (common practice, no source).
const BELOW_BOARD_MM: f64 = 1.0;
/// The longest lengths in millimetres that are taken for meant.
const MOST_BELOW_MM: f64 = 20.0;
const MOST_INTO_BAR_MM: f64 = 20.0;
const MOST_LEAD_IN_MM: f64 = 100.0;
const MOST_OVERLAP_MM: f64 = 20.0;
const MOST_SMALLEST_SEGMENT_MM: f64 = 5.0;
const MOST_SAFE_HEIGHT_MM: f64 = 200.0;
/// The largest number of a plotter with 16-bit numbers.
const LARGEST_16_BIT: u32 = 32_767;
/// The usual longest instruction in bytes: the buffers of old plotters are small (common practice, no source).
const LONGEST_INSTRUCTION: u16 = 240;
/// An instruction must hold its letters and two pairs of coordinates.
const SHORTEST_INSTRUCTION: u16 = 40;

impl WrittenMachine {
    /// Works out the machine of a name; problems have their places in the profile.
    pub fn resolve(&self, name: &str) -> Checked<Machine> {
        let mut resolver = Resolver { problems: Vec::new() };
        let machine = resolver.machine(self, name);
        Checked::if_sound(machine, resolver.problems)
    }
}

/// Collects what is wrong.
pub(super) struct Resolver {
    pub(super) problems: Vec<Problem>,
}

pub(super) fn key(name: &'static str) -> KeyPath {
    KeyPath::root().key(name)
}

impl Resolver {
    fn machine(&mut self, written: &WrittenMachine, name: &str) -> Machine {
        let over_run = &written.over_run;
        let at = key("over_run");
        let (tools, models): (Vec<Tool>, Vec<ToolModel>) = self.tools(written).into_iter().unzip();
        let (standard, reverse) = self.directions(written, &models, &tools);
        let machine = Machine {
            name: name.to_owned(),
            about: written.about.clone(),
            controller: self.controller(written),
            unit_in_name: written.unit_in_name,
            side_up: written.side_up,
            bed: written.bed.as_ref().and_then(|bed| self.keep(bed.resolve(Some(Unit::Millimetre), &key("bed")))),
            turn: written.turn,
            head: written.head,
            standard,
            reverse,
            straight: written.direction.straight,
            over_run: OverRun {
                follows_bevel: over_run.rule == OverRunRule::Bevel,
                lead: self.length(over_run.lead.as_ref(), &at.key("lead"), 0.0),
                into_bar: self.up_to(over_run.into_bar.as_ref(), &at.key("into_bar"), INTO_BAR_MM, MOST_INTO_BAR_MM),
            },
            lead_in: self.up_to(written.lead_in.as_ref(), &key("lead_in"), 0.0, MOST_LEAD_IN_MM),
            overlap: self.up_to(written.overlap.as_ref(), &key("overlap"), 0.0, MOST_OVERLAP_MM),
            below_board: self.up_to(written.below_board.as_ref(), &key("below_board"), BELOW_BOARD_MM, MOST_BELOW_MM),
            cut_sheet_edges: written.cut_sheet_edges,
            labels: written.labels,
            reference_line: written
                .reference_line
                .as_ref()
                .map(|line| self.length(Some(line), &key("reference_line"), 0.0)),
            tools,
            models,
        };
        self.check(&machine, written);
        machine
    }

    fn controller(&mut self, written: &WrittenMachine) -> Controller {
        Controller {
            format: written.format.clone(),
            unit: self.unit(written.unit.as_deref()),
            origin: self.origin(&written.origin),
            curves: written.curves,
            tolerance: self.tolerance(written.tolerance.as_ref()),
            flattening: match written.chords {
                WrittenFlattening::Inside => Flattening::Inside,
                WrittenFlattening::BothSides => Flattening::BothSides,
            },
            smallest_segment: self.up_to(
                written.smallest_segment.as_ref(),
                &key("smallest_segment"),
                0.0,
                MOST_SMALLEST_SEGMENT_MM,
            ),
            plotter: self.plotter(written),
            router: self.router(written),
            dxf: DxfChoices {
                unit_variables: written.dxf.unit_variables.unwrap_or(true),
                separate: written.dxf.separate,
            },
            words: self.own_words(written),
        }
    }

    fn own_words(&mut self, written: &WrittenMachine) -> OwnWords {
        let (words, path) = (&written.words, key("words"));
        let of_board = ["thickness", "safe_height"];
        self.words(&words.before_file, &path.key("before_file"), &of_board);
        self.words(&words.after_file, &path.key("after_file"), &of_board);
        self.words(&words.tool_change, &path.key("tool_change"), &["tool", "work", "thickness", "safe_height"]);
        OwnWords {
            before_file: words.before_file.clone(),
            after_file: words.after_file.clone(),
            tool_change: words.tool_change.clone(),
        }
    }

    /// Checks what hangs together.
    fn check(&mut self, machine: &Machine, written: &WrittenMachine) {
        if machine.controller.format.is_empty() {
            self.add("format", &key("format"), "the profile has no format", "add a key such as format = \"dxf-r12\"");
        }
        if machine.bed.is_some_and(|bed| bed.width <= 0.0 || bed.height <= 0.0) {
            self.add("bed", &key("bed"), "the bed has no area", "give its width and height, or leave the key out");
        }
        let OverRun { follows_bevel, lead, into_bar } = machine.over_run;
        if lead > into_bar {
            self.add(
                "over-run",
                &key("over_run").key("lead"),
                format!("every cut would run {lead} mm into the board, but into_bar allows {into_bar} mm"),
                "lower the lead, or raise into_bar if such overcuts do not matter",
            );
            self.with("lead", lead, Millimetre).with("into_bar", into_bar, Millimetre);
        }
        if lead > 0.0 && !follows_bevel {
            self.add(
                "over-run",
                &key("over_run").key("lead"),
                "the lead of the blade has no effect while there is no over-run",
                "add rule = \"bevel\" or leave the lead out",
            );
        }
        if machine.tools.is_empty() {
            let help = "add a table such as [tools.cut], even if it is empty";
            self.add("tools", &key("tools"), "the machine has no tool, so it does nothing", help);
        }
        if written.reference_line.is_some() && machine.tool(WorkKind::Scale).is_none() {
            let help = "add a table [tools.scale], or leave the line out";
            self.add("tools", &key("reference_line"), "no tool draws the reference line", help);
        }
        if written.labels != super::FalloutLabels::None && machine.tool(WorkKind::Label).is_none() {
            let help = "add a table [tools.label], or leave the labels out";
            self.add("tools", &key("labels"), "no tool writes the labels", help);
        }
    }

    pub(super) fn add(&mut self, code: &'static str, path: &KeyPath, message: impl Into<String>, help: &str) {
        self.problems.push(Problem::error(code, path, message, help));
    }

    /// Adds a number to what was added last.
    pub(super) fn with(&mut self, name: &'static str, value: f64, unit: NumberUnit) -> &mut Self {
        if let Some(last) = self.problems.pop() {
            self.problems.push(last.with(name, value, unit));
        }
        self
    }

    /// Keeps a value, or notes why there is none.
    fn keep<T>(&mut self, value: Result<T, Problem>) -> Option<T> {
        value.map_err(|problem| self.problems.push(problem)).ok()
    }

    fn length(&mut self, written: Option<&Measure>, path: &KeyPath, usual: f64) -> f64 {
        match written {
            Some(measure) => self.keep(measure.resolve(Some(Unit::Millimetre), path)).unwrap_or(usual),
            None => usual,
        }
    }

    /// Returns a length that must not be longer than some number of millimetres.
    fn up_to(&mut self, written: Option<&Measure>, path: &KeyPath, usual: f64, most: f64) -> f64 {
        let length = self.length(written, path, usual);
        if length > most {
            let message = format!("{length} mm is out of range");
            self.problems.push(
                Problem::error("machine-number", path, message, format!("give from 0 to {most} mm"))
                    .with_mm("length", length)
                    .with_mm("most", most),
            );
        }
        length
    }

    /// Returns a length that must lie in a range of millimetres.
    pub(super) fn within(&mut self, written: &Measure, path: &KeyPath, range: &RangeInclusive<f64>) -> f64 {
        let known = self.problems.len();
        let length = self.length(Some(written), path, *range.start());
        if known == self.problems.len() && !range.contains(&length) {
            let help = format!("give from {} mm to {} mm", range.start(), range.end());
            self.add("machine-number", path, format!("{length} mm is out of range"), &help);
            self.with("length", length, Millimetre).with("least", *range.start(), Millimetre);
            self.with("most", *range.end(), Millimetre);
        }
        length
    }

    fn tolerance(&mut self, written: Option<&Measure>) -> f64 {
        let path = key("tolerance");
        let tolerance = self.length(written, &path, FLATTEN_MM);
        if !TOLERANCES.contains(&tolerance) {
            let help = format!("give a length from {} mm to {} mm", TOLERANCES.start(), TOLERANCES.end());
            self.add("tolerance", &path, format!("{tolerance} mm is not a tolerance for a cut"), &help);
            self.with("tolerance", tolerance, Millimetre).with("least", *TOLERANCES.start(), Millimetre);
            self.with("most", *TOLERANCES.end(), Millimetre);
        }
        tolerance
    }

    fn unit(&mut self, written: Option<&str>) -> MachineUnit {
        let name = written.unwrap_or("mm").trim();
        let named = Unit::parse(name).map(|unit| Ok(unit.millimetres()));
        let length =
            named.unwrap_or_else(|| length::parse(name, None).map_err(|error| Problem::length(&key("unit"), error)));
        let millimetres = self.keep(length).unwrap_or(1.0);
        if !(SMALLEST_UNIT_MM..=1000.0).contains(&millimetres) {
            let help = "write mm, cm, in, or a length such as \"0.025 mm\"";
            self.add("unit", &key("unit"), format!("{name} is not a unit of a file"), help);
        }
        MachineUnit { name: name.to_owned(), millimetres }
    }

    fn origin(&mut self, written: &WrittenOrigin) -> Origin {
        let path = key("origin");
        let offset = written.offset.as_ref().map(|[x, y]| {
            let mut one = |measure: &Measure, index| {
                let at = path.key("offset").index(index);
                self.keep(measure.resolve_signed(Some(Unit::Millimetre), &at)).unwrap_or(0.0)
            };
            Vec2::new(one(x, 0), one(y, 1))
        });
        let (x, y) = (written.x.unwrap_or(AxisDirection::Right), written.y.unwrap_or(AxisDirection::Up));
        if x.vector().cross(y.vector()) == 0.0 {
            let message = format!("x runs {} and y runs {}: one of them must run across the other", x.name(), y.name());
            let help = "let one run right or left and the other up or down";
            self.add("origin", &path.key(if written.y.is_some() { "y" } else { "x" }), message, help);
        }
        Origin { at: written.at, offset: offset.unwrap_or(Vec2::ZERO), x, y }
    }

    fn tools(&mut self, written: &WrittenMachine) -> Vec<(Tool, ToolModel)> {
        let mut order: Vec<WorkKind> = Vec::new();
        for (index, work) in written.order.iter().enumerate() {
            if order.contains(work) {
                let message = format!("`{}` is listed twice", work.name());
                self.add("order", &key("order").index(index), message, "keep one of them");
            } else {
                order.push(*work);
            }
        }
        let rest: Vec<WorkKind> = WorkKind::ALL.into_iter().filter(|work| !order.contains(work)).collect();
        order.extend(rest);
        let place = |work| order.iter().position(|other| *other == work);
        let openings = [WorkKind::Cut, WorkKind::Straight].into_iter().filter(|work| written.tools.contains_key(work));
        if written.tools.contains_key(&WorkKind::Edge)
            && openings.map(place).any(|openings| place(WorkKind::Edge) < openings)
        {
            let help = "list edge after cut, or leave the order out";
            self.add(
                "order",
                &key("order"),
                "the outer edge is cut before the openings, so the board would be loose",
                help,
            );
        }
        let works = order.into_iter();
        works
            .filter_map(|work| Some((work, written.tools.get(&work)?)))
            .map(|(work, tool)| self.tool(work, tool))
            .collect()
    }

    pub(super) fn number(&mut self, written: Option<f64>, path: &KeyPath) -> Option<f64> {
        let number = written?;
        if !(number > 0.0 && number < 1e6) {
            self.add(
                "machine-number",
                path,
                format!("{number} is out of range"),
                "give a number above zero, or leave it out",
            );
            self.with("number", number, NumberUnit::Plain);
        }
        Some(number)
    }

    pub(super) fn color(&mut self, written: Option<&str>, path: &KeyPath) -> Option<[u8; 3]> {
        let text = written?;
        let figures = text.strip_prefix('#').filter(|figures| figures.len() == 6 && figures.is_ascii());
        let value = figures.and_then(|figures| u32::from_str_radix(figures, 16).ok());
        if value.is_none() {
            let help = "write # and six figures, for example \"#ff0000\" for red";
            self.add("color", &path.key("color"), format!("`{text}` is not a colour"), help);
        }
        let [_, red, green, blue] = value?.to_be_bytes();
        Some([red, green, blue])
    }

    fn plotter(&mut self, written: &WrittenMachine) -> Plotter {
        let (plotter, path) = (&written.plotter, key("plotter"));
        let largest_number = plotter.largest_number.unwrap_or(LARGEST_16_BIT);
        if !(1000..=i32::MAX as u32).contains(&largest_number) {
            let at = path.key("largest_number");
            let help = "old plotters read up to 32767, later ones 8388607 or more";
            self.add("machine-number", &at, format!("{largest_number} is not a largest number for a plotter"), help);
            self.with("number", f64::from(largest_number), NumberUnit::Count);
        }
        let longest = plotter.longest_instruction.unwrap_or(LONGEST_INSTRUCTION);
        if longest < SHORTEST_INSTRUCTION {
            let at = path.key("longest_instruction");
            let message = format!("an instruction of {longest} bytes cannot hold two pairs of coordinates");
            self.add("machine-number", &at, message, &format!("give {SHORTEST_INSTRUCTION} or more"));
            self.with("bytes", f64::from(longest), NumberUnit::Count);
        }
        Plotter { largest_number, beyond: plotter.beyond, longest_instruction: usize::from(longest) }
    }

    fn router(&mut self, written: &WrittenMachine) -> Router {
        let (router, path) = (&written.router, key("router"));
        let safe_height = self.length(router.safe_height.as_ref(), &path.key("safe_height"), SAFE_HEIGHT_MM);
        if safe_height <= 0.0 {
            let help = "give a height at which the tool clears clamps and board";
            self.add("machine-number", &path.key("safe_height"), "the tool would drag across the board", help);
        } else if safe_height > MOST_SAFE_HEIGHT_MM {
            let message = format!("{safe_height} mm is out of range");
            self.add(
                "machine-number",
                &path.key("safe_height"),
                message,
                &format!("give up to {MOST_SAFE_HEIGHT_MM} mm"),
            );
            self.with("length", safe_height, Millimetre).with("most", MOST_SAFE_HEIGHT_MM, Millimetre);
        }
        if router.lowered == Lowering::ByWords {
            self.check_lowering(written);
        }
        Router {
            safe_height,
            plunge_speed: self.number(router.plunge_speed, &path.key("plunge_speed")),
            path_mode: router.path_mode,
            left_out_words: router.left_out_words.clone(),
            lowered: router.lowered,
        }
    }

    /// Checks that every tool that is lowered by words has some.
    fn check_lowering(&mut self, written: &WrittenMachine) {
        for (work, tool) in &written.tools {
            for (name, lines) in [("before_cut", &tool.before_cut), ("after_cut", &tool.after_cut)] {
                if lines.is_empty() {
                    let message = format!("nothing would lower and lift the tool of `{}`", work.name());
                    let help = format!("add {name} with the code of your machine, or set lowered = \"by-z\"");
                    self.add("machine-words", &key("tools").key(work.name()), message, &help);
                }
            }
        }
    }
}
