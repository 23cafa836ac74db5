//! From a tool as written to a tool and what it can cut, with everything that is wrong with it.

use std::ops::RangeInclusive;

use super::depth::Depth;
use super::resolve::{Resolver, key};
use super::tool_model::{Tabs, ToolModel};
use super::written::{TravelDirection, WrittenMachine};
use super::written_tool::{BladeLean, WrittenDepth, WrittenDepthTerm, WrittenTool};
use crate::mat::{Bevel, BevelDirection, Groove};
use crate::problem::{KeyPath, NumberUnit, Place, Problem};
use crate::program::{Tool, ToolKind, WorkKind, unknown_placeholder};

/// The longest name of a layer in DXF release 12.
const LONGEST_LAYER: usize = 31;
/// The longest line of a profile's own; controllers read lines of up to 256 characters, old ones fewer (common practice, no source).
const LONGEST_WORDS: usize = 120;
/// Depths in millimetres that are taken for meant: from a scratch to a stack of boards.
const DEPTHS: RangeInclusive<f64> = 0.01..=50.0;
/// Widths in millimetres of router bits and beams that are taken for meant.
const WIDTHS: RangeInclusive<f64> = 0.01..=25.0;
/// Thicknesses in millimetres of board that are taken for meant.
const THICKNESSES: RangeInclusive<f64> = 0.1..=50.0;
/// Lengths in millimetres of tabs that are taken for meant.
const TABS: RangeInclusive<f64> = 0.1..=20.0;
/// Numbers of tabs round one opening that are taken for meant.
const TAB_COUNTS: RangeInclusive<u8> = 1..=32;
/// Widths in millimetres of lines in drawings that are taken for meant.
const LINE_WIDTHS: RangeInclusive<f64> = 0.002..=5.0;
/// The usual width in millimetres of a line in drawings: thin, and seen on any screen.
const LINE_WIDTH_MM: f64 = 0.1;

impl Resolver {
    /// Works out a tool and what it can cut.
    pub(super) fn tool(&mut self, work: WorkKind, written: &WrittenTool) -> (Tool, ToolModel) {
        let path = key("tools").key(work.name());
        let model = self.model(work, written, &path);
        let style = work.role().style();
        let layer = written.layer.clone().unwrap_or_else(|| style.name.to_ascii_uppercase());
        let fits = |letter: char| letter.is_ascii_alphanumeric() || matches!(letter, '-' | '_' | '$');
        if layer.is_empty() || layer.len() > LONGEST_LAYER || !layer.chars().all(fits) {
            let message = format!("not every program accepts the layer name `{layer}`");
            self.add("layer", &path.key("layer"), message, "use 1 to 31 letters A to Z, digits, - and _");
        }
        if written.dxf_color == Some(0) {
            let help = "use 1 to 255: 1 red, 2 yellow, 3 green, 4 cyan, 5 blue, 6 magenta, 7 black";
            self.add("color", &path.key("dxf_color"), "0 is not a layer colour", help);
        }
        let depth = (!model.depths.is_empty()).then_some("depth");
        let speed = written.speed.map(|_| "speed");
        let force = written.force.map(|_| "force");
        let known = ["tool", "work", "angle", "opening", "thickness", "safe_height"];
        let known: Vec<&str> = known.into_iter().chain(depth).chain(speed).chain(force).collect();
        self.words(&written.before_cut, &path.key("before_cut"), &known);
        self.words(&written.after_cut, &path.key("after_cut"), &known);
        let line_width =
            written.line_width.as_ref().map(|width| self.within(width, &path.key("line_width"), &LINE_WIDTHS));
        let tool = Tool {
            work,
            number: written.number.unwrap_or(u16::from(style.pen)),
            layer,
            color: self.color(written.color.as_deref(), &path).unwrap_or(style.color),
            dxf_color: written.dxf_color.unwrap_or(style.dxf_color),
            speed: self.number(written.speed, &path.key("speed")),
            force: self.number(written.force, &path.key("force")),
            kind: model.kind,
            line_width: line_width.unwrap_or(LINE_WIDTH_MM),
            depths: model.depths.len(),
            before_cut: written.before_cut.clone(),
            after_cut: written.after_cut.clone(),
        };
        (tool, model)
    }

