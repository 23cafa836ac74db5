//! How a tool follows what a job asks for: along which outline, how deep, leaning how far; and what of the job that does not keep.

use super::findings::Findings;
use super::profile::Machine;
use super::tool_model::{ToolModel, is_square};
use super::written::SideUp;
use super::written_tool::{Bevelled, Compensation};
use crate::fault::Certain;
use crate::geometry::Outline;
use crate::length::exact_mm;
use crate::mat::{BevelDirection, Edge, Groove, Layer, Opening, Placement, over_run};
use crate::pairs::pairs;
use crate::problem::Severity::{Error, Warning};
use crate::program::{ToolKind, WorkKind};
use crate::tolerance::{CORNER_RAD, SAME_GROOVE_MM, SAME_LENGTH_MM};

/// Corners that are rounded by so many millimetres are seen, so that a warning says so (common practice, no source).
pub(super) const SEEN_MM: f64 = 0.25;

/// How a closed outline is followed.
pub(super) struct Follow {
    pub(super) work: WorkKind,
    /// What the middle of the tool follows on the side that lies up.
    pub(super) outline: Outline,
    /// How far outside of it the other edge of the cut lies, below; inside, if below zero.
    pub(super) over: f64,
    /// The bevel that comes out, which decides the direction of travel.
    pub(super) bevel: BevelDirection,
    pub(super) pose: Pose,
}

/// How a tool stands while it follows a line.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Pose {
    /// In degrees from upright.
    pub(super) angle_deg: f64,
    /// In millimetres below the surface, each time that it goes over the line; empty if the profile does not say.
    pub(super) depths: Vec<f64>,
}

/// A board as a machine is to work on it.
pub(super) struct AskedBoard<'a> {
    pub(super) machine: &'a Machine,
    pub(super) layer: &'a Layer,
    pub(super) placement: Placement,
}

