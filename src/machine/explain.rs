//! A profile in words: what the machine is, how a board lies on it, what each tool does, and what is refused.

use super::profile::Machine;
use super::tool_model::ToolModel;
use super::written::{BoardTurn, Head, SideUp};
use super::written_tool::{Bevelled, BladeLean, Compensation};
use crate::length::exact_mm;
use crate::mat::BevelDirection;
use crate::program::{Lowering, Tool, ToolKind, WorkKind};

impl Machine {
    /// Explains the profile, a sentence or two an item, in the order in which a person asks.
    #[must_use]
    pub fn explain(&self) -> Vec<String> {
        let mut lines = vec![format!("{}: {}.", self.name, self.about.trim_end_matches('.'))];
        lines.push(self.lying());
        lines.push(self.axes());
        let tools = self.tools.iter().zip(&self.models);
        lines.extend(
            tools.enumerate().map(|(place, (tool, model))| format!("{}. {}", place + 1, self.tool_words(tool, model))),
        );
        lines.extend(self.leads());
        lines.extend(self.own_lines());
        let missing: Vec<&str> = [WorkKind::Cut, WorkKind::Edge, WorkKind::Groove, WorkKind::Ruling, WorkKind::Wash]
            .into_iter()
            .filter(|work| self.tool(*work).is_none() && !(self.only_draws() && work.goes_through()))
            .map(WorkKind::name)
            .collect();
        if self.only_draws() {
            lines.push(
                "It only draws: openings and the outer edge are left to another machine, or to cutting by hand."
                    .to_owned(),
            );
        }
        if !missing.is_empty() {
            lines.push(format!(
                "It has no tool for: {}. Such work is left out, and every file says so.",
                missing.join(", ")
            ));
        }
        lines
    }

    fn lying(&self) -> String {
        let side = match self.side_up {
            SideUp::Back => "The board lies face down; the file is mirrored, and no work on the face can be done.",
            SideUp::Face => "The board lies face up; the file is as the mat hangs.",
        };
        let bed = self.bed.map_or_else(
            || "The bed is not limited.".to_owned(),
            |bed| {
                format!(
                    "The bed is {} × {} along its x and y; what does not fit is refused.",
                    exact_mm(bed.width),
                    exact_mm(bed.height)
                )
            },
        );
        let turn = match self.turn {
            BoardTurn::Never => "A board is never turned.",
            BoardTurn::Always => "A board is always turned by a quarter.",
            BoardTurn::ToFit => "A board is turned by a quarter if it fits only that way.",
        };
        format!("{side} {bed} {turn}")
    }

    fn axes(&self) -> String {
        let controller = &self.controller;
        let origin = &controller.origin;
        let at = match origin.at.name() {
            "centre" => "in the centre of the bed".to_owned(),
            corner => format!("in the {} corner of the bed, seen from above", corner.replace('-', " ")),
        };
        format!(
            "Files are {} in units of {}. Zero is {at}; x grows {}, y grows {}. The same point of the board lies at {}, {}. Curves are accurate to {}.",
            controller.format,
            controller.unit.name,
            way(origin.x.name()),
            way(origin.y.name()),
            exact_mm(origin.offset.x),
            exact_mm(origin.offset.y),
            exact_mm(controller.tolerance)
        )
    }

