//! From a machine profile as written to a machine, with everything that is wrong with it.

use kurbo::Vec2;

use super::profile::{DxfChoices, Machine, MachineUnit, Origin, OverRun, Plotter, Router, Tool};
use super::written::{OverRunRule, Toward, Work, WrittenFlattening, WrittenMachine, WrittenOrigin, WrittenTool};
use crate::checked::Checked;
use crate::geometry::Flattening;
use crate::job::Measure;
use crate::length::{self, Unit};
use crate::problem::{KeyPath, Problem};
use crate::tolerance::{FINEST_TOLERANCE_MM, FLATTEN_MM, SMALLEST_UNIT_MM};

/// The finest and the coarsest tolerance in millimetres that are taken for meant.
const TOLERANCES: std::ops::RangeInclusive<f64> = FINEST_TOLERANCE_MM..=1.0;
/// How far a cut may usually run into the board: visible overcuts beyond about 1.5 mm make a mat scrap (a practitioner's page,
/// blog.ukpictureframingsupplies.co.uk/tag/picture-mounting).
const INTO_BAR_MM: f64 = 1.5;
/// The usual height of travel of a router in millimetres (common practice, no source).
const SAFE_HEIGHT_MM: f64 = 5.0;
/// The largest number of a plotter with 16-bit numbers.
const LARGEST_16_BIT: u32 = 32_767;
/// The usual longest instruction in bytes: the buffers of old plotters are small (common practice, no source).
const LONGEST_INSTRUCTION: u16 = 240;
/// An instruction must hold its letters and two pairs of coordinates.
const SHORTEST_INSTRUCTION: u16 = 40;
/// The longest name of a layer in DXF release 12.
const LONGEST_LAYER: usize = 31;

impl WrittenMachine {
    /// Works out the machine of a name; problems have their places in the profile.
    pub fn resolve(&self, name: &str) -> Checked<Machine> {
        let mut resolver = Resolver { problems: Vec::new() };
        let machine = resolver.machine(self, name);
        Checked::if_sound(machine, resolver.problems)
    }
}

/// Collects what is wrong.
struct Resolver {
    problems: Vec<Problem>,
}

fn key(name: &'static str) -> KeyPath {
    KeyPath::root().key(name)
}

impl Resolver {
    fn machine(&mut self, written: &WrittenMachine, name: &str) -> Machine {
        let over_run = &written.over_run;
        let at = key("over_run");
        let machine = Machine {
            name: name.to_owned(),
            about: written.about.clone(),
            format: written.format.clone(),
            unit: self.unit(written.unit.as_deref()),
            unit_in_name: written.unit_in_name,
            side_up: written.side_up,
            origin: self.origin(&written.origin),
            bed: written.bed.as_ref().and_then(|bed| self.keep(bed.resolve(Some(Unit::Millimetre), &key("bed")))),
            turn: written.turn,
            curves: written.curves,
            tolerance: self.tolerance(written.tolerance.as_ref()),
            flattening: match written.chords {
                WrittenFlattening::Inside => Flattening::Inside,
                WrittenFlattening::BothSides => Flattening::BothSides,
            },
            smallest_segment: self.length(written.smallest_segment.as_ref(), &key("smallest_segment"), 0.0),
            head: written.head,
            standard: written.direction.standard,
            reverse: written.direction.reverse,
            straight: written.direction.straight,
            over_run: OverRun {
                follows_bevel: over_run.rule == OverRunRule::Bevel,
                lead: self.length(over_run.lead.as_ref(), &at.key("lead"), 0.0),
                into_bar: self.length(over_run.into_bar.as_ref(), &at.key("into_bar"), INTO_BAR_MM),
            },
            lead_in: self.length(written.lead_in.as_ref(), &key("lead_in"), 0.0),
            overlap: self.length(written.overlap.as_ref(), &key("overlap"), 0.0),
            labels: written.labels,
            reference_line: written
                .reference_line
                .as_ref()
                .map(|line| self.length(Some(line), &key("reference_line"), 0.0)),
            tools: self.tools(written),
            plotter: self.plotter(written),
            router: self.router(written),
            dxf: DxfChoices {
                unit_variables: written.dxf.unit_variables.unwrap_or(true),
                separate: written.dxf.separate,
            },
        };
        self.check(&machine, written);
        machine
    }