impl AskedBoard<'_> {
    /// Returns the outline that meets the side that lies up.
    const fn edge_up(&self) -> Edge {
        match self.machine.side_up {
            SideUp::Back => Edge::Back,
            SideUp::Face => Edge::Face,
        }
    }

    /// Returns how far outside the outline on the side that lies up the one on the other side lies; inside, if below zero.
    pub(super) fn far_outside(&self, opening: &Opening) -> f64 {
        let (up, thickness) = (self.edge_up(), self.layer.board.thickness);
        let down = if up == Edge::Back { Edge::Face } else { Edge::Back };
        opening.bevel.outside_sight(down, thickness) - opening.bevel.outside_sight(up, thickness)
    }

    /// Returns the kind of work that an opening is.
    pub(super) fn work(&self, opening: &Opening) -> WorkKind {
        if is_square(opening.bevel) && self.machine.tool(WorkKind::Straight).is_some() {
            WorkKind::Straight
        } else {
            WorkKind::Cut
        }
    }

    /// Decides how an opening is cut; `None` if it is not, which the findings then say, or the machine has no tool for it.
    pub(super) fn opening(&self, opening: &Opening, findings: &mut Findings) -> Option<Follow> {
        let work = self.work(opening);
        let model = self.machine.model(work)?;
        let up = self.edge_up();
        self.check_thickness(work, model, findings);
        let (edge, bevel) = match model.kind {
            ToolKind::BevelKnife => {
                if !self.can_lean(model, opening, findings) {
                    return None;
                }
                (up, opening.bevel.direction)
            }
            kind if kind.cuts_square() && !is_square(opening.bevel) => {
                (self.upright(model, opening, findings)?, BevelDirection::Straight)
            }
            ToolKind::Line => {
                self.say_line(opening, findings);
                (up, opening.bevel.direction)
            }
            _ => (up, opening.bevel.direction),
        };
        let over = if model.kind.cuts_square() { 0.0 } else { self.far_outside(opening) };
        let outline = self.placement.outline(opening.outline(edge));
        let outline = self.moved_aside(model, &outline, -1.0, opening, findings)?;
        let pose = Pose {
            angle_deg: if is_square(opening.bevel) { 0.0 } else { model.lean_for(opening.bevel) },
            depths: self.through(work, model, findings)?,
        };
        Some(Follow { work, outline, over, bevel, pose })
    }

    /// Tells whether a knife that leans can cut an opening; says why not.
    fn can_lean(&self, model: &ToolModel, opening: &Opening, findings: &mut Findings) -> bool {
        let (name, bevel) = (&self.machine.name, opening.bevel);
        let angles = model.angles_in_words();
        let mut refuse = |message: String, help: &str| {
            let finding = findings.opening(Error, "machine-bevel", opening.number, message, help);
            finding.degrees("asked", bevel.angle_deg).angles(&model.angles);
            false
        };
        if is_square(bevel) {
            let help = "add [tools.straight] to the profile if the machine has an upright knife too, or cut it on another machine";
            return model.has_angle(0.0)
                || refuse(format!("cut square to the board, but the knife of {name} leans at {angles}"), help);
        }
        if !model.has_angle(bevel.angle_deg) {
            let message =
                format!("a bevel of {}° is asked for, but the knife of {name} leans at {angles}", bevel.angle_deg);
            return refuse(
                message,
                "change the angle of the bevel in the job, or add it to the tool's angles if the head can be set to it",
            );
        }
        if !model.bevels.contains(&bevel.direction) {
            let message = format!("the knife of {name} cannot cut a {} bevel", bevel.direction.name());
            return refuse(message, "cut it on another machine, or change the bevel in the job");
        }
        true
    }

    /// Returns the outline that an upright tool follows where a bevel is asked for; `None` if the profile refuses that.
    fn upright(&self, model: &ToolModel, opening: &Opening, findings: &mut Findings) -> Option<Edge> {
        let thickness = self.layer.board.thickness;
        let asked = opening.bevel.describe(thickness);
        let tool = format!("the {} of {} cuts square to the board", model.kind.words(), self.machine.name);
        let help = "choose a machine with a bevel knife, or set bevel = \"straight\" in the job";
        let up = self.edge_up();
        let beyond = opening.bevel.outside_sight(up, thickness);
        let mut warn = |what: String| {
            let message = format!("{asked} is asked for, but {tool}: no bevel; {what}");
            let finding = findings.opening(Warning, "machine-bevel", opening.number, message, help);
            finding.bevel(opening.bevel, thickness).mm("beyond", beyond);
        };
        match model.bevelled {
            Bevelled::Refuse => {
                let message = format!("{asked} is asked for, but {tool}, and the profile refuses such openings");
                let finding = findings.opening(Error, "machine-bevel", opening.number, message, help);
                finding.bevel(opening.bevel, thickness);
                None
            }
            Bevelled::Surface if beyond > SAME_LENGTH_MM => {
                warn(format!(
                    "cut along the outline of the {}, as the profile says, so that the opening becomes {} larger on every side than the sight opening, and covers that much less of the art",
                    up.name(),
                    exact_mm(beyond)
                ));
                Some(up)
            }
            Bevelled::Surface | Bevelled::Sight => {
                warn("cut along the sight outline, so that the board covers the art as asked".to_owned());
                Some(Edge::Sight)
            }
        }
    }

    /// Says that a drawing for another program holds no bevels.
    fn say_line(&self, opening: &Opening, findings: &mut Findings) {
        let (up, thickness) = (self.edge_up(), self.layer.board.thickness);
        if is_square(opening.bevel) {
            return;
        }
        let asked = opening.bevel.describe(thickness);
        let line = format!("the lines are the outlines of the {}; {asked} is not in the file", up.name());
        if opening.bevel.outside_sight(up, thickness) > SAME_LENGTH_MM {
            let message = format!("{line}, and an upright tool along them would cut the opening larger than asked");
            let help = "tell the program that reads the file about the bevel";
            let finding = findings.opening(Warning, "machine-bevel", opening.number, message, help);
            finding.bevel(opening.bevel, thickness);
        } else {
            findings.remark(line);
        }
    }

    fn check_thickness(&self, work: WorkKind, model: &ToolModel, findings: &mut Findings) {
        let thickness = self.layer.board.thickness;
        if let Some(thickest) = model.thickest.filter(|thickest| thickness > thickest + SAME_LENGTH_MM) {
            let message = format!(
                "the board is {} thick, and the {} of {} cuts up to {}",
                exact_mm(thickness),
                model.kind.words(),
                self.machine.name,
                exact_mm(thickest)
            );
            let help = "cut it on another machine";
            let found = findings.other(Error, "machine-thickness", work.name(), message, help);
            found.mm("thickness", thickness).mm("most", thickest);
        }
    }

    /// Returns the depths of a cut through the board, or `None` if they do not suit it, which the findings then say.
    fn through(&self, work: WorkKind, model: &ToolModel, findings: &mut Findings) -> Option<Vec<f64>> {
        let thickness = self.layer.board.thickness;
        let depths: Vec<f64> = model.depths.iter().filter_map(|depth| depth.of(thickness, None)).collect();
        let Some(&deepest) = depths.last() else { return Some(depths) };
        if matches!(model.kind, ToolKind::Pen | ToolKind::Line) {
            return Some(depths);
        }
        let below = deepest - thickness;
        let mut refuse = |message: String, help: &str| {
            let finding = findings.other(Error, "machine-depth", work.name(), message, help);
            let finding = finding.mm("depth", deepest).mm("thickness", thickness).mm("below", below);
            finding.mm("most_below", self.machine.below_board);
        };
        let board = exact_mm(thickness);
        if !rises(&depths) {
            let list: Vec<String> = depths.iter().map(|depth| exact_mm(*depth)).collect();
            let message = format!(
                "in a board {board} thick the depths are {}, and each must be deeper than the one before",
                list.join(", ")
            );
            refuse(message, "list increasing depths, such as [\"half board\", \"board + 0.2 mm\"]");
            return None;
        }
        if deepest < thickness - SAME_LENGTH_MM {
            let message = format!(
                "the tool goes {} deep, and the board is {board} thick: it would not cut through",
                exact_mm(deepest)
            );
            refuse(message, "write depth = \"board + 0.2 mm\" in the profile, so that it follows the board");
            return None;
        }
        if below > self.machine.below_board + SAME_LENGTH_MM {
            let message = format!(
                "the tool goes {} deep, which is {} below a board {board} thick; {} is allowed",
                exact_mm(deepest),
                exact_mm(below),
                exact_mm(self.machine.below_board)
            );
            refuse(message, "write depth = \"board + 0.2 mm\", or raise below_board if the bed allows that");
            return None;
        }
        Some(depths)
    }

    /// Moves an outline aside by half the width of the tool: inwards if `way` is below zero.
    fn moved_aside(
        &self,
        model: &ToolModel,
        outline: &Outline,
        way: f64,
        opening: &Opening,
        findings: &mut Findings,
    ) -> Option<Outline> {
        if model.width > 0.0 {
            self.say_width(model, outline, opening, findings);
        }
        match outline.offset(way * model.aside()) {
            Ok(moved) => Some(moved),
            Err(error) => {
                let message =
                    format!("a {} of {} does not fit into it: {error}", model.kind.words(), exact_mm(model.width));
                let help = "use a narrower tool";
                let finding = findings.opening(Error, "machine-width", opening.number, message, help);
                finding.mm("width", model.width);
                for (name, mm) in error.numbers() {
                    finding.mm(name, mm);
                }
                None
            }
        }
    }

    fn say_width(&self, model: &ToolModel, outline: &Outline, opening: &Opening, findings: &mut Findings) {
        let (width, radius) = (exact_mm(model.width), 0.5 * model.width);
        if model.compensation == Compensation::Controller {
            findings.remark(format!("the controller must offset the tool into the waste by half of {width}"));
        }
        if !has_outward_corner(outline) {
            return;
        }
        let message = format!(
            "a {} of {width} leaves its corners round, with a radius of {}",
            model.kind.words(),
            exact_mm(radius)
        );
        if radius >= SEEN_MM {
            let help = "cut the corners out by hand, or use a knife";
            let finding = findings.opening(Warning, "machine-width", opening.number, message, help);
            finding.mm("width", model.width).mm("radius", radius);
        } else {
            findings.remark(message);
        }
    }

    /// Decides how the outer edge is cut; `None` if it is not.
    pub(super) fn edge(&self, outline: &Outline, findings: &mut Findings) -> Option<Follow> {
        let model = self.machine.model(WorkKind::Edge)?;
        self.check_thickness(WorkKind::Edge, model, findings);
        let depths = self.through(WorkKind::Edge, model, findings)?;
        let outline = outline.offset(model.aside()).certain("outline beside the edge of the board");
        let pose = Pose { angle_deg: 0.0, depths };
        Some(Follow { work: WorkKind::Edge, outline, over: 0.0, bevel: BevelDirection::Straight, pose })
    }

    /// Decides how a groove is cut; `None` if it is not.
    pub(super) fn groove(&self, groove: &Groove, findings: &mut Findings) -> Option<Pose> {
        let model = self.machine.model(WorkKind::Groove)?;
        let subject = match groove.opening() {
            Some(number) => format!("the groove round opening {number}"),
            None => "a groove on a line of its own".to_owned(),
        };
        let asked = format!("a V of {}°, {} deep,", groove.angle_deg, exact_mm(groove.depth));
        let kind = model.kind.words();
        let mut otherwise = |what: &str| {
            let message = format!("{asked} is asked for, but {} has a {kind} for it: {what}", self.machine.name);
            let help = "cut it on a machine with a V tool";
            let finding = findings.other(Warning, "machine-groove", subject.as_str(), message, help);
            finding.about(groove.opening()).degrees("asked", groove.angle_deg);
            finding.mm("depth", groove.depth).mm("width", model.width);
        };
        match model.kind {
            ToolKind::VTool if !model.has_angle(groove.angle_deg) => {
                let has = model.angles_in_words();
                let message = format!("{asked} is asked for, but the V tool of {} has {has}", self.machine.name);
                let help = "change the angle of the groove in the job, or the angle of the tool in the profile";
                let finding = findings.other(Error, "machine-groove", subject, message, help);
                finding.about(groove.opening()).degrees("asked", groove.angle_deg);
                finding.mm("depth", groove.depth).angles(&model.angles);
                return None;
            }
            ToolKind::ScoringWheel => otherwise("it becomes a scored line"),
            ToolKind::UprightKnife => otherwise("it becomes a cut straight down"),
            ToolKind::RouterBit | ToolKind::Beam => {
                otherwise(&format!("it becomes a slot {} wide", exact_mm(model.width)))
            }
            _ => {}
        }
        let depths = self.groove_depths(model, groove, &subject, findings)?;
        Some(Pose { angle_deg: 0.0, depths })
    }

    fn groove_depths(
        &self,
        model: &ToolModel,
        groove: &Groove,
        subject: &str,
        findings: &mut Findings,
    ) -> Option<Vec<f64>> {
        let thickness = self.layer.board.thickness;
        let depths: Vec<f64> =
            model.depths.iter().filter_map(|depth| depth.of(thickness, Some(groove.depth))).collect();
        if matches!(model.kind, ToolKind::Pen | ToolKind::Line) {
            return Some(depths);
        }
        let Some(&deepest) = depths.last() else {
            if model.kind == ToolKind::VTool {
                findings.remark(format!("the V tool must be set to {} below the face", exact_mm(groove.depth)));
            }
            return Some(depths);
        };
        let (is, board, asked) = (exact_mm(deepest), exact_mm(thickness), exact_mm(groove.depth));
        let mut refuse = |message: String| {
            let help = "write depth = \"groove\" in the profile, so that it follows the job";
            let finding = findings.other(Error, "machine-depth", subject, message, help);
            finding.about(groove.opening()).mm("depth", deepest);
            finding.mm("thickness", thickness).mm("groove", groove.depth);
            None
        };
        if !rises(&depths) {
            return refuse(format!("its depths do not increase from one to the next up to {is}"));
        }
        if deepest >= thickness - SAME_LENGTH_MM {
            return refuse(format!("the tool goes {is} deep, and the board is {board} thick: it would be cut through"));
        }
        if model.kind == ToolKind::VTool && (deepest - groove.depth).abs() > SAME_GROOVE_MM {
            return refuse(format!(
                "{asked} deep is asked for, and the tool goes {is} deep, so that it would be as much wider or narrower"
            ));
        }
        Some(depths)
    }
}

/// Tells whether depths are above zero and grow.
fn rises(depths: &[f64]) -> bool {
    depths.first().is_none_or(|first| *first > 0.0) && pairs(depths).all(|(a, b)| a < b)
}

/// Tells whether an outline has a corner that points outwards, which a round tool inside does not reach.
fn has_outward_corner(outline: &Outline) -> bool {
    let segments = outline.segments();
    let before = segments.iter().cycle().skip(segments.len().saturating_sub(1));
    // Outlines run clockwise as they are seen, y down.
    before.zip(segments).any(|(before, after)| over_run::turn(before, after) > CORNER_RAD)
}