    fn model(&mut self, work: WorkKind, written: &WrittenTool, path: &KeyPath) -> ToolModel {
        let kind = self.kind(work, written.kind, path);
        let thickest =
            written.thickest.as_ref().map(|thickest| self.within(thickest, &path.key("thickest"), &THICKNESSES));
        let model = ToolModel {
            angles: self.angles(work, kind, written, path),
            turns_between: written.turns_between,
            bevels: written.bevels.clone().unwrap_or_else(|| vec![BevelDirection::Standard, BevelDirection::Reverse]),
            thickest,
            width: self.width(kind, written, path),
            compensation: written.compensation,
            bevelled: written.bevelled,
            depths: self.depths(work, written.depth.as_ref(), &path.key("depth")),
            tabs: self.tabs(work, written, path),
            ..ToolModel::new(kind)
        };
        if kind != ToolKind::BevelKnife {
            let idle = [
                ("lean", written.lean.is_some()),
                ("bevels", written.bevels.is_some()),
                ("turns_between", written.turns_between),
            ];
            for (name, _) in idle.into_iter().filter(|(_, is_given)| *is_given) {
                let message = format!("`{name}` is for a bevel knife, and this is a {}", kind.words());
                self.add("tools", &path.key(name), message, "set kind = \"bevel-knife\", or leave the key out");
            }
        }
        if written.turns_between && !written.before_cut.iter().any(|line| line.contains("{angle}")) {
            let message = "nothing in the file would turn the blade to another angle";
            let help = "use {angle} in a line of before_cut, or leave turns_between out";
            self.add("tools", &path.key("turns_between"), message, help);
        }
        model
    }

    /// Returns what a tool is; it must be said of what goes into the board.
    fn kind(&mut self, work: WorkKind, written: Option<ToolKind>, path: &KeyPath) -> ToolKind {
        use ToolKind::{Beam, BevelKnife, Line, Pen, RouterBit, ScoringWheel, UprightKnife, VTool};
        let fitting: &[ToolKind] = match work {
            WorkKind::Cut | WorkKind::Straight | WorkKind::Edge => {
                &[BevelKnife, UprightKnife, RouterBit, Beam, Pen, Line]
            }
            WorkKind::Groove => &[VTool, ScoringWheel, UprightKnife, RouterBit, Beam, Pen, Line],
            WorkKind::Register | WorkKind::Wash | WorkKind::Ruling | WorkKind::Label | WorkKind::Scale => {
                &[Pen, Beam, ScoringWheel, VTool, Line]
            }
        };
        let names: Vec<String> = fitting.iter().map(|kind| format!("\"{}\"", kind.name())).collect();
        let names = names.join(", ");
        match written {
            Some(kind) if fitting.contains(&kind) => kind,
            Some(kind) => {
                let message = format!("a {} cannot do the work of `{}`", kind.words(), work.name());
                self.add("tools", &path.key("kind"), message, &format!("use one of {names}"));
                kind
            }
            None if work.goes_through() || work == WorkKind::Groove => {
                let message = format!("the profile does not say what the tool of `{}` is", work.name());
                let help = format!("add kind: {names}; what it can cut follows from that");
                self.add("tools", path, message, &help);
                Line
            }
            None => Pen,
        }
    }