    /// Says what a tool does, how deep it goes and what it refuses.
    fn tool_words(&self, tool: &Tool, model: &ToolModel) -> String {
        let what = match tool.work {
            WorkKind::Register => "register marks",
            WorkKind::Wash => "edges of bands of wash",
            WorkKind::Ruling => "ruled lines",
            WorkKind::Label => "labels",
            WorkKind::Scale => "the reference line",
            WorkKind::Groove => "V-grooves",
            WorkKind::Cut if self.tool(WorkKind::Straight).is_some() => "openings with a bevel",
            WorkKind::Cut => "openings",
            WorkKind::Straight => "openings cut square to the board",
            WorkKind::Edge => "the outer edge",
        };
        let mut text = format!("{}: {what}, with tool {}: {}", tool.work.name(), tool.number, tool.kind.words());
        match model.kind {
            ToolKind::BevelKnife => {
                let lean = BladeLean::of(self.side_up, BevelDirection::Standard, self.standard);
                text += &format!(
                    " at {} from upright, leaning to the {} of its travel: standard bevels {}, reverse bevels {}. Other angles are refused",
                    model.angles_in_words(),
                    lean.name(),
                    self.standard.words(),
                    if model.bevels.contains(&BevelDirection::Reverse) { self.reverse.words() } else { "refused" }
                );
            }
            ToolKind::VTool => text += &format!(" of {}; grooves of other angles are refused", model.angles_in_words()),
            kind if kind.cuts_square() && tool.work == WorkKind::Cut => {
                text += match model.bevelled {
                    Bevelled::Sight => {
                        "; openings that are to have a bevel are cut square along the sight outline, which is reported"
                    }
                    Bevelled::Surface => {
                        "; openings that are to have a bevel are cut square along the outline on the side that lies up, which is reported"
                    }
                    Bevelled::Refuse => "; openings that are to have a bevel are refused",
                };
            }
            _ => {}
        }
        if model.width > 0.0 {
            text += &match model.compensation {
                Compensation::File => format!(
                    ". It removes a width of {}, and runs beside the outline by half of that, in the waste",
                    exact_mm(model.width)
                ),
                Compensation::Controller => {
                    format!(". It removes a width of {}, and the controller must offset it", exact_mm(model.width))
                }
            };
        }
        let depths: Vec<&str> = model.depths.iter().map(super::depth::Depth::text).collect();
        match depths.as_slice() {
            [] if matches!(model.kind, ToolKind::Pen | ToolKind::Line) => {}
            [] => text += ". Its depth is set at the machine",
            [one] => text += &format!(". Its depth is {one}"),
            several => text += &format!(". It goes over each line {} times: {}", several.len(), several.join(", ")),
        }
        if let Some(thickest) = model.thickest {
            text += &format!(". Boards thicker than {} are refused", exact_mm(thickest));
        }
        if let Some(tabs) = model.tabs {
            text += &format!(". {} tabs of {} hold each piece", tabs.count, exact_mm(tabs.length));
        }
        for (name, value) in [("speed", tool.speed), ("force", tool.force)] {
            text += &value.map(|value| format!(". Its {name} is {value}")).unwrap_or_default();
        }
        text + "."
    }

    fn leads(&self) -> Option<String> {
        let mut parts = Vec::new();
        if self.head == Head::Straight {
            parts.push("every side is a straight stroke of its own, and curves are refused".to_owned());
        }
        if self.over_run.follows_bevel {
            parts.push(format!(
                "cuts run past corners until they meet on the far side, and {} farther, at most {} into the board",
                exact_mm(self.over_run.lead),
                exact_mm(self.over_run.into_bar)
            ));
        }
        if self.lead_in > 0.0 {
            parts.push(format!("closed cuts start {} away in the waste", exact_mm(self.lead_in)));
        }
        if self.overlap > 0.0 {
            parts.push(format!("closed cuts overlap their start by {}", exact_mm(self.overlap)));
        }
        (!parts.is_empty()).then(|| format!("On the way: {}.", parts.join("; ")))
    }

    fn own_lines(&self) -> Vec<String> {
        let words = &self.controller.words;
        let mut lines = Vec::new();
        let all = [
            ("at the start", &words.before_file),
            ("at a change of tool", &words.tool_change),
            ("at the end", &words.after_file),
        ];
        for (when, own) in all.into_iter().filter(|(_, own)| !own.is_empty()) {
            lines.push(format!("Lines of its own {when}: {}.", own.join(" / ")));
        }
        for tool in self.tools.iter().filter(|tool| !(tool.before_cut.is_empty() && tool.after_cut.is_empty())) {
            let (before, after) = (tool.before_cut.join(" / "), tool.after_cut.join(" / "));
            lines.push(format!("Lines of its own round each stroke of {}: {before} ... {after}.", tool.work.name()));
        }
        if self.controller.router.lowered == Lowering::ByWords {
            lines.push("The file has no Z: these lines lower and lift the tools.".to_owned());
        }
        lines
    }
}

fn way(name: &str) -> &str {
    match name {
        "up" => "away from the operator",
        "down" => "towards the operator",
        "right" => "to the right",
        "left" => "to the left",
        other => other,
    }
}