    /// Checks what hangs together.
    fn check(&mut self, machine: &Machine, written: &WrittenMachine) {
        if machine.format.is_empty() {
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
        if written.reference_line.is_some() && machine.tool(Work::Scale).is_none() {
            let help = "add a table [tools.scale], or leave the line out";
            self.add("tools", &key("reference_line"), "no tool draws the reference line", help);
        }
        if written.labels != super::Labels::None && machine.tool(Work::Label).is_none() {
            let help = "add a table [tools.label], or leave the labels out";
            self.add("tools", &key("labels"), "no tool writes the labels", help);
        }
    }

    fn add(&mut self, code: &'static str, path: &KeyPath, message: impl Into<String>, help: &str) {
        self.problems.push(Problem::error(code, path, message, help));
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

    fn tolerance(&mut self, written: Option<&Measure>) -> f64 {
        let path = key("tolerance");
        let tolerance = self.length(written, &path, FLATTEN_MM);
        if !TOLERANCES.contains(&tolerance) {
            let help = format!("give a length from {} mm to {} mm", TOLERANCES.start(), TOLERANCES.end());
            self.add("tolerance", &path, format!("{tolerance} mm is not a tolerance for a cut"), &help);
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
        let (x, y) = (written.x.unwrap_or(Toward::Right), written.y.unwrap_or(Toward::Up));
        if x.vector().cross(y.vector()) == 0.0 {
            let message = format!("x runs {} and y runs {}: one of them must run across the other", x.name(), y.name());
            let help = "let one run right or left and the other up or down";
            self.add("origin", &path.key(if written.y.is_some() { "y" } else { "x" }), message, help);
        }
        Origin { at: written.at, offset: offset.unwrap_or(Vec2::ZERO), x, y }
    }

    fn tools(&mut self, written: &WrittenMachine) -> Vec<Tool> {
        let mut order: Vec<Work> = Vec::new();
        for (index, work) in written.order.iter().enumerate() {
            if order.contains(work) {
                let message = format!("`{}` is listed twice", work.name());
                self.add("order", &key("order").index(index), message, "keep one of them");
            } else {
                order.push(*work);
            }
        }
        let rest: Vec<Work> = Work::ALL.into_iter().filter(|work| !order.contains(work)).collect();
        order.extend(rest);
        let place = |work| order.iter().position(|other| *other == work);
        if written.tools.contains_key(&Work::Edge)
            && written.tools.contains_key(&Work::Cut)
            && place(Work::Edge) < place(Work::Cut)
        {
            let help = "list edge after cut, or leave the order out";
            self.add(
                "order",
                &key("order"),
                "the outer edge is cut before the openings, so that the board is loose",
                help,
            );
        }
        let works = order.into_iter();
        works
            .filter_map(|work| Some((work, written.tools.get(&work)?)))
            .map(|(work, tool)| self.tool(work, tool))
            .collect()
    }

    fn tool(&mut self, work: Work, written: &WrittenTool) -> Tool {
        let path = key("tools").key(work.name());
        let style = work.role().style();
        let layer = written.layer.clone().unwrap_or_else(|| style.name.to_ascii_uppercase());
        let fits = |letter: char| letter.is_ascii_alphanumeric() || matches!(letter, '-' | '_' | '$');
        if layer.is_empty() || layer.len() > LONGEST_LAYER || !layer.chars().all(fits) {
            let help = "use 1 to 31 letters A to Z, figures, - and _";
            self.add(
                "layer",
                &path.key("layer"),
                format!("`{layer}` is not a name of a layer that every reader takes"),
                help,
            );
        }
        if written.dxf_color == Some(0) {
            let help = "use 1 to 255: 1 red, 2 yellow, 3 green, 4 cyan, 5 blue, 6 magenta, 7 black";
            self.add("color", &path.key("dxf_color"), "0 is not a colour of a layer", help);
        }
        Tool {
            work,
            number: written.number.unwrap_or(u16::from(style.pen)),
            layer,
            color: self.color(written.color.as_deref(), &path).unwrap_or(style.color),
            dxf_color: written.dxf_color.unwrap_or(style.dxf_color),
            speed: self.number(written.speed, &path.key("speed")),
            force: self.number(written.force, &path.key("force")),
            depth: self.length(written.depth.as_ref(), &path.key("depth"), 0.0),
        }
    }

    fn number(&mut self, written: Option<f64>, path: &KeyPath) -> Option<f64> {
        let number = written?;
        if !(number > 0.0 && number < 1e6) {
            self.add("number", path, format!("{number} is out of range"), "give a number above zero, or leave it out");
        }
        Some(number)
    }

    fn color(&mut self, written: Option<&str>, path: &KeyPath) -> Option<[u8; 3]> {
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
            self.add("number", &at, format!("{largest_number} is no largest number of a plotter"), help);
        }
        let longest = plotter.longest_instruction.unwrap_or(LONGEST_INSTRUCTION);
        if longest < SHORTEST_INSTRUCTION {
            let at = path.key("longest_instruction");
            let message = format!("an instruction of {longest} bytes holds no two pairs of coordinates");
            self.add("number", &at, message, &format!("give {SHORTEST_INSTRUCTION} or more"));
        }
        Plotter { largest_number, beyond: plotter.beyond, longest_instruction: usize::from(longest) }
    }

    fn router(&mut self, written: &WrittenMachine) -> Router {
        let (router, path) = (&written.router, key("router"));
        let safe_height = self.length(router.safe_height.as_ref(), &path.key("safe_height"), SAFE_HEIGHT_MM);
        if safe_height <= 0.0 {
            let help = "give the height at which the tool clears clamps and board";
            self.add("number", &path.key("safe_height"), "the tool would travel on the board", help);
        }
        Router {
            safe_height,
            plunge_speed: self.number(router.plunge_speed, &path.key("plunge_speed")),
            path_mode: router.path_mode,
            left_out_words: router.left_out_words.clone(),
        }
    }
}