    fn angles(&mut self, work: WorkKind, kind: ToolKind, written: &WrittenTool, path: &KeyPath) -> Vec<f64> {
        let at = path.key("angles");
        let range = match kind {
            ToolKind::BevelKnife => 0.0..=Bevel::LARGEST_ANGLE_DEG,
            ToolKind::VTool => 1.0..=Groove::LARGEST_ANGLE_DEG,
            _ => {
                if !written.angles.is_empty() {
                    let message = format!("a {} has no angle", kind.words());
                    self.add("tools", &at, message, "leave angles out, or give another kind");
                }
                return Vec::new();
            }
        };
        for (index, angle) in written.angles.iter().enumerate() {
            if !range.contains(angle) {
                let help = format!("give degrees from {} to {}", range.start(), range.end());
                self.add(
                    "tools",
                    &at.index(index),
                    format!("{angle}° is not a possible angle for a {}", kind.words()),
                    &help,
                );
                self.with("angle", *angle, NumberUnit::Degree).with("most", *range.end(), NumberUnit::Degree);
            }
        }
        match (kind, written.angles.is_empty()) {
            (ToolKind::VTool, true) => return vec![Groove::USUAL_ANGLE_DEG],
            (ToolKind::BevelKnife, true) => {
                let help = "add the angles from upright that it can be set to, for example angles = [45]";
                self.add("tools", path, "the profile does not say how far the bevel knife leans", help);
            }
            _ => {}
        }
        if kind == ToolKind::BevelKnife && work != WorkKind::Cut && !written.angles.contains(&0.0) {
            let message =
                format!("the work of `{}` is cut square to the board, and this knife always leans", work.name());
            let help = "set kind = \"upright-knife\", or add 0 to the angles if the head can stand upright";
            self.add("tools", &path.key("kind"), message, help);
        }
        written.angles.clone()
    }

    fn width(&mut self, kind: ToolKind, written: &WrittenTool, path: &KeyPath) -> f64 {
        match (&written.width, kind.has_width()) {
            (Some(width), true) => self.within(width, &path.key("width"), &WIDTHS),
            (Some(_), false) => {
                let message = format!("a {} removes no width", kind.words());
                self.add("tools", &path.key("width"), message, "leave width out, or set kind to router-bit or beam");
                0.0
            }
            (None, true) => {
                let message = format!("the profile does not say how wide a slot the {} cuts", kind.words());
                self.add("tools", path, message, "add width, for example \"0.2 mm\"");
                0.0
            }
            (None, false) => 0.0,
        }
    }

    fn depths(&mut self, work: WorkKind, written: Option<&WrittenDepth>, path: &KeyPath) -> Vec<Depth> {
        let terms: Vec<(KeyPath, &WrittenDepthTerm)> = match written {
            None => Vec::new(),
            Some(WrittenDepth::Once(term)) => vec![(path.clone(), term)],
            Some(WrittenDepth::Several(terms)) => {
                terms.iter().enumerate().map(|(index, term)| (path.index(index), term)).collect()
            }
        };
        let mut depths: Vec<Depth> = Vec::new();
        for (at, term) in terms {
            let text = match term {
                WrittenDepthTerm::Number(number) => number.to_string(),
                WrittenDepthTerm::Text(text) => text.clone(),
            };
            match Depth::parse(&text) {
                Ok(depth) => {
                    self.check_depth(work, &depth, depths.last(), &at);
                    depths.push(depth);
                }
                Err(error) => {
                    let place = Place::within(at, error.range);
                    self.problems.push(Problem::error("depth", place, error.message, error.help));
                }
            }
        }
        depths
    }

    fn check_depth(&mut self, work: WorkKind, depth: &Depth, before: Option<&Depth>, path: &KeyPath) {
        if depth.needs_groove() && work != WorkKind::Groove {
            let message = format!("the depth of `{}` depends on a groove, but it cuts none", work.name());
            self.add("depth", path, message, "write \"board + 0.2 mm\" for a cut through the board");
        }
        if let Some(fixed) = depth.fixed().filter(|fixed| !DEPTHS.contains(fixed)) {
            let help =
                format!("give from {} mm to {} mm, below the surface of the board", DEPTHS.start(), DEPTHS.end());
            self.add("depth", path, format!("{fixed} mm is not a depth of a cut"), &help);
            self.with("depth", fixed, NumberUnit::Millimetre);
        }
        if let (Some(before), Some(fixed)) = (before.and_then(Depth::fixed), depth.fixed())
            && fixed <= before
        {
            let message = format!("{fixed} mm is not deeper than the {before} mm before it");
            self.add("depth", path, message, "list the depths from the first to the deepest");
            self.with("depth", fixed, NumberUnit::Millimetre).with("before", before, NumberUnit::Millimetre);
        }
    }

    fn tabs(&mut self, work: WorkKind, written: &WrittenTool, path: &KeyPath) -> Option<Tabs> {
        let (tabs, path) = (written.tabs.as_ref()?, path.key("tabs"));
        if !work.goes_through() {
            let message = format!("`{}` does not cut anything loose, so there is nothing to hold", work.name());
            self.add("tools", &path, message, "leave tabs out here");
        }
        if !TAB_COUNTS.contains(&tabs.count) {
            let help = format!("give from {} to {}", TAB_COUNTS.start(), TAB_COUNTS.end());
            self.add("tools", &path.key("count"), format!("{} tabs cannot hold a piece", tabs.count), &help);
        }
        let length = self.within(&tabs.length, &path.key("length"), &TABS);
        Some(Tabs { count: usize::from(tabs.count), length })
    }

    /// Returns which way round the head travels at a standard and at a reverse bevel: a blade keeps its lean.
    pub(super) fn directions(
        &mut self,
        written: &WrittenMachine,
        models: &[ToolModel],
        tools: &[Tool],
    ) -> (TravelDirection, TravelDirection) {
        let (direction, path) = (written.direction, key("direction"));
        let given = (direction.standard.unwrap_or_default(), direction.reverse.unwrap_or_default());
        let bevel_knife =
            tools.iter().zip(models).find(|(tool, _)| tool.work == WorkKind::Cut && tool.kind == ToolKind::BevelKnife);
        let Some((_, model)) = bevel_knife else { return given };
        let lean = written.tools.get(&WorkKind::Cut).and_then(|tool| tool.lean);
        let side = written.side_up;
        let lean = lean.unwrap_or_else(|| BladeLean::of(side, BevelDirection::Standard, given.0));
        let ways = [
            ("standard", BevelDirection::Standard, direction.standard),
            (
                "reverse",
                BevelDirection::Reverse,
                direction.reverse.filter(|_| model.bevels.contains(&BevelDirection::Reverse)),
            ),
        ];
        for (name, bevel, round) in ways {
            let Some(round) = round.filter(|round| *round != lean.round(side, bevel)) else { continue };
            let message = format!(
                "the blade leans to the {} of its travel; {} it would leave a {} bevel instead of a {name} one",
                lean.name(),
                round.words(),
                if bevel == BevelDirection::Standard { "reverse" } else { "standard" },
            );
            let help = format!(
                "set {name} = \"{}\", or leave it out: it follows from the lean",
                lean.round(side, bevel).name()
            );
            self.add("direction", &path.key(name), message, &help);
        }
        (lean.round(side, BevelDirection::Standard), lean.round(side, BevelDirection::Reverse))
    }

    /// Checks lines of a profile's own, in which some names stand for something.
    pub(super) fn words(&mut self, lines: &[String], path: &KeyPath, known: &[&str]) {
        for (index, line) in lines.iter().enumerate() {
            let at = path.index(index);
            let odd = line.char_indices().find(|(_, letter)| !matches!(letter, ' '..='~'));
            if let Some((place, letter)) = odd {
                let place = Place::within(at.clone(), place..place + letter.len_utf8());
                let help = "use ASCII characters only; one line of the list is one line of the file";
                self.problems.push(Problem::error(
                    "machine-words",
                    place,
                    "controllers cannot read this character",
                    help,
                ));
            }
            if let Some(range) = unknown_placeholder(line, known) {
                let names: Vec<String> = known.iter().map(|name| format!("{{{name}}}")).collect();
                let message = format!("`{}` has no meaning here", line.get(range.clone()).unwrap_or_default());
                let help = format!("use one of {}", names.join(", "));
                let place = Place::within(at.clone(), range);
                self.problems.push(Problem::error("machine-words", place, message, help));
            }
            if line.trim().is_empty() || line.len() > LONGEST_WORDS {
                let message = format!("controllers cannot read a line of {} characters", line.len());
                self.add("machine-words", &at, message, &format!("write 1 to {LONGEST_WORDS} characters"));
            }
        }
    }
}
